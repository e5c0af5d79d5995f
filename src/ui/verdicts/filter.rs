//! Which of the sheets that are not good to show.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::{Exam, Lot};
use crate::inspect::{ClassCode, Reason, Verdict};
use crate::ui::kit::count;

/// What to show; nothing chosen shows everything.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Filter {
    pub verdict: Option<Verdict>,
    pub class: Option<ClassCode>,
    pub reason: Option<ReasonKind>,
}

/// Why a sheet is not good, roughly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReasonKind {
    Count,
    WholeSheet,
    Overruled,
}

impl ReasonKind {
    const ALL: [Self; 3] = [Self::Count, Self::WholeSheet, Self::Overruled];

    fn of(exam: &Exam) -> Self {
        match exam.ruling.reason {
            Reason::WholeSheet { .. } => Self::WholeSheet,
            Reason::Overruled(_) => Self::Overruled,
            Reason::NoTags | Reason::MinorOnly { .. } | Reason::Count { .. } => Self::Count,
        }
    }

    /// Its value in the choice, and its words.
    fn named(self) -> (&'static str, &'static str) {
        match self {
            Self::Count => ("count", "Defective notes counted"),
            Self::WholeSheet => ("sheet", "A whole-sheet class"),
            Self::Overruled => ("overruled", "Overruled"),
        }
    }
}

impl Filter {
    pub fn lets(&self, exam: &Exam) -> bool {
        let of_class = |class| exam.tags.iter().any(|tag| tag.class == class);
        self.verdict
            .is_none_or(|verdict| verdict == exam.ruling.verdict)
            && self.class.is_none_or(of_class)
            && self
                .reason
                .is_none_or(|reason| reason == ReasonKind::of(exam))
    }
}

/// Three choices side by side.
pub fn filters(
    filter: Filter,
    classes: &[(ClassCode, String)],
    reasons: &[(ReasonKind, u64)],
    onfilter: &Callback<Filter>,
) -> Html {
    let choose = |set: fn(&mut Filter, &str)| {
        let onfilter = onfilter.clone();
        Callback::from(move |event: Event| {
            let mut chosen = filter;
            set(
                &mut chosen,
                &event.target_unchecked_into::<HtmlSelectElement>().value(),
            );
            onfilter.emit(chosen);
        })
    };
    let verdict = choose(|filter, value| {
        let mut verdicts = Verdict::ALL.into_iter();
        filter.verdict = verdicts.find(|verdict| verdict.name() == value);
    });
    let class = choose(|filter, value| filter.class = value.parse().ok());
    let reason = choose(|filter, value| {
        let kinds = ReasonKind::ALL.into_iter();
        filter.reason = kinds.into_iter().find(|kind| kind.named().0 == value);
    });
    let reason_option = |(kind, sheets): &(ReasonKind, u64)| {
        let (value, words) = kind.named();
        html! { <option key={value} {value} selected={filter.reason == Some(*kind)}>{ format!("{words} ({})", count(*sheets)) }</option> }
    };
    let class_option = |(code, name): &(ClassCode, String)| {
        html! { <option key={code.to_string()} value={code.to_string()} selected={filter.class == Some(*code)}>{ format!("{code} {name}") }</option> }
    };
    html! {
        <div class="filters">
            <label class="field">{ "Verdict" }
                <select id="filter-verdict" onchange={verdict}>
                    <option value="" selected={filter.verdict.is_none()}>{ "Every verdict" }</option>
                    <option value="good" selected={filter.verdict == Some(Verdict::Good)}>{ "Good, overruled" }</option>
                    <option value="mixed" selected={filter.verdict == Some(Verdict::Mixed)}>{ "Mixed" }</option>
                    <option value="spoiled" selected={filter.verdict == Some(Verdict::Spoiled)}>{ "Spoiled" }</option>
                </select>
            </label>
            <label class="field">{ "Class" }
                <select id="filter-class" onchange={class}>
                    <option value="" selected={filter.class.is_none()}>{ "Every class" }</option>
                    { for classes.iter().map(class_option) }
                </select>
            </label>
            <label class="field">{ "Reason" }
                <select id="filter-reason" onchange={reason}>
                    <option value="" selected={filter.reason.is_none()}>{ "Every reason" }</option>
                    { for reasons.iter().map(reason_option) }
                </select>
            </label>
        </div>
    }
}

/// The sheets listed, by reason; reasons without a sheet are left out.
pub fn reasons_of(lot: &Lot) -> Vec<(ReasonKind, u64)> {
    let counted = ReasonKind::ALL.map(|kind| {
        let sheets = lot
            .listed()
            .filter(|(_, exam)| ReasonKind::of(exam) == kind);
        (kind, sheets.count() as u64)
    });
    counted
        .into_iter()
        .filter(|(_, sheets)| *sheets > 0)
        .collect()
}

/// The classes on the sheets listed, by code.
pub fn classes_of(lot: &Lot) -> Vec<(ClassCode, String)> {
    let tags = lot.listed().flat_map(|(_, exam)| &exam.tags);
    let codes: std::collections::BTreeSet<ClassCode> = tags.map(|tag| tag.class).collect();
    let name = |code: ClassCode| {
        let class = lot.catalogue.get(code);
        (
            code,
            class.map_or_else(String::new, |class| class.name.clone()),
        )
    };
    codes.into_iter().map(name).collect()
}
