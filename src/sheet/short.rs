use std::fmt;

/// Up to `N` ASCII characters held in place: serials and ids are copied, sorted and hashed by the
/// million, and none of that should touch the heap.
///
/// Orders as its text does: unused bytes are zero and sort before any character.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShortText<const N: usize> {
    bytes: [u8; N],
    len: u8,
}

impl<const N: usize> ShortText<N> {
    /// `None` when longer than `N` or when a byte is not a visible ASCII character.
    pub fn new(text: &[u8]) -> Option<Self> {
        if text.len() > N || !text.iter().all(u8::is_ascii_graphic) {
            return None;
        }
        let mut bytes = [0; N];
        bytes[..text.len()].copy_from_slice(text);
        // N is at most 24 in this crate; a longer one would not compile into a u8 silently.
        let len = u8::try_from(text.len()).ok()?;
        Some(Self { bytes, len })
    }

    pub fn as_bytes(&self) -> &[u8] {
        &self.bytes[..usize::from(self.len)]
    }

    pub fn as_str(&self) -> &str {
        std::str::from_utf8(self.as_bytes()).expect("ASCII, as `new` allows nothing else")
    }
}

impl<const N: usize> fmt::Display for ShortText<N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl<const N: usize> fmt::Debug for ShortText<N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_text_and_its_order() {
        let text = |t: &str| ShortText::<5>::new(t.as_bytes()).unwrap();
        assert_eq!(text("AB12").as_str(), "AB12");
        assert_eq!(text("").as_str(), "");
        let mut several = ["B", "AB", "A", "A1", "AAAAA"].map(text);
        several.sort();
        assert_eq!(
            several.map(|t| t.to_string()),
            ["A", "A1", "AAAAA", "AB", "B"]
        );
    }

    #[test]
    fn refuses_what_does_not_fit() {
        assert!(ShortText::<5>::new(b"ABCDEF").is_none());
        assert!(ShortText::<5>::new(b"A B").is_none());
        assert!(ShortText::<5>::new("é".as_bytes()).is_none());
    }
}
