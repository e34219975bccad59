// SPDX-License-Identifier: BSL-1.0
// A driver's whole installation solved at once: supply cables, controllers, feeders, runs of tape.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/block_sweep.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/line_sweep.hpp"
#include "tapewright/network/port_line.hpp"
#include "tapewright/network/run_cut.hpp"
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

/// Feed points of all runs before run `place`; of all runs where it is their number.
constexpr std::size_t feeds_before(const feed_network& n, std::size_t place) noexcept {
  std::size_t points = 0;
  for (std::size_t r = 0; r < place; ++r) points += n.runs[r].feeds.size();
  return points;
}

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
  switch (lit) {
    case 1: return port_doubles + run_room<1>::doubles(r);
    case 2: return port_doubles + run_room<2>::doubles(r);
    case 3: return port_doubles + run_room<3>::doubles(r);
    case 4: return port_doubles + run_room<4>::doubles(r);
    case 5: return port_doubles + run_room<5>::doubles(r);
    case 6: return port_doubles + run_room<6>::doubles(r);
    default: return port_doubles;
  }
}

}  // namespace detail

/// Doubles of workspace for a network: for each hub 50; for each run of N segments, F feed points and
/// C lit channels 47 + 5 C + N (2 C^2 + 6 C) + F (C + 1) (2 C + 3) + 2 (3 C^2 + 4 C)
/// + (F + 1) (2 C + 6) (3 C^2 + 3 C + 5). Of the term with N only C N doubles are touched unless segment
/// by segment is the only way.
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
    if (const fault f = refuse_place(field::place, n.runs[r].hub, n.hubs.size())) return at_item(f, r);
  }
  return {};
}

namespace detail {

/// All voltages of a network by Newton's method, one step at a time, each run by a `Sweep` (run_sweep or
/// block_sweep).
///
/// The proof of convergence is that of line_sweep.hpp: it
/// uses nothing of a ladder but that u = V - Z q with Z symmetric and positive semidefinite, which
/// holds for any network of resistors behind one source. What it says of constant-power loads needs
/// Z without negative entries besides; with one source the common conductors and each channel's own
/// are networks to ground of their own (they meet at the source alone, or in the supply cable, whose
/// drop has one sign for all), so that this holds too.
template <template <int> class Sweep>
class network_sweep {
 public:
  /// @param power  factor on the power of all constant-power loads.
  constexpr network_sweep(const feed_network& n, double* room, double power = 1) noexcept
      : n_{n}, hubs_{room}, power_{power} {
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
        Sweep<C> sweep{run, lit, run_room<C>{run, room + port_doubles, power_}};
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

  /// Channel voltages at a hub's terminals and the current it draws; as of the last step.
  constexpr const double* hub_volts(std::size_t h) const noexcept {
    return hubs_ + h * hub_doubles + port_doubles;
  }

  constexpr bool eliminate() noexcept {
    y_ = s_ = 0;
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      wide_port hub;
      const bool sound =
          each_run([&]<int C>(Sweep<C>& run, const lit_channels& lit, std::size_t r, double* kept) noexcept {
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

  /// Gives each run the voltages at its terminals: then(run, volts).
  template <class Then>
  constexpr void substitute(const Then& then) noexcept {
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
    each_run([&]<int C>(Sweep<C>& run, const lit_channels& lit, std::size_t r, double* kept) noexcept {
      const fed_run& f = n_.runs[r];
      double u[max_channels] = {}, i[C] = {}, terminals[C] = {}, sum = 0;
      for (std::size_t c = 0; c < max_channels; ++c) u[c] = hub_volts(static_cast<std::size_t>(f.hub))[c];
      for (int c = 0; c < C; ++c) sum += i[c] = kept_current(kept, lit.of[c], u);
      for (int c = 0; c < C; ++c)
        terminals[c] = u[lit.of[c]] - f.common.v * sum - f.channel[lit.of[c]].v * i[c];
      then(run, terminals);
      return true;
    });
  }

 private:
  const feed_network& n_;
  double* hubs_;
  double power_;
  double* runs_ = nullptr;
  double y_ = 0, s_ = 0;  // all hubs together, as two terminals
};

constexpr bool any_power_loads(const feed_network& n) noexcept {
  bool any = false;
  for (const fed_run& r : n.runs)
    for (const run_stretch& s : r.stretches) {
      const lit_channels lit = lit_of(s.line);
      for (int c = 0; c < lit.count; ++c)
        any = any || s.line.law[lit.of[c]].kind == load_kind::constant_power;
    }
  return any;
}

/// Every network, segment by segment.
template <template <int> class Sweep = run_sweep>
class network_newton : public network_sweep<Sweep> {
 public:
  using network_sweep<Sweep>::each_run, network_sweep<Sweep>::sum_of_runs, network_sweep<Sweep>::eliminate,
      network_sweep<Sweep>::substitute;

  constexpr network_newton(const feed_network& n, double* room, double power = 1) noexcept
      : network_sweep<Sweep>{n, room, power}, n_{n} {}

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
    const double tolerance = settled_volts(n_.source.v, segments);
    for (int taken = 0; taken < most_sweeps; ++taken) {
      ++sweeps;
      if (!eliminate()) return power ? settling::no_operating_point : settling::stalled;
      substitute([](auto& run, const auto& terminals) noexcept { run.substitute(terminals); });
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
      const auto slope_at = [this](double share) noexcept {
        return sum_of_runs([share](const auto& run) noexcept { return run.slope_at(share); });
      };
      const double share = settled ? 1.0 : downhill_share(whole, slope_at);
      each_run([&](auto& run, const lit_channels&, std::size_t, double*) noexcept {
        run.advance(share);
        return true;
      });
      if (settled) return settling::settled;
    }
    return settling::stalled;
  }

 private:
  const feed_network& n_;
};

/// A network without constant-power loads, many segments at a time. With every load on its assumed piece the
/// answer is the one there is; where twenty changes of pieces do not get there, or a walk does not arrive where it
/// should, nothing is said (`stalled`) and network_newton takes over.
template <template <int> class Sweep = block_sweep>
class network_blocks : public network_sweep<Sweep> {
 public:
  using network_sweep<Sweep>::each_run, network_sweep<Sweep>::eliminate, network_sweep<Sweep>::substitute;

  constexpr network_blocks(const feed_network& n, double* room) noexcept
      : network_sweep<Sweep>{n, room}, n_{n} {}

  constexpr settling settle(double& residual, int& sweeps) noexcept {
    constexpr int most_sweeps = 20;
    const double slack = n_.source.v * 0x1p-44;
    double segments = 0;
    bool enough = each_run([&](auto& run, const lit_channels&, std::size_t r, double*) noexcept {
      segments = larger(segments, static_cast<double>(segments_of(n_.runs[r])));
      return run.start(n_.source.v, slack);
    });
    while (enough && sweeps < most_sweeps) {
      ++sweeps;
      if (!eliminate()) return settling::stalled;
      bool good = true;
      residual = 0;
      substitute([&](auto& run, const auto& terminals) noexcept {
        good = run.substitute(terminals, slack, enough) && good;
        residual = larger(residual, run.gap());
      });
      if (good)
        return residual <= settled_volts(n_.source.v, segments) ? settling::settled : settling::stalled;
    }
    return settling::stalled;
  }

 private:
  const feed_network& n_;
};

/// What block_sweep adds up on its way, from the voltages and feed currents alone.
template <int C>
constexpr run_tally<C> tally_of(const fed_run& run, const lit_channels& lit,
                                const run_room<C>& room) noexcept {
  run_tally<C> t;
  double f[C + 1] = {};
  std::size_t next = 0;
  const auto joule = [&](double common, const auto& own) noexcept {
    t.trace += common * f[0] * f[0];
    for (int c = 0; c < C; ++c) t.trace += own(c) * f[1 + c] * f[1 + c];
  };
  segment_walk<C> walk{run, lit, 0};
  for (std::int64_t k = 0; k < room.segments; ++k, walk.forward()) {
    const ladder<C>& l = walk.tape();
    for (; next < run.feeds.size() && run.feeds[next].at == k; ++next)
      for (int m = 0; m <= C; ++m) f[m] += room.feed_current(next)[m];
    if (walk.after_joint()) t.link = larger(t.link, absolute(f[0]));
    joule(walk.common_before(), [&](int c) noexcept { return walk.channel_before(c); });
    for (int c = 0; c < C; ++c) {
      const double u = room.u(k)[c];
      const double i = load_at<true>(l, c, u).current;
      const double light = light_of(walk.line().law[lit.of[c]], {amps{i}, siemens{}});
      t.low[c] = k == 0 ? u : smaller(t.low[c], u);
      t.high[c] = k == 0 ? u : larger(t.high[c], u);
      t.least[c] = k == 0 ? light : smaller(t.least[c], light);
      t.most[c] = k == 0 ? light : larger(t.most[c], light);
      t.lamps += u * i;
      t.current[c] += i;
      f[0] -= i;
      f[1 + c] += i;
    }
    joule(0.5 * l.common, [&](int c) noexcept { return 0.5 * l.channel[c]; });
  }
  return t;
}
template <int C>
constexpr run_tally<C> tally_of(const run_sweep<C>& sweep) noexcept {
  return tally_of(sweep.run(), sweep.lit(), sweep.room());
}
template <int C>
constexpr run_tally<C> tally_of(const block_sweep<C>& sweep) noexcept {
  return sweep.tally();
}

/// Writes what is told of each channel of a run that is not lit.
constexpr void tell_unlit(fed_run_figures& out, const fed_run& run) noexcept {
  out.channels = run.stretches[0].line.channels;
  for (std::size_t c = 0; c < static_cast<std::size_t>(out.channels); ++c) {
    out.at_terminals[c] = out.highest_load[c] = out.lowest_load[c] = volts{0};
    out.channel_current[c] = amps{0};
    out.evenness[c] = 1;
  }
}

/// Figures of a settled run.
template <int C>
constexpr fed_run_figures figures_of(const fed_run& run, const lit_channels& lit, const run_room<C>& room,
                                     const run_tally<C>& t, const double* hub_volts,
                                     const fed_run_profile& profile) noexcept {
  fed_run_figures out;
  tell_unlit(out, run);
  const auto channels = static_cast<std::size_t>(out.channels);
  double feeder = 0, lead = 0, total = 0;
  for (std::size_t j = 0; j < run.feeds.size(); ++j) {
    const double* x = room.feed_current(j);
    feeder += run.feeds[j].common.v * x[0] * x[0];
    lead = larger(lead, absolute(x[0]));
    for (int c = 0; c < C; ++c) feeder += run.feeds[j].channel[lit.of[c]].v * x[1 + c] * x[1 + c];
    if (j >= profile.feeds.size()) continue;
    feed_current& told = profile.feeds[j];
    told.common = amps{x[0]};
    for (amps& i : told.channel) i = amps{0};
    for (int c = 0; c < C; ++c) told.channel[lit.of[c]] = amps{-x[1 + c]};
  }
  out.least_evenness = 1;
  for (int c = 0; c < C; ++c) {
    const std::size_t of = lit.of[c];
    total += t.current[c];
    feeder += run.channel[of].v * t.current[c] * t.current[c];
    out.channel_current[of] = amps{t.current[c]};
    out.at_terminals[of] = volts{hub_volts[of]};
    out.highest_load[of] = volts{t.high[c]};
    out.lowest_load[of] = volts{t.low[c]};
    out.evenness[of] = t.most[c] > 0 ? t.least[c] / t.most[c] : 0;
    out.least_evenness = smaller(out.least_evenness, out.evenness[of]);
  }
  feeder += run.common.v * total * total;
  // the first segment where a least even channel is at its dimmest, and how the channels stand there
  const auto light_at = [&](const segment_walk<C>& walk, std::int64_t k, int c) noexcept {
    const rung_load load = load_at<true>(walk.tape(), c, room.u(k)[c]);
    return light_of(walk.line().law[lit.of[c]], {amps{load.current}, siemens{}});
  };
  segment_walk<C> walk{run, lit, 0};
  for (std::int64_t k = 0; k < room.segments && out.dimmest < 0; ++k) {
    if (k > 0) walk.forward();
    for (int c = 0; c < C; ++c)
      if (out.evenness[lit.of[c]] == out.least_evenness && light_at(walk, k, c) <= t.least[c])
        out.dimmest = k;
  }
  if (out.dimmest >= 0) {
    double low = infinity, high = 0;
    for (int c = 0; c < C; ++c) {
      const double share = t.most[c] > 0 ? light_at(walk, out.dimmest, c) / t.most[c] : 0;
      low = smaller(low, share);
      high = larger(high, share);
    }
    out.colour_shift = high > 0 ? 1 - low / high : 0;
  }
  if (!profile.load_voltage.empty() || !profile.load_current.empty()) {
    for (volts& v : profile.load_voltage) v = volts{0};
    for (amps& i : profile.load_current) i = amps{0};
    segment_walk<C> again{run, lit, 0};
    for (std::int64_t k = 0; k < room.segments; ++k, again.forward())
      for (int c = 0; c < C; ++c) {
        const std::size_t place = static_cast<std::size_t>(k) * channels + lit.of[c];
        const double u = room.u(k)[c];
        if (place < profile.load_voltage.size()) profile.load_voltage[place] = volts{u};
        if (place < profile.load_current.size())
          profile.load_current[place] = amps{load_at<true>(again.tape(), c, u).current};
      }
  }
  out.lightness_step = lightness_step_of(out.least_evenness).value();  // NaN where there is none
  out.total = amps{total};
  out.greatest_feed_current = amps{lead};
  out.greatest_link_current = amps{t.link};
  out.lamps = watts{t.lamps};
  out.trace_loss = watts{t.trace};
  out.feeder_loss = watts{feeder};
  return out;
}

/// Refuses storage of solve_network that is too short; what is wrong with a run's profile is told of the run.
constexpr fault refuse_storage(const feed_network& n, std::span<const double> workspace,
                               std::span<const fed_run_figures> figures,
                               std::span<const fed_run_profile> profiles) noexcept {
  const auto refuse_optional = [](std::size_t given, std::size_t needed) noexcept {
    return given == 0 ? fault{} : refuse_room(given, needed);
  };
  if (const fault f = first_fault(refuse_room(workspace.size(), network_workspace(n)),
                                  refuse_room(figures.size(), n.runs.size()),
                                  refuse_optional(profiles.size(), n.runs.size())))
    return f;
  for (std::size_t r = 0; r < profiles.size() && r < n.runs.size(); ++r) {
    const fed_run& run = n.runs[r];
    const fed_run_profile& p = profiles[r];
    const std::size_t loads = static_cast<std::size_t>(segments_of(run) * run.stretches[0].line.channels);
    if (const fault f = first_fault(refuse_optional(p.load_voltage.size(), loads),
                                    refuse_optional(p.load_current.size(), loads),
                                    refuse_optional(p.feeds.size(), run.feeds.size())))
      return at_item(f, r);
  }
  return {};
}

/// The figures of a whole network out of those of its runs: what they draw, and what is lost before them.
constexpr void sum_up(network_figures& out, const feed_network& n,
                      std::span<const fed_run_figures> figures) noexcept {
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
}

/// A run with every channel off.
constexpr fed_run_figures dark_run(const fed_run& run, const fed_run_profile& profile) noexcept {
  fed_run_figures out;
  tell_unlit(out, run);
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
/// Formula           Kirchhoff's laws. Equal segments whose loads are on the same straight pieces of their laws are
///                   eliminated at once (block_sweep.hpp); where that does not settle, and with constant-power
///                   loads, segment by segment (run_sweep.hpp). Both give the same answer.
/// Source            closed form.
/// Accuracy          residual <= 5e-13 of the source (and N/2 ulp of it); same bits everywhere.
/// A template only so that a file which does not call it need not compile it.
template <class = void>
constexpr outcome<network_figures> solve_network(const feed_network& n, std::span<double> workspace,
                                                 std::span<fed_run_figures> figures,
                                                 std::span<const fed_run_profile> profiles = {}) noexcept {
  if (const fault f = check(n)) return f;
  if (const fault f = detail::refuse_storage(n, workspace, figures, profiles)) return f;
  network_figures out;
  double residual = infinity;
  int sweeps = 0;
  const fed_run_profile none;
  const auto gather = [&](const auto& network) noexcept {
    network.each_run([&](const auto& run, const detail::lit_channels& lit, std::size_t r, double*) noexcept {
      figures[r] = detail::figures_of(n.runs[r], lit, run.room(), detail::tally_of(run),
                                      network.hub_volts(static_cast<std::size_t>(n.runs[r].hub)),
                                      r < profiles.size() ? profiles[r] : none);
      return true;
    });
  };
  detail::network_blocks<> blocks{n, workspace.data()};
  detail::network_newton<> newton{n, workspace.data()};
  if (!detail::any_power_loads(n) && blocks.settle(residual, sweeps) == detail::settling::settled)
    gather(blocks);
  else switch (newton.settle(residual, sweeps)) {
      case detail::settling::settled: gather(newton); break;
      case detail::settling::no_operating_point:
        return fault{fault_code::no_operating_point, field::power, 0, 0, 0, -1};
      case detail::settling::stalled:
        return fault{fault_code::not_converged, field::voltage, residual, 0, n.source.v * 5e-13, -1};
    }
  out.residual = volts{residual};
  out.sweeps = sweeps;
  for (std::size_t r = 0; r < n.runs.size(); ++r)
    if (detail::lit_of(n.runs[r].stretches[0].line).count == 0)
      figures[r] = detail::dark_run(n.runs[r], r < profiles.size() ? profiles[r] : none);
  detail::sum_up(out, n, figures);
  return out;
}

}  // namespace tapewright
