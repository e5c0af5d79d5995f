//! What is typed for each container: its seal as found, its count, its masses.

use std::collections::BTreeSet;

use crate::custody::{
    ContainerId, Contents, Counted, Counting, Declared, DestructionError, Differs, Item, SealFound,
    SealNumber, SessionLog, count_differs,
};
use crate::sheet::IdError;

use super::{DestructionDraft, Setting, Step};
use crate::desk::forms::{FieldErrors, Reader, Typed};

/// Most pieces of one kind that a container is counted to hold.
const COUNT_MAX: u32 = 10_000_000;

impl DestructionDraft {
    pub(super) fn typed(&self, id: ContainerId) -> Typed {
        self.found.get(&id).cloned().unwrap_or_default()
    }

    /// Whether one container is right at the step where it is looked at, counted or weighed.
    ///
    /// # Errors
    /// What is missing or wrong, each at its field.
    pub fn container_right(
        &self,
        step: Step,
        id: ContainerId,
        at: &Setting,
    ) -> Result<(), FieldErrors> {
        let Some(log) = &at.state.session else {
            return Ok(());
        };
        match step {
            Step::Seals => self.seal(id, log).map(drop),
            Step::Count => self.count_of(id, log).map(drop),
            _ => self.weighed(id, at.state).map(drop),
        }
    }

    /// The seals as found. One that differs, or a container that is not there, has to be said so.
    pub(super) fn seals(&self, log: &SessionLog) -> Result<Vec<SealFound>, FieldErrors> {
        let fit = log.fit(crate::custody::Stage::Seals).into_iter();
        fit.map(|id| self.seal(id, log)).collect()
    }

    fn seal(&self, container: ContainerId, log: &SessionLog) -> Result<SealFound, FieldErrors> {
        let typed = self.typed(container);
        let broken = typed.ticked("seal-broken") && !typed.ticked("not-found");
        let unread = broken && typed.get("found-seal").trim().is_empty();
        let seal = match unread || typed.ticked("not-found") {
            true => None,
            false => Some(read_seal(&typed, container)?),
        };
        let sealed = log.declared(container).map(|declared| declared.seal);
        // A number typed without the shift key is the same number.
        let seal = seal.map(|found: SealNumber| {
            let same = sealed.filter(|sealed| sealed.as_str().eq_ignore_ascii_case(found.as_str()));
            same.unwrap_or(found)
        });
        let right = broken || seal.is_none() || seal == sealed || typed.ticked("differs");
        match (right, seal, sealed) {
            (false, Some(found), Some(sealed)) => Err(FieldErrors::one(
                "found-seal",
                DestructionError::WrongSeal {
                    container,
                    found,
                    sealed,
                },
            )),
            _ => Ok(SealFound {
                container,
                seal,
                broken,
            }),
        }
    }

    pub(super) fn counts(&self, log: &SessionLog) -> Result<Vec<Counted>, FieldErrors> {
        let fit = log.fit(crate::custody::Stage::Count).into_iter();
        fit.map(|id| self.count_of(id, log)).collect()
    }

    /// A count that was compared; one that differs has to be said so.
    fn count_of(&self, container: ContainerId, log: &SessionLog) -> Result<Counted, FieldErrors> {
        let Some(declared) = log.declared(container) else {
            let why = DestructionError::Unknown(container);
            return Err(FieldErrors::one("containers", why));
        };
        let counted = self.counted(declared)?;
        let typed = self.typed(container);
        if declared.drawn.is_none() && !typed.ticked("compared") {
            let message =
                format!("Container {container} is not compared with what was declared yet.");
            return Err(FieldErrors::one("compared", message));
        }
        match count_differs(&counted, declared) {
            Some(differs) if !typed.ticked("differs") => Err(says(&differs, declared)),
            _ => Ok(Counted { container, counted }),
        }
    }

    /// The count as typed, whether it agrees or not.
    fn counted(&self, declared: &Declared) -> Result<Counting, FieldErrors> {
        let id = declared.container;
        let typed = self.typed(id);
        if let Some(drawn) = &declared.drawn {
            return Ok(Counting::Sample {
                pieces: drawn.len() as u32,
                absent: absent(&typed, drawn),
            });
        }
        let mut form = Reader::new(&typed);
        let mut number = |field, kind| match form.text(field).trim() {
            "" => form.wrong(
                field,
                format!("Container {id}: its {kind} are not counted yet."),
            ),
            _ => form.number(field, &format!("Container {id}: {kind}"), 0..=COUNT_MAX),
        };
        let sheets = number("found-sheets", "sheets");
        let notes = number("found-notes", "notes");
        let counted = sheets.zip(notes);
        form.finish(counted.map(|(sheets, notes)| Counting::All { sheets, notes }))
    }

    /// Takes over what is typed for a container. A changed seal or count is to be compared again.
    pub fn type_in(&mut self, id: ContainerId, typed: &Typed) {
        let known = self.typed(id);
        let blind = [
            "found-seal",
            "found-sheets",
            "found-notes",
            "found-pieces",
            "not-found",
            "seal-broken",
        ];
        let changed = blind
            .iter()
            .any(|field| known.get(field) != typed.get(field));
        let mut taken = typed.clone();
        for field in ["compared", "differs"] {
            let still = known.ticked(field) && !changed;
            if taken.ticked(field) != still {
                taken.tick(field, still);
            }
        }
        self.found.insert(id, taken);
    }

    /// Takes over the masses as typed.
    pub fn weigh(&mut self, id: ContainerId, typed: &Typed) {
        self.type_in(id, typed);
    }

    /// Uncovers what was declared, once it is counted.
    ///
    /// # Errors
    /// What is not typed rightly yet.
    pub fn compare(&mut self, id: ContainerId, at: &Setting) -> Result<(), FieldErrors> {
        if let Some(declared) = at.state.session.as_ref().and_then(|log| log.declared(id)) {
            self.counted(declared)?;
        }
        self.found.entry(id).or_default().tick("compared", true);
        Ok(())
    }

    /// Says that a seal or a count does differ, so that the session goes on without the container.
    pub fn say_differs(&mut self, id: ContainerId) {
        self.found.entry(id).or_default().tick("differs", true);
    }

    /// What is declared of a container and hidden until it was counted.
    pub fn declared(&self, id: ContainerId, at: &Setting) -> Option<Contents> {
        let log = at.state.session.as_ref()?;
        let compared = self.found.get(&id)?.ticked("compared");
        log.declared(id)
            .filter(|_| compared)
            .map(|declared| declared.contents)
    }
}

fn read_seal(typed: &Typed, id: ContainerId) -> Result<SealNumber, FieldErrors> {
    let mut form = Reader::new(typed);
    let seal = form.read_with("found-seal", |text| {
        if text.is_empty() {
            return Err(format!("Container {id}: its seal is not read yet."));
        }
        let why = |why: IdError| format!("Container {id}: {why}");
        text.parse::<SealNumber>().map_err(why)
    });
    form.finish(seal)
}

/// Which of the drawn pieces are ticked as found: their places in the list, with spaces between.
fn ticked(typed: &Typed) -> BTreeSet<usize> {
    let places = typed.get("found-pieces").split(' ');
    places.filter_map(|place| place.parse().ok()).collect()
}

/// The list of ticks with one of them changed.
pub fn drawn_text(typed: &Typed, place: usize, found: bool) -> String {
    let mut places = ticked(typed);
    match found {
        true => places.insert(place),
        false => places.remove(&place),
    };
    let texts: Vec<String> = places.iter().map(ToString::to_string).collect();
    texts.join(" ")
}

fn absent(typed: &Typed, drawn: &[Item]) -> Vec<Item> {
    let found = ticked(typed);
    let drawn = drawn.iter().enumerate();
    let absent = drawn.filter(|(place, _)| !found.contains(place));
    absent.map(|(_, item)| *item).collect()
}

/// What is said beside the fields when a count does not agree.
fn says(differs: &Differs, declared: &Declared) -> FieldErrors {
    let container = declared.container;
    let empty = Typed::default();
    let mut errors = Reader::new(&empty);
    match differs {
        Differs::OtherCount { sheets, notes } => {
            let known = declared.contents;
            for (field, kind, counted, declared) in [
                ("found-sheets", "sheets", *sheets, known.sheets),
                ("found-notes", "notes", *notes, known.notes),
            ] {
                if counted != declared {
                    let why = DestructionError::CountDiffers {
                        container,
                        kind,
                        counted,
                        declared,
                    };
                    errors.wrong::<()>(field, why);
                }
            }
        }
        Differs::Absent { pieces } => {
            let missing = pieces.len();
            let message = format!(
                "Container {container}: {missing} of the drawn pieces are not ticked as found. Look for them, or say that they are not there."
            );
            errors.wrong::<()>("found-pieces", message);
        }
        Differs::NotFound | Differs::OtherSeal { .. } | Differs::BrokenSeal { .. } => {}
    }
    errors.finish(None::<()>).err().unwrap_or_default()
}
