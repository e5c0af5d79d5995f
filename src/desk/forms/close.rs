//! The form that closes a production day.

use crate::account::Carried;
use crate::book::{DayClosed, Entry};
use crate::people::Day;

use super::{FieldErrors, Reader, Typed};

/// The tick by which a supervisor says that what is carried over was seen.
pub const SEEN: &str = "carried-seen";

/// Reads the form: the tick [`SEEN`], asked for only when something is carried over.
///
/// # Errors
/// A missing tick.
pub fn close_day(typed: &Typed, day: Day, carried: &Carried) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    if !carried.is_nothing() && !typed.ticked(SEEN) {
        let asked = "Something is carried over. Look at the list and tick that you have seen it.";
        form.wrong::<()>(SEEN, asked);
    }
    form.finish(Some(Entry::DayClosed(DayClosed { day })))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_carried_over_must_be_seen_before_the_day_is_closed() {
        let day: Day = "2026-11-25".parse().unwrap();
        let open = Carried {
            spoils_loose: 3,
            ..Carried::default()
        };
        let closed = Ok(Entry::DayClosed(DayClosed { day }));
        let mut typed = Typed::default();
        let errors = close_day(&typed, day, &open).unwrap_err();
        assert!(errors.of(SEEN).unwrap().contains("carried over"));
        assert_eq!(close_day(&typed, day, &Carried::default()), closed);
        typed.tick(SEEN, true);
        assert_eq!(close_day(&typed, day, &open), closed);
    }
}
