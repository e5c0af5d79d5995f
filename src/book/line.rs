//! One line of the book: header, entry, exact bytes, hash.

use std::rc::Rc;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use uuid::Uuid;

use crate::people::{PersonId, Stamp};
use crate::sheet::name_id;

use super::entry::Entry;
use super::hash::Hash;

name_id!(BenchId, "bench name", "The bench that keeps a book.");

/// The version of the line format.
const VERSION: u8 = 1;

/// Longest line, in bytes.
pub const LINE_MAX: usize = 1 << 20;

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

/// One line, with the exact bytes that were hashed.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub header: Header,
    pub entry: Entry,
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
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Wire<'a> {
    v: u8,
    seq: u64,
    id: Uuid,
    bench: BenchId,
    at: Stamp,
    by: PersonId,
    prev: Hash,
    kind: String,
    #[serde(borrow)]
    data: std::borrow::Cow<'a, RawValue>,
}

impl Line {
    /// Writes an entry as a line.
    ///
    /// # Errors
    /// [`LineError::TooLong`] above [`LINE_MAX`]; [`LineError::Data`] if the data cannot be
    /// written as JSON.
    pub fn write(header: Header, entry: Entry) -> Result<Self, LineError> {
        let unwritable = |why: serde_json::Error| LineError::Data {
            kind: entry.kind().to_owned(),
            why: why.to_string(),
        };
        let wire = Wire {
            v: VERSION,
            seq: header.seq,
            id: header.id,
            bench: header.bench,
            at: header.at.clone(),
            by: header.by,
            prev: header.prev,
            kind: entry.kind().to_owned(),
            data: std::borrow::Cow::Owned(entry.data().map_err(unwritable)?),
        };
        let text = serde_json::to_string(&wire).map_err(unwritable)?;
        if text.len() > LINE_MAX {
            return Err(LineError::TooLong);
        }
        let hash = Hash::of_line(text.as_bytes());
        Ok(Self {
            header,
            entry,
            text: text.into(),
            hash,
        })
    }

    /// Reads a line. The bytes are kept as they are; nothing is written anew.
    ///
    /// # Errors
    /// Anything that is not exactly a line of this format, with the reason.
    pub fn read(text: &str) -> Result<Self, LineError> {
        if text.len() > LINE_MAX {
            return Err(LineError::TooLong);
        }
        let wire: Wire =
            serde_json::from_str(text).map_err(|why| LineError::NotALine(why.to_string()))?;
        if wire.v != VERSION {
            return Err(LineError::Version(wire.v));
        }
        let entry = match Entry::read(&wire.kind, wire.data.get()) {
            None => return Err(LineError::UnknownKind(wire.kind)),
            Some(Err(why)) => {
                let why = why.to_string();
                return Err(LineError::Data {
                    kind: wire.kind,
                    why,
                });
            }
            Some(Ok(entry)) => entry,
        };
        let header = Header {
            seq: wire.seq,
            id: wire.id,
            bench: wire.bench,
            at: wire.at,
            by: wire.by,
            prev: wire.prev,
        };
        let hash = Hash::of_line(text.as_bytes());
        Ok(Self {
            header,
            entry,
            text: text.into(),
            hash,
        })
    }
}
