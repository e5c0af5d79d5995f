"""scripts/finish.py: the page's script in its own file, and the list in sw.js."""

import base64
import hashlib
import json
import pathlib
import re
import sys
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "scripts"))
import finish  # noqa: E402

PAGE = '<!doctype html><script type="module">\nimport "/app.js";\n\n</script><body></body>'


class FinishTest(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.dist = pathlib.Path(folder.name)
        self.put("index.html", PAGE)
        self.put("app.js", "export {}")
        self.put("snippets/a/inline0.js", "export {}")
        self.put("sw.js", (ROOT / "src/browser/sw.js").read_text())

    def put(self, name, text):
        path = self.dist / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)

    def listed(self):
        text = (self.dist / "sw.js").read_text()
        version = re.search(r'^const VERSION = "([0-9a-f]{16})";$', text, re.MULTILINE)[1]
        return version, json.loads(re.search(r"^const FILES = (.*);$", text, re.MULTILINE)[1])

    def test_integrity_is_the_one_the_standard_gives(self):
        # SHA-256 of the message "abc", FIPS 180-4 (NIST example values), in base64; from memory.
        abc = bytes.fromhex("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
        self.put("abc.txt", "abc")
        expected = "sha256-" + base64.b64encode(abc).decode()
        self.assertEqual(finish.file_list(self.dist)["/abc.txt"], expected)

    def test_every_file_is_listed_but_the_worker_itself(self):
        finish.finish(self.dist)
        _, files = self.listed()
        there = {"/" + p.relative_to(self.dist).as_posix() for p in self.dist.rglob("*") if p.is_file()}
        self.assertEqual(set(files), there - {"/sw.js"})
        for name, integrity in files.items():
            digest = hashlib.sha256((self.dist / name[1:]).read_bytes()).digest()
            self.assertEqual(integrity, "sha256-" + base64.b64encode(digest).decode(), name)

    def test_the_start_script_is_a_file(self):
        finish.finish(self.dist)
        page = (self.dist / "index.html").read_text()
        name = re.fullmatch(r'<!doctype html><script type="module" src="/(start-[0-9a-f]{16}\.js)"></script><body></body>', page)
        self.assertIsNotNone(name, page)
        self.assertEqual((self.dist / name[1]).read_text(), 'import "/app.js";\n')

    def test_a_script_that_cannot_be_a_file_is_refused(self):
        self.put("index.html", "<script>alert(1)</script>")
        with self.assertRaisesRegex(ValueError, "inline script"):
            finish.finish(self.dist)

    def test_any_changed_byte_is_another_version_and_nothing_else_is(self):
        first = finish.finish(self.dist)
        self.assertEqual(first, self.listed()[0])
        self.assertEqual(finish.finish(self.dist), first)
        self.put("app.js", "export { }")
        second = finish.finish(self.dist)
        worker = self.dist / "sw.js"
        worker.write_text(worker.read_text() + "// another worker\n")
        third = finish.finish(self.dist)
        self.assertEqual(len({first, second, third}), 3)

    def test_a_worker_without_its_two_lines_is_refused(self):
        self.put("sw.js", 'const FILES = {};\nconst FILES = {};\nconst VERSION = "";\n')
        with self.assertRaisesRegex(ValueError, "2 lines"):
            finish.finish(self.dist)


class ManifestTest(unittest.TestCase):
    APP = ROOT / "styles/app"

    def test_icons_are_there_and_as_large_as_they_say(self):
        manifest = json.loads((self.APP / "cullbook.webmanifest").read_text())
        sizes = set()
        for icon in manifest["icons"]:
            content = (self.APP / icon["src"][1:]).read_bytes()
            if icon["type"] == "image/png":
                # PNG (ISO/IEC 15948), 11.2.1: width and height open the IHDR chunk.
                self.assertEqual(content[:8], b"\x89PNG\r\n\x1a\n")
                width, height = (int.from_bytes(content[at : at + 4], "big") for at in (16, 20))
                self.assertEqual(icon["sizes"], f"{width}x{height}")
            sizes.add((icon["sizes"], icon["purpose"]))
        self.assertLessEqual({("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")}, sizes)

    def test_every_icon_is_copied_into_the_build(self):
        page = (ROOT / "index.html").read_text()
        for path in self.APP.iterdir():
            self.assertIn(f'rel="copy-file" href="styles/app/{path.name}"', page)


if __name__ == "__main__":
    unittest.main()
