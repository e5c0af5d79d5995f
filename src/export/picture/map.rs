//! Position maps: how often each note of the sheet was marked on the sheets of a day, side by
//! side as each is seen.

use crate::book::{Lot, Mark, Press, State};
use crate::export::DayRecord;
use crate::inspect::ClassCode;
use crate::quality::map::RateMap;
use crate::sheet::{LotId, Side, grouped};

use super::{Anchor, Drawing, Fill, Shape, svg_file};
use crate::export::day_record::ppm;

/// One side of a lot's sheets.
#[derive(Clone, Debug, PartialEq)]
pub struct PositionMap {
    pub lot: LotId,
    pub side: Side,
    /// Nothing for marks of every class; a sheet then counts once at each position.
    pub class: Option<ClassCode>,
    /// Sheets examined.
    pub examined: u64,
    /// Row after row, as the side is seen.
    pub rows: Vec<Vec<MapCell>>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct MapCell {
    pub name: String,
    /// Sheets marked here.
    pub marked: u64,
    pub rate_ppm: u64,
    /// By the share of the highest rate of the side: 0 (none) to 4.
    pub level: u8,
}

/// The map of one side; nothing before a sheet was examined.
pub fn position_map(
    lot: &Lot,
    press: &Press,
    side: Side,
    class: Option<ClassCode>,
) -> Option<PositionMap> {
    let layout = &lot.product.layout;
    let grid = match class {
        None => press.side(side),
        Some(class) => {
            let mark = Mark { class, side };
            press
                .marks()
                .find(|(of, _)| *of == mark)
                .map(|(_, grid)| grid)
        }
    };
    // A position is counted at most once for each sheet examined, so only no sheet fails.
    let rates = match grid {
        Some(grid) => Some(RateMap::new(grid, press.examined()).ok()?),
        None if press.examined() == 0 => return None,
        None => None,
    };
    let highest = rates.as_ref().map_or(0.0, RateMap::highest);
    let cell = &|row: u8, column: u8| {
        let position = layout.seen_at(side, row, column)?;
        let at = position.index();
        let rate = rates.as_ref().map_or(0.0, |rates| rates.rates()[at]);
        Some(MapCell {
            name: layout.name(position).to_owned(),
            marked: grid.map_or(0, |grid| grid.counts()[at]),
            rate_ppm: ppm(rate),
            level: level(rate, highest),
        })
    };
    let row = |row: u8| (0..layout.columns()).filter_map(move |column| cell(row, column));
    Some(PositionMap {
        lot: lot.id,
        side,
        class,
        examined: press.examined(),
        rows: (0..layout.rows()).map(|at| row(at).collect()).collect(),
    })
}

/// One of five levels, by the share of the highest rate.
fn level(rate: f64, highest: f64) -> u8 {
    match highest > 0.0 {
        true => (rate / highest * 4.0).ceil() as u8,
        false => 0,
    }
}

impl PositionMap {
    /// What the map shows, as a sentence.
    pub fn title(&self) -> String {
        let cells = self.rows.iter().flatten();
        // The first of equals, so that the sentence does not depend on the search.
        let most = cells.fold(None, |best: Option<&MapCell>, cell| match best {
            Some(best) if best.marked >= cell.marked => Some(best),
            _ => Some(cell),
        });
        let what = match self.class {
            Some(class) => format!("{class} on the {}", self.side.name()),
            None => format!("The {}", self.side.name()),
        };
        match most.filter(|cell| cell.marked > 0) {
            None => format!(
                "{what} is marked nowhere on {} sheets",
                grouped(self.examined)
            ),
            Some(cell) => format!(
                "{what} is marked most at {}: {} of {} sheets, {}",
                cell.name,
                grouped(cell.marked),
                grouped(self.examined),
                super::per_cent(cell.rate_ppm)
            ),
        }
    }
}

const CELL: (f64, f64) = (62.0, 40.0);
const HEAD: f64 = 22.0;

/// The map as a picture: names, counts, rates, and a hatch that is denser the nearer to the
/// highest.
pub fn draw_map(map: &PositionMap) -> Drawing {
    let columns = map.rows.first().map_or(0, Vec::len);
    let mut drawing = Drawing {
        id: format!("map-{}-{}", map.lot, map.side.name()),
        width: (CELL.0 * columns as f64 + 2.0).max(240.0),
        height: CELL.1 * map.rows.len() as f64 + HEAD + 2.0,
        title: map.title(),
        shapes: Vec::new(),
    };
    let side = match map.side {
        Side::Front => "Front",
        Side::Back => "Back, as seen from the back",
    };
    drawing.text((1.0, 14.0), side, Anchor::Start, "chart-axis");
    for (row, cells) in map.rows.iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            let at = (column as f64 * CELL.0 + 1.0, row as f64 * CELL.1 + HEAD);
            draw_cell(&mut drawing, cell, at);
        }
    }
    drawing
}

fn draw_cell(drawing: &mut Drawing, cell: &MapCell, (x, y): (f64, f64)) {
    drawing.shapes.push(Shape::Bar {
        x,
        y,
        width: CELL.0,
        height: CELL.1,
        fill: Fill::Level(cell.level),
    });
    // Words stand on plain ground, or a dense hatch would hide them.
    drawing.shapes.push(Shape::Path {
        d: format!("M{} {}h38v30h-38z", x + 2.0, y + 5.0),
        class: "halo",
    });
    let left = x + 4.0;
    drawing.text((left, y + 14.0), &cell.name, Anchor::Start, "map-name");
    let count = grouped(cell.marked);
    drawing.text((left, y + 24.0), count, Anchor::Start, "map-count");
    if cell.marked > 0 {
        let rate = super::per_cent(cell.rate_ppm);
        drawing.text((left, y + 34.0), rate, Anchor::Start, "map-count");
    }
}

/// The map as a file that says which book, day, lot and side it is of.
pub fn save_map(record: &DayRecord, map: &PositionMap) -> String {
    let class = map
        .class
        .map_or("every".to_owned(), |class| class.to_string());
    let practice = match record.practice {
        true => " PRACTICE: everything in it is invented.",
        false => "",
    };
    let about = format!(
        "Head of the book: {}. Lot {}, side {}, class {class}. Sheets examined on the day: {}. Record of production day {} of bench {}, {}.{practice}",
        record.head,
        map.lot,
        map.side.name(),
        map.examined,
        record.day,
        record.bench,
        record.works,
    );
    let mut drawing = draw_map(map);
    let foot = format!(
        "Lot {}, day {}, bench {}, head {}.{practice}",
        map.lot,
        record.day,
        record.bench,
        record.head.short(),
    );
    underline(&mut drawing, [map.title(), foot]);
    svg_file(&drawing, &about)
}

/// Two lines of words under a picture that leaves the page it belongs to.
fn underline(drawing: &mut Drawing, lines: [String; 2]) {
    drawing.width = drawing.width.max(480.0);
    for line in lines {
        drawing.height += 16.0;
        let at = (1.0, drawing.height - 4.0);
        drawing.text(at, line, Anchor::Start, "chart-axis");
    }
}

/// The same file made again for the lot, side and class that a file names; nothing when it names
/// none of this book.
pub fn map_file(state: &State, record: &DayRecord, file: &str) -> Option<String> {
    let between = |from: &str, to: &str| Some(file.split_once(from)?.1.split_once(to)?.0);
    let lot = between(". Lot ", ", side ")?.parse().ok()?;
    let lot = state.lots.get(&lot)?;
    let named = between(", side ", ", class ");
    let mut sides = Side::BOTH.into_iter();
    let side = sides.find(|side| Some(side.name()) == named)?;
    let class = match between(", class ", ". Sheets examined")? {
        "every" => None,
        code => Some(code.parse().ok()?),
    };
    let press = Press::of_day(lot, record.day);
    Some(save_map(record, &position_map(lot, &press, side, class)?))
}
