"""Reads a package's facts back with aapt and holds them to what the app promises.

usage: read_back.py APK [manifest]
With `manifest`, the package has no library in it yet.
"""

import re
import subprocess
import sys
import zipfile

apk = sys.argv[1]
whole = sys.argv[2:] != ["manifest"]


def aapt(*arguments):
    return subprocess.run(["aapt", *arguments], check=True, capture_output=True, text=True).stdout


badging = aapt("dump", "badging", apk)
permissions = re.findall(r"^uses-permission: name='([^']+)'", badging, re.MULTILINE)
assert permissions == ["android.permission.CAMERA"], permissions
assert "uses-feature-not-required: name='android.hardware.camera'" in badging
assert not re.search(r"^\s*uses-feature: name='android.hardware.camera", badging, re.MULTILINE)
assert "launchable-activity: name='lantern.ring.LanternActivity'" in badging
assert ("native-code: 'arm64-v8a'" in badging) == whole, badging
assert re.search(r"^sdkVersion:'26'", badging, re.MULTILINE)

manifest = aapt("dump", "xmltree", apk, "AndroidManifest.xml")


def number(name):
    """A flag or a choice of the manifest, as a number."""
    found = re.search(rf"android:{name}\([^)]*\)=\(type 0x[0-9a-f]+\)0x([0-9a-f]+)", manifest)
    assert found, f"no {name}"
    return int(found[1], 16)


assert number("allowBackup") == 0
assert number("fullBackupContent") == 0
assert number("launchMode") == 2, "singleTask"
assert number("windowSoftInputMode") & 0xF0 == 0x10, "adjustResize"
# Turned, resized, plugged in or set to dark, the activity stays: a new one would lose what is being entered.
changes = {
    "keyboard": 0x10, "keyboardHidden": 0x20, "orientation": 0x80, "screenLayout": 0x100, "uiMode": 0x200,
    "screenSize": 0x400, "smallestScreenSize": 0x800, "density": 0x1000, "fontScale": 0x40000000,
}
kept = number("configChanges")
assert all(kept & bit for bit in changes.values()), [name for name, bit in changes.items() if not kept & bit]
for word in ["debuggable", "usesCleartextTraffic", "sharedUserId"]:
    assert f"android:{word}" not in manifest, word
endings = set(re.findall(r'android:pathPattern\([^)]*\)="[^"]*\.(\w+)"', manifest))
assert endings == {"lrbundle", "lantern"}, endings
provider = manifest[manifest.index("E: provider"):]
assert re.search(r"android:exported\([^)]*\)=\(type 0x12\)0x0\b", provider), "only whoever is given an address may read"

if whole:
    with zipfile.ZipFile(apk) as package:
        library = package.getinfo("lib/arm64-v8a/liblantern_ring.so")
        assert library.compress_type == zipfile.ZIP_STORED, "used where it lies"
print("as promised:", ", ".join(permissions), "only; nothing backed up; camera not required; singleTask")
