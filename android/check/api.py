"""Holds what the app's Java classes use of Android to the published API.

Every method and field of Android's that the compiled classes name must be one of the real class or of one above it, with
the same types; every method of ours that overrides one must too; every constant the stand-ins have must be there by name.
So what javac accepted against the stand-ins it accepts against the real classes.

Two published lists: the PyPI package chaquopy-stubs-android, made of the android.jar of API 36, which knows every type;
and, for what was there in the oldest API the app is for, api-26.tsv (oldest.py says whence).

usage: api.py CLASSES_FOLDER [android-platform-26.d.ts, to write api-26.tsv anew]
"""

import ast
import importlib.metadata
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import oldest

PRIMITIVE = {"Z": "boolean", "B": "byte", "C": "char", "S": "short", "I": "int", "J": "long", "F": "float", "D": "double", "V": "void"}
# As the stubs write what Java calls otherwise. A Python int stands for several of Java's: the second name says which.
PYTHON = {"jint": "int", "jlong": "long", "jboolean": "boolean", "jfloat": "float", "jdouble": "double", "jshort": "short",
          "jbyte": "byte", "jchar": "char"}
RETURNED = {"int": {"int", "long", "short", "byte"}, "float": {"float", "double"}, "bool": {"boolean"}, "String": {"String", "char"}}
STUBS = {str(file): Path(file.locate()) for file in importlib.metadata.files("chaquopy-stubs-android")}


@cache
def package(name):
    path = "/".join(["android-stubs", *name.split(".")[1:], "__init__.pyi"])
    return ast.parse(STUBS[path].read_text())


@cache
def stub(name):
    """The class of this full name, `$` before nested ones."""
    where, *nested = re.split(r"\.(?=[A-Z])|\$", name)
    body = package(where).body
    for part in nested:
        found = [node for node in body if isinstance(node, ast.ClassDef) and node.name == part]
        assert found, f"no class {name} in the published API"
        body = found[0].body
    return found[0]


def lineage(name):
    """The class and all above it, as far as they are Android's."""
    node = stub(name)
    yield node
    for base in node.bases:
        base = ast.unparse(base).split("[")[0]
        if "." not in base:
            base = re.split(r"\.(?=[A-Z])", name)[0] + "." + base
        if base.startswith("android."):
            head, *nested = re.split(r"\.(?=[A-Z])", base)
            yield from lineage(head + "." + "$".join(nested))


def simple(annotation):
    """A parameter's type as Java's simple name."""
    text = ast.unparse(annotation)
    array = re.fullmatch(r"java\.chaquopy\.JavaArray\[(.+)\]", text)
    if array:
        return array[1].split(".")[-1] + "[]"
    if text == "java.chaquopy.JavaArrayJInt":
        return "int[]"
    parts = [part.strip() for part in text.split("|") if part.strip() != "None"]
    if not parts:
        return "void"
    primitive = re.fullmatch(r"java\.(j\w+)", parts[1]) if len(parts) > 1 else None
    if primitive:
        return PYTHON[primitive[1]]
    return {"str": "String"}.get(parts[0], parts[0].split("[")[0].split(".")[-1])


def types(descriptor):
    """A JVM descriptor's types as simple names."""
    names = []
    for array, primitive, full in re.findall(r"(\[*)(?:([ZBCSIJFDV])|L([^;]+);)", descriptor):
        name = PRIMITIVE[primitive] if primitive else re.split(r"[/$]", full)[-1]
        names.append(name + "[]" * len(array))
    return names


def has_method(owner, name, descriptor):
    parameters, returned = descriptor[1:].split(")")
    parameters, (returned,) = types(parameters), types(returned)
    python = "__init__" if name == "<init>" else name
    for node in lineage(owner):
        for own in node.body:
            if not isinstance(own, ast.FunctionDef) or own.name != python:
                continue
            arguments = [*own.args.posonlyargs, *own.args.args]
            static = any("staticmethod" in ast.unparse(mark) for mark in own.decorator_list)
            if [simple(one.annotation) for one in arguments[0 if static else 1:]] != parameters:
                continue
            gives = simple(own.returns)
            if returned in RETURNED.get(gives, {gives}):
                return True
    return False


def has_field(owner, name):
    fields = (own for node in lineage(owner) for own in node.body if isinstance(own, ast.AnnAssign))
    return any(own.target.id == name for own in fields)


@cache
def javap(*arguments):
    return subprocess.run(["javap", *arguments], check=True, capture_output=True, text=True).stdout


folder = Path(sys.argv[1])
ours = sorted(str(path) for path in (folder / "lantern").rglob("*.class") if not re.match(r"R(\$|\.)", path.name))
stand_ins = sorted(str(path) for path in (folder / "android").rglob("*.class"))
# Of each member used: the class it is named of, its name, and a method's descriptor.
used = []
for path in ours:
    text = javap("-v", "-p", path)
    own, parent = re.search(r"^\S.*class ([\w.$]+)(?:.* extends ([\w.$]+))?", text, re.MULTILINE).groups()
    for kind, owner, name, type_ in re.findall(r"= (Methodref|InterfaceMethodref|Fieldref) .*// +([\w/$]+)\.\"?([\w<>$]+)\"?:(\S+)", text):
        owner = owner.replace("/", ".")
        if owner == "lantern.ring.LanternActivity":
            # Named through our class, but not ours: it is one of those above it.
            if re.search(rf"^  .*\b{re.escape(name)}\(", javap("-p", path), re.MULTILINE) or kind == "Fieldref" or name == "<init>":
                continue
            owner = "android.app.NativeActivity"
        if not owner.startswith("android."):
            continue
        used.append((owner, name, None if kind == "Fieldref" else type_))
    # What overrides must have something to override.
    if parent and parent.startswith("android."):
        mine = re.findall(r"^  (?:public|protected) (?!static)[^\n(]*?([\w$]+)\([^\n]*\n    descriptor: (\S+)", text, re.MULTILINE)
        source = next(Path("android/app/src/main/java").rglob(own.split(".")[-1] + ".java")).read_text()
        overrides = set(re.findall(r"@Override\s+(?:public|protected) [\w\[\]]+ (\w+)\(", source))
        assert overrides <= {name for name, _ in mine}, overrides
        for name, descriptor in mine:
            if name in overrides:
                used.append((parent, name, descriptor))

for text in javap("-constants", *stand_ins).split("Compiled from")[1:]:
    owner = re.search(r"(?:class|interface) ([\w.$]+)", text)[1]
    for name in re.findall(r"public static final \S+ (\w+) =", text):
        used.append((owner, name, None))


def is_new(owner, name, descriptor):
    return has_field(owner, name) if descriptor is None else has_method(owner, name, descriptor)


def is_old(owner, name, descriptor):
    return oldest.has(owner.replace("$", "."), name, None if descriptor is None else types(descriptor[1:].split(")")[0]))


if len(sys.argv) > 2:
    oldest.write(Path(sys.argv[2]), [(owner.replace("$", "."), name) for owner, name, _ in used])
failed = False
for api, there in [("36", is_new), ("26", is_old)]:
    missing = [one for one in used if not there(*one)]
    print(f"{len(used)} members of Android's, {len(missing)} not in its published API {api}")
    for owner, name, descriptor in missing:
        print(f"  not there: {owner}.{name}{descriptor or ''}")
    failed = failed or bool(missing)
# Fewer means that the reading of the classes went wrong.
sys.exit(failed or len(used) < 60)
