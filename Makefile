# Truebed's own commands. `make` alone lists them.
.DEFAULT_GOAL := help
SHELL := /bin/bash
PY ?= python3
UV_VERSION := 0.13.9
VENV := .venv
BIN := $(VENV)/bin
UV := .boot/bin/uv
export UV_PYTHON_DOWNLOADS := never
export UV_LINK_MODE := copy

.PHONY: help demo test bench bench-long lint lock setup setup-dev tools pictures clean schema

help: ## this list
	@grep -E '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 14

$(UV):
	@echo "== bringing uv $(UV_VERSION) from the package registry"
	@$(PY) -c 'import sys; sys.exit(0 if sys.version_info >= (3, 11) else "Truebed needs Python 3.11 or newer; this is " + sys.version.split()[0])'
	@$(PY) -m venv .boot
	@.boot/bin/python -m pip install --quiet --disable-pip-version-check "uv==$(UV_VERSION)" \
		|| { rm -rf .boot; echo "could not get uv $(UV_VERSION): is the package registry reachable?"; exit 1; }

$(VENV)/.runtime: requirements/runtime.txt pyproject.toml | $(UV)
	@echo "== installing what Truebed runs on (locked, with hashes)"
	@test -x $(BIN)/python || $(PY) -m venv $(VENV)
	@test -f $(VENV)/.dev || $(UV) pip sync --quiet --python $(BIN)/python --require-hashes requirements/runtime.txt \
		|| { echo "could not install requirements/runtime.txt: is the package registry reachable?"; exit 1; }
	@$(UV) pip install --quiet --python $(BIN)/python --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.dev: requirements/dev.txt pyproject.toml | $(UV)
	@echo "== installing what the tests need on top (locked, with hashes)"
	@test -x $(BIN)/python || $(PY) -m venv $(VENV)
	@$(UV) pip sync --quiet --python $(BIN)/python --require-hashes requirements/dev.txt \
		|| { echo "could not install requirements/dev.txt: is the package registry reachable?"; exit 1; }
	@$(UV) pip install --quiet --python $(BIN)/python --no-deps --no-build-isolation --editable .
	@touch $@ $(VENV)/.runtime

setup: $(VENV)/.runtime ## bring what Truebed runs on into .venv
setup-dev: $(VENV)/.dev

tools: ## bring Chromium and poppler-utils from Debian's packages (needs root; the tests that want them are skipped otherwise)
	@scripts/debian_tools.sh

demo: setup ## run the main job on the demo works; results under out/demo/
	@$(BIN)/truebed demo --out out/demo

test: setup-dev tools ## install what the tests need and run every test
	@$(BIN)/python -m pytest

lint: setup-dev ## ruff, mypy --strict, import-linter
	@$(BIN)/ruff check src tests bench scripts
	@$(BIN)/ruff format --check src tests bench scripts
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-cache

bench: setup-dev ## measure, side by side; writes out/bench.json
	@$(BIN)/python -m bench --out out/bench.json

bench-long: setup-dev ## what takes longer than make bench may; writes out/bench-long.json
	@$(BIN)/python -m bench --long --out out/bench-long.json

pictures: setup-dev tools ## remake the pictures that the README and docs/ show
	@$(BIN)/python scripts/make_pictures.py

schema: setup-dev ## rewrite the published JSON Schemas and the column list from the code
	@$(BIN)/python scripts/write_published.py

lock: | $(UV) ## resolve requirements/*.in anew into hashed, host-free locks
	@for f in runtime dev; do $(UV) pip compile --quiet --generate-hashes --no-emit-index-url --no-emit-find-links \
		--python-version 3.11 --custom-compile-command 'make lock' requirements/$$f.in -o requirements/$$f.txt || exit 1; done

clean: ## remove results and environments
	@rm -rf out .venv .boot .pytest_cache .mypy_cache .ruff_cache .hypothesis
