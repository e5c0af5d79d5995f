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
mod tests {
    use super::super::product::{product, product_start};
    use super::super::sample::{book, take};
    use super::*;
    use crate::book::Book;

    fn with_product() -> Book {
        let mut typed = product_start();
        typed.set("product-id", "M20".to_owned());
        typed.set("product-title", "20 merin".to_owned());
        let mut book = book();
        take(&mut book, product(&typed).unwrap()).unwrap();
        book
    }

    fn typed(book: &Book, change: &[(&'static str, &str)]) -> Typed {
        let mut typed = lot_start(book.state());
        typed.set("lot-id", "BW-0412".to_owned());
        typed.set("lot-sheets", "10 000".to_owned());
        typed.set("lot-prefix", "KA".to_owned());
        typed.set("lot-groups", "2 4 3".to_owned());
        typed.set(RUNS[0].first, "1".to_owned());
        for (field, text) in change {
            typed.set(field, (*text).to_owned());
        }
        typed
    }

    #[test]
    fn a_lot_is_opened_and_taken_only_once() {
        let mut book = with_product();
        let entry = lot(&typed(&book, &[]), book.state()).unwrap();
        take(&mut book, entry.clone()).unwrap();
        assert_eq!(book.state().lots.len(), 1);
        assert_eq!(lot_field(&take(&mut book, entry).unwrap_err()), "lot-id");
        let same_serials = lot(&typed(&book, &[("lot-id", "BW-0413")]), book.state()).unwrap();
        let why = take(&mut book, same_serials).unwrap_err();
        assert_eq!(lot_field(&why), RUNS[0].first);
    }

    #[test]
    fn the_only_product_is_chosen_beforehand() {
        assert_eq!(lot_start(with_product().state()).get("lot-product"), "M20");
        assert_eq!(lot_start(book().state()).get("lot-product"), "");
    }

    /// Worked by hand: down the stack, position rank p of sheet k has 1 + p · 10 000 + k.
    #[test]
    fn the_plan_shows_the_serials_at_the_ends_and_of_a_bundle() {
        let book = with_product();
        let plan = lot_plan(&typed(&book, &[]), book.state()).unwrap();
        let shown: Vec<_> = plan
            .corners()
            .into_iter()
            .map(|corner| (corner.sheet.number(), corner.position, corner.serial))
            .collect();
        let row =
            |sheet, position: &str, serial: &str| (sheet, position.to_owned(), serial.to_owned());
        assert_eq!(
            shown,
            [
                row(1, "A1", "KA 0000 001"),
                row(1, "H5", "KA 0390 001"),
                row(10_000, "A1", "KA 0010 000"),
                row(10_000, "H5", "KA 0400 000"),
            ]
        );
        let bundle = plan.first_bundle().unwrap();
        assert_eq!(
            (bundle.position.as_str(), bundle.sheets.to_string().as_str()),
            ("A1", "1–100")
        );
        assert_eq!(
            bundle.serials,
            ("KA 0000 001".to_owned(), "KA 0000 100".to_owned())
        );
        assert_eq!((plan.cut.bundle_count(), plan.cut.box_count()), (4000, 40));
    }

    #[test]
    fn a_lot_before_numbering_needs_no_serials() {
        let book = with_product();
        let mut plain = typed(&book, &[("lot-width", ""), ("lot-check", "")]);
        plain.tick("lot-numbered", false);
        let plan = lot_plan(&plain, book.state()).unwrap();
        assert!(
            plan.numbering.is_none() && plan.corners().is_empty() && plan.first_bundle().is_none()
        );
    }

    #[test]
    fn several_runs_follow_each_other() {
        let book = with_product();
        let two = [
            ("lot-runs", "2"),
            (RUNS[0].sheets, "4000"),
            (RUNS[1].sheets, "6000"),
            (RUNS[1].first, "500000"),
            (RUNS[1].arrangement, "across"),
            (RUNS[1].direction, "down"),
        ];
        let plan = lot_plan(&typed(&book, &two), book.state()).unwrap();
        let numbering = plan.numbering.unwrap();
        let number = |sheet, rank| numbering.number(SheetNo::new(sheet).unwrap(), rank);
        assert_eq!(
            (number(4000, 0), number(4001, 0), number(4001, 1)),
            (Some(4000), Some(500_000), Some(499_999))
        );
        let mut short = two;
        short[2] = (RUNS[1].sheets, "5000");
        let errors = lot_plan(&typed(&book, &short), book.state()).unwrap_err();
        assert!(
            errors
                .of(RUNS[0].sheets)
                .unwrap()
                .contains("number 9 000 sheets, but the lot has 10 000")
        );
        let mut clash = two;
        clash[3] = (RUNS[1].first, "300000");
        let errors = lot_plan(&typed(&book, &clash), book.state()).unwrap_err();
        assert!(errors.of(RUNS[1].first).is_some(), "{errors:?}");
    }

    #[test]
    fn each_wrong_value_is_named_at_its_field() {
        let book = with_product();
        for (change, field, says) in [
            (("lot-id", ""), "lot-id", "is empty"),
            (("lot-product", ""), "lot-product", "not chosen"),
            (("lot-product", "M50"), "lot-product", "M50 is not known"),
            (("lot-sheets", "0"), "lot-sheets", "Give 1 to"),
            (("lot-sheets", "many"), "lot-sheets", "not a whole number"),
            (("lot-prefix", "k-"), "lot-prefix", "contains \"-\""),
            (("lot-groups", "2 4"), "lot-groups", "add up"),
            ((RUNS[0].first, ""), RUNS[0].first, "not a whole number"),
            (
                (RUNS[0].first, "9700000"),
                RUNS[0].first,
                "would reach number",
            ),
            ((RUNS[0].stride, "9999"), RUNS[0].stride, "smaller than"),
            ((RUNS[0].stride, "0"), RUNS[0].stride, "Give 1 to"),
            ((RUNS[0].direction, "down"), RUNS[0].first, "fall below 0"),
        ] {
            let errors = lot(&typed(&book, &[change]), book.state()).unwrap_err();
            let message = errors
                .of(field)
                .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
    }

    #[test]
    fn everything_wrong_is_told_at_once() {
        let book = with_product();
        let change = [
            ("lot-id", "-"),
            ("lot-sheets", ""),
            ("lot-width", "99"),
            (RUNS[0].first, "x"),
        ];
        let errors = lot(&typed(&book, &change), book.state()).unwrap_err();
        let fields: Vec<_> = errors.iter().map(|(field, _)| field).collect();
        assert_eq!(fields, ["lot-id", "lot-sheets", "lot-width", RUNS[0].first]);
    }
}
