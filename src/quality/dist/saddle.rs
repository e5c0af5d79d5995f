//! Probabilities of single counts, to nearly full precision for any size of sample.
//!
//! Source: C. Loader, "Fast and Accurate Computation of Binomial Probabilities" (2000), written
//! from memory: n! is replaced by Stirling's formula and its small error, and the large terms
//! that would cancel are gathered in one deviance that is computed without cancelling.

use std::f64::consts::PI;

/// ln n! − ln(Stirling's √(2πn)·(n/e)ⁿ); n ≥ 1.
fn stirling_error(n: f64) -> f64 {
    if n < 16.0 {
        let factorial: f64 = (1..=n as u32).map(f64::from).product();
        return factorial.ln() - (n * n.ln() - n + 0.5 * (2.0 * PI * n).ln());
    }
    let square = n * n;
    (1.0 / 12.0 - (1.0 / 360.0 - (1.0 / 1260.0 - (1.0 / 1680.0) / square) / square) / square) / n
}

/// x·ln(x/m) + m − x, by a series where the three terms nearly cancel; x, m > 0.
fn deviance(x: f64, mean: f64) -> f64 {
    let difference = x - mean;
    if difference.abs() >= 0.1 * (x + mean) {
        return x * (x / mean).ln() + mean - x;
    }
    let ratio = difference / (x + mean);
    let mut sum = difference * ratio;
    let mut term = 2.0 * x * ratio;
    for odd in (3..).step_by(2) {
        term *= ratio * ratio;
        let next = sum + term / f64::from(odd);
        if next == sum {
            break;
        }
        sum = next;
    }
    sum
}

/// P(X = k), X Poisson with the given mean.
pub(super) fn poisson(k: u64, mean: f64) -> f64 {
    if mean == 0.0 {
        return f64::from(k == 0);
    }
    if k == 0 {
        return (-mean).exp();
    }
    let x = k as f64;
    (-stirling_error(x) - deviance(x, mean)).exp() / (2.0 * PI * x).sqrt()
}

/// P(X = k) in n trials; `q` is 1 − p, given apart so that neither is rounded away.
pub(super) fn binomial(k: u64, n: u64, p: f64, q: f64) -> f64 {
    if k > n || (p == 0.0 && k > 0) || (q == 0.0 && k < n) {
        return 0.0;
    }
    if n == 0 {
        return 1.0;
    }
    let (x, y, n) = (k as f64, (n - k) as f64, n as f64);
    if k == 0 {
        return (n * ln_of(q, p)).exp();
    }
    if y == 0.0 {
        return (n * ln_of(p, q)).exp();
    }
    let errors = stirling_error(n) - stirling_error(x) - stirling_error(y);
    let exponent = errors - deviance(x, n * p) - deviance(y, n * q);
    exponent.exp() * (n / (2.0 * PI * x * y)).sqrt()
}

/// ln(a), where b = 1 − a; uses whichever of the two is small.
fn ln_of(a: f64, b: f64) -> f64 {
    if b < 0.5 { (-b).ln_1p() } else { a.ln() }
}
