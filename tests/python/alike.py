"""Whether groups of notes are alike, worked out apart from the program."""

import math
from fractions import Fraction

UNITS = {"note_width": "mm", "note_height": "mm", "register_across": "mm", "register_along": "mm",
         "colour_cie1976": "ΔE*ab", "colour_ciede2000": "ΔE00", "thickness": "µm"}
FEWEST = 5


def rounded(value):
    """Halves away from zero."""
    whole = math.floor(abs(value) + 0.5)
    return whole if value >= 0 else -whole


def fisher(group, everything):
    """Twice the smaller tail of the hypergeometric distribution, counted in whole numbers."""
    (found, of), (all_found, all_of) = group, everything

    def ways(k):
        return math.comb(all_found, k) * math.comb(all_of - all_found, of - k)

    least, most = max(0, of + all_found - all_of), min(of, all_found)
    whole = math.comb(all_of, of)
    few = sum(ways(k) for k in range(least, found + 1))
    many = sum(ways(k) for k in range(found, most + 1))
    return float(min(Fraction(1), Fraction(2 * min(few, many), whole)))


def holm(chances):
    adjusted, most = [1.0] * len(chances), 0.0
    order = sorted(range(len(chances)), key=lambda place: chances[place])
    for index, place in enumerate(order):
        most = min(1.0, max(most, chances[place] * (len(chances) - index)))
        adjusted[place] = most
    return adjusted


def sums(stacks):
    return sum(found for found, _ in stacks), sum(of for _, of in stacks)


def class_rows(lots, day, by, wilson, ppm):
    """Rows of one product by lot or by stage: group, class, then figures."""
    groups = {}
    for lot in lots:
        height = lot.product["finishing"]["stack"]
        for sheet, exam in lot.exams.items():
            if exam["day"] != day:
                continue
            group = lot.id if by == "lot" else exam["stage"]
            stack = groups.setdefault(group, {}).setdefault((lot.id, (sheet - 1) // height), [])
            stack.append({code for _, _, code in exam["tags"]})
    names = sorted(groups)
    classes = sorted({code for stacks in groups.values() for stack in stacks.values()
                      for seen in stack for code in seen})
    rows, tests = [], []
    for code in classes:
        stacks = [[(sum(code in seen for seen in stack), len(stack))
                   for stack in groups[name].values()] for name in names]
        totals = [sums(of_group) for of_group in stacks]
        everything = sums(totals)
        clumped = clumping(stacks, totals, everything)
        rate = Fraction(*everything)
        above = [(sum(Fraction(*stack) > rate for stack in of_group), len(of_group))
                 for of_group in stacks]
        chances = [max(fisher(total, everything), fisher(high, sums(above)))
                   if len(names) > 1 else 1.0 for total, high in zip(totals, above)]
        tests += chances[:1] if len(names) == 2 else chances
        for name, (found, of), chance in zip(names, totals, chances):
            low, high = wilson(found / clumped, of / clumped)
            rows.append([name, code, of, found, ppm(found / of), ppm(low), ppm(high),
                         rounded(clumped * 1000), ppb(chance)])
    adjusted = iter(holm(tests))
    if len(names) == 2:
        adjusted = iter([value for value in adjusted for _ in names])
    return [[*row, ppb(value)] for row, value in zip(rows, adjusted)]


def ppb(chance):
    return math.floor(chance * 1e9 + 0.5)


def clumping(stacks, totals, everything):
    freedom = sum(map(len, stacks)) - len(stacks)
    rate = everything[0] / everything[1]
    if freedom == 0 or rate in (0.0, 1.0):
        return 1.0
    apart = math.fsum(of * (found / of - total[0] / total[1]) ** 2
                      for of_group, total in zip(stacks, totals) for found, of in of_group)
    return max(1.0, apart / freedom / (rate * (1 - rate)))


def moments(readings):
    """Mean and standard deviation of whole numbers, exact up to the root."""
    n = len(readings)
    mean = Fraction(sum(readings), n)
    if n < 2:
        return mean, None
    variance = sum((reading - mean) ** 2 for reading in readings) / (n - 1)
    return mean, math.sqrt(variance)


def f_upper(between, within, f):
    """P(F > f): the regularised incomplete beta function by its continued fraction (Lentz)."""
    if not f > 0:
        return 1.0
    x = within / (within + between * f)
    return incomplete_beta(within / 2, between / 2, x)


def incomplete_beta(a, b, x):
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - incomplete_beta(b, a, 1 - x)
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
                     + a * math.log(x) + b * math.log1p(-x)) / a
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, 2000):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / (1 + term * d)
            c = 1 + term / c
            value *= c * d
        if abs(c * d - 1) < 1e-16:
            break
    return front * value


def one_way(groups):
    """The chance of such means under one mean and one spread; nothing without any spread."""
    n = sum(map(len, groups))
    if len(groups) < 2:
        return None
    grand = Fraction(sum(map(sum, groups))) / n
    means = [Fraction(sum(group)) / len(group) for group in groups]
    inside = sum((one - mean) ** 2 for group, mean in zip(groups, means) for one in group)
    between = sum(len(group) * (mean - grand) ** 2 for group, mean in zip(groups, means))
    over, under = len(groups) - 1, n - len(groups)
    if inside == 0:
        return None
    return f_upper(over, under, float((between / over) / (inside / under)))


def same_means(groups):
    variances = [sum((one - Fraction(sum(group), len(group))) ** 2 for one in group) / (len(group) - 1)
                 for group in groups]
    if len(groups) < 2 or not all(variances):
        return one_way(groups)
    weights = [len(group) / variance for group, variance in zip(groups, variances)]
    means = [Fraction(sum(group), len(group)) for group in groups]
    whole, k = sum(weights), len(groups)
    grand = sum(weight * mean for weight, mean in zip(weights, means)) / whole
    apart = sum(weight * (mean - grand) ** 2 for weight, mean in zip(weights, means))
    unsure = sum((1 - weight / whole) ** 2 / (len(group) - 1) for weight, group in zip(weights, groups))
    f = apart / (k - 1) / (1 + Fraction(2 * (k - 2), k * k - 1) * unsure)
    return f_upper(k - 1, float((k * k - 1) / (3 * unsure)), float(f))


def same_spreads(groups):
    def median(group):
        ordered, n = sorted(group), len(group)
        return Fraction(ordered[(n - 1) // 2] + ordered[n // 2], 2)
    return one_way([[abs(one - median(group)) for one in group] for group in groups])


def chi_square_quantile(freedom, share, upper):
    """By halving over the closed form of the upper tail."""
    low, high = 0.0, freedom + 20 * math.sqrt(2 * freedom) + 50
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if 1 - upper(freedom, middle) < share else (low, middle)
    return high


def capability(readings, tolerance, z, upper):
    """Cp and Cpk in thousandths, each with its interval; nothing where there is none."""
    n, (mean, spread) = len(readings), moments(readings)
    if not spread or tolerance is None:
        return [None] * 6
    mean = float(mean)
    sides = [(tolerance[limit] - mean) * sign / (3 * spread)
             for limit, sign in (("lower", -1), ("upper", 1)) if limit in tolerance]
    cp = [None] * 3
    if len(sides) == 2:
        value = (tolerance["upper"] - tolerance["lower"]) / (6 * spread)
        ends = (math.sqrt(chi_square_quantile(n - 1, share, upper) / (n - 1)) for share in (0.025, 0.975))
        cp = [rounded(1000 * value), *(rounded(1000 * value * end) for end in ends)]
    cpk = min(sides)
    half = z * math.sqrt(1 / (9 * n) + cpk * cpk / (2 * (n - 1)))
    return [*cp, *(rounded(1000 * one) for one in (cpk, cpk - half, cpk + half))]


def measured_rows(samples, tolerances, by, works_name, z, upper):
    """Rows of one product by lot, press or works: group, quantity, then figures."""
    found = {}
    for sample in samples:
        other = f", {sample['site']}" if "site" in sample else ""
        if by == "works":
            group = sample.get("site", works_name)
        elif by in sample:
            group = sample[by] + other
        else:
            continue
        groups = found.setdefault(sample["quantity"], {})
        groups.setdefault(group, []).append(sample["readings"])
    quantities = [name for name in UNITS if name in found]
    tests, rows = [], []
    for quantity in quantities:
        merged = {name: [one for sample in parts for one in sample]
                  for name, parts in sorted(found[quantity].items())}
        enough = [readings for readings in merged.values() if len(readings) >= FEWEST]
        places = []
        for test in (same_means, same_spreads):
            chance = test(enough)
            places.append(None if chance is None else len(tests))
            tests += [] if chance is None else [chance]
        tolerance = tolerances.get(quantity)
        for name, readings in merged.items():
            mean, spread = moments(readings)
            outside = tolerance and sum(
                not tolerance.get("lower", one) <= one <= tolerance.get("upper", one)
                for one in readings)
            rows.append([name, quantity, UNITS[quantity], len(found[quantity][name]), len(readings),
                         rounded(mean * 1000), None if spread is None else rounded(spread * 1000),
                         outside, *capability(readings, tolerance, z, upper), *places])
    adjusted = holm(tests)
    for row in rows:
        for place in (row.pop(-2), row.pop(-1)):
            row += [None, None] if place is None else [ppb(tests[place]), ppb(adjusted[place])]
    return rows
