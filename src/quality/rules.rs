//! Run rules: signals on a chart before any point leaves its limits.
//!
//! Sources: Western Electric rules in NIST/SEMATECH e-Handbook 6.3.2; L. S. Nelson, "The
//! Shewhart control chart: tests for special causes", Journal of Quality Technology 16 (1984).
//! They assume values near normal; with a small mean they sound too often.

/// One rule. "Beyond" means farther from the centre, in standard deviations.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    OneBeyondThree,
    TwoOfThreeBeyondTwo,
    FourOfFiveBeyondOne,
    EightOneSide,
    NineOneSide,
    SixTrending,
    FourteenAlternating,
    FifteenWithinOne,
    EightBeyondOne,
}

use Rule::*;

/// The four zone rules of Western Electric.
pub const WESTERN_ELECTRIC: [Rule; 4] = [
    OneBeyondThree,
    TwoOfThreeBeyondTwo,
    FourOfFiveBeyondOne,
    EightOneSide,
];

/// Nelson's eight rules, in his order.
pub const NELSON: [Rule; 8] = [
    OneBeyondThree,
    NineOneSide,
    SixTrending,
    FourteenAlternating,
    TwoOfThreeBeyondTwo,
    FourOfFiveBeyondOne,
    FifteenWithinOne,
    EightBeyondOne,
];

/// A rule that sounded: it looks at points `from..=to`, from 0, and `to` completes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Signal {
    pub rule: Rule,
    pub from: usize,
    pub to: usize,
}

/// Every signal of the given rules on a standardised series, by the point that completes it.
pub fn signals(z: &[f64], rules: &[Rule]) -> Vec<Signal> {
    let ends = (0..z.len()).flat_map(|to| rules.iter().map(move |&rule| (to, rule)));
    ends.filter_map(|(to, rule)| {
        let from = (to + 1).saturating_sub(rule.window());
        rule.sounds(&z[from..=to])
            .then_some(Signal { rule, from, to })
    })
    .collect()
}

impl Rule {
    /// How many points the rule looks back over, the latest included.
    pub fn window(self) -> usize {
        match self {
            OneBeyondThree => 1,
            TwoOfThreeBeyondTwo => 3,
            FourOfFiveBeyondOne => 5,
            SixTrending => 6,
            EightOneSide | EightBeyondOne => 8,
            NineOneSide => 9,
            FourteenAlternating => 14,
            FifteenWithinOne => 15,
        }
    }

    /// What the rule found, for people.
    pub fn sentence(self) -> &'static str {
        match self {
            OneBeyondThree => "One point beyond three standard deviations.",
            TwoOfThreeBeyondTwo => {
                "Two of three points beyond two standard deviations on one side."
            }
            FourOfFiveBeyondOne => "Four of five points beyond one standard deviation on one side.",
            EightOneSide => "Eight points in a row on one side of the centre.",
            NineOneSide => "Nine points in a row on one side of the centre.",
            SixTrending => "Six points in a row steadily rising or falling.",
            FourteenAlternating => "Fourteen points in a row alternately up and down.",
            FifteenWithinOne => "Fifteen points in a row within one standard deviation: too quiet.",
            EightBeyondOne => "Eight points in a row with none within one standard deviation.",
        }
    }

    /// Whether the latest point completes the rule; `z` ends with it and holds at most the
    /// rule's window.
    fn sounds(self, z: &[f64]) -> bool {
        let full = z.len() == self.window();
        match self {
            OneBeyondThree => one_side(z, 1, 3.0),
            TwoOfThreeBeyondTwo => one_side(z, 2, 2.0),
            FourOfFiveBeyondOne => one_side(z, 4, 1.0),
            EightOneSide => one_side(z, 8, 0.0),
            NineOneSide => one_side(z, 9, 0.0),
            SixTrending => {
                full && (steps(z).all(|step| step > 0.0) || steps(z).all(|step| step < 0.0))
            }
            FourteenAlternating => full && alternates(z),
            FifteenWithinOne => full && z.iter().all(|z| z.abs() < 1.0),
            EightBeyondOne => full && z.iter().all(|z| z.abs() > 1.0),
        }
    }
}

/// The latest point and at least `count` in all lie beyond `limit` on the latest point's side.
fn one_side(z: &[f64], count: usize, limit: f64) -> bool {
    let side = z[z.len() - 1].signum();
    let beyond = |z: &f64| z * side > limit;
    z.last().is_some_and(beyond) && z.iter().filter(|z| beyond(z)).count() >= count
}

fn steps(z: &[f64]) -> impl Iterator<Item = f64> {
    z.windows(2).map(|pair| pair[1] - pair[0])
}

fn alternates(z: &[f64]) -> bool {
    z.windows(3)
        .all(|three| (three[1] - three[0]) * (three[2] - three[1]) < 0.0)
}
