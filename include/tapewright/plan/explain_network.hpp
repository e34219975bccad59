// SPDX-License-Identifier: BSL-1.0
// Where the answers to questions about a network come from: what moves a lamp or a share of light, bounds, another cable, collapse.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/number_text.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/closed_line.hpp"
#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tolerance.hpp"
#include "tapewright/plan/explain.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/feeder_swap.hpp"

namespace tapewright {

/// Codes of a network's runs, in its order; without them runs go by their numbers, from 1.
using run_codes = std::span<const std::string_view>;

namespace detail {

constexpr auto run_called(run_codes codes, std::size_t r) noexcept {
  return [codes, r](derivation& w) noexcept {
    if (r < codes.size()) w.piece(codes[r]);
    else {
      w.piece("run ");
      w.piece(static_cast<std::int64_t>(r + 1));
    }
  };
}
constexpr std::int64_t counted_from_1(std::int64_t place) noexcept { return place + 1; }

/// What a derivative is of, and what is drawn to find it.
struct slope_words {
  std::string_view per_ohm, formula;
};
constexpr slope_words words_of_slope(amps) noexcept {
  return {"V for each ohm more in ", "-I I': current as solved, and what of the ampere flows there"};
}
constexpr slope_words words_of_slope(siemens) noexcept {
  return {"share for each ohm more in ", "-I I': current as solved, and what of those amperes flows there"};
}

constexpr double plain(double x) noexcept { return x; }
template <class Quantity>
constexpr double plain(Quantity x) noexcept {
  return x.v;
}
/// A derivative as it is told: 0 where it is nothing but rounding beside terms of this size, 1 V or all light.
template <class Share>
constexpr Share free_of_rounding(Share x, double beside = 1) noexcept {
  return absolute(plain(x)) < 1e-12 * beside ? Share{} : x;
}

/// What an ohm does in a conductor that carries `current` as solved: what of the amperes drawn goes through it, and
/// -I I'.
template <class PerOhm>
constexpr void put_per_ohm(derivation& w, std::string_view what, std::int64_t number, amps current,
                           PerOhm per_ohm) noexcept {
  if (!(current.v > 0)) return;
  const double told = free_of_rounding(per_ohm.v);
  w.figure(words_of_slope(PerOhm{}).per_ohm, what, number)
      .formula(words_of_slope(PerOhm{}).formula)
      .put(-current.v, " * ", -told / current.v)
      .gives(told, source::closed_form);
}

/// What a run's lamps, traces and feeders do, of themselves; nothing where they do nothing.
template <class Share, class PerOhm>
constexpr void explain_run_slopes(derivation& w, run_codes codes, std::size_t r, const fed_run& run,
                                  const run_influence<Share, PerOhm>& s,
                                  std::span<const lead_influence<PerOhm>> leads) noexcept {
  const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
  Share traces = s.trace_common, loads{};
  double greatest_trace = absolute(plain(s.trace_common)), greatest_load = 0;
  for (std::size_t c = 0; c < channels; ++c) {
    traces += s.trace_channel[c];
    loads += s.load[c];
    greatest_trace = larger(greatest_trace, absolute(plain(s.trace_channel[c])));
    greatest_load = larger(greatest_load, absolute(plain(s.load[c])));
  }
  traces = free_of_rounding(traces, greatest_trace), loads = free_of_rounding(loads, greatest_load);
  const auto nothing = [](Share x) noexcept { return free_of_rounding(x) == Share{}; };
  if (nothing(traces) && nothing(loads) && nothing(s.copper)) return;
  w.heading("by ", run_called(codes, r));
  w.figure("all of its trace, of itself")
      .formula("common + each channel's, each the sum of -R I I' over the segments")
      .put([&](derivation& d) noexcept {
        d.piece(s.trace_common);
        for (std::size_t c = 0; c < channels; ++c) {
          d.piece(" + ");
          d.piece(s.trace_channel[c]);
        }
      })
      .gives(traces, source::closed_form);
  w.figure("all of its W/m, of itself")
      .formula("each channel's sum of i u' over its lamps")
      .put([&](derivation& d) noexcept {
        for (std::size_t c = 0; c < channels; ++c) {
          if (c > 0) d.piece(" + ");
          d.piece(s.load[c]);
        }
      })
      .gives(loads, source::closed_form);
  w.figure("its length, of itself")
      .formula("trace + W/m")
      .put(traces, " + ", loads)
      .gives(free_of_rounding(s.length, larger(absolute(plain(traces)), absolute(plain(loads)))),
             source::closed_form);
  if (s.copper == Share{}) return;
  double greatest_core = 0;
  w.figure("copper of its feeders, of itself")
      .formula("sum of R x (for each ohm more), over shared feeder and leads")
      .put([&](derivation& d) noexcept {
        bool any = false;
        const auto add = [&](ohms core, PerOhm slope) noexcept {
          if (core.v == 0 || slope.v == 0) return;
          if (any) d.piece(" + ");
          any = true;
          greatest_core = larger(greatest_core, absolute(core.v * slope.v));
          d.piece(core.v);
          d.piece(" * ");
          d.piece(slope.v);
        };
        add(run.common, s.feeder_common);
        for (std::size_t c = 0; c < channels; ++c) add(run.channel[c], s.feeder_channel[c]);
        for (std::size_t j = 0; j < run.feeds.size(); ++j) {
          add(run.feeds[j].common, leads[j].common);
          for (std::size_t c = 0; c < channels; ++c) add(run.feeds[j].channel[c], leads[j].channel[c]);
        }
      });
  w.gives(free_of_rounding(s.copper, greatest_core), source::closed_form);
}

/// What supplies, the lead of all hubs and every run do; `from_source` by the source's volt.
template <class Share, class PerOhm>
constexpr void explain_slopes(derivation& w, const feed_network& n, std::span<const fed_run_profile> solved,
                              double from_source, PerOhm by_lead,
                              std::span<const run_influence<Share, PerOhm>> runs,
                              std::span<const hub_influence<PerOhm>> hubs,
                              std::span<const lead_influence<PerOhm>> leads, run_codes codes) noexcept {
  amps total;
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    double each[max_channels] = {};
    for (std::size_t r = 0; r < n.runs.size(); ++r)
      if (static_cast<std::size_t>(n.runs[r].hub) == h) add_currents(n.runs[r], solved[r], each);
    amps drawn;
    for (const double a : each) drawn.v += a;
    total += drawn;
    put_per_ohm(w, "the supply of hub ", static_cast<std::int64_t>(h + 1), drawn, hubs[h].supply);
  }
  if (n.lead.v > 0 && total.v > 0 && free_of_rounding(from_source) != 0)
    w.figure(words_of_slope(PerOhm{}).per_ohm, "the lead of all hubs")
        .formula("-I I'")
        .put(-total.v, " * ", from_source)
        .gives(by_lead.v, source::closed_form);
  std::size_t lead = 0;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const std::size_t points = n.runs[r].feeds.size();
    const std::span<const lead_influence<PerOhm>> own = leads.subspan(lead, points);
    lead += points;
    explain_run_slopes(w, codes, r, n.runs[r], runs[r], own);
  }
}

}  // namespace detail

/// Derives what sensitivity_of tells of a load.
///
/// @param n, solved, asked   as sensitivity_of took them.
/// @param load, runs, hubs, leads  its answer.
/// @param out    gets the text, in the form of `explain`.
/// @param codes  names of the runs; see run_codes.
constexpr void explain_sensitivity(const feed_network& n, std::span<const fed_run_profile> solved,
                                   load_place asked, const load_sensitivity& load,
                                   std::span<const run_sensitivity> runs,
                                   std::span<const hub_sensitivity> hubs,
                                   std::span<const lead_sensitivity> leads, text_sink& out,
                                   run_codes codes = {}) noexcept {
  detail::derivation w{out};
  w.heading("what moves one lamp of ", detail::run_called(codes, static_cast<std::size_t>(asked.run)),
            ": channel ", detail::counted_from_1(asked.channel), ", segment ",
            detail::counted_from_1(asked.segment));
  w.figure("voltage across it").formula("the network, solved").read(load.voltage, source::closed_form);
  w.figure("V for each volt more of the source")
      .formula(
          "one ampere more drawn at this lamp, every other lamp on the tangent of its law: what of it the "
          "source gives")
      .read(load.source, source::closed_form);
  w.figure("V for each ampere more drawn there")
      .formula("the same ampere: what its way takes")
      .read(-load.own.v, source::closed_form);
  if (load.at_kink) w.remark("a lamp stands at a corner of its law: these are the derivatives of one side");
  detail::explain_slopes(w, n, solved, load.source, load.lead, runs, hubs, leads, codes);
}

/// Derives what light_sensitivity_of tells of a share of light.
///
/// @param n, solved, run, channel, which   as light_sensitivity_of took them.
/// @param light, runs, hubs, leads  its answer.
/// @param out    gets the text, in the form of `explain`. A lamp's light is told as its current, that of a lamp that
///               holds its power as this power; where the channel gives none no derivative is told.
/// @param codes  names of the runs; see run_codes.
constexpr void explain_light_sensitivity(const feed_network& n, std::span<const fed_run_profile> solved,
                                         std::int32_t run, std::int32_t channel, light_share which,
                                         const light_sensitivity& light,
                                         std::span<const run_light_sensitivity> runs,
                                         std::span<const hub_light_sensitivity> hubs,
                                         std::span<const lead_light_sensitivity> leads, text_sink& out,
                                         run_codes codes = {}) noexcept {
  const auto r = static_cast<std::size_t>(run), c = static_cast<std::size_t>(channel);
  const detail::channel_lights told = detail::lights_of(n.runs[r], solved[r], c);
  const detail::adjoint_amperes drawn = told.amperes(r, c, which);
  const bool mean = which == light_share::mean;
  detail::derivation w{out};
  w.heading(
      "what moves the light of ", detail::run_called(codes, r), ": channel ", detail::counted_from_1(channel),
      std::string_view{mean ? ", all lamps' mean over the brightest" : ", dimmest lamp over the brightest"});
  if (!(told.most > 0)) {
    w.remark("it gives no light");
    return;
  }
  const double dimmest = told.least, brightest = told.most,
               average = told.sum / static_cast<double>(told.lamps);
  w.figure("light Lb of the brightest lamp, segment ", detail::counted_from_1(told.brightest))
      .formula("its current, its power where it holds that")
      .read(brightest, source::closed_form);
  if (mean)
    w.figure("mean light L of all lamps")
        .formula("sum of their light / n")
        .put(told.sum, " / ", told.lamps)
        .gives(average, source::closed_form);
  else
    w.figure("light L of the dimmest lamp, segment ", detail::counted_from_1(told.dimmest))
        .formula("likewise")
        .read(dimmest, source::closed_form);
  w.figure("share of light")
      .formula("S = L / Lb")
      .put(mean ? average : dimmest, " / ", brightest)
      .gives(light.share, source::closed_form);
  w.figure("amperes drawn at the brightest lamp")
      .formula("-S g / Lb: g its light's slope by its voltage")
      .put(-light.share, " * ", told.slope_most, " / ", brightest)
      .gives(drawn.at[0], source::closed_form);
  if (!mean)
    w.figure("amperes drawn at the dimmest lamp")
        .formula("g / Lb")
        .put(told.slope_least, " / ", brightest)
        .gives(drawn.at[1], source::closed_form);
  else if (told.follows)
    w.figure("amperes drawn at every lamp for each A/V of its slope")
        .formula("1 / (n Lb)")
        .put("1 / (", told.lamps, " * ", brightest, ")")
        .gives(drawn.per_slope, source::closed_form);
  w.figure("share for each volt more of the source")
      .formula("those amperes drawn, every lamp on the tangent of its law: what of them the source gives")
      .read(detail::free_of_rounding(light.per_volt), source::closed_form);
  if (light.at_kink) w.remark("a lamp stands at a corner of its law: these are the derivatives of one side");
  detail::explain_slopes(w, n, solved, light.per_volt, light.lead, runs, hubs, leads, codes);
}

namespace detail {

constexpr std::string_view words_of(bound_method by) noexcept {
  switch (by) {
    case bound_method::monotone: return "every input moves it one way: attained at the corner told";
    case bound_method::mean_value:
      return "some inputs may move it either way: the corner of the others, and the steepest slope of these";
    case bound_method::enclosure: return "from the currents that are possible at most and at least";
    case bound_method::none: break;
  }
  return "nothing is told";
}

/// Names of the inputs of a run, its hub and the whole, at one end of a corner: "source, trace, W/m of channel 1".
template <class Chosen>
constexpr void put_inputs(derivation& w, std::string_view what, const feed_network& n,
                          const network_tolerances& t, std::size_t r, Chosen chosen) noexcept {
  bool any = false;
  const auto name = [&](std::size_t p, auto... words) noexcept {
    const factor_range range = range_of_factor(n, t, p);
    if (range.least == range.most || !chosen(p)) return;
    if (any) w.piece(", ");
    else w.piece(what);
    any = true;
    (w.piece(words), ...);
  };
  const std::size_t hub = 2 + 2 * static_cast<std::size_t>(n.runs[r].hub), own = first_factor_of_run(n, r);
  using words = std::string_view;
  name(0, words{"source"});
  name(1, words{"lead"});
  name(hub, words{"supply cable"});
  name(hub + 1, words{"switches"});
  name(own, words{"trace"});
  name(own + 1, words{"length"});
  name(own + 2, words{"feeder"});
  name(own + 3, words{"joints"});
  for (std::int32_t c = 0; c < n.runs[r].stretches[0].line.channels; ++c)
    name(own + 4 + static_cast<std::size_t>(c), words{"W/m of channel "}, std::int64_t{c} + 1);
  if (any) w.piece("; ");
}

template <class Figure>
constexpr void explain_bound(derivation& w, std::string_view which, std::string_view figure,
                             std::int64_t channel, const one_bound& b, const feed_network& n,
                             const network_tolerances& t, std::size_t r) noexcept {
  w.figure(which, figure, channel).formula(words_of(b.by));
  if (b.by == bound_method::monotone || b.by == bound_method::mean_value)
    w.remark([&](derivation& d) noexcept {
      put_inputs(d, "at most: ", n, t, r,
                 [&](std::size_t p) noexcept { return b.corner.is_high(p) && !b.corner.is_free(p); });
      put_inputs(d, "at least: ", n, t, r,
                 [&](std::size_t p) noexcept { return !b.corner.is_high(p) && !b.corner.is_free(p); });
      put_inputs(d, "either way: ", n, t, r, [&](std::size_t p) noexcept { return b.corner.is_free(p); });
    });
  w.read(Figure{b.value}, source::closed_form);
}

}  // namespace detail

/// Derives the bounds of one run.
///
/// @param n, t   as bounds_of took them.
/// @param r      place of the run.
/// @param told   its bounds.
/// @param out    gets the text, in the form of `explain`. Inputs of other runs are not named.
/// @param codes  names of the runs; see run_codes.
constexpr void explain_bounds(const feed_network& n, const network_tolerances& t, std::size_t r,
                              const run_bounds& told, text_sink& out, run_codes codes = {}) noexcept {
  detail::derivation w{out};
  w.heading("bounds of ", detail::run_called(codes, r), " within the tolerances");
  const auto range = [&](std::string_view what, const factor_range& f) noexcept {
    if (f.least != f.most) w.remark(what, f.least, " to ", f.most, " times");
  };
  range("source ", t.source);
  range("W/m ", t.load);
  range("trace ", t.trace);
  range("length ", t.length);
  range("cables ", t.cable);
  range("contacts ", t.contact);
  if (t.source.least != t.source.most) {
    w.figure("source at least")
        .put(n.source, " * ", t.source.least)
        .gives(n.source * t.source.least, source::closed_form);
    w.figure("source at most")
        .put(n.source, " * ", t.source.most)
        .gives(n.source * t.source.most, source::closed_form);
  }
  const detail::lit_channels lit = detail::lit_of(n.runs[r].stretches[0].line);
  for (int x = 0; x < lit.count; ++x) {
    const std::size_t c = lit.of[x];
    const auto channel = static_cast<std::int64_t>(c + 1);
    const auto both = [&]<class Figure>(Figure, std::string_view figure, const two_bounds& b) noexcept {
      detail::explain_bound<Figure>(w, "least ", figure, channel, b.least, n, t, r);
      detail::explain_bound<Figure>(w, "greatest ", figure, channel, b.most, n, t, r);
    };
    both(volts{}, "voltage across the lowest lamp of channel ", told.lowest_load[c]);
    both(volts{}, "voltage across the highest lamp of channel ", told.highest_load[c]);
    both(amps{}, "current of channel ", told.channel_current[c]);
    both(double{}, "evenness of channel ", told.evenness[c]);
  }
}

/// Derives what swap_feeder tells.
///
/// @param swap, effect  its question and its answer; a swap of 0 ohm has no derivative to tell.
/// @param out    gets the text, in the form of `explain`.
/// @param codes  names of the runs; see run_codes.
constexpr void explain_feeder_swap(const feeder_swap& swap, const swap_effect& effect, text_sink& out,
                                   run_codes codes = {}) noexcept {
  detail::derivation w{out};
  w.heading("another cable to ", detail::run_called(codes, static_cast<std::size_t>(swap.run)));
  w.figure("ohms of a core, new less old").read(swap.core, source::closed_form);
  w.figure("voltage across its dimmest lamp, before")
      .formula("the network, solved")
      .read(effect.before, source::closed_form);
  if (swap.core.v != 0)
    w.figure("the same lamp by its derivatives")
        .formula("U + (sum of dU/dR over the cable's cores) dR")
        .put(effect.before, " + ", effect.per_ohm.v, " * ", swap.core)
        .gives(effect.first_order, source::closed_form);
  w.figure("the same lamp, after")
      .formula("the network with the other cable, solved")
      .read(effect.after, source::closed_form);
  w.figure("loss in all feeders, before").read(effect.network_before.feeder_loss, source::closed_form);
  w.figure("loss in all feeders, after").read(effect.network_after.feeder_loss, source::closed_form);
}

/// Derives what collapse_factor tells.
///
/// @param n       the network.
/// @param factor  the answer.
/// @param out     gets the text, in the form of `explain`.
constexpr void explain_collapse(const feed_network& n, double factor, text_sink& out) noexcept {
  detail::derivation w{out};
  w.heading("distance to collapse");
  watts power;
  for (const fed_run& run : n.runs) {
    const detail::lit_channels lit = detail::lit_of(run.stretches[0].line);
    for (const run_stretch& s : run.stretches)
      for (int x = 0; x < lit.count; ++x)
        if (s.line.law[lit.of[x]].kind == load_kind::constant_power)
          power += static_cast<double>(s.line.segments) * s.line.law[lit.of[x]].power;
  }
  w.figure("power of all lamps that hold theirs").formula("sum of P").read(power, source::closed_form);
  if (!(factor < infinity)) {
    w.remark("no power of theirs is too much for the wiring");
    return;
  }
  w.figure("times that power can grow")
      .formula(
          "greatest k at which a voltage is left for every lamp at k P; one load behind R: V^2 / (4 R P)")
      .read(factor, source::closed_form);
  w.figure("power at which the network stops to operate")
      .formula("k P")
      .put(factor, " * ", power)
      .gives(factor * power, source::closed_form);
}

/// Derives what closed_line tells of a tape of one lit channel fed at one end.
///
/// @param line, feed  as closed_line takes them.
/// @param out    gets the text, in the form of `explain`; where no closed form applies it says so.
/// @return       Faults of check(line) and check(feed, channels).
constexpr fault explain_closed_line(const tape_line& line, const line_feed& feed, text_sink& out) noexcept {
  if (const fault f = check(line)) return f;
  if (const fault f = check(feed, line.channels)) return f;
  const detail::lit_channels lit = detail::lit_of(line);
  const std::size_t c = lit.of[0];
  detail::derivation w{out};
  w.heading("a tape fed at one end, in closed form");
  const auto none_applies = [&w]() noexcept {
    w.remark(
        "none applies: several channels, constant power, or lamps on different pieces of their law; the tape "
        "is marched segment by segment");
    return fault{};
  };
  if (lit.count != 1 || line.law[c].kind == load_kind::constant_power) return none_applies();
  const detail::ladder<1> l = detail::ladder_of<1>(line, feed, lit);
  const detail::closed_piece all = detail::closed_piece_of(l);
  if (!all.figures.ok) return none_applies();
  const detail::straight_loads<1> load{l, detail::with_piece(0, 0, all.on)};
  const outcome<line_figures> told = closed_line(line, feed);
  if (!told) return told.why();
  const double g = load.slope[0], r = l.common + l.channel[0], before = l.feed_common + l.feed_channel[0],
               s = load.steady[0], shift = load.shift[0];
  const auto n = static_cast<double>(line.segments);
  const detail::mode_block b = detail::segments_in_a_row(g * r, line.segments);
  const volts at_feed = told->at_feed[c], first = told->first_load[c], last = told->last_load[c];
  if (g > 0) {
    w.figure("last lamp's share of the voltage at the feed point")
        .formula(
            "a = 1 / cosh(n t), cosh(t) = 1 + g r / 2: slope g of a lamp, trace r of a segment out and back")
        .put("1 / cosh(", n, " * acosh(1 + ", g, " * ", r, " / 2))")
        .gives(b.a, source::closed_form);
    if (r > 0)
      w.figure("lamps at full voltage that would draw the same current")
          .formula("d = tanh(n t) / sqrt(g r + (g r / 2)^2)")
          .put("tanh(", n, " * acosh(1 + ", g, " * ", r, " / 2)) / sqrt(", g, " * ", r, " + ", g, " * ", r,
               " * ", g, " * ", r, " / 4)")
          .gives(b.d, source::closed_form);
  }
  w.figure("voltage at the feed point")
      .formula(
          "U0 + (V - U0 - R n s) / (1 + R g d): R before it, U0 where the law's straight piece begins, s a "
          "current that no voltage changes")
      .put(shift, " + (", feed.source, " - ", shift, " - ", before, " * ", n, " * ", s, ") / (1 + ", before,
           " * ", g, " * ", b.d, ")")
      .gives(at_feed, source::closed_form);
  w.figure("current")
      .formula("g d (U - U0) + n s")
      .put(g, " * ", b.d, " * (", at_feed, " - ", shift, ") + ", n, " * ", s)
      .gives(told->total, source::closed_form);
  w.figure("voltage across the first lamp")
      .formula("U - r I / 2")
      .put(at_feed, " - ", r, " * ", told->total, " / 2")
      .gives(first, source::closed_form);
  w.figure("voltage across the last lamp")
      .formula("U0 + a (U - U0) - r s n^2 / 2")
      .put(shift, " + ", b.a, " * (", at_feed, " - ", shift, ") - ", r, " * ", s, " * ", n, " * ", n, " / 2")
      .gives(last, source::closed_form);
  return {};
}

}  // namespace tapewright
