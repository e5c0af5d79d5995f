"""What the lines of a Cullbook book add up to, worked out apart from the program.

Nothing here looks at a table: entries in, figures out. Rules are those of the
design: verdicts, numbering, finishing, draws, the cage, production days.
"""

from copy import deepcopy
from datetime import datetime, timedelta
from hashlib import sha256

import checkpoint
import masses
from serials import serial
from session import Session
from wrong import Wrong

# Before a book sets its own rules, days end at six (the program's starting rules).
FIRST_CUT_OVER = 6
SEVERITIES = ["minor", "major", "critical"]
FATES = ["inserted", "spoiled", "returned"]


def moment(text):
    return datetime.fromisoformat(text)


class Layout:
    """Positions row by row: their names and their ranks in the numbering order."""

    def __init__(self, spec):
        rows, columns = spec["rows"], spec["columns"]
        cells = [(row, column) for row in range(rows) for column in range(columns)]
        self.rows, self.columns = rows, columns
        self.notes = rows * columns

        def quarter(row, column):
            high, wide = rows // 2, columns // 2
            number = 2 * (row >= high) + (column >= wide)
            return number, (column % wide) * high + row % high

        ranks = {
            "rows": lambda r, c: r * columns + c,
            "columns": lambda r, c: c * rows + r,
            "quadrants": lambda r, c: quarter(r, c)[0] * (self.notes // 4) + quarter(r, c)[1],
        }[spec["order"]]
        self.rank = [ranks(*cell) for cell in cells]
        names = spec["names"]
        letter = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
        if isinstance(names, dict):
            self.names = names["list"]
        else:
            named = {
                "row_letter_column_number": lambda r, c: f"{letter[r]}{c + 1}",
                "column_letter_row_number": lambda r, c: f"{letter[c]}{r + 1}",
                "running": lambda r, c: str(ranks(r, c) + 1),
                "quadrant": lambda r, c: f"{letter[quarter(r, c)[1]]}{quarter(r, c)[0] + 1}",
            }[names]
            self.names = [named(*cell) for cell in cells]
        self.places = {name.upper(): place for place, name in enumerate(self.names)}

    def find(self, name):
        return self.places[name.strip().upper()]


def run_number(run, index, rank):
    """The number of a note of one run; sheets and ranks from 0."""
    down = run.get("arrangement", "down_stack") == "down_stack"
    block, place = (rank, index) if down else (index, rank)
    offset = block * run["stride"] + place
    return run["first"] + (offset if run.get("direction", "up") == "up" else -offset)


class Lot:
    """One lot with the product, classes and rules in force when it was opened."""

    def __init__(self, data, product, classes, rules, seq):
        self.id, self.sheets, self.seq = data["lot"], data["sheets"], seq
        self.product, self.layout = product, product["grid"]
        self.classes, self.rules = classes, rules
        self.numbering = data.get("numbering")
        self.came_numbered = self.numbering is not None
        # Sheets in the order of the numbering press, and those lost there.
        self.order = list(range(1, self.sheets + 1))
        self.received, self.lost_at_press = self.sheets, set()
        self.place_in_order()
        self.machine = {}
        self.exams = {}
        self.closed = None

    # Numbering and finishing

    def place_in_order(self):
        self.places = {sheet: place for place, sheet in enumerate(self.order)}

    def numbered(self, sheet):
        """Whether the notes of a sheet have serials."""
        return self.numbering is not None and sheet in self.places

    def differ(self, change):
        """The last run takes up what the order gained or lost."""
        self.place_in_order()
        if self.numbering:
            runs = [dict(run) for run in self.numbering["runs"]]
            runs[-1]["sheets"] += change
            runs = [run for run in runs if run["sheets"] > 0]
            self.numbering = dict(self.numbering, runs=runs)

    def number(self, sheet, rank):
        """The serial number of a note; sheets from 1, ranks from 0."""
        index = self.places[sheet]
        for run in self.numbering["runs"]:
            if index < run["sheets"]:
                return run_number(run, index, rank)
            index -= run["sheets"]
        raise Wrong(f"sheet {sheet} is in no run of lot {self.id}")

    def serial(self, sheet, place):
        return serial(self.numbering["format"], self.number(sheet, self.layout.rank[place]))

    def bundle(self, sheet, rank):
        """Bundle and box of a note, both from 1."""
        size = self.product["finishing"]
        stack, depth = divmod(self.places[sheet], size["stack"])
        height = min(size["stack"], len(self.order) - stack * size["stack"])
        in_pile = -(-height // size["bundle"])
        whole_pile = size["stack"] // size["bundle"]
        if size.get("filling", "stack") == "position":
            whole, rest = divmod(len(self.order), size["stack"])
            of_position = whole * whole_pile + -(-rest // size["bundle"])
            before = rank * of_position + stack * whole_pile
        else:
            before = stack * self.layout.notes * whole_pile + rank * in_pile
        bundle = before + depth // size["bundle"]
        return bundle + 1, bundle // size["bundles_per_box"] + 1

    # Verdicts

    def limit(self):
        """From how many defective notes a sheet is spoiled."""
        limit, notes = self.rules["limit"], self.layout.notes
        if "spoiled_at" in limit:
            return min(limit["spoiled_at"], notes)
        cost = limit["by_cost"]
        scrapping = notes * cost["note"] + cost["scrap"]
        dearer = (d for d in range(1, notes)
                  if cost["sort"] + d * (cost["note"] + cost["swap"]) > scrapping)
        return next(dearer, notes)

    def severity(self, code):
        chosen = self.rules["overrides"].get(code, self.classes[code]["severity"])
        return SEVERITIES.index(chosen)

    def verdict(self, tags):
        """Verdict, reason and the places that are defective by their own tags."""
        grave, minor = set(), {}
        for place, _, code in tags:
            if place is None:
                continue
            if self.severity(code) > 0:
                grave.add(place)
            else:
                minor[place] = minor.get(place, 0) + 1
        enough = self.rules["minors_for_defect"]
        defective = grave | {place for place, count in minor.items() if count >= enough}
        whole = [code for place, _, code in tags if place is None]
        limit, notes = self.limit(), self.layout.notes
        if whole:
            name = self.classes[whole[0]]["name"]
            return "spoiled", f"{whole[0]} {name} spoils the whole sheet", defective
        count = f"{len(defective)} of {notes} notes defective, limit {limit - 1}"
        if len(defective) >= limit:
            return "spoiled", count, defective
        if defective:
            return "mixed", count, defective
        if not tags:
            return "good", "no tags", defective
        some = "1 minor tag" if len(tags) == 1 else f"{len(tags)} minor tags"
        return "good", f"{some}, every note kept", defective

    def lost(self, exam):
        """Places of a sheet whose notes go to destruction."""
        if exam["verdict"] == "spoiled":
            return range(self.layout.notes)
        if exam["verdict"] == "good":
            return []
        return sorted(exam["defective"])


def sealed(sealing, whole):
    """Seal and gross mass; tare and scale too where the correction names them."""
    gross = sealing.get("gross")
    said = [f"seal {sealing['seal']}", "not weighed" if gross is None else f"gross {gross} mg"]
    if whole:
        tare, scale = sealing.get("tare"), sealing.get("scale")
        said.append("no tare" if tare is None else f"tare {tare} mg")
        said.append("no scale" if scale is None else f"scale {scale}")
    return ", ".join(said)


def weights(weighed):
    return f"gross {weighed['gross']} mg, tare {weighed['tare']} mg"


def fact(name, value):
    """A fact of a session in words."""
    said = {"started": "start", "ended": "end", "largest_particle": "largest particle"}.get(name, name)
    unit = " mm\u00b2" if name == "largest_particle" else ""
    return f"{said}: {value or 'none'}{unit}"


class Works:
    """The whole book."""

    def __init__(self, lines):
        self.people, self.products, self.series = {}, {}, {}
        self.lots, self.containers, self.sessions = {}, {}, []
        self.classes, self.rules = {}, {"cut_over_hour": FIRST_CUT_OVER}
        self.opened, self.closings, self.days = None, {}, {}
        self.drawn, self.replaced, self.samples = {}, {}, {}
        self.tolerances, self.measured = {}, {}
        self.scales, self.papers, self.residue, self.receipts = {}, {}, [], []
        self.destroyed, self.seals, self.losses = {}, set(), []
        self.session, self.session_numbers, self.begun_any = None, set(), False
        self.abandoned = []
        # Where each spoil is that was ever moved, and the entry that brought it to where it is.
        self.contained, self.missing, self.lost_in, self.came = {}, {}, {}, {}
        # What a checkpoint carried over, when the lines before it are not here.
        self.archived, self.settled, self.archived_days = {}, {}, {}
        self.enrolled, self.retired, self.failed_keys = {}, {}, {}
        # By day: what was open before and after it, its end, and what was said anew.
        self.last_day, self.carried_in, self.carried_over = None, {}, {}
        self.cut_overs, self.moves, self.amended = {}, {}, {}
        for line in lines:
            self.take(line)

    def day_of(self, at):
        return (moment(at) - timedelta(hours=self.rules["cut_over_hour"])).date().isoformat()

    def day(self, day):
        acts = ["entries", "corrections", "verdicts overruled", "replacements drawn", "replacements inserted",
                "replacements spoiled", "replacements returned", "containers sealed", "destruction sessions",
                "sheets destroyed", "notes destroyed", "corrections of fillings and sealings",
                "spoils declared lost", "entries after closing"]
        return self.days.setdefault(day, dict.fromkeys(acts, 0))

    def take(self, line):
        if line["kind"] == "book.checkpoint":
            self.cut(line)
        day, kind = self.day_of(line["at"]), line["kind"]
        self.turn_to(day)
        hour = self.cut_overs[day] = self.rules["cut_over_hour"]
        self.day(day)["entries"] += 1
        if day in self.closings and kind not in ("copy.taken", "store.healed", "book.checkpoint"):
            self.day(day)["entries after closing"] += 1
        act = getattr(self, "on_" + kind.replace(".", "_"), None)
        if act is None:
            raise Wrong(f"line {line['seq']} has the unknown kind {kind}")
        act(line["data"], line, day)
        if self.rules["cut_over_hour"] != hour:
            self.moves.setdefault(day, []).append((line["seq"], hour, self.rules["cut_over_hour"]))

    def turn_to(self, day):
        if day == self.last_day:
            return
        carried = self.carried()
        if self.last_day:
            self.carried_over[self.last_day] = carried
        self.carried_over.pop(day, None)
        self.carried_in.setdefault(day, carried)
        self.last_day = day

    def amend(self, day, line, what, lot, sheet, before, after, reason):
        row = [line["seq"], what, lot.id, sheet, None, None, *before, after, reason.strip(),
               line["by"], None, line["at"]]
        self.amended.setdefault(day, []).append(row)

    def amend_cage(self, day, line, what, container, session, amends, before, after):
        """A fact of the cage that was written down amiss."""
        data = line["data"]
        row = [line["seq"], what, None, None, container, session, amends, before, after,
               data["reason"].strip(), line["by"], data.get("second"), line["at"]]
        self.amended.setdefault(day, []).append(row)

    # The Office

    def on_book_opened(self, data, line, _):
        self.opened = dict(data, bench=line["bench"])
        self.opened["at"] = line["at"]
        self.on_person_enrolled(data["supervisor"])

    def on_person_enrolled(self, data, *_):
        self.people[data["person"]] = data["name"].strip()
        self.enrolled[data["person"]] = dict(data)

    def on_person_retired(self, data, *_):
        if data["person"] not in self.enrolled:
            raise Wrong(f"{data['person']} was never enrolled")
        self.retired[data["person"]] = self.enrolled.pop(data["person"])

    def on_person_rekeyed(self, data, *_):
        self.enrolled[data["person"]]["key"] = data["key"]

    def on_classes_set(self, data, *_):
        self.classes = {entry["code"]: entry for entry in data["classes"]}

    def on_rules_set(self, data, *_):
        self.rules = data

    def on_product_defined(self, data, *_):
        self.products[data["product"]] = dict(data, grid=Layout(data["layout"]))

    def on_paper_set(self, data, line, _):
        if data["product"] not in self.products or data["paper"]["ink_bias"] > data["paper"]["ink"]:
            raise Wrong(f"line {line['seq']} describes paper amiss")
        self.papers[data["product"]] = data["paper"]

    def on_measure_target(self, data, line, _):
        tolerance = data["tolerance"]
        limits = [tolerance[name] for name in ("lower", "target", "upper") if name in tolerance]
        if limits != sorted(limits) or len(limits) < 2:
            raise Wrong(f"line {line['seq']} sets a target amiss")
        self.in_range(data, limits, line)
        self.tolerances[data["product"], data["quantity"]] = tolerance

    def on_measure_taken(self, data, line, day):
        self.in_range(data, data["readings"], line)
        if ("corrects" in data) != ("reason" in data) or not data["readings"]:
            raise Wrong(f"line {line['seq']} records a sample amiss")
        if "corrects" in data:
            del self.measured[data["corrects"]]
        self.measured[line["seq"]] = (data, line, day)

    def in_range(self, data, readings, line):
        layout = self.products[data["product"]]["layout"]
        size = layout.get(data["quantity"])
        low, high = {"note_width": (-1, 1), "note_height": (-1, 1), "register_across": (-5000, 5000),
                     "register_along": (-5000, 5000), "colour_cie1976": (0, 50000),
                     "colour_ciede2000": (0, 50000), "thickness": (40000, 300000)}[data["quantity"]]
        if size:
            low, high = size - size // 10, size + size // 10
        if not all(low <= reading <= high for reading in readings):
            raise Wrong(f"line {line['seq']} measures what cannot be")

    def on_scale_set(self, data, line, _):
        if data["resolution"] == 0 or data["calibrated"] > line["at"][:10]:
            raise Wrong(f"line {line['seq']} registers a scale amiss")
        self.scales[data["scale"]] = data

    def on_series_added(self, data, *_):
        self.series[data["id"]] = data
        self.drawn[data["id"]] = []

    def on_lot_opened(self, data, line, _):
        product = self.products[data["product"]]
        lot = Lot(data, product, self.classes, self.rules, line["seq"])
        self.lots[lot.id] = lot

    def on_lot_numbered(self, data, line, _):
        lot = self.lots[data["lot"]]
        if lot.numbering or len(lot.exams) != lot.sheets:
            raise Wrong(f"line {line['seq']} numbers lot {lot.id} twice or too soon")
        lot.order = [sheet for sheet in lot.order if lot.exams[sheet]["verdict"] != "spoiled"]
        if sum(run["sheets"] for run in data["numbering"]["runs"]) != len(lot.order):
            raise Wrong(f"line {line['seq']} numbers other sheets than are left of {lot.id}")
        lot.numbering = data["numbering"]
        lot.place_in_order()
        self.ruled_anew(lot)

    def on_press_differed(self, data, line, _):
        lot, ((what, which),) = self.lots[data["lot"]], data["what"].items()
        built = any(note["lot"] == lot.id for notes in self.drawn.values() for note in notes)
        if lot.came_numbered or built or data["second"] == line["by"]:
            raise Wrong(f"line {line['seq']} says that the press differed for {lot.id} amiss")
        if what == "lost":
            sheet = which["sheet"]
            if lot.exams[sheet]["verdict"] == "spoiled":
                raise Wrong(f"line {line['seq']} loses sheet {sheet}, which is spoiled")
            lot.order.remove(sheet)
            lot.lost_at_press.add(sheet)
            lot.differ(-1)
        else:
            at = lot.order.index(which["after"]) + 1 if "after" in which else 0
            lot.order[at:at] = range(lot.sheets + 1, lot.sheets + which["sheets"] + 1)
            lot.sheets += which["sheets"]
            lot.differ(which["sheets"])
        self.ruled_anew(lot)

    # The bench

    def on_machine_read(self, data, *_):
        lot = self.lots[data["lot"]]
        for sheet, at, side, code, _ in data["tags"]:
            tag = (None if at is None else lot.layout.find(at), side, code)
            known = lot.machine.setdefault(sheet, [])
            if tag not in known:
                known.append(tag)

    def on_sheets_examined(self, data, line, day):
        lot = self.lots[data["lot"]]
        seen = [(lot.layout.find(tag["at"]) if "at" in tag else None, tag["side"], tag["class"])
                for tag in data["tags"]]
        for sheet in range(data["from"], data["to"] + 1):
            tags = list(seen)
            if data.get("machine_kept"):
                tags += [tag for tag in lot.machine.get(sheet, []) if tag not in seen]
            before = lot.exams.get(sheet)
            if (before and before["seq"]) != data.get("corrects"):
                raise Wrong(f"line {line['seq']} examines sheet {sheet} of {lot.id} amiss")
            if sheet not in lot.places:
                raise Wrong(f"line {line['seq']} examines sheet {sheet} of {lot.id}, which is gone")
            verdict, reason, defective = lot.verdict(tags)
            if before:
                self.amend(day, line, "correction", lot, sheet, (before["seq"], before["verdict"]),
                           verdict, data["reason"])
            lot.exams[sheet] = {
                "seq": line["seq"], "by": line["by"], "at": line["at"], "day": day,
                "tags": tags, "verdict": verdict, "reason": reason, "defective": defective,
                "rules": (verdict, reason), "overruled": False,
                "machine_word": bool(data.get("machine_kept")),
                "stage": "numbered" if lot.numbering else "unnumbered",
            }
            self.day(day)["corrections"] += before is not None
            self.ruled_anew(lot, sheet)

    def on_verdict_overruled(self, data, line, day):
        """The tags, the inspector and the day of the sheet stay; the last word is another."""
        lot, verdict = self.lots[data["lot"]], data["verdict"]
        exam = lot.exams.get(data["sheet"])
        if exam is None or exam["seq"] != data["corrects"]:
            raise Wrong(f"line {line['seq']} overrules what is not the last word")
        if verdict == exam["verdict"] or verdict == "mixed" and not exam["defective"]:
            raise Wrong(f"line {line['seq']} cannot make the sheet {verdict}")
        self.amend(day, line, "overruling", lot, data["sheet"], (exam["seq"], exam["verdict"]),
                   verdict, data["reason"])
        by, why, (rules, reason) = self.people[line["by"]], data["reason"].strip(), exam["rules"]
        said = f"overruled by {by}: {why}; the rules said {rules}: {reason}"
        exam.update(seq=line["seq"], verdict=verdict, reason=said, overruled=True)
        self.ruled_anew(lot, data["sheet"])
        self.day(day)["verdicts overruled"] += 1

    def on_acceptance_drawn(self, data, line, _):
        """Anyone can draw again: the passed sheets with the smallest hashes of seed and place."""
        lot, sample = self.lots[data["lot"]], len(data["sheets"])
        passed = [sheet for sheet, exam in sorted(lot.exams.items())
                  if exam["verdict"] == "good" and sheet in lot.places]
        rank = lambda item: sha256(
            f"cullbook sample draw 1\n{data['seed']}\n{item}".encode()).digest()
        drawn = sorted(sorted(range(len(passed)), key=rank)[:sample])
        if data["passed"] != len(passed) or data["sheets"] != [passed[item] for item in drawn]:
            raise Wrong(f"line {line['seq']} draws other sheets than its seed does")
        self.samples[data["acceptance"]] = {"lot": lot, "looks": dict.fromkeys(data["sheets"])}

    def on_acceptance_looked(self, data, line, _):
        sample, sheet = self.samples[data["acceptance"]], data["sheet"]
        lot, looks = sample["lot"], sample["looks"]
        if sheet not in looks or (looks[sheet] and looks[sheet]["seq"]) != data.get("corrects"):
            raise Wrong(f"line {line['seq']} looks at sheet {sheet} amiss")
        if line["by"] == lot.exams[sheet]["by"]:
            raise Wrong(f"line {line['seq']}: {line['by']} passed sheet {sheet}")
        tags = [(lot.layout.find(tag["at"]) if "at" in tag else None, tag["side"], tag["class"])
                for tag in data["tags"]]
        looks[sheet] = {"seq": line["seq"], "bad": lot.verdict(tags)[0] != "good"}

    def ruled_anew(self, lot, sheet=None):
        """The notes of a lot, or all of one sheet, are spoils by their ruling and no older entry."""
        if not self.came:
            return
        if sheet is not None:
            self.came.pop(("sheet", lot.id, sheet), None)
        for one in lot.exams if sheet is None else [sheet]:
            if lot.numbered(one):
                for place in range(lot.layout.notes):
                    self.came.pop(("note", lot.serial(one, place)), None)

    # Replacement notes

    def replacement(self, series, place):
        spec = self.series[series]
        if "sheets" in spec:
            run, notes = spec["sheets"], self.products[spec["product"]]["grid"].notes
            index, rank = divmod(place, notes)
            if index >= run["sheets"]:
                raise Wrong(f"series {series} has run out")
            return serial(spec["format"], run_number(run, index, rank))
        if spec["first"] + place > spec["last"]:
            raise Wrong(f"series {series} has run out")
        return serial(spec["format"], spec["first"] + place)

    def series_size(self, series):
        spec = self.series[series]
        if "sheets" in spec:
            return spec["sheets"]["sheets"] * self.products[spec["product"]]["grid"].notes
        return spec["last"] - spec["first"] + 1

    def used(self, series):
        """Notes of a series drawn so far."""
        return sum(self.settled.get(series, {}).get(fate, 0) for fate in FATES) + len(self.drawn[series])

    def wants_sheet(self, lot, sheet):
        """Whether a sheet is to be replaced whole."""
        exam = lot.exams.get(sheet)
        takes = lot.rules.get("spoiled_sheet_takes", "notes")
        if takes != "sheet" or exam is None or exam["verdict"] != "spoiled" or not lot.numbered(sheet):
            return False
        return not any(lot.serial(sheet, place) in self.replaced for place in lot.lost(exam))

    def check_sheets(self, data, line, lot, needs):
        """Sheets for sheets, rank by rank; loose notes for the rest, or when no sheet is left."""
        found = [needs.get(old) for old, _ in data["pairs"]]
        if None in found:
            return
        whole = [note for note in found if self.wants_sheet(lot, note[0])]
        if "sheets" in self.series[data["series"]]:
            notes = lot.layout.notes
            ranks = [(sheet, lot.layout.rank[place]) for sheet, place in found]
            heads = [sheet for sheet, _ in ranks[::notes]]
            if len(whole) < len(found) or ranks != [(s, r) for s in heads for r in range(notes)]:
                raise Wrong(f"line {line['seq']} draws sheets for what is no sheet")
            return
        product = self.series[data["series"]]["product"]
        left = any("sheets" in spec and spec["product"] == product
                   and self.used(name) < self.series_size(name)
                   for name, spec in self.series.items())
        if whole and left:
            raise Wrong(f"line {line['seq']} draws loose notes for a whole sheet")

    def on_replacements_drawn(self, data, line, day):
        lot, drawn = self.lots[data["lot"]], self.drawn[data["series"]]
        needs = self.needs(lot)
        self.check_sheets(data, line, lot, needs)
        for old, new in data["pairs"]:
            if old not in needs:
                raise Wrong(f"line {line['seq']} replaces {old}, which needs none")
            if new != self.replacement(data["series"], self.used(data["series"])):
                raise Wrong(f"line {line['seq']} draws {new} out of turn")
            sheet, place = needs.pop(old)
            self.replaced[old] = new
            bundle, box = lot.bundle(sheet, lot.layout.rank[place])
            drawn.append({"lot": lot.id, "serial": old, "replacement": new, "bundle": bundle,
                          "box": box, "fate": "on hand", "entry": line["seq"], "day": day})
        self.day(day)["replacements drawn"] += len(data["pairs"])

    def fate(self, data, line, fate):
        notes = {note["replacement"]: note for note in self.drawn[data["series"]]}
        for name in data["notes"]:
            if notes[name]["fate"] != "on hand":
                raise Wrong(f"line {line['seq']}: {name} is not on hand")
            notes[name]["fate"] = fate
            yield notes[name]

    def on_replacements_inserted(self, data, line, day):
        self.day(day)["replacements inserted"] += len(list(self.fate(data, line, "inserted")))

    def on_replacements_spoiled(self, data, line, day):
        for note in self.fate(data, line, "spoiled"):
            del self.replaced[note["serial"]]
            self.came["replacement note", note["replacement"]] = line["seq"]
            self.day(day)["replacements spoiled"] += 1

    def on_replacements_returned(self, data, line, day):
        for note in self.fate(data, line, "returned"):
            del self.replaced[note["serial"]]
            self.day(day)["replacements returned"] += 1

    # The cage

    def on_container_opened(self, data, line, _):
        if data["container"] in self.containers:
            raise Wrong(f"line {line['seq']} opens {data['container']} twice")
        self.containers[data["container"]] = {
            "items": [], "sealing": None, "session": None, "place": data.get("place"),
            "held_for": None, "recounted": False, "retired": None}

    def container(self, data, line, state):
        """A container that must be in this state."""
        container = self.containers[data["container"]]
        if self.state(container) != state:
            raise Wrong(f"line {line['seq']}: container {data['container']} is not {state}")
        return container

    @staticmethod
    def state(container):
        if container["retired"]:
            return "retired"
        if container["session"]:
            return "destroyed"
        if container["held_for"] is not None:
            return "held"
        return "sealed" if container["sealing"] else "open"

    @staticmethod
    def items(pieces):
        items = [("sheet", lot, sheet) for lot, sheet in pieces.get("sheets", [])]
        items += [("note", note) for note in pieces.get("notes", [])]
        return items + [("replacement note", note) for note in pieces.get("replacements", [])]

    def named(self, pieces, line):
        items = self.items(pieces)
        spoils = self.spoils()
        if not items or len(set(items)) < len(items) or any(item not in spoils for item in items):
            raise Wrong(f"line {line['seq']} names no spoil, one twice, or what is none")
        return items

    def put(self, item, line, container=None, missing=None, lost=None):
        """From wherever it is to one other place; loose when none is named."""
        if item in self.contained:
            self.containers[self.contained.pop(item)]["items"].remove(item)
        self.missing.pop(item, None)
        self.lost_in.pop(item, None)
        if container:
            self.contained[item] = container
            self.containers[container]["items"].append(item)
        if missing:
            self.missing[item] = missing
        if lost is not None:
            self.lost_in[item] = lost
        self.came[item] = line["seq"]

    def second(self, data, line):
        if data["second"] == line["by"] or data["second"] not in self.people:
            raise Wrong(f"line {line['seq']} has no second person")

    def use_seal(self, seal, line):
        if seal in self.seals:
            raise Wrong(f"line {line['seq']} uses seal {seal} again")
        self.seals.add(seal)

    def on_container_filled(self, data, line, _):
        self.container(data, line, "open")
        for item in self.named(data, line):
            if self.place(item)[0] != "loose":
                raise Wrong(f"line {line['seq']}: {item} is not loose")
            self.put(item, line, container=data["container"])

    def on_container_moved(self, data, line, _):
        container = self.containers[data["container"]]
        if self.state(container) not in ("open", "sealed"):
            raise Wrong(f"line {line['seq']} moves {data['container']}, which is held or gone")
        container["place"] = data["place"]

    def on_container_retired(self, data, line, day):
        container = self.containers[data["container"]]
        ready = self.state(container) == "open" or container["recounted"]
        if not ready or container["items"]:
            raise Wrong(f"line {line['seq']} retires {data['container']}, which is in use")
        container.update(sealing=None, held_for=None, retired=day)

    def on_container_sealed(self, data, line, day):
        self.weighed_sealing(data, line)
        container = self.container(data, line, "open")
        self.second(data, line)
        self.use_seal(data["seal"], line)
        if not container["items"]:
            raise Wrong(f"line {line['seq']} seals an empty container")
        container["sealing"] = dict(data, by=line["by"], at=line["at"], word=line["seq"], corrected=None)
        self.day(day)["containers sealed"] += 1

    def weighed_sealing(self, sealing, line):
        """A tare and a scale belong to a gross mass, and the full container is not lighter."""
        gross, tare, scale = map(sealing.get, ("gross", "tare", "scale"))
        amiss = scale not in (None, *self.scales) or (tare or 0) > (gross or 0)
        if amiss or gross is None and (tare, scale) != (None, None):
            raise Wrong(f"line {line['seq']} weighs {sealing['container']} amiss")

    def on_session_begun(self, data, line, _):
        if self.session or data["session"] in self.session_numbers:
            raise Wrong(f"line {line['seq']} begins {data['session']} amiss")
        self.session_numbers.add(data["session"])
        self.session, self.begun_any = Session(data, line, self), True

    def on_session_step(self, data, line, _):
        self.running(data, line).step(data, line)

    def on_session_team(self, data, line, _):
        self.running(data, line).team_changed(data["change"], line)

    def on_session_abandoned(self, data, line, _):
        if "start" in self.running(data, line).steps:
            raise Wrong(f"line {line['seq']} abandons what is being destroyed")
        self.hold_back(self.session.held() | self.session.opened())
        self.abandoned.append((self.session.declared, self.session.abandoned(data, line)))
        self.session = None

    def hold_back(self, reasons):
        for name, why in reasons.items():
            self.containers[name]["held_for"] = why

    def running(self, data, line):
        if self.session is None or self.session.id != data["session"]:
            raise Wrong(f"line {line['seq']} speaks of a session that is not under way")
        return self.session

    def on_session_corrected(self, data, line, day):
        """The figures of the day are those that stand now."""
        (name, value), = data["fact"].items()
        session = next(one for one in self.sessions if one["session"] == data["session"])
        container = None
        if name == "masses":
            container = value["container"]
            found = next(one for one in session["containers"] if one["container"] == container)
            before, after = weights(found), weights(value)
            found.update(gross=value["gross"], tare=value["tare"])
        else:
            member = {"largest_particle": "largest_particle_mm2"}.get(name, name)
            before, after = fact(name, session.get(member, "")), fact(name, value)
            session[member] = value
        amends = session.get("word", session["line"]["seq"])
        session["word"] = line["seq"]
        self.amend_cage(day, line, "session", container, data["session"], amends, before, after)

    def on_passphrase_failed(self, data, line, _):
        if data["tries"] < 3 or data["person"] not in self.people:
            raise Wrong(f"line {line['seq']} locks a key amiss")
        self.failed_keys[data["person"]] = line["at"]

    def on_seal_checked(self, data, line, _):
        container = self.container(data, line, "sealed")
        found, broken = data.get("found"), data.get("broken", False)
        if found is None:
            container["held_for"] = ("its seal was broken and could not be read" if broken
                                     else "there was no seal on it")
        elif found != container["sealing"]["seal"]:
            container["held_for"] = f"the seal found on it was {found}"
        elif broken:
            container["held_for"] = f"its seal {found} was broken"

    def on_container_held(self, data, line, _):
        self.container(data, line, "sealed")["held_for"] = data["reason"].strip()

    def on_container_recounted(self, data, line, _):
        container = self.container(data, line, "held")
        self.second(data, line)
        missing, found = self.items(data.get("missing", {})), self.items(data.get("found", {}))
        there = set(container["items"]) - set(missing) | set(found)
        sheets = sum(item[0] == "sheet" for item in there)
        if any(item not in container["items"] for item in missing):
            raise Wrong(f"line {line['seq']} misses what was not declared")
        if any(self.place(item)[0] not in ("missing", "loose") for item in found):
            raise Wrong(f"line {line['seq']} finds what is elsewhere")
        if (data["sheets"], data["notes"]) != (sheets, len(there) - sheets):
            raise Wrong(f"line {line['seq']} counts other than it names")
        for item in missing:
            self.put(item, line, missing=data["container"])
        for item in found:
            self.put(item, line, container=data["container"])
        container["recounted"] = True

    def on_container_resealed(self, data, line, _):
        container = self.container(data, line, "held")
        self.second(data, line)
        self.use_seal(data["seal"], line)
        self.weighed_sealing(data, line)
        if not container["recounted"] or not container["items"]:
            raise Wrong(f"line {line['seq']} seals {data['container']} anew too soon")
        sealing = dict(data, by=line["by"], at=line["at"], word=line["seq"], corrected=None)
        container.update(sealing=sealing, held_for=None, recounted=False)

    def on_filling_corrected(self, data, line, day):
        self.container(data, line, "open")
        if "to" in data:
            self.container({"container": data["to"]}, line, "open")
        for item in self.named(data["pieces"], line):
            if self.contained.get(item) != data["container"] or self.came[item] != data["corrects"]:
                raise Wrong(f"line {line['seq']}: {item} was not put there by {data['corrects']}")
            self.put(item, line, container=data.get("to"))
        self.day(day)["corrections of fillings and sealings"] += 1
        count, name = len(self.named(data["pieces"], line)), data["container"]
        now = f"in {data['to']}" if "to" in data else "loose"
        self.amend_cage(day, line, "filling", name, None, data["corrects"], f"{count} in {name}",
                        f"{count} {now}")

    def on_sealing_corrected(self, data, line, day):
        sealing = self.container(data, line, "sealed")["sealing"]
        self.second(data, line)
        if data["corrects"] != sealing["word"]:
            raise Wrong(f"line {line['seq']} corrects what is not the last word")
        self.seals.remove(sealing["seal"])
        self.use_seal(data["seal"], line)
        kept = sealing if "gross" in data else {}
        weighed = data.get("weighed", kept)
        before = sealed(sealing, "weighed" in data)
        sealing.update(seal=data["seal"], gross=data.get("gross"), tare=weighed.get("tare"),
                       scale=weighed.get("scale"), word=line["seq"], corrected=line["seq"])
        self.weighed_sealing(sealing, line)
        self.amend_cage(day, line, "sealing", data["container"], None, data["corrects"], before,
                        sealed(sealing, "weighed" in data))
        self.day(day)["corrections of fillings and sealings"] += 1

    def on_spoils_lost(self, data, line, day):
        self.second(data, line)
        items = self.named(data["pieces"], line)
        for item in items:
            if self.place(item)[0] not in ("missing", "loose"):
                raise Wrong(f"line {line['seq']} gives {item} up, which is somewhere")
            self.put(item, line, lost=line["seq"])
        self.losses.append((line["seq"], items))
        self.day(day)["spoils declared lost"] += len(items)

    def on_spoils_found(self, data, line, _):
        for item in self.named(data["pieces"], line):
            if self.place(item)[0] not in ("missing", "declared lost"):
                raise Wrong(f"line {line['seq']} finds {item}, which was not gone")
            self.put(item, line)

    def on_spoils_destroyed(self, data, line, day):
        weighed = [self.weigh(found, line) for found in data["containers"]]
        self.check_sample(data, line)
        self.check_begun_before(data, line)
        if self.session:
            self.running(data, line).agrees(data, line)
            self.hold_back(self.session.held())
            self.session = None
        elif self.begun_any:
            raise Wrong(f"line {line['seq']} destroys in a session that was never begun")
        self.session_numbers.add(data["session"])
        data = deepcopy(data)
        for found in data["containers"]:
            container = self.container(found, line, "sealed")
            sheets = sum(item[0] == "sheet" for item in container["items"])
            counted = (found["sheets"], found["notes"], found["seal"])
            held = (sheets, len(container["items"]) - sheets, container["sealing"]["seal"])
            if counted != held:
                raise Wrong(f"line {line['seq']}: {found['container']} was not as it was sealed")
            container["session"] = data["session"]
            self.destroyed.update(dict.fromkeys(container["items"], data["session"]))
            self.day(day)["sheets destroyed"] += found["sheets"]
            self.day(day)["notes destroyed"] += found["notes"]
        self.day(day)["destruction sessions"] += 1
        self.sessions.append(dict(data, line=line, day=day, weighed=weighed,
                                  began_on=self.day_of(data["started"])))

    def check_begun_before(self, data, line):
        """What was signed names every session over any of these containers that was abandoned."""
        called = set(self.session.declared if self.session
                     else (found["container"] for found in data["containers"]))
        start = "Begun before with any of these containers: session "
        signed = [text for text in line["statement"].split("\n") if text.startswith(start)]
        if signed != [start + says for declared, says in self.abandoned if called & set(declared)]:
            raise Wrong(f"line {line['seq']} signs of other sessions than were abandoned")

    def weigh(self, found, line):
        """The weigh check of one container, by what is known at this line."""
        pieces, lots = {}, self.spoils()
        for item in self.containers[found["container"]]["items"]:
            product = self.lots[lots[item]].product
            key = (product["product"], item[0] == "sheet")
            layout, count = pieces.get(key, (product["layout"], 0))
            pieces[key] = (layout, count + 1)
        if found.get("scale") not in (None, *self.scales):
            raise Wrong(f"line {line['seq']}: {found['scale']} is no scale")
        scale = self.scales.get(found.get("scale"))
        return masses.weigh(pieces, self.papers, scale)

    def check_sample(self, data, line):
        """A tenth of the particles may lie above the class' area; of P-7 none (from memory)."""
        sample = data.get("sample")
        if sample is None:
            return
        area, most = {"P-1": (2000, 3800), "P-2": (800, 2000), "P-3": (320, 800), "P-4": (160, 480),
                      "P-5": (30, 90), "P-6": (10, 30), "P-7": (5, 5)}[data["particle_class"]]
        largest, above = data["largest_particle_mm2"], sample["above"]
        tenth = 0 if data["particle_class"] == "P-7" else sample["measured"] // 10
        if sample["measured"] == 0 or above > tenth or largest > most or (above > 0) != (largest > area):
            raise Wrong(f"line {line['seq']}: the residue is not of its class")

    def on_residue_sent(self, data, line, day):
        known = {of["session"]: of for of in self.sessions}
        before = {session for sent in self.residue for session in sent["sessions"]}
        receipts = {(one["destination"], one["receipt"]) for one in self.receipts}
        for session in data["sessions"]:
            if session in before or known[session]["ended"][:10] > data["date"]:
                raise Wrong(f"line {line['seq']}: the residue of {session} is sent twice or too soon")
        twice = len(set(data["sessions"])) != len(data["sessions"])
        if twice or not data["sessions"] or (data["destination"], data["receipt"]) in receipts \
                or data["mass"] == 0 or data["date"] > line["at"][:10]:
            raise Wrong(f"line {line['seq']} sends residue amiss")
        sessions = [known[session] for session in data["sessions"]]
        percent = self.rules.get("residue_percent", 5)
        balance = masses.residue(sessions, data["mass"], percent)
        self.residue.append(dict(data, day=day, line=line, balance=balance))
        self.receipts.append({"destination": data["destination"], "receipt": data["receipt"],
                              "entry": line["seq"]})

    # Closing and copies

    def on_lot_closed(self, data, line, _):
        self.lots[data["lot"]].closed = line["seq"]

    def on_day_closed(self, data, line, _):
        self.closings[data["day"]] = line

    def on_shift_handed_over(self, data, line, _):
        if data["to"] == line["by"] or data["to"] not in self.people:
            raise Wrong(f"line {line['seq']} hands the shift to {data['to']}")

    def on_copy_taken(self, data, line, _):
        """A copy changes no figure. A head that left alone is the one the line builds on."""
        if data["what"] == "head" and data["head"] != line["prev"]:
            raise Wrong(f"line {line['seq']} notes a head that is not the book's")

    # Checkpoints

    def begin(self, carried):
        """All there is of the lines before a checkpoint that stands first."""
        self.opened = {name: carried[name] for name in ("works", "book", "bench", "practice")}
        self.opened["at"] = carried["opened"]
        for person in carried["people"] + carried["retired"]:
            self.on_person_enrolled(person)
        for person in carried["retired"]:
            self.on_person_retired(person)
        self.on_classes_set(carried)
        self.on_rules_set(carried["rules"])
        for product in carried["products"]:
            self.on_product_defined(product)
        for one in carried["series"]:
            self.on_series_added(one["series"])
            self.settled[one["series"]["id"]] = one["settled"]
        self.archived = {lot["lot"]: lot for lot in carried["lots"]}
        for one in carried["containers"]:
            place = one.get("place", {"place": None})["place"]
            self.on_container_opened({"container": one["container"], "place": place}, {"seq": 0}, None)
        self.seals = {seal for seal, _ in carried["seals"]}
        self.session_numbers = set(carried["sessions"])
        self.begun_any = carried["begins_sessions"]
        self.scales = {scale["scale"]: scale for scale in carried["scales"]}
        self.papers = dict(carried["papers"])
        self.tolerances = {(one["product"], one["quantity"]): one["tolerance"]
                           for one in carried.get("tolerances", [])}
        self.measured = {}
        self.receipts = list(carried["receipts"])
        self.closings = dict(carried["closed_days"])
        self.last_day = carried["last_day"]
        for day, totals in carried["days"]:
            self.day(day).update(checkpoint.acts_of(totals))
            self.archived_days[day] = totals["all"]
            self.cut_overs[day] = totals["cut_over_hour"]
            self.moves[day] = [tuple(move.values()) for move in totals["cut_over_moves"]]
            self.carried_in[day] = self.as_named(totals["carried_in"])
            if "carried_over" in totals:
                self.carried_over[day] = self.as_named(totals["carried_over"])

    def as_named(self, carried):
        """What is open, as the tables name it."""
        return [(name, carried[name.replace(" ", "_")], unit) for name, _, unit in self.carried()]

    def cut(self, line):
        """Whoever has the lines before a checkpoint works out what is carried over."""
        carried = line["data"]["carried"]
        if self.opened is None:
            self.begin(carried)
        elif not self.archived:
            for part in checkpoint.differences(self, carried):
                raise Wrong(f"line {line['seq']} carries over other {part} than there are")

    def on_book_checkpoint(self, *_):
        """A checkpoint changes no figure."""
    def on_store_healed(self, data, line, _):
        """A healing changes no figure; it is of lines that the book has."""
        if data["home"] not in ("first", "second") or not data["from"] <= data["to"] < line["seq"]:
            raise Wrong(f"line {line['seq']} heals lines that cannot have been lost")

    # What follows

    def carried(self):
        """What is open over all lots."""
        places = [self.place(item)[0] for item in self.spoils()]
        lots = self.lots.values()
        fates = [note["fate"] for notes in self.drawn.values() for note in notes]
        return [
            ("sheets not examined", sum(lot.sheets - len(lot.exams) for lot in lots), "sheets"),
            ("notes to replace", sum(len(self.needs(lot)) for lot in lots), "notes"),
            ("replacements on hand", fates.count("on hand"), "notes"),
            ("spoils loose", places.count("loose"), "spoils"),
            ("spoils in open containers", places.count("in open container"), "spoils"),
            ("spoils sealed", places.count("sealed"), "spoils"),
            ("spoils held", places.count("held"), "spoils"),
            ("spoils missing", places.count("missing"), "spoils"),
        ]

    def left_after(self, day):
        """What was open after the last entry of a day, or of the last before it."""
        before = [known for known in self.cut_overs if known <= day]
        if not before:
            return [(name, 0, unit) for name, _, unit in self.carried()]
        return self.carried_over.get(max(before)) or self.carried()

    def needs(self, lot):
        """Serials of a lot that need a replacement, each with its sheet and place."""
        if not lot.numbering:
            return {}
        lost = ((sheet, place) for sheet, exam in lot.exams.items() if lot.numbered(sheet)
                for place in lot.lost(exam))
        named = ((lot.serial(*note), note) for note in lost)
        return {name: note for name, note in named if name not in self.replaced}

    def spoils(self):
        """Every spoil that there is, with the lot it comes from."""
        spoils = {}
        for lot in self.lots.values():
            for sheet, exam in lot.exams.items():
                if exam["verdict"] == "spoiled":
                    spoils[("sheet", lot.id, sheet)] = lot.id
                elif lot.numbered(sheet):
                    for place in lot.lost(exam):
                        spoils[("note", lot.serial(sheet, place))] = lot.id
        for drawn in self.drawn.values():
            for note in drawn:
                if note["fate"] == "spoiled":
                    spoils[("replacement note", note["replacement"])] = note["lot"]
        return spoils

    def came_by(self):
        """Of each spoil the entry that brought it to where it is: the last that moved it, or its
        ruling."""
        came = {}
        for lot in self.lots.values():
            for sheet, exam in lot.exams.items():
                came["sheet", lot.id, sheet] = exam["seq"]
                if lot.numbered(sheet):
                    came.update((("note", lot.serial(sheet, place)), exam["seq"])
                                for place in lot.lost(exam))
        return came | self.came

    def place(self, item):
        """Where a spoil lies: place, container, session."""
        if item in self.destroyed:
            return "destroyed", None, self.destroyed[item]
        if item in self.lost_in:
            return "declared lost", None, None
        if item in self.missing:
            return "missing", self.missing[item], None
        container = self.contained.get(item)
        if container is None:
            return "loose", None, None
        state = self.state(self.containers[container])
        return ("in open container" if state == "open" else state), container, None
