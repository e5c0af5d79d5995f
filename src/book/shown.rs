//! Serials as people read them: in the display groups of the format that they were made by.

use crate::sheet::SerialFormat;

use super::state::State;

impl State {
    /// The format of a note of one of the lots here, and the number that the format reads in it.
    pub fn format_of_note(&self, serial: &str) -> Option<(&SerialFormat, u64)> {
        let mut lots = self.lots.values();
        let format = lots.find(|lot| lot.has_serial(serial))?.format()?;
        Some((format, format.parse(serial).ok()?))
    }

    /// The same of a replacement note.
    pub fn format_of_replacement(&self, serial: &str) -> Option<(&SerialFormat, u64)> {
        let mut series = self.pools.values().map(|pool| &pool.series);
        let format = series
            .find(|series| matches!(series.find(serial), Ok(Some(_))))?
            .format();
        Some((format, format.parse(serial).ok()?))
    }

    /// A serial of this book in its groups; as it is, where no lot or series here has it.
    pub fn in_groups(&self, serial: &str) -> String {
        let note = self.format_of_note(serial);
        let known = note.or_else(|| self.format_of_replacement(serial));
        known.map_or_else(|| serial.to_owned(), |(format, _)| format.in_groups(serial))
    }
}
