//! Is a class seen more often in one group of sheets than in the others?
//!
//! Faults come in runs, so that the sheets of one stack are no independent witnesses: a test that
//! takes them for such cries wolf at every burst. Each group is therefore compared with all
//! others twice by Fisher's exact test, and the larger chance counts: once sheet by sheet, and
//! once stack by stack, where a stack counts as one witness that lies above the rate of all or
//! does not. The second is right however the sheets of a stack hang together and however rare the
//! class is; it needs some stacks of each group before it can speak.
//!
//! Sources: R. A. Fisher (1935), two-sided as twice the smaller tail; A. M. Mood's median test
//! (1950), here about the rate of all. Taking the larger of the two is ours.

use super::dist::{Discrete, Hypergeometric};
use super::intervals::{Interval, Level, wilson_among};
use super::{Probability, QualityError, holm};

/// Sheets that hang together, like those of one stack.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stack {
    /// Sheets on which the class was seen.
    pub found: u64,
    /// Sheets examined.
    pub of: u64,
}

/// One group beside all others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroupRate {
    pub found: u64,
    pub of: u64,
    /// Wilson's interval at 95 percent, of as many independent sheets as these are worth.
    pub interval: Interval,
    /// The chance of so great a difference from all others if the class does not care for groups.
    pub p: Probability,
    /// The same with all that was compared counted, so that not one false alarm is expected.
    pub q: Probability,
}

/// A class over all groups.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassRates<C> {
    pub class: C,
    /// How many times more the rates of stacks vary than those of independent sheets would;
    /// never below 1, and 1 where no group has two stacks.
    pub clumping: f64,
    /// In the order of the groups.
    pub groups: Vec<GroupRate>,
}

/// Compares groups class by class. Each class brings, for every group, its stacks: the same
/// sheets for every class, at least one sheet a group. A class that was seen nowhere has nothing
/// to compare, and one group has nothing to be compared with.
///
/// # Errors
/// `Zero` for a group without sheets, `PartOverWhole` for a stack with more found than examined.
pub fn compare<C>(classes: Vec<(C, Vec<Vec<Stack>>)>) -> Result<Vec<ClassRates<C>>, QualityError> {
    let mut compared = Vec::with_capacity(classes.len());
    for (class, groups) in classes {
        compared.push(of_class(class, &groups)?);
    }
    adjust(&mut compared);
    Ok(compared)
}

fn of_class<C>(class: C, groups: &[Vec<Stack>]) -> Result<ClassRates<C>, QualityError> {
    let sheets: Vec<Stack> = groups.iter().map(|stacks| total(stacks)).collect();
    let all = total(&sheets);
    let stacks: Vec<Stack> = groups.iter().map(|group| above(group, rate(all))).collect();
    let clumping = clumping(groups, &sheets);
    let alone = groups.len() < 2;
    let rates = sheets.iter().zip(&stacks).map(|(group, high)| {
        let p = match alone {
            true => Probability::ONE,
            false => larger(exact(*group, all)?, exact(*high, total(&stacks))?),
        };
        Ok(GroupRate {
            found: group.found,
            of: group.of,
            interval: wilson_among(group.found, group.of, clumping, Level::Percent95)?,
            p,
            q: p,
        })
    });
    let groups = rates.collect::<Result<_, QualityError>>()?;
    Ok(ClassRates {
        class,
        clumping,
        groups,
    })
}

fn larger(one: Probability, other: Probability) -> Probability {
    if one > other { one } else { other }
}

fn total(stacks: &[Stack]) -> Stack {
    Stack {
        found: stacks.iter().map(|stack| stack.found).sum(),
        of: stacks.iter().map(|stack| stack.of).sum(),
    }
}

fn rate(stack: Stack) -> f64 {
    stack.found as f64 / stack.of as f64
}

/// The variation of stacks about the rates of their groups, weighted by their sizes.
fn within(stacks: &[Stack], group: f64) -> f64 {
    let apart = |stack: &Stack| stack.of as f64 * (rate(*stack) - group).powi(2);
    stacks.iter().map(apart).sum()
}

fn clumping(groups: &[Vec<Stack>], totals: &[Stack]) -> f64 {
    let all = rate(total(totals));
    let stacks: usize = groups.iter().map(Vec::len).sum();
    let freedom = stacks - groups.len();
    let alone = all * (1.0 - all);
    if freedom == 0 || alone <= 0.0 {
        return 1.0;
    }
    let pairs = groups.iter().zip(totals);
    let apart: f64 = pairs
        .map(|(stacks, group)| within(stacks, rate(*group)))
        .sum();
    (apart / freedom as f64 / alone).max(1.0)
}

/// Each stack as one witness: found when its rate lies above that of all.
fn above(stacks: &[Stack], all: f64) -> Stack {
    Stack {
        found: stacks.iter().filter(|stack| rate(**stack) > all).count() as u64,
        of: stacks.len() as u64,
    }
}

/// Fisher's exact test of a group within all, two-sided as twice the smaller tail.
fn exact(group: Stack, all: Stack) -> Result<Probability, QualityError> {
    let ways = Hypergeometric::new(all.of, all.found, group.of)?;
    let (few, many) = (ways.at_most(group.found), ways.at_least(group.found));
    let smaller = few.get().min(many.get());
    Ok(Probability::rounded((2.0 * smaller).min(1.0)))
}

/// Two groups make one test a class, for each is all that the other is compared with.
fn adjust<C>(compared: &mut [ClassRates<C>]) {
    let tests = |groups: usize| if groups == 2 { 1 } else { groups };
    let p: Vec<Probability> = compared
        .iter()
        .flat_map(|class| class.groups.iter().take(tests(class.groups.len())))
        .map(|group| group.p)
        .collect();
    let mut adjusted = holm::adjusted(&p).into_iter();
    for class in compared {
        let of_class: Vec<_> = adjusted.by_ref().take(tests(class.groups.len())).collect();
        for (place, group) in class.groups.iter_mut().enumerate() {
            // The second of two has the value of the first.
            group.q = of_class[place.min(of_class.len() - 1)];
        }
    }
}
