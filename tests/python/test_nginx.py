"""The ready nginx site answers as scripts/serve.py does: same headers, same types, same caching."""

import gzip
import http.client
import pathlib
import re
import subprocess
import sys
import tempfile
import threading
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parents[1] / "scripts"))
import serve  # noqa: E402

FILES = {
    "index.html": "<!doctype html>",
    "app-305da59a18b8d04f_bg.wasm": "\0asm" + "a" * 2000,
    "app-305da59a18b8d04f.js": "export {}",
    "style-305da59a18b8d04f.css": "a {}",
    "sw.js": "//",
    "cullbook.webmanifest": "{}",
    "icon.svg": "<svg/>",
    "icon-192.png": "png",
}
PATHS = ["/", "/missing", "/gone-305da59a18b8d04f.js", *("/" + name for name in FILES)]
# Which of two servers answers, and when, is not what the app depends on.
OF_THE_SERVER = {"date", "server", "connection", "content-length", "last-modified", "etag", "accept-ranges", "vary", "keep-alive"}


class NginxTest(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        dist, prefix = pathlib.Path(cls.folder.name, "dist"), pathlib.Path(cls.folder.name, "nginx")
        for folder in (dist, prefix):
            folder.mkdir()
        for name, text in FILES.items():
            (dist / name).write_text(text)
        cls.server = serve.open_server(dist, 0)
        threading.Thread(target=cls.server.serve_forever, daemon=True).start()
        command = [sys.executable, HERE / "nginx_site.py", "--dir", dist, "--prefix", prefix]
        cls.nginx = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        address = re.search(r"127\.0\.0\.1:(\d+)", cls.nginx.stdout.readline())
        cls.ports = {"serve.py": cls.server.server_address[1], "nginx": int(address[1]) if address else 0}

    @classmethod
    def tearDownClass(cls):
        cls.server.shutdown()
        cls.server.server_close()
        cls.nginx.kill()
        cls.nginx.wait()
        cls.nginx.stdout.close()
        cls.folder.cleanup()

    def get(self, server, path, headers=()):
        connection = http.client.HTTPConnection("127.0.0.1", self.ports[server], timeout=10)
        connection.request("GET", path, headers=dict(headers))
        response = connection.getresponse()
        body = response.read()
        connection.close()
        return response, body

    def test_both_send_the_same_headers(self):
        for path in PATHS:
            answers = {}
            for server in self.ports:
                response, _ = self.get(server, path)
                sent = [(name.lower(), value) for name, value in response.getheaders()]
                kept = sorted(pair for pair in sent if pair[0] not in OF_THE_SERVER)
                if response.status == 404:
                    # The page that says "not found" is the server's own.
                    kept = [pair for pair in kept if pair[0] != "content-type"]
                answers[server] = (response.status, kept)
            self.assertEqual(answers["nginx"], answers["serve.py"], path)

    def test_no_answer_goes_without_the_policy(self):
        for server in self.ports:
            for path in PATHS:
                response, _ = self.get(server, path)
                policies = response.headers.get_all("Content-Security-Policy")
                self.assertEqual(len(policies), 1, (server, path))
                self.assertIn("frame-ancestors 'none'", policies[0])
                self.assertEqual(response.headers["X-Content-Type-Options"], "nosniff")

    def test_nginx_compresses_what_gets_smaller(self):
        path = "/app-305da59a18b8d04f_bg.wasm"
        response, body = self.get("nginx", path, {"Accept-Encoding": "gzip"}.items())
        self.assertEqual(response.headers["Content-Encoding"], "gzip")
        self.assertEqual(gzip.decompress(body), FILES[path[1:]].encode())

    def test_nginx_gives_nothing_from_outside_and_no_version(self):
        for path in ("/../nginx/nginx.conf", "/%2e%2e/nginx/nginx.conf"):
            response, _ = self.get("nginx", path)
            self.assertIn(response.status, (400, 404), path)
            self.assertEqual(response.headers["Server"], "nginx")


if __name__ == "__main__":
    unittest.main()
