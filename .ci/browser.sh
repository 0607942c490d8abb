#!/usr/bin/env bash
# Chromium for the tests in a real browser, and poppler's tools to read PDFs back.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/house.sh

wanted=""
if ! command -v chromium >/dev/null 2>&1 && [ ! -x "${WICKMARK_CHROMIUM:-/usr/bin/chromium}" ]; then wanted="chromium"; fi
if ! command -v pdftotext >/dev/null 2>&1; then wanted="$wanted poppler-utils"; fi
# Playwright ships its own program, which needs this one library of the system.
if ! .venv/bin/python -c 'import ctypes; ctypes.CDLL("libatomic.so.1")' 2>/dev/null && [ "$(uname)" = Linux ]; then
    wanted="$wanted libatomic1"
fi
if [ -z "$wanted" ]; then exit 0; fi
if ! can_install; then
    say "The tests need Chromium and poppler's tools; install them first: apt-get install --no-install-recommends $wanted"
    exit 1
fi
# shellcheck disable=SC2086  # the list is meant to be split
install_packages $wanted
