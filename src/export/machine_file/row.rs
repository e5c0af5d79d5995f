//! One row of a machine file, resolved against the lot.

use std::borrow::Cow;

use crate::inspect::{Source, Tag, TagError, WrittenTag};
use crate::sheet::{SheetNo, Side};

use super::MachineContext;
use super::error::RowRefusal;
use super::header::{Column, Header};
use super::line::{LINE_MAX, shortened, split};

/// Longest value shown with a refusal.
pub(super) const VALUE_SHOWN: usize = 40;

/// A refusal with the column at fault, if it is one column.
pub(super) type Fault = (Option<Column>, RowRefusal);

fn at(column: Column, reason: impl Into<RowRefusal>) -> Fault {
    (Some(column), reason.into())
}

/// Splits a line into exactly one field for each column.
pub(super) fn fields_of<'a>(line: &'a str, fields: &mut Vec<Cow<'a, str>>) -> Result<(), Fault> {
    if line.len() > LINE_MAX {
        return Err((None, RowRefusal::TooLong { bytes: line.len() }));
    }
    split(line, fields).map_err(|fault| (None, fault.into()))?;
    match fields.len() {
        found if found == Column::ALL.len() => Ok(()),
        found => Err((None, RowRefusal::FieldCount { found })),
    }
}

/// The sheet and the tag that a row gives.
pub(super) fn resolve(
    header: &Header,
    fields: &[Cow<'_, str>],
    context: &MachineContext<'_>,
) -> Result<(SheetNo, Tag), Fault> {
    let field = |column| header.field(fields, column);
    if field(Column::Lot) != context.lot.as_str() {
        return Err(at(
            Column::Lot,
            RowRefusal::OtherLot {
                expected: context.lot,
            },
        ));
    }
    let sheet = sheet_of(field(Column::Sheet), context).map_err(|why| at(Column::Sheet, why))?;
    let side = side_of(field(Column::Side)).ok_or_else(|| at(Column::Side, RowRefusal::Side))?;
    let class = shortened(field(Column::Class), VALUE_SHOWN);
    let remark = field(Column::Remark);
    if let Some(found) = remark.chars().find(|c| c.is_control()) {
        return Err(at(Column::Remark, RowRefusal::RemarkControl { found }));
    }
    let written = WrittenTag {
        at: given(field(Column::Position)).map(|name| shortened(name, VALUE_SHOWN)),
        side,
        class: class
            .parse()
            .map_err(|error| at(Column::Class, RowRefusal::ClassCode(error)))?,
        source: Source::Machine,
        remark: given(remark).map(str::to_owned),
    };
    let tag = written.resolve(context.layout, context.catalogue);
    Ok((sheet, tag.map_err(|error| at(column_of(&error), error))?))
}

fn given(field: &str) -> Option<&str> {
    Some(field).filter(|field| !field.is_empty())
}

fn sheet_of(text: &str, context: &MachineContext<'_>) -> Result<SheetNo, RowRefusal> {
    if text.is_empty() || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(RowRefusal::SheetNotANumber);
    }
    let outside = RowRefusal::SheetOutsideLot {
        sheets: context.sheets,
    };
    // All figures: what does not fit a u32 is a sheet far outside any lot.
    let number: u32 = text.parse().map_err(|_| outside.clone())?;
    let sheet = SheetNo::new(number)
        .filter(|_| number <= context.sheets)
        .ok_or(outside)?;
    if (context.examined)(sheet) {
        return Err(RowRefusal::AlreadyExamined { sheet });
    }
    Ok(sheet)
}

fn side_of(text: &str) -> Option<Side> {
    let is = |name: &str| text.eq_ignore_ascii_case(name);
    match () {
        () if is("front") || is("f") => Some(Side::Front),
        () if is("back") || is("b") => Some(Side::Back),
        () => None,
    }
}

fn column_of(error: &TagError) -> Column {
    match error {
        TagError::UnknownClass(_) => Column::Class,
        TagError::UnknownPosition(_)
        | TagError::SheetClassWithPosition(_)
        | TagError::NoteClassWithoutPosition(_) => Column::Position,
        TagError::RemarkTooLong => Column::Remark,
    }
}
