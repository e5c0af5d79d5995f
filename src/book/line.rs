//! One line of the book: header, entry, exact bytes, hash.

use std::borrow::Cow;
use std::rc::Rc;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use uuid::{Uuid, Variant, Version};

use crate::people::{Countersignature, PersonId, PublicKey, SecretKey, Signature, Stamp};
use crate::sheet::name_id;

use super::entry::{Entry, EntryData};
use super::hash::Hash;

name_id!(BenchId, "bench name", "The bench that keeps a book.");

/// The version of the line format.
const VERSION: u8 = 2;

/// Longest line, in bytes.
pub const LINE_MAX: usize = 1 << 20;

/// What most lines fit in, in bytes.
const USUAL: usize = 1 << 10;

/// Said before the signed bytes of a line, so that its signature is never that of anything else.
const SIGN_DOMAIN: &[u8] = b"cullbook sign v2\n";

/// How a line ends: `,"sig":"`, 128 digits, `"}`.
const SIG_LEN: usize = 8 + 128 + 2;

/// What every line says about itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Header {
    pub seq: u64,
    pub id: Uuid,
    pub bench: BenchId,
    pub at: Stamp,
    pub by: PersonId,
    pub prev: Hash,
}

/// What others than the author signed, and their signatures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Countersigned {
    pub statement: String,
    pub also: Vec<Countersignature>,
}

/// One line, with the exact bytes that were hashed.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub header: Header,
    pub entry: Entry,
    pub countersigned: Option<Countersigned>,
    /// The author's signature.
    pub sig: Signature,
    /// The line as stored and exported, without line end.
    pub text: Rc<str>,
    pub hash: Hash,
}

/// Why a text is not a line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    #[error("it is longer than {LINE_MAX} bytes")]
    TooLong,
    #[error("it is not a line of a book: {0}")]
    NotALine(String),
    #[error("it has format version {0}; this program reads version {VERSION}")]
    Version(u8),
    #[error("its kind \"{0}\" is unknown")]
    UnknownKind(String),
    #[error("its data does not fit its kind {kind}: {why}")]
    Data { kind: String, why: String },
    /// A line that says the same in another way: white space, other members' order, an escape
    /// where none is needed, a member that may be left out.
    #[error("from byte {at} on it reads {found}, where the format writes {written}")]
    Form {
        at: usize,
        found: String,
        written: String,
    },
    #[error("it has no signature of its author")]
    Unsigned,
    #[error("its id is not a UUID of version 7, written in small letters with hyphens")]
    Id,
    #[error("it has a statement without signatures, or signatures without a statement")]
    HalfCountersigned,
}

/// A line's members. The data is raw text when a line is read, since its kind says what it is, and
/// the entry's own when one is written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Wire<'a, D> {
    v: u8,
    seq: u64,
    id: Uuid,
    bench: BenchId,
    at: Stamp,
    by: PersonId,
    prev: Hash,
    #[serde(borrow)]
    kind: Cow<'a, str>,
    data: D,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    statement: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    also: Option<Vec<Countersignature>>,
    /// Absent only while the line is being written.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sig: Option<Signature>,
}

impl<'a, D> Wire<'a, D> {
    /// The same members with other data.
    fn with<E>(self, data: E) -> Wire<'a, E> {
        Wire {
            v: self.v,
            seq: self.seq,
            id: self.id,
            bench: self.bench,
            at: self.at,
            by: self.by,
            prev: self.prev,
            kind: self.kind,
            data,
            statement: self.statement,
            also: self.also,
            sig: self.sig,
        }
    }
}

impl<D: Serialize> Wire<'_, D> {
    /// The line as text; `likely` is how long it may become, in bytes.
    fn text(&self, likely: usize) -> serde_json::Result<String> {
        let mut bytes = Vec::with_capacity(likely);
        serde_json::to_writer(&mut bytes, self)?;
        String::from_utf8(bytes).map_err(serde::ser::Error::custom)
    }
}

impl Line {
    /// Writes an entry as a line and signs it.
    ///
    /// # Errors
    /// [`LineError::TooLong`] above [`LINE_MAX`]; [`LineError::Data`] if the data cannot be
    /// written as JSON.
    pub fn write(
        header: Header,
        entry: Entry,
        countersigned: Option<Countersigned>,
        key: &SecretKey,
    ) -> Result<Self, LineError> {
        let (statement, also) = countersigned
            .map(|said| (said.statement, said.also))
            .unzip();
        let unsigned = Wire {
            v: VERSION,
            seq: header.seq,
            id: header.id,
            bench: header.bench,
            at: header.at,
            by: header.by,
            prev: header.prev,
            kind: entry.kind().into(),
            data: EntryData(&entry),
            statement,
            also,
            sig: None,
        };
        let mut text = unsigned.text(USUAL).map_err(|why| LineError::Data {
            kind: entry.kind().to_owned(),
            why: why.to_string(),
        })?;
        text.pop();
        let sig = key.sign(&[SIGN_DOMAIN, text.as_bytes()].concat());
        text.push_str(&format!(",\"sig\":\"{sig}\"}}"));
        // A line that cannot be read back would close the book for good.
        Self::read(&text)
    }

    /// Reads a line. Its bytes are kept and hashed as they are; that it would be written with
    /// exactly these bytes is one of the checks.
    ///
    /// # Errors
    /// Anything that is not exactly a line of this format, with the reason.
    pub fn read(text: &str) -> Result<Self, LineError> {
        if text.len() > LINE_MAX {
            return Err(LineError::TooLong);
        }
        let wire: Wire<&RawValue> =
            serde_json::from_str(text).map_err(|why| not_a_line(text, &why))?;
        if wire.v != VERSION {
            return Err(LineError::Version(wire.v));
        }
        let sig = wire.sig.ok_or(LineError::Unsigned)?;
        let entry = read_entry(&wire)?;
        let wire = wire.with(EntryData(&entry));
        let misfit = |why: serde_json::Error| LineError::NotALine(shortened(&why.to_string()));
        same(text, &wire.text(text.len()).map_err(misfit)?)?;
        let (version, variant) = (wire.id.get_version(), wire.id.get_variant());
        if (version, variant) != (Some(Version::SortRand), Variant::RFC4122) {
            return Err(LineError::Id);
        }
        let countersigned = match (wire.statement, wire.also) {
            (None, None) => None,
            (Some(statement), Some(also)) if !also.is_empty() => {
                Some(Countersigned { statement, also })
            }
            _ => return Err(LineError::HalfCountersigned),
        };
        let header = Header {
            seq: wire.seq,
            id: wire.id,
            bench: wire.bench,
            at: wire.at,
            by: wire.by,
            prev: wire.prev,
        };
        Ok(Self {
            header,
            entry,
            countersigned,
            sig,
            text: text.into(),
            hash: Hash::of_line(text.as_bytes()),
        })
    }

    /// The kind that a line's text gives, without reading the rest of it.
    pub fn kind_of(text: &str) -> Option<&str> {
        // Nothing before the kind can hold a quotation mark.
        let (_, rest) = text.split_once(",\"kind\":\"")?;
        rest.split_once('"').map(|(kind, _)| kind)
    }

    /// Whether the author's signature was made over exactly this line with this key.
    pub fn is_signed_with(&self, key: &PublicKey) -> bool {
        is_signed(&self.text, &self.sig, key)
    }
}

/// Whether a line's text ends with this signature of all that comes before it.
pub(super) fn is_signed(text: &str, sig: &Signature, key: &PublicKey) -> bool {
    let signed = &text.as_bytes()[..text.len().saturating_sub(SIG_LEN)];
    key.verifies(&[SIGN_DOMAIN, signed].concat(), sig)
}

fn read_entry(wire: &Wire<&RawValue>) -> Result<Entry, LineError> {
    let kind = || wire.kind.clone().into_owned();
    match Entry::read(&wire.kind, wire.data.get()) {
        None => Err(LineError::UnknownKind(shortened(&wire.kind))),
        Some(read) => read.map_err(|why| LineError::Data {
            kind: kind(),
            why: shortened(&why.to_string()),
        }),
    }
}

/// What is wrong may say back what was read, which may be long.
fn shortened(text: &str) -> String {
    match text.char_indices().nth(200) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

/// Whether a line has the one spelling that its content has.
fn same(text: &str, written: &str) -> Result<(), LineError> {
    if text == written {
        return Ok(());
    }
    let mut pairs = text.bytes().zip(written.bytes());
    let shorter = text.len().min(written.len());
    let at = pairs.position(|(a, b)| a != b).unwrap_or(shorter);
    let around = |text: &str| {
        let start = text.floor_char_boundary(at.saturating_sub(12));
        format!("{:?}", text[start..].chars().take(24).collect::<String>())
    };
    Err(LineError::Form {
        at,
        found: around(text),
        written: around(written),
    })
}

/// A line of another version lacks members or has others: say the version, which is what helps.
fn not_a_line(text: &str, why: &serde_json::Error) -> LineError {
    #[derive(Deserialize)]
    struct Versioned {
        v: u8,
    }
    match serde_json::from_str::<Versioned>(text) {
        Ok(Versioned { v }) if v != VERSION => LineError::Version(v),
        _ => LineError::NotALine(shortened(&why.to_string())),
    }
}
