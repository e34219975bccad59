// SPDX-License-Identifier: BSL-1.0
// What a guard must do, in exact rational arithmetic over the stated microamperes; knows nothing of weights.
#pragma once

#include <cstdint>

#include "tapewright/firmware/channel_guard.hpp"
#include "tests/support/random.hpp"

namespace tapewright::test {

__extension__ using u128 = unsigned __int128;  // products of a current, two duties and 1000 pass 64 bits

/// One frame judged. Currents are in microamperes times 65535, so that a duty times a full current is exact:
/// at most 2e9 * 65535 = 1.3e14.
struct judged_frame {
  bool never_above = true;    ///< no channel above its own limit, the sum not above the total limit
  bool within_a_part = true;  ///< no channel more than 0.1 % and one step below what would have been allowed
  bool untouched = true;      ///< where nothing bites, as it came
  bool told = true;           ///< the answer says what was done
};

inline judged_frame judge(const guard_settings& s, const std::uint16_t* in, const std::uint16_t* out,
                          held_back taken) noexcept {
  judged_frame j;
  std::uint64_t asked = 0, given = 0;
  std::uint32_t own[most_guard_channels] = {};
  bool clips = false;
  for (std::uint32_t c = 0; c < s.channels; ++c) {
    // largest duty with full * duty / 65535 <= limit
    const std::uint64_t most = s.full_ua[c] == 0 ? full_duty
                               : s.channel_limit_ua[c] >= s.full_ua[c]
                                   ? full_duty
                                   : std::uint64_t{s.channel_limit_ua[c]} * 65535 / s.full_ua[c];
    own[c] = static_cast<std::uint32_t>(in[c] < most ? in[c] : most);
    clips = clips || own[c] != in[c];
    if (out[c] > own[c]) j.never_above = false;
    asked += std::uint64_t{s.full_ua[c]} * own[c];
    given += std::uint64_t{s.full_ua[c]} * out[c];
  }
  const std::uint64_t limit = std::uint64_t{s.total_limit_ua} * 65535;
  if (given > limit) j.never_above = false;
  bool same = true;
  for (std::uint32_t c = 0; c < s.channels; ++c) {
    same = same && out[c] == own[c];
    if (asked <= limit) {
      // allowed as it is; a guard of whole weights may take up to 0.1 %
      if ((u128{out[c]} + 1) * 1000 <= u128{own[c]} * 999 && out[c] != own[c]) j.within_a_part = false;
    } else {
      // allowed: own * limit / asked; out must lie in (0.999 of it - 1, it]
      if (u128{out[c]} * asked > u128{own[c]} * limit) j.never_above = false;
      if ((u128{out[c]} + 1) * asked * 1000 <= u128{own[c]} * limit * 999 && own[c] != 0)
        j.within_a_part = false;
    }
  }
  // clearly within: 0.1 % below the limit the frame must not be touched
  if (u128{asked} * 1000 <= u128{limit} * 999 && !same) j.untouched = false;
  if (taken.clipped() != clips || taken.misused()) j.told = false;
  if (taken.scaled() == false && !same) j.told = false;
  if (taken.scaled() && u128{asked} * 1000 <= u128{limit} * 999) j.told = false;
  return j;
}

/// Settings that `configure` accepts, of every kind: a few channels or all, even or far apart, low and high limits.
inline guard_settings random_settings(random_source& random) noexcept {
  guard_limits limits;
  for (;;) {
    guard_settings s;
    s.channels = static_cast<std::uint32_t>(random.integer(1, 8));
    const bool even = random.one_in(4);
    const auto base = static_cast<std::uint32_t>(random.log_uniform(1e3, 2e8));
    std::uint64_t full = 0;
    for (std::uint32_t c = 0; c < s.channels; ++c) {
      const double share = even ? 1.0 : random.log_uniform(0.01, 1.0);
      s.full_ua[c] = static_cast<std::uint32_t>(base * share);
      if (random.one_in(20)) s.full_ua[c] = 0;
      full += s.full_ua[c];
      const double own = random.one_in(2) ? random.uniform(0, 1.5) : 2.0;
      s.channel_limit_ua[c] = static_cast<std::uint32_t>(s.full_ua[c] * own);
    }
    s.total_limit_ua = static_cast<std::uint32_t>(static_cast<double>(full) * random.uniform(0, 1.2));
    s.sustained_limit_ua = static_cast<std::uint32_t>(s.total_limit_ua * random.uniform(0.2, 1.1));
    s.average_shift = static_cast<std::uint32_t>(random.integer(1, 16));
    s.softness = static_cast<std::uint32_t>(random.integer(0, s.average_shift - 1));
    if (!configure(s, limits)) return s;
  }
}

/// A duty of any kind: the corners often, otherwise even over the range.
inline std::uint16_t random_duty(random_source& random) noexcept {
  const std::uint64_t bits = random.bits();
  const auto duty = static_cast<std::uint16_t>(bits >> 16);
  switch (bits & 15) {
    case 0: return 0;
    case 1: return 65535;
    case 2: return 1;
    case 3: return static_cast<std::uint16_t>(duty & 255);
    default: return duty;
  }
}

}  // namespace tapewright::test
