//! The form for the works' rules, and what a limit by cost means.

use std::collections::BTreeMap;

use crate::book::{Entry, Refusal, State};
use crate::inspect::{
    ClassCode, Costs, Count, Limit, Rules, RulesError, SealForm, Severity, SheetTakes,
};

use super::{FieldErrors, Reader, Typed};

/// The values of the limit field, and what is shown for each.
pub const LIMITS: [(&str, &str); 2] = [("hand", "set by hand"), ("cost", "from the costs")];

/// The values of the field for spoiled sheets, and what is shown for each.
pub const SHEET_TAKES: [(&str, &str); 2] = [
    ("notes", "loose replacement notes"),
    ("sheet", "a whole replacement sheet"),
];

/// The values of the field for counting at a destruction, and what is shown for each.
pub const COUNTS: [(&str, &str); 2] = [
    ("all", "every piece"),
    ("sample", "a drawn sample of each container"),
];

/// Sized for so many missing pieces and such a risk until the works says otherwise (common
/// practice, no source).
const SAMPLE: (&str, &str) = ("5", "5");

const LARGEST_COST: u32 = 1_000_000_000;

/// The form filled with the rules in force. Costs start from an example when the limit is by hand.
pub fn rules_typed(rules: &Rules) -> Typed {
    let (limit, spoiled_at, costs) = match rules.limit {
        Limit::SpoiledAt(limit) => ("hand", limit.to_string(), None),
        Limit::ByCost(costs) => ("cost", String::new(), Some(costs)),
    };
    let mut typed = Typed::with([("rules-limit", limit)]);
    typed.set("rules-spoiled-at", spoiled_at);
    let figures = costs.map_or(["", "", "", ""].map(str::to_owned), |costs| {
        [costs.sort, costs.note, costs.swap, costs.scrap].map(|cost| cost.to_string())
    });
    for (field, figure) in ["rules-sort", "rules-note", "rules-swap", "rules-scrap"]
        .into_iter()
        .zip(figures)
    {
        typed.set(field, figure);
    }
    typed.set("rules-minors", rules.minors_for_defect.to_string());
    typed.set("rules-witnesses", rules.witnesses.to_string());
    typed.set("rules-cut-over", rules.cut_over_hour.to_string());
    typed.set("rules-residue", rules.residue_percent.to_string());
    let takes = match rules.spoiled_sheet_takes {
        SheetTakes::Notes => "notes",
        SheetTakes::Sheet => "sheet",
    };
    typed.set("rules-sheet-takes", takes.to_owned());
    let seal_form = rules.seal_form.as_ref().map_or("", SealForm::as_str);
    typed.set("rules-seal-form", seal_form.to_owned());
    typed.tick("rules-outside", rules.outside_witness);
    typed.set("rules-same-pair", rules.same_pair_after.to_string());
    let (count, missing, risk) = match rules.count {
        Count::All => ("all", SAMPLE.0.to_owned(), SAMPLE.1.to_owned()),
        Count::Sample {
            missing,
            risk_percent,
        } => ("sample", missing.to_string(), risk_percent.to_string()),
    };
    typed.set("rules-count", count.to_owned());
    typed.set("rules-missing", missing);
    typed.set("rules-risk", risk);
    typed
}

/// Reads the form and the severities that differ from the catalogue's.
///
/// # Errors
/// Every wrong field, with what to do; rules that are in force already.
pub fn rules(
    typed: &Typed,
    overrides: &BTreeMap<ClassCode, Severity>,
    state: &State,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let limit = match form.text("rules-limit") {
        "hand" => form
            .number("rules-spoiled-at", "Spoiled at", 1..=400)
            .map(Limit::SpoiledAt),
        "cost" => read_costs(&mut form).map(Limit::ByCost),
        _ => form.wrong(
            "rules-limit",
            "\"Limit\" is not chosen. Choose by hand or by cost.",
        ),
    };
    let minors = form.number("rules-minors", "Minor tags that make a defect", 1..=20);
    let witnesses = form.number("rules-witnesses", "Witnesses", 2..=6);
    let cut_over = form.number("rules-cut-over", "Day ends at", 0..=23);
    let residue = form.number("rules-residue", "Residue may differ", 0..=50);
    let takes = match form.text("rules-sheet-takes") {
        "notes" => Some(SheetTakes::Notes),
        "sheet" => Some(SheetTakes::Sheet),
        _ => form.wrong(
            "rules-sheet-takes",
            "\"A spoiled sheet takes\" is not chosen. Choose loose notes or a whole sheet.",
        ),
    };
    let count = read_count(&mut form);
    let same_pair = form.number("rules-same-pair", "Same pair of witnesses", 0..=20);
    let seal_form = match form.text("rules-seal-form").trim() {
        "" => Some(None),
        _ => form.read::<SealForm>("rules-seal-form").map(Some),
    };
    let rules = (|| {
        Some(Rules {
            limit: limit?,
            minors_for_defect: minors?,
            overrides: overrides.clone(),
            witnesses: witnesses?,
            outside_witness: typed.ticked("rules-outside"),
            cut_over_hour: cut_over?,
            spoiled_sheet_takes: takes?,
            residue_percent: residue?,
            count: count?,
            same_pair_after: same_pair?,
            seal_form: seal_form?,
        })
    })();
    let rules = form.finish(rules)?;
    if rules == *state.rules {
        let message =
            "These are the rules in force already. Change something before recording them.";
        return Err(FieldErrors::one("", message));
    }
    Ok(Entry::RulesSet(rules))
}

/// The costs as typed, for the picture of the two curves.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn costs(typed: &Typed) -> Result<Costs, FieldErrors> {
    let mut form = Reader::new(typed);
    let costs = read_costs(&mut form);
    form.finish(costs)
}

/// The field that a refusal of the book is about.
pub fn rules_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::Rules(RulesError::SpoiledAtZero | RulesError::SpoiledAtAboveNotes { .. }) => {
            "rules-spoiled-at"
        }
        Refusal::Rules(RulesError::MinorsZero | RulesError::MinorsTooMany(_)) => "rules-minors",
        Refusal::Rules(RulesError::Witnesses(_)) => "rules-witnesses",
        Refusal::Rules(RulesError::CutOver(_)) => "rules-cut-over",
        Refusal::Rules(RulesError::Residue(_)) => "rules-residue",
        Refusal::Rules(RulesError::MissingZero) => "rules-missing",
        Refusal::Rules(RulesError::Risk(_)) => "rules-risk",
        _ => "",
    }
}

fn read_count(form: &mut Reader) -> Option<Count> {
    match form.text("rules-count") {
        "all" => Some(Count::All),
        "sample" => {
            let missing = form.number("rules-missing", "Missing pieces", 1..=1_000_000);
            let risk = form.number("rules-risk", "Risk", 1..=50);
            missing
                .zip(risk)
                .map(|(missing, risk_percent)| Count::Sample {
                    missing,
                    risk_percent,
                })
        }
        _ => form.wrong(
            "rules-count",
            "\"Count\" is not chosen. Choose every piece or a drawn sample.",
        ),
    }
}

fn read_costs(form: &mut Reader) -> Option<Costs> {
    let mut cost = |field, label| form.number(field, label, 0..=LARGEST_COST);
    let sort = cost("rules-sort", "Sorting a mixed sheet");
    let note = cost("rules-note", "Making a note");
    let swap = cost("rules-swap", "Swapping a note");
    let scrap = cost("rules-scrap", "Scrapping a sheet");
    Some(Costs {
        sort: sort?,
        note: note?,
        swap: swap?,
        scrap: scrap?,
    })
}

/// From how many defective notes keeping a sheet of `notes` notes costs more than scrapping it,
/// if it ever does.
pub fn crossing(costs: &Costs, notes: u16) -> Option<u16> {
    let scrapping = costs.scrapping(notes);
    (1..=notes).find(|defective| costs.salvage(*defective) > scrapping)
}

/// What the curves say, in one sentence.
pub fn crossing_says(costs: &Costs, notes: u16) -> String {
    match crossing(costs, notes) {
        Some(1) => "Keeping costs more from 1 defective note".to_owned(),
        Some(limit) => format!("Keeping costs more from {limit} defective notes"),
        None => {
            format!("Keeping never costs more: only a sheet of {notes} defective notes is spoiled")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample::{book, take};
    use super::*;
    use crate::inspect::starter_catalogue;

    fn typed(change: &[(&'static str, &str)]) -> Typed {
        let mut typed = rules_typed(&Rules::default());
        for (field, text) in change {
            typed.set(field, (*text).to_owned());
        }
        typed
    }

    const BY_COST: [(&str, &str); 5] = [
        ("rules-limit", "cost"),
        ("rules-sort", "40"),
        ("rules-note", "10"),
        ("rules-swap", "30"),
        ("rules-scrap", "20"),
    ];

    #[test]
    fn rules_in_force_fill_the_form_and_come_back_as_they_are() {
        let mut book = book();
        let unchanged = rules(&typed(&[]), &BTreeMap::new(), book.state()).unwrap_err();
        assert!(unchanged.of("").unwrap().contains("in force already"));
        let class = starter_catalogue().classes()[0].code;
        let entry = rules(
            &typed(&BY_COST),
            &[(class, Severity::Critical)].into(),
            book.state(),
        )
        .unwrap();
        take(&mut book, entry).unwrap();
        let now = &book.state().rules;
        assert_eq!(now.spoiled_at(40), 10);
        assert_eq!(rules_typed(now).get("rules-swap"), "30");
        let again = rules(&rules_typed(now), &now.overrides, book.state());
        assert!(again.is_err());
    }

    /// Worked by hand: scrapping 40 · 10 + 20 = 420; keeping 40 + 40 d is 400 at 9, 440 at 10.
    #[test]
    fn the_crossing_is_told() {
        let dear = costs(&typed(&BY_COST)).unwrap();
        assert_eq!(
            crossing_says(&dear, 40),
            "Keeping costs more from 10 defective notes"
        );
        let never = Costs {
            scrap: 100_000,
            ..dear
        };
        assert_eq!(crossing(&never, 40), None);
        assert!(crossing_says(&never, 40).contains("never costs more"));
        let always = Costs { sort: 1000, ..dear };
        assert_eq!(
            crossing_says(&always, 40),
            "Keeping costs more from 1 defective note"
        );
    }

    #[test]
    fn a_counted_sample_is_sized_by_missing_pieces_and_risk() {
        let mut book = book();
        let sampled = |missing, risk| {
            typed(&[
                ("rules-count", "sample"),
                ("rules-missing", missing),
                ("rules-risk", risk),
            ])
        };
        let wrong = rules(&sampled("0", "51"), &BTreeMap::new(), book.state()).unwrap_err();
        assert!(wrong.of("rules-missing").unwrap().contains("Give 1 to"));
        assert!(wrong.of("rules-risk").unwrap().contains("Give 1 to 50"));
        let entry = rules(&sampled("4", "2"), &BTreeMap::new(), book.state()).unwrap();
        take(&mut book, entry).unwrap();
        let count = Count::Sample {
            missing: 4,
            risk_percent: 2,
        };
        assert_eq!(book.state().rules.count, count);
        assert_eq!(rules_typed(&book.state().rules).get("rules-risk"), "2");
    }

    #[test]
    fn each_wrong_value_is_named_at_its_field() {
        let book = book();
        for (change, field, says) in [
            (
                ("rules-limit", ""),
                "rules-limit",
                "Choose by hand or by cost",
            ),
            (
                ("rules-limit", "cost"),
                "rules-note",
                "Making a note is not a whole number",
            ),
            (
                ("rules-spoiled-at", "0"),
                "rules-spoiled-at",
                "Give 1 to 400",
            ),
            (
                ("rules-spoiled-at", "401"),
                "rules-spoiled-at",
                "Give 1 to 400",
            ),
            (("rules-minors", "21"), "rules-minors", "Give 1 to 20"),
            (("rules-witnesses", "1"), "rules-witnesses", "Give 2 to 6"),
            (("rules-cut-over", "24"), "rules-cut-over", "Give 0 to 23"),
            (("rules-residue", "51"), "rules-residue", "Give 0 to 50"),
            (("rules-count", ""), "rules-count", "Choose every piece"),
            (("rules-same-pair", "21"), "rules-same-pair", "Give 0 to 20"),
        ] {
            let errors = rules(&typed(&[change]), &BTreeMap::new(), book.state()).unwrap_err();
            let message = errors
                .of(field)
                .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
    }
}
