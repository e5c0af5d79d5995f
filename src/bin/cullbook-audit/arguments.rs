//! What is asked on the command line, and the help.

use std::ffi::OsString;
use std::path::PathBuf;

use cullbook::book::Hash;
use cullbook::people::Day;
use lexopt::prelude::*;

use super::head::{Sought, SoughtError};
use super::help;
use super::reading::Source;
use super::together::Form;

#[derive(Debug, thiserror::Error)]
pub enum ArgumentError {
    #[error(transparent)]
    Arguments(#[from] lexopt::Error),
    #[error("No command is given. Write: cullbook-audit verify BOOK")]
    NoCommand,
    #[error(
        "There is no command \"{0}\". The commands are verify, head, totals, day, certificate, compare, merge, export and help."
    )]
    UnknownCommand(String),
    #[error("No book is given. Write: cullbook-audit {0} BOOK")]
    NoBook(&'static str),
    #[error("No file is given. Write: cullbook-audit export BOOK B1_2026-11-25_day.zip")]
    NoFile,
    #[error("No day is given. Write: cullbook-audit day BOOK 2026-11-25")]
    NoDay,
    #[error("No certificate is given. Write: cullbook-audit certificate BOOK CERTIFICATE.json")]
    NoCertificate,
    #[error("{command} takes {takes}; {given} given. Write: cullbook-audit {command} BOOK BOOK")]
    Books {
        command: &'static str,
        takes: &'static str,
        given: usize,
    },
    #[error("{option} does not go with {command}. See cullbook-audit help {command}.")]
    Option {
        option: &'static str,
        command: String,
    },
    #[error("Standard input (-) is named more than once. It can be read once only.")]
    StdinTwice,
    #[error("--head is \"{0}\". Give the 64 digits 0-9 and a-f of a head.")]
    BadHead(String),
    #[error(transparent)]
    Sought(#[from] SoughtError),
    #[error(transparent)]
    Day(#[from] cullbook::people::DayError),
}

#[derive(Debug, PartialEq)]
pub enum Command {
    Help(String),
    Verify {
        book: Source,
        head: Option<Hash>,
    },
    Head {
        book: Source,
        sought: Option<Sought>,
    },
    Totals {
        book: Source,
    },
    Day {
        book: Source,
        day: Day,
    },
    Certificate {
        book: Source,
        file: PathBuf,
    },
    /// A file that was made from one book, or from several.
    Export {
        books: Vec<Source>,
        file: PathBuf,
    },
    Together {
        books: Vec<Source>,
        form: Form,
    },
}

pub struct Request {
    pub command: Command,
    pub progress: bool,
}

/// The words of the command line, before they are put together.
#[derive(Default)]
struct Words {
    command: Option<String>,
    values: Vec<OsString>,
    head: Option<Hash>,
    json: bool,
    help: bool,
    version: bool,
    progress: bool,
}

pub fn parse(arguments: lexopt::Parser) -> Result<Request, ArgumentError> {
    let words = read(arguments)?;
    let progress = words.progress;
    let command = command(words)?;
    Ok(Request { command, progress })
}

fn read(mut arguments: lexopt::Parser) -> Result<Words, ArgumentError> {
    let mut words = Words::default();
    while let Some(argument) = arguments.next()? {
        match argument {
            Short('h') | Long("help") => words.help = true,
            Short('V') | Long("version") => words.version = true,
            Long("progress") => words.progress = true,
            Long("json") => words.json = true,
            Long("head") => {
                let text = arguments.value()?.string()?;
                let head = text.parse().map_err(|_| ArgumentError::BadHead(text))?;
                words.head = Some(head);
            }
            Value(name) if words.command.is_none() => words.command = Some(name.string()?),
            Value(value) => words.values.push(value),
            other => return Err(other.unexpected().into()),
        }
    }
    Ok(words)
}

fn command(words: Words) -> Result<Command, ArgumentError> {
    if words.version {
        return Ok(Command::Help(
            concat!("cullbook-audit ", env!("CARGO_PKG_VERSION"), "\n").to_owned(),
        ));
    }
    let Some(name) = words.command.as_deref() else {
        return match words.help {
            true => help_about("help"),
            false => Err(ArgumentError::NoCommand),
        };
    };
    if name == "help" {
        let about = words.values.first().map(|name| name.to_string_lossy());
        return help_about(about.as_deref().unwrap_or("help"));
    }
    if words.help {
        return help_about(name);
    }
    let option = |option| ArgumentError::Option {
        option,
        command: name.to_owned(),
    };
    if words.json && !matches!(name, "compare" | "merge") {
        return Err(option("--json"));
    }
    if words.head.is_some() && name != "verify" {
        return Err(option("--head"));
    }
    put_together(name, words.values, words.head, words.json)
}

fn put_together(
    name: &str,
    values: Vec<OsString>,
    head: Option<Hash>,
    json: bool,
) -> Result<Command, ArgumentError> {
    let form = if json { Form::Json } else { Form::Text };
    let given = values.len();
    let books = |command, takes| {
        Err(ArgumentError::Books {
            command,
            takes,
            given,
        })
    };
    let mut values = values.into_iter();
    let command = match name {
        "verify" => Command::Verify {
            book: book("verify", &mut values)?,
            head,
        },
        "head" => Command::Head {
            book: book("head", &mut values)?,
            sought: match values.next() {
                Some(text) => Some(text.string()?.parse()?),
                None => None,
            },
        },
        "totals" => Command::Totals {
            book: book("totals", &mut values)?,
        },
        "day" => Command::Day {
            book: book("day", &mut values)?,
            day: values
                .next()
                .ok_or(ArgumentError::NoDay)?
                .string()?
                .parse()?,
        },
        "certificate" => Command::Certificate {
            book: book("certificate", &mut values)?,
            file: values.next().ok_or(ArgumentError::NoCertificate)?.into(),
        },
        "export" if given == 0 => return Err(ArgumentError::NoBook("export")),
        "export" if given == 1 => return Err(ArgumentError::NoFile),
        "export" => Command::Export {
            books: together(values.by_ref().take(given - 1))?,
            file: values.next().ok_or(ArgumentError::NoFile)?.into(),
        },
        "compare" if given != 2 => return books("compare", "two books"),
        "merge" if given < 2 => return books("merge", "two books or more"),
        "compare" | "merge" => Command::Together {
            books: together(values.by_ref())?,
            form,
        },
        other => return Err(ArgumentError::UnknownCommand(other.to_owned())),
    };
    match values.next() {
        None => Ok(command),
        Some(more) => Err(lexopt::Arg::Value(more).unexpected().into()),
    }
}

fn help_about(name: &str) -> Result<Command, ArgumentError> {
    match help::about(name) {
        Some(text) => Ok(Command::Help(text.to_owned())),
        None => Err(ArgumentError::UnknownCommand(name.to_owned())),
    }
}

fn source(value: OsString) -> Source {
    match value == "-" {
        true => Source::Stdin,
        false => Source::File(PathBuf::from(value)),
    }
}

fn book(
    command: &'static str,
    values: &mut impl Iterator<Item = OsString>,
) -> Result<Source, ArgumentError> {
    values
        .next()
        .map(source)
        .ok_or(ArgumentError::NoBook(command))
}

fn together(values: impl Iterator<Item = OsString>) -> Result<Vec<Source>, ArgumentError> {
    let books: Vec<Source> = values.map(source).collect();
    let stdin = books.iter().filter(|book| **book == Source::Stdin).count();
    match stdin {
        0 | 1 => Ok(books),
        _ => Err(ArgumentError::StdinTwice),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(arguments: &[&str]) -> String {
        match parse(lexopt::Parser::from_args(arguments)) {
            Ok(Request { command, .. }) => match command {
                Command::Help(text) => text,
                other => format!("{other:?}"),
            },
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn mistakes_are_told_in_words() {
        let head = "0".repeat(64);
        let mistakes: [(&[&str], &str); 22] = [
            (&[], "No command is given"),
            (&["audit"], "There is no command \"audit\""),
            (&["help", "audit"], "There is no command \"audit\""),
            (&["verify"], "cullbook-audit verify BOOK"),
            (&["totals"], "cullbook-audit totals BOOK"),
            (&["head"], "cullbook-audit head BOOK"),
            (&["day"], "cullbook-audit day BOOK"),
            (&["export"], "cullbook-audit export BOOK"),
            (&["export", "a"], "No file is given"),
            (&["day", "a"], "No day is given"),
            (&["certificate", "a"], "No certificate is given"),
            (&["day", "a", "25.11.2026"], "\"25.11.2026\" is not a day"),
            (&["verify", "x", "--head", "12"], "--head is \"12\""),
            (&["head", "a", "b"], "\"b\" is not a head"),
            (&["verify", "a", "b"], "\"b\""),
            (&["--strict"], "--strict"),
            (&["compare", "a"], "compare takes two books; 1 given"),
            (&["compare", "a", "b", "c"], "3 given"),
            (&["compare", "-", "-"], "named more than once"),
            (&["verify", "a", "--json"], "--json does not go with verify"),
            (
                &["merge", "a", "b", "--head", &head],
                "--head does not go with merge",
            ),
            (&["merge", "a"], "merge takes two books or more; 1 given"),
        ];
        for (arguments, part) in mistakes {
            let said = says(arguments);
            assert!(said.contains(part), "{arguments:?}: {said}");
        }
    }

    const COMMANDS: [&str; 8] = [
        "verify",
        "totals",
        "day",
        "head",
        "certificate",
        "compare",
        "merge",
        "export",
    ];

    #[test]
    fn help_names_every_command_and_option() {
        let help = says(&["-h"]);
        for word in
            COMMANDS
                .into_iter()
                .chain(["--head", "--json", "--help", "--progress", "--version"])
        {
            assert!(help.contains(word), "{word}");
        }
        for name in COMMANDS {
            let usage = format!("Usage: cullbook-audit {name} BOOK");
            assert!(says(&["help", name]).starts_with(&usage));
            assert_eq!(says(&["help", name]), says(&[name, "--help"]));
        }
        for line in help.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(says(&["-V"]).starts_with("cullbook-audit "));
    }

    #[test]
    fn a_single_dash_is_standard_input() {
        let Ok(request) = parse(lexopt::Parser::from_args(["verify", "-", "--progress"])) else {
            panic!("it is a command")
        };
        assert!(request.progress);
        let (book, head) = (Source::Stdin, None);
        assert_eq!(request.command, Command::Verify { book, head });
    }
}
