//! Many tests at once, when not even one false alarm is wanted: Holm's step-down method.
//!
//! Source: S. Holm, "A simple sequentially rejective multiple test procedure", Scandinavian
//! Journal of Statistics 6 (1979) 65-70. It holds however the tests hang together.

use super::Probability;

/// The adjusted value of each p-value, in the order given: if those up to α are called findings,
/// the chance of any false alarm at all is at most α.
pub fn adjusted(p: &[Probability]) -> Vec<Probability> {
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|&a, &b| p[a].get().total_cmp(&p[b].get()));
    let mut adjusted = vec![Probability::ONE; p.len()];
    let mut most: f64 = 0.0;
    for (index, &test) in order.iter().enumerate() {
        let left = (p.len() - index) as f64;
        most = most.max(p[test].get() * left).min(1.0);
        adjusted[test] = Probability::rounded(most);
    }
    adjusted
}
