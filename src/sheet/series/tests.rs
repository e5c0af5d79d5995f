use super::*;
use crate::sheet::sample::{format, layout};
use crate::sheet::{NumberingSpec, Run};

fn series(prefix: &str, width: u8, first: u64, last: u64) -> Result<Series, SeriesError> {
    let (id, product) = ("R1".parse().unwrap(), "M20".parse().unwrap());
    let spec = SeriesSpec {
        id,
        product,
        format: format(prefix, width, ""),
        stock: SeriesStock::Notes { first, last },
    };
    Series::new(spec, &layout(2, 2))
}

/// Three sheets of 2 × 2 notes.
fn sheets(run: Run) -> Result<Series, SeriesError> {
    let mut spec = series("ZZ", 6, 1, 2).unwrap().spec;
    spec.stock = SeriesStock::Sheets(run);
    Series::new(spec, &layout(2, 2))
}

#[test]
fn sheets_are_drawn_sheet_by_sheet_and_exactly_back() {
    let down = sheets(Run {
        stride: 10,
        ..Run::down_stack(3, 100)
    });
    let numbers = |series: &Series| -> Vec<u64> {
        (0..series.len())
            .map_while(|at| series.number(at))
            .collect()
    };
    let down = down.unwrap();
    assert_eq!(
        numbers(&down),
        [100, 110, 120, 130, 101, 111, 121, 131, 102, 112, 122, 132]
    );
    let across = sheets(Run::across_sheet(3, 100, 4)).unwrap();
    assert_eq!(numbers(&across), (100..112).collect::<Vec<_>>());
    for series in [&down, &across] {
        assert_eq!(series.notes_of_sheet(), Some(4));
        assert_eq!((series.len(), series.serial(12)), (12, None));
        assert_eq!(series.number(u64::MAX), None);
        for (place, number) in (0..).zip(numbers(series)) {
            assert_eq!(series.place_of(number), Some(place));
        }
    }
    assert_eq!(down.place_of(103), None);
    assert_eq!(down.overlaps(&across), texts("ZZ000100", "ZZ000102"));
    let why = sheets(Run::down_stack(0, 1)).unwrap_err().to_string();
    assert!(
        why.contains("R1 cannot be numbered so. Run 1 has no"),
        "{why}"
    );
}

#[test]
fn a_line_gives_notes_or_sheets() {
    let json = serde_json::to_string(sheets(Run::down_stack(3, 1)).unwrap().spec()).unwrap();
    let read: SeriesSpec = serde_json::from_str(&json).unwrap();
    assert_eq!(read.stock, SeriesStock::Sheets(Run::down_stack(3, 1)));
    let both = json.replace("\"sheets\":{", "\"first\":1,\"sheets\":{");
    let why = serde_json::from_str::<SeriesSpec>(&both).unwrap_err();
    assert!(why.to_string().contains("or \"sheets\""), "{why}");
    let notes = serde_json::to_string(series("ZZ", 6, 11, 20).unwrap().spec()).unwrap();
    assert!(notes.ends_with("\"first\":11,\"last\":20}"), "{notes}");
}

fn lot(prefix: &str, width: u8, first: u64) -> Numbering {
    let spec = NumberingSpec {
        format: format(prefix, width, ""),
        runs: vec![Run {
            stride: 100,
            ..Run::down_stack(50, first)
        }],
    };
    Numbering::new(spec, &layout(2, 2), 50).unwrap()
}

fn texts(from: &str, to: &str) -> Option<(String, String)> {
    Some((from.to_owned(), to.to_owned()))
}

#[test]
fn serials_come_in_rising_order() {
    let series = series("ZZ", 6, 11, 20).unwrap();
    assert_eq!(series.len(), 10);
    assert_eq!(series.serial(0).unwrap().as_str(), "ZZ000011");
    assert_eq!(series.serial(9).unwrap().as_str(), "ZZ000020");
    assert_eq!(series.serial(10), None);
    assert_eq!(series.serial(u64::MAX), None);
    assert_eq!(series.find("zz 000020"), Ok(Some(9)));
    assert_eq!(series.find("ZZ000021"), Ok(None));
    assert!(series.find("ZZ21").is_err());
}

#[test]
fn refuses_with_the_numbers() {
    assert_eq!(
        series("ZZ", 6, 20, 11).unwrap_err().to_string(),
        "Replacement series R1 starts at 20 and ends before it, at 11. Give the lower number first."
    );
    assert_eq!(
        series("ZZ", 6, 1, 1_000_000).unwrap_err().to_string(),
        "Replacement series R1 would reach number 1 000 000, but 6 digits end at 999 999. Give a lower last number or a wider serial format."
    );
}

#[test]
fn overlaps_are_found_in_the_gaps_exactly() {
    let lot = lot("KA", 6, 1_000);
    let overlap = |first, last| {
        series("KA", 6, first, last)
            .unwrap()
            .overlaps_numbering(&lot)
    };
    assert_eq!(overlap(1_050, 1_099), None);
    assert_eq!(overlap(1_040, 1_099), texts("KA001040", "KA001049"));
    assert_eq!(overlap(1_050, 1_100), texts("KA001100", "KA001100"));
    assert_eq!(overlap(1_350, 9_999), None);
    assert_eq!(
        series("KB", 6, 1_000, 1_349)
            .unwrap()
            .overlaps_numbering(&lot),
        None
    );
    let (a, b) = (
        series("KA", 6, 1, 10).unwrap(),
        series("KA", 6, 10, 12).unwrap(),
    );
    assert_eq!(a.overlaps(&b), texts("KA000010", "KA000010"));
}

#[test]
fn digits_of_the_prefix_do_not_hide_an_overlap() {
    // KA1 with five digits and KA with six both print KA101000.
    let lot = lot("KA1", 5, 1_000);
    let wide = series("KA", 6, 101_040, 101_060).unwrap();
    assert_eq!(wide.overlaps_numbering(&lot), texts("KA101040", "KA101049"));
    let low = series("KA", 6, 1_040, 1_060).unwrap();
    assert_eq!(low.overlaps_numbering(&lot), None);
}

#[test]
fn lots_overlap_only_where_both_print() {
    assert_eq!(lot("KA", 6, 1_000).overlaps(&lot("KA", 6, 1_050)), None);
    let clash = lot("KA", 6, 1_000).overlaps(&lot("KA", 6, 1_149));
    assert_eq!(clash, texts("KA001149", "KA001149"));
    assert_eq!(lot("KA", 6, 1_000).overlaps(&lot("KA", 7, 1_000)), None);
}
