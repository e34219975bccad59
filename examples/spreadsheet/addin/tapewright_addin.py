# SPDX-License-Identifier: BSL-1.0
"""The add-in itself: methods of org.tapewright.XCells, one behind each formula TW.NAME.

A formula whose question makes no sense shows an error in its cell (Err:502), never a figure. With "why" as its last
argument the same formula tells which argument was refused and what it takes.
"""
import os
import sys

import uno
import unohelper
from com.sun.star.lang import IllegalArgumentException, XServiceInfo
from org.tapewright import XCells

FOLDER = os.path.dirname(__file__)
sys.path.insert(0, FOLDER)

from tapewright_cells import Refusal, cell_functions  # noqa: E402
from tapewright_library import Library  # noqa: E402
from tapewright_tables import table_formulas  # noqa: E402

NAME = "tw"
SERVICES = (NAME, "com.sun.star.sheet.AddIn")

# Known bits: 2 A over 4 m of 0.0125 ohm/m, out and back; the resistance of gauge 18 at 75 degC goes through exp.
KNOWN = (("twoWireDrop", (2.0, 0.0125, 4.0), "0x1.999999999999ap-3"),
         ("awgResistance", (18.0, 75.0), "0x1.a166ea75aac38p-6"))


def shown(value):
    """A result as Calc takes it: always a matrix, of one cell where there is one figure."""
    return value if isinstance(value, tuple) else ((value,),)


class State:
    """The loaded library, or why there is none."""

    def __init__(self):
        self.formulas, self.missing, self.library = {}, "", None
        try:
            self.library = Library(FOLDER)
            self.formulas = cell_functions(self.library) | table_formulas(self.library)
        except (OSError, ValueError, KeyError, AttributeError) as problem:
            self.missing = f"library not loaded: {problem}"

    def self_check(self):
        """One line: release, interface, bits."""
        if self.missing:
            return self.missing
        release = f"tapewright {self.library.text('tw_version_text')}, interface {self.library.c.tw_abi_version()}"
        for name, figures, bits in KNOWN:
            got = self.formulas[name]([((figure,),) for figure in figures])
            if got.hex() != bits:
                return f"{release}: WRONG BITS in {name}: {got.hex()}, {bits} expected"
        return f"{release}: found, bits good"


STATE = State()


def method(name):
    def call(self, *arguments):
        try:
            if STATE.missing:
                raise Refusal(STATE.missing, -1)
            *cells, which = arguments
            return shown(STATE.formulas[name](cells, which))
        except Refusal as refusal:
            if arguments[-1] == "why":
                return shown(str(refusal))
            raise IllegalArgumentException(str(refusal), self, 0)
    return call


def cells_of(interface):
    """The names of all methods that the interface declares."""
    described = uno.getComponentContext().getServiceManager().createInstance(
        "com.sun.star.reflection.CoreReflection").forName(interface)
    return [one.getName() for one in described.getMethods()
            if one.getDeclaringClass().getName() == interface and one.getName() not in ("selfCheck", "whyNot")]


class AddIn(unohelper.Base, XCells, XServiceInfo):
    def __init__(self, context):
        self.context = context

    def selfCheck(self):
        return shown(STATE.self_check())

    def whyNot(self, formula, arguments):
        """The reason of a refusal, for a formula told by name; its arguments follow as they stand there."""
        name = str(formula).upper().removeprefix("TW.")
        for known in STATE.formulas:
            if known.upper() == name:
                cells = [one if isinstance(one, tuple) else ((one,),) for one in arguments]
                try:
                    return STATE.formulas[known](cells, "why")
                except IndexError:
                    return f"{name}: not all arguments are given"
        return STATE.missing or f"{name}: no formula is called so; takes one of {', '.join(STATE.formulas).upper()}"

    def getImplementationName(self):
        return NAME

    def supportsService(self, name):
        return name in SERVICES

    def getSupportedServiceNames(self):
        return SERVICES


for _name in cells_of("org.tapewright.XCells"):
    setattr(AddIn, _name, method(_name))

g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(AddIn, NAME, SERVICES)
