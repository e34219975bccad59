// SPDX-License-Identifier: BSL-1.0
// The load a run is sized by: its tape at nominal voltage, and more where the load law asks for more.
#pragma once

#include "tapewright/plan/plan.hpp"

namespace tapewright {

/// Load of a length of tape as everything upstream of it is sized.
///
/// A constant-power channel draws MORE current as its voltage falls; at the lowest voltage the rules
/// allow at a lamp it is I / (1 - drop_to_lamp). The other laws draw most at nominal voltage.
/// Source  closed form: P = U I.
constexpr outcome<tape_load> sized_load(const tape& t, metres length, double drop_to_lamp,
                                        bool limit_enforced) noexcept {
  auto load = load_of(t, length, limit_enforced);
  if (!load.ok()) return load;
  tape_load sized = *load;
  amps added;
  for (std::size_t c = 0; c < t.channels.size(); ++c) {
    if (t.channels[c].law != load_kind::constant_power) continue;
    const amps nominal = sized.channel_current[c];
    sized.channel_current[c] = nominal / (1 - drop_to_lamp);
    added += sized.channel_current[c] - nominal;
  }
  sized.total_sized += added;
  return sized;
}

/// The same of a run of a plan.
constexpr outcome<tape_load> run_load(const draft& d, const run_plan& r, bool limit_enforced) noexcept {
  return sized_load(d.tape_of(r), r.cut.length, d.question.rules.drop_to_lamp, limit_enforced);
}

}  // namespace tapewright
