//! A sheet as people type or scan it: "BW-0412 17", "BW-0412/17", "sheet 17 of lot BW-0412".

use crate::sheet::{LotId, SheetNo};

use super::state::State;

/// What a text says of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetText {
    Found(LotId, SheetNo),
    /// The lot is there, but has no such sheet: how many it has.
    NoSuchSheet {
        lot: LotId,
        sheets: u32,
    },
    /// The lines of the lot are in the archive.
    InArchive(LotId),
}

impl State {
    /// The sheet that a text names: a lot of this book and a number, in either order, with or
    /// without the words "sheet", "of" and "lot". Nothing when it names none.
    pub fn find_sheet(&self, text: &str) -> Option<SheetText> {
        let parted = |c: char| c.is_whitespace() || matches!(c, '/' | ',' | ';' | ':' | '#');
        let is_filler = |word: &&str| {
            let word = word.to_ascii_lowercase();
            matches!(word.as_str(), "" | "sheet" | "of" | "lot" | "no" | "no.")
        };
        let mut words = text.split(parted).filter(|word| !is_filler(word));
        let (first, second) = (words.next()?, words.next()?);
        if words.next().is_some() {
            return None;
        }
        self.sheet_of(first, second)
            .or_else(|| self.sheet_of(second, first))
    }

    fn sheet_of(&self, lot: &str, number: &str) -> Option<SheetText> {
        let named = |id: &&LotId| id.as_str().eq_ignore_ascii_case(lot);
        if number.is_empty() || !number.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let Some(lot) = self
            .lots
            .keys()
            .find(named)
            .and_then(|id| self.lots.get(id))
        else {
            let archived = self.archive.lots.keys().find(named);
            return archived.map(|id| SheetText::InArchive(*id));
        };
        let sheet = number.parse().ok().and_then(SheetNo::new);
        Some(match sheet.filter(|sheet| lot.sheet(*sheet).is_some()) {
            Some(sheet) => SheetText::Found(lot.id, sheet),
            None => SheetText::NoSuchSheet {
                lot: lot.id,
                sheets: lot.len(),
            },
        })
    }
}
