//! Benjamini-Hochberg against statsmodels 0.15.0, and against the example of section 4 of
//! Benjamini and Hochberg 1995 (its p-values and its 4 rejections from memory).

use crate::quality_fixture::{assert_close, json, list, numbers};
use cullbook::quality::Probability;
use cullbook::quality::bh::{q_values, q_values_among, rejected};

fn chances(values: Vec<f64>) -> Vec<Probability> {
    values
        .into_iter()
        .map(|value| Probability::new("p", value).unwrap())
        .collect()
}

#[test]
fn q_values_and_rejections() {
    let file = json("stat_benjamini_hochberg.json");
    let rows = list(&file, "rows");
    assert_eq!(rows.len(), 50);
    for row in rows {
        let p = chances(numbers(row, "p"));
        for (got, want) in q_values(&p).iter().zip(numbers(row, "bh")) {
            // Three roundings at most: p × m / rank.
            assert_close(got.get(), want, 1e-15, 0.0, &row.to_string());
        }
        let want: Vec<bool> = list(row, "rejected_bh_0_05")
            .iter()
            .map(|v| v.as_bool().unwrap())
            .collect();
        assert_eq!(
            rejected(&p, Probability::ONE_IN_TWENTY),
            want,
            "{}",
            row["name"]
        );
        if let Some(published) = row["published"]["rejected_bh"].as_u64() {
            assert_eq!(want.iter().filter(|r| **r).count() as u64, published);
        }
    }
    let published = rows
        .iter()
        .filter(|row| !row["published"].is_null())
        .count();
    assert_eq!(published, 1);
}

/// Listing only the small p-values of a family gives what listing all of it gives.
#[test]
fn the_tests_left_out_count() {
    let listed = chances(vec![0.001, 0.2, 0.01]);
    let mut all = listed.clone();
    all.extend([Probability::ONE; 97]);
    assert_eq!(q_values_among(&listed, 100), q_values(&all)[..3]);
}
