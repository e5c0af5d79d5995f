#!/usr/bin/env python3
"""Runs Debian's nginx with the site of scripts/nginx, as whoever starts it, on a loopback port.

`nginx_site.py --dir dist --prefix EMPTY_FOLDER --port 0`; the address is printed once the port is
open, then this process becomes nginx, which ends with it.
"""

import argparse
import os
import pathlib
import re
import shutil
import socket
import sys
import time

SITE = pathlib.Path(__file__).resolve().parents[2] / "scripts/nginx"

# What a Debian machine's own nginx.conf has around its sites, but with every path below --prefix.
AROUND = """
daemon off;
master_process off;
pid nginx.pid;
error_log stderr;
events {{ }}
http {{
    access_log off;
    client_body_temp_path temp; proxy_temp_path temp; fastcgi_temp_path temp;
    uwsgi_temp_path temp; scgi_temp_path temp;
    {site}
}}
"""


def changed_site(text: str, folder: pathlib.Path, port: int) -> str:
    """The site with its five lines changed as its owner would, and its headers where they lie."""
    changes = [
        (r"listen 443 ssl;", f"listen 127.0.0.1:{port};"),
        (r"server_name [^;]+;", "server_name localhost;"),
        (r"ssl_certificate [^;]+;", ""),
        (r"ssl_certificate_key [^;]+;", ""),
        (r"root [^;]+;", f'root "{folder.resolve()}";'),
        (r"include /etc/nginx/cullbook/headers.conf;", f'include "{SITE / "headers.conf"}";'),
    ]
    for old, new in changes:
        text, count = re.subn(old, lambda _: new, text)
        if count != 1:
            raise ValueError(f"cullbook.conf has {count} times `{old}`, not once")
    return text


def program() -> str:
    found = shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin")
    if not found:
        raise FileNotFoundError("nginx is not installed. Run scripts/setup.sh test, which installs it.")
    return found


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as listener:
        return listener.getsockname()[1]


def tell_when_open(port: int) -> None:
    """Prints the address once something answers there; nothing, if nothing does in ten seconds."""
    for _ in range(200):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            print(f"nginx is at http://127.0.0.1:{port}", flush=True)
            return
        except OSError:
            time.sleep(0.05)


def become_nginx(folder: pathlib.Path, prefix: pathlib.Path, port: int) -> None:
    site = changed_site((SITE / "cullbook.conf").read_text(encoding="utf-8"), folder, port)
    (prefix / "nginx.conf").write_text(AROUND.format(site=site), encoding="utf-8")
    nginx = program()
    if os.fork() == 0:
        tell_when_open(port)
        os._exit(0)
    os.execv(nginx, [nginx, "-e", "stderr", "-p", str(prefix.resolve()), "-c", "nginx.conf"])


def main() -> int:
    parser = argparse.ArgumentParser(description="Serve the built app with nginx on this machine.")
    parser.add_argument("--dir", type=pathlib.Path, required=True)
    parser.add_argument("--prefix", type=pathlib.Path, required=True)
    parser.add_argument("--port", type=int, default=0, help="0 takes any free port")
    options = parser.parse_args()
    try:
        become_nginx(options.dir, options.prefix, options.port or free_port())
    except (OSError, ValueError) as error:
        print(error, file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
