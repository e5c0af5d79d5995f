use std::num::NonZeroU32;

use serde::{Deserialize, Serialize};

use super::{BoxNo, BundleNo, MAX_SHEETS, SheetNo, SheetRange, grouped};

/// How the finishing hall stacks, cuts, bundles and boxes; 100, 100 and 100 unless set.
///
/// - Sheets are stacked in sheet order, `stack` sheets a stack, the first sheet on top; the last
///   stack may be short.
/// - Cutting a stack gives one pile for each position.
/// - From its top, each pile is parted into bundles of `bundle` notes; no bundle crosses piles.
/// - Bundles are counted through the lot in the order of [`Filling`].
/// - Boxes fill with `bundles_per_box` consecutive bundles; the last box may be short.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Sizes", into = "Sizes")]
pub struct Finishing {
    stack: NonZeroU32,
    bundle: NonZeroU32,
    bundles_per_box: NonZeroU32,
    filling: Filling,
}

/// The order in which the bundles of a lot are counted, and so fill the boxes.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Filling {
    /// Stack by stack, in a stack by position rank, in a pile from the top: a box closes as soon as
    /// its stacks are cut, and holds a short range of every position. What a line that names no
    /// filling means.
    #[default]
    Stack,
    /// Position rank by position rank, each over all stacks from the first: with numbering down
    /// the stack the serials run on from bundle to bundle, so a box holds one long range.
    Position,
}

impl Filling {
    /// Lines written before there was a choice keep their bytes.
    fn is_stack(&self) -> bool {
        *self == Filling::Stack
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Sizes {
    stack: u32,
    bundle: u32,
    bundles_per_box: u32,
    #[serde(default, skip_serializing_if = "Filling::is_stack")]
    filling: Filling,
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
    /// `stack` sheets a stack, a multiple of `bundle` notes a bundle; filled stack by stack.
    pub fn new(stack: u32, bundle: u32, bundles_per_box: u32) -> Result<Self, FinishingError> {
        let some = |what, n| NonZeroU32::new(n).ok_or(FinishingError::Zero { what });
        let sizes = Self {
            stack: some("stack height", stack)?,
            bundle: some("bundle size", bundle)?,
            bundles_per_box: some("number of bundles a box", bundles_per_box)?,
            filling: Filling::Stack,
        };
        if !stack.is_multiple_of(bundle) {
            return Err(FinishingError::Parting { stack, bundle });
        }
        Ok(sizes)
    }

    /// The same sizes, with boxes filled in this order.
    pub fn filled(self, filling: Filling) -> Self {
        Self { filling, ..self }
    }

    pub fn filling(&self) -> Filling {
        self.filling
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
        Ok(Self::new(s.stack, s.bundle, s.bundles_per_box)?.filled(s.filling))
    }
}

impl From<Finishing> for Sizes {
    fn from(f: Finishing) -> Sizes {
        let (stack, bundle, bundles_per_box) = (f.stack(), f.bundle(), f.bundles_per_box());
        Sizes {
            stack,
            bundle,
            bundles_per_box,
            filling: f.filling,
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
        self.notes * self.per_position()
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
        let in_pile = depth / self.sizes.bundle;
        let rank = u32::from(rank);
        let bundle = BundleNo::from_index(match self.sizes.filling {
            Filling::Stack => {
                self.before_stack(stack) + rank * self.bundles_in_pile(stack) + in_pile
            }
            Filling::Position => rank * self.per_position() + stack * self.per_pile() + in_pile,
        });
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
        let (rank, stack, in_pile) = match self.sizes.filling {
            Filling::Stack => self.by_stack(number.index()),
            Filling::Position => self.by_position(number.index()),
        };
        let top = stack * self.sizes.stack() + in_pile * self.sizes.bundle();
        let bottom = (top + self.sizes.bundle()).min(self.sheets) - 1;
        let sheets = SheetRange::new(SheetNo::from_index(top), SheetNo::from_index(bottom)).ok()?;
        Some(Bundle {
            number,
            box_no: self.box_of(number),
            stack: stack + 1,
            rank: rank as u16, // below `notes`, which is at most 400
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

    /// Rank, stack and place in its pile of a bundle counted stack by stack, all from 0. Only the
    /// last stack can be short, so all before it are whole.
    fn by_stack(&self, index: u32) -> (u32, u32, u32) {
        let stack = index / (self.notes * self.per_pile());
        let in_stack = index - self.before_stack(stack);
        let in_pile = self.bundles_in_pile(stack);
        (in_stack / in_pile, stack, in_stack % in_pile)
    }

    /// The same of a bundle counted position by position.
    fn by_position(&self, index: u32) -> (u32, u32, u32) {
        let in_position = index % self.per_position();
        let stack = in_position / self.per_pile();
        let in_pile = in_position % self.per_pile();
        (index / self.per_position(), stack, in_pile)
    }

    /// Bundles of one position over all stacks.
    fn per_position(&self) -> u32 {
        let whole = self.sheets / self.sizes.stack;
        let rest = self.sheets % self.sizes.stack;
        whole * self.per_pile() + rest.div_ceil(self.sizes.bundle())
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
mod tests;
