use super::SheetNo;

/// The order in which a lot's sheets go through the numbering press: place from 0 ⇄ sheet, each
/// the exact inverse of the other. A sheet that leaves has no place; those behind it move up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PressOrder(Order);

#[derive(Clone, Debug, PartialEq, Eq)]
enum Order {
    /// Every sheet at its own place; takes no memory.
    AsReceived(u32),
    Changed {
        /// The sheet at each place.
        sheets: Vec<SheetNo>,
        /// The place of each sheet ever in the order; nothing for one that left.
        places: Vec<Option<u32>>,
    },
}

impl PressOrder {
    /// All `sheets` sheets in the order of their numbers.
    pub fn as_received(sheets: u32) -> Self {
        Self(Order::AsReceived(sheets))
    }

    /// Sheets in the order.
    pub fn len(&self) -> u32 {
        match &self.0 {
            Order::AsReceived(sheets) => *sheets,
            Order::Changed { sheets, .. } => sheets.len() as u32,
        }
    }

    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The sheet at a place from 0; nothing past the last.
    pub fn sheet_at(&self, place: u32) -> Option<SheetNo> {
        match &self.0 {
            Order::AsReceived(sheets) => (place < *sheets).then(|| SheetNo::from_index(place)),
            Order::Changed { sheets, .. } => sheets.get(place as usize).copied(),
        }
    }

    /// The place of a sheet, from 0; nothing for one that left or never was in the order.
    pub fn place_of(&self, sheet: SheetNo) -> Option<u32> {
        match &self.0 {
            Order::AsReceived(sheets) => (sheet.index() < *sheets).then(|| sheet.index()),
            Order::Changed { places, .. } => *places.get(sheet.index() as usize)?,
        }
    }

    /// The sheets, first through the press first.
    pub fn iter(&self) -> impl Iterator<Item = SheetNo> + '_ {
        (0..self.len()).filter_map(|place| self.sheet_at(place))
    }

    /// The order after some sheets left it.
    pub fn without(&self, leaves: impl Fn(SheetNo) -> bool) -> Self {
        Self::of(self.iter().filter(|sheet| !leaves(*sheet)).collect())
    }

    /// The order with sheets put in right behind another, or before the first. Nothing when
    /// `after` is not in the order, or one of `added` is already.
    pub fn with_added(&self, after: Option<SheetNo>, added: &[SheetNo]) -> Option<Self> {
        if added.iter().any(|sheet| self.place_of(*sheet).is_some()) {
            return None;
        }
        let at = match after {
            None => 0,
            Some(after) => self.place_of(after)? as usize + 1,
        };
        let mut sheets: Vec<SheetNo> = self.iter().collect();
        sheets.splice(at..at, added.iter().copied());
        Some(Self::of(sheets))
    }

    fn of(sheets: Vec<SheetNo>) -> Self {
        let ever = sheets.iter().map(|sheet| sheet.index() as usize + 1).max();
        let mut places = vec![None; ever.unwrap_or(0)];
        for (place, sheet) in (0..).zip(&sheets) {
            places[sheet.index() as usize] = Some(place);
        }
        Self(Order::Changed { sheets, places })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::sample::sheet;

    fn numbers(order: &PressOrder) -> Vec<u32> {
        order.iter().map(SheetNo::number).collect()
    }

    #[test]
    fn sheets_leave_and_the_rest_move_up() {
        let order = PressOrder::as_received(5).without(|left| left == sheet(2));
        assert_eq!(numbers(&order), [1, 3, 4, 5]);
        assert_eq!(order.place_of(sheet(3)), Some(1));
        assert_eq!(order.place_of(sheet(2)), None);
        assert_eq!(order.sheet_at(4), None);
    }

    #[test]
    fn sheets_come_in_behind_another_or_first() {
        let order = PressOrder::as_received(3);
        let behind = order
            .with_added(Some(sheet(2)), &[sheet(4), sheet(5)])
            .unwrap();
        assert_eq!(numbers(&behind), [1, 2, 4, 5, 3]);
        assert_eq!(
            numbers(&order.with_added(None, &[sheet(4)]).unwrap()),
            [4, 1, 2, 3]
        );
        assert_eq!(order.with_added(Some(sheet(4)), &[sheet(5)]), None);
        assert_eq!(order.with_added(Some(sheet(1)), &[sheet(3)]), None);
    }
}
