#!/usr/bin/env bash
# Removes what the demo keeps in WICKMARK_HOME, by name, and nothing else that may lie there.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/house.sh

if [ -n "${DATABASE_URL:-}" ]; then
    say "DATABASE_URL is set, and this only forgets a demo kept in a folder: drop and create that database by hand."
    exit 1
fi
home=${WICKMARK_HOME:?names the folder of the demo}
rm -rf -- "$home"/db.sqlite3 "$home"/db.sqlite3-wal "$home"/db.sqlite3-shm "$home"/files "$home"/static
