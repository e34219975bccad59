// SPDX-License-Identifier: BSL-1.0
// The steady state of everything behind one supply cable: hub, feeders, tapes, solved together.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/network/closed_line.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/rules/conductor_sizes.hpp"

namespace tapewright {

/// Cable copper at the two ends of what it may be, and part-loaded: new and unlit; warm, as it is metered;
/// at the limit of PVC insulation, which no well-used conductor passes. A design rule of this library.
inline constexpr celsius cold_copper{20}, metering_copper{40}, hot_copper{70};

/// Supply and copper for which a hub is solved.
struct hub_state {
  volts source{};               ///< at the driver's output
  celsius copper = hot_copper;  ///< of all cables; the tapes' traces are at the runs' ambients
  std::uint32_t lit = all_lit;
  bool resumed = false;  ///< `figures` hold a solution of this hub with the same channels lit: start there
};

/// Ohms of one core of a laid cable at a temperature; 0 where no cable is laid.
constexpr ohms core_of(const laid_cable& w, celsius copper) noexcept {
  if (w.cable < 0) return {};
  const auto r = resistance_at(w.check.conductor, copper);
  return r.ok() ? *r * w.cut : ohms{unset};
}

namespace detail {

constexpr ohms contact_at(const catalogue& parts, std::int32_t connector) noexcept {
  return connector < 0 ? ohms{} : parts.connectors[static_cast<std::size_t>(connector)].contact;
}
constexpr ohms contact_at(const draft& d, std::int32_t connector) noexcept {
  return contact_at(d.parts, connector);
}

/// Current of a hub over that of one of its runs: how much heavier a shared conductor weighs on it.
constexpr double weight_of(amps hub, amps run) noexcept { return run.v > 0 ? hub / run : 1.0; }

/// The currents of a hub: what its runs draw together, channel by channel.
struct hub_currents {
  amps total, channel[max_channels];

  constexpr void add(const line_figures& f) noexcept {
    total += f.total;
    for (std::int32_t k = 0; k < f.channels; ++k) channel[k] += f.channel_current[k];
  }
};

/// How far the currents of several runs grew apart in one round: greatest growth over least, less 1.
/// Where all grow alike the weights stay as they are. (Kept as greatest growth and greatest decline, so
/// that zero is where both start: GCC 12 forgets other defaults in an array of a constant expression.)
struct growth {
  double up = 0, down = 0;

  constexpr void add(amps was, amps is) noexcept {
    if (!(was.v > 0) || !(is.v > 0)) return;
    up = larger(up, is / was);
    down = larger(down, was / is);
  }
  constexpr double apart() const noexcept { return up > 0 ? up * down - 1 : 0.0; }
  constexpr double most() const noexcept { return up > 0 ? larger(up, down) - 1 : 0.0; }
};

/// How far a round's answer is taken: past it, or short of it, by as much as the errors of the rounds before told.
/// They shrink by nearly the same share each round, and where the answer x + r to x leaves such a share q of the
/// error, x + r / (1 - q) leaves next to none. The share shows in the way one run's part of the hub moves.
class relaxation {
 public:
  constexpr double step() const noexcept { return step_; }

  /// @param moved  how much more than its hub the run grew in this round, as a share of itself: the error left by
  ///               the round before, which was taken as far as `taken_` tells.
  constexpr void learn(double moved) noexcept {
    const double left = last_ < 0 || last_ > 0 ? moved / last_ : 0.0;
    const double next = absolute(left) < 0.5 ? smaller(larger(taken_ / (1 - left), 0.5), 2.0) : 1.0;
    taken_ = step_;
    step_ = next;
    last_ = moved;
  }

  /// A current that was x and came out as y, taken that far.
  constexpr amps past(amps x, amps y) const noexcept { return y + (step_ - 1) * (y - x); }

 private:
  double step_ = 1, taken_ = 1, last_ = 0;
};

/// A run's nominal currents, as the figures that the first round starts from.
constexpr line_figures nominal_figures(const run_plan& r, std::uint32_t lit) noexcept {
  line_figures f;
  f.channels = r.load.channels;
  f.total = amps{};
  for (std::int32_t k = 0; k < f.channels; ++k) {
    f.channel_current[k] = (lit >> k & 1u) != 0 ? r.load.channel_current[k] : amps{};
    f.total += f.channel_current[k];
  }
  return f;
}

}  // namespace detail

/// Whether a run is more than one piece fed at its near end.
constexpr bool is_fed_in_parts(const run_plan& r) noexcept {
  return r.more_feeds > 0 || r.stretches > 0 || r.at > 0 || r.arrangement == feed_arrangement::ring;
}
/// Feed points that a run's network has: a ring comes back to its other end.
constexpr std::size_t feed_points_of(const run_plan& r) noexcept {
  return r.arrangement == feed_arrangement::ring ? 2 : static_cast<std::size_t>(r.more_feeds) + 1;
}

namespace detail {

/// The pieces of a run as the network takes them, in `room`; returns how many. A link has the resistance of its
/// contacts; a soldered bridge has none to speak of.
constexpr outcome<std::size_t> stretches_of(const run_plan& r, const tape& t, celsius ambient,
                                            std::uint32_t lit, std::span<const stretch_plan> pieces,
                                            const catalogue& parts, std::span<run_stretch> room) noexcept {
  const std::size_t count = r.stretches > 0 ? static_cast<std::size_t>(r.stretches) : 1;
  for (std::size_t s = 0; s < count; ++s) {
    const stretch_plan* piece =
        r.stretches == 0 ? nullptr : &pieces[static_cast<std::size_t>(r.stretches_from) + s];
    const auto line = line_of(t, piece == nullptr ? r.cut.segments : piece->cut.segments, ambient, lit);
    if (!line.ok()) return line.why();
    run_stretch& part = room[s];
    part.line = *line;
    const ohms link = piece == nullptr || !piece->linked ? ohms{} : contact_at(parts, piece->connector);
    part.link_common = link;
    for (ohms& own : part.link_channel) own = link;
  }
  return count;
}
constexpr outcome<std::size_t> stretches_of(const draft& d, const run_plan& r, std::uint32_t lit,
                                            std::span<run_stretch> room) noexcept {
  return stretches_of(r, d.tape_of(r), d.asked(r).ambient, lit, d.stretches.all(), d.parts, room);
}

/// The feed points of a run, each behind one core of so many ohms; a ring's two ends meet behind the first, its far
/// end through the closing link. Returns how many.
template <class Core>
constexpr std::size_t points_of(const run_plan& r, std::span<const tape_feed> feeds,
                                std::span<const stretch_plan> pieces, const catalogue& parts,
                                const Core& core, std::span<feed_point> room) noexcept {
  const auto lay = [&](feed_point& p, std::int64_t at, ohms each) noexcept {
    p.at = at;
    p.common = each;
    for (ohms& own : p.channel) own = each;
  };
  if (r.arrangement == feed_arrangement::ring) {
    lay(room[0], 0, {});
    const auto closing = static_cast<std::size_t>(r.stretches_from);
    lay(room[1], r.cut.segments, r.stretches > 0 ? contact_at(parts, pieces[closing].connector) : ohms{});
    return 2;
  }
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
    const tape_feed& f = k == 0 ? r : feeds[static_cast<std::size_t>(r.feeds_from + k - 1)];
    lay(room[static_cast<std::size_t>(k)], f.at, core(f));
  }
  return static_cast<std::size_t>(r.more_feeds) + 1;
}
template <class Core>
constexpr std::size_t points_of(const draft& d, const run_plan& r, const Core& core,
                                std::span<feed_point> room) noexcept {
  return points_of(r, d.feeds.all(), d.stretches.all(), d.parts, core, room);
}

/// A run as the network takes it, of the pieces and feed points that stretches_of and points_of wrote. What a ring's
/// two ends share is its one feeder.
template <class Core>
constexpr fed_run network_run(const run_plan& r, std::span<const run_stretch> pieces,
                              std::span<const feed_point> points, const Core& core) noexcept {
  fed_run run;
  run.stretches = pieces;
  run.feeds = points;
  if (r.arrangement != feed_arrangement::ring) return run;
  run.common = core(r);
  for (ohms& own : run.channel) own = run.common;
  return run;
}

/// A run's figures in the words of a line fed at one end: at_feed is its first feed point's.
constexpr line_figures as_line(const fed_run_figures& f, const fed_point& first,
                               const network_figures& all) noexcept {
  line_figures out;
  out.channels = f.channels;
  for (std::size_t c = 0; c < static_cast<std::size_t>(f.channels); ++c) {
    out.at_feed[c] = first.channel[c];
    out.first_load[c] = f.highest_load[c];
    out.last_load[c] = f.lowest_load[c];
    out.channel_current[c] = f.channel_current[c];
    out.evenness[c] = f.evenness[c];
  }
  out.total = f.total;
  out.least_evenness = f.least_evenness;
  out.lightness_step = f.lightness_step;
  out.colour_shift = f.colour_shift;
  out.lamps = f.lamps;
  out.trace_loss = f.trace_loss;
  out.feeder_loss = f.feeder_loss;
  out.residual = all.residual;
  out.steps = all.sweeps;
  return out;
}

/// Solves a hub of which some run is fed in parts: all its runs at once, by solve_network. Fills d.fed.feeds too.
constexpr outcome<volts> solve_fed_hub(const draft& d, std::int32_t hub, const hub_state& state,
                                       std::span<line_figures> figures) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const controller* c = d.controller_of(h);
  const ohms splice = contact_at(d, h.splice);
  feed_hub shared;
  shared.supply = 2 * core_of(h.supply, state.copper);
  if (c != nullptr)
    for (ohms& each : shared.channel) each = c->switch_resistance;
  const auto core = [&](const tape_feed& f) noexcept {
    return core_of(f.feeder, state.copper) + splice + contact_at(d, f.connector);
  };
  std::size_t runs = 0, stretches = 0, points = 0;
  for (const run_plan& r : d.runs_of(hub)) {
    if (r.hub != hub) continue;
    const auto laid = stretches_of(d, r, state.lit, d.fed.stretches.subspan(stretches));
    if (!laid.ok()) return at_item(laid.why(), static_cast<std::size_t>(r.place));
    const std::size_t fed = points_of(d, r, core, d.fed.points.subspan(points));
    d.fed.runs[runs] =
        network_run(r, d.fed.stretches.subspan(stretches, *laid), d.fed.points.subspan(points, fed), core);
    d.fed.profiles[runs] = {{}, {}, d.fed.currents.subspan(points, fed)};
    stretches += *laid;
    points += fed;
    ++runs;
  }
  const feed_network n{state.source, {}, {&shared, 1}, d.fed.runs.first(runs)};
  const auto solved = solve_network(n, d.network, d.fed.figures, d.fed.profiles.first(runs));
  if (!solved.ok()) return solved.why();
  std::size_t at = 0;
  for (const run_plan& r : d.runs_of(hub)) {
    if (r.hub != hub) continue;
    const fed_run_figures& f = d.fed.figures[at];
    const fed_run& run = d.fed.runs[at];
    const auto tell = [&](fed_point& into, std::size_t point, ohms common, ohms own) noexcept {
      into = {};
      const feed_current& i = d.fed.profiles[at].feeds[point];
      into.common = i.common;
      for (std::size_t k = 0; k < static_cast<std::size_t>(f.channels); ++k)
        if ((state.lit >> k & 1u) != 0)
          into.channel[k] = f.at_terminals[k] - common * i.common - own * i.channel[k];
    };
    if (r.arrangement == feed_arrangement::ring) {
      fed_point& into = d.fed.feeds[static_cast<std::size_t>(r.place)];
      into = {};
      into.common = f.greatest_feed_current;
      for (std::size_t k = 0; k < static_cast<std::size_t>(f.channels); ++k)
        if ((state.lit >> k & 1u) != 0)
          into.channel[k] = f.at_terminals[k] - run.common * f.total - run.channel[k] * f.channel_current[k];
    } else {
      for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
        const std::size_t place = k == 0 ? static_cast<std::size_t>(r.place)
                                         : d.runs.size() + static_cast<std::size_t>(r.feeds_from + k - 1);
        const auto point = static_cast<std::size_t>(k);
        tell(d.fed.feeds[place], point, run.feeds[point].common, run.feeds[point].common);
      }
    }
    figures[static_cast<std::size_t>(r.place)] =
        as_line(f, d.fed.feeds[static_cast<std::size_t>(r.place)], *solved);
    ++at;
  }
  return state.source - shared.supply * solved->total;
}

}  // namespace detail

/// What the network last said at a feed point of a run that is fed in parts.
constexpr const fed_point& fed_point_of(const draft& d, const run_plan& r, std::int32_t k) noexcept {
  return d.fed.feeds[k == 0 ? static_cast<std::size_t>(r.place)
                            : d.runs.size() + static_cast<std::size_t>(r.feeds_from + k - 1)];
}

/// Lowest volts among the lit channels at a feed point, `f` being the run's figures of the same solution.
constexpr volts lowest_at(const draft& d, const run_plan& r, std::int32_t k, const line_figures& f,
                          std::uint32_t lit) noexcept {
  volts lowest{infinity};
  for (std::int32_t c = 0; c < f.channels; ++c) {
    if ((lit >> c & 1u) == 0) continue;
    const volts v = k == 0 ? f.at_feed[c] : fed_point_of(d, r, k).channel[c];
    if (v < lowest) lowest = v;
  }
  return lowest;
}

/// Solves a hub. `figures` gets one result a run of the hub, at the run's place.
///
/// @param figures  room for d.runs.size() results.
/// @return         voltage between the hub's supply terminals; faults of solve_line, or not_converged of current with
///                 the share by which currents still moved as `given`.
/// Formula  What the runs share (supply cable, the controller's switch of a channel) is put into each
///          run's own feed at its weight: R I_hub = (R I_hub / I_run) I_run. The weights come from the
///          currents of the round before, at first from the nominal loads, until none moves by more
///          than 1e-12 of itself. A weight changes only as far as the runs differ in the way their
///          currents follow the voltage, times the share of the voltage that is lost upstream: a few
///          hundredths, so that each round gains one or two digits; relaxation makes that three or more.
///          A hub of which some run has several feed points or pieces is solved at once, by solve_network.
/// Source   closed form: Kirchhoff's laws.
constexpr outcome<volts> solve_hub(const draft& d, std::int32_t hub, const hub_state& state,
                                   std::span<line_figures> figures) noexcept {
  for (const run_plan& r : d.runs_of(hub))
    if (r.hub == hub && is_fed_in_parts(r)) return detail::solve_fed_hub(d, hub, state, figures);
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const controller* c = d.controller_of(h);
  const ohms supply = 2 * core_of(h.supply, state.copper);
  const ohms splice = detail::contact_at(d, h.splice);
  detail::hub_currents before;
  detail::relaxation relaxed;
  std::int32_t busiest = -1;
  for (const run_plan& r : d.runs_of(hub)) {
    if (r.hub != hub) continue;
    line_figures& start = figures[static_cast<std::size_t>(r.place)];
    if (!state.resumed) start = detail::nominal_figures(r, state.lit);
    before.add(start);
    if (busiest < 0 || start.total > figures[static_cast<std::size_t>(busiest)].total) busiest = r.place;
  }
  constexpr int most_rounds = 60;
  constexpr double settled_share = 1e-12;
  double apart = infinity;
  for (int round = 0; round < most_rounds; ++round) {
    detail::hub_currents now;
    detail::growth total, channel[max_channels];
    double moved = 0;
    amps drawn;
    for (const run_plan& r : d.runs_of(hub)) {
      if (r.hub != hub) continue;
      line_figures& f = figures[static_cast<std::size_t>(r.place)];
      const ohms core = core_of(r.feeder, state.copper) + splice + detail::contact_at(d, r.connector);
      line_feed feed{.source = state.source};
      feed.common = core + supply * detail::weight_of(before.total, f.total);
      for (std::int32_t k = 0; k < r.load.channels; ++k) {
        feed.channel[k] = core;
        if (c != nullptr)
          feed.channel[k] +=
              c->switch_resistance * detail::weight_of(before.channel[k], f.channel_current[k]);
      }
      const auto line = line_of(d.tape_of(r), r.cut.segments, d.asked(r).ambient, state.lit);
      if (!line.ok()) return at_item(line.why(), static_cast<std::size_t>(r.run));
      const auto solved = closed_line(*line, feed, d.network);
      if (!solved.ok()) return at_item(solved.why(), static_cast<std::size_t>(r.run));
      total.add(f.total, solved->total);
      for (std::int32_t k = 0; k < r.load.channels; ++k)
        channel[k].add(f.channel_current[k], solved->channel_current[k]);
      drawn += solved->total;
      if (r.place == busiest && f.total.v > 0) moved = solved->total / f.total;
      const line_figures was = f;
      f = *solved;
      f.total = relaxed.past(was.total, f.total);
      for (std::int32_t k = 0; k < r.load.channels; ++k)
        f.channel_current[k] = relaxed.past(was.channel_current[k], f.channel_current[k]);
      now.add(f);
    }
    // a round that was taken further leaves currents that are the network's own only where none grew
    const auto unsettled = [&](const detail::growth& g) noexcept {
      return relaxed.step() < 1 || relaxed.step() > 1 ? g.most() : g.apart();
    };
    apart = unsettled(total);
    for (const detail::growth& g : channel) apart = larger(apart, unsettled(g));
    if (apart <= settled_share) return state.source - supply * now.total;
    relaxed.learn(before.total.v > 0 ? moved - drawn / before.total : 0.0);
    before = now;
  }
  return fault{fault_code::not_converged, field::current, apart, 0, settled_share, -1};
}

}  // namespace tapewright
