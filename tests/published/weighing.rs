//! The weigh check against figures from outside: the spread of a count by weight, the weight of
//! known notes, and the particle classes.

use cullbook::custody::{
    Budget, Distribution, Mass, Paper, ParticleClass, Pieces, Reading, Row, Scale, Source,
    combined, expected, expected_net,
};

use super::quality_fixture::{json, list, number, text, whole};

/// weigh_count.json: the standard deviation of a count by weight (delta method, each row checked
/// there by simulation). A sample of n0 pieces gives the mean mass, with the standard uncertainty
/// √(s²/n0 + (u/n0)²); then N pieces weigh N·m, known within √(N² u(m)² + N s² + u²), where u is
/// d/√12 of the scale's step.
#[test]
fn a_count_by_weight_spreads_as_published() {
    let file = json("weigh_count.json");
    for row in list(&file, "rows") {
        let (mean, sd) = (number(row, "piece_mean"), number(row, "piece_sd"));
        let (sample, counted) = (
            whole(row, "sample_pieces") as f64,
            whole(row, "counted_pieces") as f64,
        );
        let division = number(row, "division");
        let step = division / 12_f64.sqrt();
        let of_mean = (sd.powi(2) / sample + (step / sample).powi(2)).sqrt();
        let line = |source, value, distribution, sensitivity| Row {
            source,
            value,
            distribution,
            sensitivity,
        };
        let product = "note".to_owned();
        let rows = [
            line(
                Source::Grammage(product.clone()),
                of_mean,
                Distribution::Normal,
                counted,
            ),
            line(
                Source::Spread(product),
                sd,
                Distribution::Normal,
                counted.sqrt(),
            ),
            line(
                Source::Resolution(Reading::Gross),
                division / 2.0,
                Distribution::Rectangular,
                1.0,
            ),
        ];
        let found = combined(&rows) / mean;
        let published = number(row, "sd_of_count_delta_method");
        assert!(
            (found / published - 1.0).abs() < 1e-12,
            "{found}, {published}"
        );
        let simulated = number(row, "sd_of_count_monte_carlo");
        assert!(
            (found / simulated - 1.0).abs() < 0.005,
            "{found}, {simulated}"
        );
    }
}

/// The same rows through the whole budget of a product: its bias is a limit, so √3 times the
/// standard uncertainty of its mean; the empty container is weighed as well, so the step counts
/// twice. Pieces of 1 m², so that a mass is a grammage. Figures of the budget are whole milligrams
/// per square metre, so a gram counts as 100 kg and no figure loses what matters.
#[test]
fn the_budget_of_a_product_is_that_combination() {
    let file = json("weigh_count.json");
    for at in [0, 2, 3] {
        let row = &list(&file, "rows")[at];
        let mg = |key| (number(row, key) * 1e8).round();
        let (mean, sd, division) = (mg("piece_mean"), mg("piece_sd"), mg("division"));
        let (sample, counted) = (
            whole(row, "sample_pieces") as f64,
            whole(row, "counted_pieces"),
        );
        let step = division / 12_f64.sqrt();
        let of_mean = (sd.powi(2) / sample + (step / sample).powi(2)).sqrt();
        let budget = budget(counted, sd, of_mean * 3_f64.sqrt(), division);
        let of_tare = step.powi(2);
        let found = (budget.combined.powi(2) - of_tare).sqrt() / mean;
        let published = number(row, "sd_of_count_delta_method");
        assert!(
            (found / published - 1.0).abs() < 1e-4,
            "{found}, {published}"
        );
    }
}

fn budget(count: u64, spread: f64, bias: f64, division: f64) -> Budget {
    let paper = Paper {
        bias: bias.round() as u32,
        spread: spread as u32,
        ink: 0,
        ink_bias: 0,
    };
    let pieces = Pieces {
        product: "note".to_owned(),
        sheets: false,
        count,
        area_mm2: 1e6,
        grammage: 100_000_000,
        paper: Some(paper),
    };
    let scale = Scale {
        scale: "W-1".parse().expect("a scale"),
        resolution: Mass::from_milligrams(division as u64),
        repeatability: Mass::default(),
        error: None,
        calibrated: "2026-01-01".parse().expect("a day"),
        interval_days: 365,
    };
    expected(&[pieces], Some(&scale))
        .budget
        .expect("all is known")
}

/// note_weights.csv: what notes of published sizes weigh at 80 and 90 g/m² (sizes from memory,
/// weights computed there).
#[test]
fn notes_weigh_as_their_size_and_paper_say() {
    let file = text("note_weights.csv");
    let mut rows = 0;
    for line in file.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let figure = |at: usize| -> f64 { cells[at].parse().expect("a figure") };
        let area = figure(1) * figure(2);
        for (grammage, grams) in [(80_000, figure(4)), (90_000, figure(5))] {
            let thousand = expected_net(1_000, area, grammage).milligrams() as f64 / 1e6;
            assert!(
                (thousand - grams).abs() <= 0.000_05 + 1e-9,
                "{}: {thousand}",
                cells[0]
            );
        }
        rows += 1;
    }
    assert_eq!(rows, 8);
}

/// particle_classes_paper.csv: areas of P-1 to P-7 and what the largest tenth may have. From
/// memory; particles per A4 sheet on public pages confirm the area of P-3, P-7 and roughly P-5.
#[test]
fn particle_classes_have_their_areas() {
    let file = text("particle_classes_paper.csv");
    let rows: Vec<Vec<&str>> = file
        .lines()
        .skip(1)
        .map(|line| line.split(',').collect())
        .collect();
    assert_eq!(rows.len(), ParticleClass::ALL.len());
    for (class, row) in ParticleClass::ALL.into_iter().zip(rows) {
        assert_eq!(class.name(), row[0]);
        assert_eq!(Ok(class.largest_mm2()), row[2].parse(), "{}", row[0]);
        assert_eq!(Ok(class.tolerated_mm2()), row[3].parse(), "{}", row[0]);
    }
    assert_eq!(ParticleClass::P7.above_allowed(1_000), 0);
    assert_eq!(ParticleClass::P5.above_allowed(1_000), 100);
}
