//! The root: owns the desk, hands its effects to the machine, draws what fits the state.

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};

use yew::prelude::*;

use crate::book::Refusal;
use crate::desk::{Action, Desk, Env, Machine, Startup};

use super::first::{broken, first_visit};
use super::kit::count;
use super::shell::Frame;
use super::shop::{Act, Shop};

/// The machine the app runs on.
#[derive(Clone)]
pub struct OnMachine(pub Rc<dyn Machine>);

impl PartialEq for OnMachine {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

#[derive(Properties, PartialEq)]
pub struct AppProps {
    pub machine: OnMachine,
}

/// The whole app.
#[function_component]
pub fn App(props: &AppProps) -> Html {
    let machine = Rc::clone(&props.machine.0);
    let desk = use_mut_ref(Desk::default);
    let version = use_state(|| 0_u64);
    let act = {
        let (machine, desk, redraw) = (Rc::clone(&machine), Rc::clone(&desk), version.setter());
        use_memo((), move |()| {
            acting(machine, desk, move |count| redraw.set(count))
        })
    };
    let (started, lamp, space) = (Rc::clone(&act), machine.lamp(), machine.space());
    use_effect_with((), move |()| {
        for action in [Action::SetLamp(lamp), Action::Start(space), Action::HoldApp] {
            // None of these is ever refused.
            started(action).unwrap_or_default();
        }
    });
    let shop = Shop::new(Rc::clone(&desk), machine, Rc::clone(&*act), *version);
    let startup = desk.borrow().startup.clone();
    let page = match startup {
        Startup::Loading => opening(desk.borrow().lines_read()),
        Startup::NoBook => first_visit(&shop),
        Startup::Broken { why, .. } => broken(&shop, &why),
        Startup::Ready => html! { <Frame /> },
    };
    html! { <ContextProvider<Shop> context={shop}>{ page }</ContextProvider<Shop>> }
}

/// A long book says how far it is read.
fn opening(read: Option<(u64, u64)>) -> Html {
    let far = read.map(|(read, all)| format!("{} of {} entries", count(read), count(all)));
    html! { <main class="loading"><p>{ "Opening the book…" }</p><p class="soft">{ far }</p></main> }
}

/// The one way to act: step the desk, hand on its effects, draw anew.
fn acting(
    machine: Rc<dyn Machine>,
    desk: Rc<RefCell<Desk>>,
    redraw: impl Fn(u64) + 'static,
) -> Rc<Act> {
    let acting = Rc::new(Acting {
        machine,
        desk,
        redraw: Box::new(redraw),
        count: Cell::new(0),
    });
    let weak: Weak<Acting> = Rc::downgrade(&acting);
    acting.machine.answer_to(Box::new(move |action| {
        if let Some(acting) = weak.upgrade() {
            acting.report(action);
        }
    }));
    Rc::new(move |action| acting.step(action))
}

struct Acting {
    machine: Rc<dyn Machine>,
    desk: Rc<RefCell<Desk>>,
    redraw: Box<dyn Fn(u64)>,
    count: Cell<u64>,
}

impl Acting {
    fn step(&self, action: Action) -> Result<(), Refusal> {
        let mut new_id = || self.machine.new_id();
        let mut env = Env {
            now: self.machine.now(),
            new_id: &mut new_id,
        };
        let effects = self.desk.borrow_mut().step(action, &mut env)?;
        self.machine.run(effects);
        self.count.set(self.count.get() + 1);
        (self.redraw)(self.count.get());
        Ok(())
    }

    /// Takes what the machine answers; a refusal has no form to go to and is shown on the page.
    fn report(&self, action: Action) {
        if let Err(why) = self.step(action) {
            self.step(Action::Problem(why.to_string()))
                .unwrap_or_default();
        }
    }
}
