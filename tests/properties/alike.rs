//! Groups that are alike are called so: the share of comparisons that flag anything stays within
//! the level that is stated, whether faults fall sheet by sheet or in runs. And groups that
//! differ are found.

use cullbook::quality::rates::{ClassRates, Stack, compare};
use cullbook::quality::spread::{FEWEST, means, spreads};
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng};

const LEVEL: f64 = 0.05;
const TRIALS: u32 = 300;

/// Five standard deviations above the level: a test that keeps it fails once in millions.
fn most_alarms() -> u32 {
    let n = f64::from(TRIALS);
    (n * LEVEL + 5.0 * (n * LEVEL * (1.0 - LEVEL)).sqrt()) as u32
}

struct Chance(TestRng);

impl Chance {
    fn new(seed: u8) -> Self {
        Self(TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]))
    }

    /// 0 to 1.
    fn share(&mut self) -> f64 {
        f64::from(self.0.next_u32()) / f64::from(u32::MAX)
    }

    fn normal(&mut self) -> f64 {
        // Twelve even numbers add up to a spread of one (central limit).
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }

    fn below(&mut self, limit: u32) -> u32 {
        self.0.next_u32() % limit
    }
}

/// How faults fall on the sheets of a stack.
#[derive(Clone, Copy)]
enum Falls {
    Alone,
    /// So many sheets in a row, as a plate or blanket makes them.
    InRuns(u32),
}

fn one_stack(chance: &mut Chance, rate: f64, falls: Falls) -> Stack {
    let of = 60 + chance.below(41);
    let length = match falls {
        Falls::Alone => 1,
        Falls::InRuns(length) => length,
    };
    let begins = rate / f64::from(length);
    let (mut found, mut left) = (0, 0);
    for _ in 0..of {
        if left == 0 && chance.share() < begins {
            left = length;
        }
        found += u64::from(left > 0);
        left = left.saturating_sub(1);
    }
    Stack {
        found,
        of: of.into(),
    }
}

/// Six classes of different rates over groups of `sizes` stacks; the first group has `times` the
/// rate of the others.
fn sheets(chance: &mut Chance, sizes: &[u32], falls: Falls, times: f64) -> Vec<ClassRates<usize>> {
    let rates = [0.0005, 0.002, 0.005, 0.01, 0.03, 0.1];
    let classes = rates.iter().enumerate().map(|(class, rate)| {
        let groups = sizes.iter().enumerate().map(|(place, stacks)| {
            let rate = if place == 0 { rate * times } else { *rate };
            (0..*stacks)
                .map(|_| one_stack(chance, rate, falls))
                .collect()
        });
        (class, groups.collect())
    });
    compare(classes.collect()).expect("every group has sheets")
}

fn flagged(compared: &[ClassRates<usize>]) -> bool {
    let groups = compared.iter().flat_map(|class| &class.groups);
    groups.into_iter().any(|group| group.q.get() <= LEVEL)
}

#[test]
fn alike_groups_are_seldom_called_different_whether_faults_come_alone_or_in_runs() {
    let settings: [(&[u32], Falls); 7] = [
        (&[3, 3], Falls::Alone),
        (&[10, 2, 6], Falls::Alone),
        (&[1, 1, 1, 12], Falls::Alone),
        (&[4, 4], Falls::InRuns(15)),
        (&[10, 2, 6], Falls::InRuns(15)),
        (&[1, 1, 1, 12], Falls::InRuns(30)),
        (&[8, 8, 8, 8, 8], Falls::InRuns(8)),
    ];
    for (number, (sizes, falls)) in settings.into_iter().enumerate() {
        let mut chance = Chance::new(number as u8);
        let trials = (0..TRIALS).filter(|_| flagged(&sheets(&mut chance, sizes, falls, 1.0)));
        let alarms = trials.count() as u32;
        println!("setting {number}: {alarms} of {TRIALS}");
        assert!(
            alarms <= most_alarms(),
            "setting {number}: {alarms} of {TRIALS}"
        );
    }
}

#[test]
fn a_group_of_three_times_the_rate_is_found() {
    // Runs leave far less to go by: as many stacks tell less.
    let settings = [(Falls::Alone, 10, 90), (Falls::InRuns(8), 30, 85)];
    for (falls, stacks, least) in settings {
        let mut chance = Chance::new(77);
        let found = (0..100).filter(|_| {
            let compared = sheets(&mut chance, &[stacks; 3], falls, 3.0);
            let group = |class: &ClassRates<usize>| class.groups[0];
            let mut firsts = compared.iter().map(group);
            firsts.any(|first| first.q.get() <= LEVEL)
        });
        let found = found.count();
        println!("found {found} of 100");
        assert!(found >= least, "{found} of 100");
    }
}

/// Readings of groups: sizes and spreads may differ; rounded as an instrument rounds.
fn readings(chance: &mut Chance, sizes: &[usize], spread: impl Fn(usize) -> f64) -> Vec<Vec<f64>> {
    let groups = sizes.iter().enumerate();
    groups
        .map(|(place, n)| {
            let one = |_| (150_000.0 + chance.normal() * spread(place)).round();
            (0..*n).map(one).collect()
        })
        .collect()
}

#[test]
fn readings_of_one_mean_and_spread_are_seldom_called_different() {
    let settings: [(&[usize], bool); 5] = [
        (&[FEWEST, FEWEST], false),
        (&[FEWEST, FEWEST, FEWEST, FEWEST], false),
        (&[30, 6, 12], false),
        (&[20, 20], true),
        (&[30, 8, 12], true),
    ];
    for (number, (sizes, unequal)) in settings.into_iter().enumerate() {
        let mut chance = Chance::new(100 + number as u8);
        let (mut of_means, mut of_spreads) = (0, 0);
        for _ in 0..TRIALS {
            let spread = |place: usize| {
                if unequal {
                    20.0 * (1 + 3 * place) as f64
                } else {
                    40.0
                }
            };
            let groups = readings(&mut chance, sizes, spread);
            of_means += u32::from(means(&groups).unwrap().p.get() <= LEVEL);
            of_spreads += u32::from(spreads(&groups).unwrap().p.get() <= LEVEL);
        }
        println!("setting {number}: means {of_means}, spreads {of_spreads} of {TRIALS}");
        assert!(
            of_means <= most_alarms(),
            "setting {number}: means {of_means}"
        );
        match unequal {
            false => assert!(
                of_spreads <= most_alarms(),
                "setting {number}: {of_spreads}"
            ),
            true => assert!(of_spreads > TRIALS / 2, "setting {number}: {of_spreads}"),
        }
    }
}

proptest! {
    /// What the groups are called and in which order they come changes nothing.
    #[test]
    fn the_order_of_groups_changes_nothing(
        groups in prop::collection::vec(prop::collection::vec((0_u64..10, 10_u64..50), 1..5), 2..5),
        turn in 0_usize..4,
    ) {
        let stacks = |(found, of): &(u64, u64)| Stack { found: *found, of: *of };
        let of = |groups: &[Vec<(u64, u64)>]| -> Vec<Vec<Stack>> {
            groups.iter().map(|group| group.iter().map(stacks).collect()).collect()
        };
        let mut turned = groups.clone();
        let turn = turn % groups.len();
        turned.rotate_left(turn);
        let (one, other) = (compare(vec![((), of(&groups))]).unwrap(), compare(vec![((), of(&turned))]).unwrap());
        for (place, group) in one[0].groups.iter().enumerate() {
            let same = other[0].groups[(place + groups.len() - turn) % groups.len()];
            prop_assert_eq!((group.found, group.of), (same.found, same.of));
            prop_assert!((group.p.get() - same.p.get()).abs() < 1e-9);
            prop_assert!(group.interval.low <= group.found as f64 / group.of as f64 + 1e-12);
            prop_assert!(group.q.get() >= group.p.get() - 1e-9);
        }
    }

    /// Every reading moved by as much, or mirrored: the tests stay.
    #[test]
    fn tests_of_readings_do_not_care_where_zero_is(
        groups in prop::collection::vec(prop::collection::vec(-50_i32..50, 5..12), 2..5), by in -1000_i32..1000,
    ) {
        let of = |change: &dyn Fn(i32) -> i32| -> Vec<Vec<f64>> {
            groups.iter().map(|group| group.iter().map(|one| f64::from(change(*one))).collect()).collect()
        };
        let (here, there) = (of(&|one| one), of(&|one| by - one));
        for test in [means, spreads] {
            match (test(&here), test(&there)) {
                (Some(one), Some(other)) => prop_assert!((one.p.get() - other.p.get()).abs() < 1e-6),
                (one, other) => prop_assert_eq!(one.is_none(), other.is_none()),
            }
        }
    }
}
