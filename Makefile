# make demo    sets everything up and builds the example kits into dist/
# make test    sets everything up and runs every check the project has
# make soak    tries the laws on many random kits, the properties on new examples, and runs the long tests; make soak SOAK="--kits 2000"
# make lint    ruff and mypy only; make bench prints ratios; make clean removes what was made
# make coverage says how much of the code the tests run; make coverage COVERED=tests/model looks at some tests only
# make lowest  builds the starter kit and runs the quick tests with the least versions of all libraries
# make picture draws the pictures of README.md anew (needs pdftoppm, unzip and chromium)

SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
.DEFAULT_GOAL := help

# Tests start many processes; without what Python keeps of a module each would compile all that it imports again.
export PYTHONDONTWRITEBYTECODE :=

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready
TEST_READY := $(VENV)/.test-ready
KITS := $(sort $(dir $(wildcard kits/*/kit.yaml)))
# Without compiling: whatever is imported is compiled then and kept, which is a small part of all that is installed.
PIP_INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check --no-compile

# What the system must bring, as Debian packages, and how to see that it is there.
RUN_PACKAGES := libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0
RUN_MUST := from ctypes.util import find_library as lib; sys.exit(not (lib("pango-1.0") and lib("pangoft2-1.0")))
RUN_SHOULD := from ctypes.util import find_library as lib; sys.exit(not lib("harfbuzz-subset"))
VENV_MUST := from importlib.util import find_spec; sys.exit(not (find_spec("venv") and find_spec("ensurepip")))
TEST_PACKAGES := poppler-utils chromium zsh fish
SOAK_PACKAGES := firefox-esr
SOAK_SHOULD := from shutil import which; sys.exit(not (which("firefox-esr") or which("firefox")))
TEST_SHOULD := from shutil import which; sys.exit(not all(map(which, ("pdftotext", "chromium", "zsh", "fish"))))
has = $(PYTHON) -c 'import sys; $(1)'
apt = { [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null && \
	{ apt-get install -y -qq --no-install-recommends $(1) || { apt-get update -qq && apt-get install -y -qq --no-install-recommends $(1); }; } \
	>/dev/null; }

.PHONY: help demo test soak lint coverage lowest picture bench clean
help:
	@sed -n 's/^# make/make/p' Makefile

demo: $(READY)
	@$(BIN)/kitforge build $(KITS) -o dist
	@echo "The release zips are in $(CURDIR)/dist:"
	@ls -1 dist/*.zip

# What lint says is shown when the tests have ended: alone it would leave a core idle. It takes what tests that wait leave.
LINTED := $(MAKE) --no-print-directory lint
test: $(TEST_READY)
	@mkdir -p build; nice $(LINTED) >build/lint.txt 2>&1 & lint=$$!; \
	trap 'kill $$lint 2>/dev/null || true' EXIT; code=0; \
	$(BIN)/python -m pytest -n 2 --dist loadfile --no-loadscope-reorder || code=$$?; \
	wait $$lint || code=$$?; trap - EXIT; cat build/lint.txt; exit $$code

soak: $(TEST_READY)
	@$(call has,$(SOAK_SHOULD)) || $(call apt,$(SOAK_PACKAGES)) || echo "What a reader does in Firefox will not be tried: there is none."
	$(BIN)/python -m pytest -n 2 --soak -m "soak or law or hypothesis" $(SOAK)

lint: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy kitforge plugins templates tests
	@for one in tests/conftest.py tests/*/conftest.py; do $(BIN)/mypy --no-error-summary $$one || exit 1; done # one by one: they have one name

# In one process, and without what the tests start as programs of their own: the figure is a lower bound.
COVERED ?= tests
coverage: $(TEST_READY)
	@$(PIP_INSTALL) 'coverage>=7.6'
	-$(BIN)/python -m coverage run --data-file=build/coverage -m pytest -q -p no:xdist $(COVERED)
	$(BIN)/python -m coverage report --data-file=build/coverage --skip-covered --sort=cover

# An environment of its own, away from the one that is worked in. Old libraries warn of newer ones beside them.
LOWEST := build/lowest
lowest: $(READY)
	@rm -rf $(LOWEST) && mkdir -p build && $(PYTHON) -m venv $(LOWEST)
	@$(BIN)/python tests/tools/lowest.py > $(LOWEST)/least.txt
	@$(LOWEST)/bin/python -m pip install --quiet --disable-pip-version-check --requirement $(LOWEST)/least.txt hatchling editables \
	  pytest pytest-timeout pytest-xdist hypothesis babel
	@$(LOWEST)/bin/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@rm -rf $(LOWEST)/kit && $(LOWEST)/bin/kitforge new $(LOWEST)/kit && $(LOWEST)/bin/kitforge build $(LOWEST)/kit -o $(LOWEST)/dist
	$(LOWEST)/bin/python -m pytest -q -p no:xdist -o filterwarnings=default $(LEAST_TESTS)
LEAST_TESTS ?= tests/model tests/workshop tests/language/test_language_po.py tests/geometry/test_shape_builders.py tests/geometry/test_dxf_entities.py

# Draws the page of README.md: the first page of the demo's booklet that shows a step with its settings.
picture: demo
	@rm -rf build/picture && mkdir -p build/picture && unzip -qo dist/morris-board-*.zip -d build/picture
	@$(BIN)/python tests/tools/live_page_picture.py kits/morris-board kits/morris-board/live-page.png
	@$(BIN)/python tests/tools/start_page_picture.py build/picture/*/start.html 3 kits/morris-board/start-page.png
	@booklet=$$(echo build/picture/*/booklet-a4.pdf); \
	for page in $$(seq 1 99); do \
	  if pdftotext -f $$page -l $$page "$$booklet" - 2>/dev/null | grep -q 'layer LINES' && \
	     pdftotext -f $$page -l $$page "$$booklet" - | grep -q 'Look and listen'; then \
	    pdftoppm -r 90 -f $$page -l $$page -singlefile -png "$$booklet" kits/morris-board/booklet-page; exit 0; fi; \
	done; echo "no page shows that step any more; mend the Makefile"; exit 1

bench: $(READY)
	@for script in tests/benchmarks/bench_*.py; do echo "== $$script"; $(BIN)/python "$$script"; done

clean:
	rm -rf $(VENV) dist build .mypy_cache .ruff_cache .pytest_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

# Made again when pyproject.toml changes: dependencies or entry points may have. The first try needs no network, so
# that a machine where everything is installed already may be offline.
$(READY): pyproject.toml
	@$(call has,sys.exit(sys.version_info[:2] < (3, 11))) || \
	  { echo "Python 3.11 or later is needed. Name one: make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@{ $(call has,$(RUN_MUST)) && $(call has,$(RUN_SHOULD)); } || $(call apt,$(RUN_PACKAGES)) || \
	  echo "Missing system libraries. Debian, Ubuntu: sudo apt-get install $(RUN_PACKAGES); macOS: brew install pango harfbuzz"
	@$(call has,$(RUN_MUST)) || { echo "Nothing can be printed without Pango; install it as said above."; exit 1; }
	@test -x $(BIN)/python || $(call has,$(VENV_MUST)) || $(call apt,python3-venv) || true
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV) || \
	  { rm -rf $(VENV); echo "$(PYTHON) cannot make a virtual environment. Debian, Ubuntu: sudo apt-get install python3-venv"; exit 1; }
	@$(PIP_INSTALL) --no-index --no-build-isolation --editable '.[dev]' >/dev/null 2>&1 || $(PIP_INSTALL) --editable '.[dev]'
	@touch $@

$(TEST_READY): $(READY)
	@$(call has,$(TEST_SHOULD)) || $(call apt,$(TEST_PACKAGES)) || \
	  echo "Tests that need them will say so. Debian, Ubuntu: sudo apt-get install $(TEST_PACKAGES)"
	@touch $@
