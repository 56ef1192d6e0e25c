#!/bin/sh
# Opens the app on the demo plant; on a bare Debian it first installs what is missing.
set -eu
cd "$(dirname "$0")/.."
. tests/set-up.sh
need_packages gcc libc6-dev ca-certificates libx11-6 libxcursor1 libxi6 libxkbcommon-x11-0 libx11-xcb1 libfontconfig1
# The window asks for files by the desktop's own dialog, or by zenity where there is none.
[ -e /usr/libexec/xdg-desktop-portal ] || need_packages zenity
need_rust
echo "Building; the first time takes some minutes."
exec cargo run --locked --quiet -- demo "$@"
