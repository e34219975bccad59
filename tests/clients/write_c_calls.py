#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""Writes the calls of tests/clients/c_client.c out of capi/functions.json: one branch a function of figures."""
import json
import sys


def branch(function):
    declared, passed, printed = [], [], []
    figures = 0
    for argument in function["arguments"]:
        kind = argument["type"]
        if argument["direction"] == "in":
            passed.append(f"a[{figures}]" if kind == "double" else f"({kind})a[{figures}]")
            figures += 1
        elif argument["direction"] == "out":
            plain = kind[:-2]
            declared.append(f'  {plain} {argument["name"]} = 7;')
            passed.append(f'&{argument["name"]}')
            printed.append(f'  {"number" if plain == "double" else "whole"}({argument["name"]});')
        else:
            passed.append("0")
    return "\n".join([f'if (!strcmp(function, "{function["name"]}")) {{', *declared,
                      f'  printf(" %d", (int){function["name"]}({", ".join(passed)}));', *printed, "  return 1;", "}"])


functions = json.load(open(sys.argv[1], encoding="utf-8"))["functions"]
print("\n".join(branch(f) for f in functions if f["kind"] == "scalar"))
