#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""The shared rows answered through examples/python/tapewright.py: python_client.py LIBRARY cross_client.csv"""
import csv
import pathlib
import struct
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "examples" / "python"))
import tapewright  # noqa: E402


def word(value):
    if isinstance(value, float):
        return "7ff8000000000000" if value != value else struct.pack(">d", value).hex()
    return f"{value & 0xFFFFFFFFFFFFFFFF:016x}"


def main(library, path):
    tw = tapewright.load(library)
    with open(path, encoding="utf-8", newline="") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            arguments = tw.functions[row["function"]]
            inputs = [a for a in arguments if not a.type.endswith("*")]
            figures = [float(text) if a.type == "double" else int(text) for a, text in zip(inputs, row["arguments"].split())]
            try:
                answer = getattr(tw, row["function"][3:])(*figures)
                status, values = 0, answer if isinstance(answer, tuple) else (answer,)
            except tapewright.Refused as refused:  # an exception shows no figure: what C puts there
                status = refused.status
                values = [float("nan") if a.type == "double *" else 0 for a in arguments if a.type.endswith("*")][:-1]
            print(row["id"], status, *map(word, values))


main(*sys.argv[1:])
