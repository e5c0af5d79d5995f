//! The form that opens a lot: its product, its sheets, and how they are numbered.

use std::rc::Rc;

use crate::book::{Entry, LotOpened, Product, Refusal, State};
use crate::sheet::{
    BundleNo, CutLot, Direction, LotId, MAX_SHEETS, Numbering, NumberingError, NumberingSpec,
    ProductId, Run, SheetNo, SheetRange,
};

use super::serial::{FormatFields, format};
use super::{FieldErrors, Reader, Typed};

/// The fields of one numbering run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RunFields {
    pub sheets: &'static str,
    pub first: &'static str,
    pub stride: &'static str,
    pub direction: &'static str,
    pub arrangement: &'static str,
}

macro_rules! run_fields {
    ($($number:literal),+) => {
        [$(RunFields {
            sheets: concat!("lot-run-", $number, "-sheets"),
            first: concat!("lot-run-", $number, "-first"),
            stride: concat!("lot-run-", $number, "-stride"),
            direction: concat!("lot-run-", $number, "-direction"),
            arrangement: concat!("lot-run-", $number, "-arrangement"),
        }),+]
    };
}

/// Every run the form has room for. A lot numbered on more passes than these is split.
pub const RUNS: [RunFields; 6] = run_fields!(1, 2, 3, 4, 5, 6);

pub const LOT_FORMAT: FormatFields = FormatFields {
    prefix: "lot-prefix",
    width: "lot-width",
    suffix: "lot-suffix",
    check: "lot-check",
    place: "lot-check-place",
    over: "lot-check-over",
    groups: "lot-groups",
};

/// The values of a run's direction field, and what is shown for each.
pub const DIRECTIONS: [(&str, &str); 2] = [("up", "up"), ("down", "down")];
/// The values of a run's arrangement field, and what is shown for each.
pub const ARRANGEMENTS: [(&str, &str); 2] = [
    ("down-stack", "down the stack"),
    ("across", "across the sheet"),
];

const LARGEST: u64 = 999_999_999_999;

/// What the form starts with; the product is chosen when there is one only.
pub fn lot_start(state: &State) -> Typed {
    let mut typed = Typed::with([
        ("lot-width", "7"),
        ("lot-check", "none"),
        ("lot-check-place", "end"),
        ("lot-check-over", "whole"),
        ("lot-runs", "1"),
    ]);
    typed.tick("lot-numbered", true);
    for run in RUNS {
        typed.set(run.direction, "up".to_owned());
        typed.set(run.arrangement, "down-stack".to_owned());
    }
    let mut products = state.products.keys();
    if let (Some(only), None) = (products.next(), products.next()) {
        typed.set("lot-product", only.to_string());
    }
    typed
}

/// How many runs the form shows.
pub fn runs_shown(typed: &Typed) -> usize {
    let shown = typed.get("lot-runs").parse().unwrap_or(1);
    shown.clamp(1, RUNS.len())
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
            sheets: plan.sheets,
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
        Refusal::SerialsTaken { .. } => RUNS[0].first,
        Refusal::Numbering(why) => numbering_field(why),
        _ => "",
    }
}

/// A lot as it would be opened.
#[derive(Clone, Debug)]
pub struct LotPlan {
    pub product: Rc<Product>,
    pub sheets: u32,
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
    pub sheets: SheetRange,
    /// The serials on top and at the bottom, in display groups.
    pub serials: (String, String),
}

impl LotPlan {
    /// The serials of the first and the last sheet, at the first and the last position of the
    /// numbering order. Empty for a lot without numbering.
    pub fn corners(&self) -> Vec<Corner> {
        let last = self.product.layout.notes() - 1;
        let mut corners = Vec::new();
        for index in [0, self.sheets - 1] {
            for rank in [0, last] {
                let sheet = SheetNo::from_index(index);
                let (position, serial) = (self.position(rank), self.serial(sheet, rank));
                corners.extend(serial.map(|serial| Corner {
                    sheet,
                    position,
                    serial,
                }));
            }
        }
        corners.dedup();
        corners
    }

    /// The first bundle; none for a lot without numbering.
    pub fn first_bundle(&self) -> Option<BundleShown> {
        let bundle = self.cut.bundle(BundleNo::from_index(0))?;
        Some(BundleShown {
            number: bundle.number,
            position: self.position(bundle.rank),
            sheets: bundle.sheets,
            serials: (
                self.serial(bundle.sheets.first(), bundle.rank)?,
                self.serial(bundle.sheets.last(), bundle.rank)?,
            ),
        })
    }

    fn serial(&self, sheet: SheetNo, rank: u16) -> Option<String> {
        let numbering = self.numbering.as_ref()?;
        let number = numbering.number(sheet, rank)?;
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
        _ => read_numbering(form, product.as_deref(), sheets).map(Some),
    };
    let (product, sheets) = (product?, sheets?);
    let numbering = match spec? {
        None => None,
        Some(spec) => match Numbering::new(spec, &product.layout, sheets) {
            Ok(numbering) => Some(numbering),
            Err(why) => return form.wrong(numbering_field(&why), why),
        },
    };
    match product.finishing.cut(sheets, product.layout.notes()) {
        Ok(cut) => Some(LotPlan {
            product,
            sheets,
            numbering,
            cut,
        }),
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

/// Reads format and runs even while product or sheets are wrong, so that all errors show at once.
fn read_numbering(
    form: &mut Reader,
    product: Option<&Product>,
    sheets: Option<u32>,
) -> Option<NumberingSpec> {
    let format = format(form, &LOT_FORMAT);
    let shown = runs_shown(form.typed);
    let notes = product.map(|product| product.layout.notes());
    let runs: Vec<Option<Run>> = RUNS[..shown]
        .iter()
        .map(|fields| {
            let sheets = match shown {
                1 => sheets,
                _ => form.number(fields.sheets, "Sheets of the run", 1..=MAX_SHEETS),
            };
            read_run(form, fields, sheets, notes)
        })
        .collect();
    Some(NumberingSpec {
        format: format?,
        runs: runs.into_iter().collect::<Option<_>>()?,
    })
}

/// An empty stride is the least that works: no gaps.
fn read_run(
    form: &mut Reader,
    fields: &RunFields,
    sheets: Option<u32>,
    notes: Option<u16>,
) -> Option<Run> {
    let first = form.number(fields.first, "First number", 0..=LARGEST);
    let stride = match form.text(fields.stride).trim() {
        "" => None,
        _ => Some(form.number(fields.stride, "Stride", 1..=LARGEST)?),
    };
    let direction = match form.text(fields.direction) {
        "down" => Direction::Down,
        _ => Direction::Up,
    };
    let (sheets, notes, first) = (sheets?, notes?, first?);
    let plain = match form.text(fields.arrangement) {
        "across" => Run::across_sheet(sheets, first, notes),
        _ => Run::down_stack(sheets, first),
    };
    Some(Run {
        stride: stride.unwrap_or(plain.stride),
        direction,
        ..plain
    })
}

fn numbering_field(why: &NumberingError) -> &'static str {
    let fields = |run: &usize| RUNS.get(*run - 1).unwrap_or(&RUNS[0]);
    match why {
        NumberingError::NoRuns => "",
        NumberingError::EmptyRun { run } => fields(run).sheets,
        NumberingError::TooManySheets { .. } => "lot-sheets",
        NumberingError::SheetCount { .. } => RUNS[0].sheets,
        NumberingError::Stride { run, .. } => fields(run).stride,
        NumberingError::Overflow { run, .. } | NumberingError::BelowZero { run, .. } => {
            fields(run).first
        }
        NumberingError::RunsClash { second_run, .. } => fields(second_run).first,
    }
}

#[cfg(test)]
mod tests;
