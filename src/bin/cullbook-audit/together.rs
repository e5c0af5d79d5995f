//! Several books laid side by side: `compare` two, `merge` any number.

use cullbook::book::{Chained, Guest, LotTogether, Several, lay_together};
use cullbook::sheet::LotId;

use super::AuditError;

/// How the answer is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    Text,
    Json,
}

/// Lays books together: the answer to print, and whether they agree.
pub fn lay(books: &[Guest], form: Form) -> Result<(String, bool), AuditError> {
    let books = books.iter().map(|book| book as &dyn Chained);
    let several = lay_together(&books.collect::<Vec<_>>());
    let text = match form {
        Form::Text => in_words(&several),
        Form::Json => serde_json::to_string_pretty(&in_json(&several))? + "\n",
    };
    Ok((text, several.conflicts.is_empty()))
}

/// The figures with each conflict's sentence beside its parts.
fn in_json(several: &Several) -> serde_json::Value {
    let conflicts = several
        .conflicts
        .iter()
        .map(|conflict| serde_json::json!({ "says": conflict.to_string(), "conflict": conflict }));
    serde_json::json!({
        "books": several.books,
        "contained": several.contained,
        "lots": several.lots,
        "conflicts": conflicts.collect::<Vec<_>>(),
    })
}

fn in_words(several: &Several) -> String {
    let books = several.books.iter();
    let mut lines: Vec<String> = books
        .map(|book| format!("Book of {book}: {} lines", book.lines))
        .collect();
    lines.extend(several.contained.iter().map(|copy| {
        format!(
            "Left out: {}, {} lines. The longer copy with {} lines begins with all of them.",
            copy.copy, copy.copy.lines, copy.within.lines
        )
    }));
    lines.extend(
        several
            .lots
            .iter()
            .map(|(lot, sheets)| lot_line(*lot, sheets)),
    );
    let conflicts = (1..).zip(&several.conflicts);
    lines.extend(conflicts.map(|(number, conflict)| format!("{number}. {conflict}")));
    lines.push(match several.conflicts.len() {
        0 => "The books agree.".to_owned(),
        1 => "1 conflict. Nothing was settled here: settle it at the benches.".to_owned(),
        more => format!("{more} conflicts. Nothing was settled here: settle them at the benches."),
    });
    lines.join("\n") + "\n"
}

fn lot_line(lot: LotId, sheets: &LotTogether) -> String {
    let LotTogether {
        good,
        mixed,
        spoiled,
        contested,
        ..
    } = sheets;
    let open = sheets.not_examined();
    format!(
        "Lot {lot}: {} sheets; {good} good, {mixed} mixed, {spoiled} spoiled, {contested} ruled in more than one book, {open} not examined",
        sheets.sheets
    )
}
