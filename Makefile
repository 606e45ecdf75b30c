# make run | test | lint | fmt | schema | bench | mutants | lighthouse | pictures | clean     (make help says what each does)
# Each recipe line is one command. What is slow leaves a stamp, and is done again only when its inputs changed.

PYTHON ?= $(shell for name in python3 python3.13 python3.12 python3.11; do \
	"$$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && { echo "$$name"; exit; }; done; echo python3)
PORT ?= 8000
DATA_DIR ?= data
override DATA_DIR := $(abspath $(DATA_DIR))

BIN := .venv/bin
MANAGE := $(BIN)/python backend/manage.py
LOCKS := backend/requirements
DO := $(PYTHON) backend/preflight.py do
PIP := $(BIN)/python -m pip --disable-pip-version-check --no-input install --require-hashes --no-deps
LOCK := $(BIN)/uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --no-annotate --quiet
WEB_SOURCES := $(shell find frontend/src frontend/public frontend/scripts -type f 2>/dev/null) \
	$(wildcard frontend/*.html frontend/*.ts frontend/*.json)

# The wheel's node and npm come first, whatever the machine has.
export PATH := $(CURDIR)/.venv/bin:$(PATH)
export PORT
export DATA_DIR
.DELETE_ON_ERROR:
.PHONY: help run build test lint fmt schema bench mutants lighthouse pictures locks install clean

help: ## list what can be made
	@grep -hE '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 14

run: build ## serve the demo club at http://localhost:8000 (PORT and DATA_DIR can be set)
	@$(PYTHON) backend/preflight.py start
	@$(DO) "Preparing the database" -- $(MANAGE) migrate --no-input
	@$(DO) "Bringing the logs under this version's rules" -- $(MANAGE) lay_anew
	@$(DO) "Preparing the cache" -- $(MANAGE) createcachetable
	@$(MANAGE) seed_demo
	@TICK_SECONDS=60 exec $(BIN)/gunicorn -c backend/gunicorn.conf.py

build: .venv/.base frontend/dist/index.html ## install what running needs and build the web app

test: install ## everything: types, style, science, both databases, API fuzzing, web, browser
	@$(BIN)/python -m tests.run

lint: install ## style and types only
	@$(BIN)/python -m tests.run style types web-types

fmt: install ## bring all code into the house's form
	@$(BIN)/ruff check --fix --quiet . || true
	@$(BIN)/ruff format --quiet .
	@cd frontend && npm run --silent format

schema: install ## write backend/openapi.json and the web app's types from the API as it is
	@$(MANAGE) spectacular --format openapi-json --validate --fail-on-warn --file backend/openapi.json
	@cd frontend && npm run --silent types

bench: install ## print the speed ratios (docs/operating.md says what they mean)
	@$(BIN)/python tests/bench/run.py

mutants: install ## put small faults into the science and say which no test notices (about 20 minutes)
	@$(BIN)/python -m tests.mutants

lighthouse: install tests/lighthouse/node_modules/.ok ## performance, accessibility and best practices of the built app
	@$(BIN)/python -m tests.lighthouse.run

pictures: install ## take the pictures in docs/pictures from the demo club
	@$(BIN)/python -m tests.pictures

install: build .venv/.dev ## what testing and changing the project needs as well

locks: .venv/.dev ## resolve the *.in files again into hash-locked *.txt files
	@cd $(LOCKS) && $(CURDIR)/$(LOCK) base.in --output-file base.txt > /dev/null
	@cd $(LOCKS) && $(CURDIR)/$(LOCK) --constraints base.txt dev.in --output-file dev.txt > /dev/null
	@cd $(LOCKS) && $(CURDIR)/$(LOCK) node.in --output-file node.txt > /dev/null

clean: ## remove everything that can be made again; the data folder stays
	rm -rf .venv frontend/node_modules frontend/dist tests/lighthouse/node_modules .mypy_cache .ruff_cache .pytest_cache

.venv/.made:
	@$(PYTHON) backend/preflight.py python
	@$(DO) "Making the Python environment" -- $(PYTHON) -m venv .venv
	@touch $@

.venv/.base: .venv/.made $(LOCKS)/base.txt $(LOCKS)/node.txt
	@$(DO) "Installing Python packages and Node (about half a minute)" -- $(PIP) -r $(LOCKS)/base.txt -r $(LOCKS)/node.txt
	@touch $@

.venv/.dev: .venv/.base $(LOCKS)/dev.txt
	@$(DO) "Installing the test packages" -- $(PIP) -r $(LOCKS)/dev.txt
	@touch $@

frontend/node_modules/.ok: .venv/.base frontend/package.json frontend/package-lock.json frontend/.npmrc
	@$(DO) "Installing the web app's packages" -- npm --prefix frontend ci --no-progress
	@touch $@

frontend/dist/index.html: frontend/node_modules/.ok $(WEB_SOURCES)
	@$(DO) "Building the web app" -- npm --prefix frontend run --silent build
	@$(DO) "Compressing the web app" -- $(BIN)/python -m whitenoise.compress --quiet frontend/dist
	@touch $@

tests/lighthouse/node_modules/.ok: .venv/.base tests/lighthouse/package.json tests/lighthouse/package-lock.json
	@$(DO) "Installing Lighthouse" -- npm --prefix tests/lighthouse ci --no-progress
	@touch $@
