//! Code 128 (ISO/IEC 15417): printable ASCII to symbol values, modules and SVG.

use std::fmt::Write;

use crate::sheet::Length;

/// Bar and space widths in modules of the values 0 to 105, as figures (ISO/IEC 15417).
#[rustfmt::skip]
const WIDTHS: [&[u8; 6]; 106] = [
    b"212222", b"222122", b"222221", b"121223", b"121322", b"131222", b"122213", b"122312", b"132212", b"221213",
    b"221312", b"231212", b"112232", b"122132", b"122231", b"113222", b"123122", b"123221", b"223211", b"221132",
    b"221231", b"213212", b"223112", b"312131", b"311222", b"321122", b"321221", b"312212", b"322112", b"322211",
    b"212123", b"212321", b"232121", b"111323", b"131123", b"131321", b"112313", b"132113", b"132311", b"211313",
    b"231113", b"231311", b"112133", b"112331", b"132131", b"113123", b"113321", b"133121", b"313121", b"211331",
    b"231131", b"213113", b"213311", b"213131", b"311123", b"311321", b"331121", b"312113", b"312311", b"332111",
    b"314111", b"221411", b"431111", b"111224", b"111422", b"121124", b"121421", b"141122", b"141221", b"112214",
    b"112412", b"122114", b"122411", b"142112", b"142211", b"241211", b"221114", b"413111", b"241112", b"134111",
    b"111242", b"121142", b"121241", b"114212", b"124112", b"124211", b"411212", b"421112", b"421211", b"212141",
    b"214121", b"412121", b"111143", b"111341", b"131141", b"114113", b"114311", b"411113", b"411311", b"113141",
    b"114131", b"311141", b"411131", b"211412", b"211214", b"211232",
];
const STOP: &[u8; 7] = b"2331112";

const CODE_C: u8 = 99;
const CODE_B: u8 = 100;
const START_B: u8 = 104;
const START_C: u8 = 105;

/// Clear modules on either side of the bars.
const QUIET: u32 = 10;
const MAX_TEXT: usize = 80;

/// Why a text cannot become a bar code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Code128Error {
    #[error("The bar code's text is empty. Give 1 to {MAX_TEXT} characters.")]
    Empty,
    #[error("The bar code's text has {found} characters. Shorten it to {MAX_TEXT} or fewer.")]
    TooLong { found: usize },
    #[error(
        "The bar code's text holds {found:?}. Use only letters A to Z, figures and the signs of a plain keyboard."
    )]
    Character { found: char },
}

/// Whether the text stands in letters below the bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Caption {
    Below,
    None,
}

/// A text as Code 128 symbol values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Code128 {
    text: String,
    /// Start value, then data; no check value, no stop.
    values: Vec<u8>,
}

impl Code128 {
    /// Encodes 1 to 80 printable ASCII characters in sets B and C, in as few symbols as can be.
    ///
    /// # Errors
    /// An empty or over-long text, or a character that is not printable ASCII.
    pub fn encode(text: &str) -> Result<Self, Code128Error> {
        if text.is_empty() {
            return Err(Code128Error::Empty);
        }
        if let Some(found) = text.chars().find(|c| !matches!(c, ' '..='~')) {
            return Err(Code128Error::Character { found });
        }
        if text.len() > MAX_TEXT {
            return Err(Code128Error::TooLong { found: text.len() });
        }
        Ok(Self {
            text: text.to_owned(),
            values: shortest(text.as_bytes()),
        })
    }

    /// The start value and the data values, in the order printed.
    pub fn values(&self) -> &[u8] {
        &self.values
    }

    /// The check value over start and data.
    pub fn check_value(&self) -> u8 {
        Self::check_of(&self.values)
    }

    /// The check value of any start and data values: their sum, weighted by place, modulo 103.
    pub fn check_of(values: &[u8]) -> u8 {
        let weighted = |(place, &value): (usize, &u8)| place.max(1) as u64 * u64::from(value);
        (values.iter().enumerate().map(weighted).sum::<u64>() % 103) as u8
    }

    /// Widths in modules, 1 to 4, of bar, space, bar … from the first bar to the last.
    pub fn widths(&self) -> Vec<u8> {
        Self::widths_of(&self.values)
    }

    /// The widths of any start and data values, closed with their check value and the stop.
    ///
    /// # Panics
    /// On a value above 105, which no symbol has.
    pub fn widths_of(values: &[u8]) -> Vec<u8> {
        let closed = values.iter().copied().chain([Self::check_of(values)]);
        let figures = closed
            .flat_map(|value| WIDTHS[usize::from(value)])
            .chain(STOP);
        figures.map(|figure| figure - b'0').collect()
    }

    /// A black bar code on white with a quiet zone of 10 modules, as an SVG of its true size.
    ///
    /// `module` is the width of the thinnest bar, `height` that of the bars. Below about 0.2 mm
    /// ordinary printers and scanners fail (common practice, no source).
    pub fn svg(&self, module: Length, height: Length, caption: Caption) -> String {
        let (module, height) = (module.micrometres(), height.micrometres());
        let widths = self.widths();
        let modules: u32 = widths.iter().copied().map(u32::from).sum::<u32>() + 2 * QUIET;
        let width = modules * module;
        let letters = match caption {
            // A monospaced letter is about 0.6 of its size wide; 3 mm unless that is too wide.
            Caption::Below => (width * 5 / 3 / self.text.len() as u32).min(3000),
            Caption::None => 0,
        };
        let total = height + letters * 4 / 3;
        let text = escaped(&self.text);
        let mut svg = format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="Code 128: {text}" width="{}mm" height="{}mm" viewBox="0 0 {width} {total}"><rect width="{width}" height="{total}" fill="#fff"/><path fill="#000" shape-rendering="crispEdges" d="{}"/>"##,
            f64::from(width) / 1000.0,
            f64::from(total) / 1000.0,
            bars(&widths, module, height),
        );
        if letters > 0 {
            write!(
                svg,
                r##"<text x="{}" y="{}" font-family="ui-monospace, monospace" font-size="{letters}" text-anchor="middle" fill="#000">{text}</text>"##,
                width / 2,
                height + letters,
            )
            .expect("writing to a String does not fail");
        }
        svg + "</svg>"
    }
}

/// One rectangle for each bar, in micrometres.
fn bars(widths: &[u8], module: u32, height: u32) -> String {
    let mut path = String::new();
    let mut x = QUIET * module;
    for (place, &modules) in widths.iter().enumerate() {
        let width = u32::from(modules) * module;
        if place % 2 == 0 {
            write!(path, "M{x} 0h{width}v{height}h-{width}z")
                .expect("writing to a String does not fail");
        }
        x += width;
    }
    path
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// Symbols still needed from a place to the end, when set B and when set C is in force there.
#[derive(Clone, Copy, Default)]
struct Cost {
    in_b: usize,
    in_c: usize,
}

/// Start and data values of the shortest encoding; where two are as short, the one that changes
/// set later.
fn shortest(text: &[u8]) -> Vec<u8> {
    let costs = costs(text);
    let mut in_c = costs[0].in_c < costs[0].in_b;
    let mut values = vec![if in_c { START_C } else { START_B }];
    let mut at = 0;
    while at < text.len() {
        // In set C a pair is never worse; from set B it must save more than the change costs.
        let pair =
            pair(&text[at..]).filter(|_| in_c || 2 + costs[at + 2].in_c < 1 + costs[at + 1].in_b);
        match (in_c, pair.is_some()) {
            (false, true) => values.push(CODE_C),
            (true, false) => values.push(CODE_B),
            _ => {}
        }
        in_c = pair.is_some();
        values.push(pair.unwrap_or(text[at] - b' '));
        at += if in_c { 2 } else { 1 };
    }
    values
}

/// The cost from every place, and from the end, where it is nothing.
fn costs(text: &[u8]) -> Vec<Cost> {
    let mut costs = vec![Cost::default(); text.len() + 1];
    for at in (0..text.len()).rev() {
        let letter = costs[at + 1].in_b + 1;
        let pair = pair(&text[at..]).map_or(usize::MAX - 1, |_| costs[at + 2].in_c + 1);
        costs[at] = Cost {
            in_b: letter.min(pair + 1),
            in_c: pair.min(letter + 1),
        };
    }
    costs
}

/// The set C value of the two figures that a text starts with.
fn pair(text: &[u8]) -> Option<u8> {
    match text {
        [a @ b'0'..=b'9', b @ b'0'..=b'9', ..] => Some((a - b'0') * 10 + (b - b'0')),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn values(text: &str) -> Vec<u8> {
        Code128::encode(text).unwrap().values
    }

    #[test]
    fn figures_go_in_pairs_where_that_is_shorter() {
        assert_eq!(values("41"), [START_C, 41]);
        assert_eq!(values("BW-0412"), [START_B, 34, 55, 13, CODE_C, 4, 12]);
        assert_eq!(values("B041"), [START_B, 34, 16, 20, 17]);
        assert_eq!(values("HI345678"), [START_B, 40, 41, CODE_C, 34, 56, 78]);
        assert_eq!(values("123456A"), [START_C, 12, 34, 56, CODE_B, 33]);
        assert_eq!(values("A12345"), [START_B, 33, 17, CODE_C, 23, 45]);
    }

    #[test]
    fn what_cannot_be_printed_is_refused() {
        assert_eq!(Code128::encode(""), Err(Code128Error::Empty));
        assert_eq!(
            Code128::encode("A\tB"),
            Err(Code128Error::Character { found: '\t' })
        );
        assert_eq!(
            Code128::encode("Å1"),
            Err(Code128Error::Character { found: 'Å' })
        );
        assert_eq!(
            Code128::encode(&"9".repeat(81)).unwrap_err().to_string(),
            "The bar code's text has 81 characters. Shorten it to 80 or fewer."
        );
    }

    #[test]
    fn the_drawing_has_its_true_size_and_escaped_text() {
        let length = |mm| Length::from_mm(mm).unwrap();
        let code = Code128::encode("A<&>\"").unwrap();
        let svg = code.svg(length(0.25), length(12.0), Caption::Below);
        // Start, five letters and check of 11 modules, stop of 13, two quiet zones of 10.
        let width = 250 * (7 * 11 + 13 + 20);
        assert!(
            svg.contains(&format!(
                r#"width="27.5mm" height="16mm" viewBox="0 0 {width} 16000""#
            )),
            "{svg}"
        );
        assert!(svg.contains(">A&lt;&amp;&gt;&quot;</text>"), "{svg}");
        let bare = code.svg(length(0.25), length(12.0), Caption::None);
        assert!(
            bare.contains(r#"height="12mm""#) && !bare.contains("<text"),
            "{bare}"
        );
    }

    /// Reads values back as ISO/IEC 15417 lays down for sets B and C.
    fn read_back(values: &[u8]) -> String {
        let mut in_c = values[0] == START_C;
        let mut text = String::new();
        for &value in &values[1..] {
            match (in_c, value) {
                (true, CODE_B) => in_c = false,
                (false, CODE_C) => in_c = true,
                (true, pair) => text += &format!("{pair:02}"),
                (false, letter) => text.push(char::from(letter + b' ')),
            }
        }
        text
    }

    proptest! {
        #[test]
        fn every_text_reads_back(text in "[ -~]{1,80}|[0-9]{1,80}|([A-Z]{0,3}[0-9]{0,9}){1,6}") {
            prop_assume!(!text.is_empty());
            let values = values(&text);
            prop_assert_eq!(read_back(&values), text.as_str());
            let Cost { in_b, in_c } = costs(text.as_bytes())[0];
            prop_assert_eq!(values.len(), 1 + in_b.min(in_c), "as short as can be");
        }
    }
}
