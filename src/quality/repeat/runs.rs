use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// Sheets in a row with the same mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run<S> {
    pub from: S,
    pub to: S,
    pub length: u64,
}

impl<S: Copy> Run<S> {
    fn of(sheet: S) -> Self {
        Self {
            from: sheet,
            to: sheet,
            length: 1,
        }
    }
}

/// A run that ends at the latest sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Current<S, P, C> {
    pub position: P,
    pub class: C,
    pub run: Run<S>,
}

#[derive(Clone, Debug)]
struct Track<S> {
    /// Number of the latest sheet with this mark, examined sheets counted from 1.
    last: u64,
    /// Sheets with this mark.
    marked: u64,
    run: Run<S>,
    longest: Run<S>,
}

/// Follows every position and class over the sheets in the order they are examined. Two sheets
/// are in a row when no other was examined between them, whatever their ordinals.
///
/// Keys are the caller's: sheets `S`, positions `P` (with the side, where sides differ) and
/// classes `C`.
#[derive(Clone, Debug)]
pub struct Runs<S, P, C> {
    examined: u64,
    tracks: BTreeMap<(P, C), Track<S>>,
    latest: Vec<(P, C)>,
}

impl<S, P, C> Default for Runs<S, P, C> {
    fn default() -> Self {
        Self {
            examined: 0,
            tracks: BTreeMap::new(),
            latest: Vec::new(),
        }
    }
}

impl<S: Copy, P: Ord + Clone, C: Ord + Clone> Runs<S, P, C> {
    /// Takes the next examined sheet with all its marks; none for a good sheet. The same mark
    /// given twice counts once. Costs one look-up a mark.
    pub fn push(&mut self, sheet: S, marks: impl IntoIterator<Item = (P, C)>) {
        self.examined += 1;
        self.latest.clear();
        for mark in marks {
            if self.extend(sheet, mark.clone()) {
                self.latest.push(mark);
            }
        }
    }

    /// Adds the latest sheet to one track; false when the sheet was there already.
    fn extend(&mut self, sheet: S, mark: (P, C)) -> bool {
        let now = self.examined;
        match self.tracks.entry(mark) {
            Entry::Vacant(free) => {
                let run = Run::of(sheet);
                free.insert(Track {
                    last: now,
                    marked: 1,
                    run,
                    longest: run,
                });
                true
            }
            Entry::Occupied(mut taken) => taken.get_mut().mark(sheet, now),
        }
    }

    /// Sheets examined so far.
    pub fn examined(&self) -> u64 {
        self.examined
    }

    /// The runs that end at the latest sheet, one for each of its marks, in the order given.
    pub fn current(&self) -> impl Iterator<Item = Current<S, P, C>> + '_ {
        self.latest.iter().map(|mark| Current {
            position: mark.0.clone(),
            class: mark.1.clone(),
            run: self.tracks[mark].run,
        })
    }

    /// Sheets with this mark.
    pub(super) fn marked(&self, position: &P, class: &C) -> u64 {
        let track = self.tracks.get(&(position.clone(), class.clone()));
        track.map_or(0, |track| track.marked)
    }

    /// How long the run would be if the next sheet had this mark too.
    pub fn length_if_marked(&self, position: &P, class: &C) -> u64 {
        let track = self.tracks.get(&(position.clone(), class.clone()));
        let running = track.filter(|track| track.last == self.examined);
        1 + running.map_or(0, |track| track.run.length)
    }

    /// Position, class, sheets marked and longest run (the earliest of equals), in key order.
    pub(super) fn longest(&self) -> impl Iterator<Item = (&P, &C, u64, Run<S>)> {
        self.tracks
            .iter()
            .map(|((position, class), track)| (position, class, track.marked, track.longest))
    }
}

impl<S: Copy> Track<S> {
    fn mark(&mut self, sheet: S, now: u64) -> bool {
        if self.last == now {
            return false;
        }
        self.run = if self.last + 1 == now {
            Run {
                to: sheet,
                length: self.run.length + 1,
                ..self.run
            }
        } else {
            Run::of(sheet)
        };
        if self.run.length > self.longest.length {
            self.longest = self.run;
        }
        self.last = now;
        self.marked += 1;
        true
    }
}
