# SPDX-License-Identifier: BSL-1.0
"""The Calc add-in in a real LibreOffice, without a window.

    spreadsheet_test.py PACKAGE.oxt ORACLE ORDER_SHEET FOLDER

ORACLE is tests/examples/spreadsheet_oracle.cpp compiled, ORDER_SHEET the order sheet's program, FOLDER a place for
profiles and files. Runs with the python that has `uno`. Prints what failed, times, and "N passed, M failed".
"""
import csv
import json
import os
import pathlib
import re
import shutil
import struct
import subprocess
import sys
import time
import unittest
import zipfile
from decimal import Decimal

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.dont_write_bytecode = True  # nothing is written beside the sources
sys.path.insert(0, str(ROOT / "tests" / "clients"))

from calc import Calc, install, property_value  # noqa: E402
from calc_rows import answered, cell_name  # noqa: E402

PACKAGE, ORACLE, ORDER_SHEET, FOLDER = (pathlib.Path(argument).resolve() for argument in sys.argv[1:5])
BOOKSHOP = ROOT / "examples" / "order_sheet" / "bookshop"
FUNCTIONS = ROOT / "capi" / "functions.json"
ROWS = ROOT / "tests" / "reference" / "cross_client.csv"
ILLEGAL = 502  # Err:502, what a refused question shows
QUOTE = FOLDER / "quote.fods"
FIRST, POINTS = 11, 33  # of the sample sheet


def bits(value):
    return struct.pack(">d", value).hex()


def figure(word):
    return struct.unpack(">d", bytes.fromhex(word))[0]


def cell(document, sheet, address):
    return document.Sheets.getByName(sheet).getCellRangeByName(address)


class WithCalc(unittest.TestCase):
    """A Calc for all cases of a class, with the add-in and a new document."""
    locale = None

    @classmethod
    def setUpClass(cls):
        profile = FOLDER / f"profile-{cls.__name__}"
        cls.remove = staticmethod(install(str(PACKAGE), profile))
        cls.calc = Calc(profile, cls.locale)
        cls.document = cls.calc.opened()
        cls.sheet = cls.document.Sheets.getByIndex(0)

    @classmethod
    def tearDownClass(cls):
        cls.calc.__exit__()
        cls.remove()

    def ask(self, formula, address="Z1"):
        one = self.sheet.getCellRangeByName(address)
        one.Formula = formula
        return one

    def matrix(self, area, formula):
        cells = self.sheet.getCellRangeByName(area)
        cells.setArrayFormula(formula)
        shown = cells.DataArray
        cells.clearContents(16)  # formulas
        return shown


class InCells(WithCalc):
    def test_self_check_finds_the_library(self):
        with open(FUNCTIONS, encoding="utf-8") as file:
            table = json.load(file)
        self.assertEqual(self.ask("=TW.SELFCHECK()").String,
                         f"tapewright {table['version']}, interface {table['abi']}: found, bits good")

    def test_wizard_tells_every_plain_function(self):
        context = self.calc.context.ServiceManager
        described = context.createInstance("com.sun.star.sheet.FunctionDescriptions")
        known = {}
        for place in range(described.Count):
            facts = {one.Name: one.Value for one in described.getByIndex(place)}
            if facts["Name"].startswith("TW."):
                known[facts["Name"]] = facts
        with open(FUNCTIONS, encoding="utf-8") as file:
            functions = json.load(file)["functions"]
        plain = [one for one in functions if one["kind"] in ("scalar", "array")]
        self.assertGreater(len(plain), 30)
        for function in plain:
            facts = known[cell_name(function["name"])]
            self.assertEqual(facts["Description"], function["text"])
            counts = {"channels", "points"} if function["kind"] == "array" else set()
            wanted = [one["name"] for one in function["arguments"] if one["direction"] == "in" and one["name"] not in counts]
            self.assertEqual([one.Name for one in facts["Arguments"]], wanted + ["which"], function["name"])
            for told, one in zip(facts["Arguments"], [a for a in function["arguments"] if a["name"] in wanted]):
                self.assertIn(one["text"], told.Description)
                if one["least"] is not None:
                    self.assertIn(f"takes {one['least']:.15g} to {one['most']:.15g} {one['unit']}".rstrip(), told.Description)

    def test_shared_rows_bit_by_bit(self):
        document = self.calc.opened()
        lines = answered(document.Sheets.getByIndex(0), ROWS, FUNCTIONS)
        # figures, not what cells have room to show
        document.storeToURL((FOLDER / "rows.csv").as_uri(), (
            property_value("FilterName", "Text - txt - csv (StarCalc)"),
            property_value("FilterOptions", "44,34,76,1,,0,false,false,false")))
        (FOLDER / "calc.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
        compared = subprocess.run([sys.executable, ROOT / "tests" / "clients" / "compare.py", ROWS,
                                   f"Calc={FOLDER / 'calc.txt'}"], capture_output=True, text=True, check=False)
        print(compared.stdout)
        self.assertEqual(compared.returncode, 0)
        self.assertGreaterEqual(len(lines), 150)
        self.through_csv(FOLDER / "rows.csv")

    def through_csv(self, path):
        """Every output of every row to the fifteen digits that a CSV file carries."""
        with open(FUNCTIONS, encoding="utf-8") as file:
            functions = {one["name"]: one for one in json.load(file)["functions"]}
        with open(ROWS, encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
        with open(path, encoding="utf-8", newline="") as file:
            shown = list(csv.reader(file))
        self.assertEqual(len(shown), len(rows))
        compared = 0
        for row, line in zip(rows, shown):
            kinds = [one["type"] for one in functions[row["function"]]["arguments"] if one["direction"] == "out"]
            self.assertEqual(line[20], row["status"], row["id"])
            for word, kind, text in zip(row["words"].split(), kinds, line[21:]):
                if row["status"] != "0":
                    self.assertEqual(text, "Err:502", row["id"])
                    continue
                value = figure(word) if kind == "double *" else int.from_bytes(bytes.fromhex(word), "big", signed=True)
                # half a unit of the fifteenth digit, and an eighth: Calc scales to fifteen whole digits in double, whose
                # steps there are up to an eighth
                unit = Decimal(10) ** (Decimal(value).adjusted() - 14)
                self.assertLessEqual(abs(Decimal(text) - Decimal(value)), Decimal("0.625") * unit, f"{row['id']}: {text}, {value!r}")
                compared += 1
        self.assertGreater(compared, 300)

    def test_thousand_rows_and_their_time(self):
        document = self.calc.opened()
        sheet, rows = document.Sheets.getByIndex(0), 1000
        sheet.getCellRangeByName(f"A1:A{rows}").setDataArray(tuple((float(i),) for i in range(1, rows + 1)))
        sheet.getCellRangeByName(f"B1:E{rows}").setFormulaArray(tuple(
            (f"=TW.TWOWIREDROP(A{i}/100;0.0125;A{i}/50)", f'=TW.CUTLENGTH(A{i}/64;0.015;"length_m")',
             f"=TW.AWGAREA(MOD(A{i};40))", f"=TW.LIGHTNESS(A{i}/1000)") for i in range(1, rows + 1)))
        start = time.perf_counter()
        document.calculateAll()
        took = time.perf_counter() - start
        print(f"{4 * rows} cells recalculated in {took:.3f} s: {4 * rows / took:.0f} cells a second")
        shown = sheet.getCellRangeByName(f"B1:E{rows}").DataArray
        wanted = [line.split()[1:] for line in told() if line.startswith("row ")]
        self.assertEqual([[bits(value) for value in row] for row in shown], wanted)

    def test_columns_in_one_formula(self):
        self.sheet.getCellRangeByName("A1:A4").setDataArray(((1.0,), (2.0,), (-1.0,), ("x",)))
        self.sheet.getCellRangeByName("A5").clearContents(1 | 2 | 4 | 16)
        shown = self.matrix("K1:K5", "=TW.TWOWIREDROP(A1:A5;0.0125;4)")
        self.assertEqual([row[0] for row in shown], [0.1, 0.2, None, None, None])
        why = self.matrix("K1:K5", '=TW.TWOWIREDROP(A1:A5;0.0125;4;"why")')
        self.assertEqual([row[0] for row in why[:2]], ["ok", "ok"])
        self.assertIn("current_a: -1: outside", why[2][0])
        self.assertIn('the text "x" is not a number', why[3][0])
        self.assertIn("the cell is empty", why[4][0])
        status = self.matrix("K1:K5", '=TW.TWOWIREDROP(A1:A5;0.0125;4;"status")')
        self.assertEqual([row[0] for row in status], [0, 0, 1, 1, 1])
        self.assertEqual(self.ask("=SUM(TW.TWOWIREDROP(A1:A2;0.0125;4))").Value, 0.1 + 0.2)
        self.assertNotEqual(self.ask("=SUM(TW.TWOWIREDROP(A1:A4;0.0125;4))").getError(), 0)
        self.assertIn("where one cell or a column", self.ask('=TW.TWOWIREDROP(A1:B2;1;1;"why")').String)

    def test_every_output(self):
        self.assertEqual(self.ask("=TW.CUTLENGTH(4.63;0.05)").Value, 92)
        self.assertEqual(self.ask('=TW.CUTLENGTH(4.63;0.05;"length_m")').Value, 92 * 0.05)
        self.assertEqual(self.ask("=TW.CUTLENGTH(4.63;0.05;3)").Value, 4.63 - 92 * 0.05)
        self.assertEqual(self.matrix("K1:M1", '=TW.CUTLENGTH(4.63;0.05;"all")'), ((92, 92 * 0.05, 4.63 - 92 * 0.05),))
        self.assertEqual(self.ask('=TW.CUTLENGTH(4.63;0.05;"length")').getError(), ILLEGAL)
        self.assertEqual(self.ask('=TW.CUTLENGTH(4.63;0.05;"why")').String, "ok")

    def test_ranges_in(self):
        wanted = [figure(word) for word in next(line for line in told() if line.startswith("arrays")).split()[1:]]
        self.sheet.getCellRangeByName("A1:A3").setDataArray(((1.5,), (0.5,), (2.25,)))
        self.sheet.getCellRangeByName("A4:A6").clearContents(1 | 2 | 4 | 16)
        self.sheet.getCellRangeByName("B1:D2").setDataArray(((40.0, 50.0, 70.0), (1.1, 1.0, 0.5)))
        self.assertEqual(list(self.matrix("K1:M1", '=TW.CONTROLLERUTILISATION(A1:A6;0;6;15;16;"all")')[0]), wanted[:3])
        self.assertEqual(self.ask("=TW.CONTROLLERSNEEDED(A1:A3;0;1;15;16)").Value, wanted[3])
        self.assertEqual(self.ask("=TW.DERATEDSHARE(B1:D1;B2:D2;55)").Value, wanted[4])
        self.assertIn("2 cells beside 3", self.ask('=TW.DERATEDSHARE(B1:D1;B2:C2;55;"why")').String)
        self.assertIn("the range is empty", self.ask('=TW.CONTROLLERSNEEDED(A4:A6;0;1;15;16;"why")').String)

    def refused(self, formula, *told):
        """An error in the cell, and the reason by the same formula with why, and by TW.WHYNOT."""
        self.assertEqual(self.ask(formula).getError(), ILLEGAL, formula)
        self.assertEqual(self.ask(formula).Value, 0.0)
        why = self.ask(formula[:-1] + ';"why")').String
        name, arguments = formula[1:-1].split("(", 1)
        self.assertEqual(self.ask(f'=TW.WHYNOT("{name}";{arguments})').String, why)
        for text in told:
            self.assertIn(text, why)

    def test_bad_input(self):
        self.sheet.getCellRangeByName("A1:C1").setDataArray(((2.0, "0.0125", "four metres"),))
        self.refused("=TW.TWOWIREDROP(-1;0.0125;4)", "current_a: -1: outside the allowed range; takes 0 to 10000 A (")
        self.refused("=TW.TWOWIREDROP(2;0.0125;10000.5)", "one_way_m: 10000.5: outside", "takes 0 to 10000 m (")
        self.refused("=TW.FEEDERDROP(2;-3;0.0125;4)", "own_a: -3: outside")
        self.refused("=TW.TWOWIREDROP(A1;B1;4)", 'resistance_ohm_per_m: the text "0.0125" is not a number')
        self.refused("=TW.TWOWIREDROP(A1;0.0125;C1)", 'one_way_m: the text "four metres" is not a number', "0 to 10000 m")
        self.refused("=TW.AWGAREA(18.5)", "awg: 18.5 is not a whole number; takes -3 to 40 AWG")
        self.refused("=TW.AWGAREA(1E10)", "awg: 10000000000 is outside; takes -3 to 40 AWG")
        self.refused("=TW.AWGAREA(41)", "awg: 41: outside the allowed range")
        self.refused("=TW.METRICRESISTANCE(5;1.4;20)", "area_mm2: 1.4: not in the published table")
        self.refused("=TW.SALE(9.2;1;5.5)", "reel_m: 5.5: contradicts another figure")
        self.refused("=TW.LOADCURRENT(0;1.5;24;25;20)", "knee_v: 25: contradicts another figure")
        self.refused("=TW.CUTLENGTH(0.01;0.05)", "measured_m: 0.01")
        self.assertEqual(self.ask('=TW.TWOWIREDROP(1/0;1;1;"why")').getError(), 532)  # another cell's error goes on
        self.assertNotEqual(self.ask("=TW.TWOWIREDROP(1;2)").getError(), 0)
        self.assertIn("no formula is called so", self.ask('=TW.WHYNOT("twowire";1)').String)
        self.assertIn("not all arguments are given", self.ask('=TW.WHYNOT("TWOWIREDROP";1)').String)

    def test_empty_cells(self):
        """Calc hands an empty single cell over as 0: refused where 0 is wrong. In a range an empty cell is seen."""
        self.sheet.getCellRangeByName("A1:C1").clearContents(1 | 2 | 4 | 16)
        self.refused("=TW.CUTLENGTH(A1;0.05)", "measured_m: 0: outside the allowed range; takes 0.001 to 1000 m")
        self.refused("=TW.CUTLENGTH(4.63;A1)", "cut_pitch_m: 0: outside")
        self.refused("=TW.CHANNELLOAD(A1;24;4)", "load_w_per_m: 0: outside")
        self.refused("=TW.TWOWIREDROP(2;0.0125;A1:A1)", "one_way_m: the cell is empty; takes 0 to 10000 m")
        self.assertEqual(self.ask("=TW.TWOWIREDROP(2;0.0125;A1)").Value, 0)
        self.assertNotEqual(self.ask("=TW.TWOWIREDROP(2;0.0125;)").getError(), 0)

    def test_refused_tables(self):
        table = (("controller", "channels"), ("one", 2.0))
        self.sheet.getCellRangeByName("A1:B2").setDataArray(table)
        self.refused('=TW.CONTROLLER(A1:B2;"one";1;24;25)', "controllers: column channel_limit_a is missing")
        self.sheet.getCellRangeByName("B1").String = "chanels"
        self.refused('=TW.CONTROLLER(A1:B2;"one";1;24;25)', "controllers: no column is called chanels")


class SampleSheet(WithCalc):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.quote = cls.calc.opened(QUOTE)

    def rooms(self):
        row = FIRST
        while cell(self.quote, "Quote", f"B{row}").String:
            yield row
            row += 1

    def test_every_room_bit_by_bit(self):
        wanted = [line.split()[1:] for line in told() if line.startswith("room ")]
        rows = list(self.rooms())
        self.assertEqual(len(rows), len(wanted))
        for row, (cable, driver, *words) in zip(rows, wanted):
            of = lambda letter: cell(self.quote, "Quote", f"{letter}{row}")
            self.assertEqual((of("K").String, of("N").String, of("S").String), (cable, driver, "ok"))
            self.assertEqual([bits(of(letter).Value) for letter in ("H", "I", "J", "L", "M", "V", "O", "P", "Q")],
                             words[:9])

    def test_named_parts_and_longest_runs_bit_by_bit(self):
        wanted = [line.split()[12:] for line in told() if line.startswith("room ")]
        longest, step, chosen = (cell(self.quote, "Light", address) for address in ("B6", "B8", "B3"))
        tried = [cell(self.quote, "Light", f"T{at}") for at in range(1, 5)]
        for row, words in zip(self.rooms(), wanted):
            chosen.String = cell(self.quote, "Quote", f"A{row}").String
            of = lambda letter: f"$Quote.{letter}{row}"
            currents = f"{of('Z')}:{of('AE').removeprefix('$Quote.')}"
            for one, formula in zip(tried, (
                    f'=TW.CABLE(TableCables;"flex-6x2.5";{currents};{of("D")};{of("T")};$Quote.C6;{of("E")};$Quote.C7;$Quote.C8;$Quote.F8;"utilisation")',
                    f'=TW.DRIVER(TableDrivers;"wired-24-240";{of("J")};{of("T")};{of("F")};{of("E")};$Quote.F6;{of("G")};"utilisation")',
                    f'=TW.CONTROLLER(TableControllers;"colour-5";{currents};{of("T")};{of("E")})',
                    f'=TW.CABLE(TableCables;"wire-2xawg16";{currents};{of("D")};{of("T")};$Quote.C6;{of("E")};$Quote.C7;$Quote.C8;"nec";"allowed_a")')):
                one.Formula = formula
            self.assertEqual([bits(one.Value) for one in (longest, step, *tried)], words, chosen.String)
        for one in tried:
            one.String = ""

    def test_light_of_every_run_bit_by_bit(self):
        lines = [line.split()[1:] for line in told() if line.startswith("profile ")]
        chosen, sheet = cell(self.quote, "Light", "B3"), self.quote.Sheets.getByName("Light")
        for place, row in enumerate(self.rooms()):
            chosen.String = cell(self.quote, "Quote", f"A{row}").String
            wanted = lines[place * POINTS:(place + 1) * POINTS]
            shown = sheet.getCellRangeByName(f"A11:C{10 + POINTS}").DataArray
            self.assertEqual([[bits(value) for value in line] for line in shown], [line[:3] for line in wanted])
            # and all columns of it, by a formula of the same arguments
            wide = len(wanted[0])
            formula = sheet.getCellRangeByName("A11").Formula.strip("{}")
            area = sheet.getCellRangeByPosition(20, 40, 19 + wide, 39 + POINTS)
            area.setArrayFormula(formula)
            self.assertEqual([[bits(value) for value in line] for line in area.DataArray], wanted)
            area.clearContents(16)

    def test_the_tables_of_ampacity_have_names(self):
        one = cell(self.quote, "Light", "T1")
        one.Formula = '=TW.CABLE(TableCables;"";1;2;24;0.03;30;3;1;"cec";"why")'
        self.assertEqual(one.String, "ampacity: cec; takes one of iec, nec")
        one.String = ""

    @staticmethod
    def order_sheet_lists(folder, name):
        """The lists that the order sheet writes, by their file's name."""
        out = FOLDER / name
        out.mkdir(exist_ok=True)
        subprocess.run([ORDER_SHEET, folder, "--csv", out], stdout=subprocess.DEVNULL, check=False)
        lists = {}
        for path in out.glob("*.csv"):
            with open(path, encoding="utf-8", newline="") as file:
                lists[path.stem] = list(csv.DictReader(file))
        return lists

    def plan_list(self, what, wide):
        """A list of the sheet's own plan under its row of titles."""
        sheet = self.quote.Sheets.getByName("Order")
        area = sheet.getCellRangeByPosition(20, 0, 19 + wide, 299)
        area.setArrayFormula(sheet.getCellRangeByName("A6").Formula.strip("{}").replace('"order";40;', f'"{what}";300;'))
        titles, *lines = area.DataArray
        area.clearContents(16)
        return [dict(zip(titles, line)) for line in lines if line[0] != ""]

    def test_corners_far_ends_and_feeds_are_those_of_the_order_sheet(self):
        """Runs with corners and further feed points, typed into the optional columns, and as files."""
        runs = {"shelf-travel": {"measured_m": "9.6", "stretches_m": "4.6 5:0.02", "reach": "ends", "to_far_end_m": "3.9", "dark": "shared"},
                "shelf-novels": {"measured_m": "9", "reach": "ends", "to_far_end_m": "6.1", "arrangements": "both_ends"},
                "cove-round": {"measured_m": "12", "closes": "yes", "arrangements": "ring"},
                "till-edge": {"measured_m": "4", "reach": "anywhere", "to_far_end_m": "4.5", "between_extra_m": "0.5",
                              "arrangements": "points middle"},
                "shelf-maps": {"feeder": "flex-2x4"}}
        folder = FOLDER / "bent"
        shutil.copytree(BOOKSHOP, folder, dirs_exist_ok=True)
        table = self.quote.Sheets.getByName("Runs")
        titles = [one for one in table.getCellRangeByName("A1:Z1").DataArray[0] if one]
        with open(folder / "runs.csv", "w", encoding="utf-8", newline="") as file:
            kept = [title for title in titles if title not in ("stretches_m", "feeder")]
            rows = csv.DictWriter(file, kept, extrasaction="ignore")
            rows.writeheader()
            for row in range(1, 15):
                line = dict(zip(titles, table.getCellRangeByPosition(0, row, len(titles) - 1, row).DataArray[0]))
                for title, value in runs.get(line["run"], {}).items():
                    one = table.getCellByPosition(titles.index(title), row)
                    before = one.Formula
                    self.addCleanup(setattr, one, "Formula", before)
                    one.Formula = value if title.endswith("_m") and title != "stretches_m" else f"'{value}"
                    line[title] = value
                rows.writerow({title: text if isinstance(text, str) else f"{text:.15g}" for title, text in line.items()})
        (folder / "stretches.csv").write_text("run,measured_m,gap_m\nshelf-travel,4.6,\nshelf-travel,5,0.02\n", encoding="utf-8")
        (folder / "pins.csv").write_text("pinned,of,part\nfeeder,shelf-maps,flex-2x4\ndriver,shelves,wired-24-240\n", encoding="utf-8")
        zones = self.quote.Sheets.getByName("Zones")
        driver = zones.getCellByPosition(zones.getCellRangeByName("A1:Z1").DataArray[0].index("driver"), 2)
        self.addCleanup(setattr, driver, "String", "")
        driver.String = "wired-24-240"
        terms = {"cut_fee_minor": 120.0, "discount_bp": 750.0, "tax_bp": 1900.0}
        rules = self.quote.Sheets.getByName("Rules")
        spare = rules.getCellRangeByName("A16:B18")
        self.assertEqual([row[0] for row in spare.DataArray], [""] * 3)
        self.addCleanup(spare.clearContents, 1 | 4)
        spare.setDataArray(tuple(terms.items()))
        with open(folder / "rules.csv", "a", encoding="utf-8") as file:
            file.writelines(f"{name},{value:.0f}\n" for name, value in terms.items())
        wanted = self.order_sheet_lists(folder, "bent-csv")
        near = lambda text: round(float(text), 9) if text != "" else ""
        self.assertEqual([(line["part"], line["quantity"], line["price_minor"]) for line in self.plan_list("order", 6)],
                         [(line["part"], near(line["quantity"]), near(line["price_minor"])) for line in wanted["order"]])
        self.assertEqual([(line["part"], line["for"], round(line["length_m"], 9)) for line in self.plan_list("cutting", 5)],
                         [(line["part"], line["for"], near(line["length_m"])) for line in wanted["cutting"]])
        self.assertEqual([(line["cable"].replace("bridge", "-"), line["from"], line["to"], round(line["current_a"], 9)) for line in self.plan_list("connections", 8)],
                         [(line["cable"], line["from"], line["to"], near(line["current_a"])) for line in wanted["connections"]])
        self.assertEqual([(line["stock_number"], line["stock_length_m"] and round(line["stock_length_m"], 9)) for line in self.plan_list("cutting", 7)],
                         [(near(line["stock_number"]), near(line["stock_length_m"])) for line in wanted["cutting"]])
        totals = {line["total"]: int(line["value"]) for line in self.plan_list("totals", 2)}
        net = sum(int(line["price_minor"]) for line in wanted["order"])
        discount = (net * 750 + 5000) // 10000  # half up, in whole numbers
        tax = ((net - discount) * 1900 + 5000) // 10000
        self.assertEqual([totals[name] for name in ("net_minor", "discount_minor", "tax_minor", "gross_minor")],
                         [net, discount, tax, net - discount + tax])
        self.assertEqual(cell(self.quote, "Order", "D3").Value, net - discount + tax)
        self.assertTrue(any(line["to"] == "shelf-novels(2):W" for line in wanted["connections"]))
        self.assertTrue(any(line["for"] == "shelf-travel/2" for line in wanted["cutting"]))
        # and what is wrong in these columns is told with its row
        why = cell(self.quote, "Order", "U1")
        self.addCleanup(setattr, why, "String", "")
        head = cell(self.quote, "Order", "A6").Formula.strip("{}")
        for title, value, told in (
                ("stretches_m", "4.6+5", "takes walls in m from the near end on, the gap at the corner before one after a colon, as 4.6 5:0.02"),
                ("stretches_m", "4.6 5 1", "measured_m, item 2: 9.6: contradicts another figure; takes 10.6 to 10.6 m"),
                ("stretches_m", "4.6 5:2", "gap_m, item 2: 2: outside the allowed range; takes 0 to 1 m"),
                ("feeder", "gold", "runs, row 4, feeder: gold; takes one of flex-2x1.5"), ("reach", "nowhere", "nowhere; takes one of near_end, ends, anywhere"),
                ("arrangements", "star", "star; takes one of one_end, far_end, both_ends, middle, points, ring")):
            one = table.getCellByPosition(titles.index(title), 3)
            before, one.Formula = one.Formula, f"'{value}"
            why.Formula = head[:-1] + ';"why")'
            self.assertIn(told, why.String)
            one.Formula = f"'{before}" if before else ""

    def test_order_is_that_of_the_order_sheet(self):
        wanted = self.order_sheet_lists(BOOKSHOP, "csv")["order"]
        shown = self.quote.Sheets.getByName("Order").getCellRangeByName("A7:F60").DataArray
        lines = [line for line in shown[:len(wanted)]]
        self.assertEqual(self.quote.Sheets.getByName("Order").getCellRangeByName("A6:F6").DataArray[0],
                         ("part", "name", "quantity", "length_m", "unit_price_minor", "price_minor"))
        number = lambda text: float(text) if text else ""
        self.assertEqual([(line[0], line[2], line[3] if line[3] == "" else round(line[3], 9), line[4], line[5]) for line in lines],
                         [(row["part"], number(row["quantity"]),
                           number(row["length_m"]) if row["length_m"] == "" else round(float(row["length_m"]), 9),
                           number(row["unit_price_minor"]), number(row["price_minor"])) for row in wanted])
        self.assertGreater(len(wanted), 20)
        self.assertEqual(shown[len(wanted)][0], "")

    def test_all_lists_of_a_plan(self):
        sheet = self.quote.Sheets.getByName("Order")
        head = sheet.getCellRangeByName("A6").Formula.strip("{}")
        self.assertTrue(head.startswith('=TW.PLAN("order";'))
        for what, wide in (("cutting", 7), ("connections", 8), ("checks", 8), ("readings", 7), ("notes", 3), ("totals", 2)):
            area = sheet.getCellRangeByPosition(20, 0, 19 + wide, 299)
            area.setArrayFormula(head.replace('"order";40;', f'"{what}";300;'))
            self.assertGreater(sum(row[0] != "" for row in area.DataArray), 10, what)
            area.clearContents(16)
        area = sheet.getCellRangeByPosition(20, 0, 25, 4)
        area.setArrayFormula(head.replace(";40;", ";5;"))
        self.assertRegex(area.DataArray[4][0], "^[0-9]+ more: needs [0-9]+ rows$")
        area.clearContents(16)
        self.assertEqual(sheet.getCellRangeByName("B4").String, "yes")
        zone = cell(self.quote, "Runs", "C3")
        self.addCleanup(setattr, zone, "String", zone.String)
        zone.String = "attic"
        self.assertEqual(sheet.getCellRangeByName("A6").getError(), ILLEGAL)
        why = sheet.getCellRangeByName("U1")
        why.Formula = head[:-1] + ';"why")'
        self.assertTrue(why.String.startswith("runs, row 3, zone: attic; takes one of window, shelves,"), why.String)

    @staticmethod
    def answers_of_the_order_sheet(folder, question):
        """Rows of the lists that the order sheet prints to a question, by their titles."""
        printed = subprocess.run([ORDER_SHEET, folder, question], stdout=subprocess.PIPE, text=True, check=False).stdout
        lists = {}
        for title, body in re.findall(r"^(.+)\n=+\n((?:  .*\n)+)", printed, re.M):
            lists[title] = [re.split(r"  +", line.strip()) for line in body.splitlines()[2:]]
        return lists

    def test_other_ways_are_those_of_the_order_sheet(self):
        *wanted, _ = self.answers_of_the_order_sheet(BOOKSHOP, "--other-ways")["Other ways to build it"]
        minor = lambda text: int(Decimal(text) * 100)
        self.assertGreater(len(wanted), 1)
        self.assertEqual([(line["way"], line["price_minor"], line["more_minor"], line["drivers"], line["plug_in"], line["soldered"], line["thickest_mm2"])
                          for line in self.plan_list("alternatives", 7)],
                         [(way, minor(price), minor(more), *map(float, counts)) for way, price, more, *counts in wanted])
        self.assertEqual(self.plan_list("conflict", 6), [])
        # and so they stand below the order of the sheet itself
        shown = [line[0] for line in self.quote.Sheets.getByName("Order").getCellRangeByName("A1:A200").DataArray]
        at = shown.index("Other ways to build it, cheapest first")
        self.assertEqual(shown[at + 1:at + 3 + len(wanted)], ["way", *(way for way, *_ in wanted), ""])
        self.assertEqual(shown[shown.index("What stands against it, and what would help") + 1:][:2], ["column", ""])

    def test_a_conflict_is_that_of_the_order_sheet(self):
        folder = FOLDER / "strict"
        shutil.copytree(BOOKSHOP, folder, dirs_exist_ok=True)
        rules = self.quote.Sheets.getByName("Rules")
        rows = [row[0] for row in rules.getCellRangeByName("A1:A15").DataArray]
        one = rules.getCellByPosition(1, rows.index("least_evenness"))
        self.addCleanup(setattr, one, "Value", one.Value)
        one.Value = 0.95
        text = (folder / "rules.csv").read_text(encoding="utf-8")
        (folder / "rules.csv").write_text(re.sub(r"(?m)^least_evenness,.*$", "least_evenness,0.95", text), encoding="utf-8")
        wanted = self.answers_of_the_order_sheet(folder, "--conflict")["What would help there, each alone"]
        shown = self.plan_list("conflict", 6)
        self.assertEqual([line["column"] for line in shown], ["rule", "measured_m", "fails"])
        self.assertEqual([f"{line['enough']:.6g}" for line in shown[:-1]], [to for _, to, _ in wanted])
        self.assertEqual([line["price_minor"] for line in shown[:-1]], [int(Decimal(price) * 100) for _, _, price in wanted])
        self.assertEqual([(line["of"], line["asked"], line["whole_job_fits"]) for line in shown[:-1]],
                         [("least_evenness", 0.95, "yes"), ("corner-arch", 4.37, "no")])
        self.assertEqual(shown[-1]["of"], "lightness step along the run (CIE 1976)")
        self.assertEqual(self.plan_list("alternatives", 7), [])
        # what is wished for stands there as it was typed
        one.Value = 0.9
        zones = self.quote.Sheets.getByName("Zones")
        driver = zones.getCellByPosition(zones.getCellRangeByName("A1:Z1").DataArray[0].index("driver"), 2)
        self.addCleanup(setattr, driver, "String", "")
        driver.String = "plug-24-36"
        shown = {line["column"]: line for line in self.plan_list("conflict", 6)}
        self.assertEqual((shown["driver"]["of"], shown["driver"]["asked"], shown["driver"]["enough"], shown["driver"]["whole_job_fits"]),
                         ("shelves", "plug-24-36", "given up", "yes"))

    def test_colours_of_utilisation(self):
        """A load above the driver's capacity turns the cell red, and the advice says what is broken."""
        row = FIRST + 7  # 103 W: with three times that no driver of the table fits
        wish, used, advice, driver = (cell(self.quote, "Quote", f"{letter}{row}") for letter in "FOSN")
        self.addCleanup(setattr, wish, "Value", wish.Value)
        self.assertLess(used.Value, 1)
        self.assertEqual(advice.String, "ok")
        wish.Value = 2
        self.assertGreater(used.Value, 1)
        self.assertEqual(driver.String, "none fits")
        self.assertTrue(advice.String.startswith("driver: "), advice.String)
        formats = self.quote.Sheets.getByName("Quote").ConditionalFormats.getConditionalFormats()
        self.assertEqual(len(formats), 4)
        charts = self.quote.Sheets.getByName("Light").Charts
        self.assertEqual(charts.Count, 1)

    def test_a_missing_measure_is_told(self):
        measured = cell(self.quote, "Quote", f"C{FIRST + 1}")
        before = measured.Value
        self.addCleanup(setattr, measured, "Value", before)
        measured.clearContents(1 | 2 | 4 | 16)
        self.assertEqual(cell(self.quote, "Quote", f"S{FIRST + 1}").String, "a measure is missing")
        self.assertEqual(cell(self.quote, "Quote", f"H{FIRST + 1}").String, "")
        measured.String = "about 3 m"
        self.assertEqual(cell(self.quote, "Quote", f"S{FIRST + 1}").String, "a measure is missing")
        measured.Value = before
        self.assertEqual(cell(self.quote, "Quote", f"S{FIRST + 1}").String, "ok")


class InFiles(unittest.TestCase):
    """What happens to a file: stale figures, CSV, other formats."""

    @classmethod
    def setUpClass(cls):
        cls.profile = FOLDER / "profile-files"
        cls.remove = staticmethod(install(str(PACKAGE), cls.profile))

    @classmethod
    def tearDownClass(cls):
        cls.remove()

    def converted(self, path, to):
        made = FOLDER / (path.stem + "." + to.split(":")[0])
        made.unlink(missing_ok=True)
        subprocess.run(["soffice", "--headless", "--norestore", f"-env:UserInstallation=file://{self.profile}",
                        "--convert-to", to, "--outdir", FOLDER, path], stdout=subprocess.DEVNULL,
                       stderr=subprocess.DEVNULL, check=True)
        self.assertTrue(made.exists())  # soffice ends with 0 whatever happens
        return made

    def test_stale_figures_are_recalculated_and_fifteen_digits_go_out(self):
        formulas = ["TW.TWOWIREDROP(2.5;0.021;4)", "TW.AWGRESISTANCE(18;75)", "TW.LIGHTNESS(0.3)", "TW.TWOWIREDROP(-1;1;1)"]
        cells = "".join(f'<table:table-row><table:table-cell table:formula="of:={one}" office:value-type="float" '
                        'office:value="999"><text:p>999</text:p></table:table-cell></table:table-row>' for one in formulas)
        stale = FOLDER / "stale.fods"
        stale.write_text(
            '<?xml version="1.0" encoding="UTF-8"?><office:document '
            'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
            'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
            'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" '
            'xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2" office:version="1.3" '
            'office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:body><office:spreadsheet>'
            f'<table:table table:name="S">{cells}</table:table></office:spreadsheet></office:body></office:document>',
            encoding="utf-8")
        rows = {row["id"]: row for row in csv.DictReader(
            line for line in open(ROWS, encoding="utf-8", newline="") if not line.startswith("#"))}
        drop = next(row for row in rows.values() if row["arguments"].startswith("2.5 0.021") and row["status"] == "0"
                    and row["function"] == "tw_two_wire_drop" and row["arguments"].endswith(" 4"))
        out = self.converted(stale, "csv").read_text(encoding="utf-8").splitlines()
        self.assertEqual(out[0], f"{figure(drop['words']):.15g}")
        self.assertEqual(out[1], "0.025476197208871")
        self.assertAlmostEqual(float(out[2]), 116 * 0.3 ** (1 / 3) - 16, places=11)  # 15 digits of 61.65
        self.assertEqual(out[3], "Err:502")
        for kind in ("ods", "xlsx"):
            again = self.converted(self.converted(stale, kind), "csv").read_text(encoding="utf-8").splitlines()
            self.assertEqual(again[:3], out[:3], kind)
            self.assertIn(again[3], ("Err:502", "#VALUE!"))


class CommaLocale(WithCalc):
    """A German sheet: comma decimals are Calc's business; figures, bits and texts stay."""
    locale = "de-DE"

    def test_comma_decimals(self):
        one = self.sheet.getCellRangeByName("A1")
        one.FormulaLocal = "0,0125"
        self.assertEqual((one.Value, one.String), (0.0125, "0,0125"))
        drop = self.sheet.getCellRangeByName("B1")
        drop.FormulaLocal = "=TW.TWOWIREDROP(2,5;A1;4)"
        self.assertEqual((bits(drop.Value), drop.String), (bits(0.25), "0,25"))
        self.assertEqual(self.ask("=TW.TWOWIREDROP(-1.5;A1;4)").getError(), ILLEGAL)
        drop.FormulaLocal = '=TW.TWOWIREDROP(-1,5;A1;4;"why")'
        self.assertIn("current_a: -1.5: outside the allowed range; takes 0 to 10000 A", drop.String)
        one.FormulaLocal = "'0,0125"  # a text that looks like a number
        self.assertEqual(self.ask("=TW.TWOWIREDROP(2;A1;4)").getError(), ILLEGAL)

    def test_the_sample_sheet(self):
        quote = self.calc.opened(QUOTE)
        wanted = [line.split()[3] for line in told() if line.startswith("room ")]
        self.assertEqual([bits(cell(quote, "Quote", f"H{FIRST + at}").Value) for at in range(len(wanted))], wanted)


class Without(WithCalc):
    """The add-in without its library: errors in cells, and the self-check says why."""

    @classmethod
    def setUpClass(cls):
        bare = FOLDER / "bare.oxt"
        with zipfile.ZipFile(PACKAGE) as whole, zipfile.ZipFile(bare, "w") as part:
            for name in whole.namelist():
                if name != "libtapewright.so":
                    part.writestr(name, whole.read(name))
        profile = FOLDER / "profile-bare"
        cls.remove = staticmethod(install(str(bare), profile))
        cls.calc = Calc(profile)
        cls.sheet = cls.calc.opened().Sheets.getByIndex(0)

    def test_a_missing_library_is_told(self):
        self.assertIn("library not loaded", self.ask("=TW.SELFCHECK()").String)
        self.assertEqual(self.ask("=TW.TWOWIREDROP(2;0.0125;4)").getError(), ILLEGAL)
        self.assertIn("library not loaded", self.ask('=TW.TWOWIREDROP(2;0.0125;4;"why")').String)


STUBS = """
Private Function TwText(ByVal at As Variant) As String
  TwText = at
End Function
Private Function c_abi_version() As Long
  c_abi_version = 1000
End Function
Private Function c_version_text() As String
  c_version_text = "stub"
End Function
Private Function c_field_name(ByVal field As Long) As String
  c_field_name = "field " & field
End Function
Private Function c_field_unit(ByVal field As Long) As String
  c_field_unit = "A"
End Function
Private Function c_field_text(ByVal field As Long) As String
  c_field_text = "current"
End Function
Private Function c_status_text(ByVal status As Long) As String
  c_status_text = "outside"
End Function
Private Function c_two_wire_drop(ByVal current_a As Double, ByVal resistance_ohm_per_m As Double, ByVal one_way_m As Double, ByRef drop_v As Double, ByRef why As TwFault) As Long
  If current_a < 0 Then
    why.code = 1
    why.field = 1
    why.given = current_a
    why.most = 10000
    c_two_wire_drop = 1
  Else
    drop_v = 2 * current_a * resistance_ohm_per_m * one_way_m
  End If
End Function
Private Function c_cut_length(ByVal measured_m As Double, ByVal cut_pitch_m As Double, ByRef segments As Double, ByRef length_m As Double, ByRef dark_m As Double, ByRef why As TwFault) As Long
  segments = 92
  length_m = 4.6
  dark_m = 0.03
End Function
Private Function c_awg_area(ByVal awg As Long, ByRef area_mm2 As Double, ByRef why As TwFault) As Long
  area_mm2 = awg
End Function
"""


class ExcelModule(WithCalc):
    """The module for Excel, its Declares replaced by stubs, run by LibreOffice's Basic, which reads Excel's too. It is
    the module's own code that runs - what is taken for a number, which output is shown, what is told - but not Excel."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        source = (ROOT / "examples" / "spreadsheet" / "tapewright.bas").read_text(encoding="ascii")
        source = re.sub(r" _\n\s*", " ", source)
        source = re.sub(r"Private Function TwText\(.*?End Function\n", "", source, flags=re.S)
        kept = [line for line in source.splitlines()
                if not line.startswith(("Attribute", "Private Declare")) and "LoadLibraryW" not in line]
        # Calc's Basic raises an error when it makes an error value; a text stands for it
        source = "\n".join(kept).replace("CVErr(TW_VALUE)", '"#VALUE!"').replace("CVErr(TW_NUM)", '"#NUM!"')
        source = "Option VBASupport 1\n" + source.replace("As LongLong", "As Double") + STUBS
        libraries = cls.document.BasicLibraries
        if not libraries.hasByName("Standard"):
            libraries.createLibrary("Standard")
        libraries.getByName("Standard").insertByName("Tapewright", source)

    def call(self, name, *arguments):
        script = self.document.getScriptProvider().getScript(
            f"vnd.sun.star.script:Standard.Tapewright.{name}?language=Basic&location=document")
        return script.invoke(arguments, (), ())[0]

    def test_figures_and_outputs(self):
        self.assertEqual(self.call("TwTwoWireDrop", 2.0, 0.0125, 4.0), 0.2)
        self.assertEqual(self.call("TwTwoWireDrop", 2.0, 0.0125, 4.0, "why"), "ok")
        self.assertEqual(self.call("TwCutLength", 4.63, 0.05), 92)
        self.assertEqual(self.call("TwCutLength", 4.63, 0.05, "dark_m"), 0.03)
        self.assertEqual(self.call("TwCutLength", 4.63, 0.05, "all"), (92, 4.6, 0.03))
        self.assertEqual(self.call("TwCutLength", 4.63, 0.05, "length"), "#VALUE!")
        self.assertEqual(self.call("TwAwgArea", -3.0), -3)
        self.assertEqual(self.call("TwSelfCheck"), "tapewright stub, interface 1000: found, bits good")

    def test_refusals(self):
        for given, told in (("abc", 'the text "abc" is not a number'), ("", 'the text "" is not a number'),
                            (None, "the cell is empty"), (True, "not a number")):
            self.assertEqual(self.call("TwTwoWireDrop", 2.0, given, 4.0), "#VALUE!")
            why = self.call("TwTwoWireDrop", 2.0, given, 4.0, "why")
            self.assertTrue(why.startswith("resistance_ohm_per_m: " + told), why)
            self.assertIn("takes 0 to 1000 ohm/m (", why)
        self.assertEqual(self.call("TwTwoWireDrop", -1.0, 0.0125, 4.0), "#NUM!")
        self.assertEqual(self.call("TwTwoWireDrop", -1.0, 0.0125, 4.0, "why"), "field 1: -1: outside; takes 0 to 10000 A (current)")
        self.assertEqual(self.call("TwAwgArea", 2.5), "#VALUE!")
        self.assertIn("is not a whole number; takes -3 to 40 AWG", self.call("TwAwgArea", 2.5, "why"))
        self.assertIn("is outside", self.call("TwAwgArea", 3e9, "why"))
        self.assertEqual(self.call("TwLightness", 0.5), "#VALUE!")  # not there at all: caught


TOLD = []


def told():
    """The lines of the oracle, asked once for the rooms as the sample sheet has them."""
    if not TOLD:
        namespace = {"__name__": "make_sheet", "__file__": str(ROOT / "examples" / "spreadsheet" / "make_sheet")}
        exec(compile(pathlib.Path(namespace["__file__"]).read_text(encoding="utf-8"), "make_sheet", "exec"), namespace)
        lines = [f"{tape} {measured} {route} {air} 0.1 {mount}" for _, tape, measured, route, air, mount in namespace["rooms"]()]
        TOLD.extend(subprocess.run([ORACLE, BOOKSHOP], input="\n".join(lines) + "\n", capture_output=True, text=True,
                                   check=True).stdout.splitlines())
    return TOLD


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    subprocess.run([sys.executable, ROOT / "examples" / "spreadsheet" / "make_sheet", QUOTE], check=True)
    suite = unittest.defaultTestLoader.loadTestsFromModule(sys.modules["__main__"])
    result = unittest.TextTestRunner(stream=sys.stdout, verbosity=0).run(suite)
    bad = len(result.failures) + len(result.errors)
    print(f"{result.testsRun - bad} passed, {bad} failed")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
