//! A head that is read out to someone.

use crate::book::{Copied, CopyTaken, Entry, Hash, Way};

use super::{FieldErrors, Reader, Typed};

/// The field that says to whom.
pub const TOLD_TO: &str = "head-told-to";

/// The note that this head was told to a person.
///
/// # Errors
/// When nobody is named, or with too long a name.
pub fn head_told(typed: &Typed, head: Hash) -> Result<Entry, FieldErrors> {
    let mut reader = Reader::new(typed);
    let to = reader.required(TOLD_TO, "Told to", 60);
    reader.finish(to).map(|to| {
        Entry::CopyTaken(CopyTaken {
            how: Some(Way::Told),
            to: Some(to),
            ..CopyTaken::new(Copied::Head, head)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn somebody_is_named() {
        let told = |to: &str| head_told(&Typed::with([(TOLD_TO, to)]), Hash::NONE);
        assert!(
            told("  ")
                .unwrap_err()
                .of(TOLD_TO)
                .unwrap()
                .contains("empty")
        );
        assert!(told(&"a".repeat(61)).unwrap_err().of(TOLD_TO).is_some());
        let Ok(Entry::CopyTaken(copy)) = told(" Wren Hale ") else {
            panic!("it is a note of a copy");
        };
        assert_eq!(copy.to.as_deref(), Some("Wren Hale"));
        assert_eq!((copy.what, copy.how), (Copied::Head, Some(Way::Told)));
    }
}
