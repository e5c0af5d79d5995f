//! Sets of serial numbers: what numbering runs use, kept as arithmetic and not as lists.

/// Equally spaced blocks of consecutive numbers, like the teeth of a comb.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct Comb {
    pub low: u64,
    length: u64,
    period: u64,
    blocks: u64,
}

impl Comb {
    /// Blocks that touch become one.
    pub fn new(low: u64, length: u64, period: u64, blocks: u64) -> Self {
        if length == period || blocks == 1 {
            let length = length * blocks;
            return Self {
                low,
                length,
                period: length,
                blocks: 1,
            };
        }
        Self {
            low,
            length,
            period,
            blocks,
        }
    }

    pub fn high(&self) -> u64 {
        self.low + (self.blocks - 1) * self.period + self.length - 1
    }

    pub fn intervals(&self) -> impl Iterator<Item = (u64, u64)> + use<> {
        let comb = *self;
        (0..comb.blocks).map(move |i| comb.block(i))
    }

    fn shifted(self, by: u64) -> Self {
        Self {
            low: self.low + by,
            ..self
        }
    }

    /// Some numbers in both, if there are any: one unbroken range.
    ///
    /// Walks the blocks of the comb that has fewer, only where the two meet.
    fn clash(&self, other: &Comb) -> Option<(u64, u64)> {
        let (few, many) = if self.blocks <= other.blocks {
            (self, other)
        } else {
            (other, self)
        };
        let (from, to) = (few.low.max(many.low), few.high().min(many.high()));
        if from > to {
            return None;
        }
        let first = (from - few.low) / few.period;
        let last = (to - few.low) / few.period;
        (first..=last)
            .map(|i| few.block(i))
            .find_map(|block| many.meets(block))
    }

    fn block(&self, i: u64) -> (u64, u64) {
        let from = self.low + i * self.period;
        (from, from + self.length - 1)
    }

    /// What a range shares with the first block that it touches.
    fn meets(&self, (from, to): (u64, u64)) -> Option<(u64, u64)> {
        let from = from.max(self.low);
        let nearest = (from - self.low) / self.period;
        (nearest..self.blocks.min(nearest + 2))
            .map(|i| self.block(i))
            .map(|(low, high)| (low.max(from), high.min(to)))
            .find(|(low, high)| low <= high)
    }
}

/// Combs in order of their lowest number, to look numbers up in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Combs(Vec<Entry>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Entry {
    comb: Comb,
    /// The place of the comb in the list it came from.
    index: usize,
    /// The highest number of this comb and all before it.
    high_so_far: u64,
}

impl Combs {
    pub fn new(combs: impl Iterator<Item = Comb>) -> Self {
        let mut entries: Vec<Entry> = combs
            .enumerate()
            .map(|(index, comb)| Entry {
                comb,
                index,
                high_so_far: comb.high(),
            })
            .collect();
        entries.sort_by_key(|e| e.comb.low);
        let mut high = 0;
        for entry in &mut entries {
            high = high.max(entry.high_so_far);
            entry.high_so_far = high;
        }
        Self(entries)
    }

    /// The same combs with every number raised.
    pub fn shifted(&self, by: u64) -> Self {
        let shift = |e: &Entry| Entry {
            comb: e.comb.shifted(by),
            index: e.index,
            high_so_far: e.high_so_far + by,
        };
        Self(self.0.iter().map(shift).collect())
    }

    /// The used numbers as inclusive ranges, rising, merged where they touch.
    pub fn intervals(&self) -> Vec<(u64, u64)> {
        let mut all: Vec<_> = self.0.iter().flat_map(|e| e.comb.intervals()).collect();
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

    /// Places of the combs whose span holds a number.
    pub fn spanning(&self, number: u64) -> impl Iterator<Item = usize> {
        touching(&self.0, number, number).map(|e| e.index)
    }

    /// Some numbers that two of these combs share, with the places of the two.
    pub fn own_clash(&self) -> Option<(usize, usize, (u64, u64))> {
        self.0.iter().enumerate().find_map(|(i, later)| {
            let (earlier, shared) = first_clash(&self.0[..i], &later.comb)?;
            Some((earlier.min(later.index), earlier.max(later.index), shared))
        })
    }

    /// Some numbers that a comb of each shares.
    pub fn clash(&self, other: &Combs) -> Option<(u64, u64)> {
        self.0
            .iter()
            .find_map(|e| first_clash(&other.0, &e.comb))
            .map(|(_, shared)| shared)
    }
}

fn first_clash(entries: &[Entry], comb: &Comb) -> Option<(usize, (u64, u64))> {
    touching(entries, comb.low, comb.high()).find_map(|e| Some((e.index, e.comb.clash(comb)?)))
}

/// The entries whose span may meet a range, found without looking at the rest.
fn touching(entries: &[Entry], low: u64, high: u64) -> impl Iterator<Item = &Entry> {
    let end = entries.partition_point(|e| e.comb.low <= high);
    entries[..end]
        .iter()
        .rev()
        .take_while(move |e| e.high_so_far >= low)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(comb: &Comb) -> Vec<u64> {
        comb.intervals().flat_map(|(from, to)| from..=to).collect()
    }

    fn combs() -> Vec<Comb> {
        let shapes = [(1, 3, 4), (2, 5, 3), (2, 2, 4), (3, 7, 2), (1, 9, 1)];
        (0..6)
            .flat_map(|low| shapes.map(|shape| (low * 2, shape)))
            .map(|(low, (length, period, blocks))| Comb::new(low, length, period, blocks))
            .collect()
    }

    fn shared(a: &Comb, b: &Comb) -> Vec<u64> {
        numbers(a)
            .into_iter()
            .filter(|n| numbers(b).contains(n))
            .collect()
    }

    #[test]
    fn clash_agrees_with_counting() {
        for a in &combs() {
            for b in &combs() {
                let shared = shared(a, b);
                match a.clash(b) {
                    None => assert!(shared.is_empty(), "{a:?} {b:?} share {shared:?}"),
                    Some((from, to)) => {
                        assert!((from..=to).all(|n| shared.contains(&n)), "{a:?} {b:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn sets_find_what_counting_finds() {
        for triple in combs().windows(3) {
            let set = Combs::new(triple.iter().copied());
            for number in 0..50 {
                let mut found: Vec<usize> = set
                    .spanning(number)
                    .filter(|&i| numbers(&triple[i]).contains(&number))
                    .collect();
                found.sort();
                let counted: Vec<usize> = (0..3)
                    .filter(|&i| numbers(&triple[i]).contains(&number))
                    .collect();
                assert_eq!(found, counted, "{number} in {triple:?}");
            }
            let pairs = [(0, 1), (0, 2), (1, 2)];
            let clashing = |&(a, b): &(usize, usize)| !shared(&triple[a], &triple[b]).is_empty();
            match set.own_clash() {
                None => assert!(!pairs.iter().any(clashing), "{triple:?}"),
                Some((a, b, (from, to))) => {
                    let shared = shared(&triple[a], &triple[b]);
                    assert!(
                        a < b && (from..=to).all(|n| shared.contains(&n)),
                        "{triple:?}"
                    );
                }
            }
        }
    }
}
