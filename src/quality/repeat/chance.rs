use crate::quality::Probability;

/// The exact chance that `trials` independent trials, each a success with chance `success`,
/// contain at least one run of `length` successes in a row. 1 for a length of 0.
///
/// With B(n) that chance, p the chance of success and k the length: B(n) = 0 for n < k,
/// B(k) = pᵏ, and B(n) = B(n−1) + pᵏ·(1−p)·(1−B(n−k−1)), since a first run that ends at trial
/// n follows a failure that follows n−k−1 trials without one. (Textbook recursion, from
/// memory; e.g. Feller, An Introduction to Probability Theory, vol. 1, XIII.7.) Every term is
/// added and none is negative, so small chances keep their digits. Time O(trials) at most, space
/// O(length).
pub fn run_chance(trials: u64, length: u64, success: Probability) -> Probability {
    let p = success.get();
    if length == 0 {
        return Probability::ONE;
    }
    if length > trials {
        return Probability::ZERO;
    }
    if length == 1 {
        return Probability::rounded(-(trials as f64 * (-p).ln_1p()).exp_m1());
    }
    let run = (length as f64 * p.ln()).exp();
    if run == 0.0 || p == 1.0 {
        return Probability::rounded(run);
    }
    let step = run * (1.0 - p);
    let rare = run + (trials - length) as f64 * step;
    Probability::rounded(match rare < RARE {
        true => second_order(trials, length, run, step),
        false => recur(trials, length, run, step),
    })
}

/// Below this chance the first two terms of the recursion are all that a double can hold.
const RARE: f64 = 1e-8;

/// B(trials) of a rare run, in no time. B(n) is at most L(n) = pᵏ + (n−k)·s, with s = pᵏ·(1−p),
/// and falls short of it by s·Σ B(m) over m = k … n−k−1. With L for B in that sum, which is too
/// much by no more than its share L(n), what is left out is below L(n)² of the whole.
fn second_order(trials: u64, length: u64, first: f64, step: f64) -> f64 {
    let terms = trials.saturating_sub(2 * length) as f64;
    let sum = terms * first + step * terms * (terms - 1.0).max(0.0) / 2.0;
    first + step * ((trials - length) as f64 - sum)
}

/// At most [`run_chance`], in no time: the chance that one of the ⌊trials/length⌋ blocks of
/// `length` trials, side by side, is all successes. Those blocks are independent, and each that
/// is all successes is such a run.
pub(super) fn run_chance_at_least(trials: u64, length: u64, success: Probability) -> f64 {
    // Less a little, so that rounding never lifts it above the exact chance.
    const SLACK: f64 = 1.0 - 1e-9;
    let block = success.get().powf(length as f64);
    let blocks = (trials / length.max(1)) as f64;
    -(blocks * (-block).ln_1p()).exp_m1() * SLACK
}

/// B(trials), where `first` is pᵏ and `step` is pᵏ·(1−p).
fn recur(trials: u64, length: u64, first: f64, step: f64) -> f64 {
    let period = length as usize + 1;
    // `past` holds B(n−k−1) … B(n−1) at their number modulo k+1, so B(n) replaces B(n−k−1).
    let mut past = vec![0.0; period];
    let mut latest = first;
    let mut slot = length as usize;
    past[slot] = first;
    for _ in length..trials {
        slot = if slot + 1 == period { 0 } else { slot + 1 };
        latest += step * (1.0 - past[slot]);
        past[slot] = latest;
    }
    latest
}

/// The shortest run that is a surprise: the least length whose chance in `trials` trials is at
/// most `limit`. `trials + 1`, which no run can reach, when none is.
pub fn alarm_length(trials: u64, success: Probability, limit: Probability) -> u64 {
    let (mut too_short, mut enough) = (0, trials + 1);
    while enough - too_short > 1 {
        let middle = too_short + (enough - too_short) / 2;
        if run_chance(trials, middle, success) <= limit {
            enough = middle;
        } else {
            too_short = middle;
        }
    }
    enough
}
