# SPDX-License-Identifier: BSL-1.0
"""The shared rows as cells of a sheet: each argument in a cell, each answer as a formula of the add-in.

What a sheet cannot hold - NaN, infinity - is typed as the text it would be, and refused as the library refuses the
figure. A cell that shows an error stands for NaN or, where the output is a whole number, for 0.
"""
import csv
import json
import struct

NAN_WORD = "7ff8000000000000"


def word(value, kind):
    if kind == "double *":
        return struct.pack(">d", value).hex()
    return (int(value) & 0xFFFFFFFFFFFFFFFF).to_bytes(8, "big").hex()


def cell_name(function):
    return "TW." + function.removeprefix("tw_").replace("_", "").upper()


def column(place):
    return chr(65 + place) if place < 26 else "A" + chr(65 + place - 26)


def answered(sheet, rows_path, functions_path):
    """Fills a sheet, row by row, and gives the lines ID STATUS WORD..."""
    with open(functions_path, encoding="utf-8") as file:
        functions = {one["name"]: one for one in json.load(file)["functions"]}
    with open(rows_path, encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    for at, row in enumerate(rows):
        figures = row["arguments"].split()
        for place, figure in enumerate(figures):
            cell = sheet.getCellByPosition(place, at)
            if figure in ("nan", "inf", "-inf", "-nan"):
                cell.String = figure
            else:
                cell.Value = float(figure)
        cells = ";".join(f"{column(place)}{at + 1}" for place in range(len(figures)))
        name = cell_name(row["function"])
        sheet.getCellByPosition(20, at).Formula = f'={name}({cells};"status")'
        outputs = sum(one["direction"] == "out" for one in functions[row["function"]]["arguments"])
        shown = sheet.getCellRangeByPosition(21, at, 20 + outputs, at)
        shown.setArrayFormula(f'={name}({cells};"all")')
    lines = []
    for at, row in enumerate(rows):
        kinds = [one["type"] for one in functions[row["function"]]["arguments"] if one["direction"] == "out"]
        status = sheet.getCellByPosition(20, at)
        words = ["error" if status.getError() else str(int(status.Value))]
        for place, kind in enumerate(kinds):
            cell = sheet.getCellByPosition(21 + place, at)
            if cell.getError():
                words.append(NAN_WORD if kind == "double *" else "0" * 16)
            else:
                words.append(word(cell.Value, kind))
        lines.append(" ".join([row["id"], *words]))
    return lines
