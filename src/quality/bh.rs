//! Many tests at once: Benjamini and Hochberg's control of the false discovery rate.
//!
//! Source: Y. Benjamini and Y. Hochberg, "Controlling the false discovery rate", Journal of the
//! Royal Statistical Society B 57 (1995) 289-300.

use super::Probability;

/// The adjusted value of each p-value, in the order given: among all tests with a q-value up to
/// α, the expected share of false alarms is at most α.
pub fn q_values(p: &[Probability]) -> Vec<Probability> {
    q_values_among(p, p.len())
}

/// As [`q_values`], when `p` lists only the interesting tests of a family of `family` tests and
/// every test left out has a p-value of 1. A `family` below `p.len()` counts as `p.len()`.
pub fn q_values_among(p: &[Probability], family: usize) -> Vec<Probability> {
    let family = family.max(p.len()) as f64;
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|&a, &b| p[a].get().total_cmp(&p[b].get()));
    let mut q = vec![Probability::ONE; p.len()];
    let mut least: f64 = 1.0;
    for (index, &test) in order.iter().enumerate().rev() {
        let rank = (index + 1) as f64;
        least = least.min(p[test].get() * family / rank);
        q[test] = Probability::rounded(least);
    }
    q
}

/// Which tests are rejected (called a finding) when at most a share `alpha` of the findings may
/// be false alarms; in the order given.
pub fn rejected(p: &[Probability], alpha: Probability) -> Vec<bool> {
    q_values(p).into_iter().map(|q| q <= alpha).collect()
}
