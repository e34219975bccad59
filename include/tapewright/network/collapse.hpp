// SPDX-License-Identifier: BSL-1.0
// How far an installation of constant-power loads is from its collapse.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/feed_network.hpp"

namespace tapewright {

/// The factor on the power of all constant-power loads at which a network stops to operate: more than 1 is a margin,
/// 1.25 says that a quarter more power would be one too much.
///
/// @param n          the network; as for solve_network.
/// @param workspace  network_workspace(n) doubles.
/// @return           Greatest factor with an operating point at which every constant-power load is above its
///                   under-voltage limit (but for those whose limit is above the source: they stay dark);
///                   infinity without such loads, or where a millionfold is not too much; 0 where a millionth
///                   still is. Faults: those of check(n); no_room with the room needed as `least`.
/// Formula   The powers are doubled or halved until the answer turns, at most 20 times, and the interval is halved
///           34 times; each trial is a Newton iteration from the source voltage, which finds the upper solution
///           whenever there is one (line_sweep.hpp, run_cut.hpp).
/// Source    closed form for one load behind R: V^2 / (4 R P); the fold of a power-flow solution otherwise.
/// Accuracy  1e-9, relative.
/// Example   36 W at 24 V behind 1 ohm -> 4 (144 W is the most that 1 ohm lets through).
template <class = void>
constexpr outcome<double> collapse_factor(const feed_network& n, std::span<double> workspace) noexcept {
  if (const fault f = check(n)) return f;
  if (const fault f = refuse_room(workspace.size(), network_workspace(n))) return f;
  if (!detail::any_power_loads(n)) return infinity;
  const auto operates = [&](double factor) noexcept {
    detail::network_newton<> network{n, workspace.data(), factor};
    double residual = infinity;
    int sweeps = 0;
    return network.settle(residual, sweeps) == detail::settling::settled;
  };
  constexpr double most = 0x1p20, least = 0x1p-20;
  double low = 1, high = 1;
  if (operates(1)) {
    high = 2;
    while (operates(high)) {
      if (high >= most) return infinity;
      low = high;
      high *= 2;
    }
  } else {
    low = 0.5;
    while (!operates(low)) {
      if (low <= least) return 0.0;
      high = low;
      low *= 0.5;
    }
  }
  for (int halving = 0; halving < 34; ++halving) {
    const double middle = 0.5 * (low + high);
    (operates(middle) ? low : high) = middle;
  }
  return low;
}

}  // namespace tapewright
