//! Whether groups of notes are alike, and the samples of a day, as plain rows.

use serde::Serialize;

use crate::book::{
    By, ClassesAlike, MeasuredGroup, QuantityAlike, Sample, State, Tested, classes_alike_on,
    measured_alike_on,
};
use crate::inspect::{ClassCode, Quantity, Reading, Tolerance};
use crate::people::{Day, PersonId, Stamp};
use crate::quality::capability::Index;
use crate::quality::rates::{ClassRates, GroupRate};
use crate::quality::spread::Moments;
use crate::sheet::{LotId, PressId, ProductId, SiteId};

use super::day_findings::ppb;
use super::day_record::{Rate, ppm};

/// What one book can tell apart by the classes on its sheets, and by what was measured.
const BY_CLASSES: [By; 2] = [By::Lot, By::Stage];
const BY_MEASURES: [By; 3] = [By::Lot, By::Press, By::Site];

/// A class in one group of the day's sheets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AlikeRow {
    pub product: ProductId,
    /// `lot` or `stage`.
    pub by: &'static str,
    pub group: String,
    pub class: ClassCode,
    pub sheets: u64,
    /// Sheets on which the class was seen.
    pub found: u64,
    pub rate: Rate,
    /// How many times more stacks vary than independent sheets would, in thousandths.
    pub clumping_milli: u64,
    pub chance_ppb: u64,
    pub q_ppb: u64,
}

/// A quantity measured in one group of notes, by the samples of the day. Figures are in millionths of
/// the unit, indices in thousandths.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeasuredRow {
    pub product: ProductId,
    /// `lot`, `press` or `works`.
    pub by: &'static str,
    pub group: String,
    pub quantity: Quantity,
    pub samples: u64,
    pub readings: u64,
    pub mean: i64,
    pub spread: Option<i64>,
    pub outside: Option<u64>,
    pub cp: Option<[i64; 3]>,
    pub cpk: Option<[i64; 3]>,
    /// Of all groups: the chance that they differ so in mean by chance alone, plain and with all
    /// that was compared counted, in parts per billion.
    pub means: Option<[u64; 2]>,
    /// The same in spread.
    pub spreads: Option<[u64; 2]>,
}

/// A sample recorded on the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SampleRow {
    pub entry: u64,
    pub by: PersonId,
    pub at: Stamp,
    pub product: ProductId,
    pub quantity: Quantity,
    pub lot: Option<LotId>,
    pub press: Option<PressId>,
    pub site: Option<SiteId>,
    /// Millionths of the unit.
    pub mean: i64,
    pub spread: Option<i64>,
    pub tolerance: Option<Tolerance>,
    pub readings: Vec<Reading>,
}

pub(super) fn alike_rows(state: &State, day: Day) -> Vec<AlikeRow> {
    let examined = state.days.get(&day).map(|totals| totals.by_product.iter());
    let examined = examined.into_iter().flatten();
    let products = examined.filter(|(_, tally)| tally.examined() > 0);
    let sides = products.flat_map(|(product, _)| BY_CLASSES.map(|by| (*product, by)));
    let compared = sides.map(|(product, by)| classes_alike_on(day, &[state], by, product));
    compared.flat_map(|alike| class_rows(&alike)).collect()
}

fn class_rows(alike: &ClassesAlike) -> Vec<AlikeRow> {
    let mut classes: Vec<&ClassRates<ClassCode>> = alike.classes.iter().collect();
    classes.sort_by_key(|class| class.class);
    let rows = classes.into_iter().flat_map(|class| {
        let groups = alike.groups.iter().zip(&class.groups);
        groups.map(|((name, _), group)| class_row(alike, class, name, group))
    });
    rows.collect()
}

fn class_row(
    alike: &ClassesAlike,
    class: &ClassRates<ClassCode>,
    name: &str,
    group: &GroupRate,
) -> AlikeRow {
    AlikeRow {
        product: alike.product,
        by: alike.by.name(),
        group: name.to_owned(),
        class: class.class,
        sheets: group.of,
        found: group.found,
        rate: Rate {
            ppm: ppm(group.found as f64 / group.of as f64),
            low_ppm: ppm(group.interval.low),
            high_ppm: ppm(group.interval.high),
        },
        clumping_milli: (class.clumping * 1000.0).round() as u64,
        chance_ppb: ppb(group.p),
        q_ppb: ppb(group.q),
    }
}

pub(super) fn sample_rows(state: &State, day: Day) -> Vec<SampleRow> {
    let samples = state.samples.values().filter(|sample| sample.day == day);
    samples.map(|sample| sample_row(state, sample)).collect()
}

fn sample_row(state: &State, sample: &Sample) -> SampleRow {
    let taken = &sample.taken;
    let moments = Moments::of(&sample.readings()).expect("a recorded sample has readings");
    let of = (taken.product, taken.quantity);
    SampleRow {
        entry: sample.seq,
        by: sample.by,
        at: sample.at.clone(),
        product: taken.product,
        quantity: taken.quantity,
        lot: taken.lot,
        press: taken.press,
        site: taken.site,
        mean: thousandths(moments.mean),
        spread: moments.spread.map(thousandths),
        tolerance: state.tolerances.get(&of).copied(),
        readings: taken.readings.clone(),
    }
}

pub(super) fn measured_rows(state: &State, day: Day) -> Vec<MeasuredRow> {
    let samples = state.samples.values().filter(|sample| sample.day == day);
    let mut products: Vec<ProductId> = samples.map(|sample| sample.taken.product).collect();
    products.sort_unstable();
    products.dedup();
    let sides = products
        .into_iter()
        .flat_map(|product| BY_MEASURES.map(|by| (product, by)));
    let rows = sides.flat_map(|(product, by)| {
        let quantities = measured_alike_on(day, &[state], by, product);
        let rows = quantities.into_iter().flat_map(move |quantity| {
            let groups = quantity.groups.iter();
            let row = |group| measured_row(product, by, &quantity, group);
            groups.map(row).collect::<Vec<_>>()
        });
        rows.collect::<Vec<_>>()
    });
    rows.collect()
}

fn measured_row(
    product: ProductId,
    by: By,
    quantity: &QuantityAlike,
    group: &MeasuredGroup,
) -> MeasuredRow {
    let index = |one: Index| [one.value, one.interval.low, one.interval.high].map(thousandths);
    let chances = |one: Tested| [ppb(one.test.p), ppb(one.q)];
    MeasuredRow {
        product,
        by: by.name(),
        group: group.name.clone(),
        quantity: quantity.quantity,
        samples: group.samples,
        readings: group.moments.n,
        mean: thousandths(group.moments.mean),
        spread: group.moments.spread.map(thousandths),
        outside: group.outside,
        cp: group.capability.and_then(|one| one.cp).map(index),
        cpk: group.capability.map(|one| index(one.cpk)),
        means: quantity.means.map(chances),
        spreads: quantity.spreads.map(chances),
    }
}

/// Halves away from zero.
fn thousandths(value: f64) -> i64 {
    (value * 1000.0).round() as i64
}
