#!/usr/bin/env python3
"""Serves the built app on this machine only, with the headers it should have anywhere.

Standard library only. `scripts/serve.py --dir dist --port 8080`; port 0 takes a free one. The
address is printed on one line once the port is open.
"""

import argparse
import base64
import errno
import hashlib
import http.server
import pathlib
import re
import sys
from html.parser import HTMLParser

# Trunk puts a digest of the content into these names, so their content never changes.
HASHED_NAME = re.compile(r"-[0-9a-f]{8,16}(_bg)?\.[a-z0-9]+$")

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".jsonl": "application/jsonl; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    "": "application/octet-stream",
}

DENIED_FEATURES = (
    "accelerometer", "autoplay", "camera", "display-capture", "geolocation", "gyroscope",
    "hid", "magnetometer", "microphone", "midi", "payment", "serial", "usb",
)


class InlineScripts(HTMLParser):
    """Collects the exact text of every script that is written into the page itself."""

    def __init__(self):
        super().__init__(convert_charrefs=False)
        self.scripts = []
        self.inside = False

    def handle_starttag(self, tag, attrs):
        self.inside = tag == "script" and "src" not in dict(attrs)
        if self.inside:
            self.scripts.append("")

    def handle_endtag(self, tag):
        self.inside = False

    def handle_data(self, data):
        if self.inside:
            self.scripts[-1] += data


def script_hashes(page: str) -> list[str]:
    """CSP hash sources (W3C Content Security Policy Level 3, 2.3.1) of the page's inline scripts."""
    parser = InlineScripts()
    parser.feed(page)
    parser.close()
    digests = [hashlib.sha256(text.encode()).digest() for text in parser.scripts]
    return [f"'sha256-{base64.b64encode(digest).decode()}'" for digest in digests]


def content_security_policy(page: str) -> str:
    """Nothing may be loaded but what this server sends, and no text may become code."""
    scripts = " ".join(["'self'", "'wasm-unsafe-eval'", *script_hashes(page)])
    return "; ".join([
        "default-src 'none'",
        f"script-src {scripts}",
        "connect-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "worker-src 'self'",
        "manifest-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types cullbook",
    ])


class Handler(http.server.SimpleHTTPRequestHandler):
    """Static files of one folder; which folder and policy, `serve` fills in."""

    extensions_map = TYPES
    protocol_version = "HTTP/1.1"
    server_version = "cullbook"
    sys_version = ""
    policy = ""

    def end_headers(self):
        name = self.path.split("?")[0]
        fixed = HASHED_NAME.search(name) and self.sent_ok
        self.send_header("Cache-Control", "public, max-age=31536000, immutable" if fixed else "no-cache")
        self.send_header("Content-Security-Policy", self.policy)
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Referrer-Policy", "no-referrer")
        self.send_header("Cross-Origin-Opener-Policy", "same-origin")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        self.send_header("Permissions-Policy", ", ".join(f"{f}=()" for f in DENIED_FEATURES))
        super().end_headers()

    def send_response(self, code, message=None):
        self.sent_ok = code in (200, 304)
        super().send_response(code, message)

    def list_directory(self, path):
        self.send_error(404)

    def log_request(self, code="-", size="-"):
        """A line for each file helps nobody; errors still speak, through log_error."""


class Server(http.server.ThreadingHTTPServer):
    daemon_threads = True


def open_server(folder: pathlib.Path, port: int) -> Server:
    """A server for `folder` on 127.0.0.1:`port` (0: any free one); raises OSError if it is taken."""
    page = (folder / "index.html").read_text(encoding="utf-8")
    handler = type("AppHandler", (Handler,), {"policy": content_security_policy(page)})
    return Server(("127.0.0.1", port), lambda *args: handler(*args, directory=str(folder)))


def main() -> int:
    parser = argparse.ArgumentParser(description="Serve the built app on this machine.")
    parser.add_argument("--dir", type=pathlib.Path, default=pathlib.Path("dist"), help="folder to serve")
    parser.add_argument("--port", type=int, default=8080, help="0 takes any free port")
    options = parser.parse_args()
    try:
        server = open_server(options.dir, options.port)
    except FileNotFoundError:
        print(f"{options.dir}/index.html does not exist yet. Build it first: make build", file=sys.stderr)
        return 1
    except OSError as error:
        if error.errno != errno.EADDRINUSE:
            raise
        print(
            f"Port {options.port} is already in use, perhaps by another Cullbook. Stop that one, "
            f"or serve on another port: make serve PORT={options.port + 1}",
            file=sys.stderr,
        )
        return 1
    print(f"Cullbook is at http://127.0.0.1:{server.server_address[1]} (Ctrl-C stops it)", flush=True)
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        print()
    return 0


if __name__ == "__main__":
    sys.exit(main())
