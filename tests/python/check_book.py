#!/usr/bin/env python3
"""Checks the chain of a Cullbook book, from the description of the format alone.

    check_book.py [--head HEX] FILE...

Prints a line for each file; exits with 1 when any does not hold. It checks that
nothing was changed, dropped or slipped in, not whether each act was allowed.
"""

import hashlib
import json
import sys

MEMBERS = ["v", "seq", "id", "bench", "at", "by", "prev", "kind", "data"]


class NotHeld(Exception):
    """What is wrong with a book, in words."""


def members(pairs):
    """A JSON object; no name may stand in it twice."""
    found = dict(pairs)
    if len(found) != len(pairs):
        raise NotHeld("a member is doubled")
    return found


def read(data):
    """The lines of a book as objects, and its head. Raises NotHeld."""
    if not data.endswith(b"\n"):
        raise NotHeld("the last line has no line end")
    head, lines = "0" * 64, []
    for number, raw in enumerate(data[:-1].split(b"\n")):
        try:
            line = json.loads(raw.decode("utf-8"), object_pairs_hook=members)
        except (ValueError, NotHeld) as why:
            raise NotHeld(f"line {number} cannot be read: {why}") from why
        if not isinstance(line, dict) or list(line) != MEMBERS:
            raise NotHeld(f"line {number} has other members than a line of a book")
        if line["v"] != 1:
            raise NotHeld(f"line {number} has version {line['v']}")
        if line["seq"] != number:
            raise NotHeld(f"line {number} says it is number {line['seq']}")
        if line["prev"] != head:
            raise NotHeld(f"line {number} does not follow the line before it")
        head = hashlib.sha256(b"cullbook line v1\n" + raw).hexdigest()
        lines.append(line)
    return lines, head


def check(data, head=None):
    """Lines and head of a book that holds and has this head, if one is given."""
    lines, found = read(data)
    if head not in (None, found):
        raise NotHeld(f"its head is {found}")
    return lines, found


def main(arguments):
    head = None
    if arguments[:1] == ["--head"]:
        head, arguments = arguments[1], arguments[2:]
    held = True
    for path in arguments:
        with open(path, "rb") as file:
            data = file.read()
        try:
            lines, found = check(data, head)
            print(f"{path}: {len(lines)} lines, head {found}")
        except NotHeld as why:
            held = False
            print(f"{path}: not held: {why}")
    return 0 if held and arguments else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
