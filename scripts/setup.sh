#!/usr/bin/env bash
# Installs what building and testing need, and only what is missing.
#   scripts/setup.sh run    what `make run` needs
#   scripts/setup.sh test   that, and what `make test` needs on top
# Says one line for each step it takes and nothing when there is nothing to do.
set -euo pipefail
cd "$(dirname "$0")/.."
. scripts/env.sh

LOG=$CULLBOOK_TOOLS/setup.log

# --- saying, stopping, doing ------------------------------------------------------------------

stop() { # stop SENTENCE COMMAND: what is wrong, and the exact command that puts it right
  printf '\n%s Run this, then try again:\n\n    %s\n\n' "$1" "$2" >&2
  exit 1
}

step() { # step "what it does (how long)" REMEDY COMMAND...: REMEDY is for a person to run
  local remedy=$2
  printf -- '- %s\n' "$1"
  shift 2
  mkdir -p "$(dirname "$LOG")"
  if ! "$@" >"$LOG" 2>&1; then
    tail -n 25 "$LOG" >&2
    stop "That step failed; the end of its output is above, all of it in $LOG." "$remedy"
  fi
}

has() { command -v "$1" >/dev/null; }

as_root() {
  if [ "$(id -u)" = 0 ]; then
    "$@"
  elif has sudo && { [ -t 0 ] || sudo -n true 2>/dev/null; }; then
    sudo "$@"
  else
    echo "This needs an administrator, and sudo is not here or asks for a password." >&2
    return 1
  fi
}

# --- Debian -----------------------------------------------------------------------------------

installed() { [ "$(dpkg-query -W -f '${db:Status-Status}' "$1" 2>/dev/null)" = installed ]; }

apt_get() { as_root env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=300 "$@"; }

# A fresh machine has no package lists and an old one has stale ones: refresh, then once more.
apt_install() {
  apt_get install -y --no-install-recommends "$@" ||
    { apt_get update && apt_get install -y --no-install-recommends "$@"; }
}

packages() { # packages "what and how long" REMEDY PACKAGE...: REMEDY is for a machine without apt
  local what=$1 remedy=$2 missing=() package
  shift 2
  has apt-get || stop "$what: this machine has no apt-get." "$remedy"
  for package; do installed "$package" || missing+=("$package"); done
  [ ${#missing[@]} = 0 ] || step "$what: ${missing[*]}" \
    "sudo apt-get update && sudo apt-get install -y --no-install-recommends ${missing[*]}" \
    apt_install "${missing[@]}"
}

# --- Rust, and its library for the browser -----------------------------------------------------

links_for_browser() {
  local out status=0
  out=$(mktemp -d)
  echo 'fn main() {}' |
    rustc --target wasm32-unknown-unknown -o "$out/probe.wasm" - >/dev/null 2>&1 || status=1
  rm -rf "$out"
  return $status
}

rust_for_browser() {
  if links_for_browser; then return; fi
  if has rustup && [ "${RUSTUP_TOOLCHAIN:-}" != "$DEBIAN_TOOLCHAIN" ]; then
    echo "- Rust's library for the browser, from rustup (about 10 seconds)"
    if rustup target add wasm32-unknown-unknown >/dev/null 2>&1 && links_for_browser; then return; fi
    echo "  rustup could not fetch it; building it from Debian's source instead"
  fi
  rust_from_debian
  if ! links_for_browser; then
    stop "Rust still cannot build for the browser." "rustup target add wasm32-unknown-unknown"
  fi
}

rust_from_debian() {
  packages "Debian's Rust and its library source, 450 MB (about 1 minute)" \
    "rustup target add wasm32-unknown-unknown" rustc-web cargo-web rust-web-src rust-web-clippy rustfmt-web
  local llvm host bin
  llvm=$(/usr/bin/rustc -vV | sed -n 's/^LLVM version: \([0-9]*\).*/\1/p')
  host=$(/usr/bin/rustc -vV | sed -n 's/^host: //p')
  bin=/usr/lib/rustlib/$host/bin
  packages "Debian's linker for the browser (about 10 seconds)" "" "lld-$llvm"
  step "That linker under the name Rust looks for (at once)" \
    "sudo install -d $bin && sudo ln -sfn /usr/lib/llvm-$llvm/bin/lld $bin/rust-lld" link_linker "$llvm" "$bin"
  step "Rust's library for the browser, built from Debian's source (about 1 minute)" \
    "scripts/setup.sh run" build_browser_library
  if has rustup; then
    rustup toolchain link "$DEBIAN_TOOLCHAIN" /usr
    export RUSTUP_TOOLCHAIN=$DEBIAN_TOOLCHAIN
  fi
}

link_linker() { as_root install -d "$2" && as_root ln -sfn "/usr/lib/llvm-$1/bin/lld" "$2/rust-lld"; }

# The embedded bitcode is what lets the app be built with link-time optimisation.
build_browser_library() {
  local scratch to=/usr/lib/rustlib/wasm32-unknown-unknown/lib
  scratch=$(mktemp -d) &&
    mkdir "$scratch/src" && touch "$scratch/src/lib.rs" &&
    printf '[package]\nname = "scratch"\nversion = "0.0.0"\nedition = "2024"\n' >"$scratch/Cargo.toml" &&
    (cd "$scratch" && env RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 RUSTFLAGS=-Cembed-bitcode=yes \
      CARGO_TARGET_DIR="$scratch/target" /usr/bin/cargo build --release \
      -Zbuild-std=std,panic_abort,panic_unwind,proc_macro,test --target wasm32-unknown-unknown) &&
    rm -f "$scratch"/target/wasm32-unknown-unknown/release/deps/libscratch-* &&
    as_root rm -rf "$to" && as_root mkdir -p "$to" &&
    as_root cp "$scratch"/target/wasm32-unknown-unknown/release/deps/*.rlib "$to/" &&
    rm -rf "$scratch"
}

rust() {
  has rustc || has apt-get ||
    stop "Rust is missing." "curl --proto '=https' --tlsv1.2 -sSf https://sh.rustup.rs | sh"
  has cc || packages "C linker (about 20 seconds)" "install a C compiler that provides cc" gcc libc6-dev
  rust_for_browser
}

rust_checkers() {
  local component
  for component in clippy rustfmt; do
    "cargo-${component/rustfmt/fmt}" --version >/dev/null 2>&1 ||
      step "$component, from rustup (about 10 seconds)" "rustup component add $component" \
        rustup component add "$component"
  done
}

# --- command-line tools, into $CULLBOOK_TOOLS --------------------------------------------------

# Their speed hardly matters, the time to install them does: unoptimised, they take half of it.
cargo_tool() { # cargo_tool "what and how long" COMMAND VERSION CRATE [OPTION...]
  local what=$1 command=$2 version=$3 crate=$4
  shift 4
  case "$("$command" --version 2>/dev/null)" in *" $version"*) return ;; esac
  step "$what" "cargo install $crate --version =$version --root $CULLBOOK_TOOLS $*" env CARGO_PROFILE_RELEASE_LTO=off CARGO_PROFILE_RELEASE_CODEGEN_UNITS=16 \
    CARGO_PROFILE_RELEASE_OPT_LEVEL=0 CARGO_PROFILE_RELEASE_DEBUG=0 \
    cargo install "$crate" --version "=$version" --root "$CULLBOOK_TOOLS" --force "$@"
}

npm_package() { # npm_package "what and how long" PACKAGE VERSION
  local manifest=$CULLBOOK_TOOLS/npm/node_modules/$2/package.json
  if grep -qs "\"version\": \"$3\"" "$manifest"; then return; fi
  has npm || packages "Node.js and npm (about 1 minute)" "install Node.js 18 or later with npm" nodejs npm
  step "$1" "npm install --prefix $CULLBOOK_TOOLS/npm $2@$3" \
    npm install --prefix "$CULLBOOK_TOOLS/npm" --no-audit --no-fund "$2@$3"
}

wasm_opt() {
  case "$(wasm-opt --version 2>/dev/null)" in *"version_$BINARYEN_VERSION"*) return ;; esac
  npm_package "wasm-opt $BINARYEN_VERSION, from npm (about 10 seconds)" binaryen "$BINARYEN_VERSION.0.0"
}

# wasm-bindgen without --locked: its lock file may name crate versions that a mirror lacks. Trunk
# without its features, which are for going online: `make build` never does.
browser_tools() {
  cargo_tool "wasm-bindgen $WASM_BINDGEN_VERSION, from crates.io (about 2 minutes)" \
    wasm-bindgen "$WASM_BINDGEN_VERSION" wasm-bindgen-cli
  cargo_tool "Trunk $TRUNK_VERSION, from crates.io (about 4 minutes)" trunk "$TRUNK_VERSION" trunk --locked --no-default-features
  wasm_opt
}

python() { has python3 || packages "Python (about 20 seconds)" "install Python 3.9 or later" python3; }

# Ed25519 for tests/python/check_book.py, into a folder of its own.
python_checker() {
  if python3 -c 'import nacl.signing' 2>/dev/null; then return; fi
  ! has apt-get || python3 -c 'import ensurepip' 2>/dev/null ||
    packages "Python's own folders (about 10 seconds)" "install Python's venv module" python3-venv
  step "PyNaCl $PYNACL_VERSION, from PyPI (about 5 seconds)" \
    "python3 -m venv $CULLBOOK_TOOLS/python && $CULLBOOK_TOOLS/python/bin/pip install pynacl==$PYNACL_VERSION" pynacl
}

# What tests/python/workbook.py opens the day's workbook with: a program people use, and openpyxl.
spreadsheet() {
  has soffice || packages "LibreOffice's tables, without a screen, 280 MB (about 1 minute)" \
    "install LibreOffice Calc, so that soffice is on the PATH" libreoffice-calc-nogui
}

python_workbooks() {
  if python3 -c 'import openpyxl' 2>/dev/null; then return; fi
  [ -x "$CULLBOOK_TOOLS/python/bin/pip" ] || python3 -c 'import ensurepip' 2>/dev/null || ! has apt-get ||
    packages "Python's own folders (about 10 seconds)" "install Python's venv module" python3-venv
  step "openpyxl $OPENPYXL_VERSION, from PyPI (about 5 seconds)" \
    "python3 -m venv $CULLBOOK_TOOLS/python && $CULLBOOK_TOOLS/python/bin/pip install openpyxl==$OPENPYXL_VERSION" openpyxl
}

# Where PyPI cannot be reached, Debian's own package does for Debian's own Python.
openpyxl() {
  { [ -x "$CULLBOOK_TOOLS/python/bin/pip" ] || python3 -m venv "$CULLBOOK_TOOLS/python"; } &&
    "$CULLBOOK_TOOLS/python/bin/pip" install --disable-pip-version-check "openpyxl==$OPENPYXL_VERSION" ||
    { [ ! -x "$CULLBOOK_TOOLS/python/bin/python3" ] && apt_install python3-openpyxl && python3 -c 'import openpyxl'; }
}

# Where PyPI cannot be reached, Debian's own package does for Debian's own Python.
pynacl() {
  python3 -m venv "$CULLBOOK_TOOLS/python" &&
    "$CULLBOOK_TOOLS/python/bin/pip" install --disable-pip-version-check "pynacl==$PYNACL_VERSION" ||
    { rm -rf "$CULLBOOK_TOOLS/python" && apt_install python3-nacl && python3 -c 'import nacl.signing'; }
}

# --- the app's own crates, so that every build after this can be offline -----------------------

crates() {
  if cargo fetch --locked --offline >/dev/null 2>&1; then return; fi
  step "The crates Cargo.lock names (about 20 seconds)" "cargo fetch --locked" cargo fetch --locked
}

browser() {
  [ -n "$CHROMEDRIVER" ] || packages "Chromium and its driver, 300 MB (about 2 minutes)" \
    "install Chromium with its chromedriver, then export CHROMEDRIVER=/path/to/chromedriver" chromium chromium-driver
}

# Debian starts what it installs and has it start with the machine. The journey runs an nginx of
# its own, so this one is kept from both.
nginx_at_rest() {
  local unit=/etc/systemd/system/nginx.service mask=
  if [ -d "${unit%/*}" ] && [ ! -e "$unit" ]; then
    as_root ln -s /dev/null "$unit" && mask=yes
  fi
  apt_install nginx-light || { [ -z "$mask" ] || as_root rm -f "$unit"; return 1; }
  [ -z "$mask" ] || as_root rm -f "$unit" "${unit%/*}/multi-user.target.wants/nginx.service"
}

web_server() {
  if has nginx || [ -x /usr/sbin/nginx ]; then return; fi
  has apt-get || stop "nginx: this machine has no apt-get." "install nginx 1.20 or later"
  step "nginx, for the journey behind a real web server; not started (about 10 seconds)" \
    "sudo apt-get update && sudo apt-get install -y --no-install-recommends nginx-light" nginx_at_rest
}

for_run() {
  rust
  python
  browser_tools
  crates
}

for_test() {
  for_run
  rust_checkers
  python_checker
  spreadsheet
  python_workbooks
  browser
  web_server
  npm_package "axe-core $AXE_VERSION, from npm (about 5 seconds)" axe-core "$AXE_VERSION"
}

case "${1:-}" in
  run) for_run ;;
  test) for_test ;;
  *) stop "setup.sh needs to know what for: run or test." "scripts/setup.sh run" ;;
esac
