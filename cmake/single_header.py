#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""Writes the whole library as one header: single_header.py SOURCE_FOLDER OUTPUT

Every header of include/headers.cmake, each once, each behind those that it includes. Between two marks stands a header's own
text without its licence line, `#pragma once` and includes; `--check OUTPUT` compares those texts with the tree again.
"""
import pathlib
import re
import sys

MARK = "// ======== {} ========"
OWN = re.compile(r'^#include "(tapewright/[^"]+)"$')
STANDARD = re.compile(r"^#include <([^>]+)>$")


def listed(root):
    text = (root / "include" / "headers.cmake").read_text(encoding="utf-8")
    names = re.findall(r"^ +include/(tapewright/\S+\.hpp)$", text, re.M)
    return [n for n in names if n != "tapewright/tapewright.hpp"]  # nothing but includes


def parts_of(root, name):
    """What a header includes, of ours and of the standard's, and its own text."""
    own, standard, text = [], [], []
    for line in (root / "include" / name).read_text(encoding="utf-8").splitlines():
        if match := OWN.match(line):
            own.append(match[1])
        elif match := STANDARD.match(line):
            standard.append(match[1])
        elif line not in ("#pragma once", "// SPDX-License-Identifier: BSL-1.0"):
            if "#include" in line.split("//")[0]:
                sys.exit(f"{name}: an include that this script does not understand: {line}")
            text.append(line)
    return own, standard, "\n".join(text).strip("\n")


def in_order(root, names):
    done, order = set(), []

    def visit(name, path):
        if name in path:
            sys.exit("a circle of includes: " + " -> ".join([*path, name]))
        if name in done:
            return
        for below in parts_of(root, name)[0]:
            visit(below, [*path, name])
        done.add(name)
        order.append(name)

    for name in names:
        visit(name, [])
    return order


def write(root, output):
    order = in_order(root, listed(root))
    if sorted(order) != sorted(listed(root)):
        sys.exit("a header is included that include/headers.cmake does not list")
    version = re.search(r'^#define TW_VERSION_TEXT "([0-9.]+)"$', (root / "capi" / "tapewright.h").read_text(encoding="utf-8"), re.M)[1]
    standard = sorted({s for name in order for s in parts_of(root, name)[1]})
    lines = ["// SPDX-License-Identifier: BSL-1.0",
             f"// tapewright {version} in one header, made from include/tapewright by cmake/single_header.py: do not edit.",
             "// Compile with -std=c++20 -ffp-contract=off, or the same question has other bits on another processor.",
             "#pragma once", "", *[f"#include <{s}>" for s in standard], ""]
    for name in order:
        lines += [MARK.format(name), "", parts_of(root, name)[2], ""]
    pathlib.Path(output).write_text("\n".join(lines), encoding="utf-8")


def check(root, output):
    pieces = re.split(r"^// ======== (\S+) ========$", pathlib.Path(output).read_text(encoding="utf-8"), flags=re.M)
    found = {name: text.strip("\n") for name, text in zip(pieces[1::2], pieces[2::2])}
    wrong = [n for n in sorted(set(found) | set(listed(root))) if n not in found or n not in listed(root) or found[n] != parts_of(root, n)[2]]
    if wrong:
        sys.exit("not as in the tree: " + " ".join(wrong))


if __name__ == "__main__":
    arguments = [a for a in sys.argv[1:] if a != "--check"]
    (check if "--check" in sys.argv else write)(pathlib.Path(arguments[0]), arguments[1])
