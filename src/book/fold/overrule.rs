//! A supervisor's word against the rules.

use std::rc::Rc;

use crate::account::{Amended, Amendment};
use crate::inspect::Verdict;

use super::super::entry::VerdictOverruled;
use super::super::line::Header;
use super::super::lot::{Exam, Overruling};
use super::super::refusal::Refusal;
use super::super::state::{Change, State};
use super::bench::{
    Examined, REASON_MAX, amendment, open_lot, put, replaceable, reruled, sheet_of,
};
use super::required;

/// The sheet keeps its tags, its inspector and its day; only what follows from them changes. It
/// may be overruled exactly as long as it may be corrected.
pub fn verdict_overruled(
    state: &State,
    header: &Header,
    data: &VerdictOverruled,
) -> Result<Change, Refusal> {
    let (lot, sheet) = (open_lot(state, data.lot)?, data.sheet);
    sheet_of(lot, sheet)?;
    required("Reason for overruling", &data.reason, REASON_MAX)?;
    let corrects = data.corrects;
    let before = replaceable(state, lot, sheet, Some(corrects))?
        .ok_or(Refusal::NothingToCorrect { sheet, corrects })?;
    check(&before, data)?;
    let day = state.day_of(&header.at);
    let exam = Rc::new(overruled(state, header, &before, data));
    let id = lot.id;
    let one = Examined {
        sheet,
        exam,
        before: Some(Rc::clone(&before)),
    };
    let made = Amendment {
        by: header.by,
        at: header.at.clone(),
        ..amendment(
            Amended::Overruling(reruled(id, &one, &before)),
            &one,
            &before,
            Some(&data.reason),
        )
    };
    Ok(Change::new(move |state| {
        let totals = state.days.entry(day).or_default();
        totals.overrulings += 1;
        totals.amendments.push(made);
        put(state, id, one);
    }))
}

fn check(before: &Exam, data: &VerdictOverruled) -> Result<(), Refusal> {
    let (sheet, verdict) = (data.sheet, data.verdict);
    if before.ruling.verdict == verdict {
        return Err(Refusal::SameVerdict { sheet, verdict });
    }
    if verdict == Verdict::Mixed && before.ruling.defective.is_empty() {
        return Err(Refusal::NothingDefective { sheet });
    }
    Ok(())
}

fn overruled(state: &State, header: &Header, before: &Exam, data: &VerdictOverruled) -> Exam {
    let by = state.name_of(header.by);
    let why = data.reason.trim().to_owned();
    Exam {
        seq: header.seq,
        ruling: before.ruling.overruled(data.verdict, by, why),
        overruled: Some(Box::new(Overruling {
            examined: before.examined_in(),
            by: header.by,
            at: header.at.clone(),
            day: state.day_of(&header.at),
        })),
        ..before.clone()
    }
}
