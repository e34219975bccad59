# SPDX-License-Identifier: BSL-1.0
"""Tables of a sheet as rows of the C interface, and the formulas that take them.

A table is a range whose first row names the columns, in any order, as the CSV files of the order sheet do. Columns
whose title begins with # are the user's own, and so are rows whose first cell does. Any other unknown title is
refused, so that a limit is not lost to a typing error.
"""
import collections
import ctypes

from tapewright_cells import Refusal, cell_name, plain, takes
from tapewright_library import Rows, made

NONE_FITS = "none fits"

YES_NO = {"yes": 1, "no": 0}
NO_YES = {"no": 0, "yes": 1}
POLARITY = {"positive": "TW_COMMON_POSITIVE", "negative": "TW_COMMON_NEGATIVE"}
MOUNT = {"any": "TW_MOUNT_ANY", "plug_in": "TW_MOUNT_PLUG_IN", "hardwired": "TW_MOUNT_HARDWIRED"}
LAW = {"resistor": "TW_LAW_RESISTOR_LIMITED", "regulated": "TW_LAW_REGULATED",
       "constant_power": "TW_LAW_CONSTANT_POWER"}
USE = {name: "TW_USE_" + name.upper() for name in ("tape_to_cable", "cable_to_cable", "tape_to_tape", "driver_plug")}
REACH = {name: "TW_REACH_" + name.upper() for name in ("near_end", "ends", "anywhere")}
DARK = {name: "TW_DARK_" + name.upper() for name in ("far_end", "near_end", "shared")}
FEEDS = {name: "TW_FEED_" + name.upper() for name in ("one_end", "far_end", "both_ends", "middle", "points", "ring")}
AMPACITY = {"iec": "TW_CODE_IEC", "nec": "TW_CODE_NEC"}
FAMILY = {name: "TW_FAMILY_" + name.upper()
          for name in ("fuse_gg", "breaker_b", "breaker_c", "breaker_d", "blade_fuse", "cartridge_fuse")}


# What a column holds: ("number", member, per unit) must be stated, ("stated", ...) may be empty and is then 0.
def number(member=None, per=1.0):
    return "number", member, per


def stated(member=None, per=1.0):
    return "stated", member, per


def choice(names, member=None):
    return "choice", member, names


def wish(names, member=None):
    """A choice that may be empty, or have no column: then the first."""
    return "wish", member, names


CODE, TEXT = ("code", None, None), ("text", None, None)

COLUMNS = {
    "runs": {"run": CODE, "name": TEXT, "zone": TEXT, "tape": TEXT, "measured_m": number(),
             "from_controller_m": number(), "ambient_c": number(), "cable_ambient_c": number(),
             "reach": wish(REACH), "to_far_end_m": stated(), "between_extra_m": stated(), "closes": wish(NO_YES),
             "dark": wish(DARK), "arrangements": ("bits", None, FEEDS), "stretches_m": ("walls", "stretch", "stretches"),
             "feeder": ("pin", "TW_PIN_RUN_FEEDER", "cables")},
    "zones": {"zone": CODE, "name": TEXT, "features": ("words", "feature", "features"),
              "wants_controller": choice(YES_NO), "driver_place": ("place", None, None), "from_driver_m": number(),
              "driver_ambient_c": number(), "mount": choice(MOUNT), "limited_energy": choice(YES_NO),
              "least_ingress_ip": number("ingress"), "driver": ("pin", "TW_PIN_ZONE_DRIVER", "drivers"),
              "controller": ("pin", "TW_PIN_ZONE_CONTROLLER", "controllers")},
    "tapes": {"tape": CODE, "name": TEXT, "nominal_v": number(), "highest_v": number(), "common_ohm_per_m": number(),
              "common": choice(POLARITY, "polarity"), "cut_pitch_m": number(), "longest_piece_m": number(),
              "feed_point_limit_a": stated(), "single_feed_limit_m": stated(), "all_on_limit_w_per_m": stated(),
              "free_tail_m": number(), "sale_quantum_m": number(), "reel_m": stated(), "price_minor": stated(),
              "lowest_ambient_c": number(), "highest_ambient_c": number(), "ingress_ip": number("ingress")},
    "tape_channels": {"tape": TEXT, "channel": CODE, "load_w_per_m": number(), "law": choice(LAW),
                      "knee_v": number(), "return_ohm_per_m": number()},
    "controllers": {"controller": CODE, "name": TEXT, "channels": number(), "channel_limit_a": number(),
                    "total_limit_a": number(), "lowest_input_v": number(), "highest_input_v": number(),
                    "common": choice(POLARITY, "polarity"), "least_mm2": number(), "greatest_mm2": number(),
                    "terminal_a": number(), "switch_mohm": number("switch_ohm", 1000), "pwm_hz": stated(),
                    "is_repeater": choice(YES_NO), "enforces_all_on_limit": choice(YES_NO),
                    "highest_ambient_c": number(), "features": ("words", "feature", "features"),
                    "price_minor": stated()},
    "drivers": {"driver": CODE, "name": TEXT, "output_v": number(), "trim_low_v": stated(), "trim_high_v": stated(),
                "rated_output_w": number(), "output_limit_a": stated(), "overload_limit_a": stated(),
                "outputs": number(), "least_load_w": number(), "efficiency": number(), "power_factor": number(),
                "mains_low_v": number(), "mains_high_v": number(), "inrush_a": stated(),
                "inrush_us": stated("inrush_s", 1e6), "leakage_ma": stated("leakage_a", 1000),
                "mount": choice(MOUNT), "limited_energy": choice(YES_NO), "derating_c_share": ("curve", None, None),
                "least_mm2": stated(), "greatest_mm2": stated(), "output_connector_a": stated(),
                "plug_fuse_a": stated(), "ingress_ip": number("ingress"), "price_minor": stated()},
    "cables": {"cable": CODE, "name": TEXT, "cores": number(), "conductor_class": stated("conductor_system"),
               "conductor_mm2": stated("area_mm2"), "conductor_awg": ("gauge", None, None),
               "conductor_limit_c": number(), "cable_rating_a": stated(), "core_colours": ("words", "core_colour",
                                                                                          "colours"),
               "sale_quantum_m": number(), "stock_m": stated(), "price_minor": stated()},
    "connectors": {"connector": CODE, "name": TEXT, "use": choice(USE), "poles": number(), "ways": number(),
                   "rated_a": number(), "rated_v": number(), "rating_ambient_c": number(), "upper_limit_c": number(),
                   "least_mm2": number(), "greatest_mm2": number(), "contact_mohm": number("contact_ohm", 1000),
                   "price_minor": stated()},
    "overcurrent": {"device": CODE, "name": TEXT, "family": choice(FAMILY), "rated_a": number("fuse_a"),
                    "rated_v": number(), "price_minor": stated()},
    "rules": {"rule": TEXT, "value": number()},
}
STRUCTURE = {"runs": "tw_run", "zones": "tw_zone", "tapes": "tw_tape", "tape_channels": "tw_tape_channel",
             "controllers": "tw_controller", "drivers": "tw_driver", "cables": "tw_cable",
             "connectors": "tw_connector", "overcurrent": "tw_overcurrent_device"}
RULE_MEMBER = {"laying": "method"}  # all other rules are called as in tw_rules


def is_empty(cell):
    return cell is None or cell == ""


def text_of(cell):
    return plain(cell) if isinstance(cell, float) else str(cell).strip()


class Table:
    """A range with named columns, read into structures."""

    def __init__(self, library, kind, cells):
        self.library, self.kind = library, kind
        self.columns = COLUMNS[kind]
        self.code_column = next(iter(self.columns))
        titles = [text_of(cell) if not is_empty(cell) else "#" for cell in cells[0]]
        known = [title for title in titles if not title.startswith("#")]
        for title in known:
            if title not in self.columns:
                raise Refusal(f"{kind}: no column is called {title}; takes {', '.join(self.columns)}")
            if known.count(title) > 1:
                raise Refusal(f"{kind}: column {title} stands twice")
        for title, (what, _, _) in self.columns.items():
            if title not in known and what in ("code", "number", "choice", "curve"):
                raise Refusal(f"{kind}: column {title} is missing")
        self.rows, self.lines, self.kept = [], [], []
        for line, row in enumerate(cells[1:], 2):
            if not all(is_empty(cell) for cell in row) and not str(row[0]).startswith("#"):
                self.rows.append({title: cell for title, cell in zip(titles, row) if not title.startswith("#")})
                self.lines.append(line)

    def refuse(self, place, column, what):
        raise Refusal(f"{self.kind}, row {self.lines[place]}, {column}: {what}")

    def codes(self):
        return [text_of(row[self.code_column]) for row in self.rows]

    def names(self):
        return [text_of(row.get("name") or "") for row in self.rows]

    def place(self, code, asker=None, row=0, column=None):
        """The place of a code; a Refusal names those there are, and the table, row and column that ask."""
        codes = self.codes()
        if text_of(code) in codes:
            return codes.index(text_of(code))
        told = f"{text_of(code) or 'the cell is empty'}; takes one of {', '.join(codes)}"
        if asker is not None:
            asker.refuse(row, column or self.code_column, told)
        raise Refusal(f"{self.code_column}: {told}")

    def number(self, place, column, may_be_empty=False):
        cell = self.rows[place].get(column, "")
        if isinstance(cell, float):
            return cell
        if is_empty(cell) and may_be_empty:
            return 0.0
        self.refuse(place, column, "the cell is empty" if is_empty(cell) else f'the text "{cell}" is not a number')

    def structures(self):
        """All rows as an array of the C structure."""
        structure = self.library.structures[STRUCTURE[self.kind]]
        array = (structure * max(1, len(self.rows)))()
        for place in range(len(self.rows)):
            if hasattr(array[place], "struct_size"):
                array[place].struct_size = ctypes.sizeof(structure)
            for column, (what, member, more) in self.columns.items():
                self._fill(array[place], place, column, what, member or column, more)
        return array

    def _fill(self, row, place, column, what, member, more):
        cell = self.rows[place].get(column, "")
        if what in ("number", "stated"):
            self._set_number(row, place, column, member, self.number(place, column, what == "stated") / more)
        elif what == "code":
            if is_empty(cell):
                self.refuse(place, column, "the cell is empty")
            self._set_text(row, place, column, "code", text_of(cell))
        elif what == "place":
            self._set_text(row, place, column, column, "" if is_empty(cell) else text_of(cell))
        elif what == "choice":
            name = text_of(cell) if not is_empty(cell) else ""
            setattr(row, member, self._one_of(place, column, name, more))
        elif what == "wish":
            name = text_of(cell) if not is_empty(cell) else next(iter(more))
            setattr(row, member, self._one_of(place, column, name, more))
        elif what == "bits":
            words = [] if is_empty(cell) else text_of(cell).split()
            for word in words:
                setattr(row, member, getattr(row, member) | 1 << self._one_of(place, column, word, more))
        elif what == "walls" and not is_empty(cell):
            self._set_walls(row, place, column, text_of(cell))
        elif what == "words":
            words = text_of(cell).split()
            room = getattr(row, member)
            if len(words) > len(room):
                self.refuse(place, column, f"{len(words)} words; takes at most {len(room)}")
            for at, word in enumerate(words):
                room[at].value = self._bytes(place, column, word, len(room[at]))
            setattr(row, more, len(words))
        elif what == "gauge" and not is_empty(cell):
            if self.rows[place].get("conductor_class", "") != "" or self.rows[place].get("conductor_mm2", "") != "":
                self.refuse(place, column, "either conductor_class and conductor_mm2, or conductor_awg alone")
            self._set_number(row, place, column, "awg", self.number(place, column))
            row.conductor_system = self.library.numbers["TW_SYSTEM_AWG"]
        elif what == "curve":
            self._set_curve(row, place, column, text_of(cell))

    def _one_of(self, place, column, name, names):
        if name not in names:
            self.refuse(place, column, f"{name or 'the cell is empty'}; takes one of {', '.join(names)}")
        return self.library.numbers[names[name]] if isinstance(names[name], str) else names[name]

    def _set_walls(self, row, place, column, text):
        structure = self.library.structures["tw_stretch"]
        try:
            walls = [[float(figure) for figure in wall.split(":")] for wall in text.split()]
            if not walls or any(len(wall) > 2 for wall in walls):
                raise ValueError
        except ValueError:
            self.refuse(place, column, "takes walls in m from the near end on, the gap at the corner before one after "
                                       "a colon, as 4.6 5:0.02")
        array = (structure * len(walls))(*(made(structure, measured_m=wall[0], gap_m=(wall + [0.0])[1]) for wall in walls))
        self.kept.append(array)
        row.stretch, row.stretches = Rows(at=ctypes.addressof(array)), len(walls)

    def _set_number(self, row, place, column, member, value):
        kind = dict(row._fields_)[member]
        if kind is ctypes.c_double:
            setattr(row, member, value)
            return
        limit = 2.0 ** (8 * ctypes.sizeof(kind) - 1)
        if not value.is_integer() or not -limit <= value < limit:
            self.refuse(place, column, f"{plain(value)} is not a whole number")
        setattr(row, member, int(value))

    def _bytes(self, place, column, text, room):
        encoded = text.encode()
        if len(encoded) > room:
            self.refuse(place, column, f'"{text}" is longer than {room} bytes')
        return encoded

    def _set_text(self, row, place, column, member, text):
        setattr(row, member, self._bytes(place, column, text, dict(row._fields_)[member]._length_))

    def _set_curve(self, row, place, column, text):
        try:
            pairs = [[float(figure) for figure in pair.split(":")] for pair in text.split()]
            if not 1 <= len(pairs) <= len(row.derating_c) or any(len(pair) != 2 for pair in pairs):
                raise ValueError
        except ValueError:
            self.refuse(place, column, "takes 1 to 8 pairs of ambient in degC and share, as 40:1 60:0.5")
        for at, (ambient, share) in enumerate(pairs):
            row.derating_c[at], row.derating_share[at] = ambient, share
        row.derating_points = len(pairs)


def tapes_with_channels(library, tapes, channels):
    """The rows of tapes, each with its channels."""
    array, rows = tapes.structures(), channels.structures()
    for place, row in enumerate(channels.rows):
        tape = array[tapes.place(row.get("tape", ""), channels, place)]
        if tape.channels == len(tape.channel):
            channels.refuse(place, "tape", f"takes at most {len(tape.channel)} channels a tape")
        tape.channel[tape.channels] = rows[place]
        tape.channels += 1
    return array


class Formulas:
    """The formulas that take tables. Each has its text and arguments in SIGNATURES."""

    def __init__(self, library):
        self.library, self.c = library, library.c
        self.structure, self.n = library.structures, library.numbers

    # ---- what all of them need ----

    def table(self, kind, cells):
        return Table(self.library, kind, cells)

    def single(self, signature, name, cells):
        """The number of an argument that is one cell."""
        unit, text = next((a[1], a[2]) for a in SIGNATURES[signature][1] if a[0] == name)
        cell = cells[0][0]
        if len(cells) != 1 or len(cells[0]) != 1 or not isinstance(cell, float):
            wrong = "the cell is empty" if is_empty(cell) else f'"{cell}" is not a number'
            if len(cells) != 1 or len(cells[0]) != 1:
                wrong = "takes one cell"
            raise Refusal(f"{name}: {wrong}; takes a number in {unit or 'units of one'} ({text})")
        return cell

    def called(self, function, *arguments, tables=()):
        """Calls, and refuses in words what the library refuses."""
        fault = self.library.fault()
        status = getattr(self.c, function)(*arguments, ctypes.byref(fault))
        if status == 0:
            return
        text = self.library.text
        row = f", row {tables[0].lines[fault.item]} of {tables[0].kind}" if tables and 0 <= fault.item < len(
            tables[0].rows) else f", item {fault.item}" if fault.item >= 0 else ""
        raise Refusal(f"{text('tw_field_name', fault.field)}{row}: {plain(fault.given)}: "
                      f"{text('tw_status_text', fault.code)}; "
                      + takes(text("tw_field_unit", fault.field), fault.least, fault.most,
                              text("tw_field_text", fault.field)), status)

    def shown(self, name, outputs, which):
        """The output asked for; the first where none is."""
        names = SIGNATURES[name][2]
        if is_empty(which):
            return outputs[names[0]]
        if which == "all":
            return (tuple(outputs[one] for one in names),)
        if which in names:
            return outputs[which]
        raise Refusal(f"which: {which}; takes one of all, why, status, {', '.join(names)}")

    # ---- one run of tape ----

    def _tape(self, tapes, channels, tape):
        table = self.table("tapes", tapes)
        array = tapes_with_channels(self.library, table, self.table("tape_channels", channels))
        return array[table.place(tape[0][0])]

    def _line(self, name, tape, measured_m, source_v, core_ohm, trace_c):
        numbers = [self.single(name, argument, cells) for argument, cells in
                   (("source_v", source_v), ("core_ohm", core_ohm), ("trace_c", trace_c))]
        question = made(self.structure["tw_line_question"], lit=self.n["TW_ALL_LIT"], segments=1,
                        source_v=numbers[0], feed_common_ohm=numbers[1], trace_c=numbers[2])
        for channel in range(tape.channels):
            question.feed_channel_ohm[channel] = numbers[1]
        if measured_m is not None:
            segments = ctypes.c_int64()
            length, dark = ctypes.c_double(), ctypes.c_double()
            self.called("tw_cut_length", self.single(name, "measured_m", measured_m), tape.cut_pitch_m,
                        ctypes.byref(segments), ctypes.byref(length), ctypes.byref(dark))
            question.segments = segments.value
        return question

    def _solved(self, tape, question):
        loads = question.segments * tape.channels
        doubles = ctypes.c_int64()
        self.called("tw_line_workspace", question.segments, tape.channels, ctypes.byref(doubles))
        volts, amps = (ctypes.c_double * loads)(), (ctypes.c_double * loads)()
        workspace = (ctypes.c_double * doubles.value)()
        figures = made(self.structure["tw_line_figures"])
        self.called("tw_solve_line", ctypes.byref(tape), ctypes.byref(question), ctypes.byref(figures), volts, amps,
                    loads, workspace, doubles.value)
        return figures, volts, amps

    def tape_load(self, tapes, tape_channels, tape, length_m, which=None):
        row = self._tape(tapes, tape_channels, tape)
        load = made(self.structure["tw_tape_load"])
        self.called("tw_load_of_tape", ctypes.byref(row), self.single("tape_load", "length_m", length_m), 0,
                    ctypes.byref(load))
        outputs = {name: float(getattr(load, name)) for name in ("sized_w", "summed_w", "total_sized_a")}
        outputs |= {f"channel_{c + 1}_a": load.channel_a[c] if c < load.channels else "" for c in range(6)}
        return self.shown("tape_load", outputs, which)

    def line(self, tapes, tape_channels, tape, measured_m, source_v, core_ohm, trace_c, which=None):
        row = self._tape(tapes, tape_channels, tape)
        question = self._line("line", row, measured_m, source_v, core_ohm, trace_c)
        figures, _, _ = self._solved(row, question)
        outputs = {name: getattr(figures, name) for name in
                   ("least_evenness", "total_a", "lightness_step", "colour_shift", "lamps_w", "trace_loss_w",
                    "feeder_loss_w")}
        outputs["last_v"] = min(figures.last_load_v[:row.channels])
        outputs["segments"] = float(question.segments)
        return self.shown("line", outputs, which)

    def longest(self, tapes, tape_channels, tape, source_v, core_ohm, trace_c, least_evenness, drop_limit, which=None):
        row = self._tape(tapes, tape_channels, tape)
        question = self._line("longest", row, None, source_v, core_ohm, trace_c)
        longest = made(self.structure["tw_longest"])
        figures = made(self.structure["tw_line_figures"])
        self.called("tw_longest_run", ctypes.byref(row), ctypes.byref(question),
                    self.single("longest", "least_evenness", least_evenness),
                    self.single("longest", "drop_limit", drop_limit), ctypes.byref(longest), ctypes.byref(figures))
        limits = ("nothing", "evenness", "drop", "feed point current", "maker's length", "wiring")
        return self.shown("longest", {"length_m": longest.length_m, "segments": float(longest.segments),
                                      "least_evenness": figures.least_evenness,
                                      "limited_by": limits[longest.limited_by]}, which)

    def profile(self, tapes, tape_channels, tape, measured_m, source_v, core_ohm, trace_c, points):
        """Rows of metres from the feed, light of the dimmest and of the brightest channel, then volts of each channel
        and light of each channel. Light is a share of nominal."""
        row = self._tape(tapes, tape_channels, tape)
        question = self._line("profile", row, measured_m, source_v, core_ohm, trace_c)
        wanted = self.single("profile", "points", points)
        if not (wanted.is_integer() and 2 <= wanted <= 1000):
            raise Refusal(f"points: {plain(wanted)}; takes a whole number from 2 to 1000")
        _, volts, amps = self._solved(row, question)
        channels, last, points = row.channels, question.segments - 1, int(wanted)
        nominal = [row.channel[c].load_w_per_m * row.cut_pitch_m / row.nominal_v for c in range(channels)]
        places = [(2 * k * last + points - 1) // (2 * (points - 1)) for k in range(points)]
        rows = []
        for place in places:
            light = [amps[place * channels + c] / nominal[c] for c in range(channels)]
            rows.append(((place + 0.5) * row.cut_pitch_m, min(light), max(light),
                         *volts[place * channels:(place + 1) * channels], *light))
        return tuple(rows)

    # ---- one part for one row of a quotation ----

    def cable(self, cables, cable, channel_a, one_way_m, nominal_v, drop_limit, ambient_c, laying, circuits_grouped,
              ampacity, which=None):
        table = self.table("cables", cables)
        rows = table.structures()
        currents = [cell for row in channel_a for cell in row if not is_empty(cell)]
        if not currents or not all(isinstance(cell, float) for cell in currents) or len(currents) > 6:
            raise Refusal("channel_a: takes 1 to 6 numbers in A (current of each channel)")
        ask = lambda name, cells: self.single("cable", name, cells)
        family = text_of(ampacity[0][0]) or "the cell is empty"
        if family not in AMPACITY:
            raise Refusal(f"ampacity: {family}; takes one of {', '.join(AMPACITY)}")
        question = made(self.structure["tw_feeder_question"], channels=len(currents),
                        method=int(ask("laying", laying)), circuits_grouped=int(ask("circuits_grouped",
                                                                                    circuits_grouped)),
                        code_family=self.n[AMPACITY[family]],
                        one_way_m=ask("one_way_m", one_way_m), nominal_v=ask("nominal_v", nominal_v),
                        drop_limit=ask("drop_limit", drop_limit), ambient_c=ask("ambient_c", ambient_c))
        question.channel_a[:len(currents)] = currents
        question.copper_c = max(row.conductor_limit_c for row in rows)  # hottest, so the drop is on the safe side
        check = made(self.structure["tw_feeder_check"])
        place, cost = self._part("feeder", table, rows, cable, question, check)
        outputs = {name: getattr(check, name) for name in
                   ("utilisation", "drop_share", "drop_utilisation", "ampacity_utilisation", "worst_drop_v",
                    "core_ohm", "area_mm2", "allowed_a")}
        outputs |= {"cable": table.codes()[place] if check.fits or not is_empty(cable[0][0]) else NONE_FITS,
                    "fits": float(check.fits), "governed": self.library.text("tw_limit_text", check.governed),
                    "price_minor": cost}
        return self.shown("cable", outputs, which)

    def driver(self, drivers, driver, load_w, nominal_v, headroom, ambient_c, mains_v, mount, which=None):
        table = self.table("drivers", drivers)
        rows = table.structures()
        ask = lambda name, cells: self.single("driver", name, cells)
        wish = text_of(mount[0][0]) or "any"
        if wish not in MOUNT:
            raise Refusal(f"mount: {wish}; takes one of {', '.join(MOUNT)}")
        duty = made(self.structure["tw_driver_duty"], mount=self.n[MOUNT[wish]], load_w=ask("load_w", load_w),
                    headroom=ask("headroom", headroom), ambient_c=ask("ambient_c", ambient_c),
                    nominal_v=ask("nominal_v", nominal_v), mains_v=ask("mains_v", mains_v))
        check = made(self.structure["tw_driver_check"])
        place, _ = self._part("driver", table, rows, driver, duty, check)
        outputs = {name: getattr(check, name) for name in
                   ("utilisation", "headroom_left", "capacity_w", "needed_w", "current_a", "current_utilisation")}
        outputs |= {"driver": table.codes()[place] if check.fits or not is_empty(driver[0][0]) else NONE_FITS,
                    "fits": float(check.fits), "governed": self.library.text("tw_limit_text", check.governed),
                    "price_minor": float(rows[place].price_minor)}
        return self.shown("driver", outputs, which)

    def _part(self, kind, table, rows, wanted, question, check):
        """The place of the part that was named, else of the cheapest that fits, else of the nearest; and its cost."""
        count = len(table.rows)
        if not is_empty(wanted[0][0]):
            place = table.place(wanted[0][0])
            given = [ctypes.byref(question), ctypes.byref(rows[place])]
            self.called(f"tw_check_{kind}", *(given if kind == "feeder" else reversed(given)), ctypes.byref(check))
            if kind == "driver":
                return place, 0.0
            units = ctypes.c_int64()
            self.called("tw_sale_units", question.one_way_m, rows[place].sale_quantum_m, ctypes.byref(units))
            return place, float(units.value * rows[place].price_minor)
        room = ctypes.c_int64()
        part = self.n["TW_PART_CABLE" if kind == "feeder" else "TW_PART_DRIVER"]
        self.called("tw_choice_bytes", part, count, ctypes.byref(room))
        block = (ctypes.c_int64 * (room.value // 8 + 1))()
        choice = made(self.structure[f"tw_{kind}_choice"])
        self.called(f"tw_choose_{kind}", ctypes.byref(question), rows, count, block, ctypes.sizeof(block),
                    ctypes.byref(choice), ctypes.byref(check), tables=(table,))
        chosen = choice.cable if kind == "feeder" else choice.driver
        place = chosen if chosen >= 0 else choice.nearest
        if place < 0:
            raise Refusal(f"{table.kind}: the table has no rows")
        return place, float(choice.cost_minor) if kind == "feeder" else 0.0

    def controller(self, controllers, controller, channel_a, input_v, ambient_c, which=None):
        table = self.table("controllers", controllers)
        row = table.structures()[table.place(controller[0][0])]
        currents = [cell for line in channel_a for cell in line if not is_empty(cell)]
        if not currents or not all(isinstance(cell, float) for cell in currents) or len(currents) > 6:
            raise Refusal("channel_a: takes 1 to 6 numbers in A (current of each channel)")
        duty = made(self.structure["tw_controller_duty"], channels=len(currents), polarity=row.polarity,
                    input_v=self.single("controller", "input_v", input_v),
                    ambient_c=self.single("controller", "ambient_c", ambient_c))
        duty.channel_a[:len(currents)] = currents
        check = made(self.structure["tw_controller_check"])
        self.called("tw_check_controller", ctypes.byref(row), ctypes.byref(duty), ctypes.byref(check))
        outputs = {name: getattr(check, name) for name in
                   ("utilisation", "channel_utilisation", "total_utilisation", "terminal_utilisation")}
        outputs |= {"fits": float(check.fits), "governed": self.library.text("tw_limit_text", check.governed)}
        return self.shown("controller", outputs, which)

    # ---- a whole order ----

    def plan(self, what, rows_shown, runs, zones, tapes, tape_channels, controllers, drivers, cables, connectors,
             overcurrent, rules):
        wanted = text_of(what[0][0])
        lists = ("order", "cutting", "connections", "checks", "readings", "notes", "totals", "alternatives", "conflict")
        if wanted not in lists:
            raise Refusal(f"what: {wanted or 'the cell is empty'}; takes one of {', '.join(lists)}")
        kinds = ("runs", "zones", "tapes", "controllers", "drivers", "cables", "connectors", "overcurrent")
        given = (runs, zones, tapes, controllers, drivers, cables, connectors, overcurrent)
        tables = {kind: self.table(kind, cells) for kind, cells in zip(kinds, given)}
        rows = {kind: table.structures() for kind, table in tables.items() if kind != "tapes"}
        rows["tapes"] = tapes_with_channels(self.library, tables["tapes"],
                                            self.table("tape_channels", tape_channels))
        for place, run in enumerate(tables["runs"].rows):
            rows["runs"][place].zone = tables["zones"].place(run.get("zone", ""), tables["runs"], place)
            rows["runs"][place].tape = tables["tapes"].place(run.get("tape", ""), tables["runs"], place)
        high = self.single("plan", "rows_shown", rows_shown)
        if not (high.is_integer() and 2 <= high <= 10000):
            raise Refusal(f"rows_shown: {plain(high)}; takes a whole number from 2 to 10000")
        rule_rows, terms = self._rules(rules)
        pins = self._pins(tables)
        terms.pin, terms.pins = Rows(at=ctypes.addressof(pins)), len(pins)
        return self._as_high(getattr(Plan(self, tables, rows, rule_rows, terms), wanted)(), int(high))

    @staticmethod
    def _as_high(rows, high):
        """Rows to fill a range: empty ones after them, and where they are too many, told so in the last."""
        wide = len(rows[0])
        if len(rows) > high:
            told = (f"{len(rows) - high + 1} more: needs {len(rows)} rows",) + ("",) * (wide - 1)
            return rows[:high - 1] + (told,)
        return rows + (("",) * wide,) * (high - len(rows))

    def _rules(self, cells):
        """The rules that differ from their default, and the terms of the price, which stand in the same table."""
        rules, terms = made(self.structure["tw_rules"]), made(self.structure["tw_terms"])
        self.called("tw_rules_default", ctypes.byref(rules))
        self.called("tw_terms_default", ctypes.byref(terms))
        table = self.table("rules", cells)
        known = {name: one for one in (rules, terms) for name, _ in one._fields_
                 if name not in ("struct_size", "reserved", "pin", "pins")}
        for place, row in enumerate(table.rows):
            name = text_of(row["rule"])
            member = RULE_MEMBER.get(name, name)
            if member not in known or name == "method":
                table.refuse(place, "rule", f"{name}; takes one of {', '.join('laying' if one == 'method' else one for one in known)}")
            table._set_number(known[member], place, "value", member, table.number(place, "value"))
        return rules, terms

    def _pins(self, tables):
        """The parts that zones and runs insist on."""
        structure, found = self.structure["tw_pin"], []
        for kind in ("zones", "runs"):
            asker = tables[kind]
            for column, (what, number, parts) in asker.columns.items():
                for place, row in enumerate(asker.rows if what == "pin" else ()):
                    if not is_empty(row.get(column)):
                        part = tables[parts].place(row[column], asker, place, column)
                        found.append(made(structure, pin=self.n[number], place=place, part=part))
        return (structure * len(found))(*found)


class Plan:
    """A job planned, and its lists as rows under a row of titles."""

    PARTS = {"TW_PART_TAPE": "tapes", "TW_PART_CABLE": "cables", "TW_PART_CONNECTOR": "connectors",
             "TW_PART_CONTROLLER": "controllers", "TW_PART_DRIVER": "drivers",
             "TW_PART_OVERCURRENT_DEVICE": "overcurrent"}
    SERVICES = {"TW_SERVICE_SOLDERED_TAIL": "soldered tail", "TW_SERVICE_SOLDERED_LINK": "soldered link",
                "TW_SERVICE_CUT_PIECE": "piece cut"}

    def __init__(self, formulas, tables, rows, rules, terms):
        self.f, self.tables, self.rows, self.blocks = formulas, tables, rows, []
        structure = formulas.structure
        at = lambda array: Rows(at=ctypes.addressof(array))
        self.part_kind = {formulas.n[number]: kind for number, kind in self.PARTS.items()}
        self.services = {formulas.n[number]: text for number, text in self.SERVICES.items()}
        job = made(structure["tw_job"], zones=len(tables["zones"].rows), runs=len(tables["runs"].rows),
                   zone=at(rows["zones"]), run=at(rows["runs"]), rules=at(rules))
        counts = {"tapes": "tape", "cables": "cable", "connectors": "connector", "controllers": "controller",
                  "drivers": "driver", "overcurrent": "overcurrent_device"}
        catalogue = made(structure["tw_catalogue"])
        for kind, member in counts.items():
            setattr(catalogue, member + "s", len(tables[kind].rows))
            setattr(catalogue, member, at(rows[kind]))
        self.asked = job, catalogue, terms
        self.plan = self._made("tw_plan_make_by", "tw_plan_bytes_by")
        self.summary = made(structure["tw_plan_totals"])
        formulas.called("tw_plan_summary", self.plan, ctypes.byref(self.summary))
        self.quote = made(structure["tw_quote"])
        formulas.called("tw_plan_quote", self.plan, ctypes.byref(self.quote))

    def _made(self, make, wanted, *counts):
        """What `make` puts into a block as large as `wanted` tells. The block lives as long as this plan."""
        asked = [ctypes.byref(one) for one in self.asked]
        room, handle = ctypes.c_int64(), ctypes.c_void_p()
        self.f.called(wanted, *asked, ctypes.byref(room))
        self.blocks.append((ctypes.c_int64 * (room.value // 8 + 1))())
        self.f.called(make, *asked, self.blocks[-1], ctypes.sizeof(self.blocks[-1]), ctypes.byref(handle),
                      *[ctypes.byref(count) for count in counts])
        return handle

    def _each(self, function, structure, count, of=None):
        for place in range(count):
            one = made(self.f.structure[structure])
            self.f.called(function, of or self.plan, place, ctypes.byref(one))
            yield one

    def _named(self, function, *numbers):
        wanted = ctypes.c_int64()
        room = ctypes.create_string_buffer(256)
        self.f.called(function, self.plan, *numbers, room, len(room), ctypes.byref(wanted))
        return room.value.decode()

    def _part(self, kind, part, service=None):
        if kind not in self.part_kind or part < 0:
            return "service", self.services.get(service, "service")
        table = self.tables[self.part_kind[kind]]
        return table.codes()[part], table.names()[part]

    def _subject(self, one):
        return self._named("tw_plan_subject_name", one.subject_kind, one.subject)

    def _text(self, function, number):
        return self.f.library.text(function, number)

    def totals(self):
        told = {name: float(getattr(one, name)) for one in (self.summary, self.quote) for name, _ in one._fields_
                if name not in ("struct_size", "reserved")}
        return (("total", "value"), *told.items())

    def order(self):
        rows = [("part", "name", "quantity", "length_m", "unit_price_minor", "price_minor")]
        for line in self._each("tw_plan_order_line", "tw_order_line", self.summary.order_lines):
            price = (float(line.unit_price_minor), float(line.total_minor)) if line.price_known else ("", "")
            rows.append((*self._part(line.part_kind, line.part, line.service), float(line.quantity), line.length_m or "", *price))
        return tuple(rows)

    def cutting(self):
        rows = [("part", "for", "segments", "length_m", "dark_m", "stock_number", "stock_length_m")]
        pieces = [one.stretches for one in self._each("tw_plan_run", "tw_run_plan", self.summary.runs)]
        cut = collections.Counter()  # of each run
        lengths = self._each("tw_plan_cut_stock", "tw_cut_stock", self.summary.cut_pieces)
        for piece, length in zip(self._each("tw_plan_cut_piece", "tw_cut_piece", self.summary.cut_pieces), lengths):
            purpose = f"W{piece.number}" if piece.number else self._subject(piece)
            if not piece.number and pieces[piece.subject] > 1:
                cut[piece.subject] += 1
                purpose += f"/{cut[piece.subject]}"
            rows.append((self._part(piece.part_kind, piece.part)[0], purpose, float(piece.segments), piece.length_m,
                         piece.dark_m, *((float(length.stock), length.stock_m) if length.stock else ("", ""))))
        return tuple(rows)

    def connections(self):
        rows = [("cable", "part", "core", "from", "to", "conductor_mm2", "length_m", "current_a")]
        name = lambda kind, owner, channel: self._named("tw_plan_terminal_name", kind, owner, channel)
        for wire in self._each("tw_plan_connection", "tw_connection", self.summary.connections):
            rows.append((f"W{wire.number}" if wire.number else "bridge",
                         self.tables["cables"].codes()[wire.cable] if wire.cable >= 0 else "", float(wire.core),
                         name(wire.from_kind, wire.from_owner, wire.from_channel),
                         self._far_terminal(wire), wire.area_mm2, wire.length_m, wire.current_a))
        return tuple(rows)

    def _far_terminal(self, wire):
        """Where a core ends; at a run with several feed points, at which."""
        common = self.f.n["TW_TERMINAL_TAPE_COMMON"]
        if wire.to_kind < common:
            return self._named("tw_plan_terminal_name", wire.to_kind, wire.to_owner, wire.to_channel)
        return self._named("tw_plan_tape_terminal_name", wire.to_owner, wire.to_feed,
                           -1 if wire.to_kind == common else wire.to_channel)

    def checks(self):
        rows = [("check", "of", "level", "utilisation", "value", "limit", "unit", "what helps")]
        for one in self._each("tw_plan_finding", "tw_finding", self.summary.findings):
            rows.append((self._text("tw_finding_text", one.finding), self._subject(one),
                         self._text("tw_severity_text", one.severity), one.utilisation, one.value, one.limit,
                         self._text("tw_finding_unit", one.finding), self._text("tw_advice_text", one.advice)))
        return tuple(rows)

    def readings(self):
        kinds = ("driver output", "controller input", "feed point", "far end", "channel current")
        rows = [("measure", "at", "channel lit", "expected", "least", "most", "unit")]
        further = [one.more_feeds for one in self._each("tw_plan_run", "tw_run_plan", self.summary.runs)]
        for one in self._each("tw_plan_reading", "tw_reading", self.summary.readings):
            at = self._subject(one)
            if one.kind == self.f.n["TW_READING_FEED_POINT"] and further[one.subject]:
                at += f"({one.feed + 1})"
            rows.append((kinds[one.kind], at, float(one.channel + 1) if one.channel >= 0 else "all",
                         one.expected_v_or_a, one.least_v_or_a, one.most_v_or_a, "A" if one.kind == 4 else "V"))
        return tuple(rows)

    def notes(self):
        rows = [("for", "about", "text")]
        for one in self._each("tw_plan_note", "tw_note", self.summary.notes):
            rows.append(("electrician" if one.reader else "everyone", self._subject(one),
                         self._text("tw_note_text", one.note)))
        return tuple(rows)

    def alternatives(self):
        """Orders that fit and differ in kind, cheapest first."""
        count = ctypes.c_int32()
        found = self._made("tw_alternatives_make", "tw_alternatives_bytes", count)
        rows = [("way", "price_minor", "more_minor", "drivers", "plug_in", "soldered", "thickest_mm2")]
        for one in self._each("tw_alternatives_row", "tw_alternative", count.value, found):
            price = ((float(one.price_minor), float(one.price_minor - self.summary.price_minor))
                     if one.every_price_known else ("", ""))
            rows.append((self._text("tw_alternative_text", one.kind), *price, float(one.drivers), float(one.plug_in),
                         float(one.soldered), one.thickest_mm2))
        return tuple(rows)

    # what a job may ask for besides a rule: the table, and the column that it stands in
    DEMANDS = {"TW_DEMAND_RUN": ("runs", "measured_m"), "TW_DEMAND_MOUNT": ("zones", "mount"),
               "TW_DEMAND_LIMITED_ENERGY": ("zones", "limited_energy"), "TW_DEMAND_INGRESS": ("zones", "least_ingress_ip"),
               "TW_DEMAND_FEATURES": ("zones", "features"), "TW_DEMAND_DRIVER": ("zones", "driver"),
               "TW_DEMAND_CONTROLLER": ("zones", "controller"), "TW_DEMAND_FEEDER": ("runs", "feeder")}

    def _demand(self, kind, place, value):
        """Where a demand stands, of what, and what stands there."""
        if kind == self.f.n["TW_DEMAND_RULE"]:
            return "rule", self._text("tw_rule_name", place), value
        table, column = next(where for name, where in self.DEMANDS.items() if self.f.n[name] == kind)
        return column, self.tables[table].codes()[place], self.tables[table].rows[place][column]

    def conflict(self):
        """What does not go together: first what would help, cheapest first, then the rest of it, then what fails."""
        found = self._made("tw_conflict_make", "tw_conflict_bytes")
        facts, broken = made(self.f.structure["tw_conflict_facts"]), made(self.f.structure["tw_finding"])
        self.f.called("tw_conflict_summary", found, ctypes.byref(facts))
        rows, told = [("column", "of", "asked", "enough", "price_minor", "whole_job_fits")], set()
        for one in self._each("tw_conflict_relaxation", "tw_relaxation", facts.relaxations, found):
            told.add((one.kind, one.place))
            rows.append((*self._demand(one.kind, one.place, getattr(one, "from")), one.to if one.to == one.to else "given up",
                         float(one.price_minor) if one.every_price_known else "", "yes" if one.whole_job_fits else "no"))
        for one in self._each("tw_conflict_demand", "tw_demand", facts.demands, found):
            if (one.kind, one.place) not in told:
                rows.append((*self._demand(one.kind, one.place, one.value), "", "", ""))
        if facts.conflicting:
            self.f.called("tw_conflict_finding", found, ctypes.byref(broken))
            rows.append(("fails", self._text("tw_finding_text", broken.finding), broken.value, broken.limit, "", ""))
        return tuple(rows)


_TAPE = [("tapes", "", "table of tapes, columns as in tapes.csv"),
         ("tape_channels", "", "table of their channels, columns as in tape_channels.csv"),
         ("tape", "", "code of a tape of the table")]
_LINE = [("source_v", "V", "voltage at the start of the feeder"),
         ("core_ohm", "ohm", "resistance of ONE core of the feeder; the return is added here"),
         ("trace_c", "degC", "temperature of the tape's copper")]
_MEASURED = [("measured_m", "m", "measured length; cut to the pitch here")]
_TABLES = [(kind, "", f"table of {text}, columns as in {kind}.csv") for kind, text in
           (("runs", "the runs"), ("zones", "the zones"), ("tapes", "tapes"), ("tape_channels", "their channels"),
            ("controllers", "controllers"), ("drivers", "drivers"), ("cables", "cables"),
            ("connectors", "connectors"), ("overcurrent", "protective devices"),
            ("rules", "the rules that differ from their default"))]

# formula: text, arguments (name, unit, text), outputs that `which` may name; the first is shown where it is left out
SIGNATURES = {
    "tape_load": ("load of a length of tape", _TAPE + [("length_m", "m", "lit length")],
                  ["sized_w", "summed_w", "total_sized_a"] + [f"channel_{c}_a" for c in range(1, 7)]),
    "line": ("light along a run fed at one end, solved exactly", _TAPE + _MEASURED + _LINE,
             ["least_evenness", "last_v", "total_a", "lightness_step", "colour_shift", "lamps_w", "trace_loss_w",
              "feeder_loss_w", "segments"]),
    "longest": ("longest run from one feed that keeps the wishes",
                _TAPE + _LINE + [("least_evenness", "", "least over greatest light along the run"),
                                 ("drop_limit", "", "greatest drop from source to last lamp as a share of nominal; "
                                                    "0 = no wish")],
                ["length_m", "segments", "least_evenness", "limited_by"]),
    "profile": ("volts and light along a run, as a matrix: metres, least and greatest light, volts of each channel, "
                "light of each channel; light as a share of nominal", _TAPE + _MEASURED + _LINE + [("points", "", "rows wanted, 2 to 1000")], None),
    "cable": ("cable for a row: the cheapest of a table that fits, or the check of one that is named",
              [("cables", "", "table of cables, columns as in cables.csv"),
               ("cable", "", "code of a cable of the table; empty = the cheapest that fits"),
               ("channel_a", "A", "current of each channel, one cell or up to six"),
               ("one_way_m", "m", "route length, one way"), ("nominal_v", "V", "nominal voltage"),
               ("drop_limit", "", "allowed drop as a share of nominal"),
               ("ambient_c", "degC", "air around the cable"),
               ("laying", "", "0 A1, 1 A2, 2 B1, 3 B2, 4 C, 5 D1, 6 E, 7 flexible cord"),
               ("circuits_grouped", "", "cables laid together, bunched"),
               ("ampacity", "", "iec or nec: the tables that a cable's current is held to")],
              ["cable", "utilisation", "drop_share", "drop_utilisation", "ampacity_utilisation", "worst_drop_v",
               "core_ohm", "area_mm2", "allowed_a", "price_minor", "fits", "governed"]),
    "driver": ("driver for a row: the cheapest of a table that fits, or the check of one that is named",
               [("drivers", "", "table of drivers, columns as in drivers.csv"),
                ("driver", "", "code of a driver of the table; empty = the cheapest that fits"),
                ("load_w", "W", "load"), ("nominal_v", "V", "nominal voltage of the tape"),
                ("headroom", "", "spare capacity as a share of the load"),
                ("ambient_c", "degC", "air around the driver"), ("mains_v", "V", "mains voltage"),
                ("mount", "", "any, plug_in or hardwired")],
               ["driver", "utilisation", "headroom_left", "capacity_w", "needed_w", "current_a",
                "current_utilisation", "price_minor", "fits", "governed"]),
    "controller": ("use of a controller's limits",
                   [("controllers", "", "table of controllers, columns as in controllers.csv"),
                    ("controller", "", "code of a controller of the table"),
                    ("channel_a", "A", "current of each channel, one cell or up to six"),
                    ("input_v", "V", "voltage at its input"), ("ambient_c", "degC", "air around it")],
                   ["utilisation", "channel_utilisation", "total_utilisation", "terminal_utilisation", "fits",
                    "governed"]),
    "plan": ("a whole job planned: one of its lists as a matrix",
             [("what", "", "order, cutting, connections, checks, readings, notes or totals; alternatives: other ways to "
                           "build the job; conflict: what stands against it, and what would help"),
              ("rows_shown", "", "rows of the range that it fills, the titles among them")] + _TABLES, None),
}


def table_formulas(library):
    """The formulas that take tables, by the name of their method."""
    formulas = Formulas(library)
    return {cell_name(name): told(getattr(formulas, name), len(arguments), outputs is not None)
            for name, (_, arguments, outputs) in SIGNATURES.items()}


def told(formula, arguments, has_outputs):
    """A formula that also tells "why" it is refused, and its "status"."""
    def asked(cells, which=None):
        if len(cells) < arguments:
            raise IndexError
        try:
            if which in ("why", "status") or not has_outputs and is_empty(which):
                answer = formula(*cells)
            elif has_outputs:
                return formula(*cells, which)
            else:
                raise Refusal(f"which: {which}; takes why or status")
        except Refusal as refusal:
            if which in ("why", "status"):
                return str(refusal) if which == "why" else float(refusal.status)
            raise
        return "ok" if which == "why" else 0.0 if which == "status" else answer
    return asked
