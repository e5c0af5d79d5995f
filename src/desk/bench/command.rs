//! What the bench can be told to do, by key, mouse or touch.

use crate::book::{Acceptance, Entry, Lot, Refusal, State};
use crate::inspect::{ClassCode, Scope, Spot, Tag};
use crate::sheet::{SheetNo, Side};

use super::Bench;
use super::grid::{Cell, Selection};
use super::range::{Typed, TypedFor, take_range};

/// A direction on the drawn grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    Up,
    Down,
    Left,
    Right,
}

/// An end of the row or of the grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    RowStart,
    RowEnd,
    First,
    Last,
}

/// One thing the bench is told to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    Move {
        way: Way,
        extend: bool,
    },
    Jump {
        to: Edge,
        extend: bool,
    },
    SelectRow,
    SelectColumn,
    SelectAll,
    /// Point at a cell; extending makes a rectangle.
    Point {
        cell: Cell,
        extend: bool,
    },
    Flip,
    Show(Side),
    /// A letter of a class code.
    Letter(char),
    /// A figure of a sheet number.
    Figure(char),
    /// Begin a range up to the sheet typed next.
    Range(TypedFor),
    /// Tag the selection with a class, or take it off.
    Tag(ClassCode),
    /// Tag the selection with the last class again.
    Again,
    /// Add the tags of the sheet recorded last.
    Repeat,
    /// Take all tags off the selection; while typing, take back one character.
    Erase,
    Remove(Tag),
    Remark {
        tag: Tag,
        text: String,
    },
    Undo,
    Redo,
    /// Put another sheet on the bench without recording this one.
    Turn(SheetNo),
    NextSheet,
    PreviousSheet,
    /// Why an examined sheet is changed.
    Reason(String),
    /// Record the sheet and go on; while typing figures, do what they are for.
    Enter,
    /// Drop what is being typed, then the selection.
    Escape,
}

impl Command {
    /// Whether it would change the sheet. A closed lot can be looked at, not changed.
    pub fn changes_the_sheet(&self) -> bool {
        use Command::{Again, Enter, Erase, Letter, Range, Reason, Remark, Remove, Repeat, Tag};
        matches!(
            self,
            Again
                | Enter
                | Erase
                | Letter(_)
                | Range(_)
                | Reason(_)
                | Remark { .. }
                | Remove(_)
                | Repeat
                | Tag(_)
        )
    }
}

type Outcome = Result<Option<Vec<Entry>>, Refusal>;

pub(super) fn carry_out(bench: &mut Bench, command: Command, lot: &Lot, state: &State) -> Outcome {
    match command {
        Command::Move { way, extend } => moved(bench, lot, way, extend),
        Command::Jump { to, extend } => jump(bench, lot, to, extend),
        Command::SelectRow => select(bench, lot, true, false),
        Command::SelectColumn => select(bench, lot, false, true),
        Command::SelectAll => select(bench, lot, true, true),
        Command::Point { cell, extend } => bench.selection.move_to(cell, extend),
        Command::Flip => bench.look_at(bench.side.other(), lot),
        Command::Show(side) => bench.look_at(side, lot),
        Command::Letter(letter) => letter_typed(bench, lot, letter),
        Command::Figure(figure) => {
            bench
                .typed
                .get_or_insert_with(|| Typed::new(TypedFor::Go))
                .push(figure);
        }
        Command::Range(purpose) => bench.typed = Some(Typed::new(purpose)),
        Command::Tag(class) => tag(bench, lot, class),
        Command::Again => match bench.last_class {
            Some(class) => tag(bench, lot, class),
            None => bench.hint = Some("No class was tagged yet.".to_owned()),
        },
        Command::Repeat => {
            let tags = bench.last_tags.clone();
            bench.draft.add(&tags);
        }
        Command::Erase => erase(bench, lot),
        Command::Remove(tag) => bench.draft.remove(&tag),
        Command::Remark { tag, text } => bench.draft.remark(&tag, &text),
        Command::Undo => bench.draft.undo(),
        Command::Redo => bench.draft.redo(),
        Command::Turn(sheet) => return turn(bench, lot, sheet, state),
        Command::NextSheet => return step(bench, lot, state, 1),
        Command::PreviousSheet => return step(bench, lot, state, -1),
        Command::Reason(text) => bench.draft.reason = text,
        Command::Enter => return enter(bench, lot, state),
        Command::Escape => escape(bench),
    }
    Ok(None)
}

fn moved(bench: &mut Bench, lot: &Lot, way: Way, extend: bool) {
    let layout = &lot.product.layout;
    let (last_row, last_column) = (layout.rows() - 1, layout.columns() - 1);
    let Cell { row, column } = bench.selection.cursor;
    let cell = match way {
        Way::Up => Cell {
            row: row.saturating_sub(1),
            column,
        },
        Way::Down => Cell {
            row: (row + 1).min(last_row),
            column,
        },
        Way::Left => Cell {
            row,
            column: column.saturating_sub(1),
        },
        Way::Right => Cell {
            row,
            column: (column + 1).min(last_column),
        },
    };
    bench.selection.move_to(cell, extend);
}

fn jump(bench: &mut Bench, lot: &Lot, to: Edge, extend: bool) {
    let layout = &lot.product.layout;
    let (last_row, last_column) = (layout.rows() - 1, layout.columns() - 1);
    let row = bench.selection.cursor.row;
    let cell = match to {
        Edge::RowStart => Cell { row, column: 0 },
        Edge::RowEnd => Cell {
            row,
            column: last_column,
        },
        Edge::First => Cell { row: 0, column: 0 },
        Edge::Last => Cell {
            row: last_row,
            column: last_column,
        },
    };
    bench.selection.move_to(cell, extend);
}

/// Selects the cursor's row, its column, or (both) the whole sheet.
fn select(bench: &mut Bench, lot: &Lot, rows: bool, columns: bool) {
    let layout = &lot.product.layout;
    let Cell { row, column } = bench.selection.cursor;
    let (last_row, last_column) = (layout.rows() - 1, layout.columns() - 1);
    let (left, right) = if rows {
        (0, last_column)
    } else {
        (column, column)
    };
    let (top, bottom) = if columns { (0, last_row) } else { (row, row) };
    bench.selection = Selection {
        anchor: Cell {
            row: top,
            column: left,
        },
        cursor: Cell {
            row: bottom,
            column: right,
        },
    };
}

fn letter_typed(bench: &mut Bench, lot: &Lot, letter: char) {
    let letter = letter.to_ascii_uppercase();
    let Some(first) = bench.letter.take() else {
        match lot.catalogue.has_initial(letter) {
            true => bench.letter = Some(letter),
            false => bench.hint = Some(format!("No class begins with {letter}.")),
        }
        return;
    };
    let code = format!("{first}{letter}");
    match code
        .parse()
        .ok()
        .filter(|code| lot.catalogue.get(*code).is_some())
    {
        Some(class) => tag(bench, lot, class),
        None => bench.hint = Some(format!("{code} is not a class.")),
    }
}

fn tag(bench: &mut Bench, lot: &Lot, code: ClassCode) {
    let Some(class) = lot.catalogue.get(code) else {
        return;
    };
    let spots = match class.scope {
        Scope::Sheet => vec![Spot::WholeSheet],
        Scope::Note => selected(bench, lot),
    };
    bench.draft.toggle(&spots, bench.side, code);
    bench.last_class = Some(code);
    bench.letter = None;
}

fn selected(bench: &Bench, lot: &Lot) -> Vec<Spot> {
    let positions = bench.selection.positions(&lot.product.layout, bench.side);
    positions.into_iter().map(Spot::Note).collect()
}

fn erase(bench: &mut Bench, lot: &Lot) {
    if let Some(typed) = &mut bench.typed {
        if typed.figures.pop().is_none() {
            bench.typed = None;
        }
    } else if bench.letter.take().is_none() {
        let spots = selected(bench, lot);
        bench.draft.clear(&spots);
    }
}

fn escape(bench: &mut Bench) {
    if bench.typed.take().is_none() && bench.letter.take().is_none() {
        bench.selection = Selection::at(bench.selection.cursor);
    }
}

fn step(bench: &mut Bench, lot: &Lot, state: &State, by: i64) -> Outcome {
    if let Some(sample) = bench.acceptance(state) {
        return match step_in_sample(bench, sample, by > 0) {
            Some(sheet) => turn(bench, lot, sheet, state),
            None => Ok(None),
        };
    }
    let number = i64::from(bench.sheet.number()) + by;
    match u32::try_from(number).ok().and_then(SheetNo::new) {
        Some(sheet) if lot.sheet(sheet).is_some() => turn(bench, lot, sheet, state),
        _ => Ok(None),
    }
}

/// The sheet of the sample next to this one.
fn step_in_sample(bench: &Bench, sample: &Acceptance, forward: bool) -> Option<SheetNo> {
    let mut sheets = sample.sheets.keys().copied();
    match forward {
        true => sheets.find(|sheet| *sheet > bench.sheet),
        false => sheets.rfind(|sheet| *sheet < bench.sheet),
    }
}

/// Another sheet may come only when nothing on this one would be lost.
fn turn(bench: &mut Bench, lot: &Lot, sheet: SheetNo, state: &State) -> Outcome {
    if lot.sheet(sheet).is_none() {
        return Err(Refusal::SheetOutside {
            lot: lot.id,
            sheet,
            sheets: lot.len(),
        });
    }
    if let Some(sample) = bench.acceptance(state)
        && !sample.sheets.contains_key(&sheet)
    {
        let acceptance = sample.id;
        return Err(Refusal::NotInSample { sheet, acceptance });
    }
    if bench.draft.changed() && sheet != bench.sheet {
        bench.typed = None;
        bench.hint = Some(format!(
            "Sheet {} has tags that are not recorded. Record it (Enter) or take them back (Ctrl+Z) first.",
            bench.sheet
        ));
        return Ok(None);
    }
    bench.turn_to(sheet, state);
    Ok(None)
}

fn enter(bench: &mut Bench, lot: &Lot, state: &State) -> Outcome {
    if let Some(typed) = bench.typed.take() {
        return typed_enter(bench, lot, state, &typed);
    }
    if bench.letter.take().is_some() {
        bench.hint = Some("A class code has two letters.".to_owned());
        return Ok(None);
    }
    if bench.draft.corrects.is_some() && !bench.draft.changed() {
        return go_on(bench, lot, state);
    }
    match bench.sample {
        Some(sample) => Ok(Some(bench.looked(lot, sample))),
        None => Ok(Some(bench.examined(lot, bench.sheet))),
    }
}

/// The sheet on the bench was recorded before and is unchanged: on to the next open one.
fn go_on(bench: &mut Bench, lot: &Lot, state: &State) -> Outcome {
    match bench.next_open(lot, bench.sheet, state) {
        Some(sheet) => bench.turn_to(sheet, state),
        None => bench.hint = Some(bench.all_done(lot)),
    }
    Ok(None)
}

fn typed_enter(bench: &mut Bench, lot: &Lot, state: &State, typed: &Typed) -> Outcome {
    let Some(sheet) = typed.sheet() else {
        bench.hint = Some("Type the number of a sheet, then Enter.".to_owned());
        return Ok(None);
    };
    if typed.purpose == TypedFor::Go {
        return turn(bench, lot, sheet, state);
    }
    if bench.sample.is_some() {
        bench.hint = Some("Sheets of an acceptance sample are looked at one by one.".to_owned());
        return Ok(None);
    }
    if lot.sheet(sheet).is_none() {
        return Err(Refusal::SheetOutside {
            lot: lot.id,
            sheet,
            sheets: lot.len(),
        });
    }
    if sheet < bench.sheet {
        return Err(Refusal::RangeBackwards {
            from: bench.sheet,
            to: sheet,
        });
    }
    match typed.purpose {
        TypedFor::Same => Ok(Some(bench.examined(lot, sheet))),
        _ => take(bench, lot, sheet, typed.purpose == TypedFor::Machine),
    }
}

fn take(bench: &mut Bench, lot: &Lot, to: SheetNo, machine_kept: bool) -> Outcome {
    if bench.draft.changed() {
        bench.hint = Some("This sheet has tags that are not recorded. Record it first.".to_owned());
        return Ok(None);
    }
    let range = take_range(lot, bench.sheet, to, machine_kept);
    if range.entries.is_empty() {
        bench.hint = Some("No sheet of that range is left to record this way.".to_owned());
        return Ok(None);
    }
    bench.recording = Some(bench.sheet);
    bench.range_done = Some(format!(
        "{} sheets recorded; left: {} with machine tags, {} examined before.",
        range.taken, range.machine, range.examined
    ));
    Ok(Some(range.entries))
}
