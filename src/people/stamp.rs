//! When someone acted: an RFC 3339 date-time with its offset, and the production day it falls in.

use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use time::format_description::well_known::Rfc3339;
use time::{Date, Duration, OffsetDateTime};

use crate::sheet::serde_as_text;

/// A moment with the local offset it was read at, written with a capital T and Z. Keeps the text
/// it was given, so that a line of the book is written back byte for byte; compares by the moment.
#[derive(Clone, Debug)]
pub struct Stamp {
    text: String,
    moment: OffsetDateTime,
}

/// Why a text is not a moment.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" is not a date and time with offset (RFC 3339). Write it like 2026-11-25T14:02:11+01:00."
)]
pub struct StampError(String);

impl FromStr for Stamp {
    type Err = StampError;

    fn from_str(text: &str) -> Result<Self, StampError> {
        // RFC 3339 leaves it to the application what stands between date and time, and the
        // library takes any byte there.
        let capital = text.as_bytes().get(10) == Some(&b'T') && !text.ends_with('z');
        match OffsetDateTime::parse(text, &Rfc3339) {
            Ok(moment) if capital => Ok(Self {
                text: text.to_owned(),
                moment,
            }),
            _ => Err(StampError(text.chars().take(80).collect())),
        }
    }
}

serde_as_text!(Stamp);

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl PartialEq for Stamp {
    fn eq(&self, other: &Self) -> bool {
        self.moment == other.moment
    }
}

impl Eq for Stamp {}

impl PartialOrd for Stamp {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Stamp {
    fn cmp(&self, other: &Self) -> Ordering {
        self.moment.cmp(&other.moment)
    }
}

impl Stamp {
    /// Milliseconds since 1970-01-01T00:00:00Z.
    pub fn unix_millis(&self) -> i64 {
        (self.moment.unix_timestamp_nanos() / 1_000_000) as i64
    }

    /// Local time of day as "14:02:11".
    pub fn clock(&self) -> String {
        let (h, m, s) = self.moment.time().as_hms();
        format!("{h:02}:{m:02}:{s:02}")
    }

    /// Local time of day so many seconds later, as "14:07:11".
    pub fn clock_after(&self, seconds: i64) -> String {
        let later = self.moment.checked_add(Duration::seconds(seconds));
        let (h, m, s) = later.unwrap_or(self.moment).time().as_hms();
        format!("{h:02}:{m:02}:{s:02}")
    }

    /// Local date and time as people read it: "2026-11-25 14:02:11".
    pub fn readable(&self) -> String {
        format!("{} {}", Day(self.moment.date()), self.clock())
    }

    /// Local date and time to the minute, for reading: "25 Nov 2026 14:05".
    pub fn dated(&self) -> String {
        let (hour, minute, _) = self.moment.time().as_hms();
        format!("{} {hour:02}:{minute:02}", self.date_words())
    }

    /// The same to the second, where seconds matter: "25 Nov 2026 14:05:11".
    pub fn dated_to_the_second(&self) -> String {
        format!("{} {}", self.date_words(), self.clock())
    }

    fn date_words(&self) -> String {
        let date = self.moment.date();
        let month = date.month().to_string();
        format!("{} {} {}", date.day(), &month[..3], date.year())
    }

    /// Whole seconds from `earlier` to this moment; negative when it lies before.
    pub fn seconds_since(&self, earlier: &Stamp) -> i64 {
        (self.moment - earlier.moment).whole_seconds()
    }

    /// The production day: the local date, where hours before the cut-over still count to the
    /// day before. `cut_over_hour` is 0 to 23.
    pub fn production_day(&self, cut_over_hour: u8) -> Day {
        let shifted = self
            .moment
            .checked_sub(Duration::hours(i64::from(cut_over_hour)));
        Day(shifted.unwrap_or(self.moment).date())
    }

    /// The local date.
    pub fn local_day(&self) -> Day {
        Day(self.moment.date())
    }

    /// The local hour of day, 0 to 23.
    pub fn hour(&self) -> u8 {
        self.moment.hour()
    }
}

/// A production day, written YYYY-MM-DD.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Day(Date);

/// Why a text is not a day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a day. Write it like 2026-11-25.")]
pub struct DayError(String);

impl Day {
    /// So many days later; the last day there is, beyond the calendar's end.
    pub fn later(self, days: u16) -> Day {
        Day(self.0.saturating_add(Duration::days(i64::from(days))))
    }
}

impl FromStr for Day {
    type Err = DayError;

    fn from_str(text: &str) -> Result<Self, DayError> {
        let format = time::macros::format_description!("[year]-[month]-[day]");
        Date::parse(text, &format)
            .map(Day)
            .map_err(|_| DayError(text.to_owned()))
    }
}

impl TryFrom<String> for Day {
    type Error = DayError;

    fn try_from(text: String) -> Result<Self, DayError> {
        text.parse()
    }
}

impl From<Day> for String {
    fn from(day: Day) -> Self {
        day.to_string()
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.0.to_calendar_date();
        write!(f, "{year:04}-{:02}-{day:02}", u8::from(month))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stamp(text: &str) -> Stamp {
        text.parse().expect("a stamp")
    }

    #[test]
    fn hours_before_the_cut_over_count_to_the_day_before() {
        let day = |text, hour| stamp(text).production_day(hour).to_string();
        assert_eq!(day("2026-11-25T05:59:59+01:00", 6), "2026-11-24");
        assert_eq!(day("2026-11-25T06:00:00+01:00", 6), "2026-11-25");
        assert_eq!(day("2026-01-01T00:30:00Z", 6), "2025-12-31");
    }

    #[test]
    fn a_moment_is_read_by_its_own_local_date() {
        let at = stamp("2026-03-05T00:07:09+11:00");
        assert_eq!(at.dated(), "5 Mar 2026 00:07");
        assert_eq!(at.dated_to_the_second(), "5 Mar 2026 00:07:09");
    }

    #[test]
    fn text_is_kept_and_moments_compared() {
        let (a, b) = (
            stamp("2026-11-25T14:00:00+01:00"),
            stamp("2026-11-25T13:00:00Z"),
        );
        assert_eq!(a, b);
        assert_eq!(a.to_string(), "2026-11-25T14:00:00+01:00");
    }

    #[test]
    fn only_a_capital_t_and_z_stand_in_a_stamp() {
        assert!("2026-11-25T14:00:00Z".parse::<Stamp>().is_ok());
        for between in ["t", " ", "x", "\"", "\u{1}", "é"] {
            let text = format!("2026-11-25{between}14:00:00Z");
            assert!(text.parse::<Stamp>().is_err(), "{text}");
        }
        assert!("2026-11-25T14:00:00z".parse::<Stamp>().is_err());
    }

    #[test]
    fn a_day_without_offset_is_refused() {
        assert!("2026-11-25T14:00:00".parse::<Stamp>().is_err());
        assert!("2026-13-01".parse::<Day>().is_err());
    }
}
