#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""Puts the figures of all benchmarks beside their bounds: one table on the screen, one CSV file.

    collect.py BOUNDS FIGURES [FILE...]

A FILE is what Google Benchmark writes as JSON (*.json; the median of the repetitions is taken, in processor
time), or plain rows `case,against,unit,figure` (*.csv) of figures measured otherwise. FIGURES is written:
case,against,figure,unit,bound,holds. Ends with status 1 when a bound does not hold or its case was not run.
"""
import csv
import json
import sys

SECONDS = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3, "s": 1.0}


def read_rows(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def read_times(path):
    """Seconds by benchmark name."""
    with open(path, encoding="utf-8") as file:
        runs = json.load(file)["benchmarks"]
    failed = [run["name"] for run in runs if run.get("error_occurred")]
    if failed:
        sys.exit(f"{path}: benchmarks ended with an error: {', '.join(failed)}")
    return {run["run_name"]: run["cpu_time"] * SECONDS[run["time_unit"]]
            for run in runs if run.get("aggregate_name") == "median"}


def readable(seconds):
    for unit in ("ns", "us", "ms", "s"):
        if seconds < 1000 * SECONDS[unit]:
            break
    return unit, seconds / SECONDS[unit]


def figure_of(bound, times, measured):
    """The figure a bound is about, or None when its case was not run."""
    case, against, unit = bound["case"], bound["against"], bound["unit"]
    if (case, against) in measured:
        return measured[case, against][1]
    if case not in times or (against and against not in times):
        return None
    if unit == "times":
        return times[case] / times[against]
    return (times[case] - (times[against] if against else 0.0)) / SECONDS[unit]


def main(bounds_path, figures_path, *paths):
    times, measured = {}, {}
    for path in paths:
        if path.endswith(".json"):
            for name, seconds in read_times(path).items():
                if name in times:
                    sys.exit(f"{path}: two benchmarks are called {name}")
                times[name] = seconds
        else:
            for row in read_rows(path):
                measured[row["case"], row["against"]] = row["unit"], float(row["figure"])

    table, held = [], True
    bounds = read_rows(bounds_path)
    for bound in bounds:
        figure, limit, sense = figure_of(bound, times, measured), float(bound["bound"]), bound["sense"]
        if sense not in ("most", "least"):
            sys.exit(f"{bounds_path}: {bound['case']}: sense is 'most' or 'least', not '{sense}'")
        holds = figure is not None and (figure <= limit if sense == "most" else figure >= limit)
        held = held and holds
        table.append((bound["case"], bound["against"], "not run" if figure is None else f"{figure:.4g}", bound["unit"],
                      f"{'<=' if sense == 'most' else '>='} {limit:g}", "yes" if holds else "NO"))
    bounded = {bound["case"] for bound in bounds if not bound["against"]}
    for name, seconds in times.items():
        if name not in bounded:
            unit, figure = readable(seconds)
            table.append((name, "", f"{figure:.4g}", unit, "", ""))
    stated = {(bound["case"], bound["against"]) for bound in bounds}
    for (case, against), (unit, figure) in measured.items():
        if (case, against) not in stated:
            table.append((case, against, f"{figure:.4g}", unit, "", ""))

    head = ("case", "against", "figure", "unit", "bound", "holds")
    with open(figures_path, "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(head)
        writer.writerows(table)
    widths = [max(len(row[i]) for row in [head, *table]) for i in range(len(head))]
    for row in [head, *table]:
        print("  ".join(cell.rjust(width) if i == 2 else cell.ljust(width)
                        for i, (cell, width) in enumerate(zip(row, widths))).rstrip())
    return 0 if held else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
