#!/usr/bin/env python3
"""Finishes a build: what Trunk leaves to do before the folder can be served strictly and held
offline. Trunk calls it (Cargo.toml, post_build); `scripts/finish.py --dir dist` does it again to a
folder that was changed by hand. Standard library only.

1. The start script that Trunk writes into index.html becomes a file of its own, so that the
   Content-Security-Policy needs no hash and is the same for every build.
2. sw.js gets the list of all files with the SHA-256 of each, and a version that is the hash of
   the list and of sw.js itself: any changed byte is another version.
"""

import argparse
import base64
import hashlib
import json
import os
import pathlib
import re
import sys

INLINE_SCRIPT = re.compile(r'<script type="module">\s*(.*?)\s*</script>', re.DOTALL)
VERSION_LINE = re.compile(r'^const VERSION = ".*";$', re.MULTILINE)
FILES_LINE = re.compile(r"^const FILES = \{.*\};$", re.MULTILINE)


def take_scripts_out(folder: pathlib.Path) -> None:
    """Moves each inline module script of index.html into a file named by its content."""

    def to_file(found: re.Match) -> str:
        script = found[1] + "\n"
        name = f"start-{hashlib.sha256(script.encode()).hexdigest()[:16]}.js"
        (folder / name).write_text(script, encoding="utf-8")
        return f'<script type="module" src="/{name}"></script>'

    page = folder / "index.html"
    text = INLINE_SCRIPT.sub(to_file, page.read_text(encoding="utf-8"))
    if re.search(r"<script(?![^>]*\ssrc=)", text):
        raise ValueError("index.html holds an inline script that is no module; move it to a file")
    page.write_text(text, encoding="utf-8")


def file_list(folder: pathlib.Path) -> dict[str, str]:
    """Every file but sw.js: its path on the server, and its integrity (W3C Subresource Integrity)."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    served = {"/" + path.relative_to(folder).as_posix(): path for path in files}
    return {
        name: "sha256-" + base64.b64encode(hashlib.sha256(path.read_bytes()).digest()).decode()
        for name, path in served.items()
        if name != "/sw.js"
    }


def put_once(line: re.Pattern, text: str, new: str) -> str:
    text, count = line.subn(lambda _: new, text)
    if count != 1:
        raise ValueError(f"sw.js has {count} lines like `{line.pattern}` where one is needed")
    return text


def write_list(folder: pathlib.Path) -> str:
    """Writes list and version into sw.js; gives the version back."""
    worker = folder / "sw.js"
    text = put_once(VERSION_LINE, worker.read_text(encoding="utf-8"), 'const VERSION = "";')
    text = put_once(FILES_LINE, text, f"const FILES = {json.dumps(file_list(folder))};")
    version = hashlib.sha256(text.encode()).hexdigest()[:16]
    worker.write_text(put_once(VERSION_LINE, text, f'const VERSION = "{version}";'), encoding="utf-8")
    return version


def finish(folder: pathlib.Path) -> str:
    take_scripts_out(folder)
    return write_list(folder)


def main() -> int:
    staging = os.environ.get("TRUNK_STAGING_DIR")
    parser = argparse.ArgumentParser(description="Finish a build.")
    parser.add_argument("--dir", type=pathlib.Path, default=staging, required=staging is None, help="folder of the build")
    folder = pathlib.Path(parser.parse_args().dir)
    try:
        print(f"Version {finish(folder)}")
    except (OSError, ValueError) as error:
        print(f"The build in {folder} cannot be finished: {error}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
