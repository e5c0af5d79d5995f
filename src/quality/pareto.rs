//! Pareto order: the few causes that make most of the spoils.

use std::collections::BTreeMap;

/// One bar of a Pareto chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar<K> {
    pub key: K,
    pub count: u64,
    /// This bar's part of the whole, 0..=1.
    pub share: f64,
    /// The part of this bar and all before it, 0..=1; exactly 1 for the last bar.
    pub cumulative: f64,
}

/// Bars for the counts given, largest first, equal counts in key order. A key given twice is
/// added up; a key that was never counted gets no bar.
pub fn pareto<K: Ord>(counts: impl IntoIterator<Item = (K, u64)>) -> Vec<Bar<K>> {
    let mut totals = BTreeMap::new();
    for (key, count) in counts {
        *totals.entry(key).or_insert(0) += count;
    }
    let mut ordered: Vec<(K, u64)> = totals.into_iter().filter(|(_, n)| *n > 0).collect();
    ordered.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let whole: u64 = ordered.iter().map(|(_, count)| count).sum();
    ordered
        .into_iter()
        .scan(0, |so_far, (key, count)| {
            *so_far += count;
            Some(Bar {
                key,
                count,
                share: count as f64 / whole as f64,
                cumulative: *so_far as f64 / whole as f64,
            })
        })
        .collect()
}
