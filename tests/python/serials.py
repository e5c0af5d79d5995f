"""Serials of a Cullbook book: prefix, number, suffix and check character.

Written apart from the program, in another way where there is one: a check
character is mostly found by trying all of them against the rule.
"""

CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
# ISO/IEC 7064 pure systems: modulus, radix 2 (97-10: radix 10), characters.
DAMM = ["0317598642", "7092154863", "4206871359", "1750983426", "6123045978",
        "3674209581", "5869720134", "8945362017", "9438617205", "2581436790"]
TURN = [1, 5, 7, 6, 2, 8, 3, 0, 9, 4]
LETTER_DIGITS = "ADGKLNSUYZ"


def check_characters(system, payload):
    """The check characters of a text of capitals and digits."""
    if system == "none":
        return ""
    if system == "mod97_10":
        number = int("".join(str(CHARACTERS.index(c)) for c in payload) + "00")
        return f"{98 - number % 97:02}"
    candidates = {
        "mod11_2": "0123456789X",
        "mod37_2": CHARACTERS,
        "mod11_10": CHARACTERS[:10],
        "mod27_26": CHARACTERS[10:36],
        "mod37_36": CHARACTERS[:36],
    }.get(system, CHARACTERS[:10])
    found = [c for c in candidates if holds(system, payload + c)]
    if len(found) != 1:
        raise ValueError(f"{system} has {len(found)} check characters for {payload}")
    return found[0]


def holds(system, full):
    """Whether a text that ends with one check character holds."""
    if system in ("mod11_2", "mod37_2"):
        return pure(full, {"mod11_2": 11, "mod37_2": 37}[system])
    if system in ("mod11_10", "mod37_36"):
        return hybrid([CHARACTERS.index(c) for c in full], {"mod11_10": 10, "mod37_36": 36}[system])
    if system == "mod27_26":
        return hybrid([ord(c) - ord("A") for c in full], 26)
    if system == "luhn":
        doubled = [sum(divmod(int(c) * (1 + i % 2), 10)) for i, c in enumerate(reversed(full))]
        return sum(doubled) % 10 == 0
    if system == "damm":
        row = 0
        for c in full:
            row = int(DAMM[row][int(c)])
        return row == 0
    if system == "verhoeff":
        return product(turned(int(c), i) for i, c in enumerate(reversed(full))) == 0
    if system == "letter_sum9":
        *payload, check = full
        value = sum(int(c) if c.isdigit() else ord(c) for c in payload) + int(check)
        return check != "0" and value % 9 == 0
    if system == "dihedral_letters":
        digits = [LETTER_DIGITS.index(c) if c in LETTER_DIGITS else int(c) for c in full]
        *payload, check = digits
        return product([turned(d, i + 1) for i, d in enumerate(payload)] + [check]) == 0
    raise ValueError(f"check system {system} is unknown")


def pure(full, modulus):
    """The weighted sum of all characters is 1 modulo M; weights are powers of 2."""
    values = [10 if c == "X" and modulus == 11 else CHARACTERS.index(c) for c in full]
    return sum(v << i for i, v in enumerate(reversed(values))) % modulus == 1


def hybrid(values, modulus):
    rest = modulus
    for value in values[:-1]:
        rest = (rest + value) % modulus or modulus
        rest = rest * 2 % (modulus + 1)
    return (rest + values[-1]) % modulus == 1


def turned(digit, times):
    for _ in range(times):
        digit = TURN[digit]
    return digit


def product(factors):
    """In the group of the turns and flips of a pentagon; 5 to 9 are the flips."""
    a = 0
    for b in factors:
        turns = (a % 5 + (b % 5 if a < 5 else -b % 5)) % 5
        a = turns + (5 if (a < 5) != (b < 5) else 0)
    return a


def serial(form, number):
    """The text of a number in a serial format as the book writes it."""
    digits = f"{number:0{form['width']}}"
    if len(digits) > form["width"]:
        raise ValueError(f"number {number} is too large for its format")
    prefix, suffix = form.get("prefix", ""), form.get("suffix", "")
    system = form.get("check", "none")
    whole = form.get("check_over", "whole") == "whole"
    check = check_characters(system, prefix + digits + suffix if whole else digits)
    if form.get("check_place", "end") == "after_number":
        return prefix + digits + check + suffix
    return prefix + digits + suffix + check
