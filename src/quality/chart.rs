//! Shewhart charts for counts, with subgroups of any size.
//!
//! Source: NIST/SEMATECH e-Handbook 6.3.3.1 (counts of marks: c and u) and 6.3.3.2 (shares of
//! defective notes: p and np). Limits lie three standard deviations from the centre, cut off
//! where no count can be.

use super::QualityError;

/// What the chart plots.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Share defective in each subgroup.
    P,
    /// Number defective, subgroups of one size.
    Np,
    /// Number of marks, subgroups of one size.
    C,
    /// Marks per unit, subgroups of any size.
    U,
}

/// One subgroup on the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    pub value: f64,
    pub lower: f64,
    pub upper: f64,
    /// The standard deviation of a value at this subgroup's size.
    pub sigma: f64,
}

impl Point {
    /// Beyond a limit, not merely on it.
    pub fn is_outside(&self) -> bool {
        self.value > self.upper || self.value < self.lower
    }
}

/// A chart with its limits worked out from its own points.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    pub kind: Kind,
    pub centre: f64,
    pub points: Vec<Point>,
    /// Some subgroup expects fewer than 5 (or, for shares, lets fewer than 5 be good), so that
    /// limits from the normal distribution are rough.
    pub rough: bool,
}

/// A subgroup of notes, some of them defective.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Defective {
    pub found: u64,
    pub examined: u64,
}

/// A subgroup of some size (sheets, square metres…) with its number of marks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marks {
    pub found: u64,
    pub size: f64,
}

/// Expected counts below this make the limits rough (NIST/SEMATECH e-Handbook 6.3.3.1).
const ADEQUATE: f64 = 5.0;

impl Chart {
    /// Share defective, subgroups of any size.
    ///
    /// # Errors
    /// `Empty` without subgroups, `Zero` when a subgroup has none examined, `PartOverWhole` when
    /// more were found than examined.
    pub fn p(groups: &[Defective]) -> Result<Self, QualityError> {
        let share = pooled_share(groups)?;
        let points = groups.iter().map(|group| {
            let n = group.examined as f64;
            point(
                group.found as f64 / n,
                share,
                (share * (1.0 - share) / n).sqrt(),
                1.0,
            )
        });
        Ok(Self {
            kind: Kind::P,
            centre: share,
            points: points.collect(),
            rough: rough_share(groups, share),
        })
    }

    /// Number defective in subgroups of `examined` notes each.
    ///
    /// # Errors
    /// As [`Chart::p`].
    pub fn np(found: &[u64], examined: u64) -> Result<Self, QualityError> {
        let groups: Vec<_> = found
            .iter()
            .map(|&found| Defective { found, examined })
            .collect();
        let share = pooled_share(&groups)?;
        let n = examined as f64;
        let (centre, sigma) = (n * share, (n * share * (1.0 - share)).sqrt());
        let points = found
            .iter()
            .map(|&x| point(x as f64, centre, sigma, n))
            .collect();
        Ok(Self {
            kind: Kind::Np,
            centre,
            points,
            rough: rough_share(&groups, share),
        })
    }

    /// Number of marks in subgroups of one size.
    ///
    /// # Errors
    /// `Empty` without subgroups.
    pub fn c(found: &[u64]) -> Result<Self, QualityError> {
        let groups: Vec<_> = found
            .iter()
            .map(|&found| Marks { found, size: 1.0 })
            .collect();
        Ok(Self {
            kind: Kind::C,
            ..Self::u(&groups)?
        })
    }

    /// Marks per unit, subgroups of any size.
    ///
    /// # Errors
    /// `Empty` without subgroups, `NotPositive` when a size is not a number above 0.
    pub fn u(groups: &[Marks]) -> Result<Self, QualityError> {
        if groups.is_empty() {
            return Err(QualityError::Empty { field: "subgroups" });
        }
        for group in groups {
            if !(group.size.is_finite() && group.size > 0.0) {
                return Err(QualityError::NotPositive {
                    field: "subgroup size",
                    value: group.size,
                });
            }
        }
        let found: u64 = groups.iter().map(|group| group.found).sum();
        let rate = found as f64 / groups.iter().map(|group| group.size).sum::<f64>();
        let points = groups.iter().map(|group| {
            point(
                group.found as f64 / group.size,
                rate,
                (rate / group.size).sqrt(),
                f64::INFINITY,
            )
        });
        let rough = groups.iter().any(|group| rate * group.size < ADEQUATE);
        Ok(Self {
            kind: Kind::U,
            centre: rate,
            points: points.collect(),
            rough,
        })
    }

    /// How many standard deviations each point lies from the centre; 0 where nothing varies.
    /// The run rules of [`super::rules`] read this.
    pub fn standardised(&self) -> Vec<f64> {
        let z = |point: &Point| (point.value - self.centre) / point.sigma;
        self.points
            .iter()
            .map(|point| if point.sigma > 0.0 { z(point) } else { 0.0 })
            .collect()
    }

    /// Numbers of the points beyond a limit, from 0.
    pub fn outside(&self) -> Vec<usize> {
        let numbered = self.points.iter().enumerate();
        numbered
            .filter(|(_, point)| point.is_outside())
            .map(|(index, _)| index)
            .collect()
    }
}

fn point(value: f64, centre: f64, sigma: f64, most: f64) -> Point {
    let (lower, upper) = (
        (centre - 3.0 * sigma).max(0.0),
        (centre + 3.0 * sigma).min(most),
    );
    Point {
        value,
        lower,
        upper,
        sigma,
    }
}

fn pooled_share(groups: &[Defective]) -> Result<f64, QualityError> {
    if groups.is_empty() {
        return Err(QualityError::Empty { field: "subgroups" });
    }
    for group in groups {
        check(group)?;
    }
    let found: u64 = groups.iter().map(|group| group.found).sum();
    let examined: u64 = groups.iter().map(|group| group.examined).sum();
    Ok(found as f64 / examined as f64)
}

fn check(group: &Defective) -> Result<(), QualityError> {
    if group.examined == 0 {
        return Err(QualityError::Zero {
            field: "notes examined in a subgroup",
        });
    }
    if group.found > group.examined {
        return Err(QualityError::PartOverWhole {
            part_field: "notes found defective in a subgroup",
            part: group.found,
            whole_field: "notes examined",
            whole: group.examined,
        });
    }
    Ok(())
}

fn rough_share(groups: &[Defective], share: f64) -> bool {
    let rarer = share.min(1.0 - share);
    groups
        .iter()
        .any(|group| group.examined as f64 * rarer < ADEQUATE)
}
