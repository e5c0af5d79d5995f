"""The pieces of the recomputation against published figures and by hand."""

import hashlib
import json
import pathlib
import unittest

from nacl.signing import SigningKey

from check_book import NotHeld, check
from day_record import ppm, table_differences, unguarded, wilson
from works import Layout, Lot

FIXTURES = pathlib.Path(__file__).parent.parent / "fixtures"


class Figures(unittest.TestCase):
    def test_wilson_interval_against_statsmodels(self):
        rows = json.loads((FIXTURES / "reference/stat_intervals.json").read_text())["rows"]
        self.assertGreater(len(rows), 20)
        for row in rows:
            found = wilson(row["x"], row["n"], row["level"])
            for got, want in zip(found, row["wilson"]):
                self.assertAlmostEqual(got, want, delta=1e-9, msg=row)

    def test_parts_per_million_round_halves_upwards(self):
        self.assertEqual([ppm(x) for x in (0, 1, 0.0000004, 0.0000005)], [0, 1_000_000, 0, 1])

    def test_a_cell_loses_one_apostrophe(self):
        self.assertEqual([unguarded(c) for c in ("'007", "''s", "7")], ["007", "'s", "7"])

    def test_a_difference_names_table_row_and_column(self):
        right = [["lot", "count"], ["L1", "3"]]
        self.assertEqual(list(table_differences("t", right, right)), [])
        found = list(table_differences("t", [["lot", "count"], ["L1", "4"]], right))
        self.assertEqual(found, ["t, row 1, count: '4', but should be '3'"])
        self.assertEqual(len(list(table_differences("t", right[:1], right))), 1)


class Sheets(unittest.TestCase):
    SPEC = {"rows": 4, "columns": 2, "names": "quadrant", "order": "quadrants"}

    def test_a_quartered_sheet(self):
        grid = Layout(self.SPEC)
        self.assertEqual(grid.names, ["A1", "A2", "B1", "B2", "A3", "A4", "B3", "B4"])
        self.assertEqual(grid.rank, [0, 2, 1, 3, 4, 6, 5, 7])

    def test_verdicts_by_hand(self):
        classes = {"XA": {"severity": "major", "name": "a"}, "XI": {"severity": "minor", "name": "i"},
                   "XS": {"severity": "minor", "name": "s"}}
        rules = {"limit": {"spoiled_at": 2}, "minors_for_defect": 2, "overrides": {"XS": "critical"}}
        lot = Lot({"lot": "L", "sheets": 1}, {"grid": Layout(self.SPEC)}, classes, rules, 0)
        verdict = lambda *tags: lot.verdict([(place, "front", code) for place, code in tags])[0]
        self.assertEqual(verdict(), "good")
        self.assertEqual(verdict((0, "XI")), "good")
        self.assertEqual(verdict((0, "XI"), (0, "XI")), "mixed")
        self.assertEqual(verdict((0, "XI"), (1, "XI")), "good")
        self.assertEqual(verdict((0, "XA")), "mixed")
        self.assertEqual(verdict((0, "XA"), (3, "XS")), "spoiled")
        self.assertEqual(verdict((None, "XI")), "spoiled")


class Chain(unittest.TestCase):
    KEY = SigningKey(bytes(32))

    def book(self, *works):
        lines, head = [], "0" * 64
        for seq, name in enumerate(works):
            kind, data = "k", {"name": name}
            if seq == 0:
                public = self.KEY.verify_key.encode().hex()
                kind, data["supervisor"] = "book.opened", {"person": "p", "key": public}
            line = {"v": 2, "seq": seq, "id": f"00000000-0000-7000-8000-{seq:012}", "bench": "b",
                    "at": "2026-11-25T08:00:00+01:00", "by": "p",
                    "prev": head, "kind": kind, "data": data}
            raw = json.dumps(line, separators=(",", ":")).encode()[:-1]
            sig = self.KEY.sign(b"cullbook sign v2\n" + raw).signature.hex()
            raw += f',"sig":"{sig}"}}'.encode()
            head = hashlib.sha256(b"cullbook line v2\n" + raw).hexdigest()
            lines.append(raw + b"\n")
        return lines, head

    def test_a_book_that_holds_and_what_breaks_it(self):
        lines, head = self.book("one", "two", "three")
        self.assertEqual(check(b"".join(lines), head)[1], head)
        broken = [
            lines[:1] + lines[2:], lines[:2] + lines[1:], [lines[1], lines[0], lines[2]],
            [lines[0].replace(b"one", b"eno"), *lines[1:]], [lines[0], b"{}\n", lines[2]],
            [*lines[:2], lines[2][:-1]], lines[:2], [lines[0].replace(b'"v":2', b'"v":2,"v":2'), *lines[1:]],
        ]
        for book in broken:
            with self.assertRaises(NotHeld):
                check(b"".join(book), head)


if __name__ == "__main__":
    unittest.main()
