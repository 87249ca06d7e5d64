# Everything runs from .venv at the root of the project; nothing else has to be installed by hand.

JOBS ?= 2
bin := .venv/bin
export PYTHON

.PHONY: help demo check test lint bench differential mutants fuzz docs dist clean core dev packages

help:
	@echo "make demo    installs the tool into .venv and answers an example job"
	@echo "make check   style, types, imports, quick tests"
	@echo "make test    the same with every test, also those that need a program from outside Python"
	@echo "make bench   speed against its limits"
	@echo "make differential   2,000 random jobs against an independent slow path"
	@echo "make mutants        how many of 500 small changes of the code the tests notice"
	@echo "make fuzz           damaged files for every reader, for FUZZ_SECONDS (600)"
	@echo "make docs           the pages about the tool, in build/docs"
	@echo "make dist           wheel and source archive, tried in an empty environment"
	@echo "make clean   removes .venv and everything that was made"

core:
	@scripts/make-venv.sh core

dev:
	@scripts/make-venv.sh dev

packages:
	@scripts/install-packages.sh

demo: core
	$(bin)/turnwright select examples/gatehouse.toml

lint: dev
	$(bin)/ruff check .
	$(bin)/ruff format --check .
	$(bin)/mypy
	$(bin)/lint-imports
	$(bin)/python scripts/readme_examples.py --check

check: lint
	$(bin)/pytest -m "not system" -n $(JOBS) --doctest-modules tests src

test: packages lint
	$(bin)/pytest -n $(JOBS) --doctest-modules tests src

differential: dev
	$(bin)/python -m differential --jobs 2000

mutants: dev
	$(bin)/python -m pip install --quiet --disable-pip-version-check 'cosmic-ray>=8.4' 'coverage>=7.6'
	$(bin)/python -m mutants --workers $(JOBS)

# Without atheris, which not every system has, the changes are random.
fuzz: dev
	@scripts/make-venv.sh fuzz || echo "fuzz: without atheris"
	$(bin)/python -m fuzz

docs: dev
	@scripts/make-venv.sh docs
	$(bin)/python -m docs

dist: dev
	@scripts/make-venv.sh release
	$(bin)/python scripts/try_dist.py

bench: dev
	@scripts/make-venv.sh bench
	$(bin)/python benchmarks/bench_select.py
	$(bin)/python benchmarks/bench_circuit.py
	$(bin)/python benchmarks/bench_sweep.py
	$(bin)/python benchmarks/bench_thermal.py
	$(bin)/python benchmarks/bench_papers.py
	$(bin)/python benchmarks/bench_stock.py
	$(bin)/python benchmarks/bench_store.py

clean:
	rm -rf .venv build dist out .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache .benchmarks
	find src tests benchmarks differential mutants fuzz docs -name __pycache__ -type d -prune -exec rm -rf {} +
