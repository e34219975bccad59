// SPDX-License-Identifier: BSL-1.0
// C interface: questions about a network: sensitivities, bounds, another cable, distance to collapse.
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>

#include "answer.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "network_block.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/network/collapse.hpp"
#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tolerance.hpp"
#include "tapewright/plan/explain_network.hpp"
#include "tapewright/sizing/feeder_swap.hpp"
#include "text_answer.hpp"

using namespace tapewright;
using namespace tapewright::capi;

/// Derivatives by every run, hub and feed point.
template <class Share, class PerOhm>
struct slope_rows {
  std::span<run_influence<Share, PerOhm>> runs;
  std::span<hub_influence<PerOhm>> hubs;
  std::span<lead_influence<PerOhm>> feeds;
};

/// What stands at the front of the block: derivatives of a voltage or of a share of light, the others are empty.
struct tw_sensitivity {
  static constexpr std::uint64_t finished = 0x7477'736c'6f70'3031;

  std::uint64_t state = 0;  ///< `finished` once it may be read
  slope_rows<volts, amps> of_voltage;
  slope_rows<double, siemens> of_light;
};

struct tw_bounds {
  static constexpr std::uint64_t finished = 0x7477'626f'756e'3031;

  std::uint64_t state = 0;
  network_bounds whole;
  std::span<const run_bounds> runs;
  std::span<const fed_run> asked;
};

namespace {

/// The whole block. Made with a ruler it only measures.
struct question_room {
  std::span<tw_sensitivity> sensitivity;
  std::span<tw_bounds> bounds;
  network_rows rows;
  solution_room solved;
  std::span<fed_run_figures> after;
  slope_rows<volts, amps> slopes;
  slope_rows<double, siemens> light_slopes;
  std::span<run_bounds> run_bounds_told;
  std::span<feed_hub> other_hubs;
  std::span<fed_run> other_runs;
  std::span<run_stretch> other_stretches;
  std::span<feed_point> other_feeds;
  std::span<double> doubles;

  question_room(carver& room, const network_counts& n) noexcept
      : sensitivity{room.array<tw_sensitivity>(1)},
        bounds{room.array<tw_bounds>(1)},
        rows{room, n},
        solved{room, n.runs, n.loads, n.feeds},
        after{room.array<fed_run_figures>(n.runs)},
        slopes{room.array<run_sensitivity>(n.runs), room.array<hub_sensitivity>(n.hubs),
               room.array<lead_sensitivity>(n.feeds)},
        light_slopes{room.array<run_light_sensitivity>(n.runs), room.array<hub_light_sensitivity>(n.hubs),
                     room.array<lead_light_sensitivity>(n.feeds)},
        run_bounds_told{room.array<run_bounds>(n.runs)},
        other_hubs{room.array<feed_hub>(n.hubs)},
        other_runs{room.array<fed_run>(n.runs)},
        other_stretches{room.array<run_stretch>(n.stretches)},
        other_feeds{room.array<feed_point>(n.feeds)},
        doubles{room.array<double>(n.solving > n.asking ? n.solving : n.asking)} {}

  fault fill(const tw_network& c) noexcept {
    if (const fault f = rows.fill(c, false)) return f;
    solved.share(rows.runs.rows);
    return {};
  }
  tolerance_space for_bounds() const noexcept {
    return {other_hubs,     other_runs,      other_stretches, other_feeds,
            solved.figures, solved.profiles, solved.load_v,   doubles};
  }
  swap_space for_swap() const noexcept {
    return {other_runs, other_feeds, solved.figures, after,       solved.profiles,
            doubles,    slopes.runs, slopes.hubs,    slopes.feeds};
  }
};

/// `ask(room, network)` with the network brought into the caller's block (argument `place`).
template <class Ask>
auto asked_in(void* block, std::int64_t bytes, std::int32_t place, const arrived_network& a, Ask ask) noexcept
    -> decltype(ask(std::declval<question_room&>(), feed_network{})) {
  if (a.why) return a.why;
  if (const fault f = refuse_block(block, bytes, bytes_of<question_room>(a.counts), place)) return f;
  carver carved{block};
  question_room room{carved, a.counts};
  if (const fault f = room.fill(a.c)) return f;
  return ask(room, room.rows.network(a.c));
}

struct told_sensitivity {
  tw_sensitivity* handle = nullptr;
  load_place asked;
  load_sensitivity load;
};

void to_c(tw_load_sensitivity& c, const told_sensitivity& a) noexcept {
  using tapewright::to_c;
  to_c(c.run, a.asked.run);
  to_c(c.channel, a.asked.channel);
  to_c(c.at_kink, a.load.at_kink);
  to_c(c.segment, a.asked.segment);
  to_c(c.voltage_v, a.load.voltage);
  to_c(c.current_a, a.load.current);
  to_c(c.slope_a_per_v, a.load.slope);
  to_c(c.source_v_per_v, a.load.source);
  to_c(c.lead_v_per_ohm, a.load.lead);
  to_c(c.own_v_per_a, a.load.own);
  to_c(c.to_kink_v, a.load.to_kink);
}

/// Solves, finds the lamp where the dimmest is asked for, and asks for its derivatives.
outcome<told_sensitivity> sensitivity_in(question_room& room, const feed_network& n,
                                         load_place asked) noexcept {
  const solution_room& s = room.solved;
  const outcome<network_figures> solved = solve_network(n, room.doubles, s.figures, s.profiles);
  if (!solved) return solved.why();
  const bool dimmest = asked.segment == -1;
  if (dimmest && asked.run >= 0 && static_cast<std::size_t>(asked.run) < n.runs.size()) {
    const auto r = static_cast<std::size_t>(asked.run);
    asked = dimmest_load(n.runs[r], s.figures[r], s.profiles[r]);
    asked.run = static_cast<std::int32_t>(r);
  }
  const outcome<load_sensitivity> load = sensitivity_of(n, s.profiles, asked, room.doubles, room.slopes.runs,
                                                        room.slopes.hubs, room.slopes.feeds);
  if (!load) return load.why();
  room.sensitivity[0] = {tw_sensitivity::finished, room.slopes, {}};
  return told_sensitivity{&room.sensitivity[0], asked, *load};
}

struct told_light {
  tw_sensitivity* handle = nullptr;
  light_sensitivity light;
};

/// Solves, and asks for the derivatives of a share of light.
outcome<told_light> light_in(question_room& room, const feed_network& n, std::int32_t run,
                             std::int32_t channel, std::int32_t which) noexcept {
  if (which < TW_LIGHT_OF_DIMMEST || which > TW_LIGHT_OF_MEAN)
    return fault{fault_code::not_listed, field::none,      static_cast<double>(which),
                 TW_LIGHT_OF_DIMMEST,    TW_LIGHT_OF_MEAN, -1};
  const solution_room& s = room.solved;
  const slope_rows<double, siemens>& slopes = room.light_slopes;
  const outcome<network_figures> solved = solve_network(n, room.doubles, s.figures, s.profiles);
  if (!solved) return solved.why();
  const outcome<light_sensitivity> light =
      light_sensitivity_of(n, s.profiles, run, channel, static_cast<light_share>(which), room.doubles,
                           slopes.runs, slopes.hubs, slopes.feeds);
  if (!light) return light.why();
  room.sensitivity[0] = {tw_sensitivity::finished, {}, slopes};
  return told_light{&room.sensitivity[0], *light};
}

outcome<tw_bounds*> bounds_in(question_room& room, const feed_network& n,
                              const network_tolerances& t) noexcept {
  const outcome<network_bounds> all = bounds_of(n, t, room.for_bounds(), room.run_bounds_told);
  if (!all) return all.why();
  room.bounds[0] = {tw_bounds::finished, *all, room.run_bounds_told, n.runs};
  return &room.bounds[0];
}

/// One figure's bounds, or why there are none.
outcome<two_bounds> bounds_of_figure(const tw_bounds& b, std::int32_t figure, std::int32_t run,
                                     std::int32_t channel) noexcept {
  if (figure < TW_BOUND_TOTAL || figure > TW_BOUND_COLOUR_SHIFT)
    return fault{fault_code::not_listed, field::none,           static_cast<double>(figure),
                 TW_BOUND_TOTAL,         TW_BOUND_COLOUR_SHIFT, -1};
  const bool of_whole = figure <= TW_BOUND_LOSS;
  const std::int32_t first = of_whole ? -1 : 0, last = static_cast<std::int32_t>(b.runs.size()) - 1;
  if (run < first || run > last)
    return fault{fault_code::unknown_reference, field::place,
                 static_cast<double>(run),      static_cast<double>(first),
                 static_cast<double>(last),     -1};
  if (run == -1)
    return figure == TW_BOUND_TOTAL ? b.whole.total : figure == TW_BOUND_LAMPS ? b.whole.lamps : b.whole.loss;
  const run_bounds& own = row_of(b.runs, run);
  switch (figure) {
    case TW_BOUND_TOTAL: return own.total;
    case TW_BOUND_LAMPS: return own.lamps;
    case TW_BOUND_LOSS: return own.loss;
    case TW_BOUND_FEED_CURRENT: return own.greatest_feed_current;
    case TW_BOUND_LINK_CURRENT: return own.greatest_link_current;
    case TW_BOUND_LIGHTNESS_STEP: return own.lightness_step;
    case TW_BOUND_COLOUR_SHIFT: return own.colour_shift;
    default: break;
  }
  const auto channels = static_cast<std::size_t>(row_of(b.asked, run).stretches[0].line.channels);
  if (const fault f = refuse_place(field::place, channel, channels)) return f;
  const auto& each = figure == TW_BOUND_LOWEST_LOAD       ? own.lowest_load
                     : figure == TW_BOUND_HIGHEST_LOAD    ? own.highest_load
                     : figure == TW_BOUND_CHANNEL_CURRENT ? own.channel_current
                                                          : own.evenness;
  return each[channel];
}

std::size_t runs_of(const tw_sensitivity& s) noexcept {
  return s.of_voltage.runs.size() + s.of_light.runs.size();
}
std::size_t runs_of(const tw_bounds& b) noexcept { return b.runs.size(); }
std::size_t hubs_of(const tw_sensitivity& s) noexcept {
  return s.of_voltage.hubs.size() + s.of_light.hubs.size();
}
std::size_t feeds_of(const tw_sensitivity& s) noexcept {
  return s.of_voltage.feeds.size() + s.of_light.feeds.size();
}

/// The row at a place of those that are told, as C has it.
template <class C, class OfVoltage, class OfLight>
C told_row(std::span<OfVoltage> of_voltage, std::span<OfLight> of_light, std::int32_t place) noexcept {
  C c{};
  if (of_light.empty()) to_c(c, row_of<OfVoltage>(of_voltage, place));
  else to_c(c, row_of<OfLight>(of_light, place));
  return c;
}

}  // namespace

tw_status tw_question_workspace(const tw_network* network, int64_t* bytes, tw_fault* why) {
  const arrived_network a{network};
  return tell_bytes<question_room>(a.why, a.counts, bytes, why);
}

tw_status tw_network_sensitivity(const tw_network* network, int32_t run, int32_t channel, int64_t segment,
                                 void* block, int64_t bytes, tw_sensitivity** sensitivity,
                                 tw_load_sensitivity* load, tw_fault* why) {
  const arrived_network a{network};
  return answer(asked_in(block, bytes, 4, a,
                         [=](question_room& room, const feed_network& n) noexcept {
                           return sensitivity_in(room, n, {run, channel, segment});
                         }),
                why, to(sensitivity, &told_sensitivity::handle), to(load));
}

tw_status tw_network_light_sensitivity(const tw_network* network, int32_t run, int32_t channel, int32_t which,
                                       void* block, int64_t bytes, tw_sensitivity** sensitivity,
                                       tw_light_sensitivity* light, tw_fault* why) {
  const arrived_network a{network};
  return answer(asked_in(block, bytes, 4, a,
                         [=](question_room& room, const feed_network& n) noexcept {
                           return light_in(room, n, run, channel, which);
                         }),
                why, to(sensitivity, &told_light::handle), to(light, &told_light::light));
}

tw_status tw_sensitivity_run(const tw_sensitivity* sensitivity, int32_t run, tw_run_sensitivity* slopes,
                             tw_fault* why) {
  return answer(refuse_place(sensitivity, runs_of, run), sensitivity, why,
                to(slopes, [=](const tw_sensitivity& s) noexcept {
                  return told_row<tw_run_sensitivity>(s.of_voltage.runs, s.of_light.runs, run);
                }));
}

tw_status tw_sensitivity_hub(const tw_sensitivity* sensitivity, int32_t hub, tw_hub_sensitivity* slopes,
                             tw_fault* why) {
  return answer(refuse_place(sensitivity, hubs_of, hub), sensitivity, why,
                to(slopes, [=](const tw_sensitivity& s) noexcept {
                  return told_row<tw_hub_sensitivity>(s.of_voltage.hubs, s.of_light.hubs, hub);
                }));
}

tw_status tw_sensitivity_feed(const tw_sensitivity* sensitivity, int32_t feed, tw_feed_sensitivity* slopes,
                              tw_fault* why) {
  return answer(refuse_place(sensitivity, feeds_of, feed), sensitivity, why,
                to(slopes, [=](const tw_sensitivity& s) noexcept {
                  return told_row<tw_feed_sensitivity>(s.of_voltage.feeds, s.of_light.feeds, feed);
                }));
}

tw_status tw_per_kelvin(double of_itself_v, double copper_c, double* v_per_k, tw_fault* why) {
  const fault f = refuse(field::of_itself, of_itself_v);
  return answer(unless(f, [=]() noexcept { return per_kelvin(volts{of_itself_v}, celsius{copper_c}); }), why,
                to(v_per_k));
}

tw_status tw_network_bounds(const tw_network* network, const tw_tolerances* tolerances, void* block,
                            int64_t bytes, tw_bounds** bounds, tw_fault* why) {
  const arrived_network a{network};
  const arrived<tw_tolerances, network_tolerances> t{tolerances, 1};
  return answer(unless(first_fault(a.why, t.why),
                       [&]() noexcept {
                         return asked_in(block, bytes, 2, a,
                                         [&](question_room& room, const feed_network& n) noexcept {
                                           return bounds_in(room, n, t.row);
                                         });
                       }),
                why, to(bounds));
}

tw_status tw_bound_of(const tw_bounds* bounds, int32_t figure, int32_t run, int32_t channel, tw_bound* least,
                      tw_bound* most, tw_fault* why) {
  return answer(unless(refuse_handle(bounds),
                       [=]() noexcept { return bounds_of_figure(*bounds, figure, run, channel); }),
                why, to(least, &two_bounds::least), to(most, &two_bounds::most));
}

tw_status tw_copper_range(double at_c, double least_c, double most_c, double share, double* least,
                          double* most, tw_fault* why) {
  const fault f = first_fault(refuse(field::temperature, at_c), refuse(field::temperature, least_c),
                              refuse(field::temperature, most_c));
  return answer(unless(f,
                       [=]() noexcept {
                         return copper_range(celsius{at_c}, celsius{least_c}, celsius{most_c}, share);
                       }),
                why, to(least, &factor_range::least), to(most, &factor_range::most));
}

tw_status tw_swap_feeder(const tw_network* network, int32_t run, int32_t feed, double core_ohm, void* block,
                         int64_t bytes, tw_swap_effect* effect, tw_network_figures* before,
                         tw_network_figures* after, tw_fault* why) {
  const arrived_network a{network};
  return answer(asked_in(block, bytes, 4, a,
                         [=](question_room& room, const feed_network& n) noexcept {
                           return swap_feeder(n, {run, feed, ohms{core_ohm}}, room.for_swap());
                         }),
                why, to(effect), to(before, &swap_effect::network_before),
                to(after, &swap_effect::network_after));
}

tw_status tw_collapse_factor(const tw_network* network, void* block, int64_t bytes, double* factor,
                             tw_fault* why) {
  const arrived_network a{network};
  return answer(asked_in(block, bytes, 1, a,
                         [](question_room& room, const feed_network& n) noexcept {
                           return collapse_factor(n, room.doubles);
                         }),
                why, to(factor));
}

tw_status tw_explain_sensitivity(const tw_network* network, int32_t run, int32_t channel, int64_t segment,
                                 void* block, int64_t bytes, char* buffer, int64_t capacity, int64_t* wanted,
                                 tw_fault* why) {
  const arrived_network a{network};
  return answer_text({}, buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    return asked_in(block, bytes, 4, a, [&](question_room& room, const feed_network& n) noexcept {
      const outcome<told_sensitivity> told = sensitivity_in(room, n, {run, channel, segment});
      if (!told) return told.why();
      explain_sensitivity(n, room.solved.profiles, told->asked, told->load, room.slopes.runs,
                          room.slopes.hubs, room.slopes.feeds, out);
      return fault{};
    });
  });
}

tw_status tw_explain_light_sensitivity(const tw_network* network, int32_t run, int32_t channel, int32_t which,
                                       void* block, int64_t bytes, char* buffer, int64_t capacity,
                                       int64_t* wanted, tw_fault* why) {
  const arrived_network a{network};
  return answer_text({}, buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    return asked_in(block, bytes, 4, a, [&](question_room& room, const feed_network& n) noexcept {
      const outcome<told_light> told = light_in(room, n, run, channel, which);
      if (!told) return told.why();
      const slope_rows<double, siemens>& slopes = room.light_slopes;
      explain_light_sensitivity(n, room.solved.profiles, run, channel, static_cast<light_share>(which),
                                told->light, slopes.runs, slopes.hubs, slopes.feeds, out);
      return fault{};
    });
  });
}

tw_status tw_explain_bounds(const tw_network* network, const tw_tolerances* tolerances, int32_t run,
                            void* block, int64_t bytes, char* buffer, int64_t capacity, int64_t* wanted,
                            tw_fault* why) {
  const arrived_network a{network};
  const arrived<tw_tolerances, network_tolerances> t{tolerances, 1};
  return answer_text(first_fault(a.why, t.why), buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    return asked_in(block, bytes, 3, a, [&](question_room& room, const feed_network& n) noexcept {
      const outcome<tw_bounds*> told = bounds_in(room, n, t.row);
      if (!told) return told.why();
      if (const fault f = refuse_place(*told, runs_of, run)) return f;
      explain_bounds(n, t.row, static_cast<std::size_t>(run), row_of((*told)->runs, run), out);
      return fault{};
    });
  });
}

tw_status tw_explain_feeder_swap(const tw_network* network, int32_t run, int32_t feed, double core_ohm,
                                 void* block, int64_t bytes, char* buffer, int64_t capacity, int64_t* wanted,
                                 tw_fault* why) {
  const arrived_network a{network};
  return answer_text({}, buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    return asked_in(block, bytes, 4, a, [&](question_room& room, const feed_network& n) noexcept {
      const feeder_swap swap{run, feed, ohms{core_ohm}};
      const outcome<swap_effect> effect = swap_feeder(n, swap, room.for_swap());
      if (!effect) return effect.why();
      explain_feeder_swap(swap, *effect, out);
      return fault{};
    });
  });
}

tw_status tw_explain_collapse(const tw_network* network, void* block, int64_t bytes, char* buffer,
                              int64_t capacity, int64_t* wanted, tw_fault* why) {
  const arrived_network a{network};
  return answer_text({}, buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    return asked_in(block, bytes, 1, a, [&](question_room& room, const feed_network& n) noexcept {
      const outcome<double> factor = collapse_factor(n, room.doubles);
      if (!factor) return factor.why();
      explain_collapse(n, *factor, out);
      return fault{};
    });
  });
}
