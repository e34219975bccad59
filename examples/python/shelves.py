#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""What the shelves of the invented bookshop need: cut, load, feeder and driver capacity of every single-colour run.

    shelves.py [FOLDER]        the order sheet's input folder; TAPEWRIGHT_LIBRARY says where the library is
"""
import csv
import pathlib
import sys

import tapewright

DROP_LIMIT, HEADROOM, HOT_C = 0.03, 0.10, 70  # of nominal; of the load; PVC insulation at its limit
SECTIONS_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0)  # flexible, IEC 60228 class 5


def table(folder, name):
    with open(folder / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def feeder_of(tw, current_a, nominal_v, route_m):
    """The thinnest flexible two-core cable that keeps the drop, and the drop; None where none does."""
    for section in SECTIONS_MM2:
        drop_v = tw.two_wire_drop(current_a, tw.metric_resistance(5, section, HOT_C), route_m)
        if drop_v <= DROP_LIMIT * nominal_v:
            return section, drop_v
    return None


def main(folder):
    tw = tapewright.load()
    tapes = {t["tape"]: t for t in table(folder, "tapes.csv")}
    loads = {}
    for channel in table(folder, "tape_channels.csv"):
        loads.setdefault(channel["tape"], []).append(float(channel["load_w_per_m"]))
    runs = [r for r in table(folder, "runs.csv") if len(loads[r["tape"]]) == 1]
    # whole columns at once: cut to the pitch, then power and current at nominal voltage
    cut = tw.cut_length_n([float(r["measured_m"]) for r in runs], [float(tapes[r["tape"]]["cut_pitch_m"]) for r in runs])
    load = tw.channel_load_n([loads[r["tape"]][0] for r in runs], [float(tapes[r["tape"]]["nominal_v"]) for r in runs],
                             cut.length_m)
    print(f'{"run":18}{"length_m":>9}{"dark_mm":>9}{"power_w":>9}{"current_a":>10}{"feeder_mm2":>11}{"drop_v":>8}')
    for run, length, dark, power, current in zip(runs, cut.length_m, cut.dark_m, load.power_w, load.current_a):
        feeder = feeder_of(tw, current, float(tapes[run["tape"]]["nominal_v"]), float(run["from_controller_m"]))
        chosen = f"{feeder[0]:11.2f}{feeder[1]:8.3f}" if feeder else "  none keeps the drop"
        print(f'{run["run"]:18}{length:9.3f}{dark * 1000:9.1f}{power:9.2f}{current:10.3f}{chosen}')
    total = sum(load.power_w)
    print(f"{len(runs)} runs, {total:.1f} W; driver capacity with headroom: {tw.least_capacity(total, HEADROOM):.1f} W")
    print("Calculated, not approved: isolate before any work, fuse every output, local code comes first.")


if __name__ == "__main__":
    here = pathlib.Path(__file__).resolve().parent
    try:
        main(pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else here.parent / "order_sheet" / "bookshop")
    except (OSError, tapewright.Refused) as problem:
        sys.exit(f"shelves: {problem}")
