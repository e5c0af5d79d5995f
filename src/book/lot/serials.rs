//! The serials of a lot: the one way from a note to its serial, its bundle and its box, and back.

use crate::sheet::{
    BoxNo, BundleNo, CutLot, FinishingError, Numbering, Place, Position, PressOrder, Printed,
    Serial, SerialError, SerialFormat, SheetNo,
};

use super::super::state::Product;
use super::Lot;

/// In which order a lot's sheets are numbered, how, and how they are cut.
#[derive(Clone, Debug)]
pub struct Serials {
    order: PressOrder,
    /// Counts places in the order where its own words say sheets.
    numbering: Option<Numbering>,
    cut: CutLot,
}

impl Serials {
    /// The numbering, if there is one, is for as many sheets as are in the order.
    pub(in super::super) fn new(
        product: &Product,
        order: PressOrder,
        numbering: Option<Numbering>,
    ) -> Result<Self, FinishingError> {
        let cut = product.finishing.cut(order.len(), product.layout.notes())?;
        Ok(Self {
            order,
            numbering,
            cut,
        })
    }
}

impl Lot {
    pub fn is_numbered(&self) -> bool {
        self.serials.numbering.is_some()
    }

    /// The sheets in the order of the numbering press. Without those lost there, and, once the
    /// lot is numbered, without those that left before.
    pub fn press_order(&self) -> &PressOrder {
        &self.serials.order
    }

    /// The format of the lot's serials, when it is numbered.
    pub fn format(&self) -> Option<&SerialFormat> {
        self.serials.numbering.as_ref().map(Numbering::format)
    }

    /// The numbers in use, to find clashes with.
    pub(in super::super) fn numbering(&self) -> Option<&Numbering> {
        self.serials.numbering.as_ref()
    }

    /// The number of one note; nothing while the lot is not numbered, or off the order.
    pub fn number(&self, sheet: SheetNo, position: Position) -> Option<u64> {
        let (place, rank) = self.in_order(sheet, position)?;
        self.serials.numbering.as_ref()?.number(place, rank)
    }

    /// The serial of one note; nothing while the lot is not numbered, or off the order.
    pub fn serial(&self, sheet: SheetNo, position: Position) -> Option<Serial<Printed>> {
        let (place, rank) = self.in_order(sheet, position)?;
        self.serials.numbering.as_ref()?.serial(place, rank)
    }

    /// The serial of one note in its display groups.
    pub fn serial_shown(&self, sheet: SheetNo, position: Position) -> Option<String> {
        let number = self.number(sheet, position)?;
        self.format()?.display(number).ok()
    }

    /// The note that carries a number: the exact inverse of [`Lot::number`].
    pub fn locate(&self, number: u64) -> Option<(SheetNo, Position)> {
        let (place, rank) = self.serials.numbering.as_ref()?.locate(number)?;
        let sheet = self.serials.order.sheet_at(place.index())?;
        Some((sheet, self.product.layout.of_rank(rank)?))
    }

    /// The serial of a number of this lot.
    pub fn serial_of(&self, number: u64) -> Option<Serial<Printed>> {
        let (sheet, position) = self.locate(number)?;
        self.serial(sheet, position)
    }

    /// The note that carries a typed or scanned serial; nothing when the lot is not numbered, or
    /// the serial is a good one of another lot.
    ///
    /// # Errors
    /// Why the lot's format cannot read it.
    pub fn locate_text(&self, text: &str) -> Result<Option<(SheetNo, Position)>, SerialError> {
        match self.format() {
            Some(format) => Ok(self.locate(format.parse(text)?)),
            None => Ok(None),
        }
    }

    /// Whether a serial is one of this lot.
    pub fn has_serial(&self, text: &str) -> bool {
        matches!(self.locate_text(text), Ok(Some(_)))
    }

    /// Where the finishing hall finds a note; nothing off the order.
    pub fn place(&self, sheet: SheetNo, position: Position) -> Option<Place> {
        let (place, rank) = self.in_order(sheet, position)?;
        self.serials.cut.place(place, rank)
    }

    /// The notes of a bundle from its top; none past the last bundle.
    pub fn bundle(&self, number: BundleNo) -> Vec<(SheetNo, Position)> {
        let members = self
            .serials
            .cut
            .bundle(number)
            .map(|bundle| bundle.members());
        let note = |(place, rank): (SheetNo, u16)| {
            let sheet = self.serials.order.sheet_at(place.index())?;
            Some((sheet, self.product.layout.of_rank(rank)?))
        };
        members.into_iter().flatten().filter_map(note).collect()
    }

    /// The bundles of a box in order; none past the last box.
    pub fn bundles_in(&self, box_no: BoxNo) -> Vec<BundleNo> {
        let bundles = self.serials.cut.bundles_in(box_no);
        bundles.map(|bundle| bundle.number).collect()
    }

    pub fn bundle_count(&self) -> u32 {
        self.serials.cut.bundle_count()
    }

    pub fn box_count(&self) -> u32 {
        self.serials.cut.box_count()
    }

    /// The sheet's place in the order, as numbering and cutting count sheets; and the rank.
    fn in_order(&self, sheet: SheetNo, position: Position) -> Option<(SheetNo, u16)> {
        let place = self.serials.order.place_of(sheet)?;
        Some((
            SheetNo::from_index(place),
            self.product.layout.rank(position),
        ))
    }
}
