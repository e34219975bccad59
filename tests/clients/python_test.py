#!/usr/bin/env python3
# SPDX-License-Identifier: BSL-1.0
"""What examples/python/tapewright.py promises, on the library given: python_test.py LIBRARY. Runs with and without NumPy."""
import ctypes
import json
import math
import pathlib
import sys
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "examples" / "python"))
import tapewright  # noqa: E402

LIBRARY = sys.argv.pop(1)
tw = tapewright.load(LIBRARY)
described = json.load(open(ROOT / "capi" / "functions.json", encoding="utf-8"))


class Declarations(unittest.TestCase):
    def test_functions_are_those_of_the_json(self):
        self.assertEqual(list(tw.functions), [f["name"] for f in described["functions"]])
        for f in described["functions"]:
            self.assertTrue(callable(getattr(tw, f["name"][3:])))
            said = [(a["name"], a["type"], a["field"]) for a in f["arguments"]]
            self.assertEqual([(a.name, a.type, a.field) for a in tw.functions[f["name"]]], said)

    def test_structures_lie_as_the_json_says(self):
        self.assertEqual(list(tw.structures), [s["name"] for s in described["structs"]])
        for s in described["structs"]:
            made = tw.structures[s["name"]]
            self.assertEqual(ctypes.sizeof(made), s["size"])
            for m in s["members"]:
                self.assertEqual((getattr(made, m["name"]).offset, getattr(made, m["name"]).size), (m["offset"], m["bytes"]))


class Figures(unittest.TestCase):
    def test_one_result_several_results_and_names(self):
        self.assertEqual(tw.two_wire_drop(2.5, 0.0210, 4), 2 * 2.5 * 0.0210 * 4)
        cut = tw.cut_length(cut_pitch_m=0.05, measured_m=4.63)
        self.assertEqual((cut.segments, round(cut.dark_m, 9)), (92, 0.03))

    def test_a_refusal_tells_figure_and_range(self):
        with self.assertRaises(tapewright.Refused) as caught:
            tw.two_wire_drop(2.5, 0.0210, one_way_m=-4)
        told = caught.exception
        self.assertEqual((told.status, told.field, told.given, told.least, told.most), (1, "one_way_m", -4, 0, 10000))
        with self.assertRaises(tapewright.Refused):
            tw.two_wire_drop(math.nan, 0.0210, 4)

    def test_wrong_calls_are_told_before_the_library_is_asked(self):
        for wrong in (lambda: tw.two_wire_drop(1, 2), lambda: tw.two_wire_drop(1, 2, 3, 4), lambda: tw.two_wire_drop(1, 2, x=3)):
            self.assertRaises(TypeError, wrong)
        self.assertRaises(AttributeError, tw.struct, "tw_cable", colour="BN")

    def test_arrays_and_texts(self):
        self.assertEqual(tw.derated_share([40, 50, 70], [1.1, 1, 0.5], 3, 60), 0.75)
        self.assertEqual((tw.field_name(1), tw.field_unit(1), tw.field_name(-1)), ("current_a", "A", ""))


class Columns(unittest.TestCase):
    def test_rows_are_the_function_of_every_row(self):
        current, length = [1.0, 2.0, 3.5], [4.0, 5.5, 6.25]
        drops = tw.two_wire_drop_n(current, 0.021, length)
        self.assertEqual(list(drops), [tw.two_wire_drop(i, 0.021, m) for i, m in zip(current, length)])
        cut = tw.cut_length_n([4.63, 2.33], 0.05)
        self.assertEqual(list(cut.segments), [92, 46])

    def test_a_row_at_fault_and_columns_of_unequal_length_are_told(self):
        with self.assertRaises(tapewright.Refused) as caught:
            tw.two_wire_drop_n([1, 2, -3], 0.021, 4)
        self.assertEqual((caught.exception.row, caught.exception.field), (2, "current_a"))
        self.assertRaises(ValueError, tw.two_wire_drop_n, [1, 2], 0.021, [1, 2, 3])

    @unittest.skipUnless(tapewright.numpy, "NumPy is not there")
    def test_columns_of_numpy_are_read_where_they_lie(self):
        table = tapewright.numpy.arange(1.0, 13.0).reshape(4, 3)  # row-wise: a column has a stride of three
        drops = tw.two_wire_drop_n(table[:, 1], 0.021, table[:, 2])
        self.assertIsInstance(drops, tapewright.numpy.ndarray)
        self.assertEqual(list(drops), [tw.two_wire_drop(a, 0.021, m) for a, m in table[:, 1:].tolist()])
        backwards = tw.two_wire_drop_n(table[::-1, 0], 0.021, 4)  # a stride below nothing is copied first
        self.assertEqual(list(backwards), [tw.two_wire_drop(a, 0.021, 4) for a in table[::-1, 0].tolist()])


def small_job():
    channel = tw.struct("tw_tape_channel", code="W", load_w_per_m=9.6, knee_v=19.2, return_ohm_per_m=0.024)
    tape = tw.struct("tw_tape", code="white-24", channels=1, channel=[channel], ingress=20, nominal_v=24, highest_v=25.2,
                     common_ohm_per_m=0.024, cut_pitch_m=0.05, longest_piece_m=20, feed_point_limit_a=5, free_tail_m=0.5,
                     sale_quantum_m=1, price_minor=890, lowest_ambient_c=-20, highest_ambient_c=50)
    cable = tw.struct("tw_cable", code="flex-2x1.5", cores=2, colours=2, core_colour=["BN", "BU"], conductor_system=5,
                      area_mm2=1.5, conductor_limit_c=70, sale_quantum_m=1, stock_m=100, price_minor=95)
    driver = tw.struct("tw_driver", code="hard-75", outputs=1, mount=1, ingress=20, derating_points=2, output_v=24,
                       rated_output_w=75, efficiency=0.88, power_factor=0.95, mains_low_v=220, mains_high_v=240,
                       inrush_a=40, inrush_s=0.0002, least_mm2=0.5, greatest_mm2=2.5, derating_c=[40, 60],
                       derating_share=[1, 0.5], price_minor=3300)
    joint = tw.struct("tw_connector", code="join-2", use=0, poles=2, ways=2, rated_a=8, rated_v=60, rating_ambient_c=25,
                      upper_limit_c=105, least_mm2=0.5, greatest_mm2=1.5, contact_ohm=0.008, price_minor=140)
    catalogue = tw.struct("tw_catalogue", tapes=1, tape=tw.rows([tape]), cables=1, cable=tw.rows([cable]), drivers=1,
                          driver=tw.rows([driver]), connectors=1, connector=tw.rows([joint]))
    zone = tw.struct("tw_zone", code="shelves", driver_place="office", mount=-1, from_driver_m=3.4, driver_ambient_c=28)
    run = tw.struct("tw_run", code="novels", measured_m=4.63, from_controller_m=1.2, ambient_c=30, cable_ambient_c=30)
    return tw.struct("tw_job", zones=1, zone=tw.rows([zone]), runs=1, run=tw.rows([run])), catalogue


class Plans(unittest.TestCase):
    def test_a_job_is_planned_and_explained(self):
        job, catalogue = small_job()
        block = tapewright.room(tw.plan_bytes(job, catalogue))
        plan = tw.plan_make(job, catalogue, block, 8 * len(block))
        totals = tw.plan_summary(plan)
        self.assertEqual((totals.runs, totals.drivers), (1, 1))
        self.assertAlmostEqual(totals.load_w, 44.16, 9)  # 4.60 m of 9.6 W/m
        lines = [tw.plan_order_line(plan, i) for i in range(totals.order_lines)]
        self.assertEqual(sum(line.total_minor for line in lines), totals.price_minor)
        self.assertIn("4.6", tw.plan_explain(plan, 0))
        self.assertEqual(tw.plan_subject_name(plan, 2, 0), "novels")
        with self.assertRaises(tapewright.Refused) as caught:
            tw.plan_run(plan, 1)
        self.assertEqual(caught.exception.field, "place")

    def test_too_small_a_block_is_told(self):
        job, catalogue = small_job()
        block = tapewright.room(64)
        with self.assertRaises(tapewright.Refused) as caught:
            tw.plan_make(job, catalogue, block, 8 * len(block))
        self.assertEqual(caught.exception.least, tw.plan_bytes(job, catalogue))


class Loading(unittest.TestCase):
    def test_another_library_is_refused(self):
        self.assertRaises((AttributeError, OSError), tapewright.load, "libc.so.6")
        self.assertRaises(OSError, tapewright.load, "no-such-library.so")


if __name__ == "__main__":
    unittest.main()
