#!/usr/bin/env python3
"""Reads a folder of tag pictures with two readers that are not ours and compares the texts.

    python3 tests/tags_read_back.py FOLDER

FOLDER holds PNG pictures and `expected.tsv`: one line for each, its file name, a tab, its text.
Each picture must give exactly that one text with zxing-cpp and with zbar (by the Python module
pyzbar, or else the command of Debian's zbar-tools).

With --readers it only says which readers are there.

Exit code: 0 all read, 1 a miss, 2 a reader or the list is missing.
"""

import shutil
import subprocess
import sys
from pathlib import Path


def zxing_reader():
    try:
        import zxingcpp
        from PIL import Image
    except ImportError:
        return None

    def read(path):
        with Image.open(path) as picture:
            return [code.text for code in zxingcpp.read_barcodes(picture.convert("L"))]

    return read


def zbar_reader():
    try:
        from PIL import Image
        from pyzbar import pyzbar
    except ImportError:
        return zbar_command()

    def read(path):
        with Image.open(path) as picture:
            return [code.data.decode() for code in pyzbar.decode(picture.convert("L"))]

    return read


def zbar_command():
    if shutil.which("zbarimg") is None:
        return None

    def read(path):
        command = ["zbarimg", "--quiet", "--raw", str(path)]
        result = subprocess.run(command, capture_output=True, text=True, check=False)
        return result.stdout.splitlines()

    return read


def readers():
    """The two readers by name; ends the program if one is missing."""
    found = {"zxing-cpp": zxing_reader(), "zbar": zbar_reader()}
    missing = [name for name, read in found.items() if read is None]
    if missing:
        print(f"missing: {', '.join(missing)}. Install them with:")
        print("    apt-get install zbar-tools && pip install zxing-cpp pillow")
        sys.exit(2)
    return found


def expected(folder):
    """Pairs of file name and text; ends the program if there are none."""
    listing = folder / "expected.tsv"
    if not listing.is_file():
        print(f"{listing} is not there: write one line for each picture, its name, a tab, its text")
        sys.exit(2)
    pairs = [line.split("\t") for line in listing.read_text(encoding="utf-8").splitlines() if line]
    if not pairs or any(len(pair) != 2 for pair in pairs):
        print(f"{listing} must have at least one line, each a file name, a tab and a text")
        sys.exit(2)
    return pairs


def compare(folder):
    found = readers()
    pairs = expected(folder)
    failed = 0
    for name, read in found.items():
        misses = 0
        for file, text in pairs:
            texts = read(folder / file)
            if texts != [text]:
                misses += 1
                print(f"{name}: {file}: expected {text!r}, read {texts!r}")
        print(f"{name}: {len(pairs) - misses} passed, {misses} failed")
        failed += misses
    print(f"{len(pairs) * len(found) - failed} passed, {failed} failed")
    return 1 if failed else 0


def main():
    if len(sys.argv) != 2:
        print(__doc__)
        return 2
    if sys.argv[1] == "--readers":
        print(", ".join(readers()))
        return 0
    return compare(Path(sys.argv[1]))


if __name__ == "__main__":
    sys.exit(main())
