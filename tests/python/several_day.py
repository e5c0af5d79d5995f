#!/usr/bin/env python3
"""Recomputes the day of several benches from the lines of their books, cell by cell.

    several_day.py DAY.zip BOOK.jsonl BOOK.jsonl...

Conflicts and remarks over all benches are sentences and are not worked out again; everything else
is. Prints the first differences and exits with 1 when there is any.
"""

import json
import re
import sys
import zipfile

from check_book import NotHeld, check
from day_record import STEPS, Tables, ppm, rated, read_tables, report, table_differences, text
from works import Works

KINDS = ["day", "product", "stage", "lot", "inspector", "hour"]
# What is open at two benches that share a lot cannot be added.
NOT_ADDED = ("carried in: sheets not examined", "carried over: sheets not examined")
FIRST_ADDED = "entries of the day"


def book_at(path, page):
    """The works of a book at the head that the page names, with its name and tables' maker."""
    with open(path, "rb") as file:
        lines, last = check(file.read())
    for line, after in zip(lines, [*(line["prev"] for line in lines[1:]), last]):
        line["hash"] = after
    named = [at for at, line in enumerate(lines) if line["hash"] in page]
    if not named:
        raise NotHeld(f"no head of {path} is named")
    lines = lines[:named[-1] + 1]
    works = Works(lines)
    return works, (works.opened["bench"], works.opened["book"], lines[-1]["seq"] + 1, lines[-1]["hash"])


def numbers(row):
    return [int(cell or 0) for cell in row]


def added_figures(tables):
    """The figures of the day that can be added, in their order."""
    sums, units = {}, {}
    for rows in tables:
        names = [row[2] for row in rows]
        for row in rows[names.index(FIRST_ADDED):]:
            if row[2] not in NOT_ADDED:
                sums[row[2]] = sums.get(row[2], 0) + int(row[3])
                units[row[2]] = row[4]
    return [[figure, count, units[figure]] for figure, count in sums.items()]


def added_examined(tables):
    sums = {}
    for row in (row for rows in tables for row in rows[1:] if row[2] != "bench"):
        before = sums.get(tuple(row[2:5]), [0] * 6)
        sums[tuple(row[2:5])] = [sum(pair) for pair in zip(before, numbers(row[5:11]))]

    def order(pair):
        by, key, name = pair[0]
        rank = {"unnumbered": 0, "numbered": 1}.get(key, 0) if by == "stage" else 0
        return KINDS.index(by), rank, int(key) if by == "hour" else 0, key, name
    return [[*key, *rated(counts)] for key, counts in sorted(sums.items(), key=order)]


def added_tags(tables):
    steps = list(STEPS)
    for by in ("class", "step"):
        sums = {}
        for row in (row for rows in tables for row in rows[1:] if row[2] == by):
            before = sums.get(tuple(row[3:6]), [0, 0])
            sums[tuple(row[3:6])] = [sum(pair) for pair in zip(before, numbers(row[6:8]))]
        whole, so_far = sum(tags for tags, _ in sums.values()), 0
        rows = sorted(sums.items(), key=lambda pair: (-pair[1][0], pair[0][0], steps.index(pair[0][2])))
        for (code, name, step), (tags, sheets) in rows:
            so_far += tags
            yield [by, code, name, step, tags, sheets, ppm(tags / whole), ppm(so_far / whole)]


def lots(all_works):
    yield ["lot", "sheets", "good", "mixed", "spoiled", "contested", "not_examined"]
    ruled, sheets = {}, {}
    for works in all_works:
        for name, lot in works.lots.items():
            sheets[name] = max(sheets.get(name, 0), lot.sheets)
            for sheet, exam in lot.exams.items():
                ruled.setdefault(name, {}).setdefault(sheet, []).append(exam["verdict"])
    for name, of_lot in sorted(sheets.items()):
        verdicts = ruled.get(name, {}).values()
        once = [found[0] for found in verdicts if len(found) == 1]
        by_verdict = [once.count(verdict) for verdict in ("good", "mixed", "spoiled")]
        yield [name, of_lot, *by_verdict, len(verdicts) - len(once), of_lot - len(verdicts)]


def books(named, all_works, day):
    yield ["bench", "head", "day", "book", "full_head", "entries", "closed_in"]
    for (bench, book, entries, head), works in zip(named, all_works):
        closing = works.closings.get(day)
        yield [bench, head[:12], day, book, head, entries, closing and closing["seq"]]


def differences(archive, *paths):
    stem, day, tables, page = read_tables(archive)
    if stem != "several-benches":
        yield f"the tables are of {stem}"
    read = sorted((book_at(path, page) for path in paths), key=lambda pair: pair[1])
    all_works, named = [works for works, _ in read], [name for _, name in read]
    if len(re.findall(r"\r\nBench ", page)) != len(named):
        yield "README.txt names other books"
    made = [Tables(works, day, head, entries).all() for works, (_, _, entries, head) in read]
    added = {"day": added_figures, "examined": added_examined, "tags": added_tags}
    expected = {}
    for name in made[0]:
        parts = [of_bench[name] for of_bench in made]
        sums = added[name](parts) if name in added else []
        rows = [["bench", *parts[0][0]], *(["", "", day, *map(text, row)] for row in sums)]
        for (bench, *_), part in zip(named, parts):
            rows += [[bench, *row] for row in part[1:]]
        expected[name] = rows
    expected["lots"] = [[day if at else "day", *map(text, row)] for at, row in enumerate(lots(all_works))]
    expected["books"] = [list(map(text, row)) for row in books(named, all_works, day)]
    # Of sentences only those of one bench are worked out again.
    tables["remarks"] = [row for row in tables["remarks"] if row[0]]
    if set(tables) != {*expected, "conflicts"}:
        yield f"there are tables {sorted(tables)}, but should be {sorted([*expected, 'conflicts'])}"
    for name in sorted(expected):
        yield from table_differences(name, tables.get(name, []), expected[name])
    with zipfile.ZipFile(archive) as parts:
        written = json.loads(parts.read(f"several-benches_{day}.json"))
    if [book["head"] for book in written["books"]] != [head for *_, head in named]:
        yield "the JSON names other heads"
    whole = written["together"]["examined"][0]
    if text(whole["sheets"]) != expected["examined"][1][6]:
        yield f"the JSON counts {whole['sheets']} sheets"
    if len(written["conflicts"]) != len(tables["conflicts"]) - 1:
        yield "the JSON names other conflicts"


def main(arguments):
    if len(arguments) < 3:
        print(__doc__)
        return 1
    return report(differences, arguments, "Every cell agrees with the lines of the books.")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
