"""A destruction session worked out from its lines: order of the steps, what differs, the drawn
sample, who was there, and what its record must say."""

from fractions import Fraction
from hashlib import sha256

from wrong import Wrong

ORDER = ["seals", "count", "weigh", "start", "end", "residue"]
KINDS = ["sheet", "note", "replacement"]
NAMES = {"seals": "the seals as found", "count": "the count", "weigh": "the weighing",
         "start": "the start of the machine"}


def sample_size(pieces, missing, risk):
    """The smallest n with C(pieces - missing, n) / C(pieces, n) <= risk."""
    if missing >= pieces:
        return pieces
    chance, n = Fraction(1), 0
    while chance > risk or n == 0:
        chance *= Fraction(max(pieces - missing - n, 0), pieces - n)
        n += 1
    return n


def drawn(seed, pieces, sample):
    """Places with the smallest hashes, in order."""
    def rank(place):
        return sha256(f"cullbook sample draw 1\n{seed}\n{place}".encode()).digest()
    return sorted(sorted(range(pieces), key=rank)[:sample])


def as_piece(item):
    """An item of the works as the lines write it."""
    return {"sheet": {"sheet": list(item[1:])}, "note": {"note": item[1]},
            "replacement note": {"replacement": item[1]}}[item[0]]


def order_of(piece):
    (kind, which), = piece.items()
    return KINDS.index(kind), which


def in_words(differs):
    """What differs, as people read it."""
    if differs == "not_found":
        return "it was not found"
    (what, data), = differs.items()
    if what == "broken_seal":
        seal = data.get("found")
        return f"its seal {seal} was broken" if seal else "its seal was broken or gone"
    if what == "other_count":
        return f"{data['sheets']} sheets and {data['notes']} notes were counted in it"
    names = {"sheet": lambda of: f"sheet {of[1]} of lot {of[0]}", "note": "note {}".format,
             "replacement": "replacement note {}".format}
    pieces = [names[kind](which) for piece in data["pieces"] for kind, which in piece.items()]
    return f"drawn pieces were not in it: {', '.join(pieces)}"


class Session:
    def __init__(self, data, line, works):
        self.id, self.place, self.line = data["session"], data["place"], line
        self.operator, self.witnesses = data["operator"], list(data["witnesses"])
        self.presence = [self.member(self.operator, "operator")]
        self.presence += [self.member(person, "witness") for person in self.witnesses]
        self.steps, self.rules = {}, dict(works.rules)
        self.declared = {name: self.declare(works.containers[name], name)
                         for name in data["containers"]}

    @staticmethod
    def member(person, part):
        return {"person": person, "part": part}

    def declare(self, container, name):
        items, sealing = container["items"], container["sealing"]
        if sealing is None or container["session"] or container["held_for"] is not None:
            raise Wrong(f"line {self.line['seq']} begins with {name}, which is not sealed")
        sheets = sum(item[0] == "sheet" for item in items)
        known = {"seal": sealing["seal"], "sheets": sheets, "notes": len(items) - sheets}
        count = self.rules.get("count", "all")
        if count != "all":
            rule = count["sample"]
            pieces = sorted(map(as_piece, items), key=order_of)
            size = sample_size(len(pieces), rule["missing"], Fraction(rule["risk_percent"], 100))
            places = drawn(f"{self.line['hash']} {name}", len(pieces), size)
            known["drawn"] = [pieces[place] for place in places]
        return known

    def of(self, stage, name):
        listed = self.steps.get(stage, {"done": []})["done"]
        return next((one for one in listed if one["container"] == name), None)

    def seal_differs(self, name):
        found = self.of("seals", name)
        if found is not None and found.get("broken"):
            return {"broken_seal": {"found": found["seal"]} if "seal" in found else {}}
        if found is None or found.get("seal") == self.declared[name]["seal"]:
            return None
        return {"other_seal": {"found": found["seal"]}} if "seal" in found else "not_found"

    def differs(self, name):
        counted, known = self.of("count", name), self.declared[name]
        if self.seal_differs(name) or counted is None:
            return self.seal_differs(name)
        (how, result), = counted["counted"].items()
        if how == "all":
            agrees = (result["sheets"], result["notes"]) == (known["sheets"], known["notes"])
            return None if agrees else {"other_count": result}
        return {"absent": {"pieces": result["absent"]}} if result["absent"] else None

    def fit(self, stage):
        if stage == "seals":
            return list(self.declared)
        test = self.seal_differs if stage == "count" else self.differs
        return [name for name in self.declared if not test(name)]

    def complete(self, stage):
        if stage not in self.steps:
            return False
        done = self.steps[stage]["done"]
        if isinstance(done, list):
            named = {one["container"] for one in done}
            return bool(self.fit(stage)) and named >= set(self.fit(stage))
        if stage == "residue":
            limit = self.steps["start"]["done"].get("particle_class")
            return (limit is None) == ("largest_particle_mm2" not in done)
        return True

    def next(self):
        return next((stage for stage in ORDER if not self.complete(stage)), "statement")

    def step(self, data, line):
        (stage, done), = data["done"].items()
        at, before = f"line {line['seq']}", self.steps.get(stage)
        after = ORDER.index(stage) > (ORDER + ["statement"]).index(self.next())
        if after or (before and before["seq"]) != data.get("corrects"):
            raise Wrong(f"{at} records {stage} out of order")
        if before and ORDER.index(stage) < ORDER.index("start") and "start" in self.steps:
            raise Wrong(f"{at} records {stage} anew after the machine was started")
        if len(self.witnesses) < self.rules["witnesses"] or line["by"] in self.witnesses:
            raise Wrong(f"{at} goes on without its witnesses")
        if isinstance(done, list):
            named = [one["container"] for one in done]
            if sorted(named) != sorted(self.fit(stage)):
                raise Wrong(f"{at} deals with other containers than are left")
        if stage == "count":
            self.check_samples(done, at)
        self.steps[stage] = {"done": done, "seq": line["seq"]}

    def check_samples(self, done, at):
        for one in done:
            sample = one["counted"].get("sample")
            known = self.declared[one["container"]].get("drawn")
            if sample and (known is None or sample["pieces"] != len(known)
                           or any(piece not in known for piece in sample["absent"])):
                raise Wrong(f"{at} counts a sample that was not drawn")

    def team_changed(self, change, line):
        (what, data), = change.items()
        if what == "witness_left":
            self.leave(data["witness"], "witness", line)
            self.witnesses.remove(data["witness"])
        if what == "operator_replaced":
            self.leave(self.operator, "operator", line)
            self.operator = data["instead"]
        person = data["witness"] if what == "witness_came" else data.get("instead")
        if person:
            part = "operator" if what == "operator_replaced" else "witness"
            self.presence.append(dict(self.member(person, part), came_before=self.next()))
            if part == "witness":
                self.witnesses.append(person)

    def leave(self, person, part, line):
        here = [one for one in self.presence if "left_before" not in one
                and (one["person"], one["part"]) == (person, part)]
        if not here:
            raise Wrong(f"line {line['seq']} lets {person} leave, who is not here")
        here[0]["left_before"] = self.next()

    def held(self):
        """Why each container that differs is held from the end of the session on."""
        reasons = {}
        for name in self.declared:
            differs = self.differs(name)
            if isinstance(differs, dict) and "other_seal" in differs:
                reasons[name] = f"the seal found on it was {differs['other_seal']['found']}"
            elif differs:
                reasons[name] = f"{in_words(differs)}, session {self.id}"
        return reasons

    def opened(self):
        """What an abandoned session leaves with a broken seal: all that was counted and agrees."""
        why = f"it was opened in session {self.id}, which was abandoned"
        return dict.fromkeys(self.fit("weigh"), why) if "count" in self.steps else {}

    def abandoned(self, data, line):
        """How later sessions over any of its containers name it."""
        before = NAMES[self.next()]
        return f"{self.id}, abandoned before {before} in entry {line['seq']}: {data['reason'].strip()}"

    def found(self, name):
        weighed, counted = self.of("weigh", name), self.of("count", name)["counted"]
        found = {"container": name, "seal": self.declared[name]["seal"],
                 "sheets": self.declared[name]["sheets"], "notes": self.declared[name]["notes"],
                 "gross": weighed["gross"], "tare": weighed["tare"],
                 **({"scale": weighed["scale"]} if "scale" in weighed else {})}
        if "off_because" in weighed:
            found["off_because"] = weighed["off_because"]
        if "sample" in counted:
            missing = self.rules["count"]["sample"]["missing"]
            found["sample"] = {"pieces": counted["sample"]["pieces"], "missing": missing}
        return found

    def agrees(self, data, line):
        """The record of the whole says what the steps say."""
        if self.next() != "statement":
            raise Wrong(f"line {line['seq']} ends a session before its {self.next()}")
        expected = {"session": self.id, "place": self.place, "operator": self.operator,
                    "witnesses": self.witnesses, "statement": data["statement"],
                    "containers": [self.found(name) for name in self.fit("weigh")],
                    **self.steps["start"]["done"], **self.steps["end"]["done"],
                    **self.steps["residue"]["done"]}
        left_out = [{"container": name, "why": self.differs(name)}
                    for name in self.declared if self.differs(name)]
        moved = [one for one in self.presence if len(one) > 2]
        expected |= {"left_out": left_out} if left_out else {}
        expected |= {"presence": moved} if moved else {}
        if data != expected:
            differ = [key for key in data.keys() | expected.keys()
                      if data.get(key) != expected.get(key)]
            raise Wrong(f"line {line['seq']} does not agree with the steps: {differ}")
