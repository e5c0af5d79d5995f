"""scripts/serve.py: the headers it sends, and what it refuses to send."""

import http.client
import pathlib
import sys
import tempfile
import threading
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "scripts"))
import serve  # noqa: E402

PAGE = "<!doctype html><script src='/a.js'></script>"
FILES = {
    "index.html": PAGE,
    "app-305da59a18b8d04f_bg.wasm": "\0asm",
    "app-305da59a18b8d04f.js": "export {}",
    "sw.js": "//",
    "app.webmanifest": "{}",
    "folder/inner.txt": "inner",
}


class ServeTest(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        for name, text in FILES.items():
            path = pathlib.Path(cls.folder.name, "dist", name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        pathlib.Path(cls.folder.name, "outside.txt").write_text("outside")
        cls.server = serve.open_server(pathlib.Path(cls.folder.name, "dist"), 0)
        cls.port = cls.server.server_address[1]
        threading.Thread(target=cls.server.serve_forever, daemon=True).start()

    @classmethod
    def tearDownClass(cls):
        cls.server.shutdown()
        cls.server.server_close()
        cls.folder.cleanup()

    def get(self, path):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        connection.request("GET", path)
        response = connection.getresponse()
        response.read()
        connection.close()
        return response

    def test_policy_is_sent_with_every_answer(self):
        for path in ("/", "/sw.js", "/missing"):
            policy = self.get(path).headers["Content-Security-Policy"]
            self.assertIn("default-src 'none'", policy)
            self.assertIn("script-src 'self' 'wasm-unsafe-eval';", policy)

    def test_policy_lets_no_text_become_code(self):
        policy = serve.read_headers(serve.HEADERS_FILE.read_text())["Content-Security-Policy"]
        for loophole in ("unsafe-inline", "'unsafe-eval'", "*", "http:", "https:"):
            self.assertNotIn(loophole, policy)
        self.assertIn("require-trusted-types-for 'script'; trusted-types cullbook", policy)

    def test_devices_and_framing_are_refused(self):
        headers = self.get("/").headers
        self.assertIn("camera=(), ", headers["Permissions-Policy"])
        self.assertIn("frame-ancestors 'none'", headers["Content-Security-Policy"])
        self.assertEqual(headers["Referrer-Policy"], "no-referrer")
        self.assertEqual(headers["Cross-Origin-Opener-Policy"], "same-origin")
        self.assertEqual(headers["Cross-Origin-Resource-Policy"], "same-origin")

    def test_a_header_line_that_cannot_be_read_is_named(self):
        with self.assertRaisesRegex(ValueError, "line 2 is not"):
            serve.read_headers('# remark\nadd_header X-Y value;\n')

    def test_types(self):
        for path, mime in (
            ("/", "text/html; charset=utf-8"),
            ("/app-305da59a18b8d04f_bg.wasm", "application/wasm"),
            ("/sw.js", "text/javascript; charset=utf-8"),
            ("/app.webmanifest", "application/manifest+json"),
        ):
            self.assertEqual(self.get(path).headers["Content-Type"], mime)

    def test_only_names_with_a_digest_are_kept_for_long(self):
        for path in ("/app-305da59a18b8d04f_bg.wasm", "/app-305da59a18b8d04f.js"):
            self.assertIn("immutable", self.get(path).headers["Cache-Control"])
        for path in ("/", "/index.html", "/gone-305da59a18b8d04f.js"):
            self.assertEqual(self.get(path).headers["Cache-Control"], "no-cache")

    def test_the_list_of_files_is_never_kept(self):
        answer = self.get("/sw.js")
        self.assertEqual(answer.headers["Cache-Control"], "no-store")

    def test_nothing_outside_the_folder_and_no_listings(self):
        for path in ("/../outside.txt", "/%2e%2e/outside.txt", "/folder/"):
            self.assertEqual(self.get(path).status, 404)

    def test_listens_on_this_machine_only(self):
        self.assertEqual(self.server.server_address[0], "127.0.0.1")


if __name__ == "__main__":
    unittest.main()
