//! What the Day screen works out over very many lines: a slice at a time, between two drawings of
//! the page.

use std::cell::RefCell;
use std::rc::Rc;

use gloo::timers::callback::Timeout;
use yew::prelude::*;

use crate::book::{BookName, Hash};
use crate::desk::Desk;
use crate::export::{DayRecord, RecordMaking, SeveralDay, SeveralMaking};
use crate::people::Day;
use crate::ui::use_shop;

/// Milliseconds of work before the page gets its turn; the step under way is still ended.
const SLICE_MS: f64 = 30.0;

/// Work that comes to something in steps.
pub trait Stepwise: Sized + 'static {
    /// Of what it is made. The same makes the same.
    type Of: Clone + PartialEq + 'static;
    type Made: 'static;

    /// Nothing when there is nothing to work out.
    fn begin(of: &Self::Of, desk: &Desk) -> Option<Self>;
    /// Whether the desk still holds of what it was begun.
    fn holds(of: &Self::Of, desk: &Desk) -> bool;
    fn step(&mut self, desk: &Desk);
    fn is_done(&self) -> bool;
    /// Steps that are done, and all there are.
    fn progress(&self) -> (usize, usize);
    fn finish(self, desk: &Desk) -> Option<Self::Made>;
}

/// What is worked out.
pub struct Worked<M> {
    /// What was made last, which is shown while something newer is made.
    pub made: Option<Rc<M>>,
    /// How far the newer is.
    pub per_cent: Option<usize>,
}

struct Work<W: Stepwise> {
    /// Of what the last was made; nothing before the first.
    of: Option<W::Of>,
    made: Option<Rc<W::Made>>,
    under_way: Option<(W::Of, W)>,
    /// Slices worked so far.
    slices: u64,
}

impl<W: Stepwise> Work<W> {
    fn is_of(&self, of: &W::Of) -> bool {
        match (&self.under_way, &self.of) {
            (Some((begun, _)), _) => begun == of,
            (None, made) => made.as_ref() == Some(of),
        }
    }

    fn begin(&mut self, of: &W::Of, desk: &Desk) {
        self.under_way = W::begin(of, desk).map(|work| (of.clone(), work));
        if self.under_way.is_none() {
            (self.of, self.made) = (Some(of.clone()), None);
        }
    }

    /// Works for a slice. What is not of the desk any more is given up: the next drawing begins
    /// anew.
    fn go_on(&mut self, desk: &Desk) {
        self.slices += 1;
        let Some((of, mut work)) = self.under_way.take() else {
            return;
        };
        if !W::holds(&of, desk) {
            return;
        }
        let begun = js_sys::Date::now();
        while !work.is_done() && js_sys::Date::now() - begun < SLICE_MS {
            work.step(desk);
        }
        match work.is_done() {
            true => (self.of, self.made) = (Some(of), work.finish(desk).map(Rc::new)),
            false => self.under_way = Some((of, work)),
        }
    }

    fn worked(&self) -> Worked<W::Made> {
        Worked {
            made: self.made.clone(),
            per_cent: self.under_way.as_ref().map(|(_, work)| {
                let (done, of) = work.progress();
                done * 100 / of.max(1)
            }),
        }
    }
}

/// Works something out of the desk, whenever that of which it is made has changed. What is soon
/// made is made at once, and never seen under way.
#[hook]
pub fn use_slices<W: Stepwise>(of: W::Of) -> Worked<W::Made> {
    let shop = use_shop();
    let turn = use_force_update();
    let work: Rc<RefCell<Work<W>>> = use_mut_ref(|| Work {
        of: None,
        made: None,
        under_way: None,
        slices: 0,
    });
    if !work.borrow().is_of(&of) {
        let mut work = work.borrow_mut();
        work.begin(&of, &shop.desk());
        work.go_on(&shop.desk());
    }
    let worked = work.borrow().worked();
    let (more, slices) = (worked.per_cent.is_some(), work.borrow().slices);
    // Whatever else draws the page meanwhile, the next slice keeps its turn.
    use_effect_with((more, slices), move |(more, _)| {
        let timer = more.then(|| {
            Timeout::new(0, move || {
                work.borrow_mut().go_on(&shop.desk());
                turn.force_update();
            })
        });
        move || drop(timer)
    });
    worked
}

/// Says how far it is.
pub fn under_way(what: &str, name: &'static str, per_cent: usize) -> Html {
    html! {
        <div class="making" role="status" data-making={name}>
            <progress max="100" value={per_cent.to_string()} />
            <span>{ format!("{what}: {per_cent} %") }</span>
        </div>
    }
}

impl Stepwise for RecordMaking {
    type Of = (Hash, Day);
    type Made = DayRecord;

    fn begin((_, day): &Self::Of, desk: &Desk) -> Option<Self> {
        Self::begin(desk.book.verifier(), *day)
    }

    fn holds((head, _): &Self::Of, desk: &Desk) -> bool {
        desk.book.head() == *head
    }

    fn step(&mut self, desk: &Desk) {
        self.step(desk.state());
    }

    fn is_done(&self) -> bool {
        self.is_done()
    }

    fn progress(&self) -> (usize, usize) {
        (self.made(), Self::STEPS)
    }

    fn finish(self, _: &Desk) -> Option<DayRecord> {
        Some(self.finish())
    }
}

impl Stepwise for SeveralMaking {
    /// The guests, the own head, the day.
    type Of = (Vec<BookName>, Hash, Day);
    type Made = SeveralDay;

    fn begin((guests, _, day): &Self::Of, desk: &Desk) -> Option<Self> {
        let books = || desk.visit.guests.beside(&desk.book);
        (!guests.is_empty()).then(|| Self::begin(&books(), *day))
    }

    fn holds((guests, head, _): &Self::Of, desk: &Desk) -> bool {
        desk.book.head() == *head && desk.visit.guests.names().eq(guests)
    }

    fn step(&mut self, desk: &Desk) {
        self.step(&desk.visit.guests.beside(&desk.book));
    }

    fn is_done(&self) -> bool {
        self.is_done()
    }

    fn progress(&self) -> (usize, usize) {
        self.progress()
    }

    fn finish(self, desk: &Desk) -> Option<SeveralDay> {
        self.finish(&desk.visit.guests.beside(&desk.book))
    }
}
