//! What is typed at the steps from the containers to the residue.

use crate::custody::{
    ContainerId, Contents, DestructionError, Method, ParticleClass, Seal, SealNumber,
};
use crate::people::Stamp;
use crate::sheet::IdError;

use super::{Counted, DestructionDraft, Setting};
use crate::desk::forms::{FieldErrors, Reader, Typed};

/// Most pieces of one kind that a container is counted to hold.
const COUNT_MAX: u32 = 10_000_000;

/// How, where and when.
pub(super) struct Deed {
    pub place: String,
    pub machine: String,
    pub method: Method,
    /// Asked only where the method leaves particles.
    pub class: Option<ParticleClass>,
    pub started: Stamp,
    pub ended: Stamp,
}

impl DestructionDraft {
    /// At least one container, every one sealed.
    pub(super) fn containers(&self, at: &Setting) -> Result<(), FieldErrors> {
        let mut errors = Reader::new(&self.session);
        if self.found.is_empty() {
            errors.wrong::<()>("containers", DestructionError::NoContainers);
        }
        for &id in self.found.keys() {
            let container = at.state.cage.containers.get(&id);
            let wrong = match container.map(|container| &container.seal) {
                None => DestructionError::Unknown(id),
                Some(Seal::Open) => DestructionError::NotSealed(id),
                Some(Seal::Destroyed { session, .. }) => DestructionError::AlreadyDestroyed {
                    container: id,
                    session: *session,
                },
                Some(Seal::Sealed(_)) => continue,
            };
            errors.wrong::<()>("containers", wrong);
        }
        errors.finish(Some(()))
    }

    /// Seal and counts of one container as typed, whether they agree or not.
    fn typed_count(&self, id: ContainerId) -> Result<Counted, FieldErrors> {
        let empty = Typed::default();
        let mut form = Reader::new(self.found.get(&id).unwrap_or(&empty));
        let seal = form.read_with("found-seal", |text| {
            if text.is_empty() {
                return Err(format!("Container {id}: its seal is not read yet."));
            }
            let why = |why: IdError| format!("Container {id}: {why}");
            text.parse::<SealNumber>().map_err(why)
        });
        let mut number = |field, kind| match form.text(field).trim() {
            "" => form.wrong(
                field,
                format!("Container {id}: its {kind} are not counted yet."),
            ),
            _ => form.number(field, &format!("Container {id}: {kind}"), 0..=COUNT_MAX),
        };
        let (sheets, notes) = (
            number("found-sheets", "sheets"),
            number("found-notes", "notes"),
        );
        let counted = (|| {
            Some(Counted {
                seal: seal?,
                sheets: sheets?,
                notes: notes?,
            })
        })();
        form.finish(counted)
    }

    /// Seal and counts of one container, compared with what was declared.
    pub(super) fn counted(&self, id: ContainerId, at: &Setting) -> Result<Counted, FieldErrors> {
        let counted = self.typed_count(id)?;
        let typed = self.found.get(&id);
        if !typed.is_some_and(|typed| typed.ticked("compared")) {
            let message = format!("Container {id} is not compared with what was declared yet.");
            return Err(FieldErrors::one("compared", message));
        }
        let mut errors = Reader::new(&self.session);
        for (field, why) in disagreements(id, &counted, at) {
            errors.wrong::<()>(field, why);
        }
        errors.finish(Some(counted))
    }

    /// Takes over seal and counts as typed. A changed count is blind again.
    pub fn count(&mut self, id: ContainerId, typed: &Typed) {
        self.take(
            id,
            typed,
            &["found-seal", "found-sheets", "found-notes"],
            true,
        );
    }

    /// Takes over the masses as typed.
    pub fn weigh(&mut self, id: ContainerId, typed: &Typed) {
        let fields = ["found-gross", "found-tare", "found-scale"];
        self.take(id, typed, &fields, false);
    }

    fn take(&mut self, id: ContainerId, typed: &Typed, fields: &[&'static str], blind: bool) {
        let Some(known) = self.found.get_mut(&id) else {
            return;
        };
        for field in fields {
            if known.get(field) != typed.get(field) {
                known.set(field, typed.get(field).to_owned());
                if blind {
                    known.tick("compared", false);
                }
            }
        }
    }

    /// Uncovers what was declared, once seal and counts are typed.
    ///
    /// # Errors
    /// What is not typed rightly yet.
    pub fn compare(&mut self, id: ContainerId) -> Result<(), FieldErrors> {
        self.typed_count(id)?;
        if let Some(typed) = self.found.get_mut(&id) {
            typed.tick("compared", true);
        }
        Ok(())
    }

    /// What is known of a container and hidden until it was counted: seal number and contents.
    pub fn declared(&self, id: ContainerId, at: &Setting) -> Option<(SealNumber, Contents)> {
        let compared = self.found.get(&id)?.ticked("compared");
        let container = at.state.cage.containers.get(&id).filter(|_| compared)?;
        Some((container.sealing()?.number, container.contents()))
    }

    pub(super) fn destroyed(&self, at: &Setting) -> Result<Deed, FieldErrors> {
        let mut form = Reader::new(&self.session);
        let place = form.required("place", "Place", 200);
        let machine = form.required("machine", "Machine", 200);
        let method = pick(
            &mut form,
            "method",
            "Choose how it is destroyed.",
            &Method::ALL,
            Method::name,
        );
        let class = match self.leaves_particles() {
            false => Some(None),
            true => pick(
                &mut form,
                "class",
                "Choose the particle class that the machine is set to.",
                &ParticleClass::ALL,
                ParticleClass::name,
            )
            .map(Some),
        };
        let started = time(&mut form, "started", "Start", at.now);
        let ended = time(&mut form, "ended", "End", at.now);
        if let (Some(started), Some(ended)) = (&started, &ended) {
            self.check_times(&mut form, started, ended, at);
        }
        let deed = (|| {
            Some(Deed {
                place: place?,
                machine: machine?,
                method: method?,
                class: class?,
                started: started?,
                ended: ended?,
            })
        })();
        form.finish(deed)
    }

    fn check_times(&self, form: &mut Reader, started: &Stamp, ended: &Stamp, at: &Setting) {
        let containers = self
            .found
            .keys()
            .filter_map(|id| at.state.cage.containers.get(id));
        let sealings =
            containers.filter_map(|container| Some((container.id, container.sealing()?)));
        if let Some((id, sealing)) = sealings.max_by_key(|(_, sealing)| sealing.at.clone())
            && *started < whole_second(&sealing.at)
        {
            let clock = sealing.at.clock();
            let message = format!(
                "Container {id} was sealed at {clock}, after the start. Correct the start."
            );
            form.wrong::<()>("started", message);
        }
        if ended <= started {
            form.wrong::<()>("ended", DestructionError::EndBeforeStart);
        }
        if ended > at.now {
            form.wrong::<()>(
                "ended",
                "The end lies in the future. Correct it, or wait until all is destroyed.",
            );
        }
    }

    /// Whether particles are to be measured: unless a method was chosen that leaves none.
    pub fn leaves_particles(&self) -> bool {
        let name = self.session.get("method");
        let method = Method::ALL.into_iter().find(|method| method.name() == name);
        method.is_none_or(Method::leaves_particles)
    }

    /// The particle class that was chosen.
    pub fn class(&self) -> Option<ParticleClass> {
        let name = self.session.get("class");
        ParticleClass::ALL
            .into_iter()
            .find(|class| class.name() == name)
    }
}

/// Everything in which a counted container differs from what was declared.
fn disagreements(
    id: ContainerId,
    counted: &Counted,
    at: &Setting,
) -> Vec<(&'static str, DestructionError)> {
    let Some(container) = at.state.cage.containers.get(&id) else {
        return vec![("containers", DestructionError::Unknown(id))];
    };
    let Some(sealing) = container.sealing() else {
        return vec![("containers", DestructionError::NotSealed(id))];
    };
    let mut wrong = Vec::new();
    if counted.seal != sealing.number {
        let (found, sealed) = (counted.seal, sealing.number);
        let error = DestructionError::WrongSeal {
            container: id,
            found,
            sealed,
        };
        wrong.push(("found-seal", error));
    }
    let declared = container.contents();
    for (field, kind, counted, declared) in [
        ("found-sheets", "sheets", counted.sheets, declared.sheets),
        ("found-notes", "notes", counted.notes, declared.notes),
    ] {
        if counted != declared {
            let container = id;
            wrong.push((
                field,
                DestructionError::CountDiffers {
                    container,
                    kind,
                    counted,
                    declared,
                },
            ));
        }
    }
    wrong
}

fn pick<T: Copy>(
    form: &mut Reader,
    field: &'static str,
    missing: &str,
    all: &[T],
    name: fn(T) -> &'static str,
) -> Option<T> {
    let found = all
        .iter()
        .copied()
        .find(|one| name(*one) == form.text(field));
    match found {
        Some(one) => Some(one),
        None => form.wrong(field, missing),
    }
}

/// Reads a local date and time as the browser's own field writes it, `2026-11-25T14:02` with or
/// without seconds, at the machine's offset of now.
fn time(form: &mut Reader, field: &'static str, name: &str, now: &Stamp) -> Option<Stamp> {
    form.read_with(field, |text| {
        if text.is_empty() {
            return Err(format!(
                "{name} is empty. Press \"Now\" when it happens, or type it."
            ));
        }
        let seconds = if text.len() == "2026-11-25T14:02".len() {
            ":00"
        } else {
            ""
        };
        let offset = offset_of(now);
        format!("{text}{seconds}{offset}")
            .parse()
            .map_err(|_| format!("{name} is not a date and time. Write it like 2026-11-25T14:02."))
    })
}

/// The offset at the end of a moment's text, like `+01:00` or `Z`.
pub fn offset_of(at: &Stamp) -> String {
    let text = at.to_string();
    let from = text.rfind(['+', '-', 'Z', 'z']).unwrap_or(text.len());
    text[from..].to_owned()
}

/// A moment as the browser's own field for date and time takes it, to the second.
pub fn local_text(at: &Stamp) -> String {
    let text = at.to_string();
    let day = text.get(..10).unwrap_or_default();
    format!("{day}T{}", at.clock())
}

/// Typed times have no fractions of a second; a sealing that has them is compared without.
fn whole_second(at: &Stamp) -> Stamp {
    let text = at.to_string();
    let end = text.find('.').unwrap_or(text.len());
    let whole = match text.contains('.') {
        true => format!("{}{}", &text[..end], offset_of(at)),
        false => text,
    };
    whole.parse().unwrap_or_else(|_| at.clone())
}
