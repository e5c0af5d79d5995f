//! What is typed at the machine: how it is destroyed, and from when to when.

use crate::custody::{DestructionError, Ended, Method, ParticleClass, SessionLog, Started};
use crate::people::Stamp;

use super::{DestructionDraft, Setting};
use crate::desk::forms::{FieldErrors, Reader};

impl DestructionDraft {
    pub(super) fn started(&self, log: &SessionLog, at: &Setting) -> Result<Started, FieldErrors> {
        let mut form = Reader::new(&self.session);
        let machine = form.required("machine", "Machine", 200);
        let how = "Choose how it is destroyed.";
        let method = pick(&mut form, "method", how, &Method::ALL, Method::name);
        let class = match self.leaves_particles() {
            false => Some(None),
            true => {
                let which = "Choose the particle class that the machine is set to.";
                let all = &ParticleClass::ALL;
                pick(&mut form, "class", which, all, ParticleClass::name).map(Some)
            }
        };
        let started = read_time(&mut form, "started", "Start", at.now);
        if let Some(started) = &started {
            check_start(&mut form, started, log, at);
        }
        let run = (|| {
            Some(Started {
                machine: machine?,
                method: method?,
                particle_class: class?,
                started: started?,
            })
        })();
        form.finish(run)
    }

    pub(super) fn ended(&self, log: &SessionLog, at: &Setting) -> Result<Ended, FieldErrors> {
        let mut form = Reader::new(&self.session);
        let ended = read_time(&mut form, "ended", "End", at.now);
        if let Some(ended) = &ended {
            if log.started().is_some_and(|run| *ended <= run.started) {
                form.wrong::<()>("ended", DestructionError::EndBeforeStart);
            }
            if ended > at.now {
                form.wrong::<()>(
                    "ended",
                    "The end lies in the future. Correct it, or wait until all is destroyed.",
                );
            }
        }
        form.finish(ended.map(|ended| Ended { ended }))
    }

    /// Whether particles are to be measured: unless a method was chosen that leaves none.
    pub fn leaves_particles(&self) -> bool {
        let name = self.session.get("method");
        let method = Method::ALL.into_iter().find(|method| method.name() == name);
        method.is_none_or(Method::leaves_particles)
    }
}

/// The machine is started after the containers were sealed and the session was begun, and not in
/// the future.
fn check_start(form: &mut Reader, started: &Stamp, log: &SessionLog, at: &Setting) {
    if *started < whole_second(&log.at) {
        let clock = log.at.clock();
        form.wrong::<()>(
            "started",
            format!("The session was begun at {clock}, after the start. Correct the start."),
        );
    }
    if started > at.now {
        form.wrong::<()>(
            "started",
            "The start lies in the future. Correct it, or press \"Now\" when the machine is started.",
        );
    }
    if log.ended().is_some_and(|ended| ended <= started) {
        form.wrong::<()>("started", DestructionError::EndBeforeStart);
    }
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
pub(super) fn read_time(
    form: &mut Reader,
    field: &'static str,
    name: &str,
    now: &Stamp,
) -> Option<Stamp> {
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
