//! The bench: what the machine reported and what inspectors found.

use std::rc::Rc;

use crate::account::{Amended, Amendment, DayTotals, Reruled, Tally};
use crate::custody::Item;
use crate::inspect::{Source, Tag, Verdict, WrittenTag};
use crate::sheet::{LotId, SheetNo, SheetRange};

use super::super::cage::{Came, Place};
use super::super::entry::{MachineRead, SheetsExamined};
use super::super::line::Header;
use super::super::lot::{Exam, Gone, Lot, SheetState};
use super::super::refusal::Refusal;
use super::super::state::{Change, State};
use super::{listed, required};

pub(super) const REASON_MAX: usize = 200;

pub(super) fn open_lot(state: &State, id: LotId) -> Result<&Lot, Refusal> {
    let lot = state.lot(id)?;
    if lot.closed.is_some() {
        Err(Refusal::LotIsClosed(id))
    } else {
        Ok(lot)
    }
}

pub fn machine_read(state: &State, data: &MachineRead) -> Result<Change, Refusal> {
    let lot = open_lot(state, data.lot)?;
    required("File name", &data.file, REASON_MAX)?;
    listed(data.tags.len())?;
    if data.part == 0 || data.part > data.parts {
        return Err(Refusal::PartOrder {
            part: data.part,
            parts: data.parts,
        });
    }
    let mut tags = Vec::with_capacity(data.tags.len());
    for row in &data.tags {
        let sheet = row.0;
        let state = sheet_of(lot, sheet)?;
        if let Some(exam) = &state.exam {
            return Err(Refusal::ExaminedBefore {
                sheet,
                seq: exam.seq,
            });
        }
        let written = WrittenTag {
            at: row.1.clone(),
            side: row.2,
            class: row.3,
            source: Source::Machine,
            remark: row.4.clone(),
        };
        tags.push((sheet, resolve(lot, sheet, &written)?));
    }
    let id = lot.id;
    Ok(Change::new(move |state| {
        let Some(lot) = state.lots.get_mut(&id) else {
            return;
        };
        for (sheet, tag) in tags {
            let known = &mut lot.sheets[sheet.index() as usize].machine;
            if !known.iter().any(|other| other.same_defect(&tag)) {
                known.push(tag);
            }
        }
    }))
}

pub(super) fn sheet_of(lot: &Lot, sheet: SheetNo) -> Result<&SheetState, Refusal> {
    lot.sheet(sheet).ok_or(Refusal::SheetOutside {
        lot: lot.id,
        sheet,
        sheets: lot.len(),
    })
}

fn resolve(lot: &Lot, sheet: SheetNo, written: &WrittenTag) -> Result<Tag, Refusal> {
    let tag = written.resolve(&lot.product.layout, &lot.catalogue);
    tag.map_err(|tag| Refusal::Tag { sheet, tag })
}

/// One sheet's new examination, and the one it replaces.
pub(super) struct Examined {
    pub sheet: SheetNo,
    pub exam: Rc<Exam>,
    pub before: Option<Rc<Exam>>,
}

pub fn sheets_examined(
    state: &State,
    header: &Header,
    data: &SheetsExamined,
) -> Result<Change, Refusal> {
    let lot = open_lot(state, data.lot)?;
    check_range(lot, data)?;
    let tags = resolve_tags(lot, data.from, &data.tags)?;
    let corrects = correction(data)?;
    let day = state.day_of(&header.at);
    let plain = Rc::new(Exam {
        seq: header.seq,
        by: header.by,
        at: header.at.clone(),
        day,
        stage: lot.stage(),
        ruling: lot.rule(&tags),
        tags,
        corrects,
        machine_word: machine_word(data),
        overruled: None,
    });
    let mut examined = Vec::with_capacity((data.to.number() - data.from.number() + 1) as usize);
    for number in data.from.index()..=data.to.index() {
        let sheet = SheetNo::from_index(number);
        let known = sheet_of(lot, sheet)?;
        let before = replaceable(state, lot, sheet, data.corrects)?;
        let exam = match data.machine_kept && !known.machine.is_empty() {
            true => Rc::new(with_machine(lot, &plain, &known.machine)),
            false => Rc::clone(&plain),
        };
        examined.push(Examined {
            sheet,
            exam,
            before,
        });
    }
    let id = lot.id;
    Ok(Change::new(move |state| {
        for one in examined {
            if let Some(before) = &one.before {
                let totals = state.days.entry(one.exam.day).or_default();
                totals.corrections += 1;
                let reason = one.exam.corrects.as_ref().map(|(_, why)| why.as_str());
                let of = reruled(id, &one, before);
                let made = amendment(Amended::Correction(of), &one, before, reason);
                totals.amendments.push(made);
            }
            put(state, id, one);
        }
    }))
}

fn check_range(lot: &Lot, data: &SheetsExamined) -> Result<(), Refusal> {
    let (from, to) = (data.from, data.to);
    if from > to {
        return Err(Refusal::RangeBackwards { from, to });
    }
    sheet_of(lot, to)?;
    if data.corrects.is_some() && from != to {
        Err(Refusal::CorrectsMany)
    } else {
        Ok(())
    }
}

/// The tags of one sheet, each once.
pub(super) fn resolve_tags(
    lot: &Lot,
    sheet: SheetNo,
    written: &[WrittenTag],
) -> Result<Vec<Tag>, Refusal> {
    let mut tags: Vec<Tag> = Vec::with_capacity(written.len());
    for written in written {
        let tag = resolve(lot, sheet, written)?;
        if tags.iter().any(|other| other.same_defect(&tag)) {
            return Err(Refusal::TagTwice { sheet });
        }
        tags.push(tag);
    }
    Ok(tags)
}

fn correction(data: &SheetsExamined) -> Result<Option<(u64, String)>, Refusal> {
    let Some(seq) = data.corrects else {
        return Ok(None);
    };
    let reason = data.reason.clone().unwrap_or_default();
    required("Reason for the correction", &reason, REASON_MAX)?;
    Ok(Some((seq, reason)))
}

fn machine_word(data: &SheetsExamined) -> Option<SheetRange> {
    let range = data
        .machine_kept
        .then(|| SheetRange::new(data.from, data.to));
    range.and_then(Result::ok)
}

fn with_machine(lot: &Lot, plain: &Exam, machine: &[Tag]) -> Exam {
    let mut tags = plain.tags.clone();
    for tag in machine {
        if !tags.iter().any(|other| other.same_defect(tag)) {
            tags.push(tag.clone());
        }
    }
    Exam {
        ruling: lot.rule(&tags),
        tags,
        ..plain.clone()
    }
}

/// The examination that the new one replaces, if it may.
pub(super) fn replaceable(
    state: &State,
    lot: &Lot,
    sheet: SheetNo,
    corrects: Option<u64>,
) -> Result<Option<Rc<Exam>>, Refusal> {
    let before = lot.sheet(sheet).and_then(|known| known.exam.clone());
    match (before, corrects) {
        (None, None) => Ok(None),
        (Some(exam), None) => Err(Refusal::ExaminedBefore {
            sheet,
            seq: exam.seq,
        }),
        (Some(exam), Some(corrects)) if exam.seq == corrects => {
            still_correctable(state, lot, sheet, &exam)?;
            Ok(Some(exam))
        }
        (_, Some(corrects)) => Err(Refusal::NothingToCorrect { sheet, corrects }),
    }
}

/// A sheet can be corrected while nothing has been built on its ruling.
fn still_correctable(state: &State, lot: &Lot, sheet: SheetNo, exam: &Exam) -> Result<(), Refusal> {
    let gone = lot.gone(sheet).map(|gone| match gone {
        Gone::BeforeNumbering => "it left before the lot was numbered",
        Gone::LostAtPress { .. } => "it was lost at the press",
    });
    if let Some(why) = gone {
        let why = why.to_owned();
        return Err(Refusal::TooLateToCorrect { sheet, why });
    }
    let drawn = lot
        .lost(&exam.ruling)
        .into_iter()
        .filter_map(|position| lot.number(sheet, position));
    if drawn
        .into_iter()
        .any(|number| lot.replaced.contains_key(&number))
    {
        let why = "replacement notes are drawn for it".to_owned();
        return Err(Refusal::TooLateToCorrect { sheet, why });
    }
    let spoils = items(lot, sheet, exam);
    let mut places = spoils.iter().filter_map(|item| state.cage.spoils.get(item));
    let why = match places.find(|place| **place != Place::Loose) {
        None => return Ok(()),
        Some(Place::Missing(_) | Place::Lost(_)) => {
            "its spoils are missing or declared lost".to_owned()
        }
        Some(Place::Destroyed(session)) => {
            format!("its spoils were destroyed in session {session}")
        }
        Some(Place::In(container)) => {
            format!("its spoils are in container {container}; take them out there first")
        }
        Some(Place::Loose) => return Ok(()),
    };
    Err(Refusal::TooLateToCorrect { sheet, why })
}

/// The spoils a ruling makes: the sheet itself, or the defective notes of a numbered mixed one.
pub(super) fn items(lot: &Lot, sheet: SheetNo, exam: &Exam) -> Vec<Item> {
    match exam.ruling.verdict {
        Verdict::Good => Vec::new(),
        Verdict::Spoiled => vec![Item::Sheet(lot.id, sheet)],
        Verdict::Mixed => {
            let lost = lot.lost(&exam.ruling).into_iter();
            lost.filter_map(|position| lot.serial(sheet, position).map(Item::Note))
                .collect()
        }
    }
}

/// A sheet with its verdict before and now.
pub(super) fn reruled(lot: LotId, one: &Examined, before: &Exam) -> Reruled {
    Reruled {
        lot,
        sheet: one.sheet,
        before: before.ruling.verdict,
        after: one.exam.ruling.verdict,
    }
}

/// What an examination or an overruling says anew of a sheet. Its own author and moment are the
/// caller's to set where they are not the examination's.
pub(super) fn amendment(
    what: Amended,
    one: &Examined,
    before: &Exam,
    reason: Option<&str>,
) -> Amendment {
    Amendment {
        entry: one.exam.seq,
        what,
        amends: before.seq,
        reason: reason.unwrap_or_default().trim().to_owned(),
        by: one.exam.by,
        second: None,
        at: one.exam.at.clone(),
    }
}

/// Counts an examination in every total it belongs to, in place of the one it replaces.
pub(super) fn put(state: &mut State, id: LotId, one: Examined) {
    if let Some(before) = &one.before {
        take_back(state, id, one.sheet, before);
    }
    let Some(lot) = state.lots.get_mut(&id) else {
        return;
    };
    let came = Came::new(one.exam.seq, &one.exam.at);
    for item in items(lot, one.sheet, &one.exam) {
        state.cage.add(id, item, came.clone());
    }
    let totals = state.days.entry(one.exam.day).or_default();
    totals.on_machines_word += u64::from(one.exam.machine_word.is_some());
    let counted = Counted::of(lot, &one.exam);
    counted.in_tallies(lot, totals, &one.exam, Tally::add);
    for tag in &one.exam.tags {
        *totals.by_class.entry(tag.class).or_default() += 1;
        if let Some(class) = lot.catalogue.get(tag.class) {
            *totals.by_step.entry(class.step).or_default() += 1;
        }
    }
    lot.sheets[one.sheet.index() as usize].exam = Some(one.exam);
}

/// Takes a corrected examination out of every total it was counted in.
fn take_back(state: &mut State, id: LotId, sheet: SheetNo, before: &Exam) {
    let Some(lot) = state.lots.get_mut(&id) else {
        return;
    };
    for item in items(lot, sheet, before) {
        state.cage.take_back(id, &item);
    }
    let totals = state.days.entry(before.day).or_default();
    totals.on_machines_word -= u64::from(before.machine_word.is_some());
    let counted = Counted::of(lot, before);
    counted.in_tallies(lot, totals, before, Tally::remove);
    for tag in &before.tags {
        *totals.by_class.entry(tag.class).or_default() -= 1;
        if let Some(class) = lot.catalogue.get(tag.class) {
            *totals.by_step.entry(class.step).or_default() -= 1;
        }
    }
}

/// What one examined sheet adds to every tally it is counted in.
struct Counted {
    verdict: Verdict,
    notes: u16,
    lost: u16,
}

impl Counted {
    fn of(lot: &Lot, exam: &Exam) -> Self {
        Self {
            verdict: exam.ruling.verdict,
            notes: lot.notes(),
            lost: lot.lost_count(&exam.ruling),
        }
    }

    fn in_tallies(
        &self,
        lot: &mut Lot,
        totals: &mut DayTotals,
        exam: &Exam,
        count: fn(&mut Tally, Verdict, u16, u16),
    ) {
        let tallies = [
            &mut lot.tally,
            &mut totals.all,
            totals.by_product.entry(lot.product.id).or_default(),
            totals.by_stage.entry(exam.stage).or_default(),
            totals.by_lot.entry(lot.id).or_default(),
            totals.by_inspector.entry(exam.by).or_default(),
            totals.by_hour.entry(exam.at.hour()).or_default(),
        ];
        for tally in tallies {
            count(tally, self.verdict, self.notes, self.lost);
        }
    }
}
