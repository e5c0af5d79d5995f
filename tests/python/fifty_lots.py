#!/usr/bin/env python3
"""Works out invented lots from their definitions, and compares line by line.

    fifty_lots.py definitions.jsonl lines.txt

A definition is one JSON object a lot: product, rules, classes, numbering,
replacement series and the tags of each sheet. From it follow the limit, each
sheet's verdict, each note's serial, bundle and box, each replacement pair, and
what each bundle and box holds. Ends with 1 at the first lines that differ.
"""

import json
import sys
from itertools import zip_longest

from serials import serial
from works import Layout, Lot

SHOWN = 10


def lot_of(definition):
    product = dict(definition["product"], grid=Layout(definition["product"]["layout"]))
    classes = {entry["code"]: entry for entry in definition["classes"]}
    return Lot(definition["lot"], product, classes, definition["rules"], 0)


def exams(lot, tags):
    """The verdict on each sheet, by its number."""
    found = {}
    for sheet, written in enumerate(tags, 1):
        seen = [(lot.layout.find(tag["at"]) if tag.get("at") else None, tag["side"], tag["class"])
                for tag in written]
        verdict, reason, defective = lot.verdict(seen)
        found[sheet] = {"verdict": verdict, "reason": reason, "defective": defective}
    return found


def pairs(lot, series, found):
    """Notes to replace in finishing order, each with the next note of the series."""
    finishing = lot.product["finishing"]
    needs = []
    for sheet, exam in found.items():
        for place in lot.lost(exam):
            rank = lot.layout.rank[place]
            bundle, box = lot.bundle(sheet, rank)
            depth = (sheet - 1) % finishing["stack"]
            needs.append((bundle, depth, lot.number(sheet, rank), box))
    for turn, (bundle, _, number, box) in enumerate(sorted(needs)):
        old = serial(lot.numbering["format"], number)
        new = serial(series["format"], series["first"] + turn)
        yield f"pair {old} {new} bundle {bundle} box {box}"


def bundles(lot):
    """What each bundle holds, from its top: its box and its serials."""
    held = {}
    for sheet in range(1, lot.sheets + 1):
        for place, rank in enumerate(lot.layout.rank):
            number, box = lot.bundle(sheet, rank)
            held.setdefault(number, (box, []))[1].append(lot.serial(sheet, place))
    return dict(sorted(held.items()))


def lines(number, definition):
    """Every line that is to be said of one lot."""
    lot = lot_of(definition)
    found = exams(lot, definition["tags"])
    yield f"lot {number}"
    yield f"limit {lot.limit()}"
    for sheet, exam in found.items():
        yield f"sheet {sheet} {exam['verdict']}: {exam['reason']}"
        for place, name in enumerate(lot.layout.names):
            bundle, box = lot.bundle(sheet, lot.layout.rank[place])
            yield f"note {sheet} {name} {lot.serial(sheet, place)} bundle {bundle} box {box}"
    yield from pairs(lot, definition["series"], found)
    boxes = {}
    for bundle, (box, serials) in bundles(lot).items():
        yield f"bundle {bundle} box {box}: {serials[0]} to {serials[-1]}, {len(serials)} notes"
        boxes.setdefault(box, []).append((bundle, len(serials)))
    for box, content in boxes.items():
        notes = sum(count for _, count in content)
        yield f"box {box}: bundles {content[0][0]} to {content[-1][0]}, {notes} notes"


def main(definitions, said):
    with open(definitions, encoding="utf-8") as file:
        lots = [json.loads(line) for line in file]
    with open(said, encoding="utf-8") as file:
        given = file.read().splitlines()
    right = [line for number, lot in enumerate(lots, 1) for line in lines(number, lot)]
    if len(given) < len(right):
        print(f"{len(right) - len(given)} lines are missing")
    pairs_of_lines = enumerate(zip_longest(given, right), 1)
    wrong = [(n, got, want) for n, (got, want) in pairs_of_lines if got != want]
    for n, got, want in wrong[:SHOWN]:
        print(f"line {n}: {got!r}, but should be {want!r}")
    print(f"{len(lots)} lots, {len(right)} lines, {len(wrong)} differ")
    return 1 if wrong or not lots else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
