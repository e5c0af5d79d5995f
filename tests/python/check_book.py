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
from datetime import datetime, timedelta

from nacl.exceptions import BadSignatureError
from nacl.signing import VerifyKey

MEMBERS = ["v", "seq", "id", "bench", "at", "by", "prev", "kind", "data"]
COUNTERSIGNED = ["statement", "also"]
LINE_MAX = 1 << 20
DEPTH_MAX = 64
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,23}")
HEX = {digits: re.compile(f"[0-9a-f]{{{digits}}}") for digits in (64, 128)}
UUID7 = re.compile(
    r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"
)
STAMP = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d):(\d\d)(\.\d+)?"
    r"(Z|([+-])(\d\d):(\d\d))",
    re.ASCII,
)
MEANINGS = ["second_person", "operator", "witness", "next_shift"]


class NotHeld(Exception):
    """What is wrong with a book, in words."""


def members(pairs):
    """A JSON object; no name may stand in it twice."""
    found = dict(pairs)
    if len(found) != len(pairs):
        raise NotHeld("a member is doubled")
    return found


def not_whole(text):
    raise NotHeld(f"{text} is not a whole number")


def depth(value):
    """How many objects and lists lie in each other."""
    if not isinstance(value, (dict, list)):
        return 0
    inner = value.values() if isinstance(value, dict) else value
    return 1 + max(map(depth, inner), default=0)


def read_json(raw):
    """The object of a line, which must be written in the one way the format has."""
    if len(raw) > LINE_MAX:
        raise NotHeld("it is too long")
    text = raw.decode("utf-8")
    line = json.loads(
        text,
        object_pairs_hook=members,
        parse_float=not_whole,
        parse_constant=not_whole,
    )
    if depth(line) > DEPTH_MAX:
        raise NotHeld("it is nested too deeply")
    if json.dumps(line, ensure_ascii=False, separators=(",", ":")) != text:
        raise NotHeld("it is written in another way than the format says")
    return line


def is_moment(text):
    """A date-time of RFC 3339, with capital T and Z."""
    parts = STAMP.fullmatch(text)
    if not parts:
        return False
    second, hours, minutes = parts[6], int(parts[10] or 0), int(parts[11] or 0)
    if hours > 23 or minutes > 59:
        return False
    leap = second == "60"
    try:
        year, month, day, hour, minute = map(int, parts.groups()[:5])
        moment = datetime(year, month, day, hour, minute, 59 if leap else int(second))
    except ValueError:
        return False
    offset = timedelta(hours=hours, minutes=minutes)
    utc = moment + offset if parts[9] == "-" else moment - offset
    return not leap or (utc + timedelta(seconds=1)).strftime("%d%H%M%S") == "01000000"


def whole(value):
    return isinstance(value, int) and not isinstance(value, bool)


def matches(pattern, value):
    return isinstance(value, str) and pattern.fullmatch(value) is not None


def check_members(line):
    """Names, order and form of the members of a line, without a look at its kind."""
    if not isinstance(line, dict) or list(line) not in (
        MEMBERS + ["sig"],
        MEMBERS + COUNTERSIGNED + ["sig"],
    ):
        raise NotHeld("it has other members than a line of a book")
    if not whole(line["v"]) or line["v"] != 2:
        raise NotHeld(f"it has version {line['v']}")
    forms = {
        "seq": whole(line["seq"]) and line["seq"] >= 0,
        "id": matches(UUID7, line["id"]),
        "bench": matches(NAME, line["bench"]),
        "at": isinstance(line["at"], str) and is_moment(line["at"]),
        "by": matches(NAME, line["by"]),
        "prev": matches(HEX[64], line["prev"]),
        "kind": isinstance(line["kind"], str),
        "data": isinstance(line["data"], dict),
        "statement": isinstance(line.get("statement", ""), str),
        "also": "also" not in line or are_signatures(line["also"]),
        "sig": matches(HEX[128], line["sig"]),
    }
    for name, fits in forms.items():
        if not fits:
            raise NotHeld(f"its {name} has another form than the format says")


def are_signatures(also):
    """The further signatures: a list, not empty, of objects of three members."""
    return (
        isinstance(also, list)
        and also != []
        and all(
            isinstance(one, dict)
            and list(one) == ["by", "as", "sig"]
            and matches(NAME, one["by"])
            and one["as"] in MEANINGS
            and matches(HEX[128], one["sig"])
            for one in also
        )
    )


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
        raise NotHeld("it names another archive than the lines before it")
    carried = raw[raw.index(b'"carried":') + 10 : raw.index(b'},"statement":')]
    if hashlib.sha256(carried).hexdigest() not in line["statement"]:
        raise NotHeld("its statement is not about what is carried over")


def beginning(raw):
    """Number, head and keys before the first line, which may be a checkpoint."""
    line = read_json(raw)
    if not isinstance(line, dict) or line.get("kind") != "book.checkpoint":
        return 0, "0" * 64, {}
    data = line["data"]
    number = data["archived"]["lines"]
    if not whole(number) or number < 1:
        raise NotHeld("it is a checkpoint with no line before it")
    keys = {person["person"]: person["key"] for person in data["carried"]["people"]}
    return number, data["archived"]["head"], keys


def check_signatures(number, raw, line, keys):
    """The author's signature and any others of a line; learns the keys it brings."""
    by, kind, data = line["by"], line["kind"], line["data"]
    if kind == "book.opened" and number == 0:
        keys[data["supervisor"]["person"]] = data["supervisor"]["key"]
    ending = f',"sig":"{line["sig"]}"}}'.encode()
    signed = b"cullbook sign v2\n" + raw[: -len(ending)]
    if by not in keys or not verify(keys[by], signed, line["sig"]):
        raise NotHeld(f"it does not carry the signature of {by}")
    for one in line.get("also", []):
        meaning = one["as"].replace("_", " ")
        text = f"{line['statement']}\nSigned by {one['by']} as {meaning}."
        message = b"cullbook statement v2\n" + text.encode()
        if one["by"] not in keys or not verify(keys[one["by"]], message, one["sig"]):
            raise NotHeld(f"the signature of {one['by']} does not hold")
        if line["prev"] not in line["statement"]:
            raise NotHeld("its statement names another head")
    if kind in ("person.enrolled", "person.rekeyed"):
        keys[data["person"]] = data["key"]


def check_line(number, raw, before, keys):
    """One line after those before it: (seq, head, bench). Gives back the line."""
    line = read_json(raw)
    check_members(line)
    head, bench = before
    if line["seq"] != number:
        raise NotHeld(f"it says it is number {line['seq']}")
    if line["prev"] != head:
        raise NotHeld("it does not follow the line before it")
    if bench not in (None, line["bench"]):
        raise NotHeld(f"it is from bench {line['bench']}")
    if line["kind"] == "book.checkpoint":
        check_checkpoint(number, raw, line)
    check_signatures(number, raw, line, keys)
    return line


def read(data):
    """The lines of a book as objects, and its head. Raises NotHeld."""
    head, bench, lines, keys, first = "0" * 64, None, [], {}, 0
    for index, raw in enumerate(data.split(b"\n")[:-1]):
        try:
            if index == 0:
                first, head, keys = beginning(raw)
            number = first + index
            line = check_line(number, raw, (head, bench), keys)
        except (ValueError, TypeError, LookupError, RecursionError, NotHeld) as why:
            raise NotHeld(f"line {first + index}: {why}") from why
        head = hashlib.sha256(b"cullbook line v2\n" + raw).hexdigest()
        bench = line["bench"]
        lines.append(line)
    if not data.endswith(b"\n"):
        raise NotHeld(f"line {first + len(lines)}: there is no line end")
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
