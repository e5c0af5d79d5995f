//! Scales, paper, weighings at sealing, and residue that leaves: what the book takes and refuses.

use cullbook::book::{CageRefusal, Entry, Refusal, Subject};
use cullbook::custody::{
    DestructionError, Mass, Method, Paper, PaperError, ResidueError, ResidueSample, ResidueSent,
    ScaleError, SessionId, TareAndScale, WeighVerdict,
};
use cullbook::desk::forms::Typed;
use cullbook::desk::forms::residue::residue_compared;
use cullbook::people::Duty;

use super::works::*;

fn mg(milligrams: u64) -> Mass {
    Mass::from_milligrams(milligrams)
}

#[test]
fn a_scale_is_registered_by_a_supervisor_and_again_after_each_calibration() {
    let mut works = Works::staffed();
    let why = works.refused("cal", Entry::ScaleSet(scale("W1")));
    let (person, duty) = (id("cal"), Duty::RunTheOffice);
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    let mut future = scale("W1");
    future.calibrated = id("2026-11-26");
    let why = works.refused("sue", Entry::ScaleSet(future));
    assert!(
        matches!(why, Refusal::Scale(ScaleError::NotYet { .. })),
        "{why}"
    );
    works.must("sue", Entry::ScaleSet(scale("W1")));
    let mut again = scale("W1");
    again.calibrated = id("2026-11-20");
    works.must("sue", Entry::ScaleSet(again.clone()));
    assert_eq!(works.state().scales.values().collect::<Vec<_>>(), [&again]);
}

#[test]
fn paper_is_described_for_a_product_that_is_known() {
    let mut works = Works::staffed();
    let why = works.refused("sue", paper("M99"));
    assert_eq!(why, Refusal::UnknownProduct(id("M99")));
    let Entry::PaperSet(mut wrong) = paper("M20") else {
        unreachable!("it describes paper")
    };
    wrong.paper = Paper {
        ink_bias: 3_001,
        ..wrong.paper
    };
    let why = works.refused("sue", Entry::PaperSet(wrong));
    assert_eq!(why, Refusal::Paper(PaperError::InkBelowZero));
    works.must("sue", paper("M20"));
    assert_eq!(works.state().papers.len(), 1);
}

/// Replaced, with everything spoiled in the open container C1.
fn filled() -> Works {
    let mut works = Works::replaced();
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    works
}

fn weighed(gross: Option<u64>, tare: Option<u64>, scale: Option<&str>) -> Entry {
    let Entry::ContainerSealed(mut data) = sealed("C1", "S-1", "cas") else {
        unreachable!("it seals")
    };
    (data.gross, data.tare) = (gross.map(mg), tare.map(mg));
    data.scale = scale.map(id);
    Entry::ContainerSealed(data)
}

#[test]
fn a_container_is_weighed_full_and_empty_on_a_registered_scale() {
    let mut works = filled();
    let c1 = id("C1");
    let why = works.refused("cal", weighed(Some(900), Some(901), None));
    assert_eq!(why, Refusal::BelowTare(c1));
    let why = works.refused("cal", weighed(None, Some(900), None));
    assert_eq!(why, Refusal::NoGross(c1));
    let why = works.refused("cal", weighed(Some(900), None, Some("W1")));
    assert_eq!(why, Refusal::UnknownScale(id("W1")));
    works.must("sue", Entry::ScaleSet(scale("W1")));
    let why = works.refused("cal", weighed(None, None, Some("W1")));
    assert_eq!(why, Refusal::NoGross(c1));
    works.must("cal", weighed(Some(900), Some(900), Some("W1")));
    let sealing = works.state().container(c1).unwrap().sealing().unwrap();
    assert_eq!(sealing.weighed, on_w1(900));
    let line = works.book.texts().last().unwrap();
    assert!(line.contains("Tare 0.9 g\\nWeighed on W1"), "{line}");
}

fn on_w1(tare: u64) -> TareAndScale {
    TareAndScale {
        tare: Some(mg(tare)),
        scale: Some(id("W1")),
    }
}

/// A correction of the masses of C1 that `cas` signs too.
fn mended(works: &Works, gross: Option<u64>, weighed: Option<TareAndScale>) -> Entry {
    let Entry::SealingCorrected(mut data) = corrected_sealing(works, "C1", "S-1", gross) else {
        unreachable!("it corrects a sealing")
    };
    data.weighed = weighed;
    Entry::SealingCorrected(data)
}

#[test]
fn tare_and_scale_of_a_sealing_are_corrected_with_the_gross_mass() {
    let mut works = filled();
    works.must("sue", Entry::ScaleSet(scale("W1")));
    works.must("cal", weighed(Some(9_000), Some(8_000), None));
    let c1 = id("C1");
    let sealing = |works: &Works| {
        let known = works.state().container(c1).unwrap();
        known.sealing().unwrap().clone()
    };
    // The tare was wrong, so the true gross mass lies below it: it needs the true tare beside it.
    let alone = mended(&works, Some(7_900), None);
    assert_eq!(works.refused("cal", alone), Refusal::BelowTare(c1));
    let heavier = mended(&works, Some(7_900), Some(on_w1(7_901)));
    assert_eq!(works.refused("cal", heavier), Refusal::BelowTare(c1));
    let lone = mended(&works, None, Some(on_w1(800)));
    assert_eq!(works.refused("cal", lone), Refusal::NoGross(c1));
    let mut strange = on_w1(800);
    strange.scale = Some(id("W9"));
    let strange = mended(&works, Some(7_900), Some(strange));
    assert_eq!(
        works.refused("cal", strange),
        Refusal::UnknownScale(id("W9"))
    );
    let same = mended(&works, Some(9_000), Some(sealing(&works).weighed));
    let why = works.refused("cal", same);
    assert_eq!(why, Refusal::Cage(CageRefusal::NothingCorrected));
    let entry = mended(&works, Some(7_900), Some(on_w1(800)));
    let statement = works.book.statement(id("cal"), &entry).unwrap();
    let lines = "Gross mass 7.9 g (before: 9.0 g)\nTare 0.8 g (before: 8.0 g)\nScale W1 (before: not named)\n";
    assert!(statement.contains(lines), "{statement}");
    works.must("cal", entry);
    let now = sealing(&works);
    assert_eq!((now.gross, now.weighed), (Some(mg(7_900)), on_w1(800)));
    assert_eq!(now.corrections[0].weighed_was.tare, Some(mg(8_000)));
    // A correction that names neither says what one always said, and leaves both as they stand.
    let entry = mended(&works, Some(7_950), None);
    let statement = works.book.statement(id("cal"), &entry).unwrap();
    assert!(
        !statement.contains("Tare") && !statement.contains("Scale"),
        "{statement}"
    );
    works.must("cal", entry);
    assert_eq!(sealing(&works).weighed, on_w1(800));
    // Neither says anything without the gross mass.
    let entry = mended(&works, None, None);
    works.must("cal", entry);
    assert_eq!(sealing(&works).weighed, TareAndScale::default());
}

#[test]
fn a_container_sealed_anew_is_weighed_as_at_its_first_sealing() {
    let mut works = filled();
    works.must("sue", Entry::ScaleSet(scale("W1")));
    works.must("cal", sealed("C1", "S-1", "cas"));
    works.must("cal", held("C1", "its lid is bent"));
    let counted = recounted(&works, "C1", &[], &[]);
    works.must("cal", counted);
    let anew = |gross: Option<u64>, tare: Option<u64>| {
        let Entry::ContainerResealed(mut data) = resealed("C1", "S-2") else {
            unreachable!("it seals anew")
        };
        (data.gross, data.tare) = (gross.map(mg), tare.map(mg));
        data.scale = Some(id("W1"));
        Entry::ContainerResealed(data)
    };
    let c1 = id("C1");
    let why = works.refused("cal", anew(Some(800), Some(801)));
    assert_eq!(why, Refusal::BelowTare(c1));
    assert_eq!(works.refused("cal", anew(None, None)), Refusal::NoGross(c1));
    works.must("cal", anew(Some(900), Some(800)));
    let line = works.book.texts().last().unwrap();
    let lines = "Gross mass 0.9 g\\nTare 0.8 g\\nWeighed on W1";
    assert!(line.contains(lines), "{line}");
    let sealing = works.state().container(c1).unwrap().sealing().unwrap();
    assert_eq!(
        (sealing.gross, sealing.weighed),
        (Some(mg(900)), on_w1(800))
    );
}

/// One sheet of 432 × 164 mm and two notes of 136 × 68 mm at 86 + 3 g/m²: 0.070 848 m² and
/// 2 · 0.009 248 m², together 0.089 344 m², weigh 7.951 616 g.
#[test]
fn a_session_keeps_its_weigh_check_as_it_was() {
    let mut works = filled();
    works.must("cal", weighed(None, None, None));
    works.must("sue", Entry::ScaleSet(scale("W1")));
    works.must("sue", paper("M20"));
    let mut record = works.destruction("D1", &["C1"]);
    record.containers[0].scale = Some(id("W9"));
    let why = works.refused("cal", Entry::SpoilsDestroyed(record.clone()));
    let unknown = DestructionError::UnknownScale {
        container: id("C1"),
        scale: id("W9"),
    };
    assert_eq!(why, Refusal::Destruction(unknown));
    record.containers[0].scale = Some(id("W1"));
    record.containers[0].gross = mg(4_008_000);
    works.must("cal", Entry::SpoilsDestroyed(record));
    let other = Paper {
        bias: 0,
        spread: 0,
        ink: 0,
        ink_bias: 0,
    };
    let Entry::PaperSet(mut data) = paper("M20") else {
        unreachable!("it describes paper")
    };
    data.paper = other;
    works.must("sue", Entry::PaperSet(data));
    let check = &works.state().sessions[0].weighed[0];
    assert_eq!(check.expected.mass, mg(7_952));
    assert_eq!(check.expected.judge(mg(8_000)), WeighVerdict::Agrees);
    let budget = check.expected.budget.as_ref().unwrap();
    assert_eq!(
        (budget.missing_notes, budget.missing_sheets),
        (None, Some(1))
    );
    assert!(!check.overdue);
}

/// A line written before scales and samples were known is read and written byte for byte.
#[test]
fn older_lines_say_nothing_of_scales_and_samples() {
    let works = Works::destroyed();
    let lines = works.book.to_jsonl();
    for word in ["\"scale\"", "\"sample\"", "residue", "\"tare\":null"] {
        assert!(!lines.contains(word), "{word}");
    }
    let check = &works.state().sessions[0].weighed[0];
    assert_eq!(
        check.expected.judge(mg(1_000_000)),
        WeighVerdict::CannotTell
    );
}

#[test]
fn a_sample_of_the_residue_is_checked_against_its_class() {
    let mut works = Works::sealed();
    let mut record = works.destruction("D1", &["C1"]);
    record.sample = Some(ResidueSample {
        measured: 20,
        above: 3,
    });
    record.largest_particle_mm2 = Some(90);
    let why = works.refused("cal", Entry::SpoilsDestroyed(record.clone()));
    assert!(why.to_string().contains("allows 2 of them"), "{why}");
    let mut burnt = record.clone();
    burnt.method = Method::Burning;
    (burnt.particle_class, burnt.largest_particle_mm2) = (None, None);
    let why = works.refused("cal", Entry::SpoilsDestroyed(burnt));
    let alone = DestructionError::SampleWithoutLargest;
    assert_eq!(why, Refusal::Destruction(alone));
    record.sample = Some(ResidueSample {
        measured: 20,
        above: 2,
    });
    works.must("cal", Entry::SpoilsDestroyed(record));
    let signed = &works.state().sessions[0].statement;
    assert!(
        signed.contains("Particles measured 20, above 30 mm2: 2"),
        "{signed}"
    );
}

fn sent(works: &mut Works, change: impl FnOnce(&mut ResidueSent)) -> ResidueError {
    let mut data = residue(&["D1"], "R-1", "2026-11-25");
    change(&mut data);
    match works.refused("cal", Entry::ResidueSent(data)) {
        Refusal::Residue(why) => why,
        other => panic!("refused for something else: {other}"),
    }
}

#[test]
fn residue_is_sent_once_after_its_session_with_a_receipt_of_its_own() {
    let mut works = Works::destroyed();
    assert_eq!(
        sent(&mut works, |d| d.sessions.clear()),
        ResidueError::NoSessions
    );
    let twice = sent(&mut works, |d| d.sessions.push(id("D1")));
    assert_eq!(twice, ResidueError::SessionTwice(id("D1")));
    let unknown = sent(&mut works, |d| d.sessions[0] = id("D9"));
    assert_eq!(unknown, ResidueError::UnknownSession(id("D9")));
    assert_eq!(sent(&mut works, |d| d.mass = mg(0)), ResidueError::NoMass);
    let nowhere = sent(&mut works, |d| d.destination = " ".to_owned());
    assert_eq!(nowhere, ResidueError::Empty("Destination"));
    let bare = sent(&mut works, |d| d.receipt.clear());
    assert_eq!(bare, ResidueError::Empty("Receipt number"));
    let early = sent(&mut works, |d| d.date = id("2026-11-24"));
    assert!(
        matches!(early, ResidueError::BeforeSession { .. }),
        "{early}"
    );
    let late = sent(&mut works, |d| d.date = id("2026-11-26"));
    assert!(matches!(late, ResidueError::NotYet { .. }), "{late}");
    let by_witness = Entry::ResidueSent(residue(&["D1"], "R-1", "2026-11-25"));
    let (person, duty) = (id("wim"), Duty::LeadDestruction);
    let why = works.refused("wim", by_witness.clone());
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    // What is typed is compared before it is recorded, as the book compares it afterwards.
    let compared = |grams: &str, sessions: &[SessionId]| {
        let typed = Typed::with([("residue-mass", grams)]);
        residue_compared(&typed, sessions, works.state())
    };
    let d1 = [id("D1")];
    assert_eq!(compared("", &d1), None);
    assert_eq!(compared("900", &[]), None);
    let results = ["949.999", "950", "1050", "1050.001", "99999"]
        .map(|grams| compared(grams, &d1).map(|balance| balance.differs()));
    assert_eq!(results, [true, false, false, true, true].map(Some));
    let typed = compared("900", &d1);
    works.must("cal", by_witness);
    let entry = works.book.len() - 1;
    let again = sent(&mut works, |d| d.receipt = "R-2".to_owned());
    let receipt = "R-1".to_owned();
    let (session, before) = (id("D1"), receipt.clone());
    assert_eq!(
        again,
        ResidueError::SentBefore {
            session,
            receipt: before,
            entry
        }
    );
    // 1000 g of paper, 900 g of residue, 5 per cent: 50 g.
    let balance = works.state().residue[0].balance;
    assert_eq!(typed, Some(balance));
    assert_eq!(
        (balance.difference(), balance.tolerance),
        (-100_000, Some(mg(50_000)))
    );
    assert_eq!(balance.result(), "differs");
    let life = works.book.life(&Subject::Sheet(id("L1"), sheet(5)));
    let last = &life.last().unwrap().says;
    assert_eq!(
        last,
        "its residue went to Calder board mill on 2026-11-25, receipt R-1"
    );
}
