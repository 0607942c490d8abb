#!/usr/bin/env bash
# Are the native libraries there that turn pages into PDF? Installs them where it may; elsewhere
# says in one sentence what is missing and goes on, since all but the PDFs works without them.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/house.sh

packages="libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core"

missing() {
    .venv/bin/python - <<'PYTHON'
import ctypes
import ctypes.util
from pathlib import Path

LIBRARIES = {
    "gobject-2.0": "libgobject-2.0.so.0",
    "pango-1.0": "libpango-1.0.so.0",
    "harfbuzz": "libharfbuzz.so.0",
    "fontconfig": "libfontconfig.so.1",
    "pangoft2-1.0": "libpangoft2-1.0.so.0",
    "harfbuzz-subset": "libharfbuzz-subset.so.0",
}


def loads(name: str, file: str) -> bool:
    for candidate in (file, ctypes.util.find_library(name)):
        try:
            if candidate:
                ctypes.CDLL(candidate)
                return True
        except OSError:
            continue
    return False


FONT_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "/Library/Fonts", "~/.local/share/fonts", "~/.fonts")
fonts = (
    font
    for folder in FONT_FOLDERS
    for kind in ("*.ttf", "*.otf", "*.ttc")
    for font in Path(folder).expanduser().rglob(kind)
)
lacking = [file for name, file in LIBRARIES.items() if not loads(name, file)]
if next(fonts, None) is None:
    lacking.append("a font")
print(", ".join(lacking))
PYTHON
}

lacking=$(missing)
if [ -z "$lacking" ]; then exit 0; fi
if can_install; then
    # shellcheck disable=SC2086  # the list is meant to be split
    install_packages $packages || true
    lacking=$(missing)
fi
if [ -n "$lacking" ]; then
    say "PDFs cannot be made yet, all else works; missing: $lacking. On Debian: apt-get install --no-install-recommends $packages"
fi
