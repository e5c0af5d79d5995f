use super::*;

fn mg(milligrams: u64) -> Mass {
    Mass::from_milligrams(milligrams)
}

fn scale(resolution: u64, repeatability: u64, error: Option<u64>) -> Scale {
    Scale {
        scale: "W-2".parse().expect("a scale"),
        resolution: mg(resolution),
        repeatability: mg(repeatability),
        error: error.map(mg),
        calibrated: "2026-01-01".parse().expect("a day"),
        interval_days: 365,
    }
}

const PAPER: Paper = Paper {
    bias: 1_500,
    spread: 1_200,
    ink: 3_000,
    ink_bias: 1_500,
};

fn notes(count: u64, paper: Option<Paper>) -> Pieces {
    Pieces {
        product: "M20".to_owned(),
        sheets: false,
        count,
        area_mm2: 136.0 * 68.0,
        grammage: 86_000,
        paper,
    }
}

/// JCGM 100:2008, 5.1.2 with 4.3.7 and F.2.2.1, worked by hand for 1000 notes of 136 × 68 mm,
/// 86 g/m² ± 1.5, sheet to sheet 1.2 g/m², ink 3 ± 1.5 g/m², scale step 0.5 g, repeatability
/// 0.4 g, calibration ± 1 g:
///
/// - one note 136 · 68 = 9 248 mm² = 0.009 248 m²; all 9.248 m²
/// - expected 9.248 · (86 + 3) = 823.072 g
/// - mean grammage 9.248 · 1.5 / √3 = 13.872 / 1.732 051 = 8.009 003 g
/// - sheet to sheet √1000 · 0.009 248 · 1.2 = 0.292 447 4 · 1.2 = 0.350 936 9 g
/// - ink 9.248 · 1.5 / √3 = 8.009 003 g
/// - resolution 0.25 / √3 = 0.144 337 6 g, twice
/// - repeatability 0.4 g, twice
/// - calibration 1 / √3 = 0.577 350 3 g
/// - squares 64.144 13 + 0.123 156 7 + 64.144 13 + 2 · 0.020 833 3 + 2 · 0.16 + 0.333 333 3
///   = 129.106 4; root 11.362 50 g; expanded 22.725 0 g
/// - one note 0.823 072 g; 2 · 22.725 0 / 0.823 072 = 55.22, so 56 notes
#[test]
fn a_budget_worked_by_hand() {
    let expected = expected(
        &[notes(1_000, Some(PAPER))],
        Some(&scale(500, 400, Some(1_000))),
    );
    assert_eq!(expected.mass, mg(823_072));
    let budget = expected.budget.as_ref().expect("all is known");
    let by_hand = [
        8_009.003, 350.936_9, 8_009.003, 144.337_6, 400.0, 144.337_6, 400.0, 577.350_3,
    ];
    assert_eq!(budget.rows.len(), by_hand.len());
    for (row, right) in budget.rows.iter().zip(by_hand) {
        assert!(
            (row.contribution() - right).abs() < 0.001,
            "{}: {}",
            row.source,
            row.contribution()
        );
    }
    assert!(
        (budget.combined - 11_362.50).abs() < 0.01,
        "{}",
        budget.combined
    );
    assert_eq!(budget.missing_notes, Some(56));
    assert_eq!(budget.missing_sheets, None);
    assert_eq!(expected.fewest().as_deref(), Some("56 notes"));
}

#[test]
fn a_reading_agrees_up_to_the_expanded_uncertainty() {
    let expected = expected(
        &[notes(1_000, Some(PAPER))],
        Some(&scale(500, 400, Some(1_000))),
    );
    let band = expected.expanded().expect("known").milligrams();
    let judge = |net| expected.judge(mg(net));
    assert_eq!(judge(823_072), WeighVerdict::Agrees);
    assert_eq!(judge(823_072 + band), WeighVerdict::Agrees);
    assert_eq!(judge(823_072 - band), WeighVerdict::Agrees);
    assert_eq!(judge(823_072 + band + 1), WeighVerdict::Differs);
    assert_eq!(judge(823_072 - band - 1), WeighVerdict::Differs);
    // 56 notes fewer, 46.092 g: beyond the band of 22.725 g even when the reading errs by it.
    assert_eq!(judge(823_072 - 56 * 823 + band), WeighVerdict::Differs);
    assert_eq!(expected.difference(mg(800_000)), -23_072);
    assert!(
        expected
            .says(mg(800_000))
            .starts_with("differs: the reading lies outside")
    );
}

#[test]
fn what_is_not_known_cannot_tell_and_says_why() {
    let no_scale = expected(&[notes(10, Some(PAPER))], None);
    assert_eq!(no_scale.judge(mg(8_231)), WeighVerdict::CannotTell);
    assert!(no_scale.says(mg(8_231)).contains("no scale is named"));
    let no_paper = expected(&[notes(10, None)], Some(&scale(500, 400, None)));
    assert_eq!(no_paper.budget, Err(Unknown::Paper("M20".to_owned())));
    // Bare paper: 10 · 0.009 248 · 86 = 7.953 28 g.
    assert_eq!(no_paper.mass, mg(7_953));
    // On a scale of 5 g steps one note of 0.8 g could be missing unseen.
    let coarse = expected(&[notes(1, Some(PAPER))], Some(&scale(5_000, 400, None)));
    assert_eq!(coarse.judge(mg(1_000)), WeighVerdict::CannotTell);
    assert!(coarse.says(mg(1_000)).contains("even an empty container"));
    // A reading far outside the band differs, however wide the band is.
    assert_eq!(coarse.judge(mg(50_000)), WeighVerdict::Differs);
}

/// Notes and sheets of one product share its paper's bias; another product has its own.
#[test]
fn several_products_are_combined() {
    let sheets = Pieces {
        sheets: true,
        count: 2,
        area_mm2: 1e6,
        ..notes(0, Some(PAPER))
    };
    let other = Pieces {
        product: "M50".to_owned(),
        ..notes(100, Some(PAPER))
    };
    let pieces = [notes(100, Some(PAPER)), sheets, other];
    let known = expected(&pieces, Some(&scale(100, 0, None)));
    // 200 · 0.009 248 + 2 = 3.849 6 m² of 89 g/m².
    assert_eq!(known.mass, mg(342_614));
    let rows = known.budget.expect("known").rows;
    let sources: Vec<String> = rows.iter().map(|row| row.source.to_string()).collect();
    assert_eq!(sources.len(), 10);
    assert_eq!(sources[0], "Mean grammage of M20");
    assert_eq!(sources[3], "Mean grammage of M50");
    assert!((rows[0].sensitivity - 2.924_8).abs() < 1e-9);
    // √(100 · 0.009 248² + 2 · 1²) = √2.008 552 55
    assert!((rows[1].sensitivity - 2.008_552_55_f64.sqrt()).abs() < 1e-8);
}
