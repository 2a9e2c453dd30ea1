# make demo    sets everything up and opens the demo shop
# make test    sets everything up, checks everything
.PHONY: demo demo-fresh test bench wheel clean-demo
.DEFAULT_GOAL := demo
PY := .venv/bin/python
PORT ?= 8000

.venv/.ready-run: pyproject.toml constraints.txt tools/make-venv
	@sh tools/make-venv
	@$(PY) -m pip install --disable-pip-version-check -q -c constraints.txt -e .
	@touch $@

.venv/.ready-test: .venv/.ready-run
	@$(PY) -m pip install --disable-pip-version-check -q -c constraints.txt -e '.[dev]'
	@touch $@

demo: .venv/.ready-run
	@$(PY) -m witnessmark demo --folder demo-shop --port $(PORT)

demo-fresh: .venv/.ready-run
	@$(PY) -m witnessmark demo --folder demo-shop --port $(PORT) --fresh

test: .venv/.ready-test
	@sh tools/need chromium ngspice pdftotext
	$(PY) -m ruff check .
	$(PY) -m ruff format --check .
	$(PY) -m mypy
	.venv/bin/lint-imports
	OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 $(PY) -m pytest -q -n 2 --dist loadgroup

bench: .venv/.ready-test
	@sh tools/need ngspice
	@$(PY) -m benchmarks $(ONLY)

wheel: .venv/.ready-test
	@rm -rf build
	@$(PY) -m pip wheel --disable-pip-version-check -q --no-deps -w dist .
	@ls dist
