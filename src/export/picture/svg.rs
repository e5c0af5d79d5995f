//! A drawing as an SVG file of its own.

use super::{Drawing, Fill, Shape, number};

/// Black on white, so that the file prints as it looks.
const STYLE: &str = "text{font:12px sans-serif;fill:#000}\
.chart-axis,.chart-share{font-size:11px}\
.chart-code,.map-name{font-weight:700}\
.map-name,.map-count{font-size:9px}\
path,rect{fill:none;stroke:#000}\
.chart-grid{stroke:#bbb}\
.chart-line{stroke-width:1.4}\
.chart-limit{stroke-dasharray:5 3}\
.chart-centre{stroke-width:.8}\
.hatch-lines{stroke-width:1}\
.halo{fill:#fff;stroke:none}\
.sign-outside{fill:#000}\
.sign-run{fill:#fff;stroke-width:1.6}";

/// The file. `about` goes into the picture's description: what it was made from.
pub fn svg_file(drawing: &Drawing, about: &str) -> String {
    let (width, height) = (number(drawing.width), number(drawing.height));
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\">\n\
         <title>{}</title>\n<desc>{}</desc>\n<style>{STYLE}</style>\n<defs>",
        escaped(&drawing.title),
        escaped(about),
    );
    for fill in drawing.hatches() {
        svg += &pattern(drawing, fill);
    }
    svg += "</defs>\n<rect width=\"100%\" height=\"100%\" class=\"halo\"/>\n";
    for shape in &drawing.shapes {
        svg += &element(drawing, shape);
        svg.push('\n');
    }
    svg + "</svg>\n"
}

fn pattern(drawing: &Drawing, fill: Fill) -> String {
    let name = fill.hatch().unwrap_or_default();
    format!(
        "<pattern id=\"{}-{name}\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><path d=\"{}\" class=\"hatch-lines\"/></pattern>",
        drawing.id,
        fill.lines()
    )
}

fn element(drawing: &Drawing, shape: &Shape) -> String {
    match shape {
        Shape::Path { d, class } => format!("<path d=\"{d}\" class=\"{class}\"/>"),
        Shape::Bar {
            x,
            y,
            width,
            height,
            fill,
        } => {
            let hatch = fill.hatch();
            let fill = hatch.map(|name| format!(" style=\"fill:url(#{}-{name})\"", drawing.id));
            format!(
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}/>",
                number(*x),
                number(*y),
                number(*width),
                number(*height),
                fill.unwrap_or_default()
            )
        }
        Shape::Text {
            x,
            y,
            text,
            anchor,
            class,
        } => format!(
            "<text x=\"{}\" y=\"{}\" text-anchor=\"{}\" class=\"{class}\">{}</text>",
            number(*x),
            number(*y),
            anchor.name(),
            escaped(text)
        ),
        Shape::Mark { x, y, sign, note } => format!(
            "<path d=\"{}\" class=\"{}\"><title>{}</title></path>",
            sign.path(*x, *y),
            sign.class(),
            escaped(note)
        ),
    }
}

/// Text as XML takes it; what XML cannot hold at all is left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {}
            sign => out.push(sign),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::{Anchor, Sign};
    use super::*;

    #[test]
    fn a_drawing_is_written_shape_by_shape() {
        let drawing = Drawing {
            id: "x".to_owned(),
            width: 20.0,
            height: 10.0,
            title: "A & B".to_owned(),
            shapes: vec![
                Shape::Bar {
                    x: 1.0,
                    y: 2.0,
                    width: 3.0,
                    height: 4.5,
                    fill: Fill::Level(1),
                },
                Shape::Text {
                    x: 1.0,
                    y: 2.0,
                    text: "<\u{0}\">".to_owned(),
                    anchor: Anchor::End,
                    class: "map-name",
                },
                Shape::Mark {
                    x: 8.0,
                    y: 5.0,
                    sign: Sign::Outside,
                    note: "beyond".to_owned(),
                },
            ],
        };
        let svg = svg_file(&drawing, "Head of the book: 00");
        assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 20 10\""));
        for part in [
            "<title>A &amp; B</title>",
            "<desc>Head of the book: 00</desc>",
            "<pattern id=\"x-level-1\"",
            "<rect x=\"1\" y=\"2\" width=\"3\" height=\"4.5\" style=\"fill:url(#x-level-1)\"/>",
            ">&lt;&quot;&gt;</text>",
            "<path d=\"M8 0l5 5l-5 5l-5 -5z\" class=\"sign-outside\"><title>beyond</title></path>",
        ] {
            assert!(svg.contains(part), "{part} in {svg}");
        }
    }
}
