//! The press order against a plain list that is searched from its start.

use cullbook::sheet::{PressOrder, SheetNo};
use proptest::prelude::*;

/// One change of the order; numbers are taken modulo what there is.
#[derive(Clone, Debug)]
enum Change {
    Leave(usize),
    LeaveEvery(u32),
    Add { behind: usize, sheets: u32 },
}

fn changes() -> impl Strategy<Value = Vec<Change>> {
    let one = prop_oneof![
        3 => any::<usize>().prop_map(Change::Leave),
        1 => (2..7_u32).prop_map(Change::LeaveEvery),
        2 => (any::<usize>(), 1..4_u32).prop_map(|(behind, sheets)| Change::Add { behind, sheets }),
    ];
    prop::collection::vec(one, 0..20)
}

/// Changes order and list alike; `ever` counts the sheets there ever were.
fn make(change: &Change, order: PressOrder, list: &mut Vec<SheetNo>, ever: &mut u32) -> PressOrder {
    match change {
        Change::Leave(which) if !list.is_empty() => {
            let left = list.remove(which % list.len());
            order.without(|sheet| sheet == left)
        }
        Change::Leave(_) => order,
        Change::LeaveEvery(nth) => {
            list.retain(|sheet| sheet.number() % nth != 0);
            order.without(|sheet| sheet.number() % nth == 0)
        }
        Change::Add { behind, sheets } => {
            let at = behind % (list.len() + 1);
            let after = at.checked_sub(1).map(|before| list[before]);
            let new: Vec<SheetNo> = (*ever..*ever + sheets).map(SheetNo::from_index).collect();
            *ever += sheets;
            list.splice(at..at, new.clone());
            order
                .with_added(after, &new)
                .expect("a sheet of the order, and new ones")
        }
    }
}

proptest! {
    #[test]
    fn place_and_sheet_are_each_others_inverse(sheets in 1..40_u32, changes in changes()) {
        let mut order = PressOrder::as_received(sheets);
        let mut list: Vec<SheetNo> = (0..sheets).map(SheetNo::from_index).collect();
        let mut ever = sheets;
        for change in &changes {
            order = make(change, order, &mut list, &mut ever);
            prop_assert_eq!(order.iter().collect::<Vec<_>>(), list.clone());
            prop_assert_eq!(order.len() as usize, list.len());
            for index in 0..ever + 3 {
                let sheet = SheetNo::from_index(index);
                let place = list.iter().position(|other| *other == sheet);
                prop_assert_eq!(order.place_of(sheet), place.map(|place| place as u32));
                let back = order.place_of(sheet).and_then(|place| order.sheet_at(place));
                prop_assert_eq!(back, place.map(|_| sheet));
            }
            prop_assert_eq!(order.sheet_at(order.len()), None);
        }
    }
}
