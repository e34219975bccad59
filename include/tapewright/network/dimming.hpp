// SPDX-License-Identifier: BSL-1.0
// An installation whose channels are dimmed: light, and heat in the copper, over a whole period.
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
#include "tapewright/network/pwm_timing.hpp"

namespace tapewright {

/// What one run does over a period. Light is a share: 1 is what the lamp gives when it is on all the
/// time at the source's own voltage. Powers are means; copper's are those of its r.m.s. currents.
struct dimmed_run {
  std::int32_t channels = 0;
  core_currents feeder;                 ///< in the shared feeder
  double brightest[max_channels] = {};  ///< mean light of each channel's brightest lamp
  double dimmest[max_channels] = {};    ///< and of its dimmest
  double evenness[max_channels] = {};   ///< dimmest over brightest; 1 for a channel that is off
  double least_evenness = 0;
  watts lamps, trace_loss, feeder_loss;
};

/// The whole network over a period. Power from the source = lamps + all losses.
struct dimmed_figures {
  pulsed_current total;  ///< from the driver
  watts lamps, trace_loss, feeder_loss, switch_loss, supply_loss;
  volts residual;              ///< the greatest of all solutions
  std::int32_t intervals = 0;  ///< pieces of the period in which the same channels are on
};

/// Where a caller wants more of a run: mean light of every load (segment-major, `channels` a segment) and
/// the currents of every feed point's leads. Each span may be empty.
struct dimmed_profile {
  std::span<double> light;
  std::span<core_currents> feeds;
};

/// How much room a dimmed network needs of each kind.
struct dimming_counts {
  std::size_t doubles = 0, runs = 0, stretches = 0, loads = 0, feeds = 0;
};

/// Room that solve_dimmed works in; all of it is the caller's and holds nothing of worth afterwards.
struct dimming_room {
  std::span<double> workspace;          ///< counts.doubles
  std::span<fed_run> runs;              ///< counts.runs
  std::span<fed_run_figures> figures;   ///< counts.runs
  std::span<fed_run_profile> profiles;  ///< counts.runs
  std::span<run_stretch> stretches;     ///< counts.stretches
  std::span<amps> loads;                ///< counts.loads
  std::span<feed_current> feeds;        ///< counts.feeds
};

/// Room for a network: network_workspace and a double a load, and one of each list's things.
constexpr dimming_counts dimming_room_for(const feed_network& n) noexcept {
  dimming_counts need;
  need.doubles = network_workspace(n);
  need.runs = n.runs.size();
  for (const fed_run& r : n.runs) {
    need.stretches += r.stretches.size();
    need.feeds += r.feeds.size();
    if (!r.stretches.empty())
      need.loads += static_cast<std::size_t>(segments_of(r) * r.stretches[0].line.channels);
  }
  need.doubles += need.loads;
  return need;
}

namespace detail {

/// One dimmed network while its period is gone through.
class dimmed_network {
 public:
  constexpr dimmed_network(const feed_network& n, std::span<const pwm_timing> timings,
                           const dimming_room& room, std::span<dimmed_run> runs,
                           std::span<core_currents> hubs, std::span<const dimmed_profile> profiles) noexcept
      : n_{n}, timings_{timings}, room_{room}, runs_{runs}, hubs_{hubs}, profiles_{profiles} {
    light_ = room.workspace.subspan(network_workspace(n));
    std::size_t loads = 0, feeds = 0;
    for (std::size_t r = 0; r < n.runs.size(); ++r) {
      const std::size_t own = loads_of(r), points = n.runs[r].feeds.size();
      room_.profiles[r] = {{}, room_.loads.subspan(loads, own), room_.feeds.subspan(feeds, points)};
      loads += own;
      feeds += points;
      runs_[r] = {};
      runs_[r].channels = n.runs[r].stretches[0].line.channels;
      if (r < profiles_.size())
        for (core_currents& f : profiles_[r].feeds) f = {};
    }
    for (core_currents& h : hubs_) h = {};
    for (double& l : light_.first(loads)) l = 0;
  }

  /// Takes in a piece of the period around a moment.
  constexpr fault add(double share, double moment) noexcept {
    const feed_network lit = network_at(moment);
    const auto solved = solve_network(lit, room_.workspace, room_.figures, room_.profiles);
    if (!solved.ok()) return solved.why();
    out_.intervals += 1;
    out_.residual = volts{larger(out_.residual.v, solved->residual.v)};
    add_pulse(out_.total, share, solved->total);
    out_.lamps += share * solved->lamps;
    out_.trace_loss += share * solved->trace_loss;
    out_.feeder_loss += share * solved->feeder_loss;
    out_.switch_loss += share * solved->switch_loss;
    out_.supply_loss += share * solved->supply_loss;
    std::size_t at = 0;
    for (std::size_t r = 0; r < lit.runs.size(); ++r) {
      add_run(share, r);
      at = add_light(share, lit.runs[r], r, at);
    }
    for (std::size_t h = 0; h < hubs_.size() && h < n_.hubs.size(); ++h) add_hub(share, h);
    return {};
  }

  constexpr dimmed_figures closed() noexcept {
    close_pulse(out_.total);
    for (core_currents& h : hubs_) close_pulses(h);
    std::size_t at = 0;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      close_pulses(runs_[r].feeder);
      if (r < profiles_.size())
        for (core_currents& f : profiles_[r].feeds) close_pulses(f);
      at = close_light(r, at);
    }
    return out_;
  }

 private:
  constexpr std::size_t loads_of(std::size_t r) const noexcept {
    const fed_run& run = n_.runs[r];
    return static_cast<std::size_t>(segments_of(run) * run.stretches[0].line.channels);
  }

  /// The network with those channels lit that are on at a moment.
  constexpr feed_network network_at(double moment) noexcept {
    std::size_t at = 0;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const std::uint32_t on = on_at(timings_[static_cast<std::size_t>(run.hub)], moment);
      const std::span<run_stretch> own = room_.stretches.subspan(at, run.stretches.size());
      for (std::size_t s = 0; s < own.size(); ++s) {
        own[s] = run.stretches[s];
        own[s].line.lit &= on;
      }
      room_.runs[r] = run;
      room_.runs[r].stretches = own;
      at += own.size();
    }
    return {n_.source, n_.lead, n_.hubs, room_.runs.first(n_.runs.size())};
  }

  constexpr void add_run(double share, std::size_t r) noexcept {
    const fed_run_figures& f = room_.figures[r];
    dimmed_run& run = runs_[r];
    add_pulse(run.feeder.common, share, f.total);
    for (std::size_t c = 0; c < static_cast<std::size_t>(f.channels); ++c)
      add_pulse(run.feeder.channel[c], share, f.channel_current[c]);
    run.lamps += share * f.lamps;
    run.trace_loss += share * f.trace_loss;
    run.feeder_loss += share * f.feeder_loss;
    if (r >= profiles_.size()) return;
    const std::span<core_currents> told = profiles_[r].feeds;
    for (std::size_t p = 0; p < told.size() && p < n_.runs[r].feeds.size(); ++p) {
      const feed_current& i = room_.profiles[r].feeds[p];
      add_pulse(told[p].common, share, i.common);
      for (std::size_t c = 0; c < max_channels; ++c) add_pulse(told[p].channel[c], share, i.channel[c]);
    }
  }

  constexpr void add_hub(double share, std::size_t h) noexcept {
    amps total, channel[max_channels];
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      if (static_cast<std::size_t>(n_.runs[r].hub) != h) continue;
      const fed_run_figures& f = room_.figures[r];
      total += f.total;
      for (std::size_t c = 0; c < static_cast<std::size_t>(f.channels); ++c)
        channel[c] += f.channel_current[c];
    }
    add_pulse(hubs_[h].common, share, total);
    for (std::size_t c = 0; c < max_channels; ++c) add_pulse(hubs_[h].channel[c], share, channel[c]);
  }

  constexpr std::size_t add_light(double share, const fed_run& run, std::size_t r, std::size_t at) noexcept {
    const auto channels = static_cast<std::size_t>(runs_[r].channels);
    std::size_t place = 0;
    for (const run_stretch& s : run.stretches)
      for (std::int64_t k = 0; k < s.line.segments; ++k)
        for (std::size_t c = 0; c < channels; ++c, ++place) {
          const double full = light_of(s.line.law[c], tapewright::at(s.line.law[c], n_.source));
          const double now = light_of(s.line.law[c], {room_.profiles[r].load_current[place], siemens{}});
          if (full > 0) light_[at + place] += share * (now / full);
        }
    return at + place;
  }

  constexpr std::size_t close_light(std::size_t r, std::size_t at) noexcept {
    dimmed_run& run = runs_[r];
    const auto channels = static_cast<std::size_t>(run.channels);
    const std::size_t loads = loads_of(r);
    for (std::size_t c = 0; c < channels; ++c) run.dimmest[c] = infinity;
    for (std::size_t k = 0; k < loads; ++k) {
      const double light = light_[at + k];
      run.brightest[k % channels] = larger(run.brightest[k % channels], light);
      run.dimmest[k % channels] = smaller(run.dimmest[k % channels], light);
      if (r < profiles_.size() && k < profiles_[r].light.size()) profiles_[r].light[k] = light;
    }
    run.least_evenness = 1;
    for (std::size_t c = 0; c < channels; ++c) {
      run.evenness[c] = run.brightest[c] > 0 ? run.dimmest[c] / run.brightest[c] : 1.0;
      run.least_evenness = smaller(run.least_evenness, run.evenness[c]);
    }
    return at + loads;
  }

  const feed_network& n_;
  std::span<const pwm_timing> timings_;
  dimming_room room_;
  std::span<dimmed_run> runs_;
  std::span<core_currents> hubs_;
  std::span<const dimmed_profile> profiles_;
  std::span<double> light_;
  dimmed_figures out_;
};

/// Refuses spans that are there and too short for a run.
constexpr fault refuse_profiles(const feed_network& n, std::span<const dimmed_profile> profiles) noexcept {
  if (!profiles.empty() && profiles.size() < n.runs.size())
    return refuse_room(profiles.size(), n.runs.size());
  for (std::size_t r = 0; r < profiles.size() && r < n.runs.size(); ++r) {
    const auto loads =
        static_cast<std::size_t>(segments_of(n.runs[r]) * n.runs[r].stretches[0].line.channels);
    const dimmed_profile& p = profiles[r];
    if (!p.light.empty())
      if (const fault f = refuse_room(p.light.size(), loads)) return at_item(f, r);
    if (!p.feeds.empty())
      if (const fault f = refuse_room(p.feeds.size(), n.runs[r].feeds.size())) return at_item(f, r);
  }
  return {};
}

}  // namespace detail

/// Solves an installation dimmed by PWM, exactly: the period is split where any channel switches, and each
/// piece is an installation of its own with some channels lit.
///
/// @param n         the network; a channel that its `lit` leaves out stays off.
/// @param timings   one a hub. Controllers run freely against each other unless they are made to keep step:
///                  the phases given here say how they stand.
/// @param room      as dimming_room_for(n) says.
/// @param runs      one result a run.
/// @param hubs      empty, or one result a hub: its supply cable as common, its switches as channels.
/// @param profiles  empty, or one a run.
/// @return          Faults: those of solve_network in any piece, out_of_range of duty or pwm_phase (with
///                  the channel), no_room with the room needed as `least`.
/// Formula   With w the share of the period of a piece and i the solved current there: mean = sum w i,
///           r.m.s. = sqrt(sum w i^2), heat = sum w R i^2, light = sum w l(i). Wiring is taken as
///           without inductance: currents follow the switches at once.
/// Source    closed form: Kirchhoff's laws, piece by piece.
/// Accuracy  that of solve_network; edges nearer than 1e-12 of a period count as one.
constexpr outcome<dimmed_figures> solve_dimmed(const feed_network& n, std::span<const pwm_timing> timings,
                                               const dimming_room& room, std::span<dimmed_run> runs,
                                               std::span<core_currents> hubs = {},
                                               std::span<const dimmed_profile> profiles = {}) noexcept {
  if (const fault f = check(n)) return f;
  const dimming_counts need = dimming_room_for(n);
  if (const fault f = first_fault(
          refuse_room(timings.size(), n.hubs.size()), refuse_room(room.workspace.size(), need.doubles),
          refuse_room(room.runs.size(), need.runs), refuse_room(room.figures.size(), need.runs),
          refuse_room(room.profiles.size(), need.runs), refuse_room(room.stretches.size(), need.stretches),
          refuse_room(room.loads.size(), need.loads), refuse_room(room.feeds.size(), need.feeds),
          refuse_room(runs.size(), need.runs),
          hubs.empty() ? fault{} : refuse_room(hubs.size(), n.hubs.size()),
          detail::refuse_profiles(n, profiles)))
    return f;
  for (const pwm_timing& t : timings.first(n.hubs.size()))
    if (const fault f = check(t)) return f;
  detail::dimmed_network whole{n, timings, room, runs, hubs, profiles};
  if (const fault f = detail::each_interval(
          timings.first(n.hubs.size()),
          [&](double share, double moment) noexcept { return whole.add(share, moment); }))
    return f;
  return whole.closed();
}

}  // namespace tapewright
