//! QR codes (ISO/IEC 18004) as SVG, over the `qrcodegen` crate.

use std::fmt::Write;

use qrcodegen::{QrCode, QrCodeEcc};

/// Clear modules around the code, as the standard asks.
const QUIET: i32 = 4;

/// How much of a code may be lost before it cannot be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum QrLevel {
    /// About 7 percent (L).
    Low,
    /// About 15 percent (M).
    Medium,
    /// About 25 percent (Q).
    Quartile,
    /// About 30 percent (H).
    High,
}

impl From<QrLevel> for QrCodeEcc {
    fn from(level: QrLevel) -> Self {
        match level {
            QrLevel::Low => QrCodeEcc::Low,
            QrLevel::Medium => QrCodeEcc::Medium,
            QrLevel::Quartile => QrCodeEcc::Quartile,
            QrLevel::High => QrCodeEcc::High,
        }
    }
}

/// Why a text cannot become a QR code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QrError {
    #[error(
        "The QR code's text has {bytes} bytes, more than a QR code of this level holds. Shorten it or choose a lower level."
    )]
    TooLong { bytes: usize },
}

/// A QR code of the text in the smallest version that holds it, mask chosen by the standard's
/// penalty rule, level raised for free where the version has room.
///
/// The SVG has no size of its own: it fills what it is put into. One unit is one module.
///
/// # Errors
/// [`QrError::TooLong`] when not even the largest version holds the text.
pub fn qr_svg(text: &str, level: QrLevel) -> Result<String, QrError> {
    Ok(svg_of_qr(&encoded(text, level)?))
}

fn encoded(text: &str, level: QrLevel) -> Result<QrCode, QrError> {
    QrCode::encode_text(text, level.into()).map_err(|_| QrError::TooLong { bytes: text.len() })
}

/// A code for a page that draws its own SVG: one unit is one module.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QrDrawing {
    /// Width and height, quiet zone included.
    pub side: i32,
    /// The dark modules, as the `d` of a path.
    pub path: String,
}

/// What [`qr_svg`] draws, without the markup.
///
/// # Errors
/// [`QrError::TooLong`] when not even the largest version holds the text.
pub fn qr_drawing(text: &str, level: QrLevel) -> Result<QrDrawing, QrError> {
    let code = encoded(text, level)?;
    Ok(QrDrawing {
        side: code.size() + 2 * QUIET,
        path: dark_runs(&code),
    })
}

/// The drawing of a code, dark on white, with its quiet zone, as one path.
pub fn svg_of_qr(code: &QrCode) -> String {
    let side = code.size() + 2 * QUIET;
    format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="QR code" viewBox="0 0 {side} {side}"><rect width="{side}" height="{side}" fill="#fff"/><path fill="#000" shape-rendering="crispEdges" d="{}"/></svg>"##,
        dark_runs(code)
    )
}

/// One rectangle for each run of dark modules in a row.
fn dark_runs(code: &QrCode) -> String {
    let mut path = String::new();
    for y in 0..code.size() {
        let mut x = 0;
        while x < code.size() {
            let run = (x..code.size())
                .take_while(|&x| code.get_module(x, y))
                .count();
            if run > 0 {
                write!(path, "M{} {}h{run}v1h-{run}z", x + QUIET, y + QUIET)
                    .expect("writing to a String does not fail");
            }
            // The module after a run is light or the edge.
            x += run as i32 + 1;
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_too_long_for_any_version_is_refused() {
        // ISO/IEC 18004: version 40-L holds 2953 bytes, 40-H holds 1273 (from memory).
        assert!(qr_svg(&"a".repeat(2953), QrLevel::Low).is_ok());
        let error = qr_svg(&"a".repeat(2954), QrLevel::Low).unwrap_err();
        assert_eq!(error, QrError::TooLong { bytes: 2954 });
        assert!(qr_svg(&"a".repeat(1274), QrLevel::High).is_err());
    }

    #[test]
    fn the_drawing_has_four_clear_modules_around() {
        let svg = qr_svg("BW-0412", QrLevel::Medium).unwrap();
        assert!(svg.contains(r#"viewBox="0 0 29 29""#), "{svg}");
        // The finder pattern's upper edge: seven dark modules at the first corner.
        assert!(svg.contains(r#"d="M4 4h7v1h-7z"#), "{svg}");
        assert_eq!(svg.matches("<path").count(), 1);
        let drawing = qr_drawing("BW-0412", QrLevel::Medium).unwrap();
        assert_eq!(drawing.side, 29);
        assert!(svg.contains(&format!(r#"d="{}""#, drawing.path)));
    }
}
