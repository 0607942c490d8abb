#!/usr/bin/env bash
# Starts `make demo` as a person would, on a free port and in a folder of its own, until the sign-in
# page answers; then stops it as Ctrl-C would, and sees that it stops cleanly.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/house.sh

bash .ci/venv.sh requirements.txt
python=.venv/bin/python
PORT=$("$python" -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
WICKMARK_HOME=$(mktemp -d)
export PORT WICKMARK_HOME
unset DATABASE_URL WICKMARK_MODE

# A session of its own, so that one signal reaches make and what it started, as from a terminal.
setsid make demo >"$WICKMARK_HOME/printed" 2>&1 </dev/null &
demo=$!
finish() {
    kill -TERM -- "-$demo" 2>/dev/null || true
    wait "$demo" 2>/dev/null || true
    rm -rf "$WICKMARK_HOME"
}
trap finish EXIT

answers() {
    "$python" - "http://127.0.0.1:$PORT/" <<'PYTHON'
import sys
import urllib.request

try:
    with urllib.request.urlopen(sys.argv[1], timeout=5) as answer:
        page = answer.read().decode()
except OSError:
    sys.exit(1)
sys.exit(0 if answer.status == 200 and "<form" in page else 1)
PYTHON
}

for _ in $(seq 300); do
    if answers; then
        cat "$WICKMARK_HOME/printed"
        # The demo must say where it is; its sign-ins are checked by a test of load_demo.
        grep -q "127.0.0.1:$PORT" "$WICKMARK_HOME/printed"
        kill -INT -- "-$demo"
        for _ in $(seq 30); do
            if ! answers && ! kill -0 "$demo" 2>/dev/null; then exit 0; fi
            sleep 1
        done
        say "The demo did not stop within 30 seconds of being asked to."
        exit 1
    fi
    if ! kill -0 "$demo" 2>/dev/null; then break; fi
    sleep 1
done
cat "$WICKMARK_HOME/printed" >&2
say "The demo's sign-in page did not answer."
exit 1
