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

  constexpr derivation& heading(std::string_view words) noexcept {
    out_.add('\n').add(words).add('\n');
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
  constexpr derivation& read(const Quantity& value, source from) noexcept { return put_exact(value).told(from); }
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
    if (facts.how == known::from_memory) out_.add(", from memory");
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
  constexpr void add(const char* text) noexcept { out_.add(std::string_view{text}); }
  constexpr void add(double value) noexcept { add_plain(out_, value, digits_in); }
  constexpr void add(std::int32_t value) noexcept { add_integer(out_, value); }
  constexpr void add(std::int64_t value) noexcept { add_integer(out_, value); }
  template <class Quantity>
    requires requires(const Quantity& q) { unit_text(q); }
  constexpr void add(const Quantity& q) noexcept { add_plain(out_, q.v, digits_in).add(unit_text(q)); }

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
};

constexpr run_context context_of(const plan& p, const job& j, const catalogue& parts, std::size_t at) noexcept {
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

constexpr void explain_cut(derivation& w, const run_context& c) noexcept {
  const metres noise = length_noise(c.asked.measured);
  w.heading("Tape");
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
  w.figure("sold in whole quanta")
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

/// "a + b + c" of something of each of the run's channels.
template <class Of>
constexpr void put_sum(text_sink& out, std::size_t count, Of of) noexcept {
  for (std::size_t k = 0; k < count; ++k) {
    if (k > 0) out.add(" + ");
    const auto q = of(k);
    add_plain(out, q.v, digits_in).add(unit_text(q));
  }
}

}  // namespace detail
}  // namespace tapewright
