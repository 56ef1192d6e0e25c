#!/bin/sh
# Passes all tests; on a bare Debian it first installs what is missing.
# The outside readers (zbar, zxing-cpp, unzip, poppler) check our tags, bundles and sheets; the camera's code is off by
# default and tested here.
set -eu
cd "$(dirname "$0")/.."
. tests/set-up.sh
need_packages gcc libc6-dev ca-certificates python3 python3-venv zbar-tools unzip poppler-utils
need_rust
readers=${CARGO_TARGET_DIR:-target}/readers
if ! [ -x "$readers/bin/python3" ]; then
    python3 -m venv "$readers"
fi
"$readers/bin/python3" -c 'import zxingcpp, PIL' 2>/dev/null ||
    "$readers/bin/python3" -m pip install --quiet zxing-cpp==3.1.1 pillow numpy
readers=$(cd "$readers" && pwd)
# An outside reader that is missing here is a fault, not a test to skip.
export LANTERN_RING_OUTSIDE_READERS=required
PATH="$readers/bin:$PATH" exec cargo test --locked --features desktop-camera "$@"
