//! The form that opens a lot: its product, its sheets, and how they are numbered.

use std::rc::Rc;

use crate::book::{Entry, LotOpened, Product, Refusal, State};
use crate::sheet::{
    BundleNo, CutLot, FinishingError, LotId, MAX_SHEETS, Numbering, PressOrder, ProductId, SheetNo,
};

use super::numbering::OF_NEW_LOT;
use super::{FieldErrors, Reader, Typed};

/// What the form starts with; the product is chosen when there is one only.
pub fn lot_start(state: &State) -> Typed {
    let mut typed = Typed::default();
    OF_NEW_LOT.start(&mut typed);
    typed.tick("lot-numbered", true);
    let mut products = state.products.keys();
    if let (Some(only), None) = (products.next(), products.next()) {
        typed.set("lot-product", only.to_string());
    }
    typed
}

/// Reads the whole form.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn lot(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let lot: Option<LotId> = form.read("lot-id");
    let plan = read_plan(&mut form, state);
    let entry = (|| {
        let plan = plan?;
        Some(Entry::LotOpened(LotOpened {
            lot: lot?,
            product: plan.product.id,
            sheets: plan.order.len(),
            numbering: plan.numbering.map(|numbering| numbering.spec().clone()),
        }))
    })();
    form.finish(entry)
}

/// Reads everything but the lot's id: what the preview shows.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn lot_plan(typed: &Typed, state: &State) -> Result<LotPlan, FieldErrors> {
    let mut form = Reader::new(typed);
    let plan = read_plan(&mut form, state);
    form.finish(plan)
}

/// The field that a refusal of the book is about.
pub fn lot_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::LotTaken(_) => "lot-id",
        Refusal::UnknownProduct(_) | Refusal::Rules(_) => "lot-product",
        Refusal::LotSize { .. } | Refusal::Finishing(_) => "lot-sheets",
        Refusal::SerialsTaken { .. } => OF_NEW_LOT.runs[0].first,
        Refusal::Numbering(why) => OF_NEW_LOT.field(why),
        _ => "",
    }
}

/// A lot as it would be opened, or numbered.
#[derive(Clone, Debug)]
pub struct LotPlan {
    pub product: Rc<Product>,
    /// The sheets that would be numbered and cut.
    pub order: PressOrder,
    pub numbering: Option<Numbering>,
    pub cut: CutLot,
}

/// Where one serial would stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Corner {
    pub sheet: SheetNo,
    pub position: String,
    /// In display groups.
    pub serial: String,
}

/// One bundle as it would be cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BundleShown {
    pub number: BundleNo,
    pub position: String,
    /// The sheets on top and at the bottom.
    pub sheets: (SheetNo, SheetNo),
    /// The serials on top and at the bottom, in display groups.
    pub serials: (String, String),
}

impl LotPlan {
    pub(super) fn new(
        product: Rc<Product>,
        order: PressOrder,
        numbering: Option<Numbering>,
    ) -> Result<Self, FinishingError> {
        let cut = product.finishing.cut(order.len(), product.layout.notes())?;
        Ok(Self {
            product,
            order,
            numbering,
            cut,
        })
    }

    /// The serials of the first and the last sheet, at the first and the last position of the
    /// numbering order. Empty for a lot without numbering.
    pub fn corners(&self) -> Vec<Corner> {
        let last = self.product.layout.notes() - 1;
        let mut corners = Vec::new();
        for place in [0, self.order.len() - 1] {
            for rank in [0, last] {
                corners.extend(self.corner(place, rank));
            }
        }
        corners.dedup();
        corners
    }

    fn corner(&self, place: u32, rank: u16) -> Option<Corner> {
        Some(Corner {
            sheet: self.order.sheet_at(place)?,
            position: self.position(rank),
            serial: self.serial(place, rank)?,
        })
    }

    /// The first bundle; none for a lot without numbering.
    pub fn first_bundle(&self) -> Option<BundleShown> {
        let bundle = self.cut.bundle(BundleNo::from_index(0))?;
        let places = bundle.sheets;
        let (top, bottom) = (places.first().index(), places.last().index());
        Some(BundleShown {
            number: bundle.number,
            position: self.position(bundle.rank),
            sheets: (self.order.sheet_at(top)?, self.order.sheet_at(bottom)?),
            serials: (
                self.serial(top, bundle.rank)?,
                self.serial(bottom, bundle.rank)?,
            ),
        })
    }

    /// The serial at a place of the order, in display groups.
    fn serial(&self, place: u32, rank: u16) -> Option<String> {
        let numbering = self.numbering.as_ref()?;
        let number = numbering.number(SheetNo::from_index(place), rank)?;
        numbering.format().display(number).ok()
    }

    fn position(&self, rank: u16) -> String {
        let layout = &self.product.layout;
        let position = layout.of_rank(rank);
        position.map_or_else(String::new, |position| layout.name(position).to_owned())
    }
}

fn read_plan(form: &mut Reader, state: &State) -> Option<LotPlan> {
    let product = read_product(form, state);
    let sheets = form.number("lot-sheets", "Sheets", 1..=MAX_SHEETS);
    let spec = match form.text("lot-numbered") {
        "" => Some(None),
        _ => {
            let notes = product.as_ref().map(|product| product.layout.notes());
            OF_NEW_LOT.read(form, notes, sheets).map(Some)
        }
    };
    let (product, sheets) = (product?, sheets?);
    let numbering = match spec? {
        None => None,
        Some(spec) => match Numbering::new(spec, &product.layout, sheets) {
            Ok(numbering) => Some(numbering),
            Err(why) => return form.wrong(OF_NEW_LOT.field(&why), why),
        },
    };
    match LotPlan::new(product, PressOrder::as_received(sheets), numbering) {
        Ok(plan) => Some(plan),
        Err(why) => form.wrong("lot-sheets", why),
    }
}

fn read_product(form: &mut Reader, state: &State) -> Option<Rc<Product>> {
    if form.text("lot-product").is_empty() {
        return form.wrong(
            "lot-product",
            "\"Product\" is not chosen. Choose one, or define it first under Products.",
        );
    }
    let id: ProductId = form.read("lot-product")?;
    match state.product(id) {
        Ok(product) => Some(Rc::clone(product)),
        Err(why) => form.wrong("lot-product", why),
    }
}

#[cfg(test)]
mod tests;
