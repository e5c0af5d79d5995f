//! The help: one text for the program, one for each command.

/// The help about a command, or about the whole for `help`.
pub fn about(name: &str) -> Option<&'static str> {
    Some(match name {
        "help" => HELP,
        "verify" => VERIFY,
        "head" => HEAD,
        "totals" => TOTALS,
        "day" => DAY,
        "certificate" => CERTIFICATE,
        "compare" => COMPARE,
        "merge" => MERGE,
        "export" => EXPORT,
        _ => return None,
    })
}

const HELP: &str = "\
Checks books that a bench has saved (.jsonl files), without a browser.

Usage: cullbook-audit COMMAND BOOK... [options]

Commands:
  verify BOOK [--head HEAD]   check every line; name the first that is bad
  head BOOK [HEAD]            say its head, or whether it contains this one
  totals BOOK                 days, what is carried over and balances, as JSON
  day BOOK DAY                the totals of one day, as JSON
  certificate BOOK FILE.json  check a saved certificate of destruction
  compare BOOK BOOK [--json]  say whether one book continues the other, or where
                              they part and contradict each other
  merge BOOK BOOK... [--json] lay the books of all benches together
  export BOOK... FILE         make a saved day or map again from the book, or
                              the books, and say where the two differ
  help [COMMAND]              this text, or more about a command

BOOK is a file, or - for standard input.

Options:
  --progress     tell on standard error how far a long book is read, even where
                 that is no terminal
  -h, --help     this text, or more about the command
  -V, --version  the version

Exit codes:
  0  every book holds, and the books agree
  1  a book does not hold, or does not have what was asked for
  2  every book holds, and they contradict each other or the file
  3  the command is mistaken, or a file cannot be read

A book is read line by line: a long one takes time, not memory. Only export
keeps the lines.
";

const VERIFY: &str = "\
Usage: cullbook-audit verify BOOK [--head HEAD]

Reads every line and checks that it is written as the format says, that it
follows the line before it, that it carries its author's signature and every
further one it needs, and that the rules allowed it. The first line that does
not hold is named, counted from 0, with the reason. A book may begin with a
checkpoint; the answer then says at which entry. With its archive before it
(cat ARCHIVE BOOK | cullbook-audit verify -) it is verified from entry 0 on.

  --head HEAD  The book must end with this head. Take it from a print, a
               certificate or a witness. Lines missing at the end are shown by a
               head that was kept elsewhere, and by nothing else.
";

const HEAD: &str = "\
Usage: cullbook-audit head BOOK [HEAD]

Without HEAD: verifies the book and writes its head, the hash of its last
line.

With HEAD: verifies the book and says whether one of its lines has this head,
and how many lines follow it. HEAD is its short code, all 64 digits, its first
12 or more as they are printed (\"1a2b 3c4d 5e6f\"), or the text of its file or
QR code. A book that once had this head and does not contain it was cut off or
written anew; the exit code is 1 then.
";

const TOTALS: &str = "\
Usage: cullbook-audit totals BOOK

Verifies the book and writes JSON: head, entries, days (each with day, closed,
acts, carried_in, carried, examined, tags), carried, balance. They are the
figures of the day's tables. Days before a checkpoint are asked of the archive.
";

const DAY: &str = "\
Usage: cullbook-audit day BOOK DAY

Verifies the book and writes the totals of one production day as JSON: day,
closed, acts, carried_in, carried, examined, tags. DAY is written 2026-11-25. A day without entries
ends with exit code 1.
";

const CERTIFICATE: &str = "\
Usage: cullbook-audit certificate BOOK FILE.json

Verifies the book, makes the certificate of that session anew from its lines
and compares it with the saved one, byte for byte. The first member that
differs is named, with what the file and what the book say; the exit code is 1
then.
";

const EXPORT: &str = "\
Usage: cullbook-audit export BOOK FILE
       cullbook-audit export BOOK BOOK... FILE

Verifies the book and checks a file that was made from it: a day's .zip or
.xlsx, or a map's .svg. The file is made again from the lines up to the head
that it names, and compared part by part; the first cell of each table that
differs is named. The book may have grown since. A file of a head that the book
does not have ends with exit code 1, one that differs with 2.

With several books: a .zip of a day of several benches. Each of them must be
given, in whatever order.
";

const COMPARE: &str = "\
Usage: cullbook-audit compare BOOK BOOK [--json]

Verifies two books and says whether one is the beginning of the other, whether
they part at some line, and where they contradict each other.

  --json  answer in JSON: books, contained, lots, conflicts
";

const MERGE: &str = "\
Usage: cullbook-audit merge BOOK BOOK... [--json]

Verifies the books of any number of benches and adds up what they say of each
lot. Conflicts are named, never settled: a sheet ruled twice, a replacement
note drawn twice, a serial used twice, a seal used twice, a lot defined in two
ways, books of two works, practice books. The order of the books makes no
difference.

  --json  answer in JSON: books, contained, lots, conflicts
";
