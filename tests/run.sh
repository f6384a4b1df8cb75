#!/usr/bin/env bash
# Every check of the project, in one command. Stops at the first red one.
#
# Needs Rust (1.89 or later, with rustfmt and clippy), Python 3.10 or later with venv, a C and a C++ compiler.
# Makes its own virtual environment in .venv and installs the Python tools there.
set -euo pipefail
cd "$(dirname "$0")/.."

step() { printf '\n== %s\n' "$*"; }

step "format and lints (Rust)"
cargo fmt --all --check
cargo clippy --workspace --all-targets --all-features --quiet -- -D warnings

step "tests of the core and of the C border (debug)"
cargo test --workspace --all-features --quiet

step "the core without optional features"
cargo check -p calcore --no-default-features --features std --all-targets --quiet

step "the core without the standard library, without an allocator"
RUSTFLAGS="-D warnings" cargo check -p calcore --no-default-features --quiet --target-dir target/no_std
tests/no_std/run.sh

step "the core in release: the same bits, the published values, 10 000 simulated loops"
cargo test -p calcore --release --all-features --quiet --test bits --test validation --test loop_calibration_simulated

step "documentation of the core"
RUSTDOCFLAGS="-D warnings" cargo doc -p calcore --no-deps --all-features --quiet

step "vectors and results for the other faces"
cargo run --release --quiet -p calcore --example parity_vectors -- target/parity
cargo run --release --quiet -p calcore --example loop_calibration
cargo run --release --quiet -p calcore --example loop_calibration -- --json > target/parity/run_result.json

step "C and C++"
cargo build --release --quiet -p calcore-ffi
tests/c/run.sh target/release

step "Python"
python="${PYTHON:-python3}"
if [ ! -x .venv/bin/python ]; then "$python" -m venv .venv; fi
.venv/bin/python -m pip install --quiet -r tests/requirements.txt
.venv/bin/python -m pip install --quiet ./calcore-py
.venv/bin/ruff format --check calcore-py/python tests notebooks
.venv/bin/ruff check calcore-py/python tests notebooks
.venv/bin/mypy --config-file calcore-py/pyproject.toml calcore-py/python tests/python tests/oracle
.venv/bin/python -m mypy.stubtest calcore
.venv/bin/python -m pytest -q tests/python
.venv/bin/python -m calcore.validation --failed

step "notebooks"
.venv/bin/python -m pytest -q --nbmake notebooks

step "all checks passed"
