# Two commands set everything up on a fresh machine: `make site` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
SHELL := /bin/bash
# The engine's arrays are small: more threads under numpy only wait for each other.
export OPENBLAS_NUM_THREADS := 1

.PHONY: site serve charts demo test bench audit clean

site: $(VENV)/.ready
	@$(BIN)/faultleaf build

serve: $(VENV)/.ready
	@NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs serve

# The plans that are kept beside the cards, after a number or the engine changed.
charts: $(VENV)/.ready
	@$(BIN)/faultleaf charts --content content
	@$(BIN)/faultleaf charts --content content --content site_demo/content

demo: $(VENV)/.ready
	@$(BIN)/faultleaf build --config site_demo/mkdocs.yml --site-dir site-demo

test: $(VENV)/.ready-test
	@bash tests/browser/need-chromium.sh
	$(BIN)/ruff check .
	$(BIN)/ruff format --check --quiet plugins tests
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder

# Large counts and timings beside a reference: too slow for the suite.
bench: site $(VENV)/.ready-test
	FAULTLEAF_COUNTS=all $(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder
	$(BIN)/python -m tests.bench

# Outside checkers over every page and every file to print.
audit: site $(VENV)/.ready-test
	$(BIN)/python -m tests.audit

clean:
	rm -rf $(VENV) site site-demo .pytest_cache .mypy_cache .ruff_cache

$(VENV)/.ready: pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Faultleaf needs Python 3.11 or newer; set PYTHON=python3.x"; exit 1; }
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV) || { echo "No virtual environment could be made; on Debian: apt-get install python3-venv"; exit 1; }
	@echo "Installing Faultleaf and what it needs ..."
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	@touch $@

$(VENV)/.ready-test: $(VENV)/.ready pyproject.toml
	@echo "Installing what the tests need ..."
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[test]'
	@touch $@
