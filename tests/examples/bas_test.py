#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""The module for Excel against the header: every Declare has the name, arguments, order and types of its prototype.

    bas_test.py tapewright.bas tapewright.h functions.json [EXPORTS]

The header is read here, not through functions.json, from which the module was made; functions.json tells only which
functions must be there. EXPORTS: what the DLL exports, a name a line; every Declare must be among them.
Prints what is wrong and "N passed, M failed".
"""
import json
import re
import sys

BY_VALUE = {"double": "Double", "int32_t": "Long", "int64_t": "LongLong", "tw_status": "Long", "const char*": "LongPtr"}
MEMBERS = {"uint32_t": "Long", "int32_t": "Long", "double": "Double"}
# words that Basic keeps for itself
KEPT = set("""and any as base binary boolean byref byte byval call case cdbl cint circle class clng close const csng cstr
currency date declare dim do double each else elseif empty end enum eqv erase error event exit explicit false for friend
function get global gosub goto if imp implements in input integer is len let like line load lock long longlong longptr loop
lset me mid mod name new next not nothing null object on open option optional or paramarray preserve print private property
ptrsafe public put redim rem resume return rset scale seek select set shared single static step stop string sub tab text
then time to true type typeof unload until variant wend while width with write xor""".split()) - {"text"}


def statements(text):
    """Lines of Basic, comments aside, continued ones joined."""
    joined = re.sub(r" _\r?\n\s*", " ", text)
    return [line.strip() for line in joined.splitlines() if line.strip() and not line.strip().startswith("'")]


def prototypes(header):
    """name: (returned type, [(type, name)])"""
    plain = re.sub(r"/\*.*?\*/", " ", header, flags=re.S)
    found = {}
    for returned, name, inside in re.findall(r"TW_API\s+([\w ]+?\*?)\s*(tw_\w+)\(([^)]*)\);", plain):
        arguments = []
        for one in " ".join(inside.split()).split(", "):
            if one != "void":
                arguments.append(re.fullmatch(r"(.+?)\s*(\w+)", one).groups())
        found[name] = returned, arguments
    return found


def as_basic(kind):
    kind = kind.replace(" *", "*")
    if kind == "tw_fault*":
        return "ByRef", "TwFault"
    if kind in BY_VALUE:
        return "ByVal", BY_VALUE[kind]
    pointed = kind.removeprefix("const ").removesuffix("*")
    return ("ByRef", BY_VALUE[pointed]) if kind.endswith("*") and pointed in BY_VALUE else None


class Checks:
    def __init__(self):
        self.passed, self.failed = 0, 0

    def that(self, holds, told):
        self.passed += bool(holds)
        self.failed += not holds
        if not holds:
            print(f"FAILED: {told}")


def main(bas_path, header_path, table_path, exports_path=None):
    check = Checks()
    raw = open(bas_path, encoding="ascii", newline="").read()
    header = open(header_path, encoding="utf-8").read()
    wanted = [one["name"] for one in json.load(open(table_path, encoding="utf-8"))["functions"]
              if one["kind"] in ("scalar", "array")]
    known, lines = prototypes(header), statements(raw)
    check.that(raw.count("\r\n") == raw.count("\n"), "lines end with CR LF")
    check.that(all(len(line) < 1000 for line in raw.splitlines()), "no line is longer than Basic reads")
    runs = re.findall(r"(?:[^\n]* _\r\n)+", raw)
    check.that(all(run.count("\n") <= 24 for run in runs), "no statement goes on over more than 24 lines")

    declares = {}
    for line in lines:
        one = re.fullmatch(r'Private Declare PtrSafe Function (\w+) Lib "tapewright.dll" Alias "(\w+)" ?\(\s*(.*?)\) As (\w+)', line)
        if one:
            own, alias, inside, returned = one.groups()
            check.that(alias not in declares, f"{alias} is declared once")
            check.that(own == "c_" + alias.removeprefix("tw_"), f"{own} is called like {alias}")
            declares[alias] = inside, returned
    declared_lines = sum("tapewright.dll\" Alias" in line for line in lines)
    check.that(declared_lines == len(declares), "every Declare of the library was understood")
    for name in wanted:
        check.that(name in declares, f"{name} is declared")
    for alias, (inside, returned) in declares.items():
        check.that(alias in known, f"{alias} stands in the header")
        if alias not in known:
            continue
        c_returned, c_arguments = known[alias]
        check.that(returned == BY_VALUE.get(c_returned.replace(" *", "*")), f"{alias}: returns {returned}, {c_returned} in C")
        arguments = [one.split() for one in inside.split(", ")] if inside else []
        check.that(len(arguments) == len(c_arguments), f"{alias}: {len(arguments)} arguments, {len(c_arguments)} in C")
        for basic, (kind, name) in zip(arguments, c_arguments):
            check.that(basic == [(as_basic(kind) or ("?", "?"))[0], name, "As", (as_basic(kind) or ("?", "?"))[1]],
                       f"{alias}: {' '.join(basic)}, in C {kind} {name}")
            check.that(name.lower() not in KEPT, f"{alias}: {name} is a word of Basic's own")

    body = re.search(r"typedef struct tw_fault \{(.*?)\} tw_fault;", re.sub(r"/\*.*?\*/", "", header, flags=re.S), re.S)[1]
    members = [(name.strip(), MEMBERS[of]) for of, names in re.findall(r"(\w+)\s+([\w, ]+);", body) for name in names.split(",")]
    basic = re.search(r"Private Type TwFault\r\n(.*?)End Type", raw, re.S)[1]
    check.that([tuple(line.split(" As ")) for line in basic.split("\r\n") if line.strip()]
               == [("  " + name, kind) for name, kind in members], "TwFault is tw_fault, member by member")
    size = sum({"Long": 4, "Double": 8}[kind] for _, kind in members)  # four times four bytes, then doubles: no gap
    check.that(f"Private Const TW_FAULT_BYTES As Long = {size}" in lines, "and its size")
    version = re.search(r"#define TW_ABI_VERSION (\d+)", header)[1]
    check.that(f"Private Const TW_ABI_VERSION As Long = {version}" in lines, "the module knows the interface's number")

    # every cell function starts as an error, calls its own Declare once, and becomes a figure only behind status 0
    for name in wanted:
        cell = "Tw" + "".join(word.capitalize() for word in name.removeprefix("tw_").split("_"))
        body = re.search(rf"Public Function {cell}\(.*?End Function", raw, re.S)
        check.that(body is not None, f"{cell} is there")
        if body is None:
            continue
        inside = statements(body[0])
        own = "c_" + name.removeprefix("tw_")
        calls = [line for line in inside if f"{own}(" in line]
        check.that(len(calls) == 1 and calls[0].endswith("<> 0 Then"), f"{cell} looks at the status of {own}")
        check.that(calls and len(calls[0].split("(", 1)[1].rsplit(")", 1)[0].split(", ")) == len(known[name][1])
                   , f"{cell} passes as many arguments as {own} takes")
        check.that(f"{cell} = CVErr(TW_VALUE)" in inside[:5], f"{cell} starts as an error")
        check.that("On Error GoTo Failed" in inside and "Failed:" in inside, f"{cell} catches what Basic throws")
        given = [line for line in inside if line.startswith(f"{cell} = ") or f"Then {cell} = " in line]
        check.that(all(re.search(r"= (CVErr\(TW_(VALUE|NUM)\)|TwPick\(|told)", line) for line in given), f"{cell} never gives 0 by itself")
        at = [place for place, line in enumerate(inside) if line.startswith(f"{cell} = TwPick(")]
        check.that(len(at) == 1 and calls and at[0] > inside.index(calls[0]), f"{cell} gives its figure after the call")

    if exports_path:
        exports = set(open(exports_path, encoding="utf-8").read().split())
        for alias in declares:
            check.that(alias in exports, f"{alias} is exported, undecorated")
        check.that(set(known) == {one for one in exports if one.startswith("tw_")} , "the DLL exports what the header declares")
        check.that(all(one.startswith("tw_") for one in exports), "and nothing else")
    print(f"{check.passed} passed, {check.failed} failed")
    return 1 if check.failed else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
