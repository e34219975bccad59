// SPDX-License-Identifier: BSL-1.0
// What an installation's inputs may be within their tolerances: a box of factors, and its corners.
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
#include "tapewright/network/tape_line.hpp"
#include "tapewright/rules/copper.hpp"

namespace tapewright {

/// By what an input may be multiplied: 0.95 .. 1.05 is five per cent either way. 0.5 <= least <= 1 <= most <= 2.
struct factor_range {
  double least = 1, most = 1;
};

/// How well the inputs of a network are known. Each run, channel and hub has a factor of its own within the
/// range of its kind: nothing is assumed about how they hang together.
struct network_tolerances {
  factor_range source;   ///< the driver's output voltage
  factor_range load;     ///< W/m, of each channel of each run
  factor_range trace;    ///< trace resistance of each run, temperature included (see copper_range)
  factor_range length;   ///< of each run: pitch, and with it trace and load
  factor_range cable;    ///< lead; supply of each hub; feeder and leads of each run, temperature included
  factor_range contact;  ///< switches of each hub; joints of each run
};

/// The range of a copper's resistance from its tolerance and the temperatures that it may have.
///
/// @param at     degC at which the network's resistances were taken; -60..200.
/// @param least, most  degC, the coldest and the warmest; least <= at <= most.
/// @param share  tolerance of the resistance itself, either way; 0..0.2.
/// @return       Faults out_of_range.
/// Formula   (1 -+ share) (1 + alpha20 (T - 20)) / (1 + alpha20 (T_at - 20)).
/// Source    IEC 60028 for copper (rules/copper.hpp).
constexpr outcome<factor_range> copper_range(celsius at, celsius least, celsius most,
                                             double share = 0) noexcept {
  if (const fault f =
          first_fault(refuse(field::temperature, at), refuse_outside(field::temperature, least.v, -60, at.v),
                      refuse_outside(field::temperature, most.v, at.v, range_of(field::temperature).most),
                      refuse_outside(field::share, share, 0, 0.2)))
    return f;
  const double now = detail::resistance_ratio(at);
  return factor_range{(1 - share) * (detail::resistance_ratio(least) / now),
                      (1 + share) * (detail::resistance_ratio(most) / now)};
}

/// Inputs that have a factor, numbered: 0 source, 1 lead, then for each hub its supply and its switches, then for
/// each run trace, length, feeder with leads, joints, and the load of each channel.
inline constexpr std::size_t most_factors = 256;

/// A corner of the box: which factors stand at their greatest value; the others stand at their least, and those
/// that have no direction (`free`) stay at 1 (in a cut box: at its middle). One that is three times as steep one
/// way as the other stands at its end, and only its way back is allowed for.
struct box_corner {
  std::uint64_t high[most_factors / 64] = {}, free[most_factors / 64] = {};

  /// All words at once: one after the other, as a default compares them, becomes a call of memcmp.
  friend constexpr bool operator==(const box_corner& a, const box_corner& b) noexcept {
    std::uint64_t unlike = 0;
    for (std::size_t i = 0; i < most_factors / 64; ++i)
      unlike |= (a.high[i] ^ b.high[i]) | (a.free[i] ^ b.free[i]);
    return unlike == 0;
  }

  constexpr bool is_high(std::size_t p) const noexcept { return (high[p / 64] >> p % 64 & 1u) != 0; }
  constexpr bool is_free(std::size_t p) const noexcept { return (free[p / 64] >> p % 64 & 1u) != 0; }
};

/// Storage of bounds_of: copies of the network's lists, and doubles.
struct tolerance_space {
  std::span<feed_hub> hubs;             ///< as many as the network's
  std::span<fed_run> runs;              ///< likewise
  std::span<run_stretch> stretches;     ///< of all runs
  std::span<feed_point> feeds;          ///< likewise
  std::span<fed_run_figures> figures;   ///< one a run
  std::span<fed_run_profile> profiles;  ///< likewise
  std::span<volts> voltages;            ///< segments x channels of all runs
  std::span<double> doubles;            ///< see tolerance_space_for
};

/// Factors of a network, in their order (see most_factors).
constexpr std::size_t first_factor_of_run(const feed_network& n, std::size_t run) noexcept {
  std::size_t p = 2 + 2 * n.hubs.size();
  for (std::size_t r = 0; r < run; ++r)
    p += 4 + static_cast<std::size_t>(n.runs[r].stretches[0].line.channels);
  return p;
}
constexpr std::size_t factor_count(const feed_network& n) noexcept {
  return first_factor_of_run(n, n.runs.size());
}

/// Which range a factor has.
constexpr factor_range range_of_factor(const feed_network& n, const network_tolerances& t,
                                       std::size_t p) noexcept {
  if (p == 0) return t.source;
  if (p == 1) return t.cable;
  p -= 2;
  if (p < 2 * n.hubs.size()) return p % 2 == 0 ? t.cable : t.contact;
  p -= 2 * n.hubs.size();
  for (const fed_run& r : n.runs) {
    const std::size_t own = 4 + static_cast<std::size_t>(r.stretches[0].line.channels);
    if (p < own) return p == 0 ? t.trace : p == 1 ? t.length : p == 2 ? t.cable : p == 3 ? t.contact : t.load;
    p -= own;
  }
  return {};
}

/// A network with its inputs multiplied.
/// @param factor  factor(p) is what input p is multiplied by.
/// @param space   hubs, runs, stretches and feeds as tolerance_space_for(n) says.
template <class Factor>
constexpr feed_network multiplied(const feed_network& n, const Factor& factor,
                                  const tolerance_space& space) noexcept {
  feed_network m;
  m.source = n.source * factor(std::size_t{0});
  m.lead = n.lead * factor(std::size_t{1});
  std::size_t p = 2, stretch = 0, feed = 0;
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    feed_hub& hub = space.hubs[h] = n.hubs[h];
    hub.supply *= factor(p++);
    const double contact = factor(p++);
    for (ohms& o : hub.channel) o *= contact;
  }
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    fed_run& run = space.runs[r] = n.runs[r];
    const double trace = factor(p), length = factor(p + 1), cable = factor(p + 2), contact = factor(p + 3);
    const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
    const std::span<run_stretch> own = space.stretches.subspan(stretch, run.stretches.size());
    stretch += own.size();
    for (std::size_t s = 0; s < own.size(); ++s) {
      run_stretch& part = own[s] = run.stretches[s];
      part.link_common *= contact;
      part.line.common *= trace * length;
      for (std::size_t c = 0; c < channels; ++c) {
        part.link_channel[c] *= contact;
        part.line.channel[c] *= trace * length;
        const double load = factor(p + 4 + c) * length;
        load_law& law = part.line.law[c];
        law.slope = law.slope * load;
        if (law.kind == load_kind::regulated) law.ceiling *= load;
        law.power *= load;
      }
    }
    const std::span<feed_point> points = space.feeds.subspan(feed, run.feeds.size());
    feed += points.size();
    for (std::size_t f = 0; f < points.size(); ++f) {
      points[f] = run.feeds[f];
      points[f].common *= cable;
      for (ohms& o : points[f].channel) o *= cable;
    }
    run.common *= cable;
    for (ohms& o : run.channel) o *= cable;
    run.stretches = own;
    run.feeds = points;
    p += 4 + channels;
  }
  m.hubs = space.hubs.first(n.hubs.size());
  m.runs = space.runs.first(n.runs.size());
  return m;
}

/// The network at a corner of its box.
constexpr feed_network at_corner(const feed_network& n, const network_tolerances& t, const box_corner& corner,
                                 const tolerance_space& space) noexcept {
  return multiplied(
      n,
      [&](std::size_t p) noexcept {
        if (corner.is_free(p)) return 1.0;
        const factor_range range = range_of_factor(n, t, p);
        return corner.is_high(p) ? range.most : range.least;
      },
      space);
}

}  // namespace tapewright
