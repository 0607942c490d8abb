#!/usr/bin/env bash
# Runs the whole suite on the database that DATABASE_URL names (SQLite if none); further arguments go to pytest.
set -uo pipefail
cd "$(dirname "$0")/.."

# A data folder of its own, so that tests never meet the demo's data or another run's.
WICKMARK_HOME=$(mktemp -d)
export WICKMARK_HOME
trap 'rm -rf "$WICKMARK_HOME"' EXIT
unset WICKMARK_MODE

run() { .venv/bin/python -m pytest -q --durations=5 "$@"; }

# Pytest says 5 when it ran nothing: a failure of the whole suite, but none of a narrower choice.
passed() { [ "$1" = 0 ] || { [ "$1" = 5 ] && [ "$narrowed" = yes ]; }; }
narrowed=no
if [ $# -gt 0 ]; then narrowed=yes; fi

failed=0
run -n 2 -m "not browser" "$@"
passed $? || failed=1
# By itself and last: two browsers at once on two cores miss their time limits.
run -m browser "$@"
passed $? || failed=1
exit "$failed"
