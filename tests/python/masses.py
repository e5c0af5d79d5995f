"""Weigh checks and residue balances, worked out from the definitions (JCGM 100:2008)."""

import math

COVERAGE = 2


def area(layout, sheet):
    """Square metres of a sheet or a note; lengths are micrometres."""
    of = "sheet" if sheet else "note"
    return layout[of + "_width"] / 1000 * (layout[of + "_height"] / 1000) / 1e6


def scale_variance(scale):
    """Milligrams squared: a step and a repeatability for each of two readings, an error once."""
    reading = scale["resolution"] ** 2 / 12 + scale["repeatability"] ** 2
    return 2 * reading + scale.get("error", 0) ** 2 / 3


def weigh(pieces, papers, scale):
    """What a count should weigh, with its uncertainty.

    `pieces` has for each (product, whole sheet) its layout and count.
    """
    expected, paper_variance, described = 0.0, 0.0, True
    products, lightest, counts = {}, {}, {}
    for (product, sheet), (layout, count) in sorted(pieces.items()):
        paper = papers.get(product)
        described = described and paper is not None
        each = area(layout, sheet) * (layout["grammage"] + (paper or {"ink": 0})["ink"])
        expected += count * each
        known = products.setdefault(product, [0.0, 0.0])
        known[0] += count * area(layout, sheet)
        known[1] += count * area(layout, sheet) ** 2
        lightest[sheet] = min(lightest.get(sheet, math.inf), each)
        counts[sheet] = counts.get(sheet, 0) + count
    expected = math.floor(expected + 0.5)
    answer = {"expected": expected, "expanded": None, "notes": None, "sheets": None,
              "scale": scale}
    if not described or scale is None:
        return answer
    for product, (whole, squares) in products.items():
        paper = papers[product]
        paper_variance += (paper["bias"] ** 2 + paper["ink_bias"] ** 2) / 3 * whole ** 2
        paper_variance += paper["spread"] ** 2 * squares
    u = math.sqrt(paper_variance + scale_variance(scale))
    answer["expanded"] = math.ceil(COVERAGE * u)
    for sheet, name in ((False, "notes"), (True, "sheets")):
        if sheet in lightest:
            fewest = math.floor(2 * COVERAGE * u / lightest[sheet]) + 1
            answer[name] = fewest if fewest <= counts[sheet] else None
    return answer


def judge(weighed, net):
    """What a reading says of the count: its difference and the verdict."""
    difference = net - weighed["expected"]
    if weighed["expanded"] is None:
        return difference, "cannot tell"
    if abs(difference) > weighed["expanded"]:
        return difference, "differs"
    shows = weighed["notes"] is not None or weighed["sheets"] is not None
    return difference, "agrees" if shows else "cannot tell"


def residue(sessions, sent, percent):
    """Paper in, residue out, the tolerance and the result."""
    paper = sum(found["gross"] - found["tare"] for of in sessions for found in of["containers"])
    # Where the uncertainty of a weighing is not known, only the percentage counts.
    variance = sum(scale_variance(weighed["scale"]) for of in sessions for weighed in of["weighed"]
                   if weighed["expanded"] is not None)
    if any(of["method"] in ("pulping", "burning") for of in sessions):
        return paper, sent - paper, None, "cannot tell"
    tolerance = math.ceil(paper * percent / 100 + COVERAGE * math.sqrt(variance))
    agrees = abs(sent - paper) <= tolerance
    return paper, sent - paper, tolerance, "agrees" if agrees else "differs"
