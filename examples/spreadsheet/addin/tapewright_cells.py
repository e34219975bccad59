# SPDX-License-Identifier: BSL-1.0
"""Functions of plain figures as cell formulas, all made from the table of the C interface.

An argument is one cell, a number, or a column of cells; an array argument of the C interface is a range. Nothing is
taken for a number that is none: an empty cell, a text, a fraction where a whole number is asked for are refused, never
read as 0. The last argument, `which`, may be left out: it names another output than the first, or "all" outputs in a
row, "why" the call is refused, or its "status".
"""
import ctypes
import math

FIGURES = {"double *": ctypes.c_double, "int32_t *": ctypes.c_int32, "int64_t *": ctypes.c_int64}
KINDS = ("scalar", "array")  # of functions that take and give plain figures, or arrays of them
NOT_A_NUMBER = float("nan")
OUT_OF_RANGE = 1  # TW_OUT_OF_RANGE: what an empty cell or a text is, too


class Refusal(Exception):
    """Why a cell shows an error, in one line."""

    def __init__(self, text, status=OUT_OF_RANGE):
        super().__init__(text)
        self.status = status


def plain(number):
    return f"{number:.15g}"


def takes(unit, least, most, meaning):
    """What an argument takes: "takes 0 to 10000 m (length of the route, one way)"."""
    span = f"takes {plain(least)} to {plain(most)} {unit}".rstrip() if least is not None else "takes a number"
    return f"{span} ({meaning})" if meaning else span


class Argument:
    """A figure that comes in, or with `is_array` a range of them."""

    def __init__(self, facts, field):
        self.name, self.type, self.field = facts["name"], facts["type"], facts["field"]
        self.least, self.most, self.unit = facts["least"], facts["most"], facts["unit"]
        if self.least is None and field:
            self.least, self.most = field["least"], field["most"]
        self.meaning = facts["text"] or (field["text"] if field else "")
        self.is_array = self.type == "const double *"
        self.is_whole = self.type in ("int32_t", "int64_t")
        bits = 64 if self.type == "int64_t" else 32
        self.whole_most = 2.0 ** (bits - 1)

    @property
    def takes(self):
        return takes(self.unit, self.least, self.most, self.meaning)

    def refuse(self, what):
        raise Refusal(f"{self.name}: {what}; {self.takes}")

    def figure(self, cell):
        """The number in a cell."""
        if not isinstance(cell, float):
            if cell == "" or cell is None:
                self.refuse("the cell is empty")
            self.refuse(f'the text "{cell}" is not a number')
        if not self.is_whole:
            return cell
        if not cell.is_integer():
            self.refuse(f"{plain(cell)} is not a whole number")
        if not -self.whole_most <= cell < self.whole_most:
            self.refuse(f"{plain(cell)} is outside")
        return int(cell)

    def array(self, cells):
        """The numbers of a range, row by row; empty cells at its end do not count."""
        figures = [cell for row in cells for cell in row]
        while figures and (figures[-1] == "" or figures[-1] is None):
            figures.pop()
        if not figures:
            self.refuse("the range is empty")
        return [self.figure(cell) for cell in figures]


class Function:
    """One function of plain figures."""

    def __init__(self, library, facts):
        self.library = library
        self.text = facts["text"]
        self.call = getattr(library.c, facts["name"])
        self.arguments, self.outputs, self.plan, counted = [], [], [], False
        for argument in facts["arguments"]:
            kind = argument["type"]
            if kind == "tw_fault *":
                self.plan.append("why")
            elif kind in FIGURES:
                self.plan.append(FIGURES[kind])
                self.outputs.append(argument)
            elif self.arguments and self.arguments[-1].is_array and kind == "int32_t" and not counted:
                self.plan.append("count")  # how many figures an array has is seen from its range
                counted = True
            else:
                self.plan.append("in")
                self.arguments.append(Argument(argument, library.fields.get(argument["field"])))
        self.columns = not any(argument.is_array for argument in self.arguments)

    def ask(self, cells):
        """All outputs for one range a figure, or a Refusal."""
        figures = [argument.array(given) if argument.is_array else argument.figure(given[0][0])
                   for argument, given in zip(self.arguments, cells)]
        fault = self.library.fault()
        given, outputs, next_figure, count = [], [], 0, None
        for step in self.plan:
            if step == "in":
                figure = figures[next_figure]
                next_figure += 1
                if isinstance(figure, list):
                    if count not in (None, len(figure)):
                        raise Refusal(f"{self.arguments[next_figure - 1].name}: {len(figure)} cells beside {count}")
                    count = len(figure)
                    figure = (ctypes.c_double * count)(*figure)
                given.append(figure)
            elif step == "count":
                given.append(count)
            elif step == "why":
                given.append(ctypes.byref(fault))
            else:
                outputs.append(step())
                given.append(ctypes.byref(outputs[-1]))
        status = self.call(*given)
        if status != 0:
            raise Refusal(self.told(fault, figures), status)
        return [float(output.value) for output in outputs]

    def told(self, fault, figures):
        """A fault in words, with the name that the figure has among these arguments."""
        library = self.library
        of_field = [argument for argument in self.arguments if argument.field == fault.field]
        same = [argument for argument, figure in zip(self.arguments, figures)
                if argument in of_field and (figure == fault.given or isinstance(figure, list))]
        named = (same or of_field or [None])[0]
        where = (named.name if named else library.text("tw_field_name", fault.field)) + (f", cell {fault.item + 1}" if fault.item >= 0 else "")
        meaning = named.meaning if named else library.text("tw_field_text", fault.field)
        given = "" if math.isnan(fault.given) else plain(fault.given) + ": "
        return (f"{where}: {given}{library.text('tw_status_text', fault.code)}; "
                f"{takes(library.text('tw_field_unit', fault.field), fault.least, fault.most, meaning)}")

    def pick(self, which):
        """Which outputs are wanted, as places."""
        if which is None or which == "":
            return [0]
        if which == "all":
            return list(range(len(self.outputs)))
        for place, output in enumerate(self.outputs):
            if which in (output["name"], float(place + 1)):
                return [place]
        raise Refusal(f"which: {which}; takes one of all, why, status, "
                      + ", ".join(output["name"] for output in self.outputs))

    def answer(self, cells, which):
        """What a row of cells shows: a list of figures; a refusal is raised, told, or shown as its status."""
        try:
            outputs = self.ask(cells)
            if which == "why":
                return ["ok"]
            return [0.0] if which == "status" else [outputs[place] for place in self.pick(which)]
        except Refusal as refusal:
            if which == "why":
                return [str(refusal)]
            if which == "status":
                return [float(refusal.status)]
            raise

    def __call__(self, cells, which=None):
        """One figure or text, or rows of them. IndexError where arguments are missing."""
        if len(cells) < len(self.arguments):
            raise IndexError
        rows = max(len(given) for given in cells) if self.columns else 1
        if rows == 1 and (not self.columns or all(len(given[0]) == 1 for given in cells)):
            shown = self.answer(cells, which)
            return shown[0] if len(shown) == 1 else (tuple(shown),)
        for argument, given in zip(self.arguments, cells):
            if len(given[0]) != 1 or len(given) not in (1, rows):
                argument.refuse(f"{len(given)} x {len(given[0])} cells, where one cell or a column of {rows} belongs")
        wide = [given if len(given) == rows else given * rows for given in cells]
        shown = []
        for row in zip(*wide):
            try:
                shown.append(tuple(self.answer([(cell,) for cell in row], which)))
            except Refusal:
                shown.append((NOT_A_NUMBER,) * len(self.pick(which)))
        return tuple(shown)


def cell_name(function):
    """tw_two_wire_drop -> twoWireDrop: the method behind the formula TW.TWOWIREDROP."""
    first, *rest = function.removeprefix("tw_").split("_")
    return first + "".join(word.capitalize() for word in rest)


def cell_functions(library):
    """The functions of plain figures by the name of their method."""
    return {cell_name(name): Function(library, facts) for name, facts in library.functions.items()
            if facts["kind"] in KINDS}
