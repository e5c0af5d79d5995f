#!/usr/bin/env python3
"""Serves the built app on this machine only, with the headers it should have anywhere.

Standard library only. `scripts/serve.py --dir dist --port 8080`; port 0 takes a free one. The
address is printed on one line once the port is open.
"""

import argparse
import errno
import http.server
import pathlib
import re
import sys

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

# What nginx is told too: scripts/nginx/headers.conf is the one list of headers.
HEADERS_FILE = pathlib.Path(__file__).resolve().parent / "nginx/headers.conf"
HEADER_LINE = re.compile(r'^add_header ([A-Za-z-]+) "([^"]+)" always;$')


def read_headers(text: str) -> dict[str, str]:
    """The headers of nginx `add_header` lines; a line that is neither one nor a remark is refused."""
    headers = {}
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() and not line.startswith("#"):
            found = HEADER_LINE.match(line)
            if not found:
                raise ValueError(f'{HEADERS_FILE.name} line {number} is not `add_header NAME "VALUE" always;`: {line}')
            headers[found[1]] = found[2]
    return headers


class Handler(http.server.SimpleHTTPRequestHandler):
    """Static files of one folder, each answer with the headers of HEADERS_FILE."""

    extensions_map = TYPES
    protocol_version = "HTTP/1.1"
    server_version = "cullbook"
    sys_version = ""
    headers_sent = read_headers(HEADERS_FILE.read_text(encoding="utf-8"))

    def end_headers(self):
        self.send_header("Cache-Control", self.caching(self.path.split("?")[0]))
        for header, value in self.headers_sent.items():
            self.send_header(header, value)
        super().end_headers()

    def caching(self, name: str) -> str:
        """How long a file may be kept; scripts/nginx/cullbook.conf says the same and why."""
        if name == "/sw.js":
            return "no-store"
        return "public, max-age=31536000, immutable" if HASHED_NAME.search(name) and self.sent_ok else "no-cache"

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
    (folder / "index.html").stat()  # says at once what is not built
    return Server(("127.0.0.1", port), lambda *args: Handler(*args, directory=str(folder)))


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
