//! The certificate as a document, one A4 page unless its lists are long.

use yew::prelude::*;

use crate::export::{
    Certificate, CertifiedContainer, CertifiedPerson, NoteRange, QrLevel, SheetSpan, qr_drawing,
    sheets_and_notes,
};
use crate::people::Stamp;
use crate::sheet::grouped;

#[derive(Properties, PartialEq)]
pub struct PaperProps {
    pub certificate: Certificate,
}

#[function_component]
pub fn Paper(props: &PaperProps) -> Html {
    let it = &props.certificate;
    html! {
        <article class="print-document certificate" data-certificate={it.session.to_string()}>
            if it.practice { <p class="print-practice">{ "PRACTICE · nothing real was destroyed" }</p> }
            <header>
                <div>
                    <p>{ &it.works }</p>
                    <h1>{ "Certificate of destruction" }</h1>
                    <p>{ "Session " }<b class="mono">{ it.session.to_string() }</b></p>
                    { facts(it) }
                </div>
                { qr(it) }
            </header>
            { containers(it) }
            <h2>{ "Contents" }</h2>
            { for it.containers.iter().map(contents) }
            <h2>{ "Statement of each witness" }</h2>
            <p class="statement">{ &it.statement }</p>
            { persons(&it.persons) }
            { provenance(it) }
            <footer><b>{ "Cautions. " }</b>{ it.cautions.join(" ") }</footer>
        </article>
    }
}

fn qr(it: &Certificate) -> Html {
    match qr_drawing(&it.qr_text(), QrLevel::Medium) {
        Ok(code) => html! {
            <svg class="qr" viewBox={format!("0 0 {0} {0}", code.side)} role="img" aria-label="QR code with the entry, its hash and the head">
                <rect width={code.side.to_string()} height={code.side.to_string()} fill="#fff" />
                <path d={code.path} fill="#000" shape-rendering="crispEdges" />
            </svg>
        },
        Err(why) => html! { <p>{ why.to_string() }</p> },
    }
}

/// "2026-11-25 14:02:11 +01:00", shortened from the stamp's own text.
fn moment(at: &Stamp) -> String {
    let text = at.to_string();
    let day = text.get(..10).unwrap_or_default();
    format!("{day} {} {}", at.clock(), crate::desk::forms::offset_of(at))
}

fn facts(it: &Certificate) -> Html {
    let (sheets, notes) = it.totals();
    let facts = [
        ("Place", it.place.clone()),
        ("Machine", it.machine.clone()),
        ("Method", it.method.to_owned()),
        ("Destroyed", sheets_and_notes(sheets, notes)),
        ("Start", moment(&it.started)),
        ("End", moment(&it.ended)),
        (
            "Particle class",
            it.particle_class.map_or_else(String::new, |class| {
                format!(
                    "{} (ISO/IEC 21964-2), at most {} mm²",
                    class.name(),
                    class.largest_mm2()
                )
            }),
        ),
        (
            "Largest particle",
            it.largest_particle_mm2
                .map_or_else(String::new, |found| format!("{found} mm²")),
        ),
        ("Remarks", it.remarks.clone()),
    ];
    let there = facts.into_iter().filter(|(_, text)| !text.is_empty());
    html! { <dl class="print-facts">{ for there.map(|(name, text)| html! { <><dt>{ name }</dt><dd>{ text }</dd></> }) }</dl> }
}

fn containers(it: &Certificate) -> Html {
    let row = |one: &CertifiedContainer| {
        html! {
            <tr>
                <th scope="row" class="mono">{ one.container.to_string() }</th>
                <td><span class="mono">{ one.seal.to_string() }</span>{ sealed(one) }</td>
                <td class="num">{ grouped(one.sheets.into()) }</td>
                <td class="num">{ grouped(one.notes.into()) }</td>
                <td class="num">{ one.gross.to_string() }</td>
                <td class="num">{ one.tare.to_string() }</td>
                <td class="num">{ one.net.to_string() }</td>
                <td class="num">{ one.expected_net.to_string() }</td>
            </tr>
        }
    };
    html! {
        <table class="print-table">
            <thead><tr>
                <th scope="col">{ "Container" }</th><th scope="col">{ "Seal as found, unbroken" }</th>
                <th scope="col" class="num">{ "Sheets" }</th><th scope="col" class="num">{ "Notes" }</th>
                <th scope="col" class="num">{ "Gross" }</th><th scope="col" class="num">{ "Tare" }</th>
                <th scope="col" class="num">{ "Net" }</th><th scope="col" class="num">{ "Bare paper" }</th>
            </tr></thead>
            <tbody>{ for it.containers.iter().map(row) }</tbody>
        </table>
    }
}

/// " by Ben Orrin and Ada Merrow, 2026-11-25 12:14:50"; the offset stands with start and end.
fn sealed(one: &CertifiedContainer) -> String {
    let [first, second] = &one.sealed_by;
    let day = one.sealed.to_string();
    let day = day.get(..10).unwrap_or_default();
    format!(" by {first} and {second}, {day} {}", one.sealed.clock())
}

fn contents(one: &CertifiedContainer) -> Html {
    let sheets = sheet_lists(&one.sheet_numbers);
    let notes = |replacements: bool| {
        let ranges = one.serials.iter();
        let ranges = ranges.filter(|range| range.replacements == replacements);
        ranges.map(range).collect::<Vec<_>>().join(", ")
    };
    let replacements = notes(true);
    let notes = notes(false);
    html! {
        <div class="contents">
            <h3 class="mono">{ one.container.to_string() }</h3>
            { for sheets.into_iter().map(|(lot, list)| html! { <p>{ format!("Sheets of lot {lot}: ") }<span class="mono">{ list }</span></p> }) }
            if !notes.is_empty() { <p>{ "Notes: " }<span class="mono">{ notes }</span></p> }
            if !replacements.is_empty() { <p>{ "Replacement notes: " }<span class="mono">{ replacements }</span></p> }
        </div>
    }
}

fn sheet_lists(spans: &[SheetSpan]) -> Vec<(String, String)> {
    let lots = spans.chunk_by(|a, b| a.lot == b.lot);
    let text = |span: &SheetSpan| match span.from == span.to {
        true => span.from.to_string(),
        false => format!("{}–{}", span.from, span.to),
    };
    let list = |spans: &[SheetSpan]| {
        let lot = spans
            .first()
            .map_or_else(String::new, |span| span.lot.to_string());
        (lot, spans.iter().map(text).collect::<Vec<_>>().join(", "))
    };
    lots.map(list).collect()
}

fn range(range: &NoteRange) -> String {
    match range.count {
        1 => range.shown[0].clone(),
        count => format!(
            "{} – {} ({})",
            range.shown[0],
            range.shown[1],
            grouped(count)
        ),
    }
}

fn persons(persons: &[CertifiedPerson]) -> Html {
    let row = |person: &CertifiedPerson| {
        html! {
            <tr>
                <td>{ &person.name }</td><td class="mono">{ person.person.to_string() }</td>
                <td>{ person.part }</td><td>{ person.meaning }</td><td class="signature-line" />
            </tr>
        }
    };
    html! {
        <table class="print-table persons">
            <thead><tr>
                <th scope="col">{ "Name" }</th><th scope="col">{ "Code" }</th><th scope="col">{ "Part" }</th>
                <th scope="col">{ "Meaning" }</th><th scope="col">{ "By hand" }</th>
            </tr></thead>
            <tbody>{ for persons.iter().map(row) }</tbody>
        </table>
    }
}

fn provenance(it: &Certificate) -> Html {
    html! {
        <dl class="print-facts provenance">
            <dt>{ "Book" }</dt><dd class="mono">{ format!("{} · bench {}", it.book, it.bench) }</dd>
            <dt>{ "Entry" }</dt><dd>{ format!("{}, recorded {}", it.entry, moment(&it.recorded)) }</dd>
            <dt>{ "Hash of the entry" }</dt><dd class="mono">{ it.line_hash.to_string() }</dd>
            <dt>{ "Head of the book" }</dt><dd class="mono">{ it.head.to_string() }</dd>
        </dl>
    }
}
