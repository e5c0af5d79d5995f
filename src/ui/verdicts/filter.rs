//! Which of the sheets that are not good to show.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use crate::book::{Exam, Lot};
use crate::inspect::{ClassCode, Reason, Verdict};

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
}

impl Filter {
    pub fn lets(&self, exam: &Exam) -> bool {
        let of_class = |class| exam.tags.iter().any(|tag| tag.class == class);
        let kind = match exam.ruling.reason {
            Reason::WholeSheet { .. } => ReasonKind::WholeSheet,
            Reason::NoTags | Reason::MinorOnly { .. } | Reason::Count { .. } => ReasonKind::Count,
        };
        self.verdict
            .is_none_or(|verdict| verdict == exam.ruling.verdict)
            && self.class.is_none_or(of_class)
            && self.reason.is_none_or(|reason| reason == kind)
    }
}

#[derive(Properties, PartialEq)]
pub struct FiltersProps {
    pub filter: Filter,
    /// The classes that occur, with their names.
    pub classes: Vec<(ClassCode, String)>,
    pub onfilter: Callback<Filter>,
}

/// Three choices side by side.
#[function_component]
pub fn Filters(props: &FiltersProps) -> Html {
    let filter = props.filter;
    let choose = |set: fn(&mut Filter, &str)| {
        let onfilter = props.onfilter.clone();
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
        let not_good = [Verdict::Mixed, Verdict::Spoiled].into_iter();
        filter.verdict = not_good.into_iter().find(|verdict| verdict.name() == value);
    });
    let class = choose(|filter, value| filter.class = value.parse().ok());
    let reason = choose(|filter, value| {
        filter.reason = match value {
            "count" => Some(ReasonKind::Count),
            "sheet" => Some(ReasonKind::WholeSheet),
            _ => None,
        }
    });
    let class_option = |(code, name): &(ClassCode, String)| {
        html! { <option key={code.to_string()} value={code.to_string()} selected={filter.class == Some(*code)}>{ format!("{code} {name}") }</option> }
    };
    html! {
        <div class="filters">
            <label class="field">{ "Verdict" }
                <select id="filter-verdict" onchange={verdict}>
                    <option value="" selected={filter.verdict.is_none()}>{ "Mixed and spoiled" }</option>
                    <option value="mixed" selected={filter.verdict == Some(Verdict::Mixed)}>{ "Mixed" }</option>
                    <option value="spoiled" selected={filter.verdict == Some(Verdict::Spoiled)}>{ "Spoiled" }</option>
                </select>
            </label>
            <label class="field">{ "Class" }
                <select id="filter-class" onchange={class}>
                    <option value="" selected={filter.class.is_none()}>{ "Every class" }</option>
                    { for props.classes.iter().map(class_option) }
                </select>
            </label>
            <label class="field">{ "Reason" }
                <select id="filter-reason" onchange={reason}>
                    <option value="" selected={filter.reason.is_none()}>{ "Every reason" }</option>
                    <option value="count" selected={filter.reason == Some(ReasonKind::Count)}>{ "Defective notes counted" }</option>
                    <option value="sheet" selected={filter.reason == Some(ReasonKind::WholeSheet)}>{ "A whole-sheet class" }</option>
                </select>
            </label>
        </div>
    }
}

/// The classes on the sheets that are not good, by code.
pub fn classes_of(lot: &Lot) -> Vec<(ClassCode, String)> {
    let tags = lot.not_good().flat_map(|(_, exam)| &exam.tags);
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
