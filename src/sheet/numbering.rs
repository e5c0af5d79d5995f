use serde::{Deserialize, Serialize};

use super::claim::Claim;
use super::comb::Combs;
use super::{
    Arrangement, Direction, Layout, MAX_SHEETS, Printed, Run, Serial, SerialError, SerialFormat,
    SheetNo, grouped,
};

/// The numbering of a lot as it is written down: the runs follow each other, sheet by sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NumberingSpec {
    pub format: SerialFormat,
    pub runs: Vec<Run>,
}

/// Why a lot cannot be numbered so. Runs are counted from 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NumberingError {
    #[error("There is no numbering run. Give at least one.")]
    NoRuns,
    #[error("Run {run} has no sheets. Give its number of sheets, or leave it out.")]
    EmptyRun { run: usize },
    #[error(
        "The lot has {} sheets, more than the {} a lot may have. Split it.", grouped((*.sheets).into()), grouped(MAX_SHEETS.into())
    )]
    TooManySheets { sheets: u32 },
    #[error(
        "The runs number {} sheets, but the lot has {}. Make them agree.", grouped(*.runs), grouped((*.lot).into())
    )]
    SheetCount { runs: u64, lot: u32 },
    #[error("{}", stride_message(*.run, *.stride, *.least, *.arrangement))]
    Stride {
        run: usize,
        stride: u64,
        least: u64,
        arrangement: Arrangement,
    },
    #[error(
        "Run {run} would reach number {}, but {width} digits end at {}. Give a lower first number or a wider serial format.", wide(*.last), grouped(*.largest)
    )]
    Overflow {
        run: usize,
        last: u128,
        width: u8,
        largest: u64,
    },
    #[error(
        "Run {run} counts down from {} and needs {} numbers below it: it would fall below 0. Give a first number of {} or more.", grouped(*.first), wide(*.needed), wide(*.needed)
    )]
    BelowZero {
        run: usize,
        first: u64,
        needed: u128,
    },
    #[error(
        "Runs {first_run} and {second_run} would both print {}. Change the first number or the stride of one.", serials(.from, .to)
    )]
    RunsClash {
        first_run: usize,
        second_run: usize,
        from: String,
        to: String,
    },
}

fn stride_message(run: usize, stride: u64, least: u64, arrangement: Arrangement) -> String {
    let (stride, least) = (grouped(stride), grouped(least));
    let (limit, clash) = match arrangement {
        Arrangement::DownStack => (format!("the run's {least} sheets"), "positions"),
        Arrangement::AcrossSheet => (format!("the {least} notes of a sheet"), "sheets"),
    };
    format!(
        "Stride {stride} of run {run} is smaller than {limit}: neighbouring {clash} would share serials. Give a stride of {least} or more."
    )
}

fn serials(from: &str, to: &str) -> String {
    match from == to {
        true => format!("serial {from}"),
        false => format!("serials {from} to {to}"),
    }
}

/// Numbers past `u64` come only from absurd strides; ungrouped digits do for them.
fn wide(number: u128) -> String {
    u64::try_from(number).map_or_else(|_| number.to_string(), grouped)
}

/// Which number each note of a lot carries, and exactly back. Checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Numbering {
    spec: NumberingSpec,
    notes: u16,
    sheets: u32,
    /// Sheets of the lot before each run.
    before: Vec<u32>,
    combs: Combs,
}

impl Numbering {
    /// For a lot of `sheets` sheets of this layout.
    pub fn new(spec: NumberingSpec, layout: &Layout, sheets: u32) -> Result<Self, NumberingError> {
        let notes = layout.notes();
        check_sheets(&spec.runs, sheets)?;
        for (index, run) in spec.runs.iter().enumerate() {
            check_run(index + 1, run, notes, &spec.format)?;
        }
        let combs = Combs::new(spec.runs.iter().map(|run| run.comb(notes)));
        if let Some((first, second, (from, to))) = combs.own_clash() {
            let text = |number| spec.format.text(number).expect("both runs are in range");
            let (first_run, second_run) = (first + 1, second + 1);
            let (from, to) = (text(from), text(to));
            return Err(NumberingError::RunsClash {
                first_run,
                second_run,
                from,
                to,
            });
        }
        let before = sheets_before(&spec.runs);
        Ok(Self {
            spec,
            notes,
            sheets,
            before,
            combs,
        })
    }

    pub fn spec(&self) -> &NumberingSpec {
        &self.spec
    }

    pub fn format(&self) -> &SerialFormat {
        &self.spec.format
    }

    /// Sheets of the lot.
    pub fn sheets(&self) -> u32 {
        self.sheets
    }

    /// Notes of a sheet.
    pub fn notes(&self) -> u16 {
        self.notes
    }

    /// The number of a note, `rank` from 0; `None` off the lot or off the sheet.
    pub fn number(&self, sheet: SheetNo, rank: u16) -> Option<u64> {
        if sheet.number() > self.sheets || rank >= self.notes {
            return None;
        }
        let run = self
            .before
            .partition_point(|&before| before <= sheet.index())
            - 1;
        Some(self.spec.runs[run].number(sheet.index() - self.before[run], rank))
    }

    /// The serial of a note; `None` off the lot or off the sheet.
    pub fn serial(&self, sheet: SheetNo, rank: u16) -> Option<Serial<Printed>> {
        let number = self.number(sheet, rank)?;
        Some(
            self.format()
                .serial(number)
                .expect("`new` checked the largest number"),
        )
    }

    /// The sheet and rank that carry a number: the exact inverse of [`Numbering::number`].
    pub fn locate(&self, number: u64) -> Option<(SheetNo, u16)> {
        self.combs.spanning(number).find_map(|run| {
            let (sheet, rank) = self.spec.runs[run].locate(number, self.notes)?;
            Some((SheetNo::from_index(self.before[run] + sheet), rank))
        })
    }

    /// The note that carries a typed or scanned serial. `Ok(None)`: a good serial of this format,
    /// but of another lot.
    pub fn locate_text(&self, text: &str) -> Result<Option<(SheetNo, u16)>, SerialError> {
        self.format().parse(text).map(|number| self.locate(number))
    }

    /// The used numbers as inclusive ranges, rising, merged where they touch. With a stride that
    /// leaves gaps this is one range a position (or a sheet).
    pub fn intervals(&self) -> Vec<(u64, u64)> {
        self.combs.intervals()
    }

    /// A range of serials that both numberings would print, if there is one.
    pub fn overlaps(&self, other: &Numbering) -> Option<(String, String)> {
        self.claim().clash(&other.claim())
    }

    pub(super) fn claim(&self) -> Claim<'_> {
        Claim::new(self.format(), &self.combs)
    }
}

fn check_sheets(runs: &[Run], lot: u32) -> Result<(), NumberingError> {
    if runs.is_empty() {
        return Err(NumberingError::NoRuns);
    }
    if let Some(index) = runs.iter().position(|run| run.sheets == 0) {
        return Err(NumberingError::EmptyRun { run: index + 1 });
    }
    if lot > MAX_SHEETS {
        return Err(NumberingError::TooManySheets { sheets: lot });
    }
    let runs = runs.iter().map(|run| u64::from(run.sheets)).sum();
    if runs != u64::from(lot) {
        return Err(NumberingError::SheetCount { runs, lot });
    }
    Ok(())
}

fn check_run(
    number: usize,
    run: &Run,
    notes: u16,
    format: &SerialFormat,
) -> Result<(), NumberingError> {
    let least = run.least_stride(notes);
    if run.stride < least {
        let Run {
            stride,
            arrangement,
            ..
        } = *run;
        return Err(NumberingError::Stride {
            run: number,
            stride,
            least,
            arrangement,
        });
    }
    let reach = run.reach(notes);
    let last = match run.direction {
        Direction::Up => u128::from(run.first) + reach,
        Direction::Down if reach > u128::from(run.first) => {
            let first = run.first;
            return Err(NumberingError::BelowZero {
                run: number,
                first,
                needed: reach,
            });
        }
        Direction::Down => run.first.into(),
    };
    if last >= u128::from(format.capacity()) {
        let (width, largest) = (format.spec().width, format.capacity() - 1);
        return Err(NumberingError::Overflow {
            run: number,
            last,
            width,
            largest,
        });
    }
    Ok(())
}

fn sheets_before(runs: &[Run]) -> Vec<u32> {
    let mut before = 0;
    let starts = runs.iter().map(|run| {
        before += run.sheets;
        before - run.sheets
    });
    starts.collect()
}

#[cfg(test)]
mod tests;
