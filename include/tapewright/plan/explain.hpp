// SPDX-License-Identifier: BSL-1.0
// Where each figure of a run comes from: formula, numbers put in, result, source, line by line.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "tapewright/core/number_text.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/names.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/copper.hpp"
#include "tapewright/rules/lightness.hpp"
#include "tapewright/rules/source.hpp"

namespace tapewright {

namespace detail {

/// Digits of numbers put in and of results. Four more go in than come out, so that a reader who
/// calculates with what is printed gets what is printed, differences of two voltages included.
inline constexpr int digits_in = 9, digits_out = 5;

inline constexpr std::string_view unit_text(metres) noexcept { return " m"; }
inline constexpr std::string_view unit_text(volts) noexcept { return " V"; }
inline constexpr std::string_view unit_text(amps) noexcept { return " A"; }
inline constexpr std::string_view unit_text(watts) noexcept { return " W"; }
inline constexpr std::string_view unit_text(ohms) noexcept { return " ohm"; }
inline constexpr std::string_view unit_text(ohms_per_metre) noexcept { return " ohm/m"; }
inline constexpr std::string_view unit_text(watts_per_metre) noexcept { return " W/m"; }
inline constexpr std::string_view unit_text(square_millimetres) noexcept { return " mm2"; }
inline constexpr std::string_view unit_text(celsius) noexcept { return " degC"; }

/// Writes one derivation after another:
///
///   current of W
///     P / U
///     = 44.16 W / 24 V
///     = 1.84 A
///     closed form: …
class derivation {
 public:
  constexpr explicit derivation(text_sink& out) noexcept : out_{out} {}

  template <class... Pieces>
  constexpr derivation& heading(const Pieces&... pieces) noexcept {
    out_.add('\n');
    (add(pieces), ...);
    out_.add('\n');
    return *this;
  }
  /// What is derived; pieces as in `put`.
  template <class... Pieces>
  constexpr derivation& figure(const Pieces&... pieces) noexcept {
    out_.add("  ");
    (add(pieces), ...);
    out_.add('\n');
    return *this;
  }
  constexpr derivation& formula(std::string_view words) noexcept {
    out_.add("    ").add(words).add('\n');
    return *this;
  }
  /// The numbers put in: texts, quantities with their units, plain numbers.
  template <class... Pieces>
  constexpr derivation& put(const Pieces&... pieces) noexcept {
    out_.add("    = ");
    (add(pieces), ...);
    out_.add('\n');
    return *this;
  }
  template <class Quantity>
  constexpr derivation& gives(const Quantity& result, source from) noexcept {
    out_.add("    = ");
    if constexpr (requires { result.v; }) {
      add_plain(out_, result.v, digits_out).add(unit_text(result));
    } else {
      add_plain(out_, static_cast<double>(result), digits_out);
    }
    out_.add('\n');
    return told(from);
  }
  constexpr derivation& gives(money result, source from) noexcept {
    add_money(out_.add("    = "), result).add('\n');
    return told(from);
  }
  /// A figure that is read, not calculated.
  template <class Quantity>
  constexpr derivation& read(const Quantity& value, source from) noexcept {
    return put_exact(value).told(from);
  }
  /// A remark in words.
  template <class... Pieces>
  constexpr derivation& remark(const Pieces&... pieces) noexcept {
    out_.add("    ");
    (add(pieces), ...);
    out_.add('\n');
    return *this;
  }

 private:
  constexpr derivation& told(source from) noexcept {
    if (from == source::none) return *this;
    const source_facts facts = facts_of(from);
    out_.add("    [").add(facts.title);
    if (!facts.place.empty()) out_.add(", ").add(facts.place);
    if (facts.how == known::from_memory || facts.how == known::in_part)
      out_.add("; ").add(text_of(facts.how));
    out_.add("]\n");
    return *this;
  }
  template <class Quantity>
  constexpr derivation& put_exact(const Quantity& value) noexcept {
    out_.add("    ");
    add(value);
    out_.add('\n');
    return *this;
  }
  constexpr void add(std::string_view text) noexcept { out_.add(text); }
  // a literal with its length, so that nothing asks for strlen
  template <std::size_t N>
  constexpr void add(const char (&literal)[N]) noexcept {
    out_.add(std::string_view{literal, N - 1});
  }
  constexpr void add(double value) noexcept { add_plain(out_, value, digits_in); }
  constexpr void add(std::int32_t value) noexcept { add_integer(out_, value); }
  constexpr void add(std::int64_t value) noexcept { add_integer(out_, value); }
  template <class Quantity>
  requires requires(const Quantity& q) { unit_text(q); }
  constexpr void add(const Quantity& q) noexcept { add_plain(out_, q.v, digits_in).add(unit_text(q)); }
  template <class Write>
  requires requires(const Write& write, derivation& w) { write(w); }
  constexpr void add(const Write& write) noexcept { write(*this); }

 public:
  /// For pieces that are made one by one, inside `put`.
  template <class Piece>
  constexpr void piece(const Piece& p) noexcept {
    add(p);
  }

 private:
  text_sink& out_;
};

/// Everything of a plan that a run hangs on, found once.
struct run_context {
  const plan& made;
  const job& question;
  const catalogue& parts;
  const run_plan& r;
  const run& asked;
  const tape& t;
  const hub_plan* hub = nullptr;
  const controller* control = nullptr;
  const output_plan* output = nullptr;
  const driver_plan* supplier = nullptr;
  const driver* source_part = nullptr;

  constexpr std::size_t channels() const noexcept { return t.channels.size(); }
  constexpr bool in_parts() const noexcept { return is_fed_in_parts(r); }
  constexpr const tape_feed& feed(const run_plan& of, std::int32_t k) const noexcept {
    return k == 0 ? of : made.feeds[static_cast<std::size_t>(of.feeds_from + k - 1)];
  }
  constexpr const stretch_plan& piece(std::int32_t k) const noexcept {
    return made.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(k)];
  }
};

constexpr run_context context_of(const plan& p, const job& j, const catalogue& parts,
                                 std::size_t at) noexcept {
  const run_plan& r = p.runs[at];
  const run& asked = j.runs[static_cast<std::size_t>(r.run)];
  run_context c{p, j, parts, r, asked, parts.tapes[static_cast<std::size_t>(asked.tape)]};
  if (r.hub < 0) return c;
  c.hub = &p.hubs[static_cast<std::size_t>(r.hub)];
  if (c.hub->controller >= 0) c.control = &parts.controllers[static_cast<std::size_t>(c.hub->controller)];
  if (c.hub->output < 0) return c;
  c.output = &p.outputs[static_cast<std::size_t>(c.hub->output)];
  c.supplier = &p.drivers[static_cast<std::size_t>(c.output->driver)];
  c.source_part = &parts.drivers[static_cast<std::size_t>(c.supplier->part)];
  return c;
}

/// Contacts of one pole of a connector; none without one.
constexpr ohms contact_of(const run_context& c, std::int32_t connector) noexcept {
  return connector < 0 ? ohms{} : c.parts.connectors[static_cast<std::size_t>(connector)].contact;
}

/// "a + b + c": one piece for each of `count` places, as `of(place)` gives it.
template <class Of>
constexpr auto sum_of(std::size_t count, Of of) noexcept {
  return [count, of](derivation& w) noexcept {
    for (std::size_t i = 0; i < count; ++i) {
      if (i > 0) w.piece(" + ");
      w.piece(of(i));
    }
  };
}

/// "a + b + c" over the runs of a hub.
template <class Of>
constexpr auto sum_over_hub(const run_context& c, Of of) noexcept {
  return [&c, of](derivation& w) noexcept {
    bool first = true;
    for (const run_plan& other : c.made.runs) {
      if (other.hub != c.r.hub) continue;
      if (!first) w.piece(" + ");
      first = false;
      w.piece(of(other));
    }
  };
}

/// The pieces of a run that has several, or a section: whole cuts of each straight stretch.
constexpr void explain_pieces(derivation& w, const run_context& c) noexcept {
  const auto count = static_cast<std::size_t>(c.r.stretches > 0 ? c.r.stretches : 1);
  const auto segments = [&](std::size_t k) noexcept {
    return c.r.stretches > 0 ? c.piece(static_cast<std::int32_t>(k)).cut.segments : c.r.cut.segments;
  };
  const auto dark = [&](std::size_t k) noexcept {
    return c.r.stretches > 0 ? c.piece(static_cast<std::int32_t>(k)).cut.dark : c.r.cut.dark;
  };
  if (c.r.sections > 1)
    w.figure("section of the run, of ", c.r.sections, ", since nothing carries the whole")
        .read(c.r.section + 1, source::design_rule);
  w.figure("cut segments")
      .formula("whole cuts of every piece; floor((stretch - gap + rounding allowed) / pitch) a stretch")
      .put(sum_of(count, segments))
      .gives(c.r.cut.segments, source::common_practice);
  w.figure("length cut")
      .formula("segments x pitch")
      .put(c.r.cut.segments, " * ", c.t.cut_pitch)
      .gives(c.r.cut.length, source::closed_form);
  w.figure("wall left dark, gaps of links included")
      .formula("sum of the pieces")
      .put(sum_of(count, dark))
      .gives(c.r.cut.dark, source::closed_form);
}

constexpr std::string_view words_of(feed_arrangement how) noexcept {
  switch (how) {
    case feed_arrangement::one_end: return "at its near end";
    case feed_arrangement::far_end: return "at its far end";
    case feed_arrangement::both_ends: return "at both ends";
    case feed_arrangement::middle: return "in its middle";
    case feed_arrangement::points: return "at points in the middle of equal parts";
    case feed_arrangement::ring: return "as a ring: both ends at one feed";
  }
  return "";
}

/// Where a run that is fed in parts is fed: the cheapest way that keeps every limit.
constexpr void explain_feeding(derivation& w, const run_context& c) noexcept {
  if (!c.in_parts()) return;
  w.heading("How it is fed: ", words_of(c.r.arrangement));
  feed_places places;
  for (std::int32_t k = 0; k <= c.r.more_feeds; ++k) {
    const tape_feed& f = c.feed(c.r, k);
    places.push(f.at);
    w.figure("feed point ", k + 1, ", metres from the near end")
        .formula("cut mark x pitch")
        .put(f.at, " * ", c.t.cut_pitch)
        .gives(c.t.cut_pitch * static_cast<double>(f.at), source::closed_form);
  }
  if (c.r.arrangement == feed_arrangement::ring) places.push(c.r.cut.segments);
  w.figure("longest way that one feed point lights, half of it between two")
      .read(c.t.cut_pitch * longest_way(places, c.r.cut.segments), source::closed_form);
  if (c.t.single_feed_limit.v > 0) w.remark("allowed: ", c.t.single_feed_limit);
  if (c.r.link_current.v > 0)
    w.figure("current in the busiest link").read(c.r.link_current, source::closed_form);
}

constexpr void explain_cut(derivation& w, const run_context& c) noexcept {
  const metres noise = length_noise(c.asked.measured);
  w.heading("Tape");
  if (!is_plain(c.asked)) explain_pieces(w, c);
  else {
    w.figure("cut segments")
        .formula("floor((measured + rounding allowed) / pitch)")
        .put("floor((", c.asked.measured, " + ", noise, ") / ", c.t.cut_pitch, ")")
        .gives(c.r.cut.segments, source::common_practice);
    w.figure("length cut")
        .formula("segments x pitch")
        .put(c.r.cut.segments, " * ", c.t.cut_pitch)
        .gives(c.r.cut.length, source::closed_form);
    w.figure("wall left dark")
        .formula("measured - length, not below 0")
        .put("max(0 m, ", c.asked.measured, " - ", c.r.cut.length, ")")
        .gives(c.r.cut.dark, source::closed_form);
  }
  w.figure("sold in whole quanta, for this run alone")
      .formula("ceil((length - rounding allowed) / quantum)")
      .put("ceil((", c.r.cut.length, " - ", length_noise(c.r.cut.length), ") / ", c.t.sale_quantum, ")")
      .gives(c.r.tape_sale.quanta, source::common_practice);
  w.figure("length sold")
      .formula("quanta x quantum")
      .put(c.r.tape_sale.quanta, " * ", c.t.sale_quantum)
      .gives(c.r.tape_sale.sold, source::closed_form);
}

constexpr void explain_load(derivation& w, const run_context& c) noexcept {
  const tape_load& load = c.r.load;
  w.heading("Load, as everything upstream is sized");
  for (std::size_t k = 0; k < c.channels(); ++k) {
    const tape_channel& channel = c.t.channels[k];
    w.figure("power of ", channel.code)
        .formula("p x L")
        .put(channel.load, " * ", c.r.cut.length)
        .gives(load.channel_power[k], source::closed_form);
    if (channel.law == load_kind::constant_power) {
      w.figure("current of ", channel.code, ", at the lowest voltage the rules allow at a lamp")
          .formula("P / (U (1 - drop to lamp))")
          .put(load.channel_power[k], " / (", c.t.nominal, " * (1 - ", c.question.rules.drop_to_lamp, "))")
          .gives(load.channel_current[k], source::closed_form);
    } else {
      w.figure("current of ", channel.code)
          .formula("P / U")
          .put(load.channel_power[k], " / ", c.t.nominal)
          .gives(load.channel_current[k], source::closed_form);
    }
  }
}

/// The sum of the channels, the limit on it, and the current in the common conductor.
constexpr void explain_total(derivation& w, const run_context& c) noexcept {
  const tape_load& load = c.r.load;
  const auto power = [&](std::size_t k) noexcept { return load.channel_power[k]; };
  if (load.from == source::maker_statement) {
    w.figure("power of all channels together, kept within the tape's limit by the controller")
        .formula("min(sum of the channels, all-on limit x L)")
        .put("min(", sum_of(c.channels(), power), ", ", c.t.all_on_limit, " * ", c.r.cut.length, ")")
        .gives(load.sized, source::maker_statement);
  } else {
    w.figure("power of all channels together")
        .formula("sum of the channels")
        .put(sum_of(c.channels(), power))
        .gives(load.sized, source::closed_form);
  }
  w.figure("current in the common conductor");
  amps at_nominal = load.sized / c.t.nominal;
  if (load.total_sized.v <= at_nominal.v * (1 + rounding_share)) {
    w.formula("P / U").put(load.sized, " / ", c.t.nominal);
  } else {
    w.formula("P / U, and what the constant-power channels draw more at the lowest voltage")
        .put(load.sized, " / ", c.t.nominal, " + ", sum_of(c.channels(), [&](std::size_t k) noexcept {
               return load.channel_current[k] - load.channel_power[k] / c.t.nominal;
             }));
  }
  w.gives(load.total_sized, source::closed_form);
}

/// A cable: its resistance warm, what is lost on it, what it may carry.
constexpr void explain_cable(derivation& w, const run_context& c, const laid_cable& laid, celsius ambient,
                             std::span<const amps> channel_current, bool is_supply) noexcept {
  const feeder_check& k = laid.check;
  const cable& part = c.parts.cables[static_cast<std::size_t>(laid.cable)];
  const celsius copper = feeder_question{}.copper;
  w.figure("length cut")
      .formula("route + slack at both ends")
      .put(laid.route, " + 2 * ", metres{c.question.rules.wiring_slack_m})
      .gives(laid.cut, source::common_practice);
  if (const auto at_20 = resistance_at_20(k.conductor)) {
    w.figure("one conductor at 20 degC").read(*at_20, k.resistance_source);
    w.figure("one conductor at ", copper, ", where no well-used conductor gets warmer")
        .formula("r20 (1 + alpha (T - 20 degC))")
        .put(*at_20, " * (1 + ", alpha_20, " * (", copper, " - 20 degC))")
        .gives(k.resistance, source::iec_60028);
  }
  w.figure("one core")
      .formula("r x L")
      .put(k.resistance, " * ", laid.cut)
      .gives(k.core_resistance, source::closed_form);
  for (std::size_t i = 0; i < channel_current.size(); ++i) {
    w.figure("volts lost, out and back", is_supply ? std::string_view{} : std::string_view{", channel "},
             is_supply ? std::string_view{} : c.t.channels[i].code)
        .formula(is_supply ? std::string_view{"R (I + I)"} : std::string_view{"R (I common + I channel)"})
        .put(k.core_resistance, " * (", k.common_current, " + ", channel_current[i], ")")
        .gives(k.drop[i], k.drop_source);
  }
  w.figure("the most of them, as a share of nominal")
      .formula("dU / U")
      .put(k.worst_drop, " / ", c.t.nominal)
      .gives(k.drop_share, source::closed_form);
  if (k.ampacity_known) {
    const ampacity_answer& a = k.ampacity;
    w.figure("current-carrying capacity before factors").read(a.base, a.base_source);
    w.figure("factor for ", ambient, " around the cable, insulation for ", part.conductor_limit)
        .read(a.ambient_factor, a.ambient_source);
    w.figure("factor for ", c.question.rules.circuits_grouped, " cables together")
        .read(a.grouping_factor, a.grouping_source);
    w.figure("factor for the number of loaded cores")
        .read(a.count_factor, a.count_source == source::none ? a.base_source : a.count_source);
    w.figure("current-carrying capacity")
        .formula("base x ambient x grouping x count")
        .put(a.base, " * ", a.ambient_factor, " * ", a.grouping_factor, " * ", a.count_factor)
        .gives(a.allowed, source::closed_form);
    w.figure("of it used by the busiest core")
        .formula("I / I_z")
        .put(k.common_current, " / ", a.allowed)
        .gives(k.ampacity_utilisation, source::closed_form);
  }
  if (laid.ruled_by != governed::none)
    w.remark("a cheaper or thinner cable is ruled out by: ", text_of(laid.ruled_by));
}

constexpr void explain_feeder(derivation& w, const run_context& c) noexcept {
  for (std::int32_t k = 0; k <= c.r.more_feeds; ++k) {
    const tape_feed& f = c.feed(c.r, k);
    if (f.feeder.cable < 0) {
      w.heading("Feeder: none, the tape's own tail reaches");
      continue;
    }
    if (c.r.more_feeds > 0) w.heading("Feeder to feed point ", k + 1);
    else w.heading("Feeder");
    explain_cable(w, c, f.feeder, c.asked.cable_ambient, f.channel_current.all(), false);
  }
}

constexpr void explain_joint(derivation& w, const run_context& c) noexcept {
  for (std::int32_t k = 0; k <= c.r.more_feeds; ++k) {
    const tape_feed& f = c.feed(c.r, k);
    if (f.connector < 0) continue;
    const connector& part = c.parts.connectors[static_cast<std::size_t>(f.connector)];
    if (c.r.more_feeds > 0) w.heading("Connector at feed point ", k + 1);
    else w.heading("Connector at the tape");
    w.figure("current that one pole may carry at ", c.asked.ambient)
        .formula("factor x rated x sqrt((T limit - T ambient) / (T limit - T rating))")
        .put(c.question.rules.contact_factor, " * ", part.rated, " * sqrt((", part.upper_limit, " - ",
             c.asked.ambient, ") / (", part.upper_limit, " - ", part.rating_ambient, "))")
        .gives(f.joint.allowed, f.joint.from);
    w.figure("of it used by the common pole")
        .formula("I / allowed")
        .put(f.current, " / ", f.joint.allowed)
        .gives(f.current / f.joint.allowed, source::closed_form);
  }
}

constexpr void explain_hub(derivation& w, const run_context& c) noexcept {
  const hub_plan& h = *c.hub;
  w.heading(c.control != nullptr ? std::string_view{"Controller"}
                                 : std::string_view{"Where the feeders meet"});
  w.figure("current of everything on it")
      .formula("sum of its runs")
      .put(sum_over_hub(c, [](const run_plan& other) noexcept { return other.load.total_sized; }))
      .gives(h.total, source::closed_form);
  if (c.control == nullptr) return;
  amps busiest;
  for (std::size_t k = 0; k < h.channel_current.size(); ++k) {
    const std::string_view code = k < c.channels() ? c.t.channels[k].code : std::string_view{"channel"};
    const auto sized_channel = [k](const run_plan& other) noexcept {
      return static_cast<std::int32_t>(k) < other.load.channels ? other.load.channel_current[k] : amps{};
    };
    w.figure("current of ", code)
        .formula("sum of its runs")
        .put(sum_over_hub(c, sized_channel))
        .gives(h.channel_current[k], source::closed_form);
    if (h.channel_current[k] > busiest) busiest = h.channel_current[k];
  }
  w.figure("share of the channel limit used by the busiest channel")
      .formula("I / limit")
      .put(busiest, " / ", c.control->channel_limit)
      .gives(h.check.channel_utilisation, source::maker_statement);
  w.figure("share of the total limit used")
      .formula("I / limit")
      .put(h.total, " / ", c.control->total_limit)
      .gives(h.check.total_utilisation, source::maker_statement);
  w.figure("share of the supply terminal's rating used")
      .formula("I / rating")
      .put(h.total, " / ", c.control->terminal)
      .gives(h.check.terminal_utilisation, source::maker_statement);
}

constexpr void explain_supply(derivation& w, const run_context& c) noexcept {
  if (c.hub->supply.cable < 0) return;
  w.heading("Supply cable");
  explain_cable(w, c, c.hub->supply, c.question.rules.cable_ambient, {&c.hub->total, 1}, true);
}

/// What the driver gives: nominal voltage, or what its trim is set to.
constexpr volts given_to(const run_context& c) noexcept {
  return c.output != nullptr ? c.output->gives(c.t.nominal) : c.t.nominal;
}

/// What flows, and the volts that are left where the feeders start.
constexpr void explain_currents(derivation& w, const run_context& c) noexcept {
  const line_figures& f = c.r.all_on;
  for (std::size_t k = 0; k < c.channels(); ++k)
    w.figure("current of ", c.t.channels[k].code, ", every lamp at its own voltage")
        .read(f.channel_current[k], source::closed_form);
  w.figure("current in the common conductor")
      .formula("sum of the channels")
      .put(sum_of(c.channels(), [&](std::size_t k) noexcept { return f.channel_current[k]; }))
      .gives(f.total, source::closed_form);
  w.figure("volts where the feeder starts")
      .formula("U - 2 R supply x I of everything on it")
      .put(given_to(c), " - 2 * ", core_of(c.hub->supply, hub_state{}.copper), " * (",
           sum_over_hub(c, [](const run_plan& other) noexcept { return other.all_on.total; }), ")")
      .gives(c.hub->input, source::closed_form);
}

/// Current of a channel in all runs of the hub, as solved.
constexpr auto solved_channel_of_hub(const run_context& c, std::size_t k) noexcept {
  return sum_over_hub(c, [k](const run_plan& other) noexcept {
    return static_cast<std::int32_t>(k) < other.all_on.channels ? other.all_on.channel_current[k] : amps{};
  });
}

/// Volts of a channel at the only feed point, behind a core of the feeder with its contacts.
constexpr void explain_feed_volts(derivation& w, const run_context& c, std::size_t k, ohms core) noexcept {
  const line_figures& f = c.r.all_on;
  const volts start = c.hub->input;
  w.figure("volts of ", c.t.channels[k].code, " at the feed point");
  if (c.control == nullptr) {
    w.formula("U start - R core (I common + I channel)")
        .put(start, " - ", core, " * (", f.total, " + ", f.channel_current[k], ")");
  } else {
    w.formula("U start - R core (I common + I channel) - R switch x I of the channel in all runs")
        .put(start, " - ", core, " * (", f.total, " + ", f.channel_current[k], ") - ",
             c.control->switch_resistance, " * (", solved_channel_of_hub(c, k), ")");
  }
  w.gives(f.at_feed[k], source::closed_form);
}

/// Volts of a channel where its feeders to several feed points start, and at the first of these.
constexpr void explain_first_feed_volts(derivation& w, const run_context& c, std::size_t k) noexcept {
  const std::string_view code = c.t.channels[k].code;
  w.figure("volts of ", code, " where its feeders start");
  if (c.control == nullptr) {
    w.read(c.r.at_hub[k], source::closed_form);
  } else {
    w.formula("U start - R switch x I of the channel in all runs")
        .put(c.hub->input, " - ", c.control->switch_resistance, " * (", solved_channel_of_hub(c, k), ")")
        .gives(c.r.at_hub[k], source::closed_form);
  }
  w.figure("volts of ", code, " at the first feed point").read(c.r.all_on.at_feed[k], source::closed_form);
}

constexpr void explain_lamp_volts(derivation& w, const run_context& c, std::size_t k) noexcept {
  const std::string_view code = c.t.channels[k].code;
  const bool parts = c.in_parts();
  w.figure("volts of ", code,
           parts ? std::string_view{" at the highest lamp"} : std::string_view{" at the first lamp"})
      .read(c.r.all_on.first_load[k], source::closed_form);
  w.figure("volts of ", code,
           parts ? std::string_view{" at the lowest lamp"} : std::string_view{" at the last lamp"})
      .read(c.r.all_on.last_load[k], source::closed_form);
}

/// The drops that the rules limit, from the lowest channel at any feed point and at any lamp.
constexpr void explain_drops(derivation& w, const run_context& c) noexcept {
  const volts given = given_to(c);
  volts least_feed{infinity}, least_end{infinity};
  for (std::size_t k = 0; k < c.channels(); ++k) {
    least_feed = volts{smaller(least_feed.v, c.r.all_on.at_feed[k].v)};
    least_end = volts{smaller(least_end.v, c.r.all_on.last_load[k].v)};
  }
  for (std::int32_t k = 1; k <= c.r.more_feeds; ++k) {
    const volts there = c.feed(c.r, k).at_nominal;
    w.figure("volts at feed point ", k + 1, ", lowest channel").read(there, source::closed_form);
    least_feed = volts{smaller(least_feed.v, there.v)};
  }
  w.figure("voltage drop, driver to feed point, as a share")
      .formula("(U - least U feed) / U nominal")
      .put("(", given, " - ", least_feed, ") / ", c.t.nominal)
      .gives((given - least_feed) / c.t.nominal, source::closed_form)
      .remark("allowed: ", c.question.rules.drop_to_feed);
  w.figure("voltage drop, driver to furthest lamp, as a share")
      .formula("(U - least U lamp) / U nominal")
      .put("(", given, " - ", least_end, ") / ", c.t.nominal)
      .gives((given - least_end) / c.t.nominal, source::closed_form)
      .remark("allowed: ", c.question.rules.drop_to_lamp);
}

/// The volts at both ends of the supply's tolerance and of what the cables' temperature may be.
constexpr void explain_volt_bands(derivation& w, const run_context& c) noexcept {
  w.figure("volts at the feed point, supply at the low end of its tolerance, cables at ", hot_copper)
      .read(c.r.feed_least, source::closed_form);
  w.figure("volts at the feed point, supply at the high end, cables at ", cold_copper)
      .read(c.r.feed_greatest, source::closed_form);
  w.figure("volts at the furthest lamp, supply at the low end, cables at ", hot_copper)
      .read(c.r.end_least, source::closed_form);
  w.figure("volts at the furthest lamp, supply at the high end, cables at ", cold_copper)
      .read(c.r.end_greatest, source::closed_form);
}

/// What the network says: volts at the feed points by Kirchhoff's law from the solved currents, then at the lamps.
constexpr void explain_volts(derivation& w, const run_context& c) noexcept {
  w.heading(
      "Solved: ",
      given_to(c) == c.t.nominal ? std::string_view{"nominal supply"} : std::string_view{"supply as set"},
      ", everything on, cables warm");
  explain_currents(w, c);
  const bool several = c.r.more_feeds > 0;
  const ohms feeder = core_of(c.r.feeder, hub_state{}.copper);
  const ohms contacts = contact_of(c, c.hub->splice) + contact_of(c, c.r.connector);
  const ohms core = feeder + contacts;
  if (!several)
    w.figure("one core of the feeder with its contacts")
        .formula("R core + R contacts")
        .put(feeder, " + ", contacts)
        .gives(core, source::closed_form);
  for (std::size_t k = 0; k < c.channels(); ++k) {
    if (several) explain_first_feed_volts(w, c, k);
    else explain_feed_volts(w, c, k, core);
    explain_lamp_volts(w, c, k);
  }
  explain_drops(w, c);
  explain_volt_bands(w, c);
}

constexpr void explain_light(derivation& w, const run_context& c) noexcept {
  const line_figures& f = c.r.all_on;
  w.heading("Light along the run");
  for (std::size_t k = 0; k < c.channels(); ++k) {
    const tape_channel& channel = c.t.channels[k];
    w.figure("evenness of ", channel.code);
    switch (channel.law) {
      case load_kind::resistor_limited:
        w.formula(
             "last lamp's current over the first's = (U last - U knee) / (U first - U knee), dark at the "
             "knee")
            .put("max(0 V, ", f.last_load[k], " - ", channel.knee, ") / (", f.first_load[k], " - ",
                 channel.knee, ")");
        break;
      case load_kind::regulated:
        w.formula("last lamp's current over the first's = min(U last, U knee) / min(U first, U knee)")
            .put("min(", f.last_load[k], ", ", channel.knee, ") / min(", f.first_load[k], ", ", channel.knee,
                 ")");
        break;
      case load_kind::constant_power:
        w.formula("a constant-power lamp keeps its light down to its under-voltage limit")
            .remark("limit: ", channel.knee);
        break;
    }
    w.gives(f.evenness[k], source::closed_form);
  }
  const auto each = [&](derivation& out) noexcept {
    for (std::size_t k = 0; k < c.channels(); ++k) {
      if (k > 0) out.piece(", ");
      out.piece(f.evenness[k]);
    }
  };
  w.figure("evenness of the run")
      .formula("least of the channels")
      .put("min(", each, ")")
      .gives(f.least_evenness, source::closed_form)
      .remark("wanted: at least ", c.question.rules.least_evenness);
  if (f.least_evenness > line_ends_at_ratio) {
    w.figure("lightness step between the brightest and the dimmest lamp, L*")
        .formula("100 - (116 cbrt(Y) - 16), Y the evenness")
        .put("100 - (116 * cbrt(", f.least_evenness, ") - 16)");
  } else {
    w.figure("lightness step between the brightest and the dimmest lamp, L*")
        .formula("100 - 24389 / 27 Y, Y the evenness, below 216/24389")
        .put("100 - 24389 / 27 * ", f.least_evenness);
  }
  w.gives(f.lightness_step, source::cie_1976);
  if (c.channels() > 1 && c.in_parts())
    w.figure("colour shift at the dimmest lamp").read(f.colour_shift, source::closed_form);
  else if (c.channels() > 1)
    w.figure("colour shift along the run")
        .formula("1 - least channel's evenness over the greatest's")
        .put("1 - min(", each, ") / max(", each, ")")
        .gives(f.colour_shift, source::closed_form);
}

/// The share of a driver's rated output at its ambient, by the straight line it lies on.
constexpr void explain_share(derivation& w, const driver& s, celsius ambient, double share) noexcept {
  w.figure("share of the rated output left at ", ambient);
  for (std::size_t i = 1; i < s.derating.size(); ++i) {
    const derating_point &a = s.derating[i - 1], &b = s.derating[i];
    if (!(a.ambient < ambient && ambient <= b.ambient)) continue;
    w.formula("straight line between two points of the maker's curve")
        .put(a.share, " + (", b.share, " - ", a.share, ") * (", ambient, " - ", a.ambient, ") / (", b.ambient,
             " - ", a.ambient, ")")
        .gives(share, source::maker_statement);
    return;
  }
  w.read(share, source::maker_statement);
}

/// What an output's trim is set to, why, and the load that comes of it; nothing where it is left as delivered.
constexpr void explain_trim(derivation& w, const run_context& c) noexcept {
  const output_plan& o = *c.output;
  const volts delivered = c.source_part->output;
  if (!(o.set_to.v > 0)) return;
  w.figure("output voltage that the trim is set to, in tenths of a volt").read(o.set_to, source::design_rule);
  if (o.set_to < delivered) {
    w.remark("below the ", delivered, " that are delivered: with the tolerance of ",
             c.question.rules.supply_tolerance,
             " a tape behind it may see at most its highest voltage; this run's may see ", c.t.highest);
    return;
  }
  w.remark("towards ", c.t.nominal,
           " in the middle of the lamps behind it, as near as the limits leave it; with the tolerance of ",
           c.question.rules.supply_tolerance, " not above what the tape may see, ", c.t.highest);
  w.figure("load as trimmed")
      .formula("load x U trim / U delivered")
      .put(o.load, " * ", o.set_to, " / ", delivered)
      .gives(o.load * (o.set_to / delivered), source::closed_form);
}

constexpr void explain_driver(derivation& w, const run_context& c) noexcept {
  const output_plan& o = *c.output;
  const driver& s = *c.source_part;
  const driver_check& k = o.check;
  const celsius ambient = c.question.zones[static_cast<std::size_t>(c.supplier->zone)].driver_ambient;
  const auto sum_over_output = [&](auto of) noexcept {
    return [&c, of](derivation& out) noexcept {
      bool first = true;
      for (const hub_plan& h : c.made.hubs) {
        if (c.hub == nullptr || h.output != c.hub->output) continue;
        if (!first) out.piece(" + ");
        first = false;
        out.piece(of(h));
      }
    };
  };
  w.heading("Driver output");
  w.figure("load")
      .formula("sum of the controllers and runs on it")
      .put(sum_over_output([](const hub_plan& h) noexcept { return h.load; }))
      .gives(o.load, source::closed_form);
  w.figure("current")
      .formula("sum of the controllers and runs on it")
      .put(sum_over_output([](const hub_plan& h) noexcept { return h.total; }))
      .gives(o.current, source::closed_form);
  explain_share(w, s, ambient, k.share);
  w.figure("capacity left")
      .formula("min(share x rated power, share x rated current x U)")
      .put("min(", k.share, " * ", s.rated, ", ", k.share, " * ", rated_output_current(s), " * ", c.t.nominal,
           ")")
      .gives(k.capacity, source::maker_statement);
  explain_trim(w, c);
  const double raised = larger(o.gives(s.output) / s.output, 1);
  const watts load = raised * o.load, needed = raised * k.needed;
  w.figure("capacity asked for")
      .formula("load (1 + headroom)")
      .put(load, " * (1 + ", c.question.rules.headroom, ")")
      .gives(needed, k.headroom_source);
  w.figure("of the capacity used, headroom counted in")
      .formula("asked for / left")
      .put(needed, " / ", k.capacity)
      .gives(utilisation(needed, k.capacity), source::closed_form);
  w.figure("headroom that is really left, as a share of the load")
      .formula("capacity / load - 1")
      .put(k.capacity, " / ", load, " - 1")
      .gives(k.capacity / load - 1, source::closed_form);
  const auto mains = mains_load_of(s, c.supplier->load, c.question.rules.mains);
  if (mains.ok()) {
    w.figure("mains current of the driver, r.m.s.")
        .formula("P / (efficiency x power factor x U mains)")
        .put(c.supplier->load, " / (", s.efficiency, " * ", s.power_factor, " * ", c.question.rules.mains,
             ")")
        .gives(c.supplier->mains_current, source::closed_form);
  }
}

constexpr void explain_protection(derivation& w, const run_context& c) noexcept {
  const output_plan& o = *c.output;
  const driver& s = *c.source_part;
  const auto on_output = [&](const hub_plan& h) noexcept {
    return c.hub != nullptr && h.output == c.hub->output;
  };
  amps thinnest{infinity};
  const auto weigh = [&](const laid_cable& laid) noexcept {
    if (laid.cable >= 0 && laid.check.ampacity_known && laid.check.ampacity.allowed < thinnest)
      thinnest = laid.check.ampacity.allowed;
  };
  for (const hub_plan& h : c.made.hubs)
    if (on_output(h)) weigh(h.supply);
  for (const run_plan& other : c.made.runs)
    for (std::int32_t k = 0; other.hub >= 0 && k <= other.more_feeds; ++k)
      if (on_output(c.made.hubs[static_cast<std::size_t>(other.hub)])) weigh(c.feed(other, k).feeder);
  if (!(thinnest.v < infinity)) return;
  w.heading("Protection of the cables behind this output");
  w.figure("capacity of the weakest cable behind it, I_z").read(thinnest, source::closed_form);
  if (o.device < 0) {
    if (!o.protection.source_protects) return;
    w.figure("greatest current that the driver can give, into a short circuit too")
        .read(s.overload_limit, source::maker_statement);
    w.figure("of the weakest cable's capacity that is")
        .formula("I driver / I_z; at or below 1 no device is needed for the cables")
        .put(s.overload_limit, " / ", thinnest)
        .gives(s.overload_limit / thinnest, source::iec_60364_4_43);
    return;
  }
  const overcurrent_device& device = c.parts.overcurrent_devices[static_cast<std::size_t>(o.device)];
  const double load_factor = c.question.rules.family == code_family::nec ? nec_continuous_factor : 1.0;
  w.figure("load over rating, k I_b / I_n")
      .formula("factor x load / rated")
      .put(load_factor, " * ", o.current, " / ", device.rated)
      .gives(o.protection.load_utilisation, source::iec_60364_4_43);
  w.figure("rating over capacity, I_n / I_z")
      .formula("rated / capacity")
      .put(device.rated, " / ", thinnest)
      .gives(o.protection.cable_utilisation, source::iec_60364_4_43);
  w.figure("operating current, I_2")
      .formula("factor x rated")
      .put(o.protection.operating_factor, " * ", device.rated)
      .gives(o.protection.operating, source::iec_60364_4_43);
  w.figure("operating current over 1.45 I_z")
      .formula("I_2 / (1.45 I_z)")
      .put(o.protection.operating, " / (", greatest_operating_share, " * ", thinnest, ")")
      .gives(o.protection.operating_utilisation, source::iec_60364_4_43);
  const celsius hot = hot_copper;
  for (std::int32_t k = 0; k <= c.r.more_feeds; ++k) {
    const ohms supply = core_of(c.hub->supply, hot), feeder = core_of(c.feed(c.r, k).feeder, hot);
    const ohms loop = 2 * (supply + feeder);
    if (!(loop.v > 0)) continue;
    const amps stiff = s.output / loop;
    const bool limited = s.overload_limit.v > 0 && s.overload_limit < stiff;
    if (c.r.more_feeds > 0) w.figure("short-circuit current at feed point ", k + 1);
    else w.figure("short-circuit current at this run's end of the feeder");
    if (s.overload_limit.v > 0) {
      w.formula("min(U / (2 (R supply + R feeder)), the driver's greatest current)")
          .put("min(", s.output, " / (2 * (", supply, " + ", feeder, ")), ", s.overload_limit, ")");
    } else {
      w.formula("U / (2 (R supply + R feeder)); the driver's maker states no limit")
          .put(s.output, " / (2 * (", supply, " + ", feeder, "))");
    }
    w.gives(limited ? s.overload_limit : stiff, source::closed_form)
        .remark("it must reach the operating current, ", o.protection.operating);
  }
}

constexpr void explain_price(derivation& w, const run_context& c) noexcept {
  if (c.t.price.minor <= 0) return;
  w.heading("Price of the tape, bought for this run alone");
  w.figure("tape, in the catalogue's minor units")
      .formula("quanta x price of one")
      .put(c.r.tape_sale.quanta, " * ", static_cast<std::int64_t>(c.t.price.minor))
      .gives(static_cast<double>(c.t.price.minor) * static_cast<double>(c.r.tape_sale.quanta),
             source::maker_statement);
}

}  // namespace detail

/// Writes where each figure of one run comes from, from the wall to the mains: what it is, the formula,
/// the numbers put in, the result with its unit, and the source.
///
/// @param p, j, parts  a plan with the job and the catalogue it was made from.
/// @param run          the run's place in the plan.
/// @param out          the caller's buffer; ask out.cut() whether it was large enough (wanted() tells).
/// @return             fault unknown_reference of place where there is no such run; nothing is written then.
/// A line "= 2 * 0.5 m + 3" can be calculated as it stands, units left out; the line under it is its
/// result, to the digits printed. Lines without such an expression are figures that are read: from the
/// catalogue, a table, or the solved network.
constexpr fault explain(const plan& p, const job& j, const catalogue& parts, std::int32_t run,
                        text_sink& out) noexcept {
  if (const fault f = refuse_place(field::place, run, p.runs.size())) return f;
  const detail::run_context c = detail::context_of(p, j, parts, static_cast<std::size_t>(run));
  detail::derivation w{out};
  add_run_name(out.add("Run "), p, j, run);
  if (!c.asked.name.empty()) out.add(": ").add(c.asked.name);
  out.add("\n");
  detail::explain_cut(w, c);
  detail::explain_load(w, c);
  detail::explain_total(w, c);
  detail::explain_feeding(w, c);
  detail::explain_feeder(w, c);
  detail::explain_joint(w, c);
  if (c.hub != nullptr) {
    detail::explain_hub(w, c);
    detail::explain_supply(w, c);
    if (c.r.solved) {
      detail::explain_volts(w, c);
      detail::explain_light(w, c);
    }
  }
  if (c.output != nullptr) {
    detail::explain_driver(w, c);
    detail::explain_protection(w, c);
  }
  detail::explain_price(w, c);
  return {};
}

}  // namespace tapewright
