//! A saved certificate against the book it says it is of.

use serde_json::Value;

use crate::book::State;
use crate::custody::SessionId;

use super::certificate::{Certificate, FORMAT, FORMAT_BEFORE, certificate};
use super::certificate_addendum::{CertifiedCorrection, corrections_of};

/// Largest certificate file that is read: a session of many containers, each of many ranges.
pub const CERTIFICATE_MAX: usize = 64 << 20;

/// Why a file is not a certificate of this book.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CertificateFault {
    #[error("The file has {bytes} bytes, more than a certificate can have ({CERTIFICATE_MAX}).")]
    TooLarge { bytes: usize },
    #[error("The file is not a certificate as Cullbook saves it: {0}.")]
    NotJson(String),
    #[error("The file is no certificate that is known here: its \"format\" is not \"{FORMAT}\".")]
    OtherFormat,
    #[error("The file names no session. Was it saved with \"Save as JSON\"?")]
    NoSession,
    #[error("Session {0} is not in this book. The certificate is of another book, or forged.")]
    UnknownSession(SessionId),
    #[error("The certificate differs from the book at {place}: it says {says}, the book {book}.")]
    Differs {
        place: String,
        says: String,
        book: String,
    },
    #[error(
        "The certificate says what the book says, but in other bytes than Cullbook writes. It was written anew by another program."
    )]
    OtherBytes,
}

/// A certificate that is the book's own, and what was corrected since.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    pub certificate: Certificate,
    pub corrections: Vec<CertifiedCorrection>,
}

/// Makes the certificate anew from the book and compares it with the file, byte for byte.
///
/// # Errors
/// The first thing that keeps the file from being that certificate.
pub fn check_certificate(state: &State, file: &[u8]) -> Result<Checked, CertificateFault> {
    if file.len() > CERTIFICATE_MAX {
        return Err(CertificateFault::TooLarge { bytes: file.len() });
    }
    let not_json = |why: serde_json::Error| CertificateFault::NotJson(why.to_string());
    let said: Value = serde_json::from_slice(file).map_err(not_json)?;
    let before = said["format"] == FORMAT_BEFORE;
    if said["format"] != FORMAT && !before {
        return Err(CertificateFault::OtherFormat);
    }
    let id = said["session"].as_str().and_then(|text| text.parse().ok());
    let id: SessionId = id.ok_or(CertificateFault::NoSession)?;
    let mut sessions = state.sessions.iter();
    let session = sessions
        .find(|session| session.record.session == id)
        .ok_or(CertificateFault::UnknownSession(id))?;
    let made = match certificate(state, session) {
        made if before => made.in_the_form_before(session),
        made => made,
    };
    let right = serde_json::to_value(&made).map_err(not_json)?;
    if let Some(difference) = difference("", &said, &right) {
        return Err(difference);
    }
    match made.to_json().map_err(not_json)?.as_bytes() == file {
        true => Ok(Checked {
            corrections: corrections_of(state, session),
            certificate: made,
        }),
        false => Err(CertificateFault::OtherBytes),
    }
}

/// The first place at which two values differ, in the order of the book's.
fn difference(place: &str, said: &Value, right: &Value) -> Option<CertificateFault> {
    match (said, right) {
        (Value::Object(a), Value::Object(b)) => {
            let names = b
                .keys()
                .chain(a.keys().filter(|name| !b.contains_key(*name)));
            let mut found = names.filter_map(|name| {
                let place = format!("{place}.{name}");
                let of = |map: &serde_json::Map<String, Value>| map.get(name).cloned();
                let (said, right) = (of(a).unwrap_or_default(), of(b).unwrap_or_default());
                difference(place.trim_start_matches('.'), &said, &right)
            });
            found.next()
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            let mut pairs = a.iter().zip(b).enumerate();
            pairs.find_map(|(at, (said, right))| difference(&format!("{place}[{at}]"), said, right))
        }
        (said, right) if said == right => None,
        (said, right) => Some(CertificateFault::Differs {
            place: place.to_owned(),
            says: shortened(said),
            book: shortened(right),
        }),
    }
}

/// A value as JSON, cut when it is long; nothing is "nothing".
fn shortened(value: &Value) -> String {
    const LONG: usize = 100;
    let text = match value {
        Value::Null => return "nothing".to_owned(),
        value => value.to_string(),
    };
    match text.char_indices().nth(LONG) {
        None => text,
        Some((end, _)) => format!("{}…", &text[..end]),
    }
}

#[cfg(test)]
mod tests {
    use super::super::certificate::sample::{destroyed, made};
    use super::*;

    fn fault(change: impl FnOnce(String) -> String) -> String {
        let file = change(made().to_json().expect("written"));
        let checked = check_certificate(destroyed().state(), file.as_bytes());
        checked.expect_err("it was changed").to_string()
    }

    #[test]
    fn the_certificate_of_the_book_holds() {
        let file = made().to_json().expect("written");
        let checked = check_certificate(destroyed().state(), file.as_bytes());
        let (certificate, corrections) = (made(), Vec::new());
        assert_eq!(
            checked,
            Ok(Checked {
                certificate,
                corrections
            })
        );
    }

    #[test]
    fn one_saved_in_the_form_before_holds() {
        let works = destroyed();
        let before = made().in_the_form_before(&works.state().sessions[0]);
        let file = before.to_json().expect("written");
        assert!(file.contains("certificate v2") && !file.contains("products"));
        let checked = check_certificate(destroyed().state(), file.as_bytes());
        assert_eq!(checked.expect("it holds").certificate, before);
        let forged = file.replace("Oskar Lind", "Osgar Lind");
        assert!(check_certificate(destroyed().state(), forged.as_bytes()).is_err());
    }

    #[test]
    fn every_changed_word_is_named() {
        let name = fault(|file| file.replace("Oskar Lind", "Osgar Lind"));
        assert!(
            name.contains("persons[3].name") && name.contains("the book \"Oskar Lind\""),
            "{name}"
        );
        let mass = fault(|file| file.replace("\"gross\": 1030000", "\"gross\": 1030001"));
        assert!(mass.contains("containers[0].gross"), "{mass}");
        let more = fault(|file| file.replacen("{\n", "{\n  \"extra\": 1,\n", 1));
        assert!(
            more.contains("at extra: it says 1, the book nothing"),
            "{more}"
        );
        let less = fault(|file| file.replace("  \"practice\": false,\n", ""));
        assert!(less.contains("at practice: it says nothing"), "{less}");
        let head = made().head.to_string();
        let forged = fault(|file| file.replace(&head, &"0".repeat(64)));
        assert!(
            forged.contains("at head") || forged.contains("at line_hash"),
            "{forged}"
        );
    }

    #[test]
    fn what_is_no_certificate_is_told() {
        assert!(fault(|file| file[..100].to_owned()).contains("not a certificate as Cullbook"));
        assert!(fault(|_| "{}".to_owned()).contains("\"format\" is not"));
        let other = fault(|file| file.replace("\"session\": \"D-1\"", "\"session\": \"D-2\""));
        assert!(
            other.starts_with("Session D-2 is not in this book"),
            "{other}"
        );
        let none = fault(|file| file.replace("\"session\": \"D-1\"", "\"session\": 1"));
        assert!(none.starts_with("The file names no session"), "{none}");
        assert!(fault(|file| file.replace('\n', "")).contains("other bytes"));
        let large = check_certificate(destroyed().state(), &vec![b' '; CERTIFICATE_MAX + 1]);
        assert!(matches!(large, Err(CertificateFault::TooLarge { .. })));
    }
}
