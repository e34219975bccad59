// SPDX-License-Identifier: BSL-1.0
// How the voltage of one load of a solved installation follows each of its inputs: exact derivatives.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/load_law.hpp"
#include "tapewright/network/port_line.hpp"
#include "tapewright/network/small_system.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/rules/copper.hpp"

namespace tapewright {

template <class T>
inline constexpr T unset_as{unset};
template <>
inline constexpr double unset_as<double> = not_a_number;

/// One load of a network, by places counted from 0.
struct load_place {
  std::int32_t run = 0, channel = 0;
  std::int64_t segment = 0;
};

/// What a figure owes to each input of one run; `Share` is the figure's own unit, `PerOhm` that by an ohm. "Of
/// itself" means a relative change: 0.01 times that figure is what one per cent more does; divided by the input's
/// own value it is the derivative by the input. Figures of an unlit channel are 0.
template <class Share, class PerOhm>
struct run_influence {
  Share trace_common = unset_as<Share>;  ///< common trace of all stretches, of itself
  Share trace_channel[max_channels] = {unset_as<Share>, unset_as<Share>, unset_as<Share>,
                                       unset_as<Share>, unset_as<Share>, unset_as<Share>};  ///< likewise
  Share load[max_channels] = {unset_as<Share>, unset_as<Share>, unset_as<Share>,
                              unset_as<Share>, unset_as<Share>, unset_as<Share>};  ///< nominal W/m, of itself
  Share length = unset_as<Share>;  ///< pitch of itself: more trace and more load; the segments stay as many
  Share copper = unset_as<Share>;  ///< all conductors of the feeders of itself: shared feeder and leads
  PerOhm link_common = unset;      ///< for each ohm more in the common of each joint
  PerOhm link_channel[max_channels] = {unset, unset, unset, unset, unset, unset};
  PerOhm feeder_common = unset;  ///< for each ohm more in the shared feeder
  PerOhm feeder_channel[max_channels] = {unset, unset, unset, unset, unset, unset};
};

/// By the leads of one feed point, for each ohm.
template <class PerOhm>
struct lead_influence {
  PerOhm common = unset;
  PerOhm channel[max_channels] = {unset, unset, unset, unset, unset, unset};
};

/// By what the runs of a hub share, for each ohm.
template <class PerOhm>
struct hub_influence {
  PerOhm supply = unset;
  PerOhm channel[max_channels] = {unset, unset, unset, unset, unset, unset};  ///< its switches
};

/// dU of a load: V of itself, V per ohm.
using run_sensitivity = run_influence<volts, amps>;
using lead_sensitivity = lead_influence<amps>;
using hub_sensitivity = hub_influence<amps>;

/// Of a share of light: of itself without unit, per ohm.
using run_light_sensitivity = run_influence<double, siemens>;
using lead_light_sensitivity = lead_influence<siemens>;
using hub_light_sensitivity = hub_influence<siemens>;

/// The load asked for, and dU by what all hubs share.
struct load_sensitivity {
  volts voltage = unset;
  amps current = unset;
  siemens slope;  ///< dI of this load = slope x dU, and + I x (change of its own W/m, of itself)
  double source = not_a_number;  ///< V per volt of the source
  amps lead = unset;             ///< V per ohm
  ohms own = unset;              ///< V per ampere drawn at the load besides, negated: how soft its feed is
  volts to_kink = unset;  ///< nearest that any load comes to a corner of its law; infinite without corners
  bool at_kink = false;   ///< within rounding of one: the derivatives are those of one side
};

/// Whose light is held against that of a run's brightest lamp of the same channel. A channel that joins stretches
/// of constant power to others holds watts against amperes (see light_of): no share of what is seen.
enum class light_share : std::int32_t {
  dimmest = 0,  ///< the dimmest lamp's: the run's evenness
  mean = 1,     ///< the mean of all lamps
};

/// The share asked for, and its derivatives by what all hubs share.
struct light_sensitivity {
  double share = not_a_number;                ///< 0..1
  std::int64_t dimmest = -1, brightest = -1;  ///< segments; the first of several that are alike
  double per_volt = not_a_number;             ///< 1/V, by the source
  siemens lead = unset;                       ///< per ohm
  volts to_kink = unset;                      ///< as of load_sensitivity
  bool at_kink = false;
};

namespace detail {

/// Amperes at the loads of one lit channel of one run: at two segments, and so many times the slope of every load's light.
struct adjoint_amperes {
  std::size_t run = 0, channel = 0;
  std::int64_t segment[2] = {-1, -1};
  double at[2] = {}, per_slope = 0;

  constexpr double of(std::int64_t k, double light_slope) const noexcept {
    return (k == segment[0] ? at[0] : 0.0) + (k == segment[1] ? at[1] : 0.0) + per_slope * light_slope;
  }
};

/// What the amperes do to the source's current, to the loss in what all hubs share, and to the first load
/// they stand at.
struct shared_influence {
  double source = 0, lead = 0, own = 0;
};

/// A run whose loads are straight lines without a source: i = slope u, and amperes more at some loads.
/// Elimination as described in run_sweep.hpp, all rows alike; the far end needs no port of its own, f = 0 there.
template <int C>
class straight_run {
 public:
  static constexpr int conductors = C + 1, width = 2 * C + 2, rows = conductors + C;

  static constexpr std::size_t doubles(const fed_run& r) noexcept {
    return static_cast<std::size_t>(segments_of(r)) * C * width + r.feeds.size() * conductors * width +
           C * width;
  }

  constexpr straight_run(const fed_run& run, const lit_channels& lit, const fed_run_profile& solved,
                         double* room) noexcept
      : run_{run}, lit_{lit}, solved_{solved}, loads_{room} {
    feeds_ = loads_ + static_cast<std::size_t>(segments_of(run)) * C * width;
    branch_ = feeds_ + run.feeds.size() * conductors * width;
  }

  /// The run as a port at its terminals, with the amperes of `asked` at its lit channel `asked_channel` (-1: none).
  constexpr bool eliminate(port_line<C>& port, const adjoint_amperes& asked, int asked_channel) noexcept {
    double row[rows][width] = {};  // potentials at the cut, then channel currents into the terminals
    const feed_point& first = run_.feeds[0];
    row[0][0] = -first.common.v;
    for (int c = 0; c < C; ++c) {
      row[1 + c][1 + c] = -first.channel[lit_.of[c]].v;
      row[1 + c][conductors + c] = -1;
      row[conductors + c][1 + c] = -1;
    }
    if (!branch_off(row, asked, asked_channel)) return false;
    std::size_t stretch = 0;
    std::int64_t in = first.at;
    find(stretch, in);
    std::size_t next = 1;
    for (std::int64_t k = first.at; k < segments_of(run_); ++k) {
      if (next < run_.feeds.size() && run_.feeds[next].at == k && !join(row, next++)) return false;
      const piece p = piece_of(stretch, in);
      along(row, p.common_before, p.channel_before);
      for (int c = 0; c < C; ++c) {
        const double g = slope(stretch, k, c),
                     s = c == asked_channel ? asked.of(k, light_slope(stretch, k, c)) : 0.0;
        double open[width] = {}, current[width] = {};
        for (int x = 0; x < width; ++x) open[x] = row[0][x] - row[1 + c][x];
        const double w = open[1 + c] - open[0], d = 1 + g * w;
        if (!(absolute(d) > 0)) return false;
        for (int x = 0; x < width; ++x) current[x] = g / d * open[x];
        current[width - 1] += s / d;
        for (auto& each : row) {
          const double per_amp = each[0] - each[1 + c];
          for (int x = 0; x < width; ++x) each[x] += per_amp * current[x];
        }
        double* kept = load_row(k, c);
        for (int x = 0; x < width; ++x) kept[x] = open[x] - w * current[x];
      }
      along(row, p.common_after, p.channel_after);
      onward(stretch, in);
    }
    if (next < run_.feeds.size() && !join(row, next)) return false;
    for (int r = 0; r < C; ++r) {
      for (int x = 0; x < C; ++x) port.y[r][x] = row[conductors + r][conductors + x];
      port.s[r] = row[conductors + r][width - 1];
    }
    return true;
  }

  /// Back again with `terminals` volts, adding up what every branch has to say: -(its current)(its current of
  /// these amperes).
  template <class Share, class PerOhm>
  constexpr void gather(const double (&terminals)[C], const adjoint_amperes& asked, int asked_channel,
                        run_influence<Share, PerOhm>& out, std::span<lead_influence<PerOhm>> leads,
                        double& own) const noexcept {
    const std::int64_t n = segments_of(run_), first = run_.feeds[0].at;
    double v[width] = {}, f[conductors] = {};  // of the ampere, and of the solution
    for (int c = 0; c < C; ++c) v[conductors + c] = terminals[c];
    v[width - 1] = 1;
    const auto trace = [&](double common, const double(&channel)[C]) noexcept {
      out.trace_common -= Share{common * f[0] * v[0]};
      for (int c = 0; c < C; ++c) out.trace_channel[lit_.of[c]] -= Share{channel[c] * f[1 + c] * v[1 + c]};
    };
    const auto joint = [&](std::int64_t in, std::size_t stretch) noexcept {
      if (in != 0 || stretch == 0) return;
      out.link_common -= PerOhm{f[0] * v[0]};
      for (int c = 0; c < C; ++c) out.link_channel[lit_.of[c]] -= PerOhm{f[1 + c] * v[1 + c]};
    };
    const auto lead = [&](std::size_t j, const double(&x)[conductors]) noexcept {
      const feed_point& point = run_.feeds[j];
      const feed_current& i = solved_.feeds[j];
      lead_influence<PerOhm> told;
      told.common = PerOhm{-i.common.v * x[0]};
      out.copper += Share{point.common.v * told.common.v};
      for (PerOhm& each : told.channel) each = PerOhm{0};
      for (int c = 0; c < C; ++c) {
        PerOhm& each = told.channel[lit_.of[c]];
        each = PerOhm{i.channel[lit_.of[c]].v * x[1 + c]};  // told as a current back, x runs outward
        out.copper += Share{point.channel[lit_.of[c]].v * each.v};
      }
      if (j < leads.size()) leads[j] = told;
    };
    const auto hear = [&](std::size_t stretch, std::int64_t k, int c, double u) noexcept {
      const double i = current(k, c);
      out.load[lit_.of[c]] += Share{u * i};
      const double g = slope(stretch, k, c);
      if (c != asked_channel) return g * u;
      if (k == asked.segment[0]) own = -u;
      return g * u + asked.of(k, light_slope(stretch, k, c));
    };
    std::size_t stretch = 0, next = run_.feeds.size() - 1;
    std::int64_t in = n - 1;
    find(stretch, in);
    const auto leave_feed = [&](std::int64_t boundary) noexcept {
      if (next == 0 || run_.feeds[next].at != boundary) return;
      double x[conductors] = {};
      for (int r = 0; r < conductors; ++r) {
        const double* kept = feed_row(next, r);
        for (int m = 0; m < width; ++m) x[r] += kept[m] * v[m];
      }
      lead(next, x);
      for (int r = 0; r < conductors; ++r) v[r] -= x[r];
      f[0] -= solved_.feeds[next].common.v;
      for (int c = 0; c < C; ++c) f[1 + c] += solved_.feeds[next].channel[lit_.of[c]].v;
      --next;
    };
    leave_feed(n);
    for (std::int64_t k = n - 1; k >= first; --k) {
      const piece p = piece_of(stretch, in);
      trace(p.common_after, p.channel_after);
      for (int c = C - 1; c >= 0; --c) {
        double u = 0;
        for (int m = 0; m < width; ++m) u += load_row(k, c)[m] * v[m];
        const double i = hear(stretch, k, c, u);
        v[0] += i;
        v[1 + c] -= i;
        f[0] += current(k, c);
        f[1 + c] -= current(k, c);
      }
      trace(p.half_common, p.half_channel);
      joint(in, stretch);
      leave_feed(k);
      inward(stretch, in);
    }
    // the branch before the first feed point: from there outwards
    double x[conductors] = {};
    for (int r = 0; r < conductors; ++r) x[r] = v[r];
    if (first > 0) {
      double u[C] = {}, into[C] = {};
      for (double& each : f) each = 0;
      for (std::int64_t k = 0; k < first; ++k)
        for (int c = 0; c < C; ++c) {
          f[0] -= current(k, c);
          f[1 + c] += current(k, c);
        }
      for (int c = 0; c < C; ++c)
        for (int m = 0; m < width; ++m) u[c] += branch_[c * width + m] * v[m];
      stretch = 0;
      in = first - 1;
      find(stretch, in);
      for (std::int64_t k = first - 1; k >= 0; --k) {
        const double* port = load_row(k, 0);  // what is from here outwards, seen from the boundary behind it
        double sum = 0;
        for (int r = 0; r < C; ++r) {
          into[r] = port[C * C + r];
          for (int m = 0; m < C; ++m) into[r] += port[r * C + m] * u[m];
          sum += into[r];
        }
        v[0] = -sum;
        for (int c = 0; c < C; ++c) v[1 + c] = into[c];
        if (k == first - 1) {
          x[0] += sum;
          for (int c = 0; c < C; ++c) x[1 + c] -= into[c];
        }
        const piece p = piece_of(stretch, in);
        trace(p.common_after, p.channel_after);
        for (int c = 0; c < C; ++c) u[c] -= p.common_after * sum + p.channel_after[c] * into[c];
        for (int c = 0; c < C; ++c) {
          const double i = hear(stretch, k, c, u[c]);
          v[0] += i;
          v[1 + c] -= i;
          f[0] += current(k, c);
          f[1 + c] -= current(k, c);
        }
        trace(p.half_common, p.half_channel);
        joint(in, stretch);
        for (int c = 0; c < C; ++c) u[c] += p.common_before * v[0] - p.channel_before[c] * v[1 + c];
        inward(stretch, in);
      }
    }
    lead(0, x);
  }

 private:
  /// Resistance on both sides of a segment's loads; `half` is the trace alone, `before` the joint besides.
  struct piece {
    double half_common = 0, half_channel[C] = {};
    double common_before = 0, channel_before[C] = {};
    double common_after = 0, channel_after[C] = {};
  };
  constexpr piece piece_of(std::size_t stretch, std::int64_t in) const noexcept {
    const run_stretch& s = run_.stretches[stretch];
    const bool joint = in == 0 && stretch > 0;
    piece p;
    p.half_common = p.common_after = 0.5 * s.line.common.v;
    p.common_before = p.half_common + (joint ? s.link_common.v : 0.0);
    for (int c = 0; c < C; ++c) {
      p.half_channel[c] = p.channel_after[c] = 0.5 * s.line.channel[lit_.of[c]].v;
      p.channel_before[c] = p.half_channel[c] + (joint ? s.link_channel[lit_.of[c]].v : 0.0);
    }
    return p;
  }
  constexpr void find(std::size_t& stretch, std::int64_t& in) const noexcept {
    while (in >= run_.stretches[stretch].line.segments && stretch + 1 < run_.stretches.size())
      in -= run_.stretches[stretch++].line.segments;
  }
  constexpr void onward(std::size_t& stretch, std::int64_t& in) const noexcept {
    if (++in < run_.stretches[stretch].line.segments || stretch + 1 == run_.stretches.size()) return;
    ++stretch;
    in = 0;
  }
  constexpr void inward(std::size_t& stretch, std::int64_t& in) const noexcept {
    if (in-- > 0 || stretch == 0) return;
    in = run_.stretches[--stretch].line.segments - 1;
  }

  constexpr double* load_row(std::int64_t k, int c) const noexcept {
    return loads_ + (static_cast<std::size_t>(k) * C + static_cast<std::size_t>(c)) * width;
  }
  constexpr double* feed_row(std::size_t j, int r) const noexcept {
    return feeds_ + (j * conductors + static_cast<std::size_t>(r)) * width;
  }
  constexpr std::size_t place(std::int64_t k, int c) const noexcept {
    const auto channels = static_cast<std::size_t>(run_.stretches[0].line.channels);
    return static_cast<std::size_t>(k) * channels + lit_.of[c];
  }
  constexpr double current(std::int64_t k, int c) const noexcept {
    return solved_.load_current[place(k, c)].v;
  }
  constexpr double slope(std::size_t stretch, std::int64_t k, int c) const noexcept {
    return at(run_.stretches[stretch].line.law[lit_.of[c]], solved_.load_voltage[place(k, c)]).slope.v;
  }
  constexpr double light_slope(std::size_t stretch, std::int64_t k, int c) const noexcept {
    const load_law& law = run_.stretches[stretch].line.law[lit_.of[c]];
    return light_slope_of(law, at(law, solved_.load_voltage[place(k, c)]));
  }

  static constexpr void along(double (&row)[rows][width], double common,
                              const double (&channel)[C]) noexcept {
    row[0][0] -= common;
    for (int c = 0; c < C; ++c) row[1 + c][1 + c] -= channel[c];
  }

  /// Everything before the first feed point as a port of C channels, hung on the cut there.
  constexpr bool branch_off(double (&row)[rows][width], const adjoint_amperes& asked,
                            int asked_channel) noexcept {
    const std::int64_t end = run_.feeds[0].at;
    if (end == 0) return true;
    port_line<C> port;
    std::size_t stretch = 0;
    std::int64_t in = 0;
    for (std::int64_t k = 0; k < end; ++k, onward(stretch, in)) {
      const piece p = piece_of(stretch, in);
      if (k > 0 && !put_behind(port, p.common_before, p.channel_before)) return false;
      for (int c = 0; c < C; ++c) {
        const double g = slope(stretch, k, c);
        port.y[c][c] += g;
        if (c == asked_channel) port.s[c] += asked.of(k, light_slope(stretch, k, c));
      }
      if (!put_behind(port, p.common_after, p.channel_after)) return false;
      double* kept = load_row(k, 0);
      for (int r = 0; r < C; ++r) {
        for (int x = 0; x < C; ++x) kept[r * C + x] = port.y[r][x];
        kept[C * C + r] = port.s[r];
      }
    }
    double open[C][width] = {}, current[C][width] = {};
    small_system<C> system;
    for (int c = 0; c < C; ++c)
      for (int x = 0; x < width; ++x) open[c][x] = row[0][x] - row[1 + c][x];
    for (int r = 0; r < C; ++r)
      for (int x = 0; x < C; ++x) {
        system.a[r][x] = r == x ? 1.0 : 0.0;
        for (int m = 0; m < C; ++m) system.a[r][x] += port.y[r][m] * (open[m][1 + x] - open[m][0]);
      }
    if (!system.factor()) return false;
    for (int x = 0; x < width; ++x) {
      double column[C] = {};
      for (int r = 0; r < C; ++r) {
        column[r] = x == width - 1 ? port.s[r] : 0.0;
        for (int m = 0; m < C; ++m) column[r] += port.y[r][m] * open[m][x];
      }
      system.solve(column);
      for (int r = 0; r < C; ++r) current[r][x] = column[r];
    }
    for (int c = 0; c < C; ++c)
      for (int x = 0; x < width; ++x) {
        branch_[c * width + x] = open[c][x];
        for (int m = 0; m < C; ++m) branch_[c * width + x] -= (open[c][1 + m] - open[c][0]) * current[m][x];
      }
    for (auto& each : row) {
      double per_amp[C] = {};
      for (int c = 0; c < C; ++c) per_amp[c] = each[0] - each[1 + c];
      for (int c = 0; c < C; ++c)
        for (int x = 0; x < width; ++x) each[x] += per_amp[c] * current[c][x];
    }
    return true;
  }

  /// Feed point j: x = (R - rows of f)^-1 (terminals - e); what it gives, the left need not give.
  constexpr bool join(double (&row)[rows][width], std::size_t j) noexcept {
    const feed_point& feed = run_.feeds[j];
    small_system<conductors> system;
    for (int r = 0; r < conductors; ++r)
      for (int x = 0; x < conductors; ++x) system.a[r][x] = -row[r][x];
    system.a[0][0] += feed.common.v;
    for (int c = 0; c < C; ++c) system.a[1 + c][1 + c] += feed.channel[lit_.of[c]].v;
    for (int m = 0; m < conductors; ++m)  // no resistance around the whole loop: the earlier lead carries it
      if (system.a[m][m] == 0) system.a[m][m] = 1;
    if (!system.factor()) return false;
    for (int x = 0; x < width; ++x) {
      double column[conductors] = {};
      for (int r = 0; r < conductors; ++r)
        column[r] = (r > 0 && x == conductors + r - 1 ? -1.0 : 0.0) - row[r][x];
      system.solve(column);
      for (int r = 0; r < conductors; ++r) feed_row(j, r)[x] = column[r];
    }
    for (auto& each : row) {
      double of_f[conductors] = {};
      for (int m = 0; m < conductors; ++m) of_f[m] = each[m];
      for (int m = 0; m < conductors; ++m)
        for (int x = 0; x < width; ++x) each[x] -= of_f[m] * feed_row(j, m)[x];
    }
    for (int c = 0; c < C; ++c)
      for (int x = 0; x < width; ++x) row[conductors + c][x] -= feed_row(j, 1 + c)[x];
    return true;
  }

  const fed_run& run_;
  const lit_channels& lit_;
  const fed_run_profile& solved_;
  double* loads_;
  double* feeds_ = nullptr;
  double* branch_ = nullptr;
};

/// Calls with.template operator()<C>() for the number of lit channels; true where none is lit.
template <class With>
constexpr bool by_lit(int lit, const With& with) noexcept {
  switch (lit) {
    case 1: return with.template operator()<1>();
    case 2: return with.template operator()<2>();
    case 3: return with.template operator()<3>();
    case 4: return with.template operator()<4>();
    case 5: return with.template operator()<5>();
    case 6: return with.template operator()<6>();
    default: return true;
  }
}

/// A port of all channels in a row of doubles, and its current of one channel.
inline constexpr std::size_t straight_port = max_channels * max_channels + max_channels;
constexpr double straight_current(const double* port, std::size_t c,
                                  const double (&u)[max_channels]) noexcept {
  double i = port[max_channels * max_channels + c];
  for (std::size_t x = 0; x < max_channels; ++x) i += port[c * max_channels + x] * u[x];
  return i;
}
constexpr void add_port(double* into, const port_line<static_cast<int>(max_channels)>& p) noexcept {
  for (const auto& row : p.y)
    for (const double y : row) *into++ = y;
  for (const double s : p.s) *into++ = s;
}

constexpr std::size_t straight_doubles(const fed_run& r) noexcept {
  std::size_t own = 0;
  by_lit(lit_of(r.stretches[0].line).count, [&]<int C>() noexcept {
    own = straight_run<C>::doubles(r);
    return true;
  });
  return straight_port + own;
}

/// Volts from a load's voltage to the nearest corner of its law.
constexpr double distance_to_kink(const load_law& law, volts u) noexcept {
  switch (law.kind) {
    case load_kind::resistor_limited: return absolute(u.v - law.dark_below.v);
    case load_kind::regulated: {
      const double starts = absolute(u.v - law.dark_below.v);
      if (!(law.slope.v > 0)) return infinity;
      return smaller(starts, absolute(u.v - law.dark_below.v - law.ceiling.v / law.slope.v));
    }
    case load_kind::constant_power: return law.power.v > 0 ? absolute(u.v - law.cut_off.v) : infinity;
  }
  return infinity;
}

/// Adds a solved run's channel currents.
constexpr void add_currents(const fed_run& run, const fed_run_profile& solved,
                            double (&sums)[max_channels]) noexcept {
  const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
  const auto segments = static_cast<std::size_t>(segments_of(run));
  for (std::size_t k = 0; k < segments; ++k)
    for (std::size_t c = 0; c < channels; ++c) sums[c] += solved.load_current[k * channels + c].v;
}

template <class Share, class PerOhm>
constexpr run_influence<Share, PerOhm> no_influence() noexcept {
  run_influence<Share, PerOhm> s;
  s.trace_common = s.length = s.copper = Share{0};
  s.link_common = s.feeder_common = PerOhm{0};
  for (std::size_t c = 0; c < max_channels; ++c) {
    s.trace_channel[c] = s.load[c] = Share{0};
    s.link_channel[c] = s.feeder_channel[c] = PerOhm{0};
  }
  return s;
}

}  // namespace detail

/// Doubles of workspace for sensitivity_of: 44 a hub; for each run of N segments, F feed points and C lit
/// channels 42 + (N C + F (C + 1) + C) (2 C + 2).
constexpr std::size_t sensitivity_workspace(const feed_network& n) noexcept {
  std::size_t sum = n.hubs.size() * (detail::straight_port + 2);
  for (const fed_run& r : n.runs)
    if (!r.stretches.empty()) sum += detail::straight_doubles(r);
  return sum;
}

namespace detail {

/// What a figure owes to every input, from the amperes that its derivatives by the loads' voltages are.
template <class Share, class PerOhm>
constexpr outcome<shared_influence> adjoin(const feed_network& n, std::span<const fed_run_profile> solved,
                                           const adjoint_amperes& asked, double* workspace,
                                           std::span<run_influence<Share, PerOhm>> runs,
                                           std::span<hub_influence<PerOhm>> hubs,
                                           std::span<lead_influence<PerOhm>> leads) noexcept {
  // eliminate: runs into hubs, hubs into the source
  double* const hub_room = workspace;
  double* const run_room = hub_room + n.hubs.size() * (straight_port + 2);
  const auto each_run = [&](const auto& visit) noexcept {
    double* room = run_room;
    for (std::size_t r = 0; r < n.runs.size(); ++r) {
      const lit_channels lit = lit_of(n.runs[r].stretches[0].line);
      const bool sound = by_lit(lit.count, [&]<int C>() noexcept {
        straight_run<C> run{n.runs[r], lit, solved[r], room + straight_port};
        int channel = -1;
        for (int c = 0; c < C; ++c)
          if (r == asked.run && lit.of[c] == asked.channel) channel = c;
        return visit(run, lit, r, room, channel);
      });
      if (!sound) return false;
      room += straight_doubles(n.runs[r]);
    }
    return true;
  };
  const fault brink{fault_code::no_operating_point, field::power, 0, 0, 0, -1};
  double all_y = 0, all_s = 0;
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    wide_port hub;
    const bool sound = each_run([&]<int C>(straight_run<C>& run, const lit_channels& lit, std::size_t r,
                                           double* room, int channel) noexcept {
      const fed_run& f = n.runs[r];
      if (static_cast<std::size_t>(f.hub) != h) return true;
      port_line<C> port;
      double own[C] = {};
      for (int c = 0; c < C; ++c) own[c] = f.channel[lit.of[c]].v;
      if (!run.eliminate(port, asked, channel) || !put_behind(port, f.common.v, own)) return false;
      wide_port spread;
      for (int c = 0; c < C; ++c) {
        spread.s[lit.of[c]] = port.s[c];
        hub.s[lit.of[c]] += port.s[c];
        for (int x = 0; x < C; ++x) {
          spread.y[lit.of[c]][lit.of[x]] = port.y[c][x];
          hub.y[lit.of[c]][lit.of[x]] += port.y[c][x];
        }
      }
      add_port(room, spread);
      return true;
    });
    double own[max_channels] = {};
    for (std::size_t c = 0; c < max_channels; ++c) own[c] = n.hubs[h].channel[c].v;
    if (!sound || !put_behind(hub, 0.0, own)) return brink;
    double* const room = hub_room + h * (straight_port + 2);
    add_port(room, hub);
    port_line<1> pair;
    for (std::size_t c = 0; c < max_channels; ++c) {
      pair.s[0] += hub.s[c];
      for (std::size_t x = 0; x < max_channels; ++x) pair.y[0][0] += hub.y[c][x];
    }
    if (!put_behind(pair, n.hubs[h].supply.v, {0.0})) return brink;
    room[straight_port] = pair.y[0][0];
    room[straight_port + 1] = pair.s[0];
    all_y += pair.y[0][0];
    all_s += pair.s[0];
  }
  if (!(1 + n.lead.v * all_y > 0)) return brink;

  // and back: the source stays where it is, so that all voltages are what the ampere makes of them
  shared_influence out;
  out.source = all_s / (1 + n.lead.v * all_y);
  const double at_hubs = -n.lead.v * out.source;
  double total = 0;
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    double* const room = hub_room + h * (straight_port + 2);
    const double drawn = room[straight_port] * at_hubs + room[straight_port + 1];
    const double input = at_hubs - n.hubs[h].supply.v * drawn;
    double u[max_channels] = {}, i[max_channels] = {}, solved_total = 0, solved_channel[max_channels] = {};
    for (double& each : u) each = input;
    for (std::size_t c = 0; c < max_channels; ++c) i[c] = straight_current(room, c, u);
    for (std::size_t r = 0; r < n.runs.size(); ++r) {
      if (static_cast<std::size_t>(n.runs[r].hub) != h) continue;
      double own[max_channels] = {};
      add_currents(n.runs[r], solved[r], own);
      for (std::size_t c = 0; c < max_channels; ++c) solved_channel[c] += own[c];
    }
    for (std::size_t c = 0; c < max_channels; ++c) {
      solved_total += solved_channel[c];
      hubs[h].channel[c] = PerOhm{-solved_channel[c] * i[c]};
      room[c] = input - n.hubs[h].channel[c].v * i[c];  // at the hub's terminals
    }
    hubs[h].supply = PerOhm{-solved_total * drawn};
    total += solved_total;
  }
  out.lead = -total * out.source;
  std::size_t point = 0;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    runs[r] = no_influence<Share, PerOhm>();
    const std::size_t count = n.runs[r].feeds.size();
    if (leads.empty()) continue;
    for (lead_influence<PerOhm>& each : leads.subspan(point, count)) {
      each.common = PerOhm{0};
      for (PerOhm& a : each.channel) a = PerOhm{0};
    }
    point += count;
  }
  each_run([&]<int C>(straight_run<C>& run, const lit_channels& lit, std::size_t r, double* room,
                      int channel) noexcept {
    const fed_run& f = n.runs[r];
    const double* const hub = hub_room + static_cast<std::size_t>(f.hub) * (straight_port + 2);
    double u[max_channels] = {}, i[C] = {}, terminals[C] = {}, sum = 0, solved_sum = 0;
    double solved_own[max_channels] = {};
    for (std::size_t c = 0; c < max_channels; ++c) u[c] = hub[c];
    for (int c = 0; c < C; ++c) sum += i[c] = straight_current(room, lit.of[c], u);
    for (int c = 0; c < C; ++c)
      terminals[c] = u[lit.of[c]] - f.common.v * sum - f.channel[lit.of[c]].v * i[c];
    add_currents(f, solved[r], solved_own);
    run_influence<Share, PerOhm>& told = runs[r];
    for (int c = 0; c < C; ++c) {
      const std::size_t of = lit.of[c];
      solved_sum += solved_own[of];
      told.feeder_channel[of] = PerOhm{-solved_own[of] * i[c]};
      told.copper += Share{f.channel[of].v * told.feeder_channel[of].v};
    }
    told.feeder_common = PerOhm{-solved_sum * sum};
    told.copper += Share{f.common.v * told.feeder_common.v};
    run.gather(terminals, asked, channel, told,
               leads.empty() ? leads : leads.subspan(feeds_before(n, r), f.feeds.size()), out.own);
    told.length = told.trace_common;
    for (std::size_t c = 0; c < max_channels; ++c) told.length += told.trace_channel[c] + told.load[c];
    return true;
  });
  return out;
}

/// Nearest that any lit load of a solved network comes to a corner of its law.
constexpr double nearest_kink(const feed_network& n, std::span<const fed_run_profile> solved) noexcept {
  double nearest = infinity;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const lit_channels lit = lit_of(n.runs[r].stretches[0].line);
    const auto channels = static_cast<std::size_t>(n.runs[r].stretches[0].line.channels);
    std::size_t k = 0;
    for (const run_stretch& s : n.runs[r].stretches)
      for (std::int64_t in = 0; in < s.line.segments; ++in, ++k)
        for (int c = 0; c < lit.count; ++c)
          nearest = smaller(nearest, distance_to_kink(s.line.law[lit.of[c]],
                                                      solved[r].load_voltage[k * channels + lit.of[c]]));
  }
  return nearest;
}

/// As close to a corner as this, in shares of the source, a load may stand on either side of it: voltages are
/// settled to 5e-13 of the source and an ulp a segment.
inline constexpr double kink_hair = 1e-11;

/// Refuses storage that is too small, a profile that is not whole, and a channel that is not there or not lit.
constexpr fault check_question(const feed_network& n, std::span<const fed_run_profile> solved,
                               std::size_t doubles, std::size_t runs, std::size_t hubs, std::size_t leads,
                               std::int32_t asked_run, std::int32_t asked_channel) noexcept {
  if (const fault f = check(n)) return f;
  if (const fault f =
          first_fault(refuse_room(doubles, sensitivity_workspace(n)), refuse_room(runs, n.runs.size()),
                      refuse_room(hubs, n.hubs.size()), refuse_room(solved.size(), n.runs.size())))
    return f;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const fed_run& run = n.runs[r];
    const auto loads = static_cast<std::size_t>(segments_of(run) * run.stretches[0].line.channels);
    if (const fault f = first_fault(refuse_room(solved[r].load_voltage.size(), loads),
                                    refuse_room(solved[r].load_current.size(), loads),
                                    refuse_room(solved[r].feeds.size(), run.feeds.size())))
      return at_item(f, r);
  }
  if (const fault f = first_fault(leads > 0 ? refuse_room(leads, feeds_before(n, n.runs.size())) : fault{},
                                  refuse_place(field::place, asked_run, n.runs.size())))
    return f;
  const tape_line& line = n.runs[static_cast<std::size_t>(asked_run)].stretches[0].line;
  if (const fault f = refuse_place(field::place, asked_channel, static_cast<std::size_t>(line.channels)))
    return f;
  if ((line.lit >> asked_channel & 1u) == 0)
    return at_item({fault_code::unknown_reference, field::duty, 0, 1, 1, -1},
                   static_cast<std::size_t>(asked_channel));
  return {};
}

/// Light of a channel's lamps, and how it follows the voltage at the dimmest and the brightest of them.
struct channel_lights {
  double least = infinity, most = -1, sum = 0;
  double slope_least = 0, slope_most = 0;
  std::int64_t dimmest = -1, brightest = -1;  ///< segments
  std::int64_t lamps = 0;
  bool follows = false;  ///< any of it the voltage; constant power does not

  constexpr double share(light_share which) const noexcept {
    if (!(most > 0)) return 0;
    return (which == light_share::mean ? sum / static_cast<double>(lamps) : least) / most;
  }
  /// dS = sum of these amperes times du.
  constexpr adjoint_amperes amperes(std::size_t run, std::size_t channel, light_share which) const noexcept {
    adjoint_amperes asked{run, channel, {brightest, dimmest}, {}, 0};
    if (!(most > 0)) return asked;
    asked.at[0] = -share(which) * slope_most / most;
    if (which == light_share::dimmest) asked.at[1] = slope_least / most;
    else if (follows) asked.per_slope = 1 / (static_cast<double>(lamps) * most);
    return asked;
  }
};

constexpr channel_lights lights_of(const fed_run& run, const fed_run_profile& solved,
                                   std::size_t channel) noexcept {
  const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
  channel_lights told;
  for (const run_stretch& s : run.stretches)
    for (std::int64_t in = 0; in < s.line.segments; ++in, ++told.lamps) {
      const load_law& law = s.line.law[channel];
      const load_point p =
          at(law, solved.load_voltage[static_cast<std::size_t>(told.lamps) * channels + channel]);
      const double light = light_of(law, p), slope = light_slope_of(law, p);
      told.follows = told.follows || law.kind != load_kind::constant_power;
      told.sum += light;
      if (light < told.least) {
        told.least = light;
        told.slope_least = slope;
        told.dimmest = told.lamps;
      }
      if (light > told.most) {
        told.most = light;
        told.slope_most = slope;
        told.brightest = told.lamps;
      }
    }
  return told;
}

}  // namespace detail

/// Where a solved run's dimmest lamp is: the lit channel whose light at figures.dimmest is furthest below its
/// greatest.
///
/// @param run     the run, `solved` its profile with load voltages, `figures` what solve_network said of it.
/// @return        its place within run 0; the run's own number is the caller's to set.
constexpr load_place dimmest_load(const fed_run& run, const fed_run_figures& figures,
                                  const fed_run_profile& solved) noexcept {
  load_place found;
  found.segment = figures.dimmest < 0 ? 0 : figures.dimmest;
  const detail::lit_channels lit = detail::lit_of(run.stretches[0].line);
  const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
  double least = infinity;
  for (int c = 0; c < lit.count; ++c) {
    const std::size_t of = lit.of[c];
    double most = 0;
    std::size_t k = 0;
    const auto light = [&](const load_law& law, std::size_t place) noexcept {
      return light_of(law, at(law, solved.load_voltage[place * channels + of]));
    };
    for (const run_stretch& s : run.stretches)
      for (std::int64_t i = 0; i < s.line.segments; ++i) most = larger(most, light(s.line.law[of], k++));
    const double here =
        light(detail::law_at(run, found.segment, of), static_cast<std::size_t>(found.segment));
    const double share = most > 0 ? here / most : 0;
    if (!(share < least)) continue;
    least = share;
    found.channel = static_cast<std::int32_t>(of);
  }
  return found;
}

/// Exact derivatives of one load's voltage by every input of a solved network.
///
/// @param n          the network, as solve_network took it.
/// @param solved     its answer: a profile a run, all three spans filled.
/// @param asked      a load of a lit channel.
/// @param workspace  sensitivity_workspace(n) doubles.
/// @param runs       one result a run; @param hubs one a hub.
/// @param leads      empty, or one result a feed point, run by run.
/// @return           Faults: those of check(n); no_room; unknown_reference for a load that is not there (place)
///                   or not lit (duty 0; item: the channel); no_operating_point where the network stands on the
///                   brink of its collapse, where these derivatives have no bound.
/// Formula           With every load replaced by its tangent (slope G) the voltages are u = V - Z q. One more
///                   ampere a' drawn at the load asked for moves them by -(1 + Z G)^-1 Z, and Z is symmetric
///                   (reciprocity), so that one linear solve tells all:
///                     dU/dR = -I I' (current in R as solved, current in R of that ampere),
///                     dU/dV = I' of the source,   dU/d(ln P) = sum of i u' over the loads of that channel,
///                   every law's current being proportional to its nominal power.
/// Source            closed form: adjoint network, S. W. Director and R. A. Rohrer, "The generalized adjoint
///                   network and network sensitivities", IEEE Trans. Circuit Theory 16 (1969), from memory.
/// Accuracy          that of the linear solve, about 1e-12 of the greatest term. At a corner of a load's law
///                   (`at_kink`) the derivative is that of one side; a change that carries a load across a
///                   corner leaves the straight line. Where a conductor has no resistance around a whole loop
///                   of feed points, how its current parts is not determined and neither are its leads' figures.
constexpr outcome<load_sensitivity> sensitivity_of(const feed_network& n,
                                                   std::span<const fed_run_profile> solved, load_place asked,
                                                   std::span<double> workspace,
                                                   std::span<run_sensitivity> runs,
                                                   std::span<hub_sensitivity> hubs,
                                                   std::span<lead_sensitivity> leads = {}) noexcept {
  if (const fault f = detail::check_question(n, solved, workspace.size(), runs.size(), hubs.size(),
                                             leads.size(), asked.run, asked.channel))
    return f;
  const auto asked_run = static_cast<std::size_t>(asked.run);
  const fed_run& home = n.runs[asked_run];
  if (const fault f = refuse_place(field::place, asked.segment, static_cast<std::size_t>(segments_of(home))))
    return f;
  const auto channel = static_cast<std::size_t>(asked.channel);
  const auto got = detail::adjoin<volts, amps>(
      n, solved, {asked_run, channel, {asked.segment, -1}, {1, 0}, 0}, workspace.data(), runs, hubs, leads);
  if (!got.ok()) return got.why();
  const std::size_t place =
      static_cast<std::size_t>(asked.segment * home.stretches[0].line.channels) + channel;
  load_sensitivity out;
  out.source = got->source;
  out.lead = amps{got->lead};
  out.own = ohms{got->own};
  out.voltage = solved[asked_run].load_voltage[place];
  out.current = solved[asked_run].load_current[place];
  out.slope = at(detail::law_at(home, asked.segment, channel), out.voltage).slope;
  out.to_kink = volts{detail::nearest_kink(n, solved)};
  out.at_kink = !(out.to_kink.v > detail::kink_hair * n.source.v);
  return out;
}

/// Exact derivatives of a share of light by every input of a solved network.
///
/// @param n, solved, workspace, runs, hubs, leads  as of sensitivity_of.
/// @param run, channel  whose lamps; a lit channel.
/// @param which      the dimmest lamp (the figure told as evenness) or the mean of all, over the brightest.
/// @return           Faults: those of sensitivity_of. A channel without light has share 0 and no derivatives but 0.
/// Formula           S = L / L_b: dS = sum over the lamps of (dL_k/du_k) du_k / (n_k L_b) - S (dL_b/du_b) du_b / L_b:
///                   these are the amperes that are drawn in the adjoint network. The lamps' own W/m is in both
///                   lights and cancels; what it does to the voltages is told.
/// Source            as of sensitivity_of.
/// Accuracy          as of sensitivity_of. Where two lamps are equally bright or dim (a run fed alike at both ends)
///                   the share has a corner, and the derivatives are those of the first of them.
constexpr outcome<light_sensitivity> light_sensitivity_of(
    const feed_network& n, std::span<const fed_run_profile> solved, std::int32_t run, std::int32_t channel,
    light_share which, std::span<double> workspace, std::span<run_light_sensitivity> runs,
    std::span<hub_light_sensitivity> hubs, std::span<lead_light_sensitivity> leads = {}) noexcept {
  if (const fault f = detail::check_question(n, solved, workspace.size(), runs.size(), hubs.size(),
                                             leads.size(), run, channel))
    return f;
  const auto r = static_cast<std::size_t>(run), c = static_cast<std::size_t>(channel);
  const detail::channel_lights lights = detail::lights_of(n.runs[r], solved[r], c);
  light_sensitivity out;
  out.share = lights.share(which);
  out.dimmest = lights.dimmest;
  out.brightest = lights.brightest;
  const auto got = detail::adjoin<double, siemens>(n, solved, lights.amperes(r, c, which), workspace.data(),
                                                   runs, hubs, leads);
  if (!got.ok()) return got.why();
  out.per_volt = got->source;
  out.lead = siemens{got->lead};
  out.to_kink = volts{detail::nearest_kink(n, solved)};
  out.at_kink = !(out.to_kink.v > detail::kink_hair * n.source.v);
  return out;
}

/// What a kelvin more in a conductor's copper does, from what one does "of itself".
///
/// @param of_itself  V; any finite value: run_sensitivity's traces or `copper`.
/// @param copper     degC at which the conductor's resistance was taken; -60..200.
/// @return           V/K, as volts for each kelvin. Fault out_of_range for the temperature.
/// Formula   dU/dT = dU/d(ln R) alpha20 / (1 + alpha20 (T - 20)).
/// Source    chain rule; IEC 60028 for copper (rules/copper.hpp).
constexpr outcome<volts> per_kelvin(volts of_itself, celsius copper) noexcept {
  if (const fault f = refuse(field::temperature, copper)) return f;
  return volts{of_itself.v * alpha_20 / detail::resistance_ratio(copper)};
}
static_assert(per_kelvin(volts{-1}, celsius{20})->v == -alpha_20);

}  // namespace tapewright
