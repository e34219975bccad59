// SPDX-License-Identifier: BSL-1.0
// Each list written once, for the text sheet and the spreadsheet alike.
#include "lists.hpp"

#include <string_view>

#include "tapewright/plan/names.hpp"
#include "tapewright/plan/notes.hpp"
#include "text.hpp"

namespace order_sheet {
namespace {

using namespace tapewright;

std::string name_of(const catalogue& parts, part_ref part) {
  const auto at = static_cast<std::size_t>(part.index);
  switch (part.kind) {
    case part_kind::tape: return std::string{parts.tapes[at].name};
    case part_kind::cable: return std::string{parts.cables[at].name};
    case part_kind::connector: return std::string{parts.connectors[at].name};
    case part_kind::controller: return std::string{parts.controllers[at].name};
    case part_kind::driver: return std::string{parts.drivers[at].name};
    case part_kind::overcurrent_device: return std::string{parts.overcurrent_devices[at].name};
    default: return {};
  }
}

/// How one sale unit is called: "x 0.5 m" of what is sold by length, "pc" of what is counted.
std::string unit_of(const catalogue& parts, part_ref part) {
  const auto at = static_cast<std::size_t>(part.index);
  if (part.kind == part_kind::tape) return "x " + plain(parts.tapes[at].sale_quantum.v) + " m";
  if (part.kind == part_kind::cable) return "x " + plain(parts.cables[at].sale_quantum.v) + " m";
  return "pc";
}

/// Everything of the plan that a line of the order is bought for, by its designations.
std::string purpose_of(const planned& p, const order_line& line) {
  std::string out;
  const auto add = [&](const std::string& name) { out += (out.empty() ? "" : ", ") + name; };
  const plan& made = p.plan();
  const std::int32_t part = line.part.index;
  for (std::size_t i = 0; i < made.runs.size(); ++i) {
    const run_plan& r = made.runs[i];
    const auto at = static_cast<std::int32_t>(i);
    if (line.part.kind == part_kind::tape && p.asked(r).tape == part) add(p.run_name(at));
    for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
      const tape_feed& f = p.feed_of(r, k);
      const bool joint =
          line.part.kind == part_kind::connector && f.join == feed_join::connector && f.connector == part;
      const bool tail = line.service == service_kind::soldered_tail && f.join == feed_join::soldered_tail;
      if (joint || tail) add(p.feed_name(at, k));
    }
  }
  for (std::size_t i = 0; i < made.stretches.size(); ++i) {
    const stretch_plan& s = made.stretches[i];
    const bool link = line.part.kind == part_kind::connector && s.linked && s.connector == part;
    const bool bridge = line.service == service_kind::soldered_link && s.linked && s.connector < 0;
    if (link || bridge) add(p.piece_name(static_cast<std::int32_t>(i)));
  }
  if (line.part.kind == part_kind::cable)
    for (const cut_piece& piece : made.pieces)
      if (piece.part == line.part) add(p.cable_name(piece.number));
  for (std::size_t h = 0; h < made.hubs.size(); ++h) {
    const bool controller = line.part.kind == part_kind::controller && made.hubs[h].controller == part;
    const bool splice =
        line.part.kind == part_kind::connector && made.hubs[h].splices > 0 && made.hubs[h].splice == part;
    if (controller || splice) add(p.hub_name(static_cast<std::int32_t>(h)));
  }
  for (std::size_t o = 0; o < made.outputs.size(); ++o) {
    const auto output = static_cast<std::int32_t>(o);
    if (line.part.kind == part_kind::overcurrent_device && made.outputs[o].device == part)
      add(p.fuse_name(output));
    if (line.part.kind == part_kind::connector && made.outputs[o].plug == part) add(p.output_name(output));
  }
  if (line.part.kind == part_kind::driver)
    for (std::size_t d = 0; d < made.drivers.size(); ++d)
      if (made.drivers[d].part == part) add(p.driver_name(static_cast<std::int32_t>(d)));
  return out;
}

/// What is fitted to the tape at a feed point.
std::string joint_of(const planned& p, const tape_feed& r) {
  switch (r.join) {
    case feed_join::free_tail: return "its own tail";
    case feed_join::connector: return std::string{code_of(p.parts(), {part_kind::connector, r.connector})};
    case feed_join::soldered_tail: return "feeder soldered on";
  }
  return {};
}

/// What is fitted to a piece of tape: at its near end the link or the feed, and every feed point further on with its
/// place in metres from the piece's near end.
std::string fitted_to(const planned& p, const run_plan& r, std::int32_t piece) {
  const double pitch = p.tape_of(r).cut_pitch.v;
  std::int64_t from = 0, to = r.cut.segments;
  const stretch_plan* s = nullptr;
  if (r.stretches > 0) {
    for (std::int32_t k = 0; k < piece; ++k)
      from += p.plan().stretches[planned::place(r.stretches_from + k)].cut.segments;
    s = &p.plan().stretches[planned::place(r.stretches_from + piece)];
    to = from + s->cut.segments;
  }
  std::string out;
  const auto add = [&](const std::string& text) { out += (out.empty() ? "" : "; ") + text; };
  if (s != nullptr && s->linked)
    add(std::string{piece == 0 ? "ring closed by " : "link "} +
        (s->connector >= 0 ? std::string{code_of(p.parts(), {part_kind::connector, s->connector})}
                           : std::string{"soldered bridge"}));
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
    const tape_feed& f = p.feed_of(r, k);
    // a cable at a joint meets the end of the earlier piece
    if (!(f.at > from || (f.at == 0 && from == 0)) || f.at > to) continue;
    const bool near = f.at == 0;
    add(joint_of(p, f) + (near ? "" : " at " + fixed(static_cast<double>(f.at - from) * pitch, 3) + " m"));
  }
  return out;
}

std::string_view text_of(service_kind s) {
  return s == service_kind::soldered_tail   ? "Tail soldered onto the tape"
         : s == service_kind::soldered_link ? "Bridge soldered between two pieces of tape"
         : s == service_kind::cut_piece     ? "Piece of tape cut to length"
                                            : "";
}

/// Whether a run has more than one feed point at its near end.
bool fed_in_parts(const planned& p, subject about) {
  return about.kind == subject_kind::run && is_fed_in_parts(p.plan().runs[planned::place(about.index)]);
}

int decimals_of(std::string_view unit) {
  if (unit == "m") return 3;
  if (unit == "IP") return 0;
  if (unit == "degC" || unit == "W") return 1;
  return 2;
}

/// A finding's figure with its unit, a share as per cent.
std::string measured_text(double value, std::string_view unit) {
  if (unit == "share") return fixed(100 * value, 2) + " %";
  if (unit.empty()) return plain(value, 4);
  return fixed(value, decimals_of(unit)) + " " + std::string{unit};
}

std::string source_text(source s) {
  if (s == source::none) return {};
  const source_facts facts = facts_of(s);
  std::string out{facts.title};
  if (!facts.place.empty()) out += ", " + std::string{facts.place};
  return out;
}

}  // namespace

list order_list(const planned& p) {
  list out{"order.csv",
           "Order",
           {{"part", "part"},
            {"what it is", "name", 34},
            {"qty", "quantity"},
            {"unit", "sale_unit"},
            {"", "length_m"},
            {"for", "for", 36},
            {"unit price", "unit_price_minor"},
            {"price", "price_minor"}},
           {}};
  for (const order_line& line : p.plan().order) {
    const bool service = line.service != service_kind::none;
    const list_cell no_price = std::monostate{};
    out.rows.push_back({service ? std::string{"service"} : std::string{code_of(p.parts(), line.part)},
                        service ? std::string{text_of(line.service)} : name_of(p.parts(), line.part),
                        line.quantity, service ? std::string{"pc"} : unit_of(p.parts(), line.part),
                        line.length.v > 0 ? list_cell{figure{line.length.v, 2}} : list_cell{},
                        purpose_of(p, line), line.price_known ? list_cell{line.unit_price} : no_price,
                        line.price_known ? list_cell{line.total} : no_price});
  }
  return out;
}

list cutting_list(const planned& p) {
  list out{"cutting.csv",
           "Cutting list",
           {{"part", "part"},
            {"for", "for"},
            {"segments", "segments"},
            {"length m", "length_m"},
            {"wall left dark m", "dark_m"},
            {"near end", "near_end"},
            {"cut from", "stock_number"},
            {"of m", "stock_length_m"}},
           {}};
  std::int32_t of = -1, number = 0;  // the pieces of a run follow one another
  for (const cut_piece& piece : p.plan().pieces) {
    const bool tape = piece.part.kind == part_kind::tape;
    number = tape && piece.about.index == of ? number + 1 : 0;
    if (tape) of = piece.about.index;
    const run_plan* r = tape ? &p.plan().runs[planned::place(of)] : nullptr;
    const bool several = r != nullptr && r->stretches > 1;
    out.rows.push_back({std::string{code_of(p.parts(), piece.part)},
                        several ? p.piece_name(r->stretches_from + number)
                        : tape  ? p.subject_name(piece.about)
                                : p.cable_name(piece.number),
                        tape ? list_cell{piece.segments} : list_cell{}, figure{piece.length.v, 3},
                        tape ? list_cell{figure{piece.dark.v, 3}} : list_cell{},
                        tape ? fitted_to(p, *r, number) : std::string{},
                        piece.stock > 0 ? list_cell{std::int64_t{piece.stock}} : list_cell{},
                        piece.stock > 0 ? list_cell{figure{piece.stock_length.v, 2}} : list_cell{}});
  }
  return out;
}

list connection_list(const planned& p) {
  list out{"connections.csv",
           "Connection schedule",
           {{"cable", "cable"},
            {"type", "part"},
            {"core", "core"},
            {"colour", "colour_iec_60757"},
            {"from", "from"},
            {"to", "to"},
            {"mm2", "conductor_mm2"},
            {"length m", "length_m"},
            {"A", "current_a"}},
           {}};
  for (const connection& c : p.plan().connections) {
    const bool laid = c.cable >= 0;
    out.rows.push_back(
        {c.number > 0 ? p.cable_name(c.number)
         : laid       ? std::string{}
                      : std::string{"-"},
         laid ? std::string{code_of(p.parts(), {part_kind::cable, c.cable})} : std::string{"in place"},
         laid ? list_cell{std::int64_t{c.core}} : list_cell{},
         std::string{core_colour(p.parts(), c.cable, c.core)}, p.terminal_name(c.from), p.terminal_name(c.to),
         laid ? list_cell{figure{c.area.v, 2}} : list_cell{},
         laid ? list_cell{figure{c.length.v, 2}} : list_cell{}, figure{c.current.v, 2}});
  }
  return out;
}

list check_list(const planned& p) {
  list out{"checks.csv",
           "Checks, worst first",
           {{"", "code"},
            {"check", "check", 46},
            {"of", "subject", 44},
            {"", "level"},
            {"used", "", 0, true},
            {"value", "", 0, true},
            {"limit", "", 0, true},
            {"", "utilisation"},
            {"", "value"},
            {"", "limit"},
            {"", "unit"},
            {"", "good_side"},
            {"result", "", 34},
            {"", "help"},
            {"", "stopped_by"},
            {"", "source"}},
           {}};
  for (const finding& f : p.plan().findings) {
    const finding_facts facts = facts_of(f.code);
    std::string result{text_of(f.level)};
    if (f.help != advice::none) result += ": " + std::string{text_of(f.help)};
    const std::string stopped =
        f.stopped_by == governed::none ? std::string{} : std::string{text_of(f.stopped_by)};
    if (!stopped.empty()) result += " (stopped by " + stopped + ")";
    const bool bounded = f.limit != 0 || f.value != 0;
    out.rows.push_back({std::string{facts.name}, std::string{facts.text}, p.subject_name(f.subject),
                        std::string{text_of(f.level)},
                        f.utilisation < 100 ? fixed(100 * f.utilisation, 0) + " %" : std::string{"-"},
                        bounded ? measured_text(f.value, facts.unit) : std::string{},
                        bounded ? measured_text(f.limit, facts.unit) : std::string{}, figure{f.utilisation},
                        figure{f.value}, figure{f.limit}, std::string{facts.unit},
                        std::string{facts.good == sense::at_most ? "at most" : "at least"}, result,
                        std::string{text_of(f.help)}, stopped, source_text(f.from)});
  }
  return out;
}

list reading_list(const planned& p) {
  list out{"readings.csv",
           "Readings to expect with a meter",
           {{"measure", "measure"},
            {"at", "at"},
            {"lit", "lit"},
            {"expect", "", 0, true},
            {"from", "", 0, true},
            {"to", "", 0, true},
            {"unit", "unit"},
            {"", "expected"},
            {"", "least"},
            {"", "most"}},
           {}};
  for (const reading& r : p.plan().readings) {
    const bool current = r.kind == reading_kind::channel_current;
    std::string measure;
    switch (r.kind) {
      case reading_kind::driver_output: measure = "voltage at the output"; break;
      case reading_kind::hub_input: measure = "voltage at the supply terminals"; break;
      case reading_kind::feed_point:
        measure = fed_in_parts(p, r.about) ? "voltage at the feed point" : "voltage at the tape's near end";
        break;
      case reading_kind::far_end:
        measure =
            fed_in_parts(p, r.about) ? "lowest voltage along the tape" : "voltage at the tape's far end";
        break;
      case reading_kind::channel_current: measure = "current of the channel"; break;
    }
    const tape* on = r.about.kind == subject_kind::run ? tape_of(p.plan(), p.job(), p.parts(), r.about.index)
                     : r.about.kind == subject_kind::hub
                         ? tape_of_hub(p.plan(), p.job(), p.parts(), r.about.index)
                         : nullptr;
    const auto channel = static_cast<std::size_t>(r.channel);
    std::string lit = "everything";
    if (r.channel >= 0)
      lit = (on != nullptr && channel < on->channels.size() ? std::string{on->channels[channel].code}
                                                            : std::to_string(r.channel + 1)) +
            " alone";
    const bool feed = r.kind == reading_kind::feed_point;
    out.rows.push_back({measure, feed ? p.feed_name(r.about.index, r.feed) : p.subject_name(r.about), lit,
                        fixed(r.expected, 2), fixed(r.least, 2), fixed(r.most, 2),
                        std::string{current ? "A" : "V"}, figure{r.expected}, figure{r.least},
                        figure{r.most}});
  }
  return out;
}

list note_list(const planned& p) {
  list out{"notes.csv",
           "Cautions and tasks",
           {{"for whom", "for"}, {"about", "about", 24}, {"text", "text", 78}},
           {}};
  for (const note& n : p.plan().notes)
    out.rows.push_back(
        {std::string{reader_of(n.code) == note_reader::electrician ? "electrician" : "everyone"},
         p.subject_name(n.about), std::string{text_of(n.code)}});
  return out;
}

}  // namespace order_sheet
