//! A form's typed text and errors, bound to its fields.

use yew::prelude::*;

use crate::desk::forms::{FieldErrors, Typed};

/// The state of one form. Typed text stays whatever is wrong with it.
#[derive(Clone, PartialEq)]
pub struct Form {
    typed: UseStateHandle<Typed>,
    errors: UseStateHandle<FieldErrors>,
}

/// A form that starts with these texts.
#[hook]
pub fn use_form(start: impl FnOnce() -> Typed) -> Form {
    Form {
        typed: use_state(start),
        errors: use_state(FieldErrors::default),
    }
}

impl Form {
    pub fn typed(&self) -> &Typed {
        &self.typed
    }

    pub fn errors(&self) -> &FieldErrors {
        &self.errors
    }

    pub fn error(&self, field: &str) -> Option<AttrValue> {
        self.errors
            .of(field)
            .map(|message| AttrValue::from(message.to_owned()))
    }

    pub fn text(&self, field: &str) -> AttrValue {
        AttrValue::from(self.typed.get(field).to_owned())
    }

    pub fn set(&self, field: &'static str, text: String) {
        let mut typed = (*self.typed).clone();
        typed.set(field, text);
        self.typed.set(typed);
    }

    pub fn set_all(&self, texts: &[(&'static str, &str)]) {
        let mut typed = (*self.typed).clone();
        for (field, text) in texts {
            typed.set(field, (*text).to_owned());
        }
        self.typed.set(typed);
    }

    pub fn tick(&self, field: &'static str, ticked: bool) {
        let mut typed = (*self.typed).clone();
        typed.tick(field, ticked);
        self.typed.set(typed);
    }

    /// Shows what is wrong; an empty list takes all errors off.
    pub fn fail(&self, errors: FieldErrors) {
        self.errors.set(errors);
    }

    /// Starts over with these texts and no errors.
    pub fn reset(&self, typed: Typed) {
        self.typed.set(typed);
        self.errors.set(FieldErrors::default());
    }
}
