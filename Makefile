# `make run` and `make test` install what is missing first; `make help` lists the rest.
SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help

PORT ?= 8080
ENV := . scripts/env.sh;
# The browser half is linted for the machine it runs on.
WASM := --target wasm32-unknown-unknown --features web
BROWSER_TESTS := $(if $(wildcard tests/browser.rs),--test browser)

# Each step assumes the one before it.
.NOTPARALLEL:
.PHONY: help run build serve test setup-run setup-test fmt clippy native bench soak python browser journey size clean

help: ## this list
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "%-9s %s\n", $$1, $$2 }' Makefile

run: build serve ## build the release app and serve it on http://127.0.0.1:8080

build: setup-run ## release build into dist/
	@echo "Building the release app into dist/ (cold about 2 minutes, else seconds)"
	@$(ENV) env -u NO_COLOR trunk build --release --offline --locked || \
	  { echo "The release build failed: the step that broke is named above." >&2; exit 1; }

serve: ## serve dist/ as it stands (PORT=8080)
	@python3 scripts/serve.py --dir dist --port $(PORT)

test: setup-test fmt clippy native python browser build size journey ## everything CI checks
	@echo "All checks passed."

setup-run:
	@scripts/setup.sh run

setup-test:
	@scripts/setup.sh test

fmt: ## formatting
	@echo "== Formatting"
	@$(ENV) cargo fmt --check

clippy: ## lints, warnings are errors: the core, then the browser half
	@echo "== Lints"
	@$(ENV) cargo clippy --locked --all-targets --features journey -- -D warnings
	@$(ENV) cargo clippy --locked $(WASM) --lib --bin cullbook $(BROWSER_TESTS) -- -D warnings

native: ## tests that need no browser
	@echo "== Native tests"
	@$(ENV) cargo test --locked

bench: ## how long lots, look-ups, tags, day records, searches, verification and several books take, in a release build (DEVELOPERS.md has figures)
	@$(ENV) cargo bench --locked --offline --bench lots --bench day --bench log --bench verify --bench several

soak: ## the long runs (hours): two million lines, random inputs, 100,000 seeds of faults, 100 kills of the browser
	@echo "== Long runs"
	@$(ENV) cargo test --locked --release --test audit --test properties -- --ignored --nocapture --test-threads=1 soak_
	@$(ENV) CULLBOOK_FAULT_SEEDS=100000 cargo test --locked --release --test desk faults -- --nocapture
	@$(ENV) CULLBOOK_KILLS=100 cargo test --locked --features journey --test journey what_is_recorded_survives

python: ## checks written in Python
	@echo "== Python checks"
	@$(ENV) python3 -B -m unittest discover -s tests/python -t tests/python

browser: ## tests inside a headless browser
	@echo "== Browser tests"
	@$(if $(BROWSER_TESTS),$(ENV) cargo test --locked $(WASM) $(BROWSER_TESTS),echo "none yet (tests/browser.rs)")

journey: ## the built app, used from end to end; pictures in target/journey/
	@echo "== Journey"
	@$(ENV) cargo test --locked --features journey --test journey -- --test-threads=2

# The aim is 450,000 bytes (DEVELOPERS.md says how far off we are); this stops it from growing.
size: ## whole download, gzipped; over 1,850 kB is a failure
	@total=$$(find dist -type f ! -name '*.map' -exec gzip -9 -c {} \; | wc -c); \
	  echo "Download: $$total bytes gzipped"; test $$total -le 1850000 || \
	  { echo "That is over the 1,850,000 bytes this app allows itself." >&2; exit 1; }

clean: ## build products of this clone (tools stay)
	@$(ENV) cargo clean; rm -rf dist
