//! What is said of the stock of replacement notes.

use std::collections::BTreeMap;

use crate::account::Forecast;
use crate::book::{Pool, State, Stock, stocks};
use crate::people::Day;
use crate::sheet::{ProductId, grouped, number_of};

/// What a list of all series says of each, and what each product is short of.
pub struct StockList {
    stocks: BTreeMap<ProductId, Stock>,
    /// One sentence for each product that is short.
    pub short: Vec<String>,
}

impl StockList {
    pub fn of(state: &State, today: Day) -> Self {
        let stocks = stocks(state, today);
        let products = stocks.iter();
        let short = products
            .filter_map(|(id, stock)| told_short(stock, &state.product(*id).ok()?.title))
            .collect();
        Self { stocks, short }
    }

    /// How long a series lasts, in a few words.
    pub fn lasts(&self, pool: &Pool) -> String {
        let stock = self.stocks.get(&pool.series.product());
        let known = stock.and_then(|stock| stock.series.get(&pool.series.id()));
        match known.copied().unwrap_or(Forecast::TooFewDraws) {
            Forecast::RunOut => "run out".to_owned(),
            Forecast::AllWaitedFor => "all waited for".to_owned(),
            Forecast::TooFewDraws => "too few draws to say".to_owned(),
            Forecast::Days(0) => "runs out today".to_owned(),
            Forecast::Days(1) => "today only".to_owned(),
            Forecast::Days(days) => format!("{} days with today", grouped(days)),
        }
    }
}

/// How long a series lasts, as a sentence.
pub fn told_forecast(forecast: Forecast) -> String {
    match forecast {
        Forecast::RunOut => "It has run out.".to_owned(),
        Forecast::AllWaitedFor => "What waits now takes all of it.".to_owned(),
        Forecast::TooFewDraws => "Too few draws to say.".to_owned(),
        Forecast::Days(0) => "At the recent rate it runs out today.".to_owned(),
        Forecast::Days(1) => "At the recent rate it lasts for today only.".to_owned(),
        Forecast::Days(days) => format!(
            "At the recent rate it lasts {} production days with today.",
            grouped(days)
        ),
    }
}

/// What is missing and what to do, when the series of a product cannot serve all that waits.
pub fn told_short(stock: &Stock, product: &str) -> Option<String> {
    let (short, waiting, left) = (stock.short, stock.waiting, stock.left);
    let remedy = match left {
        0 => "A supervisor adds a replacement series in the Office.",
        _ => {
            "Draw what is there; a supervisor adds a replacement series in the Office for the rest."
        }
    };
    let notes = |number| number_of(number, "replacement note", "replacement notes");
    (short > 0).then(|| {
        format!(
            "{product} is short of {}: {} needed, {} left. {remedy}",
            notes(short),
            grouped(waiting),
            grouped(left)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::stock;
    use crate::desk::forms::draw_entries;
    use crate::export::sample::{Works, id, lot};

    fn told(works: &Works) -> Stock {
        let state = works.state();
        stock(state, id("M20"), state.day_of(&works.now()))
    }

    /// A day on which one note is found bad on each of these sheets, and drawn for from R1.
    fn day(works: &mut Works, sheets: std::ops::Range<u32>) {
        works.next_day();
        for sheet in sheets {
            works.examine("ida", sheet, &["A1"], false);
        }
        let drawn = draw_entries(works.state(), lot(), id("R1"), usize::MAX).expect("a draw");
        works.write("sue", drawn);
    }

    #[test]
    fn a_series_is_forecast_from_its_own_days() {
        let mut works = Works::new();
        day(&mut works, 1..5);
        assert_eq!(told(&works).series[&id("R1")], Forecast::TooFewDraws);
        day(&mut works, 5..7);
        assert_eq!(told(&works).series[&id("R1")], Forecast::TooFewDraws);
        works.next_day();
        // 4 and 2 were drawn of 20: 14 are left at 3 a day.
        assert_eq!(told(&works).series[&id("R1")], Forecast::Days(4));
        assert_eq!(told(&works).series[&id("R2")], Forecast::TooFewDraws);
        works.examine("ida", 7, &["A1", "A2"], false);
        // 2 of the 14 wait; with 1 more of today's share, 11 are left for 3 days and a part.
        assert_eq!(told(&works).series[&id("R1")], Forecast::Days(4));
        let list = StockList::of(works.state(), id("2026-11-28"));
        let pool = |series| works.state().pool(id(series)).expect("a series");
        assert_eq!(list.lasts(pool("R1")), "4 days with today");
        assert_eq!(list.lasts(pool("R2")), "too few draws to say");
        assert!(list.short.is_empty());
        let before = stock(works.state(), id("M20"), id("2026-11-26"));
        assert_eq!(before.series[&id("R1")], Forecast::TooFewDraws);
    }

    #[test]
    fn what_waits_is_served_in_order_and_the_rest_is_short() {
        let mut works = Works::new();
        assert_eq!(told_short(&told(&works), "20 merin"), None);
        for sheet in 1..=7 {
            works.examine("ida", sheet, &[], true);
        }
        // 7 sheets of 4 notes; R1 has 20 and R2 8.
        assert_eq!(told(&works).short, 0);
        assert_eq!(told(&works).series[&id("R2")], Forecast::AllWaitedFor);
        works.examine("ida", 8, &["A1"], false);
        let said = told_short(&told(&works), "20 merin").expect("one too many");
        assert!(
            said.starts_with("20 merin is short of 1 replacement note: 29 needed, 28 left. Draw"),
            "{said}"
        );
        let list = StockList::of(works.state(), works.state().day_of(&works.now()));
        assert_eq!(list.short, [said]);
        for (series, left) in [("R1", 8), ("R2", 0)] {
            let number = if series == "R1" { 20 } else { 8 };
            let drawn = draw_entries(works.state(), lot(), id(series), number).expect("a draw");
            works.write("sue", drawn);
            assert_eq!(told(&works).left, left);
            assert_eq!(told(&works).series[&id(series)], Forecast::RunOut);
        }
        let said = told_short(&told(&works), "20 merin").expect("still");
        assert!(said.contains("1 needed, 0 left. A supervisor"), "{said}");
    }

    #[test]
    fn a_forecast_is_a_sentence() {
        for (days, said) in [
            (0, "At the recent rate it runs out today."),
            (1, "At the recent rate it lasts for today only."),
            (
                12,
                "At the recent rate it lasts 12 production days with today.",
            ),
        ] {
            assert_eq!(told_forecast(Forecast::Days(days)), said);
        }
    }
}
