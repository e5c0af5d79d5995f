//! The forms that change the catalogue: one class at a time, then the whole is recorded.

use crate::book::{ClassesSet, Entry};
use crate::inspect::{Catalogue, Class, ClassCode, Scope, Severity, Step};

use super::{FieldErrors, Reader, Typed};

/// The values of the scope field, and what is shown for each.
pub const SCOPES: [(&str, &str); 2] = [("note", "one note"), ("sheet", "whole sheet")];

/// The form of one class, filled with it.
pub fn class_typed(class: &Class) -> Typed {
    let scope = match class.scope {
        Scope::Note => "note",
        Scope::Sheet => "sheet",
    };
    Typed::with([
        ("class-code", class.code.as_str()),
        ("class-name", &class.name),
        ("class-step", class.step.slug()),
        ("class-scope", scope),
        ("class-severity", class.severity.name()),
        ("class-looks", &class.looks),
        ("class-cause", &class.cause),
    ])
}

/// The form of a new class of this step.
pub fn class_start(step: Step) -> Typed {
    Typed::with([
        ("class-step", step.slug()),
        ("class-scope", "note"),
        ("class-severity", Severity::Major.name()),
    ])
}

/// Reads one class. `others` are the classes it must not share its code with.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn class(typed: &Typed, others: &[Class]) -> Result<Class, FieldErrors> {
    let mut form = Reader::new(typed);
    let code = form.read("class-code").and_then(|code: ClassCode| {
        match others.iter().find(|other| other.code == code) {
            None => Some(code),
            Some(other) => form.wrong(
                "class-code",
                format!(
                    "Code {code} is taken by \"{}\". Give another code.",
                    other.name
                ),
            ),
        }
    });
    let name = form.required("class-name", "Name", 40);
    let step = form.read_with("class-step", |text| {
        Step::ALL
            .into_iter()
            .find(|step| step.slug() == text)
            .ok_or("\"Step\" is not chosen. Choose the step of the works.")
    });
    let scope = form.read_with("class-scope", |text| match text {
        "note" => Ok(Scope::Note),
        "sheet" => Ok(Scope::Sheet),
        _ => Err("\"Scope\" is not chosen. Choose one note or the whole sheet."),
    });
    let severity = form.read_with("class-severity", |text| {
        Severity::ALL
            .into_iter()
            .find(|severity| severity.name() == text)
            .ok_or("\"Severity\" is not chosen. Choose minor, major or critical.")
    });
    let looks = short(&mut form, "class-looks", "What it looks like");
    let cause = short(&mut form, "class-cause", "Usual cause");
    let class = (|| {
        Some(Class {
            code: code?,
            name: name?,
            step: step?,
            scope: scope?,
            severity: severity?,
            looks: looks?,
            cause: cause?,
        })
    })();
    form.finish(class)
}

fn short(form: &mut Reader, field: &'static str, label: &str) -> Option<String> {
    let text = form.text(field).trim();
    match text.chars().count() {
        0..=200 => Some(text.to_owned()),
        _ => form.wrong(
            field,
            format!("{label} is longer than 200 characters. Shorten it."),
        ),
    }
}

/// What changed between two lists of classes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ClassChanges {
    pub added: usize,
    pub changed: usize,
    pub removed: usize,
}

impl ClassChanges {
    /// Compares by code.
    pub fn between(before: &[Class], after: &[Class]) -> Self {
        let find = |list: &[Class], code| list.iter().find(|class| class.code == code).cloned();
        let mut changes = Self::default();
        for class in after {
            match find(before, class.code) {
                None => changes.added += 1,
                Some(was) => changes.changed += usize::from(was != *class),
            }
        }
        let gone = |class: &&Class| find(after, class.code).is_none();
        changes.removed = before.iter().filter(gone).count();
        changes
    }

    pub fn is_none(self) -> bool {
        self == Self::default()
    }

    /// `2 added, 1 changed`, or nothing.
    pub fn says(self) -> String {
        let parts = [
            (self.added, "added"),
            (self.changed, "changed"),
            (self.removed, "removed"),
        ];
        let parts: Vec<_> = parts
            .into_iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, word)| format!("{count} {word}"))
            .collect();
        parts.join(", ")
    }
}

/// The entry that puts the changed catalogue in force.
///
/// # Errors
/// A list that is no catalogue, or the one in force already.
pub fn catalogue(classes: &[Class], current: &Catalogue) -> Result<Entry, FieldErrors> {
    if classes == current.classes() {
        let message =
            "This is the catalogue in force already. Change something before recording it.";
        return Err(FieldErrors::one("", message));
    }
    let classes = Catalogue::new(classes.to_vec()).map_err(|why| FieldErrors::one("", why))?;
    Ok(Entry::ClassesSet(ClassesSet { classes }))
}

#[cfg(test)]
mod tests {
    use super::super::sample::{book, take};
    use super::*;
    use crate::inspect::starter_catalogue;

    fn new_class(change: &[(&'static str, &str)]) -> Result<Class, FieldErrors> {
        let mut typed = class_start(Step::Foil);
        typed.set("class-code", "fz".to_owned());
        typed.set("class-name", "foil crease".to_owned());
        for (field, text) in change {
            typed.set(field, (*text).to_owned());
        }
        class(&typed, starter_catalogue().classes())
    }

    #[test]
    fn every_starter_class_comes_back_from_its_form() {
        for starter in starter_catalogue().classes() {
            assert_eq!(class(&class_typed(starter), &[]).as_ref(), Ok(starter));
        }
    }

    #[test]
    fn a_changed_catalogue_is_recorded_and_an_unchanged_one_is_not() {
        let mut book = book();
        let current = starter_catalogue();
        assert!(catalogue(current.classes(), &current).is_err());
        let mut classes = current.classes().to_vec();
        classes.remove(0);
        classes[0].severity = Severity::Critical;
        classes[1].severity = Severity::Critical;
        classes.push(new_class(&[]).unwrap());
        let changes = ClassChanges::between(current.classes(), &classes);
        let changed = [0, 1]
            .into_iter()
            .filter(|i| classes[*i] != current.classes()[i + 1])
            .count();
        assert_eq!(
            changes,
            ClassChanges {
                added: 1,
                changed,
                removed: 1
            }
        );
        assert!(
            changes.says().starts_with("1 added, "),
            "{}",
            changes.says()
        );
        take(&mut book, catalogue(&classes, &current).unwrap()).unwrap();
        assert_eq!(book.state().catalogue.classes(), classes);
        assert!(
            catalogue(&[], &current)
                .unwrap_err()
                .of("")
                .unwrap()
                .contains("empty")
        );
    }

    #[test]
    fn each_wrong_value_is_named_at_its_field() {
        let taken = starter_catalogue().classes()[0].code.to_string();
        let long = "x".repeat(201);
        for (change, field, says) in [
            (("class-code", "F1"), "class-code", "not a class code"),
            (("class-code", taken.as_str()), "class-code", "is taken by"),
            (("class-name", ""), "class-name", "Fill it in"),
            (("class-name", &long), "class-name", "longer than 40"),
            (("class-step", ""), "class-step", "Choose the step"),
            (("class-scope", ""), "class-scope", "Choose one note"),
            (("class-severity", ""), "class-severity", "Choose minor"),
            (("class-looks", &long), "class-looks", "longer than 200"),
            (("class-cause", &long), "class-cause", "longer than 200"),
        ] {
            let errors = new_class(&[change]).unwrap_err();
            let message = errors
                .of(field)
                .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
    }
}
