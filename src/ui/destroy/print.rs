//! Codes as they are drawn on paper.

use yew::prelude::*;

use crate::export::{Code128, QrLevel, qr_drawing};

/// A square code. Its quiet zone is part of it.
pub fn square(text: &str, about: &'static str) -> Html {
    match qr_drawing(text, QrLevel::Medium) {
        Ok(code) => html! {
            <svg class="qr" viewBox={format!("0 0 {0} {0}", code.side)} role="img" aria-label={about}>
                <rect width={code.side.to_string()} height={code.side.to_string()} fill="#fff" />
                <path d={code.path} fill="#000" shape-rendering="crispEdges" />
            </svg>
        },
        Err(why) => html! { <p>{ why.to_string() }</p> },
    }
}

/// Code 128, with the text below it. Its quiet zones are 10 modules wide (ISO/IEC 15417).
pub fn bars(text: &str) -> Html {
    let code = match Code128::encode(text) {
        Ok(code) => code,
        Err(why) => return html! { <p>{ why.to_string() }</p> },
    };
    let (mut x, mut path) = (10_u32, String::new());
    for (place, width) in code.widths().into_iter().enumerate() {
        if place % 2 == 0 {
            path.push_str(&format!("M{x} 0h{width}v40h-{width}z"));
        }
        x += u32::from(width);
    }
    html! {
        <figure class="bars">
            <svg viewBox={format!("0 0 {} 40", x + 10)} preserveAspectRatio="none" role="img" aria-label={format!("Code 128: {text}")}><path d={path} /></svg>
            <figcaption class="mono">{ text }</figcaption>
        </figure>
    }
}
