#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""Counts the rows that each client of the C interface answers bit by bit.

    compare.py tests/reference/cross_client.csv NAME=FILE...

FILE is what the client printed: a line a row, `ID STATUS WORD WORD...`. Status 1 when a client lacks a row, has one
twice or answers one otherwise.
"""
import csv
import sys

SHOWN = 5  # of the rows that differ


def wanted(path):
    with open(path, encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {row["id"]: f'{row["status"]} {row["words"]}'.split() for row in rows}


def answered(path):
    with open(path, encoding="utf-8") as file:
        lines = [line.split() for line in file if line.strip()]
    answers = {words[0]: words[1:] for words in lines}
    if len(answers) != len(lines):
        sys.exit(f"{path}: a row is answered twice")
    return answers


def main():
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    rows = wanted(sys.argv[1])
    bad = False
    table = []
    for argument in sys.argv[2:]:
        name, _, path = argument.partition("=")
        answers = answered(path)
        wrong = [row for row in rows if answers.get(row) != rows[row]]
        beyond = [row for row in answers if row not in rows]
        table.append((name, len(answers), len(rows) - len(wrong), len(wrong) + len(beyond)))
        bad = bad or bool(wrong or beyond)
        for row in wrong[:SHOWN]:
            print(f'{name}: {row}: {" ".join(answers.get(row, ["no answer"]))}, not {" ".join(rows[row])}')
        for row in beyond[:SHOWN]:
            print(f"{name}: {row} is no row of the table")
    width = max(len(name) for name, *_ in table)
    print(f'{"client":{width}}  rows  equal  other')
    for name, given, equal, other in table:
        print(f"{name:{width}}  {given:4}  {equal:5}  {other:5}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
