// SPDX-License-Identifier: BSL-1.0
// Random tapes and feeders for network tests: everything the catalogue ranges allow that a shop could meet.
#pragma once

#include <cstddef>
#include <cstdint>

#include "support/dense_network.hpp"
#include "support/random.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright::test {

enum class law_mix { resistor_limited, regulated, constant_power, monotone, any };

inline load_kind random_kind(random_source& r, law_mix mix) {
  switch (mix) {
    case law_mix::resistor_limited: return load_kind::resistor_limited;
    case law_mix::regulated: return load_kind::regulated;
    case law_mix::constant_power: return load_kind::constant_power;
    case law_mix::monotone: return static_cast<load_kind>(r.integer(0, 1));
    case law_mix::any: break;
  }
  return static_cast<load_kind>(r.integer(0, 2));
}

/// 5..48 V, 0.5..20 W/m a channel, pitches of 10..200 mm, traces of 2..200 mohm/m, some of no resistance.
inline tape random_tape(random_source& r, std::int64_t channels, law_mix mix) {
  constexpr double nominals[] = {5, 12, 24, 48};
  tape t;
  t.code = "X-1";
  t.nominal = volts{r.pick(nominals)};
  t.highest = t.nominal * 1.1;
  for (std::int64_t c = 0; c < channels; ++c) {
    const double knee_share = r.uniform(0.3, 0.92);
    const double trace = r.one_in(20) ? 0.0 : r.log_uniform(0.002, 0.2);
    t.channels.push({"X", watts_per_metre{r.log_uniform(0.5, 20)}, random_kind(r, mix),
                     t.nominal * knee_share, ohms_per_metre{trace}});
  }
  t.common_trace = ohms_per_metre{r.one_in(20) ? 0.0 : r.log_uniform(0.002, 0.1)};
  t.cut_pitch = metres{r.log_uniform(0.01, 0.2)};
  t.longest_piece = metres{10};
  t.sale_quantum = metres{1};
  t.lowest_ambient = celsius{-20};
  t.highest_ambient = celsius{60};
  return t;
}

inline line_feed random_feed(random_source& r, const tape& t) {
  line_feed f;
  f.source = t.nominal * r.uniform(0.93, 1.05);
  f.common = ohms{r.one_in(5) ? 0.0 : r.log_uniform(0.005, 0.5)};
  for (std::size_t c = 0; c < t.channels.size(); ++c)
    f.channel[c] = ohms{r.one_in(5) ? 0.0 : r.log_uniform(0.005, 0.5)};
  return f;
}

/// The law of a tape channel over one segment, for the oracle: from the catalogue figures alone.
inline nodal_load oracle_law(const tape& t, std::size_t c) {
  const tape_channel& channel = t.channels[c];
  nodal_load l;
  l.kind = channel.law == load_kind::resistor_limited ? nodal_load::law::resistor_limited
           : channel.law == load_kind::regulated      ? nodal_load::law::regulated
                                                      : nodal_load::law::constant_power;
  l.nominal_w = wide(channel.load.v) * wide(t.cut_pitch.v);
  l.nominal_v = wide(t.nominal.v);
  l.knee_v = wide(channel.knee.v);
  return l;
}

/// One pitch of trace at a temperature; copper by IEC 60028, alpha = 0.00393 /K at 20 degC.
inline long double oracle_pitch(const tape& t, ohms_per_metre at_20, celsius trace) {
  return wide(at_20.v) * (1 + 0.00393L * (wide(trace.v) - 20)) * wide(t.cut_pitch.v);
}

}  // namespace tapewright::test
