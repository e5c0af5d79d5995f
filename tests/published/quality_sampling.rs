//! Acceptance sampling: the tables of MIL-STD-105E (sampling_*.csv, as two R packages give
//! them), published OC points (oc_points.json) and quality levels (oc_quality_levels.csv).

use crate::quality_fixture::{assert_close, json, list, number, text, whole};
use cullbook::quality::sampling::{
    Aql, CodeLetter, Decision, Level, Model, Plan, Severity, average_outgoing, code_letter, draw,
    quality_at, single_plan,
};
use cullbook::quality::{Probability, QualityError};
use serde_json::Value;

/// The rows of a CSV fixture, header dropped.
fn rows(name: &str) -> Vec<csv::StringRecord> {
    let text = text(name);
    csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(Result::unwrap)
        .collect()
}

fn letter(text: &str) -> CodeLetter {
    *CodeLetter::ALL
        .iter()
        .find(|letter| format!("{letter:?}") == text)
        .unwrap()
}

fn model(text: &str) -> Model {
    match text {
        "binomial" => Model::Binomial,
        "poisson" => Model::Poisson,
        other => panic!("model {other}"),
    }
}

#[test]
fn code_letters() {
    let levels = [
        Level::S1,
        Level::S2,
        Level::S3,
        Level::S4,
        Level::I,
        Level::II,
        Level::III,
    ];
    let rows = rows("sampling_code_letters.csv");
    assert_eq!(rows.len(), 15);
    for row in &rows {
        let least: u64 = row[0].parse().unwrap();
        let most = if row[1].is_empty() {
            10_000_000
        } else {
            row[1].parse().unwrap()
        };
        for (column, level) in levels.into_iter().enumerate() {
            for lot in [least, most] {
                assert_eq!(
                    code_letter(lot, level),
                    Ok(letter(&row[2 + column])),
                    "{lot} {level:?}"
                );
            }
        }
    }
    assert_eq!(
        code_letter(1, Level::II),
        Err(QualityError::LotTooSmall { lot: 1 })
    );
}

/// Every cell of a table; returns how many of them only one of the two sources confirms.
fn check_table(name: &str, severity: Severity) -> usize {
    let rows = rows(name);
    assert_eq!(rows.len(), 16 * 26);
    for row in &rows {
        let plan = single_plan(letter(&row[0]), Aql::new(&row[1]).unwrap(), severity);
        let got = (plan.sample(), plan.accept(), plan.reject());
        let want = (
            row[4].parse().unwrap(),
            row[5].parse().unwrap(),
            row[6].parse().unwrap(),
        );
        assert_eq!(got, want, "{row:?}");
    }
    rows.iter().filter(|row| &row[7] != "2of2_ac").count()
}

#[test]
fn single_sampling_tables() {
    assert_eq!(
        check_table("sampling_single_normal.csv", Severity::Normal),
        0
    );
    assert_eq!(
        check_table("sampling_single_reduced.csv", Severity::Reduced),
        0
    );
    // 13 cells where one source reads a two-cell arrow the other way; the majority is used.
    assert_eq!(
        check_table("sampling_single_tightened.csv", Severity::Tightened),
        13
    );
}

#[test]
fn aqls_are_read_by_value() {
    assert_eq!(Aql::all().count(), 26);
    assert!(Aql::all().all(|aql| Aql::new(&aql.to_string()) == Ok(aql)));
    assert_eq!(Aql::new(" 1 ").unwrap().to_string(), "1.0");
    let error = Aql::new("0.7").unwrap_err().to_string();
    assert!(
        error.starts_with("AQL \"0.7\" is not in the tables; choose one of 0.010, 0.015,"),
        "{error}"
    );
    assert!(Aql::new("one").is_err());
}

#[test]
fn decisions() {
    let plan = single_plan(CodeLetter::F, Aql::new("4.0").unwrap(), Severity::Reduced);
    assert_eq!((plan.sample(), plan.accept(), plan.reject()), (8, 1, 3));
    let decided: Vec<Decision> = (0..4).map(|bad| plan.decide(bad)).collect();
    assert_eq!(
        decided,
        [
            Decision::Accept,
            Decision::Accept,
            Decision::AcceptThenNormal,
            Decision::Reject
        ]
    );
    assert_eq!(
        Plan::new(0, 0),
        Err(QualityError::Zero {
            field: "sample size"
        })
    );
}

fn plan(row: &Value) -> Plan {
    Plan::new(whole(row, "n"), whole(row, "ac")).unwrap()
}

/// The NIST/SEMATECH e-Handbook, Montgomery and 7 CFR 42.140; each row's tolerance is its own
/// rounding (the CFR curve was read off a chart).
#[test]
fn published_oc_points() {
    let file = json("oc_points.json");
    let rows = list(&file, "published_points");
    let mut skipped = Vec::new();
    for row in rows {
        let pa = plan(row)
            .acceptance(number(row, "p"), model(row["model"].as_str().unwrap()))
            .unwrap()
            .get();
        assert_close(pa, number(row, "computed_pa"), 1e-9, 0.0, &row.to_string());
        if row["matches"] == true {
            assert_close(
                pa,
                number(row, "published_pa"),
                0.0,
                number(row, "tolerance"),
                &row.to_string(),
            );
        } else {
            skipped.push((whole(row, "n"), number(row, "p")));
        }
    }
    // The two NIST figures (from memory) that differ from the binomial by up to 0.001.
    assert_eq!((rows.len(), skipped), (24, vec![(52, 0.04), (52, 0.05)]));
}

#[test]
fn hypergeometric_oc_points() {
    let file = json("oc_points.json");
    let rows = list(&file, "hypergeometric");
    assert_eq!(rows.len(), 99);
    for row in rows {
        let pa = plan(row)
            .acceptance_of_lot(whole(row, "N"), whole(row, "D"))
            .unwrap()
            .get();
        // Written with twelve digits; the smallest is 2.7e-28.
        assert_close(pa, number(row, "pa"), 1e-11, 0.0, &row.to_string());
    }
    let error = Plan::new(5, 0)
        .unwrap()
        .acceptance_of_lot(10, 11)
        .unwrap_err();
    assert!(matches!(
        error,
        QualityError::PartOverWhole { part: 11, .. }
    ));
    assert_eq!(
        Plan::new(50, 1)
            .unwrap()
            .acceptance_of_lot(20, 2)
            .unwrap()
            .get(),
        0.0
    );
}

/// Cameron 1952: the product of sample size and quality at 95 and at 10 percent acceptance, to
/// one unit of the last place printed (1.9702 is printed where 1.97015 is right).
#[test]
fn unity_values() {
    let file = json("oc_points.json");
    let rows = list(&file["cameron_1952_unity_values"], "rows");
    assert_eq!(rows.len(), 12);
    for row in rows {
        assert_eq!(row["matches"], true);
        let plan = Plan::new(1, whole(row, "ac")).unwrap();
        for (chance, published, computed) in [
            (0.95, "np_at_Pa95_published", "np95_computed"),
            (0.10, "np_at_Pa10_published", "np10_computed"),
        ] {
            let got = quality_at(
                plan,
                Probability::new("chance", chance).unwrap(),
                Model::Poisson,
            )
            .unwrap();
            assert_close(got, number(row, published), 0.0, 0.0001, published);
            assert_close(got, number(row, computed), 1e-7, 0.0, computed);
        }
    }
}

/// The definition of MIL-STD-105E table X, computed for every plan; six digits are written.
#[test]
fn quality_levels() {
    let rows = rows("oc_quality_levels.csv");
    assert_eq!(rows.len(), 422);
    let chances = [0.99, 0.95, 0.90, 0.75, 0.50, 0.25, 0.10, 0.05, 0.01];
    for row in &rows {
        let plan = Plan::new(row[0].parse().unwrap(), row[1].parse().unwrap()).unwrap();
        for (column, chance) in chances.into_iter().enumerate() {
            let chance = Probability::new("chance", chance).unwrap();
            let want = &row[3 + column];
            match quality_at(plan, chance, model(&row[2])) {
                Some(share) => assert_close(
                    100.0 * share,
                    want.parse().unwrap(),
                    5.1e-6,
                    0.0,
                    &format!("{row:?}"),
                ),
                None => assert_eq!(want, "", "{row:?}"),
            }
        }
    }
    assert_eq!(
        quality_at(Plan::new(5, 0).unwrap(), Probability::ZERO, Model::Binomial),
        None
    );
}

/// The worst average outgoing quality over shares in steps of 0.00001, as the reference was made
/// and written, to six digits.
#[test]
fn average_outgoing_quality_limits() {
    let file = json("oc_points.json");
    let rows = list(&file, "aoql_binomial_grid");
    assert_eq!(rows.len(), 4);
    for row in rows {
        let (plan, lot, at) = (plan(row), whole(row, "N"), number(row, "at_p"));
        let outgoing = |share: f64| average_outgoing(plan, lot, share).unwrap();
        let worst = (1..20_000)
            .map(|step| outgoing(f64::from(step) * 1e-5))
            .fold(0.0, f64::max);
        assert_close(worst, number(row, "aoql"), 4e-6, 0.0, &row.to_string());
        assert_close(outgoing(at), worst, 1e-6, 0.0, &row.to_string());
    }
}

/// The draw as a ten-line Python script with hashlib makes it from the sentence in `draw`'s
/// documentation.
#[test]
fn the_draw_can_be_repeated_elsewhere() {
    let want = [4, 22, 108, 144, 192, 334, 335, 374, 399, 418, 446, 488, 490];
    assert_eq!(draw("Brackwater lot 12", 500, 13), want);
    assert_eq!(draw("", 10, 3), [4, 7, 8]);
    assert_eq!(draw("any", 4, 9), [0, 1, 2, 3]);
    assert_eq!(draw("any", 4, 0), [0; 0]);
}
