//! What is typed when the containers are weighed.

use crate::book::State;
use crate::custody::{
    ContainerId, DestructionError, Mass, ScaleId, SessionLog, Stage, WeighVerdict, Weighed,
};

use super::DestructionDraft;
use crate::desk::forms::{FieldErrors, Reader};

/// Why a container is destroyed although its mass differs.
pub const OFF_BECAUSE: &str = "found-off";

/// Reads the scale of a weighing. It must be named where the works has registered any.
pub fn scale_of(form: &mut Reader, field: &'static str, state: &State) -> Option<Option<ScaleId>> {
    match form.text(field) {
        "" if state.scales.is_empty() => Some(None),
        "" => form.wrong(
            field,
            "The scale is not named. Choose the one that was read.",
        ),
        _ => form.read_with(field, |text| {
            let scale: ScaleId = text
                .parse()
                .map_err(|why: crate::sheet::IdError| why.to_string())?;
            match state.scales.contains_key(&scale) {
                true => Ok(Some(scale)),
                false => Err(format!(
                    "Scale {scale} is not registered. Choose one of the list, or register it in the Office."
                )),
            }
        }),
    }
}

impl DestructionDraft {
    /// The masses of every container that is still in the session.
    pub(super) fn weights(
        &self,
        log: &SessionLog,
        state: &State,
    ) -> Result<Vec<Weighed>, FieldErrors> {
        let fit = log.fit(Stage::Weigh).into_iter();
        fit.map(|id| self.weighed(id, state)).collect()
    }

    /// Gross and tare of one container, the gross not below the tare, and the scale.
    pub(super) fn weighed(&self, id: ContainerId, state: &State) -> Result<Weighed, FieldErrors> {
        let typed = self.typed(id);
        let mut form = Reader::new(&typed);
        let mut mass = |field, name| {
            form.read_with(field, |text| match text {
                "" => Err(format!("Container {id}: {name} mass is empty. Weigh it.")),
                _ => Mass::from_grams_text(text).map_err(|why| format!("Container {id}: {why}")),
            })
        };
        let (gross, tare) = (mass("found-gross", "gross"), mass("found-tare", "tare"));
        let scale = scale_of(&mut form, "found-scale", state);
        let masses = gross.zip(tare);
        if masses.is_some_and(|(gross, tare)| gross.less(tare).is_none()) {
            form.wrong::<()>("found-gross", DestructionError::BelowTare(id));
        }
        let off_because = match self.is_off(id, state) {
            true => form
                .required(
                    OFF_BECAUSE,
                    &format!("Container {id}: why its mass differs"),
                    200,
                )
                .map(Some),
            false => Some(None),
        };
        let all = masses.zip(scale).zip(off_because);
        let weighed = all.map(|(((gross, tare), scale), off_because)| Weighed {
            container: id,
            gross,
            tare,
            scale,
            off_because,
        });
        form.finish(weighed)
    }

    /// Whether the reading that is typed lies outside the band of its count. Such a container is
    /// destroyed only with a reason.
    pub fn is_off(&self, id: ContainerId, state: &State) -> bool {
        let Some((container, net)) = state.container(id).ok().zip(self.net(id)) else {
            return false;
        };
        let expected = state.expected_mass(container, self.scale(id, state));
        expected.judge(net) == WeighVerdict::Differs
    }

    /// Net mass of one container, when both masses are typed.
    pub fn net(&self, id: ContainerId) -> Option<Mass> {
        let typed = self.found.get(&id)?;
        let mass = |field| Mass::from_grams_text(typed.get(field)).ok();
        mass("found-gross")?.less(mass("found-tare")?)
    }

    /// The scale named for one container, when it is one of the works.
    pub fn scale(&self, id: ContainerId, state: &State) -> Option<ScaleId> {
        let scale = self.found.get(&id)?.get("found-scale").parse().ok()?;
        state.scales.contains_key(&scale).then_some(scale)
    }
}
