// SPDX-License-Identifier: BSL-1.0
// Copper at the temperature that its own current gives it: a cable's core, and the traces of every tape.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/rules/copper.hpp"

namespace tapewright {

/// A current that is known to bring a conductor to a temperature: an ampacity and what it was stated for.
struct conductor_rating {
  amps current;     ///< > 0
  celsius ambient;  ///< around it then
  celsius limit;    ///< of the conductor then; above that ambient
};

/// Temperature of a conductor that carries a steady current.
///
/// @param current  A; 0..1e4.
/// @param rated    as above.
/// @param ambient  degC around it now; -40..120.
/// @return         degC. Faults: out_of_range of current, ampacity (0.001..1e4), ambient or
///                 conductor_limit; contradiction where the limit is not above the rated ambient;
///                 out_of_range of temperature where it comes to more than 200 degC (`given`), which is
///                 infinity where resistance rises faster than heat is carried off.
/// Formula  T - Ta = (Tc - T0) (I / I0)^2 r(T) / r(Tc): the same thermal resistance, heat as I^2 r(T). With
///          r(T) = r20 (1 + a (T - 20)) this is linear in T: T = (Ta + K (1 - 20 a)) / (1 - K a),
///          K = (Tc - T0) (I / I0)^2 / (1 + a (Tc - 20)).
/// Source   closed form; a from IEC 60028. IEC 60287-1-1 keeps the thermal resistance likewise.
/// Example  its rated current at its rated ambient brings a conductor to its limit.
constexpr outcome<celsius> warm_conductor(amps current, const conductor_rating& rated,
                                          celsius ambient) noexcept {
  if (const fault f =
          first_fault(refuse(field::current, current),
                      refuse_outside(field::ampacity, rated.current.v, 0.001, range_of(field::ampacity).most),
                      refuse(field::ambient, rated.ambient), refuse(field::conductor_limit, rated.limit),
                      refuse(field::ambient, ambient)))
    return f;
  if (!(rated.limit > rated.ambient))
    return contradiction(field::conductor_limit, rated.limit.v, rated.ambient.v,
                         range_of(field::conductor_limit).most);
  const double load = current / rated.current;
  const double k = (rated.limit - rated.ambient).v * load * load / detail::resistance_ratio(rated.limit);
  const double left = 1 - k * alpha_20;
  const celsius t{left > 0 ? (ambient.v + k * (1 - 20 * alpha_20)) / left : infinity};
  if (const fault f = refuse(field::temperature, t)) return f;
  return t;
}

/// What surrounds a run's tape.
struct tape_surroundings {
  celsius ambient;                 ///< -40..120
  celsius built_at;                ///< temperature for which the run's lines state their traces (see line_of)
  kelvin_metres_per_watt warming;  ///< K above ambient for each W/m of heat; 0..100, 0 = stays at ambient
  double lamp_share = 0;           ///< 0..1 of the lamps' power that warms the tape too
};

constexpr fault check(const tape_surroundings& s) noexcept {
  return first_fault(refuse(field::ambient, s.ambient), refuse(field::temperature, s.built_at),
                     refuse(field::warming_per_load, s.warming), refuse(field::share, s.lamp_share));
}

/// A network in its own warmth.
struct warm_figures {
  network_figures network;
  kelvins residual = unset;  ///< greatest difference between a temperature told and the one its heat gives
  std::int32_t rounds = 0;
};

/// Room that solve_warm works in: network_workspace(n) doubles, and a copy of all runs and stretches.
struct warm_room {
  std::span<double> workspace;
  std::span<fed_run> runs;
  std::span<run_stretch> stretches;
};

namespace detail {

inline constexpr int most_warming_rounds = 100;
inline constexpr double settled_k = 1e-10;

constexpr metres length_of(const fed_run& r) noexcept {
  metres sum;
  for (const run_stretch& s : r.stretches) sum += static_cast<double>(s.line.segments) * s.line.pitch;
  return sum;
}

/// The network with its traces at other temperatures, in the caller's room.
constexpr feed_network at_temperatures(const feed_network& n, std::span<const tape_surroundings> around,
                                       std::span<const celsius> trace, const warm_room& room) noexcept {
  std::size_t at = 0;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const fed_run& run = n.runs[r];
    const double grown = resistance_ratio(trace[r]) / resistance_ratio(around[r].built_at);
    const std::span<run_stretch> own = room.stretches.subspan(at, run.stretches.size());
    for (std::size_t s = 0; s < own.size(); ++s) {
      own[s] = run.stretches[s];
      own[s].line.common *= grown;
      for (ohms& each : own[s].line.channel) each *= grown;
    }
    room.runs[r] = run;
    room.runs[r].stretches = own;
    at += own.size();
  }
  return {n.source, n.lead, n.hubs, room.runs.first(n.runs.size())};
}

}  // namespace detail

/// Solves an installation with each run's tape at the temperature that its own heat gives it.
///
/// @param n         the network; lines as line_of made them for around[run].built_at. Cables and joints keep
///                  the resistance given (warm_conductor tells a cable's temperature).
/// @param around    one a run.
/// @param room      network_workspace(n) doubles, n.runs.size() runs, all stretches of all runs.
/// @param trace     room for one temperature a run: those for which the figures are.
/// @param figures   room for one result a run.
/// @param profiles  empty, or one a run.
/// @return          Faults: those of solve_network; out_of_range of ambient, temperature,
///                  warming_per_load or share, with the run; no_room with the room needed as `least`;
///                  out_of_range of temperature with the run where a tape comes to more than 200 degC
///                  (`given` is what its heat at 200 degC asks for); no_operating_point where
///                  constant-power loads run away with the warming copper; not_converged with the
///                  difference left, in kelvin, as `given`.
/// Formula   T = Ta + w (copper loss + share x lamps) / length, uniform along a run; joints count as tape.
///           Fixed point from the ambients upwards, no run above 200 degC, at most 100 rounds.
/// Convergence  Let one run's traces be s times as resistive, j their currents, A what else is in the
///           circuit (loads that take less where the voltage is less, so that A is positive
///           semidefinite): dP/ds = j'Rj - 2 s j'R (sR + A)^-1 Rj lies between -P/s and P/s. The map's slope
///           is then at most (T - Ta) a / (1 + a (T - 20)), which is below 0.56 up to 200 degC from
///           any ambient allowed: a contraction. What runs have in common, and the lamps' share, add little
///           to it. Constant-power loads can run away; then the temperatures rise from round to round
///           and end in one of the faults above. A fixed point that is not reached is never told.
/// Source    closed form: Kirchhoff's laws; copper from IEC 60028; a thermal resistance a metre is common
///           practice, no source.
/// Accuracy  temperatures agree with their heat to 1e-10 K; the network as solve_network.
constexpr outcome<warm_figures> solve_warm(const feed_network& n, std::span<const tape_surroundings> around,
                                           const warm_room& room, std::span<celsius> trace,
                                           std::span<fed_run_figures> figures,
                                           std::span<const fed_run_profile> profiles = {}) noexcept {
  if (const fault f = check(n)) return f;
  std::size_t stretches = 0;
  for (const fed_run& r : n.runs) stretches += r.stretches.size();
  const std::size_t runs = n.runs.size();
  if (const fault f =
          first_fault(refuse_room(around.size(), runs), refuse_room(room.runs.size(), runs),
                      refuse_room(room.stretches.size(), stretches), refuse_room(trace.size(), runs)))
    return f;
  for (std::size_t r = 0; r < runs; ++r) {
    if (const fault f = check(around[r])) return at_item(f, r);
    trace[r] = around[r].ambient;
  }
  constexpr celsius hottest{range_of(field::temperature).most};
  warm_figures out;
  for (out.rounds = 1; out.rounds <= detail::most_warming_rounds; ++out.rounds) {
    const feed_network now = detail::at_temperatures(n, around, trace, room);
    const auto solved = solve_network(now, room.workspace, figures, profiles);
    if (!solved.ok()) return solved.why();
    out.network = *solved;
    out.residual = kelvins{};
    fault too_hot;
    const auto next_of = [&](std::size_t r) noexcept {
      const watts heat = figures[r].trace_loss + around[r].lamp_share * figures[r].lamps;
      return around[r].ambient + around[r].warming * (heat / detail::length_of(n.runs[r]));
    };
    for (std::size_t r = 0; r < runs; ++r) {
      const celsius next = next_of(r);
      const celsius held = next < hottest ? next : hottest;
      out.residual = kelvins{larger(out.residual.v, absolute((held - trace[r]).v))};
      if (next > hottest && trace[r] == hottest && !too_hot)
        too_hot = at_item(refuse(field::temperature, next), r);
    }
    if (out.residual.v <= detail::settled_k) {
      if (too_hot) return too_hot;
      return out;
    }
    for (std::size_t r = 0; r < runs; ++r) {
      const celsius next = next_of(r);
      trace[r] = next < hottest ? next : hottest;
    }
  }
  return fault{fault_code::not_converged, field::temperature, out.residual.v, 0, detail::settled_k, -1};
}

static_assert(*warm_conductor(amps{0}, {amps{10}, celsius{30}, celsius{70}}, celsius{25}) == celsius{25});

}  // namespace tapewright
