# `make demo` and `make test` each set up all they need on a fresh Debian with
# Python 3.11, make, and root or sudo. Everything Python goes into .venv.

PYTHON ?= $(firstword $(shell command -v python3.11) python3)
VENV   := .venv
BIN    := $(VENV)/bin
PIP    := $(BIN)/python -m pip --disable-pip-version-check
CALL   ?= $(firstword $(wildcard examples/maple-hollow/call-01-*.toml))
DATABASE ?= sqlite:///$(VENV)/maple-hollow.sqlite
CODE   := $(wildcard src tests benchmarks)

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help demo test check pytest format bench pictures examples lock clean serve
.PHONY: ngspice postgres chromium certutil style types copied gathered
# Each worker and each command that a test starts would compile every file again.
unexport PYTHONDONTWRITEBYTECODE

help: ## say what can be made
	@grep -hE '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):.*## /\1\t/' | expand -t 10

demo: $(VENV)/.run ## work one example call end to end
	@tools/debian-needs.sh ngspice ngspice || echo "rungwise: the demo goes on without ngspice"
	$(BIN)/rungwise work $(CALL)

HOST ?= 127.0.0.1
PORT ?= 8470
HTTPS ?=

serve: $(VENV)/.run $(VENV)/.photo ## show the app with the demo shop; HOST=0.0.0.0 lets phones in, HTTPS=1 lets them work without signal
	@$(BIN)/python tools/make_demo_shop.py $(DATABASE)
	$(BIN)/rungwise serve --host $(HOST) --port $(PORT) --database $(DATABASE) $(if $(HTTPS),--https)

test: check pytest ## check everything, then run the tests

# The types take most of a minute; the others run beside them.
check: $(VENV)/.dev ## lint, format, types, rooms, copied code, and that all tests are found
	@$(MAKE) --no-print-directory --jobs 2 --output-sync=target types style copied gathered

style: $(VENV)/.dev
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/lint-imports --no-logo

types: $(VENV)/.dev
	$(BIN)/mypy

copied: $(VENV)/.dev
	$(BIN)/python tools/find_copied.py $(wildcard src benchmarks)

# The workers find the tests compiled.
gathered: $(VENV)/.dev
	@$(BIN)/pytest --collect-only -qqq > $(VENV)/gathered.txt || { cat $(VENV)/gathered.txt; exit 1; }

# One worker more than the two cores that CI has: those of the browser tests wait for pages.
pytest: $(VENV)/.dev $(VENV)/.photo ngspice postgres chromium certutil
	$(BIN)/pytest -n 3 --dist loadfile --no-loadscope-reorder

format: $(VENV)/.dev ## put the code in the house's format
	$(BIN)/ruff check --fix-only
	$(BIN)/ruff format

bench: $(VENV)/.dev ngspice ## measure the budgets of docs/architecture.md
	@for file in benchmarks/bench_*.py; do $(BIN)/python $$file || exit 1; done

pictures: $(VENV)/.dev chromium ## draw the pictures of the README and the docs again
	$(BIN)/python tools/make_pictures.py $(CALL) docs/pictures/work.svg
	$(BIN)/python tools/make_app_pictures.py docs/pictures docs/app.md

examples: $(VENV)/.run ## simulate the example calls and the year of the demo shop again
	$(BIN)/python tools/make_examples.py
	$(BIN)/python tools/make_year.py
	$(BIN)/python tools/make_shop_example.py

# LOCKFLAGS=--upgrade takes the newest versions; without it the pins stay where they can.
COMPILE = $(BIN)/uv pip compile pyproject.toml --quiet --universal --python-version 3.11 \
	--fork-strategy fewest --generate-hashes --no-emit-index-url --no-emit-find-links \
	--custom-compile-command "make lock" $(LOCKFLAGS)

lock: $(VENV)/.dev ## pin the dependencies again, with hashes
	$(COMPILE) --extra build --output-file requirements/run.lock
	$(COMPILE) --extra build --extra dev --constraint requirements/run.lock \
		--output-file requirements/dev.lock
	$(COMPILE) --extra build --extra photo --constraint requirements/dev.lock \
		--output-file requirements/photo.lock

ngspice:
	@tools/debian-needs.sh ngspice ngspice

# Debian keeps the server's programs off PATH; the tests start a server of their own with them.
postgres:
	@tools/debian-needs.sh postgres postgresql '/usr/lib/postgresql/*/bin'

# With it a test puts the shop's authority among those that its browser trusts.
certutil:
	@tools/debian-needs.sh certutil libnss3-tools

# Playwright's own driver needs libatomic, which a bare Debian leaves out.
chromium:
	@tools/debian-needs.sh chromium chromium
	@ls /usr/lib/*/libatomic.so.1 >/dev/null 2>&1 || tools/debian-needs.sh always libatomic1

# Wheels only, and the build backend from the lock: nothing unpinned is fetched or compiled.
INSTALL = $(PIP) install --quiet --quiet --require-hashes --only-binary :all: --requirement

$(BIN)/python:
	tools/make-venv.sh $(PYTHON) $(VENV)

$(VENV)/.run: requirements/run.lock pyproject.toml | $(BIN)/python
	$(INSTALL) requirements/run.lock
	$(PIP) install --quiet --quiet --no-deps --no-build-isolation --editable .
	$(BIN)/python tools/compile_loops.py
	@touch $@

$(VENV)/.dev: $(VENV)/.run requirements/dev.lock
	$(INSTALL) requirements/dev.lock
	@touch $@

# What reads photos: some 300 MB that a command has no need of.
$(VENV)/.photo: $(VENV)/.run requirements/photo.lock
	$(INSTALL) requirements/photo.lock
	@touch $@

clean: ## remove the environment and what tools left behind
	rm -rf $(VENV) build dist .hypothesis .import_linter_cache .mypy_cache .pytest_cache .ruff_cache
	find $(CODE) \( -name '*.egg-info' -o -name __pycache__ \) -prune -exec rm -rf {} +
