//! Acceptance samples: passed sheets drawn at random and looked at again, so that a lot is
//! believed for a stated risk and not on trust.

use std::collections::BTreeMap;

use crate::inspect::{Ruling, Tag, Verdict};
use crate::people::{PersonId, Stamp};
use crate::quality::QualityError;
use crate::quality::sampling::{
    Aql, Decision, Judged, Level, Plan, Severity, Standing, code_letter, draw, single_plan,
};
use crate::sheet::{AcceptanceId, LotId, ProductId, SheetNo};

use super::lot::Lot;
use super::state::State;

/// One acceptance sample and what was found in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Acceptance {
    pub id: AcceptanceId,
    pub lot: LotId,
    pub product: ProductId,
    /// The entry that drew it.
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    pub level: Level,
    pub aql: Aql,
    pub severity: Severity,
    pub plan: Plan,
    /// Sheets passed when it was drawn.
    pub passed: u32,
    pub seed: String,
    /// Why acceptance by sampling goes on after it was suspended.
    pub resumed: Option<String>,
    /// Whether a sample of the same lot was rejected before: such a lot says nothing of the
    /// press and does not count for switching.
    pub again: bool,
    /// The sheets drawn, with what was found on each that was looked at.
    pub sheets: BTreeMap<SheetNo, Option<Look>>,
}

/// A second look at one passed sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    pub tags: Vec<Tag>,
    pub ruling: Ruling,
    /// The entry it corrected, and why.
    pub corrects: Option<(u64, String)>,
}

impl Look {
    /// Whether the sheet should not have been passed.
    pub fn is_bad(&self) -> bool {
        self.ruling.verdict != Verdict::Good
    }
}

/// A plan for the sheets that a lot has passed so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Planned {
    pub passed: u32,
    pub plan: Plan,
}

impl Planned {
    /// Sheets to look at: the plan's sample, or every passed sheet of a small lot.
    pub fn sample(&self) -> u64 {
        self.plan.sample().min(self.passed.into())
    }
}

impl Acceptance {
    /// Sheets found bad so far.
    pub fn bad(&self) -> u64 {
        let looks = self.sheets.values().flatten();
        looks.filter(|look| look.is_bad()).count() as u64
    }

    /// Sheets still to look at, in order.
    pub fn open(&self) -> impl Iterator<Item = SheetNo> + '_ {
        let open = self.sheets.iter().filter(|(_, look)| look.is_none());
        open.map(|(sheet, _)| *sheet)
    }

    /// The first sheet still to look at from `from` on, then from the start.
    pub fn next_open(&self, from: SheetNo) -> Option<SheetNo> {
        let later = self.open().find(|sheet| *sheet >= from);
        later.or_else(|| self.open().next())
    }

    /// The look at a sheet of the sample, if there was one.
    pub fn look(&self, sheet: SheetNo) -> Option<&Look> {
        self.sheets.get(&sheet)?.as_ref()
    }

    /// What follows, once every sheet was looked at.
    pub fn decision(&self) -> Option<Decision> {
        let done = self.open().next().is_none();
        done.then(|| self.plan.decide(self.bad()))
    }

    /// The sample as the switching rules look at it.
    fn judged(&self) -> Option<Judged> {
        let decision = self.decision().filter(|_| !self.again)?;
        let stricter = self.aql.stricter().and_then(|aql| {
            let letter = code_letter(self.passed.into(), self.level).ok()?;
            Some(single_plan(letter, aql, Severity::Normal).accept())
        });
        Some(Judged {
            severity: self.severity,
            decision,
            accept: self.plan.accept(),
            one_step_stricter: self.bad() <= stricter.unwrap_or(0),
        })
    }
}

impl Lot {
    /// Sheets that were passed and are still in the lot, in order.
    pub fn passed(&self) -> Vec<SheetNo> {
        let good = self.examined().filter(|(sheet, exam)| {
            exam.ruling.verdict == Verdict::Good && self.gone(*sheet).is_none()
        });
        good.map(|(sheet, _)| sheet).collect()
    }

    /// The plan of the tables for the sheets passed so far.
    ///
    /// # Errors
    /// `LotTooSmall` when fewer than two are passed.
    pub fn acceptance_plan(
        &self,
        level: Level,
        aql: Aql,
        severity: Severity,
    ) -> Result<Planned, QualityError> {
        let passed = self.passed().len() as u32;
        let letter = code_letter(passed.into(), level)?;
        let plan = single_plan(letter, aql, severity);
        Ok(Planned { passed, plan })
    }

    /// The sheets that this seed draws from those passed so far.
    pub fn drawn_by(&self, seed: &str, sample: u64) -> Vec<SheetNo> {
        let passed = self.passed();
        let places = draw(seed, passed.len() as u64, sample);
        places.iter().map(|place| passed[*place as usize]).collect()
    }
}

impl State {
    /// The acceptance samples of a lot, in the order in which they were drawn.
    pub fn acceptances_of(&self, lot: LotId) -> Vec<&Acceptance> {
        let of_lot = self.acceptances.values().filter(|one| one.lot == lot);
        let mut found: Vec<&Acceptance> = of_lot.collect();
        found.sort_by_key(|one| one.seq);
        found
    }

    /// How strictly the next lot of a product must be inspected.
    pub fn standing(&self, product: ProductId) -> Standing {
        let of_product = self.acceptances.values();
        let of_product = of_product.filter(|one| one.product == product);
        let mut found: Vec<&Acceptance> = of_product.collect();
        found.sort_by_key(|one| one.seq);
        let before = self.archive.standings.get(&product).cloned();
        let judged = found.into_iter().filter_map(Acceptance::judged);
        before.unwrap_or_default().then(judged)
    }

    /// Sheets that a second look found bad and that are passed all the same.
    pub fn passed_though_bad(&self, lot: &Lot) -> Vec<SheetNo> {
        let samples = self.acceptances_of(lot.id).into_iter();
        let looks = samples.flat_map(|one| one.sheets.iter());
        let mut bad: Vec<SheetNo> = looks
            .filter(|(sheet, look)| {
                let exam = lot.sheet(**sheet).and_then(|known| known.exam.as_deref());
                let still = |seq: u64| {
                    exam.is_some_and(|exam| exam.ruling.verdict == Verdict::Good && exam.seq < seq)
                };
                look.as_ref()
                    .is_some_and(|look| look.is_bad() && still(look.seq))
            })
            .map(|(sheet, _)| *sheet)
            .collect();
        bad.sort_unstable();
        bad.dedup();
        bad
    }
}
