# Two commands do all their set-up: `make demo` and `make test`.
PYTHON ?= $(shell command -v python3.11 || command -v python3)
SERVE ?= 1
BIN := .venv/bin

.PHONY: demo test lint types contracts tests long bench mutants matchday report screens schemas messages licences clean

demo: .venv/installed
	$(BIN)/setpiece demo build/demo --fresh $(if $(filter 0,$(SERVE)),--no-serve)

test: lint types contracts tests

lint: .venv/developed
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: .venv/developed
	$(BIN)/mypy

contracts: .venv/developed
	$(BIN)/lint-imports

tests: .venv/developed
	$(BIN)/pytest -n 2 --dist loadfile -m "not slow"

long: .venv/developed
	$(BIN)/pytest -m slow

bench: .venv/developed
	$(BIN)/python -m benchmarks

matchday: .venv/developed
	$(BIN)/python -m benchmarks.matchday

mutants: .venv/developed build/mutants/lib
	PYTHONPATH=build/mutants/lib nice -n 15 $(BIN)/python tools/mutants.py

report: .venv/developed
	$(BIN)/python tools/report.py

screens: .venv/developed
	$(BIN)/python tools/screenshots.py

schemas: .venv/developed
	$(BIN)/python tools/schemas.py

messages: .venv/developed
	$(BIN)/python tools/messages.py

licences: .venv/developed
	$(BIN)/python tools/licences.py

.venv/bin/python:
	$(PYTHON) -m venv .venv

.venv/installed: .venv/bin/python pyproject.toml
	$(BIN)/pip install --quiet --editable .
	touch $@

.venv/developed: .venv/bin/python pyproject.toml
	$(BIN)/pip install --quiet --editable '.[dev]'
	touch .venv/installed $@

build/mutants/lib: .venv/developed
	$(BIN)/pip install --quiet --no-deps --target $@ 'mutmut>=3.8,<3.9' 'libcst>=1.9,<2'

clean:
	rm -rf build .venv
