//! The chance of a run, and repeaters found in whole lots.

use crate::quality_fixture::assert_close;
use cullbook::quality::Probability;
use cullbook::quality::repeat::{Family, Runs, alarm_length, run_chance};

fn chance(value: f64) -> Probability {
    Probability::new("chance", value).unwrap()
}

/// Sequences of n tosses without k heads in a row: the k-step Fibonacci numbers (OEIS A000045,
/// A000073, A000078, A001591; from memory): for n = 10, 144 of 1024 with k = 2, 504 with k = 3, 773
/// with k = 4, 912 with k = 5.
#[test]
fn fair_coin_runs_are_k_step_fibonacci_numbers() {
    for (length, without) in [(2, 144.0), (3, 504.0), (4, 773.0), (5, 912.0)] {
        let got = run_chance(10, length, chance(0.5)).get();
        assert_close(got, 1.0 - without / 1024.0, 1e-15, 0.0, "coin");
    }
}

/// Every one of the 2ⁿ outcomes, added up.
fn by_enumeration(trials: u32, length: u32, success: f64) -> f64 {
    (0_u32..1 << trials)
        .filter(|outcome| longest_ones(*outcome, trials) >= length)
        .map(|outcome| {
            let ones = outcome.count_ones() as i32;
            success.powi(ones) * (1.0 - success).powi(trials as i32 - ones)
        })
        .sum()
}

fn longest_ones(outcome: u32, trials: u32) -> u32 {
    let mut longest = 0;
    let mut run = 0;
    for bit in 0..trials {
        run = if outcome >> bit & 1 == 1 { run + 1 } else { 0 };
        longest = longest.max(run);
    }
    longest
}

#[test]
fn run_chance_equals_enumeration() {
    for trials in 1..=12 {
        for length in 1..=trials {
            for success in [0.003, 0.1, 0.5, 0.9, 1.0] {
                let want = by_enumeration(trials, length, success);
                let got = run_chance(trials.into(), length.into(), chance(success)).get();
                // The enumeration adds up to 4096 rounded terms.
                assert_close(
                    got,
                    want,
                    1e-12,
                    0.0,
                    &format!("{trials} {length} {success}"),
                );
            }
        }
    }
}

/// State j: the run that ends here has j successes; state `length` is never left.
fn by_markov_chain(trials: u64, length: usize, success: f64) -> f64 {
    let mut state = vec![0.0; length + 1];
    state[0] = 1.0;
    for _ in 0..trials {
        let open: f64 = state[..length].iter().sum();
        let absorbed = state[length] + state[length - 1] * success;
        for j in (1..length).rev() {
            state[j] = state[j - 1] * success;
        }
        state[0] = open * (1.0 - success);
        state[length] = absorbed;
    }
    state[length]
}

#[test]
fn run_chance_equals_the_markov_chain() {
    for (trials, length, success) in [
        (100, 3, 0.02),
        (1_000, 5, 0.01),
        (10_000, 4, 1e-3),
        (100_000, 3, 1e-5),
        (100_000, 3, 4e-5),
        (9, 5, 1e-3),
        (11, 5, 1e-3),
        (100_000, 12, 1e-4),
        (100_000, 2, 0.2),
        (20_000, 40, 0.8),
    ] {
        let want = by_markov_chain(trials, length as usize, success);
        let got = run_chance(trials, length, chance(success)).get();
        // Both add 100,000 rounded terms of one sign: at worst 1e5 × 1e-16.
        assert_close(
            got,
            want,
            1e-11,
            0.0,
            &format!("{trials} {length} {success}"),
        );
    }
}

#[test]
fn run_chance_at_its_ends() {
    assert_eq!(run_chance(0, 0, chance(0.1)).get(), 1.0);
    assert_eq!(run_chance(4, 5, chance(0.9)).get(), 0.0);
    assert_eq!(run_chance(9, 3, Probability::ZERO).get(), 0.0);
    assert_eq!(run_chance(9, 9, Probability::ONE).get(), 1.0);
    // One success at least in 100,000 trials of chance 1e-12: 1e-7 to first order.
    assert_close(
        run_chance(100_000, 1, chance(1e-12)).get(),
        1e-7,
        1e-6,
        0.0,
        "tiny",
    );
}

#[test]
fn the_alarm_sounds_at_the_first_surprising_length() {
    let limit = chance(1e-6);
    let length = alarm_length(10_000, chance(0.01), limit);
    assert!(run_chance(10_000, length, chance(0.01)) <= limit);
    assert!(run_chance(10_000, length - 1, chance(0.01)) > limit);
    assert_eq!(alarm_length(50, Probability::ONE, limit), 51);
}

/// Positions and classes are plain letters here; sheets are ordinals with gaps, since some
/// sheets of the lot went elsewhere.
#[test]
fn live_runs_follow_the_examined_sheets() {
    let mut runs = Runs::default();
    runs.push(3, [("B4", "SM")]);
    runs.push(7, [("B4", "SM"), ("A1", "PD"), ("B4", "SM")]);
    assert_eq!(runs.length_if_marked(&"B4", &"SM"), 3);
    runs.push(8, [("B4", "SM")]);
    let live: Vec<_> = runs.current().collect();
    assert_eq!(live.len(), 1);
    assert_eq!(
        (live[0].run.from, live[0].run.to, live[0].run.length),
        (3, 8, 3)
    );
    runs.push(9, []);
    assert_eq!(runs.current().count(), 0);
    assert_eq!(runs.length_if_marked(&"B4", &"SM"), 1);
    assert_eq!(runs.examined(), 4);
}

const LOT: u64 = 2_000;
const FAMILY: Family = Family {
    positions: 40,
    classes: 30,
};

/// Sparse scattered marks of one class (sheet k marks position 7k mod 40 when 37 divides k),
/// and a plate fault at position 12 on sheets 1,000 to 1,008.
#[test]
fn a_planted_repeater_is_found_and_nothing_else() {
    let mut runs = Runs::default();
    for sheet in 0..LOT {
        let scattered = (sheet % 37 == 0).then_some((sheet * 7 % 40, 0));
        let plate = (1_000..=1_008).contains(&sheet).then_some((12, 1));
        runs.push(sheet, scattered.into_iter().chain(plate));
    }
    let found = runs.findings(FAMILY, Probability::ONE_IN_TWENTY);
    assert_eq!(found.len(), 1);
    let one = &found[0];
    assert_eq!(
        (one.position, one.class, one.from, one.to, one.length),
        (12, 1, 1_000, 1_008, 9)
    );
    assert!(one.p.get() < 1e-20 && one.p < one.q);
}

/// A fault on every sheet of the lot has no surprising run by its own rate, but is the plainest
/// repeater there is.
#[test]
fn a_fault_on_every_sheet_is_found() {
    let mut runs = Runs::default();
    (0..LOT).for_each(|sheet| runs.push(sheet, [(5, 0)]));
    let found = runs.findings(FAMILY, Probability::ONE_IN_TWENTY);
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].from, found[0].to, found[0].length),
        (0, LOT - 1, LOT)
    );
}

/// Knuth's MMIX generator: a fixed stream, so that the tests below always see the same lots.
struct Stream(u64);

impl Stream {
    /// True once in `odds` times.
    fn one_in(&mut self, odds: u64) -> bool {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33).is_multiple_of(odds)
    }
}

/// A lot of `sheets` sheets with 40 notes, each marked once in `odds` times whatever the others.
fn lot_of_chance(stream: &mut Stream, sheets: u64, odds: u64) -> Runs<u64, u64, u64> {
    let mut runs = Runs::default();
    for sheet in 0..sheets {
        let marks: Vec<_> = (0..40)
            .filter(|_| stream.one_in(odds))
            .map(|position| (position, 0))
            .collect();
        runs.push(sheet, marks);
    }
    runs
}

/// Where all is chance, no more than α of the lots may show a finding: 5 percent of 200, and
/// three standard deviations (3.1 each) for the draw. Rates from rare to a third of all notes.
#[test]
fn false_alarms_are_held() {
    let family = Family {
        positions: 40,
        classes: 1,
    };
    let mut stream = Stream(1);
    for odds in [500, 50, 3] {
        let alarmed = (0..200).filter(|_| {
            let lot = lot_of_chance(&mut stream, 100, odds);
            !lot.findings(family, Probability::ONE_IN_TWENTY).is_empty()
        });
        assert!(alarmed.count() <= 19, "once in {odds}");
    }
}
