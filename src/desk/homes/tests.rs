use super::*;
use crate::book::{Book, Entry, Hash, Home};
use crate::desk::forms::sample;
use crate::desk::ports::Stored;
use crate::inspect::Rules;
use crate::people::{SealedKey, SealingDice};

const LINES: u64 = 5;

/// Reads the first home to its end and lays the second beside it.
fn compare(
    first: &Result<Vec<String>, StoreError>,
    second: &Second,
    check: Check,
) -> Result<Option<Opening>, Alarm> {
    let stored = Stored {
        lines: first.clone(),
        second: Some(second.clone()),
        keys: Vec::new(),
        tab: Tab::Writes,
    };
    let mut reading = Reading::new(stored, check);
    while !reading.go_on() {}
    let (stored, read) = reading.into_parts();
    super::compare(&stored.lines, read, second)
}

/// The lines of a small book.
fn book() -> Book {
    let mut book = sample::book();
    for cut_over_hour in 1..=LINES as u8 - 3 {
        let rules = Rules {
            cut_over_hour,
            ..Rules::default()
        };
        sample::take(&mut book, Entry::RulesSet(rules)).unwrap();
    }
    assert_eq!(book.len(), LINES);
    book
}

fn first(book: &Book, lines: u64) -> Result<Vec<String>, StoreError> {
    let texts = book.texts().iter().take(lines as usize);
    Ok(texts.map(ToString::to_string).collect())
}

/// A second home that saw this many lines and kept those of some numbers.
fn second(book: &Book, lines: u64, kept: impl Fn(u64) -> bool) -> Second {
    let texts = (0..lines).zip(book.texts());
    let texts = texts.filter(|(seq, _)| kept(*seq));
    let last = lines.checked_sub(1).map(|seq| &book.texts()[seq as usize]);
    Second {
        lines: texts.map(|(seq, text)| (seq, text.to_string())).collect(),
        reach: last.map(|text| Reach {
            lines,
            head: Hash::of_line(text.as_bytes()),
        }),
        ..Second::default()
    }
}

/// Every length of both homes, and every choice of lines that the second kept.
#[test]
fn what_comes_out_of_any_two_homes() {
    let book = book();
    for had in 0..=LINES {
        for seen in 0..=LINES {
            for kept in 0..1_u64 << seen {
                let keeps = |seq| kept >> seq & 1 == 1;
                let homes = (first(&book, had), second(&book, seen, keeps));
                let found = compare(&homes.0, &homes.1, Check::Now);
                let missing = (had..seen).find(|seq| !keeps(*seq));
                let case = format!("first {had}, second saw {seen}, kept {kept:b}");
                match (missing, found) {
                    (None, Ok(None)) => assert_eq!((had, seen), (0, 0), "{case}"),
                    (None, Ok(Some(opening))) => {
                        assert_eq!(opening.book.len(), had.max(seen), "{case}");
                        assert_eq!(opening.in_first, had, "{case}");
                        let healed = opening.healed.first();
                        let expected = match had.cmp(&seen) {
                            std::cmp::Ordering::Less => Some((Home::First, had, seen - 1)),
                            std::cmp::Ordering::Equal => None,
                            std::cmp::Ordering::Greater => Some((Home::Second, seen, had - 1)),
                        };
                        let healed = healed.map(|one| (one.home, one.from, one.to));
                        assert_eq!(healed, expected, "{case}");
                    }
                    (Some(from), Err(Alarm::Lost { from: lost, to })) => {
                        assert_eq!((lost, to), (from, seen - 1), "{case}");
                    }
                    (_, other) => panic!("{case}: {other:?}"),
                }
            }
        }
    }
}

#[test]
fn a_missing_first_home_is_served_by_a_whole_second_alone() {
    let book = book();
    for (seen, kept) in [(LINES, u64::MAX), (LINES, 0b11011), (0, 0), (3, 0b111)] {
        let keeps = |seq| kept >> seq & 1 == 1;
        let held = second(&book, seen, keeps);
        let found = compare(&Err(StoreError::Blocked), &held, Check::Now);
        let whole = seen > 0 && (0..seen).all(keeps);
        match found {
            Ok(Some(opening)) => {
                assert!(whole);
                assert_eq!((opening.book.len(), opening.healed.len()), (seen, 0));
            }
            Err(Alarm::Unreadable { .. }) => assert!(!whole),
            other => panic!("{other:?}"),
        }
        let held_open = compare(&Err(StoreError::HeldByOlder), &held, Check::Now);
        assert_eq!(
            held_open.err(),
            Some(Alarm::Closed(StoreError::HeldByOlder))
        );
    }
}

#[test]
fn a_changed_line_in_the_first_home_names_a_whole_one_in_the_second() {
    let book = book();
    let mut stored = first(&book, LINES).unwrap();
    stored[2] = stored[2].replacen("\"cut_over_hour\":6", "\"cut_over_hour\":7", 1);
    let spare = |kept: bool, check| {
        let held = second(&book, LINES, |seq| kept || seq != 2);
        compare(&Ok(stored.clone()), &held, check)
            .unwrap_err()
            .to_string()
    };
    let said = "The second home holds line 2 as it was signed.";
    assert!(spare(true, Check::Now).ends_with(said));
    assert!(spare(false, Check::Now).starts_with("Line 2 "));
    assert!(!spare(false, Check::Now).contains("second home"));
    // With signatures left for later it is the next line that does not fit.
    assert!(spare(true, Check::Later).starts_with("Line 3 "));
    assert!(spare(true, Check::Later).ends_with(said));
}

#[test]
fn no_changed_bit_in_the_second_home_changes_the_book() {
    let book = book();
    let whole = second(&book, LINES, |_| true);
    for (seq, text) in &whole.lines {
        for at in (0..text.len()).step_by(text.len() / 40) {
            let mut held = whole.clone();
            let mut bytes = text.clone().into_bytes();
            bytes[at] ^= 1 << (at % 7);
            held.lines.insert(*seq, String::from_utf8(bytes).unwrap());
            let opening = compare(&first(&book, LINES), &held, Check::Now).unwrap();
            let opening = opening.unwrap();
            assert_eq!(opening.book.head(), book.head());
            let healed = opening.healed;
            let (home, from, to) = (Home::Second, *seq, *seq);
            assert_eq!(healed, [StoreHealed { home, from, to }]);
            // Where the first lacks it, it is lost and nothing else is taken for it.
            let lost = compare(&first(&book, *seq), &held, Check::Now);
            let (from, to) = (*seq, LINES - 1);
            assert_eq!(lost.err(), Some(Alarm::Lost { from, to }));
        }
    }
}

#[test]
fn keys_of_both_homes_come_together() {
    let sealed = |code: &str, seed| {
        let dice = SealingDice {
            seed: [seed; 32],
            salt: [0; 16],
        };
        let made = SealedKey::make(code.parse().unwrap(), "long meadow at dusk", &dice);
        made.unwrap().0
    };
    let [ada, ben, cas] =
        [("ada", 1), ("ben", 2), ("cas", 3)].map(|(code, seed)| sealed(code, seed));
    let (all, lacking) = both(&[ada.clone(), ben.clone()], &[ben.clone(), cas.clone()]);
    assert_eq!(all, [ada.clone(), ben, cas.clone()]);
    assert_eq!(lacking, [(Home::First, cas), (Home::Second, ada.clone())]);
    let (name, text) = (key_name(&ada), serde_json::to_string(&ada).unwrap());
    assert_eq!(Second::read([(name, text)]).keys, [ada]);
}
