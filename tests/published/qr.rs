//! QR codes, against fixtures/reference/qr_vectors.json: matrices on which qrcode 8.2 and
//! qrcodegen 1.8.0 (Python) agree, and the format words of ISO/IEC 18004 (two from memory, the
//! rest computed). What is checked is the drawing: the matrix is read back from the SVG path.

use cullbook::export::{QrLevel, qr_svg, svg_of_qr};
use qrcodegen::{Mask, QrCode, QrCodeEcc, QrSegment, Version};
use serde_json::Value;

const VECTORS: &str = include_str!("../fixtures/reference/qr_vectors.json");
const QUIET: usize = 4;

fn vectors() -> Value {
    serde_json::from_str(VECTORS).unwrap()
}

/// Reads `M x y h n v1 h-n z` runs back into rows of `0` and `1`, without the quiet zone.
fn matrix(svg: &str) -> Vec<String> {
    let after = |text: &str, mark: &str| text.split_once(mark).unwrap().1.to_owned();
    let side: usize = after(svg, "viewBox=\"0 0 ")
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    let mut rows = vec![vec![b'0'; side]; side];
    let path = after(svg, " d=\"");
    for run in path.split('"').next().unwrap().split_terminator('z') {
        let (start, rest) = run.strip_prefix('M').unwrap().split_once('h').unwrap();
        let (x, y) = start.split_once(' ').unwrap();
        let (length, back) = rest.split_once("v1h-").unwrap();
        assert_eq!(length, back, "the run returns to its start");
        let (x, y): (usize, usize) = (x.parse().unwrap(), y.parse().unwrap());
        for module in &mut rows[y][x..x + length.parse::<usize>().unwrap()] {
            assert_eq!(*module, b'0', "drawn twice");
            *module = b'1';
        }
    }
    let (inner, outer) = rows.split_at(side - QUIET);
    let clear = |row: &Vec<u8>| row.iter().all(|&module| module == b'0');
    assert!(
        outer.iter().chain(&inner[..QUIET]).all(clear),
        "the quiet zone is clear"
    );
    let line = |row: &Vec<u8>| {
        let (quiet, row) = row.split_at(QUIET);
        let (row, right) = row.split_at(side - 2 * QUIET);
        assert!(clear(&[quiet, right].concat()), "the quiet zone is clear");
        String::from_utf8(row.to_vec()).unwrap()
    };
    inner[QUIET..].iter().map(line).collect()
}

fn level(name: &str) -> (QrCodeEcc, QrLevel) {
    match name {
        "L" => (QrCodeEcc::Low, QrLevel::Low),
        "M" => (QrCodeEcc::Medium, QrLevel::Medium),
        "Q" => (QrCodeEcc::Quartile, QrLevel::Quartile),
        "H" => (QrCodeEcc::High, QrLevel::High),
        other => panic!("no level {other}"),
    }
}

fn listed(row: &Value) -> Vec<&str> {
    row["matrix"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line.as_str().unwrap())
        .collect()
}

#[test]
fn given_version_and_mask_draw_the_listed_matrix() {
    let vectors = vectors();
    let rows = vectors["matrices"]["rows"].as_array().unwrap();
    for row in rows {
        let text = row["text"].as_str().unwrap();
        let version = Version::new(u8::try_from(row["version"].as_u64().unwrap()).unwrap());
        let mask = Mask::new(u8::try_from(row["mask"].as_u64().unwrap()).unwrap());
        let ecc = level(row["ec"].as_str().unwrap()).0;
        let segments = QrSegment::make_segments(text);
        let code =
            QrCode::encode_segments_advanced(&segments, ecc, version, version, Some(mask), false);
        assert_eq!(
            matrix(&svg_of_qr(&code.unwrap())),
            listed(row),
            "{text}, mask {}",
            row["mask"]
        );
    }
    assert_eq!(rows.len(), 29);
}

/// The 15 format bits beside the upper left finder, the most significant first.
fn format_bits(matrix: &[String]) -> String {
    let at = |x: usize, y: usize| matrix[y].as_bytes()[x] as char;
    let along = [0, 1, 2, 3, 4, 5, 7, 8].map(|x| at(x, 8));
    let down = [7, 5, 4, 3, 2, 1, 0].map(|y| at(8, y));
    along.into_iter().chain(down).collect()
}

/// Our own choice of mask and raised level is named in the code itself, by a word of the standard.
#[test]
fn automatic_codes_name_a_level_at_least_as_high_as_asked() {
    let vectors = vectors();
    let words = vectors["format_information"]["by_level_and_mask"]
        .as_object()
        .unwrap();
    for row in vectors["matrices"]["rows"].as_array().unwrap() {
        let (text, ec) = (row["text"].as_str().unwrap(), row["ec"].as_str().unwrap());
        let drawn = matrix(&qr_svg(text, level(ec).1).unwrap());
        assert!(
            drawn.len() <= listed(row).len(),
            "{text}: no larger than listed"
        );
        let bits = format_bits(&drawn);
        let word = words.iter().find(|(_, word)| word.as_str() == Some(&bits));
        let (name, _) = word.unwrap_or_else(|| panic!("{text}: {bits} is no format word"));
        assert!(
            "LMQH".find(&name[..1]) >= "LMQH".find(ec),
            "{text}: {name} is below {ec}"
        );
        if drawn.len() == listed(row).len() && *name == format!("{ec}{}", row["mask"]) {
            assert_eq!(drawn, listed(row), "{text}: same level and mask, same code");
        }
    }
}
