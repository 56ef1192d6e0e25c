"""Writes the manifest that the Android build would make of the project's, and holds the project to what its README says.

usage: manifest.py ANDROID_FOLDER OUT
"""

import re
import sys
import xml.etree.ElementTree as tree
from pathlib import Path

ANDROID = "{http://schemas.android.com/apk/res/android}"
NEWER = "dataExtractionRules"  # since API 31


def found(pattern, text, what):
    match = re.search(pattern, text, re.MULTILINE)
    assert match, f"no {what}"
    return match[1]


folder, out = Path(sys.argv[1]), Path(sys.argv[2])
gradle = (folder / "app/build.gradle.kts").read_text()
version = found(r'^version = "(\d+\.\d+\.\d+)"', (folder / "../Cargo.toml").read_text(), "version in Cargo.toml")
major, minor, patch = map(int, version.split("."))
code = max(1, major * 10_000 + minor * 100 + patch)
package = found(r'applicationId = "([a-z.]+)"', gradle, "applicationId")
oldest = found(r"oldestSystem = (\d+)", gradle, "oldest system")

tree.register_namespace("android", ANDROID[1:-1])
manifest = tree.parse(folder / "app/src/main/AndroidManifest.xml")
root = manifest.getroot()
root.set("package", package)
root.set(ANDROID + "versionCode", str(code))
root.set(ANDROID + "versionName", version)
systems = tree.Element("uses-sdk", {ANDROID + "minSdkVersion": oldest, ANDROID + "targetSdkVersion": "29"})
root.insert(0, systems)

application = root.find("application")
rules = application.attrib.pop(ANDROID + NEWER).removeprefix("@xml/")
rules = tree.parse(folder / f"app/src/main/res/xml/{rules}.xml").getroot()
everything = {"root", "file", "database", "sharedpref", "external"}
for way in ["cloud-backup", "device-transfer"]:
    left_out = {rule.get("domain") for rule in rules.find(way) if rule.tag == "exclude" and rule.get("path") == "."}
    assert left_out == everything, f"{way} lets something out: {everything - left_out}"
# The library's name is written in three places.
library = application.find(f"activity/meta-data[@{ANDROID}name='android.app.lib_name']").get(ANDROID + "value")
assert library == found(r'\[lib\]\nname = "(\w+)"', (folder / "../Cargo.toml").read_text(), "library")
manifest.write(out, encoding="utf-8", xml_declaration=True)
print(f"{package} {version} ({code}), Android API {oldest} and newer")
