#!/usr/bin/env python3
"""The short code of every head of a book, the first line's first: from the description in
src/book/head_code.rs alone.

    head_code.py BOOK.jsonl
"""

import hashlib
import sys

# Crockford's base 32: Douglas Crockford, "Base 32", https://www.crockford.com/base32.html
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def product(a, b):
    """In the field of 32 elements, polynomials over {0, 1} modulo x^5 + x^2 + 1."""
    result = 0
    for bit in range(5):
        if b >> bit & 1:
            result ^= a << bit
    for bit in range(9, 4, -1):
        if result >> bit & 1:
            result ^= 0b100101 << (bit - 5)
    return result


def code(entries, head):
    """The count, the first 100 bits of the head, and the character that brings the sum to 0."""
    bits = bin(int(head, 16))[2:].zfill(256)[:100]
    text = str(entries) + "".join(ALPHABET[int(bits[at : at + 5], 2)] for at in range(0, 100, 5))
    power, total = 2, 0
    for character in reversed(text):
        total ^= product(power, ALPHABET.index(character))
        power = product(power, 2)
    behind = text[-20:] + ALPHABET[total]
    groups = [behind[at : at + 3] for at in range(0, 21, 3)]
    return "-".join([str(entries)] + groups)


def main():
    with open(sys.argv[1], "rb") as book:
        lines = book.read().split(b"\n")[:-1]
    for entries, line in enumerate(lines, start=1):
        print(code(entries, hashlib.sha256(b"cullbook line v2\n" + line).hexdigest()))


if __name__ == "__main__":
    main()
