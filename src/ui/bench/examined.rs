//! A sheet examined before: who did, the reason that a change needs, a supervisor's other word.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::book::{Acceptance, Gone, State};
use crate::desk::Action;
use crate::desk::bench::{Bench, Command};
use crate::people::Duty;
use crate::ui::kit::{Dialog, count};
use crate::ui::use_shop;
use crate::ui::verdicts::Overrule;

#[function_component]
pub fn Examined() -> Html {
    let shop = use_shop();
    let overruling = use_state(|| false);
    let open = |now: bool| {
        let overruling = overruling.clone();
        Callback::from(move |()| overruling.set(now))
    };
    let desk = shop.desk();
    let bench = &desk.bench;
    let Some(lot) = bench.lot(desk.state()) else {
        return Html::default();
    };
    if let Some(sample) = bench.acceptance(desk.state()) {
        return looked(sample, bench, desk.state());
    }
    let known = lot.sheet(bench.sheet);
    let Some(exam) = known.and_then(|sheet| sheet.exam.as_deref()) else {
        return Html::default();
    };
    let word = exam.machine_word().map(|word| format!(", {word}"));
    let who = format!(
        "Examined by {} at {}, entry {}{}.",
        desk.state().name_of(exam.by),
        exam.at.clock(),
        count(exam.examined_in()),
        word.unwrap_or_default()
    );
    let changed = bench.draft.changed();
    let gone = lot.gone(bench.sheet);
    let may = lot.closed.is_none() && gone.is_none() && desk.may(Duty::Overrule);
    let title = format!(
        "Overrule the verdict on sheet {}",
        count(bench.sheet.number())
    );
    html! {
        <>
        <div class="examined">
            <p>{ who }{ corrects(exam.corrects.as_ref()) }</p>
            if let Some(gone) = gone {
                <p data-gone="">{ format!("It {} and can no longer be corrected.", gone_words(gone)) }</p>
            } else if changed {
                <Reason text={AttrValue::from(bench.draft.reason.clone())} />
            } else if may {
                <button type="button" onclick={open(true).reform(|_: MouseEvent| ())} data-action="overrule-here">{ "Overrule the verdict" }</button>
            }
        </div>
        if *overruling && may {
            <Dialog {title} onclose={open(false)}>
                <Overrule lot={lot.id} sheet={bench.sheet} done={open(false)} />
            </Dialog>
        }
        </>
    }
}

/// What was found at the second look, and the reason that a change of it needs.
fn looked(sample: &Acceptance, bench: &Bench, state: &State) -> Html {
    let Some(look) = sample.look(bench.sheet) else {
        return Html::default();
    };
    let who = format!(
        "Looked at by {} at {}, entry {}.",
        state.name_of(look.by),
        look.at.clock(),
        count(look.seq)
    );
    html! {
        <div class="examined">
            <p>{ who }{ corrects(look.corrects.as_ref()) }</p>
            if bench.draft.changed() {
                <Reason text={AttrValue::from(bench.draft.reason.clone())} />
            }
        </div>
    }
}

/// " Corrects entry 24: looked again."
fn corrects(before: Option<&(u64, String)>) -> Option<Html> {
    let (seq, why) = before?;
    let why = why.trim().trim_end_matches('.');
    Some(
        html! { <span data-corrects={seq.to_string()}>{ format!(" Corrects entry {}: {why}.", count(*seq)) }</span> },
    )
}

fn gone_words(gone: Gone) -> String {
    match gone {
        Gone::BeforeNumbering => gone.to_string(),
        Gone::LostAtPress { .. } => format!("was {gone},"),
    }
}

#[derive(Properties, PartialEq)]
struct ReasonProps {
    text: AttrValue,
}

#[function_component]
fn Reason(props: &ReasonProps) -> Html {
    let shop = use_shop();
    let oninput = Callback::from(move |event: InputEvent| {
        let text = event.target_unchecked_into::<HtmlInputElement>().value();
        shop.act(Action::Bench(Command::Reason(text)));
    });
    let shop = use_shop();
    let onkeydown = Callback::from(move |event: KeyboardEvent| {
        if event.key() == "Enter" {
            event.prevent_default();
            shop.act(Action::BenchClick(Command::Enter));
        }
    });
    html! {
        <div class="field">
            <label for="reason">{ "Why is it corrected?" }</label>
            <input id="reason" value={&props.text} {oninput} {onkeydown} autocomplete="off" />
            <p class="hint">{ "The first examination stays in the book beside the correction." }</p>
        </div>
    }
}
