// SPDX-License-Identifier: BSL-1.0
// A driver's whole installation solved at once: supply cables, controllers, feeders, runs of tape.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/port_line.hpp"
#include "tapewright/network/run_sweep.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/rules/lightness.hpp"

namespace tapewright {

/// A controller, or the plain splice of a zone without one, and the cable to it from the driver.
struct feed_hub {
  ohms supply;                 ///< both cores of the supply cable together, contacts included
  ohms channel[max_channels];  ///< the switch of each channel
};

/// Everything on one driver output.
struct feed_network {
  volts source;  ///< of the driver, stiff
  ohms lead;     ///< both poles together of what all hubs share, 0 if nothing
  std::span<const feed_hub> hubs;
  std::span<const fed_run> runs;
};

/// What the whole network does. Source power = lamps + all losses, to 1e-12.
struct network_figures {
  amps total = unset;
  watts lamps = unset;
  watts trace_loss = unset;   ///< tapes' copper and joints
  watts feeder_loss = unset;  ///< controllers to tapes
  watts switch_loss = unset;
  watts supply_loss = unset;  ///< driver to controllers
  volts residual = unset;     ///< what was still wrong when the solution was taken as settled
  std::int32_t sweeps = 0;
};

namespace detail {

/// Storage of one hub: its port before and behind its switches, and as two terminals.
inline constexpr std::size_t port_doubles = max_channels * max_channels + max_channels;
inline constexpr std::size_t hub_doubles = port_doubles + max_channels + 2;

using wide_port = port_line<static_cast<int>(max_channels)>;

constexpr void keep(double* room, const wide_port& p) noexcept {
  for (const auto& row : p.y)
    for (const double y : row) *room++ = y;
  for (const double s : p.s) *room++ = s;
}
constexpr double kept_current(const double* room, std::size_t c, const double (&u)[max_channels]) noexcept {
  double i = room[max_channels * max_channels + c];
  for (std::size_t x = 0; x < max_channels; ++x) i += room[c * max_channels + x] * u[x];
  return i;
}

constexpr std::size_t run_doubles(const fed_run& r, int lit) noexcept {
  const auto n = static_cast<std::size_t>(segments_of(r)), f = r.feeds.size();
  switch (lit) {
    case 1: return port_doubles + run_sweep<1>::doubles(segments_of(r), f);
    case 2: return port_doubles + run_sweep<2>::doubles(segments_of(r), f);
    case 3: return port_doubles + run_sweep<3>::doubles(segments_of(r), f);
    case 4: return port_doubles + run_sweep<4>::doubles(segments_of(r), f);
    case 5: return port_doubles + run_sweep<5>::doubles(segments_of(r), f);
    case 6: return port_doubles + run_sweep<6>::doubles(segments_of(r), f);
    default: return port_doubles + 0 * n;
  }
}

}  // namespace detail

/// Doubles of workspace for a network: for each hub 50, for each run of N segments, F feed points and C
/// lit channels 42 + N (2 C^2 + 6 C) + F (C + 1) (2 C + 3) + 2 C (3 C + 3).
constexpr std::size_t network_workspace(const feed_network& n) noexcept {
  std::size_t sum = n.hubs.size() * detail::hub_doubles;
  for (const fed_run& r : n.runs)
    if (!r.stretches.empty()) sum += detail::run_doubles(r, detail::lit_of(r.stretches[0].line).count);
  return sum;
}

/// Refuses a network that makes no sense (ranges: core/field.hpp; check(fed_run); runs at hubs that
/// are there). A fault in a run carries the run's place.
constexpr fault check(const feed_network& n) noexcept {
  if (const fault f = first_fault(refuse(field::voltage, n.source), refuse(field::resistance, n.lead)))
    return f;
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    if (const fault f = refuse(field::resistance, n.hubs[h].supply)) return at_item(f, h);
    for (const ohms r : n.hubs[h].channel)
      if (const fault f = refuse(field::resistance, r)) return at_item(f, h);
  }
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    if (const fault f = check(n.runs[r])) return at_item(f, r);
    if (n.runs[r].hub < 0 || static_cast<std::size_t>(n.runs[r].hub) >= n.hubs.size())
      return {fault_code::unknown_reference,          field::place,
              static_cast<double>(n.runs[r].hub),     0,
              static_cast<double>(n.hubs.size()) - 1, static_cast<std::int32_t>(r)};
  }
  return {};
}

namespace detail {

/// Newton's method on all voltages of a network. The proof of convergence is that of line_sweep.hpp: it
/// uses nothing of a ladder but that u = V - Z q with Z symmetric and positive semidefinite, which
/// holds for any network of resistors behind one source. What it says of constant-power loads needs
/// Z without negative entries besides; with one source the common conductors and each channel's own
/// are networks to ground of their own (they meet at the source alone, or in the supply cable, whose
/// drop has one sign for all), so that this holds too.
class network_sweep {
 public:
  constexpr network_sweep(const feed_network& n, double* room) noexcept : n_{n}, hubs_{room} {
    runs_ = hubs_ + n.hubs.size() * hub_doubles;
  }

  /// Calls visit(sweep, lit, place, kept port) for each run with a lit channel; stops on false.
  template <class Visit>
  constexpr bool each_run(const Visit& visit) const noexcept {
    double* room = runs_;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const lit_channels lit = lit_of(run.stretches[0].line);
      const auto with = [&]<int C>() noexcept {
        run_sweep<C> sweep{run, lit, room + port_doubles};
        return visit(sweep, lit, r, room);
      };
      bool on = true;
      switch (lit.count) {
        case 1: on = with.template operator()<1>(); break;
        case 2: on = with.template operator()<2>(); break;
        case 3: on = with.template operator()<3>(); break;
        case 4: on = with.template operator()<4>(); break;
        case 5: on = with.template operator()<5>(); break;
        case 6: on = with.template operator()<6>(); break;
        default: break;
      }
      if (!on) return false;
      room += run_doubles(run, lit.count);
    }
    return true;
  }

  template <class Measure>
  constexpr double sum_of_runs(const Measure& measure) const noexcept {
    double sum = 0;
    each_run([&](const auto& run, const lit_channels&, std::size_t, double*) noexcept {
      sum += measure(run);
      return true;
    });
    return sum;
  }

  constexpr settling settle(double& residual, int& sweeps) noexcept {
    constexpr int most_sweeps = 200;
    constexpr double least_share = 1e-9;
    double bound = 0, segments = 0;
    bool only_power = true, power = false;
    each_run([&](auto& run, const lit_channels&, std::size_t r, double*) noexcept {
      run.start(n_.source.v);
      const fed_run& f = n_.runs[r];
      const feed_hub& hub = n_.hubs[static_cast<std::size_t>(f.hub)];
      double upstream = 0;
      for (std::size_t c = 0; c < max_channels; ++c)
        upstream = larger(upstream, hub.channel[c].v + f.channel[c].v);
      bound = larger(bound, run.resistance_bound() + upstream + f.common.v + hub.supply.v);
      segments = larger(segments, static_cast<double>(run.segments()));
      only_power = only_power && run.only_power_loads();
      power = power || run.any_power_loads();
      return true;
    });
    bound += n_.lead.v;
    const double tolerance = n_.source.v * (5e-13 + 0x1p-53 * segments);
    for (sweeps = 1; sweeps <= most_sweeps; ++sweeps) {
      if (!eliminate()) return power ? settling::no_operating_point : settling::stalled;
      substitute();
      double whole = 1;
      if (power)
        each_run([&](const auto& run, const lit_channels&, std::size_t, double*) noexcept {
          whole = smaller(whole, run.share_above_limits());
          return true;
        });
      if (whole < 1 && only_power) return settling::no_operating_point;
      if (!(whole > least_share)) return settling::no_operating_point;
      residual = bound * sum_of_runs([](const auto& run) noexcept { return run.mismatch(1); });
      if (!is_finite(residual)) return settling::stalled;
      const bool settled = whole == 1 && residual <= tolerance;
      const double share = settled ? 1.0 : downhill_share(whole);
      each_run([&](auto& run, const lit_channels&, std::size_t, double*) noexcept {
        run.advance(share);
        return true;
      });
      if (settled) return settling::settled;
    }
    return settling::stalled;
  }

  /// Channel voltages at a hub's terminals and the current it draws; as of the last step.
  constexpr const double* hub_volts(std::size_t h) const noexcept {
    return hubs_ + h * hub_doubles + port_doubles;
  }

 private:
  constexpr bool eliminate() noexcept {
    y_ = s_ = 0;
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      wide_port hub;
      const bool sound = each_run(
          [&]<int C>(run_sweep<C>& run, const lit_channels& lit, std::size_t r, double* kept) noexcept {
            const fed_run& f = n_.runs[r];
            if (static_cast<std::size_t>(f.hub) != h) return true;
            port_line<C> port;
            double own[C] = {};
            for (int c = 0; c < C; ++c) own[c] = f.channel[lit.of[c]].v;
            if (!run.eliminate(port) || !put_behind(port, f.common.v, own)) return false;
            wide_port spread;
            for (int c = 0; c < C; ++c) {
              spread.s[lit.of[c]] = port.s[c];
              for (int x = 0; x < C; ++x) spread.y[lit.of[c]][lit.of[x]] = port.y[c][x];
            }
            keep(kept, spread);
            for (std::size_t c = 0; c < max_channels; ++c) {
              hub.s[c] += spread.s[c];
              for (std::size_t x = 0; x < max_channels; ++x) hub.y[c][x] += spread.y[c][x];
            }
            return true;
          });
      double own[max_channels] = {};
      for (std::size_t c = 0; c < max_channels; ++c) own[c] = n_.hubs[h].channel[c].v;
      if (!sound || !put_behind(hub, 0.0, own)) return false;
      double* room = hubs_ + h * hub_doubles;
      keep(room, hub);
      port_line<1> two_wires;  // all channels on one pair of terminals
      for (std::size_t c = 0; c < max_channels; ++c) {
        two_wires.s[0] += hub.s[c];
        for (std::size_t x = 0; x < max_channels; ++x) two_wires.y[0][0] += hub.y[c][x];
      }
      if (!put_behind(two_wires, n_.hubs[h].supply.v, {0.0})) return false;
      room[port_doubles + max_channels] = two_wires.y[0][0];
      room[port_doubles + max_channels + 1] = two_wires.s[0];
      y_ += two_wires.y[0][0];
      s_ += two_wires.s[0];
    }
    return 1 + n_.lead.v * y_ > 0;
  }

  constexpr void substitute() noexcept {
    const double at_hubs = (n_.source.v - n_.lead.v * s_) / (1 + n_.lead.v * y_);
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      double* room = hubs_ + h * hub_doubles;
      const double drawn =
          room[port_doubles + max_channels] * at_hubs + room[port_doubles + max_channels + 1];
      const double input = at_hubs - n_.hubs[h].supply.v * drawn;
      double u[max_channels] = {};
      for (double& each : u) each = input;
      for (std::size_t c = 0; c < max_channels; ++c)
        room[port_doubles + c] = input - n_.hubs[h].channel[c].v * kept_current(room, c, u);
    }
    each_run([&]<int C>(run_sweep<C>& run, const lit_channels& lit, std::size_t r, double* kept) noexcept {
      const fed_run& f = n_.runs[r];
      double u[max_channels] = {}, i[C] = {}, terminals[C] = {}, sum = 0;
      for (std::size_t c = 0; c < max_channels; ++c) u[c] = hub_volts(static_cast<std::size_t>(f.hub))[c];
      for (int c = 0; c < C; ++c) sum += i[c] = kept_current(kept, lit.of[c], u);
      for (int c = 0; c < C; ++c)
        terminals[c] = u[lit.of[c]] - f.common.v * sum - f.channel[lit.of[c]].v * i[c];
      run.substitute(terminals);
      return true;
    });
  }

  constexpr double slope_at(double share) const noexcept {
    return sum_of_runs([share](const auto& run) noexcept { return run.slope_at(share); });
  }

  /// The share of the step to take: all of it unless that leads uphill again.
  constexpr double downhill_share(double whole) const noexcept {
    constexpr double rounding = 1e-9;  // what is left of the slope at the end of a step that was right
    const double start = slope_at(0);
    if (!(start < 0) || !(slope_at(whole) > -rounding * start)) return whole;
    double low = 0, high = whole;
    for (int halvings = 0; halvings < 60; ++halvings) {
      const double middle = 0.5 * (low + high), slope = slope_at(middle);
      (slope > 0 ? high : low) = middle;
      if (slope <= 0 && slope > 0.5 * start) break;
    }
    return low > 0 ? low : high;
  }

  const feed_network& n_;
  double* hubs_;
  double* runs_ = nullptr;
  double y_ = 0, s_ = 0;  // all hubs together, as two terminals
};

/// Figures of a settled run, gathered in one walk along the tape.
template <int C>
constexpr fed_run_figures figures_of(const fed_run& run, const run_sweep<C>& sweep, const lit_channels& lit,
                                     const double* hub_volts, const fed_run_profile& profile) noexcept {
  fed_run_figures out;
  const tape_line& first_line = run.stretches[0].line;
  out.channels = first_line.channels;
  const auto channels = static_cast<std::size_t>(out.channels);
  for (std::size_t c = 0; c < channels; ++c) {
    out.at_terminals[c] = out.highest_load[c] = out.lowest_load[c] = volts{0};
    out.channel_current[c] = amps{0};
    out.evenness[c] = 1;
  }
  for (volts& v : profile.load_voltage) v = volts{0};
  for (amps& i : profile.load_current) i = amps{0};
  double f[C + 1] = {}, lamps = 0, trace = 0, feeder = 0, link = 0, lead = 0, sums[C] = {};
  double least[C] = {}, most[C] = {};
  std::size_t next = 0;
  const auto joule = [&](double common, const auto& own) noexcept {
    double heat = common * f[0] * f[0];
    for (int c = 0; c < C; ++c) heat += own(c) * f[1 + c] * f[1 + c];
    return heat;
  };
  const auto take_feeds = [&](std::int64_t boundary) noexcept {
    for (; next < run.feeds.size() && run.feeds[next].at == boundary; ++next) {
      const double* x = sweep.feed_current_of(next);
      const feed_point& point = run.feeds[next];
      feeder += point.common.v * x[0] * x[0];
      f[0] += x[0];
      lead = larger(lead, absolute(x[0]));
      for (int c = 0; c < C; ++c) {
        feeder += point.channel[lit.of[c]].v * x[1 + c] * x[1 + c];
        f[1 + c] += x[1 + c];
      }
      if (next >= profile.feeds.size()) continue;
      feed_current& told = profile.feeds[next];
      told.common = amps{x[0]};
      for (amps& i : told.channel) i = amps{0};
      for (int c = 0; c < C; ++c) told.channel[lit.of[c]] = amps{-x[1 + c]};
    }
  };
  segment_walk<C> walk{run, lit, 0};
  for (std::int64_t k = 0; k < sweep.segments(); ++k, walk.forward()) {
    const ladder<C>& l = walk.tape();
    take_feeds(k);
    if (walk.after_joint()) link = larger(link, absolute(f[0]));
    trace += joule(walk.common_before(), [&](int c) noexcept { return walk.channel_before(c); });
    for (int c = 0; c < C; ++c) {
      const double u = sweep.u(k)[c];
      const double i = load_at<true>(l, c, u).current;
      const double light = light_of(walk.line().law[lit.of[c]], {amps{i}, siemens{}});
      volts& highest = out.highest_load[lit.of[c]];
      volts& lowest = out.lowest_load[lit.of[c]];
      highest = k == 0 ? volts{u} : volts{larger(highest.v, u)};
      lowest = k == 0 ? volts{u} : volts{smaller(lowest.v, u)};
      least[c] = k == 0 ? light : smaller(least[c], light);
      most[c] = k == 0 ? light : larger(most[c], light);
      lamps += u * i;
      sums[c] += i;
      f[0] -= i;
      f[1 + c] += i;
      const std::size_t place = static_cast<std::size_t>(k) * channels + lit.of[c];
      if (place < profile.load_voltage.size()) profile.load_voltage[place] = volts{u};
      if (place < profile.load_current.size()) profile.load_current[place] = amps{i};
    }
    trace += joule(0.5 * l.common, [&](int c) noexcept { return 0.5 * l.channel[c]; });
  }
  take_feeds(sweep.segments());
  double total = 0;
  out.least_evenness = 1;
  for (int c = 0; c < C; ++c) {
    const std::size_t of = lit.of[c];
    total += sums[c];
    feeder += run.channel[of].v * sums[c] * sums[c];
    out.channel_current[of] = amps{sums[c]};
    out.at_terminals[of] = volts{hub_volts[of]};
    out.evenness[of] = most[c] > 0 ? least[c] / most[c] : 0;
    out.least_evenness = smaller(out.least_evenness, out.evenness[of]);
  }
  feeder += run.common.v * total * total;
  // the dimmest segment, and how the channels stand to each other there
  segment_walk<C> again{run, lit, 0};
  double dimmest = infinity;
  for (std::int64_t k = 0; k < sweep.segments(); ++k, again.forward()) {
    double low = infinity, high = 0;
    for (int c = 0; c < C; ++c) {
      const rung_load load = load_at<true>(again.tape(), c, sweep.u(k)[c]);
      const double light = light_of(again.line().law[lit.of[c]], {amps{load.current}, siemens{}});
      const double share = most[c] > 0 ? light / most[c] : 0;
      low = smaller(low, share);
      high = larger(high, share);
    }
    if (!(low < dimmest)) continue;
    dimmest = low;
    out.dimmest = k;
    out.colour_shift = high > 0 ? 1 - low / high : 0;
  }
  const outcome<double> light = lightness(out.least_evenness);
  out.lightness_step = light ? 100 - *light : not_a_number;
  out.total = amps{total};
  out.greatest_feed_current = amps{lead};
  out.greatest_link_current = amps{link};
  out.lamps = watts{lamps};
  out.trace_loss = watts{trace};
  out.feeder_loss = watts{feeder};
  return out;
}

/// A run with every channel off.
constexpr fed_run_figures dark_run(const fed_run& run, const fed_run_profile& profile) noexcept {
  fed_run_figures out;
  out.channels = run.stretches[0].line.channels;
  for (std::size_t c = 0; c < static_cast<std::size_t>(out.channels); ++c) {
    out.at_terminals[c] = out.highest_load[c] = out.lowest_load[c] = volts{0};
    out.channel_current[c] = amps{0};
    out.evenness[c] = 1;
  }
  out.total = out.greatest_feed_current = out.greatest_link_current = amps{0};
  out.least_evenness = 1;
  out.lightness_step = out.colour_shift = 0;
  out.dimmest = 0;
  out.lamps = out.trace_loss = out.feeder_loss = watts{0};
  for (volts& v : profile.load_voltage) v = volts{0};
  for (amps& i : profile.load_current) i = amps{0};
  for (feed_current& f : profile.feeds) {
    f.common = amps{0};
    for (amps& i : f.channel) i = amps{0};
  }
  return out;
}

}  // namespace detail

/// Solves everything on one driver output at once, exactly.
///
/// @param n          the network; see feed_network. Any number of hubs and runs, also none.
/// @param workspace  network_workspace(n) doubles.
/// @param figures    room for one result a run, in the order of n.runs.
/// @param profiles   empty, or one profile a run (whose spans may be empty).
/// @return           Faults: those of check(n); no_room with the room needed as `least`;
///                   no_operating_point when constant-power loads ask for more than the wiring can
///                   deliver; not_converged with the residual in volts as `given`, never seen.
///                   A run of constant-power loads with several feed points may be refused so a little
///                   before its collapse: the elimination judges the part left of a cut as if it were
///                   fed from that side alone. What is answered is never wrong.
/// Formula           Kirchhoff's laws; elimination as described in run_sweep.hpp.
/// Source            closed form.
/// Accuracy          residual <= 5e-13 of the source (and N/2 ulp of it); same bits everywhere.
constexpr outcome<network_figures> solve_network(const feed_network& n, std::span<double> workspace,
                                                 std::span<fed_run_figures> figures,
                                                 std::span<const fed_run_profile> profiles = {}) noexcept {
  if (const fault f = check(n)) return f;
  const auto no_room = [](std::size_t given, std::size_t needed) noexcept {
    return fault{fault_code::no_room,         field::space,
                 static_cast<double>(given),  static_cast<double>(needed),
                 facts_of(field::space).most, -1};
  };
  const std::size_t needed = network_workspace(n);
  if (workspace.size() < needed) return no_room(workspace.size(), needed);
  if (figures.size() < n.runs.size()) return no_room(figures.size(), n.runs.size());
  if (!profiles.empty() && profiles.size() < n.runs.size()) return no_room(profiles.size(), n.runs.size());
  for (std::size_t r = 0; r < profiles.size() && r < n.runs.size(); ++r) {
    const fed_run& run = n.runs[r];
    const std::size_t loads = static_cast<std::size_t>(segments_of(run) * run.stretches[0].line.channels);
    const auto too_short = [&](std::size_t given, std::size_t wanted) noexcept {
      return given != 0 && given < wanted;
    };
    const fed_run_profile& p = profiles[r];
    if (too_short(p.load_voltage.size(), loads)) return at_item(no_room(p.load_voltage.size(), loads), r);
    if (too_short(p.load_current.size(), loads)) return at_item(no_room(p.load_current.size(), loads), r);
    if (too_short(p.feeds.size(), run.feeds.size()))
      return at_item(no_room(p.feeds.size(), run.feeds.size()), r);
  }
  detail::network_sweep sweep{n, workspace.data()};
  network_figures out;
  double residual = infinity;
  int sweeps = 0;
  switch (sweep.settle(residual, sweeps)) {
    case detail::settling::settled: break;
    case detail::settling::no_operating_point:
      return fault{fault_code::no_operating_point, field::power, 0, 0, 0, -1};
    case detail::settling::stalled:
      return fault{fault_code::not_converged, field::voltage, residual, 0, n.source.v * 5e-13, -1};
  }
  out.residual = volts{residual};
  out.sweeps = sweeps;
  const fed_run_profile none;
  for (std::size_t r = 0; r < n.runs.size(); ++r)
    if (detail::lit_of(n.runs[r].stretches[0].line).count == 0)
      figures[r] = detail::dark_run(n.runs[r], r < profiles.size() ? profiles[r] : none);
  sweep.each_run([&](const auto& run, const detail::lit_channels& lit, std::size_t r, double*) noexcept {
    figures[r] =
        detail::figures_of(n.runs[r], run, lit, sweep.hub_volts(static_cast<std::size_t>(n.runs[r].hub)),
                           r < profiles.size() ? profiles[r] : none);
    return true;
  });
  out.total = amps{0};
  out.lamps = out.trace_loss = out.feeder_loss = out.switch_loss = out.supply_loss = watts{0};
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    out.total += figures[r].total;
    out.lamps += figures[r].lamps;
    out.trace_loss += figures[r].trace_loss;
    out.feeder_loss += figures[r].feeder_loss;
  }
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    amps drawn, channel[max_channels];
    for (std::size_t r = 0; r < n.runs.size(); ++r) {
      if (static_cast<std::size_t>(n.runs[r].hub) != h) continue;
      drawn += figures[r].total;
      for (std::size_t c = 0; c < static_cast<std::size_t>(figures[r].channels); ++c)
        channel[c] += figures[r].channel_current[c];
    }
    out.supply_loss += drawn * n.hubs[h].supply * drawn;
    for (std::size_t c = 0; c < max_channels; ++c)
      out.switch_loss += channel[c] * n.hubs[h].channel[c] * channel[c];
  }
  out.supply_loss += out.total * n.lead * out.total;
  return out;
}

}  // namespace tapewright
