//! Reading a machine file in steps, so that the page stays alive.

use std::cell::Cell;
use std::rc::Rc;

use gloo::file::File;
use gloo::file::futures::read_as_bytes;
use gloo::timers::future::TimeoutFuture;

use crate::book::{Hash, Lot};
use crate::desk::import::MachineImport;
use crate::desk::practice::{PracticeLot, generate, to_csv, with_wrong_rows};
use crate::export::{MAX_BYTES, MachineContext, MachineFileError, MachineReader, Progress};
use crate::sheet::{LotId, SheetNo};
use crate::ui::Shop;

/// Rows read before the page gets its turn.
const STEP: usize = 2_000;

/// Wrong rows mixed into an invented file, so that refusals can be seen.
const WRONG_ROWS: usize = 17;

/// Where the bytes come from.
pub enum Origin {
    File(web_sys::File),
    /// Made up for the practice lot.
    Invented,
}

/// What a reading task is told and tells.
pub struct Task {
    pub shop: Shop,
    pub lot: LotId,
    /// Set from outside to give the reading up.
    pub stopped: Rc<Cell<bool>>,
    pub progress: Box<dyn Fn(Progress)>,
}

impl Task {
    /// Reads the file as far as its preview. Nothing when it was given up.
    ///
    /// # Errors
    /// Why nothing of the file can be taken, in a sentence.
    pub async fn run(&self, origin: Origin) -> Result<Option<MachineImport>, String> {
        let (name, bytes) = match origin {
            Origin::File(file) => (file.name(), bytes_of(file).await?),
            Origin::Invented => (format!("{}-invented.csv", self.lot), self.invent()?),
        };
        self.read(&name, &bytes).await
    }

    async fn read(&self, name: &str, bytes: &[u8]) -> Result<Option<MachineImport>, String> {
        // What the reader needs of the lot, so that the desk stays free between steps.
        let (product, catalogue, examined) = self.with_lot(|lot| {
            let examined: Vec<bool> = lot
                .sheets
                .iter()
                .map(|sheet| sheet.exam.is_some())
                .collect();
            (Rc::clone(&lot.product), Rc::clone(&lot.catalogue), examined)
        })?;
        let is_examined = |sheet: SheetNo| examined.get(sheet.index() as usize) == Some(&true);
        let context = MachineContext {
            lot: self.lot,
            sheets: examined.len() as u32,
            layout: &product.layout,
            catalogue: &catalogue,
            examined: &is_examined,
        };
        let mut reader = MachineReader::new(bytes, context).map_err(|why| why.to_string())?;
        loop {
            let progress = reader.step(STEP);
            (self.progress)(progress);
            TimeoutFuture::new(0).await;
            if self.stopped.get() {
                return Ok(None);
            }
            if progress.is_done() {
                break;
            }
        }
        let report = reader.finish();
        TimeoutFuture::new(0).await;
        let sha256 = Hash::of_file(bytes);
        TimeoutFuture::new(0).await;
        self.with_lot(|lot| Some(MachineImport::new(lot, name, sha256, report)))
    }

    /// A lot is never taken out of the book, so it is there as long as its book is.
    fn with_lot<T>(&self, look: impl FnOnce(&Lot) -> T) -> Result<T, String> {
        let state = self.shop.state();
        state.lot(self.lot).map(look).map_err(|why| why.to_string())
    }

    fn invent(&self) -> Result<Vec<u8>, String> {
        let lot = self
            .with_lot(|lot| PracticeLot::new(lot.id, lot.len(), lot.product.layout.clone(), 0))?;
        let lot = lot.map_err(|why| why.to_string())?;
        // The seed is the lot's own, so that its invented file is the same every time.
        let seed = u64::from(lot.sheets());
        let csv = to_csv(&lot, &generate(seed, &lot));
        Ok(with_wrong_rows(&csv, seed, &lot, WRONG_ROWS).into_bytes())
    }
}

async fn bytes_of(file: web_sys::File) -> Result<Vec<u8>, String> {
    let file = File::from(file);
    let bytes = file.size() as usize;
    if bytes > MAX_BYTES {
        return Err(MachineFileError::TooLarge { bytes }.to_string());
    }
    let read = read_as_bytes(&file).await;
    read.map_err(|why| format!("The file could not be read ({why}). Choose it again."))
}
