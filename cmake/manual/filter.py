#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""What Doxygen reads of a file: filter.py FILE. Our comments keep their plain form in the sources.

A header of ours has its inner namespaces left out. In tapewright.h a comment above declarations is that of each of them down
to the next blank line, and one behind a declaration is that of this one alone.
"""
import re
import sys


def of_header(text):
    text = re.sub(r"^namespace detail \{", "/** @cond */ namespace detail {", text, flags=re.M)
    # two operators that differ only in aliases of one template cannot be told apart by Doxygen
    text = re.sub(r"^(constexpr \w+ operator[*/]\(.*\{.*\})$", r"/** @cond */ \1 /** @endcond */", text, flags=re.M)
    return re.sub(r"^\}  // namespace detail", "} /** @endcond */", text, flags=re.M)


def documented(piece):
    above = re.match(r"/\*(?! ----)(.*?)\*/\n", piece, re.S)
    said = re.sub(r"\n \* ?", "\n", above[1]).strip() if above else ""
    said = said.replace("<", "&lt;").replace("@", "@@")
    rest = piece[above.end():] if above else piece
    rest = re.sub(r"(\S) */\* ?", r"\1 /**< ", rest)  # behind a declaration
    if said and "TW_API" in rest:
        return re.sub(r"^TW_API", lambda m: f"/** {said} */\nTW_API", rest, flags=re.M)
    return f"/** {said} */\n" + rest if said else rest


def of_c_header(text):
    blocks = re.split(r"\n\s*\n", text)
    return "\n\n".join("".join(documented(p) for p in re.split(r"(?m)(?=^/\* )", block)) for block in blocks)


path = sys.argv[1]
content = open(path, encoding="utf-8").read()
sys.stdout.write(of_c_header(content) if path.endswith(".h") else of_header(content) if path.endswith(".hpp") else content)
