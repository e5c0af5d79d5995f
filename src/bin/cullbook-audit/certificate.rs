//! A saved certificate of destruction against the book it is of.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use cullbook::book::State;
use cullbook::export::{CERTIFICATE_MAX, CertificateFault, CertifiedCorrection, check_certificate};

#[derive(Debug, thiserror::Error)]
pub enum CertificateError {
    #[error("{}: {why}. Check the name and the rights of the file.", .path.display())]
    Read { path: PathBuf, why: io::Error },
    #[error("{}: {why}", .path.display())]
    Fault {
        path: PathBuf,
        why: CertificateFault,
    },
}

/// Says that the certificate is the book's own, byte for byte.
///
/// # Errors
/// Why it is not.
pub fn check(state: &State, path: &Path) -> Result<String, CertificateError> {
    let file = read(path).map_err(|why| CertificateError::Read {
        path: path.to_owned(),
        why,
    })?;
    let checked = check_certificate(state, &file).map_err(|why| CertificateError::Fault {
        path: path.to_owned(),
        why,
    })?;
    let it = &checked.certificate;
    let holds = format!(
        "{}: holds. Session {}, entry {}, head {}\n",
        path.display(),
        it.session,
        it.entry,
        it.head
    );
    let corrected = checked.corrections.iter().map(corrected);
    Ok(std::iter::once(holds).chain(corrected).collect())
}

/// What a certificate cannot say, because it came later.
fn corrected(one: &CertifiedCorrection) -> String {
    let [by, second] = &one.by;
    format!(
        "Corrected since, in entry {} by {by} and {second}: {} {} (certified as {}), {}\n",
        one.entry,
        one.now.name(),
        one.now,
        one.was,
        one.reason
    )
}

/// Reads no more than shows that a file is too large.
fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = CERTIFICATE_MAX as u64 + 1;
    File::open(path)?.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}
