use std::num::NonZeroU32;

use serde::{Deserialize, Serialize};

use super::{BoxNo, BundleNo, MAX_SHEETS, SheetNo, SheetRange, grouped};

/// How the finishing hall stacks, cuts, bundles and boxes; 100, 100 and 100 unless set.
///
/// - Sheets are stacked in sheet order, `stack` sheets a stack, the first sheet on top; the last
///   stack may be short.
/// - Cutting a stack gives one pile for each position.
/// - From its top, each pile is parted into bundles of `bundle` notes; no bundle crosses piles.
/// - Bundles are counted through the lot: stack by stack, in a stack by position rank, in a pile
///   from the top.
/// - Boxes fill with `bundles_per_box` consecutive bundles; the last box may be short.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Sizes", into = "Sizes")]
pub struct Finishing {
    stack: NonZeroU32,
    bundle: NonZeroU32,
    bundles_per_box: NonZeroU32,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Sizes {
    stack: u32,
    bundle: u32,
    bundles_per_box: u32,
}

/// Why a lot cannot be finished so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FinishingError {
    #[error("The {what} is 0. Give at least 1.")]
    Zero { what: &'static str },
    #[error(
        "A stack of {} sheets does not part into bundles of {} notes. Give a stack height that is a multiple of the bundle.", grouped((*.stack).into()), grouped((*.bundle).into())
    )]
    Parting { stack: u32, bundle: u32 },
    #[error(
        "The lot has {} sheets, more than the {} a lot may have. Split it.", grouped((*.sheets).into()), grouped(MAX_SHEETS.into())
    )]
    TooManySheets { sheets: u32 },
}

impl Finishing {
    /// `stack` sheets a stack, a multiple of `bundle` notes a bundle.
    pub fn new(stack: u32, bundle: u32, bundles_per_box: u32) -> Result<Self, FinishingError> {
        let some = |what, n| NonZeroU32::new(n).ok_or(FinishingError::Zero { what });
        let sizes = Self {
            stack: some("stack height", stack)?,
            bundle: some("bundle size", bundle)?,
            bundles_per_box: some("number of bundles a box", bundles_per_box)?,
        };
        if !stack.is_multiple_of(bundle) {
            return Err(FinishingError::Parting { stack, bundle });
        }
        Ok(sizes)
    }

    pub fn stack(&self) -> u32 {
        self.stack.get()
    }

    pub fn bundle(&self) -> u32 {
        self.bundle.get()
    }

    pub fn bundles_per_box(&self) -> u32 {
        self.bundles_per_box.get()
    }

    /// A note's depth in its bundle from the top, from 1. A pile is parted from its top, and a
    /// stack is a whole number of bundles.
    pub fn depth_in_bundle(&self, place: Place) -> u32 {
        (place.depth - 1) % self.bundle() + 1
    }

    /// A lot of `sheets` sheets with `notes` notes each, cut and bundled.
    pub fn cut(self, sheets: u32, notes: u16) -> Result<CutLot, FinishingError> {
        if sheets > MAX_SHEETS {
            return Err(FinishingError::TooManySheets { sheets });
        }
        Ok(CutLot {
            sizes: self,
            sheets,
            notes: notes.into(),
        })
    }
}

impl Default for Finishing {
    fn default() -> Self {
        Self::new(100, 100, 100).expect("100 is a multiple of 100")
    }
}

impl TryFrom<Sizes> for Finishing {
    type Error = FinishingError;

    fn try_from(s: Sizes) -> Result<Self, FinishingError> {
        Self::new(s.stack, s.bundle, s.bundles_per_box)
    }
}

impl From<Finishing> for Sizes {
    fn from(f: Finishing) -> Sizes {
        let (stack, bundle, bundles_per_box) = (f.stack(), f.bundle(), f.bundles_per_box());
        Sizes {
            stack,
            bundle,
            bundles_per_box,
        }
    }
}

/// Where a note is found.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    pub box_no: BoxNo,
    pub bundle: BundleNo,
    /// The stack, from 1.
    pub stack: u32,
    /// The note's depth in its stack from the top, from 1.
    pub depth: u32,
}

/// One bundle: the notes of one position rank on consecutive sheets.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    pub number: BundleNo,
    pub box_no: BoxNo,
    /// The stack it is cut from, from 1.
    pub stack: u32,
    pub rank: u16,
    /// From the top of the bundle to its bottom.
    pub sheets: SheetRange,
}

impl Bundle {
    /// Its notes as (sheet, rank), from the top.
    pub fn members(self) -> impl ExactSizeIterator<Item = (SheetNo, u16)> + DoubleEndedIterator {
        self.sheets.iter().map(move |sheet| (sheet, self.rank))
    }
}

/// The bundles and boxes of one lot.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct CutLot {
    sizes: Finishing,
    sheets: u32,
    notes: u32,
}

impl CutLot {
    /// Bundles in the lot. At most 10 million sheets of 400 notes: fits `u32`.
    pub fn bundle_count(&self) -> u32 {
        let whole = self.sheets / self.sizes.stack;
        let rest = self.sheets % self.sizes.stack;
        self.notes * (whole * self.per_pile() + rest.div_ceil(self.sizes.bundle()))
    }

    pub fn box_count(&self) -> u32 {
        self.bundle_count().div_ceil(self.sizes.bundles_per_box())
    }

    /// Where a note is found, `rank` from 0; `None` off the lot or off the sheet.
    pub fn place(&self, sheet: SheetNo, rank: u16) -> Option<Place> {
        if sheet.number() > self.sheets || u32::from(rank) >= self.notes {
            return None;
        }
        let stack = sheet.index() / self.sizes.stack;
        let depth = sheet.index() % self.sizes.stack;
        let pile = u32::from(rank) * self.bundles_in_pile(stack) + depth / self.sizes.bundle;
        let bundle = BundleNo::from_index(self.before_stack(stack) + pile);
        let box_no = self.box_of(bundle);
        Some(Place {
            box_no,
            bundle,
            stack: stack + 1,
            depth: depth + 1,
        })
    }

    /// What a bundle holds; `None` past the last.
    pub fn bundle(&self, number: BundleNo) -> Option<Bundle> {
        if number.number() > self.bundle_count() {
            return None;
        }
        // Only the last stack can be short, so all before it are whole.
        let stack = number.index() / (self.notes * self.per_pile());
        let in_stack = number.index() - self.before_stack(stack);
        let in_pile = self.bundles_in_pile(stack);
        let top = stack * self.sizes.stack() + (in_stack % in_pile) * self.sizes.bundle();
        let bottom = (top + self.sizes.bundle()).min(self.sheets) - 1;
        let sheets = SheetRange::new(SheetNo::from_index(top), SheetNo::from_index(bottom)).ok()?;
        let rank = (in_stack / in_pile) as u16; // below `notes`
        Some(Bundle {
            number,
            box_no: self.box_of(number),
            stack: stack + 1,
            rank,
            sheets,
        })
    }

    /// All bundles of the lot in order.
    pub fn bundles(self) -> impl Iterator<Item = Bundle> {
        (0..self.bundle_count()).filter_map(move |i| self.bundle(BundleNo::from_index(i)))
    }

    /// The bundles of a box in order; none past the last box.
    pub fn bundles_in(self, box_no: BoxNo) -> impl Iterator<Item = Bundle> {
        let size = u64::from(self.sizes.bundles_per_box());
        let count = u64::from(self.bundle_count());
        let from = (u64::from(box_no.index()) * size).min(count) as u32;
        let to = ((u64::from(box_no.index()) + 1) * size).min(count) as u32;
        (from..to).filter_map(move |i| self.bundle(BundleNo::from_index(i)))
    }

    fn box_of(&self, bundle: BundleNo) -> BoxNo {
        BoxNo::from_index(bundle.index() / self.sizes.bundles_per_box)
    }

    /// Bundles from a pile of a whole stack.
    fn per_pile(&self) -> u32 {
        self.sizes.stack() / self.sizes.bundle
    }

    fn bundles_in_pile(&self, stack: u32) -> u32 {
        let height = self
            .sizes
            .stack()
            .min(self.sheets - stack * self.sizes.stack());
        height.div_ceil(self.sizes.bundle())
    }

    fn before_stack(&self, stack: u32) -> u32 {
        stack * self.notes * self.per_pile()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::sample::sheet;

    fn place(box_no: u32, bundle: u32, stack: u32, depth: u32) -> Place {
        let box_no = BoxNo::new(box_no).unwrap();
        Place {
            box_no,
            bundle: BundleNo::new(bundle).unwrap(),
            stack,
            depth,
        }
    }

    #[test]
    fn a_note_has_stack_depth_bundle_and_box() {
        let lot = Finishing::default().cut(10_000, 40).unwrap();
        assert_eq!(lot.place(sheet(1), 0), Some(place(1, 1, 1, 1)));
        assert_eq!(lot.place(sheet(100), 0), Some(place(1, 1, 1, 100)));
        assert_eq!(lot.place(sheet(100), 39), Some(place(1, 40, 1, 100)));
        assert_eq!(lot.place(sheet(101), 0), Some(place(1, 41, 2, 1)));
        assert_eq!(lot.place(sheet(201), 20), Some(place(2, 101, 3, 1)));
        assert_eq!(
            lot.place(sheet(10_000), 39),
            Some(place(40, 4_000, 100, 100))
        );
        assert_eq!((lot.bundle_count(), lot.box_count()), (4_000, 40));
        assert_eq!(lot.place(sheet(10_001), 0), None);
        assert_eq!(lot.place(sheet(1), 40), None);
    }

    #[test]
    fn high_stacks_give_several_bundles_a_pile() {
        let lot = Finishing::new(500, 100, 10).unwrap().cut(1_150, 4).unwrap();
        // Two whole stacks of 4 × 5 bundles, then 150 sheets: 4 × 2, the second of each short.
        assert_eq!(lot.bundle_count(), 48);
        assert_eq!(lot.place(sheet(101), 1), Some(place(1, 7, 1, 101)));
        assert_eq!(lot.place(sheet(1_150), 3), Some(place(5, 48, 3, 150)));
        let last = lot.bundle(BundleNo::new(48).unwrap()).unwrap();
        assert_eq!(
            (last.sheets.first(), last.sheets.len(), last.rank),
            (sheet(1_101), 50, 3)
        );
        assert_eq!(lot.bundle(BundleNo::new(49).unwrap()), None);
    }

    #[test]
    fn boxes_hold_consecutive_bundles() {
        let lot = Finishing::new(100, 100, 30).unwrap().cut(200, 40).unwrap();
        let numbers = |box_no| {
            let bundles = lot.bundles_in(BoxNo::new(box_no).unwrap());
            bundles.map(|b| b.number.number()).collect::<Vec<_>>()
        };
        assert_eq!(numbers(1), (1..=30).collect::<Vec<_>>());
        assert_eq!(numbers(3), (61..=80).collect::<Vec<_>>());
        assert!(numbers(4).is_empty() && numbers(u32::MAX).is_empty());
        assert_eq!(lot.box_count(), 3);
    }

    #[test]
    fn the_largest_lot_still_counts() {
        let lot = Finishing::new(1, 1, 1)
            .unwrap()
            .cut(MAX_SHEETS, 400)
            .unwrap();
        assert_eq!(lot.bundle_count(), 4_000_000_000);
        let last = lot.bundle(BundleNo::new(4_000_000_000).unwrap()).unwrap();
        assert_eq!((last.sheets.last(), last.rank), (sheet(MAX_SHEETS), 399));
    }

    #[test]
    fn an_empty_lot_has_no_bundles() {
        let lot = Finishing::default().cut(0, 40).unwrap();
        assert_eq!((lot.bundles().count(), lot.box_count()), (0, 0));
        assert_eq!(lot.place(sheet(1), 0), None);
    }

    #[test]
    fn refusals_say_what_to_do() {
        let says = |sizes: (u32, u32, u32)| {
            Finishing::new(sizes.0, sizes.1, sizes.2)
                .unwrap_err()
                .to_string()
        };
        assert_eq!(
            says((250, 100, 100)),
            "A stack of 250 sheets does not part into bundles of 100 notes. Give a stack height that is a multiple of the bundle."
        );
        assert_eq!(
            says((100, 100, 0)),
            "The number of bundles a box is 0. Give at least 1."
        );
        let error = Finishing::default()
            .cut(10_000_001, 1)
            .unwrap_err()
            .to_string();
        assert!(
            error.contains("10 000 001 sheets, more than the 10 000 000"),
            "{error}"
        );
    }
}
