# The commands of Hood Ledger. `make demo` and `make test` need Python 3.11 or later, make and git, nothing else.

PYTHON ?= $(shell command -v python3.11 || command -v python3)
PORT ?= 8000
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt
MANAGE := $(BIN)/python manage.py
# How the tests run: in two processes, a file of tests whole in one of them.
PYTEST_ARGS ?= --quiet --numprocesses=2 --dist=loadfile

# A key that stays on this machine
key = $$(test -s var/$(1).key || $(BIN)/python -c "import secrets; print(secrets.token_urlsafe(60))" > var/$(1).key; cat var/$(1).key)

# The demo: an invented institute in a file of its own, never another database
demo demo-fresh: export HOOD_LEDGER_DEMO = 1
demo demo-fresh: export HOOD_LEDGER_DATABASE = var/demo.sqlite3
demo demo-fresh: export DATABASE_URL =
demo demo-fresh: export HOOD_LEDGER_DEBUG =
demo demo-fresh: export SITE_URL = http://127.0.0.1:$(PORT)

.PHONY: demo demo-fresh run test check bench mutants test-postgres constraints clean

demo: $(VENV)/run-time ## load the demo, print its label, certificate and sign, and serve it
	@mkdir -p var out
	@echo "Making the database var/demo.sqlite3 ..."
	@$(MANAGE) migrate --verbosity=0 && $(MANAGE) createcachetable --verbosity=0
	@echo "Gathering style sheets and scripts ..."
	@$(MANAGE) collectstatic --no-input --verbosity=0
	@echo "Loading the demo, if it is not there, and writing its prints into out/ ..."
	@export HOOD_LEDGER_SECRET_KEY=$(call key,demo) && $(MANAGE) demo --out out
	@echo "Serving http://127.0.0.1:$(PORT) (stop with Ctrl-C)"
	@export HOOD_LEDGER_SECRET_KEY=$(call key,demo) && \
	  exec $(BIN)/gunicorn --workers 2 --bind 127.0.0.1:$(PORT) --log-level warning config.wsgi

demo-fresh: ## throw the demo away and start it anew
	@rm -f var/demo.sqlite3 var/demo.sqlite3-wal var/demo.sqlite3-shm
	@rm -rf out
	@$(MAKE) --no-print-directory demo

run: export HOOD_LEDGER_DEBUG = 1
run: export SITE_URL = http://127.0.0.1:$(PORT)
run: $(VENV)/run-time ## serve var/ledger.sqlite3 (or DATABASE_URL) for a developer, reloading on change
	@mkdir -p var
	@$(MANAGE) migrate --verbosity=0 && $(MANAGE) createcachetable --verbosity=0
	@export HOOD_LEDGER_SECRET_KEY=$(call key,run) && $(MANAGE) runserver 127.0.0.1:$(PORT)

test: $(VENV)/dev ## every test; those in a browser where a Chromium is found
	@$(BIN)/python -m pytest $(PYTEST_ARGS)

test-postgres: $(VENV)/dev ## the tests without a browser, on a PostgreSQL server of their own
	@tests/postgres.sh $(BIN)/python -m pytest $(PYTEST_ARGS) -m "not browser"

check: $(VENV)/dev ## everything that can be said without running the program
	@mkdir -p var
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/djlint --lint --quiet templates
	$(BIN)/python -m pytest --quiet tests/test_architecture.py tests/test_conventions.py tests/test_page_conventions.py
	$(MANAGE) check
	@echo "check --deploy, set up as for serving"
	@HOOD_LEDGER_SECRET_KEY=$$($(BIN)/python -c "import secrets; print(secrets.token_urlsafe(60))") \
	  SITE_URL=https://hoods.skua.example HOOD_LEDGER_DEMO= HOOD_LEDGER_DEBUG= $(MANAGE) check --deploy --fail-level WARNING
	$(MANAGE) makemigrations --check --dry-run

bench: $(VENV)/dev ## how fast, as ratios in one run; HOODS=5000 YEARS=10 loads a whole campus by its command, too
	@HOODS=$(HOODS) YEARS=$(YEARS) $(BIN)/python -m pytest --quiet -s -o python_files='bench_*.py' -o python_functions='bench_*' --timeout=900 tests/bench

mutants: $(VENV)/dev ## change the rules of judging one place at a time: does a test notice? ONLY='surveys.core.due*' tries some again
	@nice -n 15 $(BIN)/python tests/mutants/run.py $(ONLY)

constraints: ## resolve the versions anew (needs uv)
	@command -v uv > /dev/null || { echo "uv resolves for every system at once: pip install uv"; exit 1; }
	uv pip compile --quiet --universal --all-extras --no-annotate --no-header pyproject.toml --output-file constraints.new
	grep -v '^-e\|^hood-ledger' constraints.new > constraints.txt && rm constraints.new

clean: ## remove what was made, except databases
	rm -rf $(VENV) staticfiles out build *.egg-info .mypy_cache .ruff_cache .pytest_cache

$(VENV)/python:
	@echo "Making a Python environment in $(VENV) ..."
	@$(PYTHON) -m venv $(VENV)
	@touch $@

$(VENV)/run-time: pyproject.toml constraints.txt | $(VENV)/python
	@echo "Installing the run-time packages ..."
	@$(PIP) --editable .
	@touch $@

$(VENV)/dev: pyproject.toml constraints.txt | $(VENV)/python
	@echo "Installing the run-time packages and the tools of the tests ..."
	@$(PIP) --editable '.[dev]'
	@touch $@ $(VENV)/run-time
