"""The check characters of serials.py against published examples and python-stdnum's figures.

The same files hold the program's own check characters (tests/published), so that the two
programs are compared with a third and not only with each other.
"""

import json
import pathlib
import unittest

from serials import check_characters, serial

FIXTURES = pathlib.Path(__file__).parent.parent / "fixtures"
NAMES = {
    "iso7064_mod_11_2": "mod11_2", "iso7064_mod_37_2": "mod37_2",
    "iso7064_mod_97_10": "mod97_10", "iso7064_mod_11_10": "mod11_10",
    "iso7064_mod_27_26": "mod27_26", "iso7064_mod_37_36": "mod37_36",
    "luhn": "luhn", "verhoeff": "verhoeff", "damm": "damm", "german_mark": "dihedral_letters",
    "euro_first_series": "letter_sum9", "euro_second_series": "letter_sum9",
}


class CheckCharacters(unittest.TestCase):
    def test_every_vector(self):
        systems = json.loads((FIXTURES / "check_digit_vectors.json").read_text())
        self.assertEqual({entry["system"] for entry in systems}, set(NAMES))
        for entry in systems:
            valid = [vector for vector in entry["vectors"] if vector["kind"] == "valid"]
            self.assertGreater(len(valid), 50, entry["system"])
            for vector in valid:
                payload, full = vector["payload"], vector["full"]
                found = check_characters(NAMES[entry["system"]], payload)
                self.assertEqual(payload + found, full, entry["system"])

    def test_parts_stand_in_their_order(self):
        form = {"prefix": "KB", "width": 4, "suffix": "Q", "check": "luhn", "check_over": "number"}
        self.assertEqual(serial(form, 12), "KB0012Q5")
        self.assertEqual(serial(form | {"check_place": "after_number"}, 12), "KB00125Q")
        self.assertEqual(serial({"width": 3}, 7), "007")
        with self.assertRaises(ValueError):
            serial({"width": 3}, 1000)


if __name__ == "__main__":
    unittest.main()
