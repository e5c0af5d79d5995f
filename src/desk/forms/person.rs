//! The forms that enrol and retire people.

use std::collections::BTreeSet;

use crate::book::{Entry, PersonRetired, Refusal, State};
use crate::people::{Passphrase, Person, PersonId, PersonName, PublicKey, Role, check_passphrase};

use crate::sheet::IdError;

use super::{FieldErrors, Reader, Typed};

/// Each role's tick box, and what the role is trusted with.
pub const ROLE_FIELDS: [(Role, &str, &str); 4] = [
    (
        Role::Inspector,
        "person-inspector",
        "Inspector: examines sheets",
    ),
    (
        Role::Custodian,
        "person-custodian",
        "Custodian: keeps the cage, seals, leads destructions",
    ),
    (
        Role::Witness,
        "person-witness",
        "Witness: watches destructions and signs",
    ),
    (
        Role::Supervisor,
        "person-supervisor",
        "Supervisor: the Office, replacements, closing",
    ),
];

/// Someone to be enrolled, whose key is still to be made.
#[derive(Clone, Debug, PartialEq)]
pub struct NewPerson {
    pub person: PersonId,
    pub name: PersonName,
    pub roles: BTreeSet<Role>,
    pub outside: bool,
}

impl NewPerson {
    pub fn enrolled(self, key: PublicKey) -> Entry {
        Entry::PersonEnrolled(Person {
            person: self.person,
            name: self.name,
            roles: self.roles,
            outside: self.outside,
            key,
        })
    }
}

/// The two fields of a passphrase for someone new.
pub const PASSPHRASE: [&str; 2] = ["passphrase", "passphrase-again"];
/// The same where someone gets a new key: both forms may be on one page.
pub const NEW_KEY_PASSPHRASE: [&str; 2] = ["rekey-passphrase", "rekey-passphrase-again"];

/// Reads a passphrase typed twice.
pub(super) fn passphrase(
    form: &mut Reader,
    [field, again]: [&'static str; 2],
) -> Option<Passphrase> {
    let text = form.text(field);
    if let Err(why) = check_passphrase(text) {
        return form.wrong(field, why);
    }
    if form.text(again) != text {
        return form.wrong(again, "The two are not alike. Type it again.");
    }
    Some(text.to_owned().into())
}

/// Reads the form that enrols a person. In a practice book nobody has a passphrase.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn enrol(
    typed: &Typed,
    state: &State,
    practice: bool,
) -> Result<(NewPerson, Option<Passphrase>), FieldErrors> {
    let mut form = Reader::new(typed);
    let person = form.read_with("person-code", |text| {
        let code: PersonId = text.parse().map_err(|why: IdError| why.to_string())?;
        // On paper nobody sees the shift key.
        let mut known = state.people.keys().chain(state.retired.keys());
        match known.find(|known| known.as_str().eq_ignore_ascii_case(code.as_str())) {
            None => Ok(code),
            Some(known) => Err(Refusal::PersonTaken(*known).to_string()),
        }
    });
    let name = form.read_with("person-name", |text| PersonName::try_from(text.to_owned()));
    let roles: BTreeSet<Role> = ROLE_FIELDS
        .into_iter()
        .filter(|(_, field, _)| typed.ticked(field))
        .map(|(role, ..)| role)
        .collect();
    if roles.is_empty() {
        form.wrong::<()>(ROLE_FIELDS[0].1, "No role is ticked. Tick at least one.");
    }
    let secret = match practice {
        true => Some(None),
        false => passphrase(&mut form, PASSPHRASE).map(Some),
    };
    let new = (|| {
        Some(NewPerson {
            person: person?,
            name: name?,
            roles,
            outside: typed.ticked("person-outside"),
        })
    })();
    form.finish(new.zip(secret))
}

/// The field that a refusal of the book is about.
pub fn enrol_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::PersonTaken(_) => "person-code",
        Refusal::NoRole { .. } => ROLE_FIELDS[0].1,
        _ => "",
    }
}

/// Reads the form that gives a person a new key: `rekey-reason`, and [`NEW_KEY_PASSPHRASE`]
/// unless the book is a practice book.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn rekey(typed: &Typed, practice: bool) -> Result<(String, Option<Passphrase>), FieldErrors> {
    let mut form = Reader::new(typed);
    let reason = form.required("rekey-reason", "Reason", 200);
    let secret = match practice {
        true => Some(None),
        false => passphrase(&mut form, NEW_KEY_PASSPHRASE).map(Some),
    };
    form.finish(reason.zip(secret))
}

/// The entry that retires a person.
pub fn retire(person: PersonId) -> Entry {
    Entry::PersonRetired(PersonRetired { person })
}

/// What retiring a person means, in sentences, for the step that confirms it.
pub fn retiring_means(person: &Person, state: &State, signed_in: Option<PersonId>) -> Vec<String> {
    let (name, code) = (&person.name, person.person);
    let mut means = vec![
        format!(
            "{name} can sign nothing more in this book, and cannot be enrolled again as {code}."
        ),
        format!("Everything that {name} has signed stays as it is."),
    ];
    for role in &person.roles {
        let left = state
            .people
            .values()
            .filter(|other| other.person != code && other.has(*role))
            .count();
        if left == 0 {
            means.push(format!("No {} is left after that.", role.name()));
        }
    }
    if signed_in == Some(code) {
        means.push(
            "You are signed in as this person. Choose another name at the top afterwards."
                .to_owned(),
        );
    }
    means
}

#[cfg(test)]
mod tests {
    use super::super::sample::{book, take};
    use super::*;
    use crate::desk::practice::practice_key;

    fn typed(change: &[(&'static str, &str)]) -> Typed {
        let mut typed = Typed::with([("person-code", "ida"), ("person-name", "Ida Brook")]);
        typed.tick("person-inspector", true);
        for field in ["passphrase", "passphrase-again"] {
            typed.set(field, "long meadow at dusk".to_owned());
        }
        for (field, text) in change {
            typed.set(field, (*text).to_owned());
        }
        typed
    }

    fn enrolled(typed: &Typed) -> Entry {
        let (new, _) = enrol(typed, &State::default(), false).unwrap();
        let key = practice_key(new.person).public();
        new.enrolled(key)
    }

    #[test]
    fn a_person_is_enrolled_with_the_ticked_roles_and_once_only() {
        let mut outside = typed(&[]);
        outside.tick("person-witness", true);
        outside.tick("person-outside", true);
        let mut book = book();
        take(&mut book, enrolled(&outside)).unwrap();
        let ida = book.state().person("ida".parse().unwrap()).unwrap();
        assert!(ida.outside);
        assert_eq!(ida.roles, [Role::Inspector, Role::Witness].into());
        let why = take(&mut book, enrolled(&outside)).unwrap_err();
        assert_eq!(enrol_field(&why), "person-code");
        let shifted = enrol(&typed(&[("person-code", "IDA")]), book.state(), false).unwrap_err();
        let why = shifted.of("person-code").unwrap();
        assert!(why.starts_with("Person code ida is taken"), "{why}");
    }

    #[test]
    fn each_wrong_value_is_named_at_its_field() {
        for (change, field, says) in [
            (("person-code", ""), "person-code", "is empty"),
            (
                ("person-code", "ida brook"),
                "person-code",
                "contains \" \"",
            ),
            (("person-name", ""), "person-name", "The name is empty"),
            (
                ("passphrase", "short"),
                "passphrase",
                "fewer than 10 characters",
            ),
            (
                ("passphrase-again", "long meadow at dawn"),
                "passphrase-again",
                "not alike",
            ),
            (
                ("person-inspector", ""),
                "person-inspector",
                "Tick at least one",
            ),
        ] {
            let errors = enrol(&typed(&[change]), &State::default(), false).unwrap_err();
            let message = errors
                .of(field)
                .unwrap_or_else(|| panic!("{change:?}: {errors:?}"));
            assert!(message.contains(says), "{change:?}: {message}");
        }
        let all = enrol(&Typed::default(), &State::default(), false).unwrap_err();
        assert_eq!(all.iter().count(), 4);
    }

    #[test]
    fn a_new_key_asks_for_a_reason_and_a_passphrase_typed_twice() {
        let [field, again] = NEW_KEY_PASSPHRASE;
        let phrase = "long meadow at dusk";
        let given = [
            ("rekey-reason", "forgotten"),
            (field, phrase),
            (again, phrase),
        ];
        let (reason, secret) = rekey(&Typed::with(given), false).unwrap();
        assert_eq!((reason.as_str(), secret.is_some()), ("forgotten", true));
        let errors = rekey(&Typed::default(), false).unwrap_err();
        assert!(errors.of("rekey-reason").is_some() && errors.of(field).is_some());
        let unlike = [
            ("rekey-reason", "forgotten"),
            (field, phrase),
            (again, "another one here"),
        ];
        let errors = rekey(&Typed::with(unlike), false).unwrap_err();
        assert!(errors.of(again).unwrap().contains("not alike"));
    }

    #[test]
    fn retiring_says_what_it_means() {
        let mut book = book();
        take(&mut book, enrolled(&typed(&[]))).unwrap();
        let (ida, ada) = ("ida".parse().unwrap(), "ada".parse().unwrap());
        let person = book.state().person(ida).unwrap();
        let means = retiring_means(person, book.state(), Some(ada)).join(" ");
        assert!(
            means.contains("No inspector is left after that."),
            "{means}"
        );
        assert!(!means.contains("You are signed in"), "{means}");
        assert!(
            retiring_means(person, book.state(), Some(ida))
                .join(" ")
                .contains("You are signed in")
        );
        take(&mut book, retire(ida)).unwrap();
        assert!(book.state().retired.contains_key(&ida));
        let last = take(&mut book, retire(ada)).unwrap_err();
        assert_eq!(
            last,
            Refusal::LastOf {
                person: ada,
                role: Role::Supervisor
            }
        );
    }
}
