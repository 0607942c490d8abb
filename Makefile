# Wickmark: each target says what it does; `make` or `make help` lists them.

.DEFAULT_GOAL := help
.PHONY: help setup setup-tools setup-tests demo demo-data demo-reset migrate test test-postgres lint format screenshots bench

PORT ?= 8000
export PORT

# A folder beside the one of a real room, so that starting the demo over can never cost a real reading.
demo demo-data demo-reset: export WICKMARK_HOME ?= $(CURDIR)/.wickmark/demo
demo demo-data demo-reset: export WICKMARK_MODE = demo

python := .venv/bin/python

help: ## List the targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-14s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup: ## Make .venv, install what runs, check the PDF libraries
	@bash .ci/venv.sh requirements.txt
	@bash .ci/native.sh

setup-tools: ## Make .venv, install what runs and the tools for tests and checks
	@bash .ci/venv.sh tests/requirements.txt

setup-tests: setup-tools ## As setup-tools, and the PDF libraries and Chromium
	@bash .ci/native.sh
	@bash .ci/browser.sh

demo: demo-data ## Serve the invented college on 127.0.0.1:8000 (PORT=8080 changes it)
	@exec $(python) manage.py serve

demo-data: setup ## Prepare the demo's data without serving it
	@$(python) manage.py migrate --verbosity 0
	@$(python) manage.py collectstatic --noinput --verbosity 0
	@$(python) manage.py load_demo

demo-reset: ## Throw the demo's data away and load it anew
	@bash .ci/forget_demo.sh
	@$(MAKE) --no-print-directory demo-data

test: setup-tests ## All tests on SQLite, the real browser's last
	@env -u DATABASE_URL bash .ci/tests.sh

test-postgres: setup-tests ## All tests on PostgreSQL (DATABASE_URL=, or a local server is started)
	@url=$$(bash .ci/postgres.sh) && DATABASE_URL="$$url" bash .ci/tests.sh

lint: setup-tools ## Ruff, mypy and the import contracts
	@failed=0; \
	for check in "-m ruff check ." "-m ruff format --check ." "-m mypy" ".venv/bin/lint-imports"; do \
	  echo "-- $$check"; $(python) $$check || failed=1; \
	done; exit $$failed

format: setup-tools ## Format the source, and mend what ruff can mend
	@$(python) -m ruff check --fix-only .
	@$(python) -m ruff format .

screenshots: setup-tests ## Make the README's pictures from the demo
	@$(python) -m tests.screenshots

bench: setup-tools ## Measure answering times with a class at once
	@$(python) -m tests.bench
