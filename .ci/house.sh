# What the set-up scripts share; sourced, never run by itself.

say() { printf '%s\n' "$*" >&2; }

is_root() { [ "$(id -u)" = 0 ]; }

# May this script install Debian packages without asking anybody?
can_install() { is_root && command -v apt-get >/dev/null 2>&1; }

# Debian's lists may be missing or old, so they are fetched once before the first installation.
lists_fetched=no
install_packages() {
    if [ "$lists_fetched" = no ]; then
        apt-get update -qq || say "Debian's package lists could not be fetched; trying with the old ones."
        lists_fetched=yes
    fi
    say "Installing $*"
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@" </dev/null >&2
}
