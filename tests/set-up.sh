# Sourced by demo-plant/open.sh and tests/run.sh: brings what a bare Debian lacks, and nothing twice.
# Works as root, or as a user who may use sudo.

least_rust=92 # minor version in Cargo.toml's rust-version

as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi
}

# Installs those of the named packages that are not there yet.
need_packages() {
    command -v apt-get >/dev/null 2>&1 || {
        echo "No apt-get here. Install what these Debian packages hold, then run this again: $*" >&2
        return 0
    }
    missing=
    for package in "$@"; do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing="$missing $package"
    done
    [ -z "$missing" ] && return 0
    echo "Installing:$missing"
    as_root apt-get update -qq
    # shellcheck disable=SC2086 # a list of words
    as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >/dev/null
}

rust_is_new_enough() {
    minor=$(cargo --version 2>/dev/null | sed -n 's/^cargo 1\.\([0-9]*\)\..*/\1/p')
    [ -n "$minor" ] && [ "$minor" -ge "$least_rust" ]
}

# Rust from Debian's own packages where they are new enough, else by Rust's installer.
need_rust() {
    [ -f "$HOME/.cargo/env" ] && . "$HOME/.cargo/env"
    rust_is_new_enough && return 0
    if command -v cargo >/dev/null 2>&1; then
        echo "$(cargo --version) is too old; 1.$least_rust or newer is needed. Update it (with rustup: rustup update), then run this again." >&2
        exit 1
    fi
    need_packages cargo-web rustc-web || true
    rust_is_new_enough && return 0
    need_packages curl ca-certificates
    curl --proto '=https' --tlsv1.2 -sSf https://sh.rustup.rs | sh -s -- -y --profile minimal
    . "$HOME/.cargo/env"
}
