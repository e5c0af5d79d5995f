use serde::{Deserialize, Serialize};

use super::claim::Claim;
use super::run::Comb;
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
        "Runs {first_run} and {second_run} would both print serials {from} to {to}. Change the first number or the stride of one."
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

/// Numbers past `u64` come only from absurd strides; ungrouped digits do for them.
fn wide(number: u128) -> String {
    u64::try_from(number).map_or_else(|_| number.to_string(), grouped)
}

/// A run and where it stands in its lot.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Placed {
    run: Run,
    /// Sheets of the lot before this run.
    before: u32,
    comb: Comb,
    /// The highest number of this and all runs that start at lower numbers.
    high_so_far: u64,
}

/// Which number each note of a lot carries, and exactly back. Checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Numbering {
    spec: NumberingSpec,
    notes: u16,
    sheets: u32,
    /// In order of `before`.
    by_sheet: Vec<Placed>,
    /// The same in order of the lowest number.
    by_number: Vec<Placed>,
}

impl Numbering {
    /// For a lot of `sheets` sheets of this layout.
    pub fn new(spec: NumberingSpec, layout: &Layout, sheets: u32) -> Result<Self, NumberingError> {
        let notes = layout.notes();
        check_sheets(&spec.runs, sheets)?;
        for (index, run) in spec.runs.iter().enumerate() {
            check_run(index + 1, run, notes, &spec.format)?;
        }
        let by_sheet = place(&spec.runs, notes);
        let by_number = sort_by_number(&by_sheet);
        check_clashes(&by_sheet, &spec.format)?;
        Ok(Self {
            spec,
            notes,
            sheets,
            by_sheet,
            by_number,
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
        let after = self.by_sheet.partition_point(|p| p.before <= sheet.index());
        let placed = &self.by_sheet[after - 1];
        Some(placed.run.number(sheet.index() - placed.before, rank))
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
        let after = self.by_number.partition_point(|p| p.comb.low <= number);
        self.by_number[..after]
            .iter()
            .rev()
            .take_while(|p| number <= p.high_so_far)
            .find_map(|p| Some((p.before, p.run.locate(number, self.notes)?)))
            .map(|(before, (sheet, rank))| (SheetNo::from_index(before + sheet), rank))
    }

    /// The note that carries a typed or scanned serial. `Ok(None)`: a good serial of this format,
    /// but of another lot.
    pub fn locate_text(&self, text: &str) -> Result<Option<(SheetNo, u16)>, SerialError> {
        self.format().parse(text).map(|number| self.locate(number))
    }

    /// The used numbers as inclusive ranges, rising, merged where they touch. With a stride that
    /// leaves gaps this is one range a position (or a sheet).
    pub fn intervals(&self) -> Vec<(u64, u64)> {
        let mut all: Vec<_> = self
            .by_number
            .iter()
            .flat_map(|p| p.comb.intervals())
            .collect();
        all.sort_unstable();
        let mut merged: Vec<(u64, u64)> = Vec::with_capacity(all.len());
        for (from, to) in all {
            match merged.last_mut() {
                Some(last) if last.1 + 1 == from => last.1 = to,
                _ => merged.push((from, to)),
            }
        }
        merged
    }

    /// A range of serials that both numberings would print, if there is one.
    pub fn overlaps(&self, other: &Numbering) -> Option<(String, String)> {
        self.claim().clash(&other.claim())
    }

    pub(super) fn claim(&self) -> Claim<'_> {
        Claim {
            format: self.format(),
            combs: self.by_sheet.iter().map(|p| p.comb).collect(),
        }
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

fn place(runs: &[Run], notes: u16) -> Vec<Placed> {
    let mut before = 0;
    let placed = runs.iter().map(|&run| {
        let comb = run.comb(notes);
        let placed = Placed {
            run,
            before,
            comb,
            high_so_far: comb.high(),
        };
        before += run.sheets;
        placed
    });
    placed.collect()
}

fn sort_by_number(by_sheet: &[Placed]) -> Vec<Placed> {
    let mut by_number = by_sheet.to_vec();
    by_number.sort_by_key(|p| p.comb.low);
    let mut high = 0;
    for placed in &mut by_number {
        high = high.max(placed.comb.high());
        placed.high_so_far = high;
    }
    by_number
}

fn check_clashes(by_sheet: &[Placed], format: &SerialFormat) -> Result<(), NumberingError> {
    for (index, later) in by_sheet.iter().enumerate() {
        let clash = |earlier: &Placed| earlier.comb.clash(&later.comb);
        let found = by_sheet[..index]
            .iter()
            .enumerate()
            .find_map(|(i, e)| Some((i, clash(e)?)));
        if let Some((earlier, (from, to))) = found {
            let text = |number| format.text(number).expect("both runs are in range");
            let (first_run, second_run) = (earlier + 1, index + 1);
            let (from, to) = (text(from), text(to));
            return Err(NumberingError::RunsClash {
                first_run,
                second_run,
                from,
                to,
            });
        }
    }
    Ok(())
}
