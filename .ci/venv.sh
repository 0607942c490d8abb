#!/usr/bin/env bash
# Makes .venv and installs one requirements file into it, only when that file has changed.
#   bash .ci/venv.sh requirements.txt
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/house.sh

wanted=${1:-requirements.txt}
python=${PYTHON:-python3}

if ! command -v "$python" >/dev/null 2>&1; then
    say "Wickmark needs Python 3.11 or later, and no '$python' was found: install it, or name another with PYTHON=..."
    exit 1
fi
if ! "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
    say "Wickmark needs Python 3.11 or later, but '$python' is $("$python" -V 2>&1): name another with PYTHON=..."
    exit 1
fi

# A folder that was moved, or whose Python was removed, holds a .venv that cannot run.
if [ -d .venv ] && ! .venv/bin/python -m pip --version >/dev/null 2>&1; then
    say "The .venv here does not run any more; making it anew."
    rm -rf .venv
fi
if [ ! -d .venv ]; then
    # Debian ships the part that makes environments as a package of its own.
    if ! "$python" -c 'import ensurepip, venv' >/dev/null 2>&1; then
        if can_install; then
            install_packages python3-venv
        else
            say "This Python cannot make virtual environments; install them first: apt-get install python3-venv"
            exit 1
        fi
    fi
    "$python" -m venv .venv
fi

# A stamp holds the digest of what was installed, so a fresh checkout with new file times installs nothing twice.
digest() { cat requirements.txt "$1" | .venv/bin/python -c 'import hashlib, sys; print(hashlib.sha256(sys.stdin.buffer.read()).hexdigest())'; }
stamp() { printf '.venv/installed-%s' "${1//\//-}"; }
if [ "$(cat "$(stamp "$wanted")" 2>/dev/null || true)" != "$(digest "$wanted")" ]; then
    say "Installing the Python packages of $wanted (a minute or so, once)"
    .venv/bin/python -m pip install --quiet --disable-pip-version-check --no-input -r "$wanted"
    digest "$wanted" >"$(stamp "$wanted")"
    # What tests need includes all that runs.
    digest requirements.txt >"$(stamp requirements.txt)"
fi
