use crate::quality::Probability;

/// The chance that `total` marks, each falling on any of `lines` lines alike, give line totals
/// whose squares sum to at least `squares`. Pearson's statistic rises with that sum, so this is
/// its exact upper tail.
///
/// Line by line, `ways[n][s]` holds the number of ways, divided by n!, to have n marks so far
/// with squares summing to s.
pub(super) fn at_least(total: u64, lines: usize, squares: u64) -> Probability {
    let total = total as usize;
    let weight = inverse_factorials(total);
    let width = total * total + 1;
    let mut ways = vec![vec![0.0; width]; total + 1];
    ways[0][0] = 1.0;
    for _ in 0..lines {
        ways = add_line(&ways, &weight);
    }
    let tail: f64 = ways[total][(squares as usize).min(width)..].iter().sum();
    let all: f64 = ways[total].iter().sum();
    Probability::rounded(tail / all)
}

fn add_line(before: &[Vec<f64>], weight: &[f64]) -> Vec<Vec<f64>> {
    let mut after = vec![vec![0.0; before[0].len()]; before.len()];
    for (marks, row) in before.iter().enumerate() {
        // With n marks the squares sum to at most n².
        for (squares, &ways) in row
            .iter()
            .enumerate()
            .take(marks * marks + 1)
            .filter(|(_, w)| **w > 0.0)
        {
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
