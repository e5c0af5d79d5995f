use super::EXACT_UP_TO;
use crate::quality::Probability;

/// Every way that up to [`EXACT_UP_TO`] marks can fall on a number of lines alike.
///
/// `ways[n][s]` is the number of ways, divided by n!, for n marks to give line totals whose
/// squares sum to s. Pearson's statistic rises with that sum.
#[derive(Clone, Debug)]
pub(super) struct Ways {
    ways: Vec<Vec<f64>>,
}

impl Ways {
    /// Builds the table line by line; time grows with lines × marks⁴.
    pub(super) fn of(lines: usize) -> Self {
        let most = EXACT_UP_TO as usize;
        let weight = inverse_factorials(most);
        let mut ways = vec![vec![0.0; most * most + 1]; most + 1];
        ways[0][0] = 1.0;
        for _ in 0..lines {
            ways = add_line(&ways, &weight);
        }
        Self { ways }
    }

    /// The chance that `marks` marks, at most [`EXACT_UP_TO`], give line totals whose squares
    /// sum to at least `squares`, itself at most marks².
    pub(super) fn at_least(&self, marks: u64, squares: u64) -> Probability {
        let row = &self.ways[marks as usize];
        let tail: f64 = row[squares as usize..].iter().sum();
        Probability::rounded(tail / row.iter().sum::<f64>())
    }
}

fn add_line(before: &[Vec<f64>], weight: &[f64]) -> Vec<Vec<f64>> {
    let mut after = vec![vec![0.0; before[0].len()]; before.len()];
    for (marks, row) in before.iter().enumerate() {
        for (squares, &ways) in row.iter().enumerate().filter(|(_, ways)| **ways > 0.0) {
            for (more, weight) in weight.iter().enumerate().take(before.len() - marks) {
                after[marks + more][squares + more * more] += ways * weight;
            }
        }
    }
    after
}

/// 1/0!, 1/1!, … 1/n!.
fn inverse_factorials(n: usize) -> Vec<f64> {
    let mut list = vec![1.0];
    for k in 1..=n {
        list.push(list[k - 1] / k as f64);
    }
    list
}
