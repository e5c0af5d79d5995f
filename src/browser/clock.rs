//! The machine's clock and ids.

use js_sys::Date;
use uuid::Uuid;

use crate::people::Stamp;

/// The moment now, with the machine's own offset, to the second.
pub fn now() -> Stamp {
    let date = Date::new_0();
    // `getTimezoneOffset` is minutes from local time to UTC: negative east of Greenwich.
    let offset = -(date.get_timezone_offset() as i64);
    let (sign, minutes) = if offset < 0 {
        ('-', -offset)
    } else {
        ('+', offset)
    };
    let text = format!(
        "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}{sign}{:02}:{:02}",
        date.get_full_year(),
        date.get_month() + 1,
        date.get_date(),
        date.get_hours(),
        date.get_minutes(),
        date.get_seconds(),
        minutes / 60,
        minutes % 60,
    );
    text.parse()
        .expect("the text is written in the form that is read")
}

/// A fresh UUID version 7.
pub fn new_id() -> Uuid {
    Uuid::now_v7()
}
