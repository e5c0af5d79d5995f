//! The form by which a supervisor overrules the verdict on a sheet.

use crate::book::{Entry, Exam, Refusal, VerdictOverruled};
use crate::inspect::Verdict;
use crate::sheet::{LotId, SheetNo};

use super::{FieldErrors, Reader, Typed};

pub const VERDICT: &str = "overrule-verdict";
pub const REASON: &str = "overrule-reason";

/// Longest reason, in characters.
const REASON_MAX: usize = 200;

/// The verdicts an examined sheet could have instead. Mixed needs a defective note.
pub fn others(exam: &Exam) -> Vec<Verdict> {
    let ruling = &exam.ruling;
    let possible = |verdict: &Verdict| {
        *verdict != ruling.verdict && (*verdict != Verdict::Mixed || !ruling.defective.is_empty())
    };
    Verdict::ALL.into_iter().filter(possible).collect()
}

/// Reads the form for one examined sheet.
///
/// # Errors
/// A verdict that was not chosen or is not possible, a missing or over-long reason.
pub fn overruled(
    typed: &Typed,
    lot: LotId,
    sheet: SheetNo,
    exam: &Exam,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let chosen = form.text(VERDICT);
    let found = others(exam).into_iter().find(|one| one.name() == chosen);
    let verdict = match found {
        None => form.wrong(VERDICT, "No verdict is chosen. Choose one from the list."),
        found => found,
    };
    let reason = form.required(REASON, "Reason", REASON_MAX);
    let entry = verdict.zip(reason).map(|(verdict, reason)| {
        Entry::VerdictOverruled(VerdictOverruled {
            lot,
            sheet,
            verdict,
            reason,
            corrects: exam.seq,
        })
    });
    form.finish(entry)
}

/// The field that a refusal of the book is about.
pub fn overruled_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::SameVerdict { .. } | Refusal::NothingDefective { .. } => VERDICT,
        Refusal::Empty { .. } | Refusal::TooLong { .. } => REASON,
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::account::Stage;
    use crate::inspect::{Reason, Ruling};
    use crate::people::Stamp;

    fn exam(verdict: Verdict, reason: Reason) -> Exam {
        let at: Stamp = "2026-11-25T08:00:00+01:00".parse().unwrap();
        Exam {
            seq: 12,
            by: "ida".parse().unwrap(),
            day: at.production_day(6),
            stage: Stage::Numbered,
            at,
            tags: Vec::new(),
            ruling: Ruling {
                verdict,
                reason,
                defective: Default::default(),
            },
            corrects: None,
            machine_word: None,
            overruled: None,
        }
    }

    fn read(verdict: &str, reason: &str, exam: &Exam) -> Result<Entry, FieldErrors> {
        let typed = Typed::with([(VERDICT, verdict), (REASON, reason)]);
        let (lot, sheet) = ("L1".parse().unwrap(), SheetNo::from_index(4));
        overruled(&typed, lot, sheet, exam)
    }

    #[test]
    fn the_entry_names_the_last_word_on_the_sheet() {
        let exam = exam(Verdict::Good, Reason::NoTags);
        let entry = read("spoiled", "  dirty back ", &exam).unwrap();
        let Entry::VerdictOverruled(data) = entry else {
            panic!("{entry:?}")
        };
        assert_eq!((data.corrects, data.verdict), (12, Verdict::Spoiled));
        assert_eq!(data.reason, "dirty back");
    }

    #[test]
    fn each_wrong_field_is_named_and_all_at_once() {
        let exam = exam(Verdict::Good, Reason::NoTags);
        let errors = read("", " ", &exam).unwrap_err();
        assert!(errors.of(VERDICT).unwrap().contains("Choose one"));
        assert!(errors.of(REASON).unwrap().contains("Reason is empty"));
        // Good it is already; without a defective note it cannot be mixed.
        for impossible in ["good", "mixed", "best"] {
            assert!(
                read(impossible, "why", &exam)
                    .unwrap_err()
                    .of(VERDICT)
                    .is_some()
            );
        }
        let long = "x".repeat(201);
        let errors = read("spoiled", &long, &exam).unwrap_err();
        assert!(errors.of(REASON).unwrap().contains("200 characters"));
        assert_eq!(others(&exam), [Verdict::Spoiled]);
    }
}
