//! Telling a scanner from a hand: it types a whole number in one go.

/// The longest pause between two keys of a scanner, in milliseconds. Scanners that act as
/// keyboards send a key every few milliseconds; nobody types five keys in a row so quickly
/// (common practice, no source).
const PAUSE_MAX: f64 = 40.0;
/// Fewer keys may come quickly by chance.
const KEYS_MIN: usize = 5;

/// Keys that came one right after the other.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Burst {
    last: f64,
    keys: usize,
}

impl Burst {
    /// One more sign typed, at so many milliseconds on any clock.
    pub fn key(&mut self, at: f64) {
        let quick = self.keys > 0 && at - self.last <= PAUSE_MAX;
        self.keys = if quick { self.keys + 1 } else { 1 };
        self.last = at;
    }

    /// Whether the Enter that comes now ends a scan of `length` signs.
    pub fn ends_scan(&self, at: f64, length: usize) -> bool {
        let whole = self.keys == length && length >= KEYS_MIN;
        whole && at - self.last <= PAUSE_MAX
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(pauses: &[f64]) -> (Burst, f64) {
        let (mut burst, mut at) = (Burst::default(), 1000.0);
        burst.key(at);
        for pause in pauses {
            at += pause;
            burst.key(at);
        }
        (burst, at)
    }

    #[test]
    fn a_number_that_comes_in_one_go_is_scanned() {
        let (burst, at) = typed(&[8.0; 5]);
        assert!(burst.ends_scan(at + 8.0, 6));
        // Something stood in the field before, or was taken out by hand.
        assert!(!burst.ends_scan(at + 8.0, 7));
        assert!(!burst.ends_scan(at + 300.0, 6));
    }

    #[test]
    fn a_hand_is_no_scanner() {
        let (burst, at) = typed(&[120.0; 5]);
        assert!(!burst.ends_scan(at + 8.0, 6));
        let (burst, at) = typed(&[8.0, 8.0, 90.0, 8.0, 8.0]);
        assert!(!burst.ends_scan(at + 8.0, 6));
        let (burst, at) = typed(&[8.0; 2]);
        assert!(!burst.ends_scan(at + 8.0, 3));
    }
}
