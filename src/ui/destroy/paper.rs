//! The certificate as a document: one A4 page, and numbered annexes for what is too long for it.

use yew::prelude::*;

use crate::custody::Mass;
use crate::export::{
    Certificate, CertifiedContainer, CertifiedPerson, CertifiedProduct, CertifiedResidue,
    WeighChecked, lists, sheets_and_notes,
};
use crate::people::Stamp;
use crate::sheet::{grouped, number_of};

use super::annex::annexes;
use super::print::square;

/// The certificate, of which so many facts were corrected since.
pub fn paper(it: &Certificate, corrected: usize) -> Html {
    html! {
        <article class="print-document certificate" data-certificate={it.session.to_string()}>
            { practice(it) }
            <header>
                <div>
                    <p>{ &it.works }</p>
                    <h1>{ "Certificate of destruction" }</h1>
                    <p>{ "No. " }<b class="mono">{ it.session.to_string() }</b>{ ", the number of the session" }if corrected > 0 { <b>{ " · Corrected since: see the addendum" }</b> }</p>
                    { facts(it) }
                </div>
                { square(&it.qr_text(), "QR code with the entry, its hash and the head") }
            </header>
            { contents_of_all(it) }
            <h2>{ "How it went" }</h2>
            { for it.notes().into_iter().map(|note| html! { <p class="print-note">{ note }</p> }) }
            <h2>{ "Statement of each witness" }</h2>
            <p class="statement">{ &it.statement }</p>
            { persons(&it.persons) }
            { provenance(it) }
            <footer><b>{ "Cautions. " }</b>{ it.cautions.join(" ") }</footer>
            { annexes(it) }
        </article>
    }
}

pub(super) fn practice(it: &Certificate) -> Html {
    match it.practice {
        true => html! { <p class="print-practice">{ "PRACTICE · nothing real was destroyed" }</p> },
        false => Html::default(),
    }
}

/// "2026-11-25 14:02:11 +01:00", shortened from the stamp's own text.
pub(super) fn moment(at: &Stamp) -> String {
    format!(
        "{} {} {}",
        at.local_day(),
        at.clock(),
        crate::desk::forms::offset_of(at)
    )
}

fn facts(it: &Certificate) -> Html {
    let residue = it.residue.as_ref();
    let destroyed: Vec<_> = it.products.iter().map(CertifiedProduct::readable).collect();
    let facts = [
        ("Place", it.place.clone()),
        ("Machine", it.machine.clone()),
        ("Method", it.method.to_owned()),
        ("Destroyed", destroyed.join("; ")),
        ("Start", moment(&it.started)),
        ("End", moment(&it.ended)),
        ("Particle class", residue.map_or_else(String::new, class)),
        ("Residue", residue.map_or_else(String::new, measured)),
        ("Remarks", it.remarks.clone()),
    ];
    let there = facts.into_iter().filter(|(_, text)| !text.is_empty());
    html! { <dl class="print-facts">{ for there.map(|(name, text)| html! { <><dt>{ name }</dt><dd>{ text }</dd></> }) }</dl> }
}

fn class(residue: &CertifiedResidue) -> String {
    let (name, area) = (residue.particle_class.name(), residue.class_mm2);
    match residue.measured {
        Some(_) if residue.tolerated_mm2 > area => format!(
            "{name} (ISO/IEC 21964-2): {area} mm², one in ten up to {} mm²",
            residue.tolerated_mm2
        ),
        _ => format!("{name} (ISO/IEC 21964-2): at most {area} mm²"),
    }
}

fn measured(residue: &CertifiedResidue) -> String {
    let largest = residue.largest_mm2;
    match residue.measured.zip(residue.above) {
        None => format!("largest particle {largest} mm²"),
        Some((measured, above)) => {
            let share = f64::from(above) * 100.0 / f64::from(measured.max(1));
            let area = residue.class_mm2;
            format!(
                "{measured} particles measured, the largest {largest} mm², {above} ({share:.1} %) above {area} mm²"
            )
        }
    }
}

fn contents_of_all(it: &Certificate) -> Html {
    let annexes = match it.annexes().len() {
        1 => "annex 1".to_owned(),
        many => format!("annexes 1 to {many}"),
    };
    let (sheets, notes) = it.totals();
    html! {
        <>
            if it.containers_fit() { { containers(&it.containers) } }
            else { <p>{ format!("{} containers with {}: see {annexes}.", it.containers.len(), sheets_and_notes(sheets, notes)) }</p> }
            if it.contents_fit() {
                <h2>{ "Contents" }</h2>
                { for it.containers.iter().map(contents) }
            } else if it.containers_fit() {
                <p>{ format!("Every sheet number and serial is in {annexes}.") }</p>
            }
        </>
    }
}

/// The table of containers: what was found, what it weighed, what its count should weigh.
pub(super) fn containers(containers: &[CertifiedContainer]) -> Html {
    let weighed_when_sealed = containers.iter().any(|one| one.gross_when_sealed.is_some());
    let gross = match weighed_when_sealed {
        true => "Gross (when sealed)",
        false => "Gross",
    };
    let row = |one: &CertifiedContainer| {
        html! {
            <tr>
                <th scope="row" class="mono">{ one.container.to_string() }</th>
                <td><span class="mono">{ one.seal.to_string() }</span>{ sealed(one) }</td>
                <td class="num">{ grouped(one.sheets.into()) }</td>
                <td class="num">{ grouped(one.notes.into()) }</td>
                <td class="num">{ one.gross.to_string() }<br />{ one.gross_when_sealed.map_or_else(String::new, |gross| format!("({gross})")) }</td>
                <td class="num">{ one.tare.to_string() }</td>
                <td class="num">{ one.net.to_string() }</td>
                <td>{ weighed(one.expected_net, &one.weigh_check) }</td>
            </tr>
        }
    };
    html! {
        <table class="print-table containers">
            <thead><tr>
                <th scope="col">{ "Container" }</th><th scope="col">{ "Seal as found, unbroken" }</th>
                <th scope="col" class="num">{ "Sheets" }</th><th scope="col" class="num">{ "Notes" }</th>
                <th scope="col" class="num">{ gross }</th><th scope="col" class="num">{ "Tare" }</th>
                <th scope="col" class="num">{ "Net" }</th><th scope="col">{ "Expected of its count, coverage 2" }</th>
            </tr></thead>
            <tbody>{ for containers.iter().map(row) }</tbody>
        </table>
    }
}

/// " by Ben Orrin and Ada Merrow, 2026-11-25 12:14:50"; the offset stands with start and end.
fn sealed(one: &CertifiedContainer) -> String {
    let [first, second] = &one.sealed_by;
    let (day, clock) = (one.sealed.local_day(), one.sealed.clock());
    format!(" by {first} and {second}, {day} {clock}")
}

/// "1011.0 g ± 22.7 g: agrees; could show no fewer than 56 notes missing".
fn weighed(expected: Mass, check: &WeighChecked) -> String {
    let band = check
        .expanded
        .map_or_else(String::new, |band| format!(" ± {band}"));
    let mut text = format!("{expected}{band}: {}", check.verdict);
    let pieces = |one, many| move |count| number_of(count, one, many);
    let missing = [
        check.missing_notes.map(pieces("note", "notes")),
        check.missing_sheets.map(pieces("sheet", "sheets")),
    ];
    let missing: Vec<String> = missing.into_iter().flatten().collect();
    if !missing.is_empty() {
        text += &format!(
            "; could show no fewer than {} missing",
            missing.join(" or ")
        );
    }
    if let Some(unknown) = &check.unknown {
        text += &format!("; {unknown}");
    }
    text
}

fn contents(one: &CertifiedContainer) -> Html {
    html! {
        <div class="contents">
            <h3 class="mono">{ one.container.to_string() }</h3>
            { for lists(one).into_iter().map(|(title, ranges)| html! { <p>{ format!("{title}: ") }<span class="mono">{ ranges.join(", ") }</span></p> }) }
        </div>
    }
}

fn persons(persons: &[CertifiedPerson]) -> Html {
    let row = |person: &CertifiedPerson| {
        let outside = if person.outside {
            ", from outside production"
        } else {
            ""
        };
        html! {
            <tr>
                <td>{ &person.name }<br /><span class="mono">{ person.person.to_string() }</span></td>
                <td>{ format!("{}{outside}", person.roles.join(", ")) }</td>
                <td>{ format!("{}: {}", person.part, person.meaning) }</td>
                <td>{ moment(&person.signed) }</td><td class="signature-line" />
            </tr>
        }
    };
    html! {
        <table class="print-table persons">
            <thead><tr>
                <th scope="col">{ "Name, code" }</th><th scope="col">{ "Roles" }</th>
                <th scope="col">{ "Part, and what the signature means" }</th>
                <th scope="col">{ "Signed" }</th><th scope="col">{ "By hand" }</th>
            </tr></thead>
            <tbody>{ for persons.iter().map(row) }</tbody>
        </table>
    }
}

fn provenance(it: &Certificate) -> Html {
    html! {
        <dl class="print-facts provenance">
            <dt>{ "Book" }</dt><dd class="mono">{ format!("{} · bench {}", it.book, it.bench) }</dd>
            <dt>{ "Entry" }</dt><dd>{ format!("{}, recorded {}; the operator and each witness signed its whole text", it.entry, moment(&it.recorded)) }</dd>
            <dt>{ "Builds on" }</dt><dd class="mono">{ it.builds_on.to_string() }</dd>
            <dt>{ "Hash of the entry, head" }</dt><dd class="mono">{ it.head.to_string() }</dd>
            <dt>{ "Code of the head" }</dt><dd class="mono">{ &it.head_code }</dd>
        </dl>
    }
}
