//! Makes practice data on the command line, for trying the reader and the screens.

use std::io::{self, Write};
use std::process::ExitCode;
use std::str::FromStr;

use cullbook::desk::practice::{
    PracticeLot, PracticeLotError, generate, merin_layout, to_csv, with_wrong_rows,
};
use cullbook::sheet::{IdError, LotId};
use lexopt::prelude::*;

const HELP: &str = "\
Makes practice data for Cullbook. All of it is invented.

Usage: cullbook-practice machine-file [options]

machine-file writes to standard output what an inspection machine would say of
a lot of 20 merin notes (8 rows of 5): CSV with the columns lot, sheet, side,
position, class, remark. The same options give the same bytes.

Options:
  --seed N           Which of the possible press runs (default 1)
  --sheets N         Sheets of the lot (default 10000)
  --rows-at-least N  Scatter single spots until there are N rows (default 0)
  --lot ID           Id of the lot (default BW-0412)
  --wrong N          Mix in N rows that must be refused, each kind in turn (default 0)
  -h, --help         Show this
";

#[derive(Debug, thiserror::Error)]
enum PracticeError {
    #[error(transparent)]
    Arguments(#[from] lexopt::Error),
    #[error("{option} is \"{given}\". Give a whole number, such as 1000.")]
    Number { option: &'static str, given: String },
    #[error("No command is given. Write: cullbook-practice machine-file")]
    NoCommand,
    #[error("There is no command \"{0}\". Write: cullbook-practice machine-file")]
    UnknownCommand(String),
    #[error(transparent)]
    Lot(#[from] IdError),
    #[error(transparent)]
    PracticeLot(#[from] PracticeLotError),
    #[error("The file could not be written: {0}. Check the disk or the program that reads it.")]
    Write(#[from] io::Error),
}

/// What the command line asks for.
enum Command {
    Help,
    MachineFile(Options),
}

struct Options {
    seed: u64,
    sheets: u32,
    rows_at_least: usize,
    lot: String,
    wrong: usize,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            seed: 1,
            sheets: 10_000,
            rows_at_least: 0,
            lot: "BW-0412".to_owned(),
            wrong: 0,
        }
    }
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("cullbook-practice: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), PracticeError> {
    let text = match parse(lexopt::Parser::from_env())? {
        Command::Help => HELP.to_owned(),
        Command::MachineFile(options) => machine_file(&options)?,
    };
    Ok(io::stdout().lock().write_all(text.as_bytes())?)
}

fn parse(mut arguments: lexopt::Parser) -> Result<Command, PracticeError> {
    let mut options = Options::default();
    let mut command = None;
    while let Some(argument) = arguments.next()? {
        match argument {
            Long("seed") => options.seed = number(&mut arguments, "--seed")?,
            Long("sheets") => options.sheets = number(&mut arguments, "--sheets")?,
            Long("rows-at-least") => {
                options.rows_at_least = number(&mut arguments, "--rows-at-least")?
            }
            Long("lot") => options.lot = arguments.value()?.string()?,
            Long("wrong") => options.wrong = number(&mut arguments, "--wrong")?,
            Short('h') | Long("help") => return Ok(Command::Help),
            Value(name) if command.is_none() => command = Some(name.string()?),
            other => return Err(other.unexpected().into()),
        }
    }
    match command.as_deref() {
        Some("machine-file") => Ok(Command::MachineFile(options)),
        Some(other) => Err(PracticeError::UnknownCommand(other.to_owned())),
        None => Err(PracticeError::NoCommand),
    }
}

fn number<N: FromStr>(
    arguments: &mut lexopt::Parser,
    option: &'static str,
) -> Result<N, PracticeError> {
    let given = arguments.value()?.string()?;
    given
        .parse()
        .map_err(|_| PracticeError::Number { option, given })
}

fn machine_file(options: &Options) -> Result<String, PracticeError> {
    let id: LotId = options.lot.parse()?;
    let lot = PracticeLot::new(id, options.sheets, merin_layout(), options.rows_at_least)?;
    let csv = to_csv(&lot, &generate(options.seed, &lot));
    Ok(with_wrong_rows(&csv, options.seed, &lot, options.wrong))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(arguments: &[&str]) -> Result<String, PracticeError> {
        match parse(lexopt::Parser::from_args(arguments))? {
            Command::Help => Ok(HELP.to_owned()),
            Command::MachineFile(options) => machine_file(&options),
        }
    }

    #[test]
    fn options_shape_the_file() {
        let plain = text(&["machine-file", "--sheets", "50", "--lot", "X1"]).unwrap();
        assert!(
            plain.starts_with("lot,sheet,side,position,class,remark\r\nX1,"),
            "{plain}"
        );
        let wrong = text(&["machine-file", "--sheets=50", "--lot=X1", "--wrong=7"]).unwrap();
        assert_eq!(wrong.lines().count(), plain.lines().count() + 7);
        let more = text(&["--rows-at-least", "1500", "machine-file", "--sheets", "50"]).unwrap();
        assert_eq!(more.lines().count(), 1501);
        assert_ne!(
            text(&["machine-file", "--seed", "2"]).unwrap(),
            text(&["machine-file"]).unwrap()
        );
    }

    #[test]
    fn mistakes_are_told_in_words() {
        let says = |arguments: &[&str]| text(arguments).unwrap_err().to_string();
        assert!(says(&[]).starts_with("No command is given"));
        assert!(says(&["machine"]).starts_with("There is no command \"machine\""));
        assert!(says(&["machine-file", "--lot", "a b"]).contains("The lot id \"a b\""));
        assert!(says(&["machine-file", "--sheets", "0"]).contains("Give 1 to 10 000 000 sheets"));
        assert!(says(&["machine-file", "--speed", "1"]).contains("--speed"));
        assert!(says(&["machine-file", "again"]).contains("again"));
        assert_eq!(
            says(&["machine-file", "--seed", "x"]),
            "--seed is \"x\". Give a whole number, such as 1000."
        );
    }

    #[test]
    fn help_names_every_option() {
        let help = text(&["--help"]).unwrap();
        for option in [
            "--seed",
            "--sheets",
            "--rows-at-least",
            "--lot",
            "--wrong",
            "--help",
        ] {
            assert!(help.contains(option), "{option}");
        }
    }
}
