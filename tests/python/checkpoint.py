"""What a checkpoint carries over, worked out from the lines before it."""

from alike import UNITS

DAYS = 31
ACTS = {"entries": "entries", "corrections": "corrections", "overrulings": "verdicts overruled",
        "replacements_drawn": "replacements drawn", "replacements_inserted": "replacements inserted",
        "replacements_spoiled": "replacements spoiled", "replacements_returned": "replacements returned",
        "containers_sealed": "containers sealed", "sessions": "destruction sessions",
        "spoils_lost": "spoils declared lost", "custody_corrections": "corrections of fillings and sealings",
        "sheets_destroyed": "sheets destroyed", "notes_destroyed": "notes destroyed",
        "late": "entries after closing"}


def acts_of(totals):
    """The acts of a day as the tables name them."""
    return {named: totals[name] for name, named in ACTS.items()}


def differences(works, carried):
    """The parts that the carried state has otherwise than the lines before it."""
    expected = dict(parts(works))
    # How strictly to inspect follows from the tables of sampling plans, which are not here.
    expected["standings"] = carried["standings"] if works.samples else []
    yield from sorted(set(carried) ^ set(expected))
    for name in sorted(set(carried) & set(expected)):
        found = carried[name]
        if name == "days":
            found = [[day, without_nothing(totals)] for day, totals in found]
        if name == "containers":
            found = [(one["container"], one.get("place", {}).get("place")) for one in found]
        if name == "seals":
            found = [seal for seal, _ in found]
        if name == "failed_keys":
            found = dict(found)
        if found != expected[name]:
            yield name


def parts(works):
    """Each part of the carried state, but for what has no figure."""
    opened = works.opened
    for name in ("works", "book", "bench", "practice"):
        yield name, opened[name]
    yield "opened", opened["at"]
    yield "people", by_name(works.enrolled)
    yield "retired", by_name(works.retired)
    if works.classes:
        yield "classes", list(works.classes.values())
    yield "rules", works.rules
    products = {name: {key: value for key, value in product.items() if key != "grid"}
                for name, product in works.products.items()}
    yield "products", by_name(products)
    yield "series", [{"series": spec, "settled": settled(works, name)}
                     for name, spec in sorted(works.series.items())]
    yield "lots", [closed(works, lot) for _, lot in sorted(works.lots.items())]
    open_ones = {name: one for name, one in works.containers.items() if works.state(one) == "open"}
    yield "containers", [(name, one["place"]) for name, one in sorted(open_ones.items())]
    yield "used_containers", sorted(set(works.containers) - set(open_ones))
    yield "seals", sorted(works.seals)
    yield "sessions", sorted(works.session_numbers)
    yield "begins_sessions", works.begun_any
    yield "witnesses", [of["witnesses"] for of in works.sessions][-255:]
    yield "scales", by_name(works.scales)
    yield "papers", [list(pair) for pair in sorted(works.papers.items())]
    if works.tolerances:
        yield "tolerances", [{"product": product, "quantity": quantity, "tolerance": tolerance}
                             for (product, quantity), tolerance in in_order(works.tolerances)]
    yield "receipts", works.receipts
    yield "failed_keys", works.failed_keys
    yield "acceptances", sorted(works.samples)
    yield "days", [[day, without_nothing(totals(works, day))]
                   for day in last_days(works)]
    yield "last_day", works.last_day
    yield "closed_days", [[day, {name: line[name] for name in ("seq", "by", "at")}]
                          for day, line in sorted(works.closings.items())]


def in_order(tolerances):
    """By product, then in the order of the quantities."""
    order = list(UNITS)
    return sorted(tolerances.items(), key=lambda one: (one[0][0], order.index(one[0][1])))


def last_days(works):
    """The last days on which sheets were examined, and every day after the first of them."""
    examined = {exam["day"] for lot in works.lots.values() for exam in lot.exams.values()}
    first = min(sorted(examined)[-DAYS:]) if len(examined) > DAYS else ""
    return [day for day in sorted(works.days) if day >= first]


def by_name(things):
    return [thing for _, thing in sorted(things.items())]


def settled(works, series):
    notes = works.drawn[series]
    count = {fate: sum(note["fate"] == fate for note in notes)
             for fate in ("inserted", "spoiled", "returned")}
    days = {}
    for note in notes:
        days[note["day"]] = days.get(note["day"], 0) + 1
    return dict(count, by_day=[list(pair) for pair in sorted(days.items())[-DAYS:]])


def closed(works, lot):
    """A lot with its account, read off the balance table."""
    from day_record import Tables

    rows = {(identity, side, figure): count
            for _, identity, side, figure, count in Tables(works, None, None, 0).balance(lot.id, [lot])}

    def figures(identity, names):
        counts = ((name, rows[identity, side, figure]) for name, side, figure in names)
        return {name: count for name, count in counts if count}

    found = {"lot": lot.id, "product": lot.product["product"], "opened": lot.seq, "closed": lot.closed}
    if lot.numbering:
        found["numbering"] = lot.numbering
    found["sheets"] = figures("Sheets", [
        ("received", "owed", "received"), ("added", "owed", "added at the press"),
        ("good", "found", "good"), ("mixed", "found", "mixed"), ("spoiled", "found", "spoiled"),
        ("lost_at_press", "found", "lost at the press"), ("not_examined", "found", "not yet examined")])
    found["notes"] = figures("Notes", [
        ("printed", "owed", "printed"), ("fit", "found", "fit as printed"),
        ("spoiled_on_mixed", "found", "spoiled on mixed sheets"),
        ("on_spoiled_sheets", "found", "on spoiled sheets"),
        ("on_lost_sheets", "found", "on sheets lost at the press")])
    found["replacements"] = figures("Replacement notes", [
        ("drawn", "owed", "drawn"), ("inserted", "found", "inserted"), ("spoiled", "found", "spoiled"),
        ("returned", "found", "returned"), ("on_hand", "found", "on hand")])
    found["spoils"] = figures("Spoils", [
        ("made", "owed", "made"), ("destroyed", "found", "destroyed"),
        ("declared_lost", "found", "declared lost")])
    return found


def totals(works, day):
    """What a day adds up to."""
    found = {name: works.day(day)[named] for name, named in ACTS.items()}
    exams = [(lot, exam) for lot in works.lots.values() for exam in lot.exams.values()
             if exam["day"] == day]
    found["on_machines_word"] = sum(exam["machine_word"] for _, exam in exams)
    found["all"] = tally(exams)
    found["by_product"] = grouped(exams, lambda lot, _: lot.product["product"])
    found["by_stage"] = grouped(exams, lambda _, exam: exam["stage"])[::-1]
    found["carried_in"] = open_work(works.carried_in[day])
    if day in works.carried_over:
        found["carried_over"] = open_work(works.carried_over[day])
    found["cut_over_hour"] = works.cut_overs[day]
    found["cut_over_moves"] = [dict(zip(("entry", "from", "to"), move)) for move in works.moves.get(day, [])]
    found["by_lot"] = grouped(exams, lambda lot, _: lot.id)
    found["by_inspector"] = grouped(exams, lambda _, exam: exam["by"])
    found["by_hour"] = grouped(exams, lambda _, exam: int(exam["at"][11:13]))
    tags = [(code, lot.classes[code]["step"]) for lot, exam in exams for *_, code in exam["tags"]]
    steps = ["paper", "offset", "screen", "foil", "intaglio", "numbering", "handling"]
    found["by_class"] = counted([code for code, _ in tags])
    found["by_step"] = sorted(counted([step for _, step in tags]), key=lambda p: steps.index(p[0]))
    return found


def open_work(carried):
    return {name.replace(" ", "_"): count for name, count, _ in carried}


def tally(exams):
    def count(verdict):
        return sum(exam["verdict"] == verdict for _, exam in exams)

    return {"good": count("good"), "mixed": count("mixed"), "spoiled": count("spoiled"),
            "notes_spoiled": sum(len(lot.lost(exam)) for lot, exam in exams),
            "notes_examined": sum(lot.layout.notes for lot, _ in exams)}


def grouped(exams, key):
    groups = {}
    for lot, exam in exams:
        groups.setdefault(key(lot, exam), []).append((lot, exam))
    return [[name, tally(part)] for name, part in sorted(groups.items())]


def counted(names):
    return [[name, names.count(name)] for name in sorted(set(names))]


def without_nothing(totals):
    """Totals without groups that corrections have emptied."""
    def something(value):
        return any(value.values()) if isinstance(value, dict) else value

    def is_group(name, value):
        return isinstance(value, list) and name != "cut_over_moves"

    return {name: [pair for pair in value if something(pair[1])] if is_group(name, value) else value
            for name, value in totals.items()}
