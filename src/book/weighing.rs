//! The weigh check of containers, and the mass balance of residue, by what the book knows.

use std::collections::BTreeMap;

use crate::custody::{
    Container, Destruction, Expected, Item, Mass, MassBalance, Pieces, ResidueSent, Scale, ScaleId,
    SessionId, combined, expected, mass_balance,
};
use crate::people::{Day, PersonId, Stamp};
use crate::sheet::ProductId;

use super::state::{Product, SessionRecord, State};

/// The weigh check of one destroyed container, by what was known when it was recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct WeighCheck {
    /// The scale as it was registered then.
    pub scale: Option<Scale>,
    /// Whether its calibration was too old on the day it was read.
    pub overdue: bool,
    pub expected: Expected,
}

/// Residue that left the works.
#[derive(Clone, Debug, PartialEq)]
pub struct ResidueRecord {
    pub seq: u64,
    pub by: PersonId,
    pub at: Stamp,
    /// The production day it was recorded on.
    pub day: Day,
    pub data: ResidueSent,
    pub balance: MassBalance,
}

impl State {
    /// The sending that took the residue of a session, if it left.
    pub fn residue_of(&self, session: SessionId) -> Option<&ResidueRecord> {
        let mut sent = self.residue.iter();
        sent.find(|sent| sent.data.sessions.contains(&session))
    }

    /// What a container should weigh net on a scale, by what is known now.
    pub fn expected_mass(&self, container: &Container, scale: Option<ScaleId>) -> Expected {
        let scale = scale.and_then(|id| self.scales.get(&id));
        expected(&pieces(self, container), scale)
    }
}

/// What lies in a container, by product and size, as the weigh check takes it.
fn pieces(state: &State, container: &Container) -> Vec<Pieces> {
    let mut counts: BTreeMap<(ProductId, bool), u64> = BTreeMap::new();
    for item in &container.items {
        let found = match item {
            Item::Sheet(lot, _) => state.lots.get(lot).map(|lot| (lot.product.id, true)),
            Item::Note(serial) => {
                let mut lots = state.lots.values();
                let lot = lots.find(|lot| lot.has_serial(serial.as_str()));
                lot.map(|lot| (lot.product.id, false))
            }
            Item::Replacement(serial) => {
                let mut series = state.pools.values().map(|pool| &pool.series);
                let of = series.find(|one| matches!(one.find(serial.as_str()), Ok(Some(_))));
                of.map(|series| (series.product(), false))
            }
        };
        if let Some(key) = found {
            *counts.entry(key).or_default() += 1;
        }
    }
    let of_product = |((id, sheets), count)| {
        let product = state.products.get(&id)?;
        Some(pieces_of(state, product, sheets, count))
    };
    counts.into_iter().filter_map(of_product).collect()
}

fn pieces_of(state: &State, product: &Product, sheets: bool, count: u64) -> Pieces {
    let layout = &product.layout;
    Pieces {
        product: product.id.to_string(),
        sheets,
        count,
        area_mm2: match sheets {
            true => layout.sheet_area_mm2(),
            false => layout.note_area_mm2(),
        },
        grammage: layout.spec().grammage.mg_per_m2(),
        paper: state.papers.get(&product.id).copied(),
    }
}

/// The weigh checks of a destruction that is about to be recorded.
pub(super) fn weighed(state: &State, at: &Stamp, record: &Destruction) -> Vec<WeighCheck> {
    let today = at.local_day();
    let check = |found: &crate::custody::Found| {
        let container = state.cage.containers.get(&found.container)?;
        let scale = found.scale.and_then(|id| state.scales.get(&id)).cloned();
        Some(WeighCheck {
            overdue: scale.as_ref().is_some_and(|scale| scale.is_overdue(today)),
            scale,
            expected: state.expected_mass(container, found.scale),
        })
    };
    // Every container of a record that was checked is known.
    record.containers.iter().filter_map(check).collect()
}

impl State {
    /// Paper of these sessions against residue sent, by the rules in force.
    pub fn balance_of(&self, sessions: &[&SessionRecord], sent: Mass) -> MassBalance {
        let found = || {
            sessions
                .iter()
                .flat_map(|one| &one.as_corrected().containers)
        };
        let net = found().filter_map(|found| found.gross.less(found.tare));
        let checks = sessions.iter().flat_map(|one| &one.weighed);
        let budgets = checks.filter_map(|check| check.expected.budget.as_ref().ok());
        let rows = budgets.flat_map(|budget| &budget.rows);
        let of_scales: Vec<_> = rows.filter(|row| !row.source.is_paper()).cloned().collect();
        let methods = sessions.iter().map(|one| one.record.method);
        let (of_scales, percent) = (combined(&of_scales), self.rules.residue_percent);
        mass_balance(net.sum(), sent, methods, of_scales, percent)
    }
}
