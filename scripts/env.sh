# Sourced by the Makefile and by setup.sh (bash): which versions the project builds with, where
# they live, and which Rust toolchain drives everything. Installs nothing and prints nothing.

TRUNK_VERSION=0.21.14
BINARYEN_VERSION=132
AXE_VERSION=4.14.1
PYNACL_VERSION=1.5.0
OPENPYXL_VERSION=3.1.5
# wasm-bindgen's tool and library must be the same version, so Cargo.lock decides.
WASM_BINDGEN_VERSION=$(awk '/^name = "wasm-bindgen"$/ { getline; gsub(/"/, "", $3); print $3; exit }' Cargo.lock)

# Outside the clone and named by version: a second clone is warm, an upgrade never half-applies.
: "${CULLBOOK_TOOLS:=$HOME/.cache/cullbook/tools-$TRUNK_VERSION-$WASM_BINDGEN_VERSION-$BINARYEN_VERSION}"
export CULLBOOK_TOOLS
export PATH="$CULLBOOK_TOOLS/python/bin:$CULLBOOK_TOOLS/bin:$CULLBOOK_TOOLS/npm/node_modules/.bin:$PATH"

# One toolchain for everything. The person's own, unless only the linked Debian one (setup.sh)
# has the library for the browser; two rustc versions could not share the target folder.
DEBIAN_TOOLCHAIN=cullbook-debian
has_browser_library() {
  compgen -G "$(rustc --print target-libdir --target wasm32-unknown-unknown 2>/dev/null)/libstd-*.rlib" >/dev/null
}
if ! has_browser_library && [ -e "${RUSTUP_HOME:-$HOME/.rustup}/toolchains/$DEBIAN_TOOLCHAIN" ]; then
  export RUSTUP_TOOLCHAIN=$DEBIAN_TOOLCHAIN
fi

# Browser tests and the journey.
export CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER=wasm-bindgen-test-runner
export WASM_BINDGEN_TEST_WEBDRIVER_JSON=$PWD/tests/browser/webdriver.json
export WASM_BINDGEN_TEST_TIMEOUT=300
export CHROMEDRIVER=${CHROMEDRIVER:-$(command -v chromedriver || true)}
export CULLBOOK_AXE=$CULLBOOK_TOOLS/npm/node_modules/axe-core/axe.min.js
