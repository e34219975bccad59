# SPDX-License-Identifier: BSL-1.0
"""The C interface for Python by ctypes: functions, structures and numbers as functions.json tells them."""
import ctypes
import json
import os

SIMPLE = {"double": ctypes.c_double, "int32_t": ctypes.c_int32, "uint32_t": ctypes.c_uint32,
          "int64_t": ctypes.c_int64, "uint64_t": ctypes.c_uint64, "char": ctypes.c_char}


class Rows(ctypes.Union):
    """TW_ROWS: eight bytes that hold a pointer."""
    _fields_ = [("at", ctypes.c_void_p), ("bytes", ctypes.c_uint64)]


def structures_of(table):
    """Every structure of the table as a ctypes class, by its name."""
    described = {one["name"]: one for one in table}
    found = {}

    def structure(name):
        if name not in found:
            members = []
            for member in described[name]["members"]:
                kind = SIMPLE.get(member["type"]) or (structure(member["type"]) if member["type"] in described else Rows)
                for size in reversed(member["dimensions"]):
                    kind = kind * size
                members.append((member["name"], kind))
            found[name] = type(name, (ctypes.Structure,), {"_fields_": members})
            if ctypes.sizeof(found[name]) != described[name]["size"]:
                raise ValueError(f"{name} has another layout here")
        return found[name]

    for name in described:
        structure(name)
    return found


def made(structure, **members):
    """A structure with its size set, zero but for what is given."""
    one = structure(**members)
    one.struct_size = ctypes.sizeof(structure)
    return one


class Library:
    """The loaded library, its functions, structures, fields and numbers.

    folder holds libtapewright.so and functions.json. OSError where the library is not found, does not load or is older
    than the table.
    """

    def __init__(self, folder):
        with open(os.path.join(folder, "functions.json"), encoding="utf-8") as file:
            table = json.load(file)
        self.numbers = {constant["name"]: constant["value"] for constant in table["constants"]}
        self.structures = structures_of(table["structs"])
        self.fields = {field["number"]: field for field in table["fields"]}
        self.functions = {function["name"]: function for function in table["functions"]}
        self.c = ctypes.CDLL(os.path.join(folder, "libtapewright.so"))
        if self.c.tw_abi_version() < table["abi"]:
            raise OSError(f"libtapewright.so speaks interface {self.c.tw_abi_version()}, {table['abi']} is needed")
        for name, function in self.functions.items():
            call = getattr(self.c, name)
            call.argtypes = [SIMPLE.get(argument["type"], ctypes.c_void_p) for argument in function["arguments"]]
            call.restype = ctypes.c_char_p if function["returns"] == "const char *" else ctypes.c_int32

    def text(self, function, number=None):
        """One of the texts of the library: text("tw_status_text", 1)."""
        call = getattr(self.c, function)
        return (call() if number is None else call(number)).decode()

    def fault(self):
        return made(self.structures["tw_fault"])
