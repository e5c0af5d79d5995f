//! How often a drawn count overlooks missing pieces, against exact hypergeometric chances
//! (stat_hypergeometric.json: rational arithmetic, checked against scipy 1.17.1).

use cullbook::quality::Probability;
use cullbook::quality::sampling::{overlooked, sample_for};

use crate::quality_fixture::{assert_close, json, list, number, whole};

#[test]
fn the_chance_to_overlook_is_the_hypergeometric_chance_of_none() {
    let file = json("stat_hypergeometric.json");
    let rows = list(&file, "rows").iter().filter(|row| row["k"] == 0);
    let mut checked = 0;
    for row in rows {
        let (pieces, missing) = (whole(row, "N"), whole(row, "K"));
        let chance = overlooked(pieces, missing, whole(row, "n")).unwrap();
        let what = row.to_string();
        assert_close(chance.get(), number(row, "pmf"), 1e-12, 0.0, &what);
        checked += 1;
    }
    assert!(checked >= 5, "{checked} rows have k 0");
}

#[test]
fn more_than_there_are_is_refused() {
    assert!(overlooked(10, 11, 1).is_err());
    assert!(overlooked(10, 1, 11).is_err());
}

/// The smallest sample: one piece fewer overlooks too often.
#[test]
fn the_sample_is_as_small_as_the_risk_allows() {
    for pieces in [1_u64, 2, 10, 60, 100, 1_000, 9_999] {
        for missing in [1, 2, 5, 40] {
            for percent in [1.0, 5.0, 10.0, 50.0] {
                let risk = Probability::new("risk", percent / 100.0).unwrap();
                let sample = sample_for(pieces, missing, risk);
                if missing >= pieces {
                    assert_eq!(sample, pieces);
                    continue;
                }
                let chance = |sample| overlooked(pieces, missing, sample).unwrap().get();
                assert!(
                    chance(sample) <= risk.get() + 1e-9,
                    "{pieces} {missing} {percent}"
                );
                let fewer = sample.checked_sub(1).map(chance);
                assert!(fewer.is_none_or(|fewer| sample == 1 || fewer > risk.get()));
            }
        }
    }
}
