//! Reading books of other benches one after the other, in steps, so that the page stays alive.

use std::cell::Cell;
use std::rc::Rc;

use gloo::file::File;
use gloo::file::futures::read_as_bytes;
use gloo::timers::future::TimeoutFuture;

use crate::book::{Guest, GuestReader};
use crate::desk::{Action, NotRead};
use crate::ui::Shop;
use crate::ui::kit::BOOK_FILE_MAX;

/// Milliseconds of reading before the page gets its turn, and between two words about it.
const STEP_MS: f64 = 12.0;
const TOLD_MS: f64 = 150.0;

/// How far the reading is.
#[derive(Clone, PartialEq)]
pub struct HowFar {
    pub file: String,
    /// Which file it is, from 1, of how many.
    pub at: usize,
    pub files: usize,
    /// Lines that hold so far.
    pub lines: u64,
    pub per_cent: u64,
}

/// What a reading task is told and tells.
pub struct Task {
    pub shop: Shop,
    /// Set from outside to give the reading up.
    pub stopped: Rc<Cell<bool>>,
    /// Hears nothing at the end.
    pub told: Box<dyn Fn(Option<HowFar>)>,
}

impl Task {
    /// Reads every file and lays its book beside the others, or says why not.
    pub async fn run(&self, files: Vec<web_sys::File>) {
        let count = files.len();
        for (at, file) in (1..).zip(files) {
            let file = File::from(file);
            let far = HowFar {
                file: file.name(),
                at,
                files: count,
                lines: 0,
                per_cent: 0,
            };
            let read = Box::new(self.read(&file, far).await);
            let file = file.name();
            self.shop.act(Action::BringGuest { file, read });
        }
        (self.told)(None);
    }

    async fn read(&self, file: &File, mut far: HowFar) -> Result<Guest, NotRead> {
        if self.stopped.get() {
            return Err(NotRead::Stopped);
        }
        (self.told)(Some(far.clone()));
        if file.size() > BOOK_FILE_MAX {
            let (megabytes, most) = (file.size() >> 20, BOOK_FILE_MAX >> 20);
            return Err(NotRead::TooLarge { megabytes, most });
        }
        let bytes = read_as_bytes(file).await;
        let bytes = bytes.map_err(|why| NotRead::Unreadable(why.to_string()))?;
        let mut reader = GuestReader::new(&bytes);
        let mut said = js_sys::Date::now();
        while !reader.is_done() {
            let begun = js_sys::Date::now();
            while !reader.is_done() && js_sys::Date::now() - begun < STEP_MS {
                reader.step()?;
            }
            if begun - said > TOLD_MS {
                said = begun;
                (far.lines, far.per_cent) = (reader.lines(), reader.per_cent());
                (self.told)(Some(far.clone()));
            }
            TimeoutFuture::new(0).await;
            if self.stopped.get() {
                return Err(NotRead::Stopped);
            }
        }
        Ok(reader.finish()?)
    }
}
