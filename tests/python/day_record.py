#!/usr/bin/env python3
"""Recomputes a day's tables from the lines of the book and compares cell by cell.

    day_record.py BOOK.jsonl DAY.zip

Prints the first differences and exits with 1 when there is any.
"""

import csv
import io
import math
import re
import sys
import zipfile
from statistics import NormalDist

import alike
import masses
import press
from check_book import NotHeld, check
from works import Works, Wrong

SHOWN = 20
STEPS = {"paper": "Paper", "offset": "Offset", "screen": "Screen", "foil": "Foil",
         "intaglio": "Intaglio", "numbering": "Numbering", "handling": "Cut, handling"}


def ppm(share):
    """Parts per million, halves upwards."""
    return math.floor(share * 1e6 + 0.5)


def wilson(part, whole, confidence=0.95):
    """Wilson's score interval: the rates r with |part/whole - r| <= z sqrt(r(1-r)/whole)."""
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    a, b, c = whole + z * z, 2 * part + z * z, part * part / whole
    root = math.sqrt(b * b - 4 * a * c)
    low, high = (b - root) / (2 * a), (b + root) / (2 * a)
    return (0.0 if part == 0 else low), (1.0 if part == whole else high)


class Tables:
    """Every table of one day, as lists of rows of texts."""

    def __init__(self, works, day, head, entries):
        self.works, self.day, self.head, self.entries = works, day, head, entries

    def all(self):
        names = ["day", "remarks", "examined", "compared", "tags", "charts", "findings",
                 "rates", "capability", "measured", "sheets",
                 "corrections", "replacements", "series", "containers", "spoils", "sessions",
                 "weighings", "residue", "balance"]
        made = {name: list(getattr(self, "make_" + name)()) for name in names}
        start = [self.head[:12], self.day]
        return {name: [["head", "day", *columns], *([*start, *map(text, row)] for row in rows)]
                for name, (columns, *rows) in made.items()}

    def exams(self):
        """Examinations in force that count to the day: lot, sheet, examination."""
        for _, lot in sorted(self.works.lots.items()):
            for sheet, exam in sorted(lot.exams.items()):
                if exam["day"] == self.day:
                    yield lot, sheet, exam

    def make_day(self):
        works, opened = self.works, self.works.opened
        acts, closing = works.day(self.day), works.closings.get(self.day)
        yield ["figure", "value", "unit"]
        yield "works", opened["works"], "text"
        yield "bench", opened["bench"], "text"
        yield "book", opened["book"], "UUID"
        yield "practice", "yes" if opened["practice"] else "no", "yes or no"
        yield "full head", self.head, "SHA-256"
        yield "entries in the book", self.entries, "entries"
        hour = works.cut_overs.get(self.day, works.rules["cut_over_hour"])
        yield "cut-over hour", hour, "local hour at which the day ends"
        yield "closed in entry", closing and closing["seq"], "entry"
        yield "closed by", closing and closing["by"], "person"
        yield "closed at", closing and closing["at"], "time"
        yield "entries after closing", acts["entries after closing"] if closing else None, "entries"
        yield "entries of the day", acts["entries"], "entries"
        yield "corrections", acts["corrections"], "sheets"
        yield "verdicts overruled", acts["verdicts overruled"], "sheets"
        on_word = sum(exam["machine_word"] for *_, exam in self.exams())
        yield "passed on the machine's word", on_word, "sheets"
        yield "replacements drawn", acts["replacements drawn"], "notes"
        yield "replacements inserted", acts["replacements inserted"], "notes"
        yield "replacements spoiled", acts["replacements spoiled"], "notes"
        yield "replacements returned", acts["replacements returned"], "notes"
        yield "containers sealed", acts["containers sealed"], "containers"
        yield "destruction sessions", acts["destruction sessions"], "sessions"
        yield "whole sheets destroyed", acts["sheets destroyed"], "sheets"
        yield "single notes destroyed", acts["notes destroyed"], "notes"
        corrected = acts["corrections of fillings and sealings"]
        yield "corrections of fillings and sealings", corrected, "entries"
        yield "spoils declared lost", acts["spoils declared lost"], "spoils"
        carried_in = works.carried_in.get(self.day) or works.left_after(self.day)
        for figure, count, unit in carried_in:
            yield "carried in: " + figure, count, unit
        for figure, count, unit in works.left_after(self.day):
            yield "carried over: " + figure, count, unit

    def make_remarks(self):
        yield ["remark"]
        works, acts = self.works, self.works.day(self.day)
        if acts["entries"] == 0:
            yield ["Nothing is recorded for this day."]
            return
        exams = [(lot, exam) for lot, _, exam in self.exams()]
        if not exams:
            yield ["No sheet that counts to this day was examined."]
        products = grouped(exams, lambda lot, _: lot.product["product"])
        if len(products) > 1:
            named = "; ".join(f"{key} {part[0][0].product['title']}: {len(part)} sheets"
                              for key, part in products)
            yield [f"Sheets of {len(products)} products were examined ({named}), so figures of the "
                   "whole day add unlike notes. Read them by product."]
        for entry, old, new in works.moves.get(self.day, []):
            yield [f"Entry {entry} moved the end of the production day from {old:02}:00 to "
                   f"{new:02}:00; entries after it are counted by the new hour."]
        for of in works.sessions:
            if of["day"] == self.day != of["began_on"]:
                yield [f"Session {of['session']} began on production day {of['began_on']} and was "
                       f"recorded on {of['day']}: all of it is counted to the day it was recorded."]
        for of in works.sessions:
            if of["began_on"] == self.day != of["day"]:
                yield [f"Session {of['session']} began on this day and was recorded on production "
                       f"day {of['day']}: nothing of it is counted here."]
        running = works.session
        if running and works.day_of(running.line["at"]) == self.day:
            yield [f"Session {running.id} began on this day and is not recorded yet, as the book "
                   "stands: nothing of it is counted here."]
        if acts["entries after closing"]:
            yield [f"Entries that came after the day was closed in entry "
                   f"{works.closings[self.day]['seq']}: {acts['entries after closing']}."]

    def make_compared(self):
        yield ["window", "days", "from_day", "to_day", "sheets", "good", "mixed", "spoiled", "notes",
               "notes_spoiled", "spoilage_ppm", "low_ppm", "high_ppm", "change_ppm",
               "change_low_ppm", "change_high_ppm"]
        by_day = {}
        for lot in self.works.lots.values():
            for exam in lot.exams.values():
                by_day.setdefault(exam["day"], []).append((lot, exam))
        by_day = {day: counts(exams) for day, exams in by_day.items()}
        # Of days before a checkpoint only the totals may be here.
        for day, here in self.works.archived_days.items():
            there = [sum(here[name] for name in ("good", "mixed", "spoiled")), here["good"],
                     here["mixed"], here["spoiled"], here["notes_examined"], here["notes_spoiled"]]
            if there[0]:
                by_day[day] = [sum(pair) for pair in zip(there, by_day.get(day, NOTHING))]
        before = sorted((day for day in by_day if day < self.day), reverse=True)
        today = rated(by_day.get(self.day, NOTHING))
        for window in (7, 30):
            days = before[:window]
            row = rated([sum(column) for column in zip(NOTHING, *(by_day[day] for day in days))])
            ends = [days[-1], days[0]] if days else [None, None]
            yield [window, len(days), *ends, *row, *change(today[5], today[4], row[5], row[4])]

    def make_charts(self):
        yield ["chart", "lot", "from_sheet", "to_sheet", "size", "found", "value_ppm", "centre_ppm",
               "lower_ppm", "upper_ppm", "outside", "rules", "rough"]
        for lot, exams in self.by_lot():
            for kind in "pu":
                for row in press.chart(kind, lot, exams):
                    yield [kind, lot.id, *row]

    def make_findings(self):
        yield ["lot", "kind", "class", "side", "where", "from_sheet", "to_sheet", "count",
               "expected_milli", "chance_ppb", "q_ppb", "look_at"]
        for lot, exams in self.by_lot():
            for row in press.findings(lot, exams):
                yield [lot.id, *row]

    def make_rates(self):
        yield ["product", "by", "group", "class", "sheets", "sheets_with", "share_ppm", "low_ppm",
               "high_ppm", "clumping_milli", "chance_ppb", "q_ppb"]
        examined = sorted({lot.product["product"] for lot, _, _ in self.exams()})
        for product in examined:
            lots = [lot for _, lot in sorted(self.works.lots.items())
                    if lot.product["product"] == product]
            for by in ("lot", "stage"):
                for row in alike.class_rows(lots, self.day, by, wilson, ppm):
                    yield [product, by, *row]

    def of_samples(self):
        return [(seq, data, line) for seq, (data, line, day) in sorted(self.works.measured.items())
                if day == self.day]

    def make_capability(self):
        yield ["product", "by", "group", "quantity", "unit", "samples", "readings",
               "mean_millionths", "spread_millionths", "readings_outside", "cp_milli", "cp_low_milli",
               "cp_high_milli", "cpk_milli", "cpk_low_milli", "cpk_high_milli", "means_ppb",
               "means_q_ppb", "spreads_ppb", "spreads_q_ppb"]
        z = NormalDist().inv_cdf(0.975)
        for product in sorted({data["product"] for _, data, _ in self.of_samples()}):
            samples = [data for _, data, _ in self.of_samples()
                       if data["product"] == product]
            tolerances = {quantity: tolerance for (of, quantity), tolerance
                          in self.works.tolerances.items() if of == product}
            for by in ("lot", "press", "works"):
                name = self.works.opened["works"]
                rows = alike.measured_rows(samples, tolerances, by, name, z, press.chi_square_upper)
                for row in rows:
                    yield [product, by, *row]

    def make_measured(self):
        yield ["entry", "person", "at", "product", "quantity", "unit", "lot", "press", "site",
               "mean_millionths", "spread_millionths", "target_milli", "lower_milli", "upper_milli",
               "readings_milli"]
        for seq, data, line in self.of_samples():
            mean, spread = alike.moments(data["readings"])
            tolerance = self.works.tolerances.get((data["product"], data["quantity"]), {})
            yield [seq, line["by"], line["at"], data["product"], data["quantity"],
                   alike.UNITS[data["quantity"]], data.get("lot"), data.get("press"),
                   data.get("site"), alike.rounded(mean * 1000),
                   None if spread is None else alike.rounded(spread * 1000),
                   *(tolerance.get(name) for name in ("target", "lower", "upper")),
                   " ".join(map(str, data["readings"]))]

    def by_lot(self):
        """Lots with the examinations of the day, in sheet order."""
        for _, lot in sorted(self.works.lots.items()):
            exams = [(n, exam) for n, exam in sorted(lot.exams.items()) if exam["day"] == self.day]
            if exams:
                yield lot, exams

    def make_corrections(self):
        yield ["entry", "what", "lot", "sheet", "container", "session", "amends", "before", "after",
               "reason", "person", "second", "at"]
        yield from self.works.amended.get(self.day, [])

    def make_series(self):
        yield ["series", "product", "drawn_as", "notes", "drawn", "inserted", "notes_spoiled",
               "returned", "on_hand", "left", "drawn_on_the_day"]
        for name, spec in sorted(self.works.series.items()):
            drawn, size = self.works.drawn[name], self.works.series_size(name)
            fates = [note["fate"] for note in drawn]
            of_day = sum(note["day"] == self.day for note in drawn)
            settled, used = self.works.settled.get(name, {}), self.works.used(name)
            yield [name, spec["product"], "sheets" if "sheets" in spec else "notes", size, used,
                   *(fates.count(fate) + settled.get(fate, 0)
                     for fate in ("inserted", "spoiled", "returned", "on hand")),
                   size - used, of_day]

    def make_examined(self):
        yield ["by", "key", "name", "sheets", "good", "mixed", "spoiled", "notes",
               "notes_spoiled", "spoilage_ppm", "low_ppm", "high_ppm"]
        exams = [(lot, exam) for lot, _, exam in self.exams()]
        yield ["day", None, None, *tally(exams)]
        if exams:
            yield ["bench", self.works.opened["bench"], None, *tally(exams)]
        for key, part in grouped(exams, lambda lot, _: lot.product["product"]):
            yield ["product", key, part[0][0].product["title"], *tally(part)]
        for key, part in reversed(grouped(exams, lambda _, exam: exam["stage"])):
            yield ["stage", key, key, *tally(part)]
        for key, part in grouped(exams, lambda lot, _: lot.id):
            yield ["lot", key, part[0][0].product["title"], *tally(part)]
        for key, part in grouped(exams, lambda _, exam: exam["by"]):
            yield ["inspector", key, self.works.people[key], *tally(part)]
        for key, part in grouped(exams, lambda _, exam: int(exam["at"][11:13])):
            yield ["hour", key, None, *tally(part)]

    def make_tags(self):
        yield ["by", "class", "name", "step", "tags", "sheets", "share_ppm", "cumulative_ppm"]
        classes, steps, bearing = {}, dict.fromkeys(STEPS, 0), {}
        for lot, _, exam in self.exams():
            seen = set()
            for _, _, code in exam["tags"]:
                step = lot.classes[code]["step"]
                classes[code] = classes.get(code, 0) + 1
                steps[step] += 1
                seen |= {code, step}
            for key in seen:
                bearing[key] = bearing.get(key, 0) + 1
        whole, so_far = sum(classes.values()), 0
        for code, count in sorted(classes.items(), key=lambda pair: (-pair[1], pair[0])):
            so_far += count
            known = self.class_of(code)
            yield ["class", code, known["name"], known["step"], count, bearing[code],
                   ppm(count / whole), ppm(so_far / whole)]
        so_far = 0
        for step, count in sorted(steps.items(), key=lambda pair: -pair[1]):
            if count:
                so_far += count
                yield ["step", None, STEPS[step], step, count, bearing[step], ppm(count / whole),
                       ppm(so_far / whole)]

    def class_of(self, code):
        """As in the catalogue in force, else as in the lot opened last that has it."""
        lots = sorted(self.works.lots.values(), key=lambda lot: -lot.seq)
        return next(c[code] for c in [self.works.classes, *(lot.classes for lot in lots)] if code in c)

    def make_sheets(self):
        yield ["lot", "sheet", "verdict", "reason", "defective", "inspector", "at", "entry"]
        for lot, sheet, exam in self.exams():
            if exam["verdict"] != "good" or exam["overruled"]:
                names = " ".join(lot.layout.names[place] for place in sorted(exam["defective"]))
                yield [lot.id, sheet, exam["verdict"], exam["reason"], names, exam["by"],
                       exam["at"], exam["seq"]]

    def make_replacements(self):
        yield ["lot", "serial", "series", "replacement", "bundle", "box", "fate", "entry"]
        for series, drawn in sorted(self.works.drawn.items()):
            for note in drawn:
                if note["day"] == self.day:
                    yield [note["lot"], note["serial"], series, note["replacement"],
                           note["bundle"], note["box"], note["fate"], note["entry"]]

    def of_the_day(self, session):
        days = {of["session"]: of["day"] for of in self.works.sessions}
        return session is None or days[session] == self.day

    def make_containers(self):
        yield ["container", "state", "sheets", "notes", "seal", "sealed_by", "second",
               "sealed_at", "gross_mg", "session", "place", "held_for", "corrected_in"]
        for name, container in sorted(self.works.containers.items()):
            retired = container["retired"] not in (None, self.day)
            if retired or not self.of_the_day(container["session"]):
                continue
            sheets = sum(item[0] == "sheet" for item in container["items"])
            sealing = container["sealing"] or {}
            yield [name, self.works.state(container), sheets, len(container["items"]) - sheets, sealing.get("seal"),
                   sealing.get("by"), sealing.get("second"), sealing.get("at"),
                   sealing.get("gross"), container["session"], container["place"],
                   container["held_for"], sealing.get("corrected")]

    def make_spoils(self):
        yield ["lot", "kind", "spoil", "place", "container", "session", "entry"]
        kinds, came = ["sheet", "note", "replacement note"], self.works.came_by()
        for item, lot in sorted(self.works.spoils().items(),
                                key=lambda pair: (kinds.index(pair[0][0]), pair[0][1:])):
            place, container, session = self.works.place(item)
            if self.of_the_day(session):
                yield [lot, item[0], item[-1], place, container, session, came[item]]

    def make_sessions(self):
        yield ["session", "place", "machine", "method", "particle_class", "largest_particle_mm2",
               "particles_measured", "particles_above", "containers", "sheets", "notes", "gross_mg", "tare_mg", "operator", "witnesses",
               "started", "ended", "recorded_by", "recorded_at", "entry", "hash"]
        for of in self.works.sessions:
            if of["day"] != self.day:
                continue
            total = {key: sum(found[key] for found in of["containers"])
                     for key in ("sheets", "notes", "gross", "tare")}
            yield [of["session"], of["place"], of["machine"], of["method"], of.get("particle_class"),
                   of.get("largest_particle_mm2"), of.get("sample", {}).get("measured"),
                   of.get("sample", {}).get("above"),
                   " ".join(found["container"] for found in of["containers"]),
                   total["sheets"], total["notes"], total["gross"], total["tare"],
                   of["operator"], " ".join(of["witnesses"]), of["started"], of["ended"],
                   of["line"]["by"], of["line"]["at"], of["line"]["seq"], of["line"]["hash"]]

    def make_weighings(self):
        yield ["session", "container", "scale", "net_mg", "expected_mg", "difference_mg",
               "expanded_mg", "verdict", "missing_notes", "missing_sheets"]
        for of in self.works.sessions:
            if of["day"] != self.day:
                continue
            for found, weighed in zip(of["containers"], of["weighed"]):
                net = found["gross"] - found["tare"]
                difference, verdict = masses.judge(weighed, net)
                yield [of["session"], found["container"], found.get("scale"), net,
                       weighed["expected"], difference, weighed["expanded"], verdict,
                       weighed["notes"], weighed["sheets"]]

    def make_residue(self):
        yield ["receipt", "destination", "date", "sessions", "paper_mg", "sent_mg",
               "difference_mg", "tolerance_mg", "result", "entry"]
        for sent in self.works.residue:
            if sent["day"] == self.day:
                paper, difference, tolerance, result = sent["balance"]
                yield [sent["receipt"], sent["destination"], sent["date"],
                       " ".join(sent["sessions"]), paper, sent["mass"], difference, tolerance,
                       result, sent["line"]["seq"]]

    def make_balance(self):
        yield ["lot", "identity", "side", "figure", "count"]
        lots, archived = self.works.lots, self.works.archived
        rows = {name: list(self.balance(name, [lot])) for name, lot in lots.items()}
        rows |= {name: list(of_archived(lot)) for name, lot in archived.items()}
        for _, of_lot in sorted(rows.items()):
            yield from of_lot
        whole = list(self.balance(None, list(lots.values())))
        for place, row in enumerate(whole):
            yield [*row[:4], row[4] + sum(rows[name][place][4] for name in archived)]

    def balance(self, name, lots):
        ids = {lot.id for lot in lots}
        looked = sum(len(lot.exams) for lot in lots)
        exams = [(lot, exam) for lot in lots for sheet, exam in lot.exams.items()
                 if sheet not in lot.lost_at_press]
        at_press = sum(len(lot.lost_at_press) for lot in lots)
        on_lost = sum(len(lot.lost_at_press) * lot.layout.notes for lot in lots)
        by_verdict = {v: [pair for pair in exams if pair[1]["verdict"] == v]
                      for v in ("good", "mixed", "spoiled")}
        sheets, received = sum(lot.sheets for lot in lots), sum(lot.received for lot in lots)
        yield from identity(name, "Sheets", [
            ("received", received), ("added at the press", sheets - received)], [
            *((verdict, len(part)) for verdict, part in by_verdict.items()),
            ("lost at the press", at_press),
            ("not yet examined", sheets - looked)])
        printed = sum(lot.sheets * lot.layout.notes for lot in lots)
        lost = {v: sum(len(lot.lost(exam)) for lot, exam in part)
                for v, part in by_verdict.items()}
        seen = sum(lot.layout.notes for lot, _ in exams)
        yield from identity(name, "Notes", [("printed", printed)], [
            ("fit as printed", seen - sum(lost.values())),
            ("spoiled on mixed sheets", lost["mixed"]),
            ("on spoiled sheets", lost["spoiled"]),
            ("on sheets lost at the press", on_lost),
            ("on sheets not yet examined", printed - seen - on_lost)])
        fates = [note["fate"] for notes in self.works.drawn.values() for note in notes
                 if note["lot"] in ids]
        yield from identity(name, "Replacement notes", [("drawn", len(fates))], [
            (fate, fates.count(fate)) for fate in ("inserted", "spoiled", "returned", "on hand")])
        pulled = sum(len(lot.lost(exam)) for lot, exam in by_verdict["mixed"] if lot.numbering)
        made = len(by_verdict["spoiled"]) + pulled + fates.count("spoiled")
        places = [self.works.place(item)[0] for item, lot in self.works.spoils().items()
                  if lot in ids]
        yield from identity(name, "Spoils", [("made", made)], [
            ("loose", places.count("loose")),
            ("in open containers", places.count("in open container")),
            ("sealed", places.count("sealed")), ("held", places.count("held")),
            ("destroyed", places.count("destroyed")),
            ("declared lost", places.count("declared lost"))])


def of_archived(lot):
    """The balance of a lot as a checkpoint carries it over."""
    def figures(part, **names):
        return [(said.replace("_", " "), lot[part].get(name, 0)) for said, name in names.items()]

    yield from identity(lot["lot"], "Sheets",
                        figures("sheets", received="received", added_at_the_press="added"),
                        figures("sheets", good="good", mixed="mixed", spoiled="spoiled",
                                lost_at_the_press="lost_at_press", not_yet_examined="not_examined"))
    yield from identity(lot["lot"], "Notes", figures("notes", printed="printed"),
                        figures("notes", fit_as_printed="fit", spoiled_on_mixed_sheets="spoiled_on_mixed",
                                on_spoiled_sheets="on_spoiled_sheets",
                                on_sheets_lost_at_the_press="on_lost_sheets",
                                on_sheets_not_yet_examined="not_examined"))
    yield from identity(lot["lot"], "Replacement notes", figures("replacements", drawn="drawn"),
                        figures("replacements", inserted="inserted", spoiled="spoiled",
                                returned="returned", on_hand="on_hand"))
    yield from identity(lot["lot"], "Spoils", figures("spoils", made="made"),
                        figures("spoils", loose="loose", in_open_containers="in_open_containers",
                                sealed="sealed", held="held", destroyed="destroyed",
                                declared_lost="declared_lost"))


def identity(lot, name, owed, found):
    for figure in owed:
        yield [lot, name, "owed", *figure]
    for figure in found:
        yield [lot, name, "found", *figure]
    yield [lot, name, "difference", "found less owed",
           sum(f[1] for f in found) - sum(f[1] for f in owed)]


def grouped(exams, key):
    groups = {}
    for lot, exam in exams:
        groups.setdefault(key(lot, exam), []).append((lot, exam))
    return sorted(groups.items())


NOTHING = [0] * 6


def tally(exams):
    return rated(counts(exams))


def counts(exams):
    verdicts = [exam["verdict"] for _, exam in exams]
    notes = sum(lot.layout.notes for lot, _ in exams)
    spoiled = sum(len(lot.lost(exam)) for lot, exam in exams)
    return [len(exams), *(verdicts.count(v) for v in ("good", "mixed", "spoiled")), notes, spoiled]


def rated(row):
    """Counts with the rate of spoilage and its interval."""
    *_, notes, spoiled = row
    if notes == 0:
        return [*row, None, None, None]
    low, high = wilson(spoiled, notes)
    return [*row, ppm(spoiled / notes), ppm(low), ppm(high)]


def change(part, whole, earlier, of_earlier):
    """The rate less the earlier one, with Newcombe's interval from Wilson's two."""
    if whole == 0 or of_earlier == 0:
        return [None, None, None]
    (low, high), (low_before, high_before) = wilson(part, whole), wilson(earlier, of_earlier)
    rate, before = part / whole, earlier / of_earlier
    below = math.sqrt((rate - low) ** 2 + (high_before - before) ** 2)
    above = math.sqrt((high - rate) ** 2 + (before - low_before) ** 2)
    difference = rate - before
    signed = [difference, difference - below, difference + above]
    return [int(math.copysign(ppm(abs(value)), value)) for value in signed]


def text(value):
    return "" if value is None else str(value)


def unguarded(cell):
    """The text that was given, without the apostrophe that keeps a spreadsheet off it."""
    return cell.removeprefix("'")


def read_tables(path):
    """Bench, day, tables and page of an exported set."""
    tables, names = {}, []
    with zipfile.ZipFile(path) as archive:
        if archive.testzip():
            raise NotHeld(f"{archive.testzip()} is damaged")
        for name in archive.namelist():
            found = re.fullmatch(r"(.+)_(\d{4}-\d\d-\d\d)_([a-z]+)\.csv", name)
            if found:
                names.append(found.groups()[:2])
                rows = csv.reader(io.StringIO(archive.read(name).decode(), newline=""), strict=True)
                tables[found[3]] = [[unguarded(cell) for cell in row] for row in rows]
        page = archive.read("README.txt").decode()
    if len(set(names)) != 1:
        raise NotHeld("the tables are not of one bench and one day")
    return *names[0], tables, page


def differences(book, archive):
    """Every cell in which the exported tables differ from the lines, in words."""
    with open(book, "rb") as file:
        data = file.read()
    lines, last = check(data)
    for line, after in zip(lines, [*(line["prev"] for line in lines[1:]), last]):
        line["hash"] = after
    bench, day, tables, page = read_tables(archive)
    # The book may have grown since the tables were made: they are of the lines up to their head.
    named = [at for at, line in enumerate(lines) if line["hash"] in page]
    if not named:
        yield "README.txt does not name the head of the book, nor an earlier one"
        return
    lines = lines[:named[-1] + 1]
    head = lines[-1]["hash"]
    works = Works(lines)
    if bench != works.opened["bench"]:
        yield f"the tables are of bench {bench}, the book of {works.opened['bench']}"
    expected = Tables(works, day, head, lines[-1]["seq"] + 1).all()
    if set(tables) != set(expected):
        yield f"there are tables {sorted(tables)}, but should be {sorted(expected)}"
    for name in sorted(set(tables) & set(expected)):
        for column in expected[name][0]:
            if f"\r\n  {column} [" not in page:
                yield f"README.txt does not say what {column} of {name} is, and in what unit"
        yield from table_differences(name, tables[name], expected[name])


def table_differences(name, found, expected):
    if len(found) != len(expected):
        yield f"{name}: {len(found)} rows, but should be {len(expected)}"
    for number, (row, right) in enumerate(zip(found, expected)):
        if len(row) != len(right):
            yield f"{name}, row {number}: {len(row)} cells, but should be {len(right)}"
        for column, (cell, value) in enumerate(zip(row, right)):
            if cell != value:
                yield f"{name}, row {number}, {expected[0][column]}: {cell!r}, but should be {value!r}"


def report(differences, arguments, agreed):
    """Prints what is found, or that all agrees; gives the exit code."""
    try:
        found = list(differences(*arguments))
    except (NotHeld, Wrong, KeyError, ValueError, OSError, zipfile.BadZipFile) as why:
        found = [f"{type(why).__name__}: {why}"]
    for difference in found[:SHOWN]:
        print(difference)
    if len(found) > SHOWN:
        print(f"and {len(found) - SHOWN} more")
    if not found:
        print(agreed)
    return 1 if found else 0


def main(arguments):
    if len(arguments) != 2:
        print(__doc__)
        return 1
    return report(differences, arguments, "Every cell agrees with the lines of the book.")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
