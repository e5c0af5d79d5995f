//! What a line says at first glance, cut out of its text: for lists of very many lines, of which
//! only a few are read whole.

/// Parts of a line that is known to be one. Each is the text as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Glance<'a> {
    pub at: &'a str,
    pub by: &'a str,
    /// Hash of the line before.
    pub prev: &'a str,
    pub kind: &'a str,
    /// Everything behind the kind: the data, what others signed, the signature.
    pub rest: &'a str,
}

/// A line's parts; nothing for a text that is no line. Members stand in a fixed order, and a
/// quotation mark within a value is written `\"`, so the names are found where they are.
pub fn glance(text: &str) -> Option<Glance<'_>> {
    let (_, text) = text.split_once(r#","at":""#)?;
    let (at, text) = text.split_once(r#"","by":""#)?;
    let (by, text) = text.split_once(r#"","prev":""#)?;
    let (prev, text) = text.split_once(r#"","kind":""#)?;
    let (kind, rest) = text.split_once(r#"","data":"#)?;
    Some(Glance {
        at,
        by,
        prev,
        kind,
        rest,
    })
}
