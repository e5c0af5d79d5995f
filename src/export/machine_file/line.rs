//! Lines and fields of a machine file.
//!
//! A record of this file is one line: no field may hold a line break. So a quote left open costs
//! one row and not the rest of the file, which is what RFC 4180 readers make of it.

use std::borrow::Cow;

use super::error::QuoteFault;

/// No good row is longer, in bytes: the longest remark has 480, or 960 if all of it is quotes.
pub(super) const LINE_MAX: usize = 2000;

/// The lines of a text with their numbers from 1, blank ones left out. They end in LF or CR LF,
/// or in CR if the text has no LF at all.
#[derive(Debug, Clone)]
pub(super) struct Lines<'a> {
    rest: &'a str,
    ending: char,
    read: u32,
}

impl<'a> Lines<'a> {
    pub fn new(text: &'a str) -> Self {
        let ending = if text.contains('\n') { '\n' } else { '\r' };
        Self {
            rest: text,
            ending,
            read: 0,
        }
    }
}

impl<'a> Iterator for Lines<'a> {
    type Item = (u32, &'a str);

    fn next(&mut self) -> Option<(u32, &'a str)> {
        while !self.rest.is_empty() {
            let (line, rest) = self.rest.split_once(self.ending).unwrap_or((self.rest, ""));
            self.rest = rest;
            self.read += 1;
            if !line.trim_ascii().is_empty() {
                return Some((self.read, line.strip_suffix('\r').unwrap_or(line)));
            }
        }
        None
    }
}

/// Splits a line into its fields, quotes taken off.
pub(super) fn split<'a>(line: &'a str, fields: &mut Vec<Cow<'a, str>>) -> Result<(), QuoteFault> {
    fields.clear();
    let mut rest = Some(line);
    while let Some(text) = rest {
        let field;
        (field, rest) = match text.strip_prefix('"') {
            Some(quoted) => quoted_field(quoted)?,
            None => bare_field(text)?,
        };
        fields.push(field);
    }
    Ok(())
}

/// A field and, after a comma, the rest of the line.
type Split<'a> = (Cow<'a, str>, Option<&'a str>);

fn bare_field(text: &str) -> Result<Split<'_>, QuoteFault> {
    let (field, rest) = match text.split_once(',') {
        Some((field, rest)) => (field, Some(rest)),
        None => (text, None),
    };
    if field.contains('"') {
        return Err(QuoteFault::Inside);
    }
    Ok((Cow::Borrowed(field), rest))
}

/// `text` starts after the opening quote.
fn quoted_field(text: &str) -> Result<Split<'_>, QuoteFault> {
    let mut from = 0;
    let end = loop {
        let quote = from + text[from..].find('"').ok_or(QuoteFault::NotClosed)?;
        if !text[quote + 1..].starts_with('"') {
            break quote;
        }
        from = quote + 2;
    };
    let field = match from {
        0 => Cow::Borrowed(&text[..end]),
        _ => Cow::Owned(text[..end].replace("\"\"", "\"")),
    };
    match &text[end + 1..] {
        "" => Ok((field, None)),
        rest => Ok((
            field,
            Some(rest.strip_prefix(',').ok_or(QuoteFault::TextAfter)?),
        )),
    }
}

/// At most `most` characters for a message, control characters written out.
pub(super) fn shortened(text: &str, most: usize) -> String {
    // What nearly all fields are, and there are many.
    if text.len() <= most && text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return text.to_owned();
    }
    let mut short = String::new();
    for (count, c) in text.chars().enumerate() {
        if count == most {
            short.push('…');
            break;
        }
        match c.is_control() {
            true => short.extend(c.escape_default()),
            false => short.push(c),
        }
    }
    short
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::*;

    fn fields(line: &str) -> Result<Vec<String>, QuoteFault> {
        let mut fields = Vec::new();
        split(line, &mut fields)?;
        Ok(fields.into_iter().map(Cow::into_owned).collect())
    }

    #[test]
    fn lines_end_in_all_three_ways_and_keep_their_numbers() {
        let lines = |text| Lines::new(text).collect::<Vec<_>>();
        assert_eq!(
            lines("a\nb\r\n\r\n  \nc\rd\r\n"),
            [(1, "a"), (2, "b"), (5, "c\rd")]
        );
        assert_eq!(lines("a\rb\r\rc"), [(1, "a"), (2, "b"), (4, "c")]);
        assert_eq!(Lines::new("\n\n").next(), None);
    }

    #[test]
    fn broken_quotes_are_told_apart() {
        assert_eq!(fields("a,\"b,c"), Err(QuoteFault::NotClosed));
        assert_eq!(fields("a,\"b\"c"), Err(QuoteFault::TextAfter));
        assert_eq!(fields("a,b\"c"), Err(QuoteFault::Inside));
        assert_eq!(fields("a,\"b\"\"\",\"\"").unwrap(), ["a", "b\"", ""]);
        assert_eq!(fields("a,").unwrap(), ["a", ""]);
    }

    /// RFC 4180 examples of tests/fixtures/reference/csv_rules.json, but for those with a line
    /// break inside a field, which this file does not allow.
    #[test]
    fn rfc_4180_examples() {
        let rules = include_str!("../../../tests/fixtures/reference/csv_rules.json");
        let rules: Value = serde_json::from_str(rules).unwrap();
        let (mut same, mut broken) = (0, 0);
        for example in rules["rfc4180"]["parse_examples"].as_array().unwrap() {
            let expected: Vec<Vec<String>> =
                serde_json::from_value(example["records"].clone()).unwrap();
            let lines = Lines::new(example["text"].as_str().unwrap());
            let read: Result<Vec<_>, _> = lines.map(|(_, line)| fields(line)).collect();
            if expected.iter().flatten().any(|field| field.contains('\n')) {
                assert_eq!(read, Err(QuoteFault::NotClosed));
                broken += 1;
            } else {
                assert_eq!(read.as_ref(), Ok(&expected));
                same += 1;
            }
        }
        assert_eq!((same, broken), (12, 2));
    }

    #[test]
    fn messages_stay_short_and_printable() {
        assert_eq!(shortened("abcd", 4), "abcd");
        assert_eq!(shortened("äbcde", 4), "äbcd…");
        assert_eq!(shortened("a\tb", 4), "a\\tb");
    }
}
