#!/usr/bin/env python3
"""Checks the chain and the signatures of a Cullbook book, from the description of the
format alone (src/book/mod.rs), with hashlib and PyNaCl (libsodium's Ed25519).

    check_book.py [--head HEX] FILE...

Prints a line for each file; exits with 1 when any does not hold. It checks that
nothing was changed, dropped or slipped in and that each line was signed by whom it
names, not whether each act was allowed. A book whose first lines are in an archive
begins with a checkpoint; then it checks that too, but for what the archive alone can
tell.
"""

import hashlib
import json
import re
import sys

from nacl.exceptions import BadSignatureError
from nacl.signing import VerifyKey

MEMBERS = ["v", "seq", "id", "bench", "at", "by", "prev", "kind", "data"]
COUNTERSIGNED = ["statement", "also"]
SIG = re.compile(rb',"sig":"([0-9a-f]{128})"}$')


class NotHeld(Exception):
    """What is wrong with a book, in words."""


def members(pairs):
    """A JSON object; no name may stand in it twice."""
    found = dict(pairs)
    if len(found) != len(pairs):
        raise NotHeld("a member is doubled")
    return found


def verify(key, message, signature):
    try:
        VerifyKey(bytes.fromhex(key)).verify(message, bytes.fromhex(signature))
    except (BadSignatureError, ValueError):
        return False
    return True


def check_checkpoint(number, raw, line):
    """A checkpoint names the lines before it, and its statement what it carries over."""
    archived = line["data"]["archived"]
    if (archived["lines"], archived["head"]) != (number, line["prev"]):
        raise NotHeld(f"line {number} names another archive than the lines before it")
    carried = raw[raw.index(b'"carried":') + 10 : raw.index(b'},"statement":')]
    if hashlib.sha256(carried).hexdigest() not in line["statement"]:
        raise NotHeld(f"line {number}: its statement is not about what is carried over")


def beginning(line):
    """Number, head and keys at a checkpoint that stands first."""
    data = line["data"]
    number = data["archived"]["lines"]
    if number < 1:
        raise NotHeld("line 0 is a checkpoint with no line before it")
    keys = {person["person"]: person["key"] for person in data["carried"]["people"]}
    return number, data["archived"]["head"], keys


def check_signatures(number, raw, line, keys):
    """The author's signature and any others of a line; learns the keys it brings."""
    by, kind, data = line["by"], line["kind"], line["data"]
    if kind == "book.opened" and number == 0:
        keys[data["supervisor"]["person"]] = data["supervisor"]["key"]
    end = SIG.search(raw)
    signed = b"cullbook sign v2\n" + raw[: end.start()] if end else b""
    if not end or by not in keys or not verify(keys[by], signed, line["sig"]):
        raise NotHeld(f"line {number} does not carry the signature of {by}")
    for one in line.get("also", []):
        meaning = one["as"].replace("_", " ")
        text = f"{line['statement']}\nSigned by {one['by']} as {meaning}."
        message = b"cullbook statement v2\n" + text.encode()
        if one["by"] not in keys or not verify(keys[one["by"]], message, one["sig"]):
            raise NotHeld(f"line {number}: the signature of {one['by']} does not hold")
        if line["prev"] not in line["statement"]:
            raise NotHeld(f"line {number}: its statement names another head")
    if kind in ("person.enrolled", "person.rekeyed"):
        keys[data["person"]] = data["key"]


def read(data):
    """The lines of a book as objects, and its head. Raises NotHeld."""
    if not data.endswith(b"\n"):
        raise NotHeld("the last line has no line end")
    head, lines, keys, first = "0" * 64, [], {}, 0
    for index, raw in enumerate(data[:-1].split(b"\n")):
        number = first + index
        try:
            line = json.loads(raw.decode("utf-8"), object_pairs_hook=members)
        except (ValueError, NotHeld) as why:
            raise NotHeld(f"line {number} cannot be read: {why}") from why
        if not isinstance(line, dict) or list(line) not in (
            MEMBERS + ["sig"],
            MEMBERS + COUNTERSIGNED + ["sig"],
        ):
            raise NotHeld(f"line {number} has other members than a line of a book")
        if line["v"] != 2:
            raise NotHeld(f"line {number} has version {line['v']}")
        if line["kind"] == "book.checkpoint" and index == 0:
            number, head, keys = beginning(line)
            first = number
        if line["seq"] != number:
            raise NotHeld(f"line {number} says it is number {line['seq']}")
        if line["prev"] != head:
            raise NotHeld(f"line {number} does not follow the line before it")
        if line["kind"] == "book.checkpoint":
            check_checkpoint(number, raw, line)
        check_signatures(number, raw, line, keys)
        head = hashlib.sha256(b"cullbook line v2\n" + raw).hexdigest()
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
            begins = f" from entry {lines[0]['seq']} on" if lines[0]["seq"] else ""
            print(f"{path}: {len(lines)} lines{begins}, head {found}")
        except NotHeld as why:
            held = False
            print(f"{path}: not held: {why}")
    return 0 if held and arguments else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
