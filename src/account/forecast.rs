//! How long a replacement series lasts.

/// Production days with draws that the rate is taken from, at most.
pub const RATE_DAYS: usize = 7;

/// What is known of one series on a production day, in notes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StockFigures<'a> {
    /// Not drawn yet.
    pub left: u64,
    /// Waiting now for a note of this series; counted as drawn today.
    pub waiting: u64,
    pub drawn_today: u64,
    /// Drawn on each earlier production day that had draws, the latest first.
    pub drawn_before: &'a [u64],
}

/// What a series can still serve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Forecast {
    RunOut,
    /// What waits now takes all of it, or more.
    AllWaitedFor,
    /// Fewer than 2 earlier days with draws: no rate to go by.
    TooFewDraws,
    /// Production days it serves in full, today included; 0 when it runs out today.
    Days(u64),
}

/// Production days that a series lasts if each takes as many notes as the mean of the last
/// [`RATE_DAYS`] days with draws. Today is counted in full: what was drawn today already, and what
/// waits, is taken off its share.
///
/// A mean is used for want of anything better founded: common practice, no source.
pub fn forecast(figures: &StockFigures) -> Forecast {
    let StockFigures { left, waiting, .. } = *figures;
    let before = &figures.drawn_before[..figures.drawn_before.len().min(RATE_DAYS)];
    let days = before.len() as u128;
    let sum: u128 = before.iter().copied().map(u128::from).sum();
    match left.checked_sub(waiting) {
        _ if left == 0 => Forecast::RunOut,
        None | Some(0) => Forecast::AllWaitedFor,
        Some(_) if days < 2 || sum == 0 => Forecast::TooFewDraws,
        Some(free) => {
            let today = u128::from(figures.drawn_today) + u128::from(waiting);
            let served = u128::from(free) * days + sum.min(today * days);
            Forecast::Days(u64::try_from(served / sum).unwrap_or(u64::MAX))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(left: u64, waiting: u64, drawn_today: u64, drawn_before: &[u64]) -> Forecast {
        forecast(&StockFigures {
            left,
            waiting,
            drawn_today,
            drawn_before,
        })
    }

    #[test]
    fn today_is_counted_in_full() {
        // Worked by hand: 10 and 20 notes give 15 a day.
        let before = [10, 20];
        assert_eq!(after(45, 0, 0, &before), Forecast::Days(3));
        assert_eq!(after(44, 0, 0, &before), Forecast::Days(2));
        assert_eq!(after(14, 0, 0, &before), Forecast::Days(0), "not today's");
        assert_eq!(after(14, 0, 1, &before), Forecast::Days(1), "1 is drawn");
        assert_eq!(after(30, 0, 15, &before), Forecast::Days(3));
        assert_eq!(after(30, 0, 90, &before), Forecast::Days(3), "a heavy day");
        assert_eq!(after(30, 15, 0, &before), Forecast::Days(2), "they wait");
    }

    #[test]
    fn what_waits_comes_first_and_two_days_make_a_rate() {
        assert_eq!(after(0, 0, 5, &[5, 5]), Forecast::RunOut);
        assert_eq!(after(5, 5, 0, &[5, 5]), Forecast::AllWaitedFor);
        assert_eq!(after(5, 6, 0, &[]), Forecast::AllWaitedFor);
        assert_eq!(after(500, 0, 9, &[5]), Forecast::TooFewDraws);
        assert_eq!(after(u64::MAX, 0, 0, &[1, 1]), Forecast::Days(u64::MAX));
    }

    #[test]
    fn only_the_last_seven_days_count() {
        let before = [10, 10, 10, 10, 10, 10, 10, 9_999];
        assert_eq!(after(100, 0, 0, &before), Forecast::Days(10));
    }
}
