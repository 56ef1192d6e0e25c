"""What of Android was there already in the oldest API that the app is for.

The list: android-platform-26.d.ts of the npm package tns-platform-declarations 6.5.15 (Apache-2.0), which was made of
the android.jar of API 26. Its 6 MB stay outside: LIST has the rows of the members that the app names, copied from it by
`api.py CLASSES_FOLDER android-platform-26.d.ts`. It knows one kind of number only: which of Java's is meant is held to
the newer list, in api.py.
"""

import re
from functools import cache
from pathlib import Path

LIST = Path(__file__).with_name("api-26.tsv")
NUMBERS = {"byte", "short", "int", "long", "float", "double"}
STRINGS = {"char", "String", "CharSequence"}


def member(name, parameters):
    """A member as in LIST: a field's name, or a method's with its parameters' simple types."""
    if parameters is None:
        return name
    name = "constructor" if name == "<init>" else name
    return f"{name}({','.join(generic(one) for one in parameters)})"


def generic(java):
    """A Java type's simple name, as coarse as the list."""
    bare = java.removesuffix("[]")
    if bare in NUMBERS:
        bare = "number"
    elif bare in STRINGS:
        bare = "string"
    elif bare == "Object":
        bare = "any"
    return bare + "[]" * java.endswith("[]")


def declared(lines):
    """Every class of a declarations file with each of its members, and what it extends."""
    around = []
    for line in lines:
        line = line.strip()
        opened = re.match(r"(?:declare|export) (?:abstract )?(module|class|interface) ([\w.]+)", line)
        if opened and line.endswith("{"):
            around.append(opened[2])
            above = re.search(r" extends ([\w.]+)", line)
            if opened[1] != "module" and above:
                yield ".".join(around), "extends " + above[1]
        elif line.endswith("{"):
            # A method's own braces, within a class: its name stands elsewhere as well.
            around.append("")
        elif line.startswith("}"):
            around.pop()
        elif "" not in around:
            yield from declared_member(".".join(around), line)


def declared_member(owner, line):
    method = re.match(r"public (?:static |abstract )*(\w+)\((.*)\)(?:: .*)?;", line)
    field = re.match(r"public (?:static )?(\w+): ", line)
    if method:
        types = re.findall(r"\w+: (?:(native\.Array)<)?([\w.]+)", method[2])
        simple = [one.split(".")[-1] + "[]" * bool(array) for array, one in types]
        yield owner, f"{method[1]}({','.join(simple)})"
    elif field:
        yield owner, field[1]


def write(declarations, wanted):
    """Copies to LIST what there is of the wanted members, by class and name, and of the classes above theirs."""
    names = {"constructor" if name == "<init>" else name for _, name in wanted}
    rows = {(owner, what) for owner, what in declared(declarations.read_text().splitlines())
            if what.startswith("extends ") or what.split("(")[0] in names}
    above = dict((owner, what.removeprefix("extends ")) for owner, what in rows if what.startswith("extends "))
    needed = set()
    for owner, _ in wanted:
        while owner in above and owner not in needed:
            needed.add(owner)
            owner = above[owner]
    LIST.write_text("".join(f"{owner}\t{what}\n" for owner, what in sorted(rows) if owner in needed))


@cache
def kept():
    rows = {}
    for line in LIST.read_text().splitlines():
        owner, what = line.split("\t")
        rows.setdefault(owner, set()).add(what)
    return rows


def has(owner, name, parameters):
    """Whether the class, or one above it, has the member: a method with these parameters, a field where they are none."""
    wanted = member(name, parameters)
    while owner in kept():
        if wanted in kept()[owner]:
            return True
        owner = next((what.split()[1] for what in kept()[owner] if what.startswith("extends ")), None)
    return False
