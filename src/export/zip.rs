//! Several files in one: a ZIP archive of stored (not compressed) files.
//!
//! Written by hand because this one fixed form is all that is needed: the crate for all of ZIP
//! adds 50 kB to the download, the small one leaves sizes out of the local headers of stored
//! files, which some readers refuse. Layout: PKWARE APPNOTE 6.3, sections 4.3.7, 4.3.12, 4.3.16
//! (from memory); tests read it back with Python's zipfile.

/// One file of an archive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stored {
    /// ASCII, without folders.
    pub name: String,
    pub bytes: Vec<u8>,
}

/// 1980-01-01 00:00, the first moment a ZIP can name: the same files give the same bytes.
const DATE: u16 = 1 << 5 | 1;
/// Version 1.0 of the format is enough to read a stored file.
const VERSION: u16 = 10;

/// The archive. Its size stays below 4 GB, as a file in a browser's memory does.
pub fn zip(files: &[Stored]) -> Vec<u8> {
    let mut archive = Vec::new();
    let mut directory = Vec::new();
    for file in files {
        let offset = archive.len() as u32;
        let facts = facts(file);
        put(&mut archive, b"PK\x03\x04", &[VERSION], &facts, &[0]);
        archive.extend(file.name.as_bytes());
        archive.extend(&file.bytes);
        // Of the directory only: no comment, first disk, no attributes.
        put(
            &mut directory,
            b"PK\x01\x02",
            &[VERSION, VERSION],
            &facts,
            &[0; 6],
        );
        directory.extend([0; 2]);
        directory.extend(offset.to_le_bytes());
        directory.extend(file.name.as_bytes());
    }
    let (start, size) = (archive.len() as u32, directory.len() as u32);
    archive.extend(directory);
    archive.extend(b"PK\x05\x06\0\0\0\0");
    archive.extend((files.len() as u16).to_le_bytes().repeat(2));
    archive.extend([size.to_le_bytes(), start.to_le_bytes()].concat());
    archive.extend([0; 2]);
    archive
}

/// What both headers of a file say in the same order: flags, method (stored), time, date,
/// checksum, size twice, length of the name.
fn facts(file: &Stored) -> Vec<u8> {
    let size = (file.bytes.len() as u32).to_le_bytes();
    let mut facts = [0, 0, 0, DATE].map(u16::to_le_bytes).concat();
    facts.extend(crc32fast::hash(&file.bytes).to_le_bytes());
    facts.extend([size, size].concat());
    facts.extend((file.name.len() as u16).to_le_bytes());
    facts
}

fn put(out: &mut Vec<u8>, signature: &[u8; 4], versions: &[u16], facts: &[u8], rest: &[u16]) {
    out.extend(signature);
    out.extend(versions.iter().flat_map(|version| version.to_le_bytes()));
    out.extend(facts);
    out.extend(rest.iter().flat_map(|zero| zero.to_le_bytes()));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stored(name: &str, text: &str) -> Stored {
        Stored {
            name: name.to_owned(),
            bytes: text.as_bytes().to_vec(),
        }
    }

    /// CRC-32 of "123456789" is CBF43926 (the check value of CRC catalogues, from memory).
    #[test]
    fn a_local_header_says_what_follows() {
        let archive = zip(&[stored("a.txt", "123456789")]);
        let header = [
            &b"PK\x03\x04\x0a\0\0\0\0\0\0\0\x21\0"[..],
            &0xCBF4_3926_u32.to_le_bytes(),
            &[9, 0, 0, 0, 9, 0, 0, 0, 5, 0, 0, 0],
            b"a.txt123456789PK\x01\x02",
        ];
        assert!(archive.starts_with(&header.concat()), "{archive:?}");
        assert_eq!(archive.len(), (30 + 5 + 9) + (46 + 5) + 22);
    }

    #[test]
    fn the_same_files_give_the_same_bytes() {
        let files = [stored("a", "1"), stored("b", "")];
        assert_eq!(zip(&files), zip(&files));
        assert_ne!(zip(&files), zip(&files[..1]));
    }
}
