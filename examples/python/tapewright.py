# SPDX-License-Identifier: BSL-1.0
"""tapewright for Python: one file over the C library, nothing to build.

The library is asked for its own functions and structures (tw_describe_...), so that nothing is declared twice.

    import tapewright
    tw = tapewright.load()                      # or load("path/to/libtapewright.so")
    tw.two_wire_drop(2.5, 0.0210, 4)            # 0.42 V, but for the last bit; names may be given: one_way_m=4
    tw.cut_length(measured_m=4.63, cut_pitch_m=0.05).segments
    tw.two_wire_drop_n(amps, 0.0210, metres)    # columns: lists, arrays of NumPy, or one figure for every row
    tape = tw.struct("tw_tape", code="white", channels=1, nominal_v=24, ...)

One result comes back as it is, several as a tuple with names. A refusal raises Refused, which tells the figure at fault,
what came in and what is allowed. Structures that go out are made here; rooms (a block, a workspace) are the caller's:
`room(bytes)`. Columns with a row at fault raise too; `row` tells which.
"""
import collections
import ctypes
import ctypes.util
import os
import pathlib

try:
    import numpy
except ImportError:  # columns then come back as lists
    numpy = None

_FIGURES = {"double": ctypes.c_double, "int32_t": ctypes.c_int32, "int64_t": ctypes.c_int64, "uint32_t": ctypes.c_uint32,
            "char": ctypes.c_char, "tw_status": ctypes.c_int32, "const char *": ctypes.c_char_p}
_NO_ROOM = 4


class Refused(ValueError):
    """Why there is no answer: status, field and its name, what came in, what is allowed, and the row where there is one."""

    def __init__(self, function, status, text, why, field):
        self.function, self.status, self.text = function, status, text
        self.field, self.given, self.least, self.most, self.row = field, why.given, why.least, why.most, why.item
        where = f", row {self.row}" if self.row >= 0 else ""
        allowed = f"; {self.least:g} to {self.most:g} is allowed" if field else ""
        super().__init__(f"{function}: {field or 'no figure'} = {self.given:g}: {text}{allowed}{where}")


def _facts(name, *members):
    """One of the structures in which the library describes itself; pointers there fill eight bytes on any machine."""
    kinds = {"i": ctypes.c_int32, "u": ctypes.c_uint32, "d": ctypes.c_double, "p": ctypes.c_uint64}
    return type(name, (ctypes.Structure,), {"_fields_": [(m[1:], kinds[m[0]]) for m in members]})


_Function = _facts("tw_function_facts", "ustruct_size", "iarguments", "pname", "preturns", "ptext")
_Argument = _facts("tw_argument_facts", "ustruct_size", "ifield", "ptype", "pname", "ptext", "dleast", "dmost")
_Structure = _facts("tw_structure_facts", "ustruct_size", "imembers", "ibytes", "ifirst_release", "pname")
_Member = _facts("tw_member_facts", "ustruct_size", "ifield", "ioffset", "ibytes", "icount", "itext_bytes", "ptype", "pname",
                 "dleast", "dmost")
Argument = collections.namedtuple("Argument", "name type field text least most")


def _text(pointer):
    return ctypes.string_at(pointer).decode("utf-8")


def room(bytes_wanted):
    """A block of the caller's, its address divisible by 8."""
    return (ctypes.c_uint64 * max(1, (bytes_wanted + 7) // 8))()


def load(path=None):
    """The library at `path`, at $TAPEWRIGHT_LIBRARY, beside this file, or where the system finds it."""
    beside = [str(p) for p in pathlib.Path(__file__).parent.glob("*tapewright.*") if p.suffix in (".so", ".dll", ".dylib")]
    named = [path, os.environ.get("TAPEWRIGHT_LIBRARY"), *beside, ctypes.util.find_library("tapewright")]
    found = next((n for n in named if n), "libtapewright.so.1")
    return Library(ctypes.CDLL(os.fspath(found)))


class Library:
    """Every function of the interface by its name without tw_."""

    def __init__(self, dll):
        self._dll = dll
        self.structures = {}
        for place in range(dll.tw_describe_structure_count()):
            self._declare_structure(self._described(_Structure, "tw_describe_structure", place), place)
        self.functions = {}
        for place in range(dll.tw_describe_count()):
            self._declare_function(self._described(_Function, "tw_describe_function", place), place)

    def _described(self, kind, function, *places):
        facts = kind(struct_size=ctypes.sizeof(kind))
        status = getattr(self._dll, function)(*places, ctypes.byref(facts), None)
        if status != 0:
            raise OSError(f"{function}{places} answers {status}: not the library that was meant?")
        return facts

    def _declare_structure(self, structure, place):
        fields = []
        for at in range(structure.members):
            m = self._described(_Member, "tw_describe_member", place, at)
            kind = _text(m.type)
            one = ctypes.c_char * m.text_bytes if m.text_bytes else _FIGURES.get(kind) or self.structures.get(kind)
            if kind.startswith("const ") or one is None:
                one = ctypes.c_uint64  # a pointer in eight bytes
            count = m.bytes // ctypes.sizeof(one)
            fields.append((_text(m.name), one * count if count > 1 else one))
        made = type(_text(structure.name), (ctypes.Structure,), {"_fields_": fields})
        if ctypes.sizeof(made) != structure.bytes:
            raise OSError(f"{made.__name__} has another layout here")
        self.structures[made.__name__] = made

    def _declare_function(self, function, place):
        arguments = []
        for at in range(function.arguments):
            a = self._described(_Argument, "tw_describe_argument", place, at)
            arguments.append(Argument(_text(a.name), _text(a.type), a.field, _text(a.text), a.least, a.most))
        name = _text(function.name)
        entry = getattr(self._dll, name)
        entry.restype = _FIGURES[_text(function.returns)]
        entry.argtypes = [_FIGURES.get(a.type, ctypes.c_void_p) for a in arguments]
        self.functions[name] = arguments
        columns = name.endswith("_n")
        call = _columns(self, entry, name, arguments) if columns else _call(self, entry, name, arguments)
        call.__name__, call.__doc__ = name[3:], _text(function.text)
        setattr(self, name[3:], call)

    def struct(self, kind, **members):
        """A structure with its size set: texts as str, a list where several stand, rows and other structures as such."""
        made = self.structures[kind]()
        made.kept = []  # what it points at lives as long as it does
        if hasattr(made, "struct_size"):
            made.struct_size = ctypes.sizeof(made)
        types = dict(made._fields_)
        for name, value in members.items():
            if name not in types:
                raise AttributeError(f"{kind} has no {name}")
            if isinstance(value, (list, tuple)):
                slots = getattr(made, name)
                for i, one in enumerate(value):
                    if isinstance(one, str):
                        slots[i].value = one.encode("utf-8")
                    else:
                        slots[i] = one
            elif types[name] is ctypes.c_uint64:
                made.kept.append(value)
                setattr(made, name, ctypes.addressof(value))
            else:
                setattr(made, name, value.encode("utf-8") if isinstance(value, str) else value)
        return made

    def rows(self, structures):
        """Structures of one kind as the rows of a list; what they point at must live on."""
        return (type(structures[0]) * len(structures))(*structures)

    def refuse(self, function, status, why):
        field = self.field_name(why.field)
        raise Refused(function, status, self.status_text(status), why, field)


def _is_out(argument):
    return argument.type.endswith("*") and not argument.type.startswith("const ")


def _is_room(argument):
    return argument.type in ("void *", "char *") or "may be null" in argument.text and argument.type != "tw_fault *"


def _call(library, entry, name, arguments):
    """A function of figures, arrays, structures: what comes in by place or name, what goes out as the result."""
    writes_text = any(a.name == "buffer" for a in arguments)
    hidden = ("buffer", "capacity", "wanted") if writes_text else ()
    takes = [a for a in arguments if a.type != "tw_fault *" and a.name not in hidden and (not _is_out(a) or _is_room(a))]
    gives = [a for a in arguments if _is_out(a) and a.type != "tw_fault *" and a.name not in hidden and not _is_room(a)]
    kinds = {a.name: a.type for a in takes}
    can_refuse = bool(arguments) and arguments[-1].type == "tw_fault *"
    figures = [a.name for a in takes] + [a.name for a in gives] + ["why"] == [a.name for a in arguments] and all(
        a.type.replace(" *", "") in _FIGURES for a in takes + gives)
    made_figures = [_FIGURES[a.type[:-2]] for a in gives] if figures else []
    result = collections.namedtuple(name, [a.name for a in gives]) if len(gives) > 1 else None

    def converted(a, value):
        if a.type == "const double *" and value is not None:
            return (ctypes.c_double * len(value))(*value)
        if isinstance(value, ctypes.Structure):
            return ctypes.byref(value)
        return value

    def made(a):
        if a.type == "tw_plan **":
            return ctypes.c_void_p()
        plain = a.type[:-2]
        return _FIGURES[plain]() if plain in _FIGURES else library.struct(plain)

    def call(*given, **named):
        if figures and not named and len(given) == len(takes):  # the plain case, three times as fast
            out = [kind() for kind in made_figures]
            if entry(*given, *map(ctypes.byref, out), None) == 0:
                return result(*[o.value for o in out]) if result else out[0].value
        asked = dict(zip(kinds, given), **named)
        missing = [a.name for a in takes if a.name not in asked and not _is_room(a)]
        if len(given) > len(kinds) or set(asked) - set(kinds) or missing:
            raise TypeError(f"{name} takes {', '.join(kinds)}" + (f"; missing: {', '.join(missing)}" if missing else ""))
        out = {a.name: made(a) for a in gives}
        out_of_text = {"buffer": None, "capacity": 0, "wanted": ctypes.c_int64()}

        def once(why=None):
            passed = []
            for a in arguments:
                if a.type == "tw_fault *":
                    passed.append(why)
                elif a.name in hidden:
                    value = out_of_text[a.name]
                    passed.append(ctypes.byref(value) if a.name == "wanted" else value)
                elif a.name in out:
                    passed.append(ctypes.byref(out[a.name]))
                else:
                    passed.append(converted(a, asked.get(a.name)))
            return entry(*passed)

        status = once()
        if writes_text and status == _NO_ROOM:
            out_of_text["capacity"] = out_of_text["wanted"].value + 1
            out_of_text["buffer"] = ctypes.create_string_buffer(out_of_text["capacity"])
            status = once()
        if not can_refuse:  # the library about itself
            return status.decode("utf-8") if isinstance(status, bytes) else status
        if status != 0:  # the same question has the same answer: now with the reason
            why = library.struct("tw_fault")
            library.refuse(name, once(ctypes.byref(why)), why)
        if writes_text:
            return out_of_text["buffer"].value.decode("utf-8") if out_of_text["buffer"] else ""
        values = [out[a.name] if isinstance(out[a.name], ctypes.Structure) else out[a.name].value for a in gives]
        return result(*values) if result else values[0]

    return call


def _columns(library, entry, name, arguments):
    """A function row by row. A figure alone is the same in every row; so is what a column of NumPy has between its rows."""
    takes = [a for a in arguments if a.type == "const double *"]
    gives = [a for a in arguments if _is_out(a) and a.type != "tw_fault *"]

    def column(value):
        """What is kept, its address, its stride in elements, its rows."""
        if isinstance(value, (int, float)):
            kept = ctypes.c_double(value)
            return kept, ctypes.addressof(kept), 0, None
        if numpy is not None:
            kept = numpy.asarray(value, dtype=numpy.float64)
            if kept.ndim == 1 and kept.strides[0] % 8 == 0 and kept.strides[0] > 0:
                return kept, kept.ctypes.data, kept.strides[0] // 8, len(kept)
            kept = numpy.ascontiguousarray(kept).reshape(-1)
            return kept, kept.ctypes.data, 1, len(kept)
        kept = (ctypes.c_double * len(value))(*value)
        return kept, ctypes.addressof(kept), 1, len(value)

    def call(*given, **named):
        asked = dict(zip([a.name for a in takes], given), **named)
        if set(asked) != {a.name for a in takes}:
            raise TypeError(f"{name} takes {', '.join(a.name for a in takes)}")
        columns = {a: column(value) for a, value in asked.items()}
        lengths = {c[3] for c in columns.values() if c[3] is not None}
        if len(lengths) > 1:
            raise ValueError(f"{name}: columns of {sorted(lengths)} rows")
        rows = lengths.pop() if lengths else 1
        out = {}
        for a in gives:
            if numpy is not None:
                out[a.name] = numpy.empty(rows, dtype=numpy.float64 if a.type == "double *" else numpy.int64)
            else:
                out[a.name] = (_FIGURES[a.type[:-2]] * rows)()
        why = library.struct("tw_fault")
        passed, stride = [], 1
        for a in arguments:
            if a.name in columns:
                stride = columns[a.name][2]
                passed.append(columns[a.name][1])
            elif a.name in out:
                stride = 1
                passed.append(out[a.name].ctypes.data if numpy is not None else ctypes.addressof(out[a.name]))
            elif a.type == "tw_fault *":
                passed.append(ctypes.byref(why))
            else:
                passed.append(rows if a.name == "rows" else stride)
        status = entry(*passed)
        if status != 0:
            library.refuse(name, status, why)
        filled = [c if numpy is not None else list(c) for c in out.values()]
        return filled[0] if len(filled) == 1 else collections.namedtuple(name, list(out))(*filled)

    return call
