# What the set-up scripts share; sourced, never run by itself.

say() { printf '%s\n' "$*" >&2; }

is_root() { [ "$(id -u)" = 0 ]; }

# May this script install Debian packages without asking anybody?
can_install() { is_root && command -v apt-get >/dev/null 2>&1; }

# Debian's lists may be missing or old, so they are fetched once before the first installation.
lists_fetched=no
install_packages() {
    if [ "$lists_fetched" = no ]; then
        apt-get update -qq >/dev/null 2>&1 || say "Debian's package lists could not be fetched; trying with the old ones."
        lists_fetched=yes
    fi
    say "Installing Debian's $*"
    local told
    # A UTF-8 locale, since a database cluster takes its encoding from the one it is installed in.
    if ! told=$(LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends "$@" 2>&1 </dev/null); then
        say "$told"
        return 1
    fi
}
