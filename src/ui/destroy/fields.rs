//! At the machine: how and from when it is destroyed, until when, and what the residue looks like.

use yew::prelude::*;

use crate::custody::{Method, ParticleClass};
use crate::desk::forms::local_text;
use crate::ui::kit::{Choice, Field, Form, Pick};
use crate::ui::use_shop;

use super::persons::FormProps;

/// How and from when.
#[function_component]
pub fn Start(props: &FormProps) -> Html {
    let form = props.form.clone();
    let asks_class = use_shop().desk().destruction.leaves_particles();
    let methods: Vec<Choice> = Method::ALL
        .map(|method| (method.name().into(), method.name().into()))
        .into();
    let classes: Vec<Choice> = ParticleClass::ALL.map(class).into();
    html! {
        <>
            <div class="fields">
                <Field form={form.clone()} name="machine" label="Machine" hint="As its plate names it" />
                <Pick form={form.clone()} name="method" label="Method" choices={methods} />
                if asks_class {
                    <Pick form={form.clone()} name="class" label="Particle class" hint="Of ISO/IEC 21964-2" choices={classes} />
                }
            </div>
            <div class="fields times"><Time {form} name="started" label="Start" /></div>
        </>
    }
}

/// Until when.
#[function_component]
pub fn End(props: &FormProps) -> Html {
    let shop = use_shop();
    let state = shop.state();
    let run = state.session.as_ref().and_then(|log| log.started());
    html! {
        <>
            if let Some(run) = run {
                <p>{ format!("{} has been running since {}: {}.", run.machine, run.started.clock(), run.method.name()) }</p>
            }
            <div class="fields times"><Time form={props.form.clone()} name="ended" label="End" /></div>
        </>
    }
}

fn class(class: ParticleClass) -> Choice {
    let (name, area, most) = (class.name(), class.largest_mm2(), class.tolerated_mm2());
    let shown = match most > area {
        true => format!("{name}, {area} mm², one in ten up to {most}"),
        false => format!("{name}, at most {area} mm²"),
    };
    (class.name().into(), shown.into())
}

#[derive(Properties, PartialEq)]
struct TimeProps {
    form: Form,
    name: &'static str,
    label: AttrValue,
}

/// A date and time with a button for now.
#[function_component]
fn Time(props: &TimeProps) -> Html {
    let shop = use_shop();
    let (form, name) = (props.form.clone(), props.name);
    let now = Callback::from(move |_: MouseEvent| form.set(name, local_text(&shop.now())));
    html! {
        <div class="time">
            <Field form={props.form.clone()} {name} label={props.label.clone()} kind="datetime-local" />
            <button type="button" onclick={now} data-now={name}>{ "Now" }<span class="sr-only">{ format!(" is the {}", props.label.to_lowercase()) }</span></button>
        </div>
    }
}

/// The sample of particles, against the class.
#[function_component]
pub fn Residue(props: &FormProps) -> Html {
    let shop = use_shop();
    let state = shop.state();
    let run = state.session.as_ref().and_then(|log| log.started());
    let class = run.and_then(|run| run.particle_class);
    let measured = run.is_some_and(|run| run.method.leaves_particles());
    let limit = class.map_or_else(
        || "the class' area".to_owned(),
        |class| format!("{} mm²", class.largest_mm2()),
    );
    let asked = class.map_or_else(String::new, |class| match class.above_allowed(100) {
        0 => format!("Class {} allows none above {limit}.", class.name()),
        _ => format!(
            "Class {} allows one in ten above {limit}, none above {} mm².",
            class.name(),
            class.tolerated_mm2()
        ),
    });
    html! {
        <>
            if measured {
                <p>{ format!("Check that nothing whole is left in the machine and its bin. Then take a sample of the residue and measure its particles one by one. {asked}") }</p>
            } else {
                <p>{ "Check that no piece of a note can be read any more. Nothing is measured where paper is pulped or burnt." }</p>
            }
            <div class="fields">
                if measured {
                    <Field form={props.form.clone()} name="particles-measured" label="Particles measured" hint="How many, 1 or more" inputmode={Some(AttrValue::from("numeric"))} />
                    <Field form={props.form.clone()} name="particles-above" label={format!("Of these, larger than {limit}")} hint="0 if there are none" inputmode={Some(AttrValue::from("numeric"))} />
                    <Field form={props.form.clone()} name="particle" label="Largest particle, in mm²" hint="A whole number" inputmode={Some(AttrValue::from("numeric"))} />
                }
                <Field form={props.form.clone()} name="remarks" label="Remarks" hint="If anything was unusual" />
            </div>
        </>
    }
}
