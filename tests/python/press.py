"""What a day's sheets say about the press: control charts and findings, worked out apart from
the program from the definitions that the tables name."""

import math

# By pattern and step; nothing for a step: all others.
SUSPECTS = {
    "position": {
        "paper": "mould or thread at the paper maker's", "offset": "plate or blanket",
        "screen": "screen", "foil": "foil die", "intaglio": "plate or wiping unit",
        "numbering": "numbering box", "handling": "what touches the sheet"},
    "column": {
        "paper": "paper web", "offset": "inking zone", "screen": "squeegee",
        "foil": "foil track", "intaglio": "inking zone or wiping unit",
        "numbering": "numbering shaft", "handling": "what touches the sheet"},
    "row": {"numbering": "numbering shaft", None: "gap, roller or gripper"},
}
PLACES = {"position": "one position, sheet after sheet", "column": "one column", "row": "one row"}
SIDES = ["front", "back"]
ONE_IN_TWENTY = 0.05
EXACT_UP_TO = 30
ENOUGH = 5


def rounded(value):
    """Halves upwards; values are never negative."""
    return math.floor(value + 0.5)


# Control charts (NIST/SEMATECH e-Handbook 6.3.3), Western Electric rules (6.3.2)

def stacks(lot, exams):
    """Examinations of a lot, in sheet order, by stack."""
    groups = {}
    for sheet, exam in exams:
        groups.setdefault((sheet - 1) // lot.product["finishing"]["stack"], []).append((sheet, exam))
    return [groups[number] for number in sorted(groups)]


def chart(kind, lot, exams):
    """Rows of one chart: from, to, size, found, value, centre, lower, upper, outside, rules, rough."""
    groups = []
    for stack in stacks(lot, exams):
        if kind == "p":
            size = len(stack) * lot.layout.notes
            found = sum(len(exam["defective"]) for _, exam in stack)
        else:
            size, found = len(stack), sum(len(exam["tags"]) for _, exam in stack)
        groups.append((stack[0][0], stack[-1][0], size, found))
    centre = sum(g[3] for g in groups) / sum(g[2] for g in groups)
    variance = centre * (1 - centre) if kind == "p" else centre
    rarer = min(centre, 1 - centre) if kind == "p" else centre
    rough = any(size * rarer < ENOUGH for *_, size, _ in groups)
    points, z = [], []
    for _, _, size, found in groups:
        value, sigma = found / size, math.sqrt(variance / size)
        lower, upper = max(centre - 3 * sigma, 0.0), centre + 3 * sigma
        upper = min(upper, 1.0) if kind == "p" else upper
        points.append((value, lower, upper))
        z.append((value - centre) / sigma if sigma > 0 else 0.0)
    for at, ((first, last, size, found), (value, lower, upper)) in enumerate(zip(groups, points)):
        outside = value > upper or value < lower
        ppm = [rounded(v * 1e6) for v in (value, centre, lower, upper)]
        yield [first, last, size, found, *ppm, yes(outside), " ".join(rules(z, at)), yes(rough)]


def yes(is_so):
    return "yes" if is_so else "no"


def rules(z, at):
    """The rules that the point at this place completes."""
    found = [("W1", 1, 1, 3.0), ("W2", 3, 2, 2.0), ("W3", 5, 4, 1.0), ("W4", 8, 8, 0.0)]
    for name, window, count, limit in found:
        side = math.copysign(1.0, z[at])
        beyond = [value * side > limit for value in z[max(0, at + 1 - window):at + 1]]
        if beyond[-1] and sum(beyond) >= count:
            yield name


# Findings

def findings(lot, exams):
    """Rows of a lot: kind, class, side, where, from, to, count, expected, chance, q, look at."""
    exams = list(exams)
    placed = [(sheet, [tag for tag in exam["tags"] if tag[0] is not None]) for sheet, exam in exams]
    rows = [*repeaters(lot, placed), *zones(lot, placed)]
    return sorted(rows, key=lambda row: (row[9], -row[6], row[0], row[1], SIDES.index(row[2]), row[3]))


def repeaters(lot, placed):
    """The longest run of each class at each position of a side, where chance does not explain it."""
    running, longest, marked, totals = {}, {}, {}, {}
    for number, (sheet, tags) in enumerate(placed):
        for place, side, code in set(tags):
            key = place, side, code
            length, first, last = running.get(key, (0, sheet, -2))
            length, first = (length + 1, first) if last == number - 1 else (1, sheet)
            running[key] = length, first, number
            if length > longest.get(key, (0,))[0]:
                longest[key] = length, first, sheet
            marked[key] = marked.get(key, 0) + 1
            totals[side, code] = totals.get((side, code), 0) + 1
    note_classes = sum(known["scope"] == "note" for known in lot.classes.values())
    family = lot.layout.notes * 2 * note_classes
    chances = {}
    for (place, side, code), (length, _, _) in longest.items():
        others = totals[side, code] - marked[place, side, code]
        rate = (others + 1) / (len(placed) * (lot.layout.notes - 1) + 2)
        chances[place, side, code] = run_chance(len(placed), length, min(rate, 1.0))
    for key, q in q_values(chances, family).items():
        (place, side, code), (length, first, last) = key, longest[key]
        if q <= ONE_IN_TWENTY:
            yield ["repeater", code, side, lot.layout.names[place], first, last, length, None,
                   rounded(chances[key] * 1e9), rounded(q * 1e9), look_at(lot, "position", code)]


def look_at(lot, pattern, code):
    suspects = SUSPECTS[pattern]
    return f"{PLACES[pattern]}: {suspects.get(lot.classes[code]['step'], suspects.get(None))}"


def run_chance(trials, length, rate):
    """The chance of a run of successes among independent trials, trial after trial."""
    if length == 1:
        return -math.expm1(trials * math.log1p(-rate)) if rate < 1 else 1.0
    run = rate ** length
    chance = [0.0] * length + [run]
    for number in range(length + 1, trials + 1):
        chance.append(chance[-1] + run * (1 - rate) * (1 - chance[number - length - 1]))
    return chance[trials]


def zones(lot, placed):
    """Columns and rows that a class marks more than their share."""
    rows, columns = lot.layout.rows, lot.layout.columns
    grids = {}
    for _, tags in placed:
        for place, side, code in tags:
            grid = grids.setdefault((code, side), [0] * (rows * columns))
            grid[place] += 1
    tested = {}
    for (code, side), grid in grids.items():
        lines = {"column": [grid[c::columns] for c in range(columns)],
                 "row": [grid[r * columns:(r + 1) * columns] for r in range(rows)]}
        for kind, of_kind in lines.items():
            if len(of_kind) > 1:
                totals = [sum(line) for line in of_kind]
                tested[code, side, kind] = of_kind, totals, line_chance(totals)
    chances = {key: chance for key, (*_, chance) in tested.items()}
    for key, q in q_values(chances, len(chances)).items():
        if q > ONE_IN_TWENTY:
            continue
        (code, side, kind), (of_kind, totals, chance) = key, tested[key]
        at = totals.index(max(totals))
        ends = [(0, at), (rows - 1, at)] if kind == "column" else [(at, 0), (at, columns - 1)]
        names = [lot.layout.names[r * columns + c] for r, c in ends]
        one_note = 2 * max(of_kind[at]) > totals[at]
        yield [kind, code, side, " to ".join(names), None, None, totals[at],
               rounded(sum(totals) / len(totals) * 1e3), rounded(chance * 1e9), rounded(q * 1e9),
               look_at(lot, "position" if one_note else kind, code)]


def line_chance(totals):
    """The chance of a chi-square statistic at least this large if all lines are alike."""
    marks, lines = sum(totals), len(totals)
    if marks <= EXACT_UP_TO:
        return exact_chance(marks, lines, sum(n * n for n in totals))
    expected = marks / lines
    return chi_square_upper(lines - 1, sum((n - expected) ** 2 / expected for n in totals))


def exact_chance(marks, lines, squares):
    """Over every way that the marks can fall, counted in whole numbers."""
    ways = {(0, 0): 1}
    for _ in range(lines):
        after = {}
        for (so_far, square), count in ways.items():
            for more in range(marks - so_far + 1):
                key = so_far + more, square + more * more
                after[key] = after.get(key, 0) + count * math.comb(so_far + more, more)
        ways = after
    some = sum(count for (n, square), count in ways.items() if n == marks and square >= squares)
    return some / lines ** marks


def chi_square_upper(freedom, statistic):
    """Closed forms for whole degrees of freedom."""
    half = statistic / 2
    if freedom % 2 == 0:
        return math.exp(-half) * math.fsum(half ** i / math.factorial(i) for i in range(freedom // 2))
    terms = (math.exp((i - 0.5) * math.log(half) - half - math.lgamma(i + 0.5))
             for i in range(1, (freedom - 1) // 2 + 1))
    return math.erfc(math.sqrt(half)) + (math.fsum(terms) if half > 0 else 0.0)


def q_values(chances, family):
    """Benjamini and Hochberg among a family of which only these have a chance below 1."""
    ordered = sorted(chances, key=chances.get, reverse=True)
    least, found = 1.0, {}
    for left, key in zip(range(len(ordered), 0, -1), ordered):
        least = min(least, chances[key] * max(family, len(ordered)) / left)
        found[key] = least
    return found
