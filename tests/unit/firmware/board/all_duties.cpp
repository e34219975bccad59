// SPDX-License-Identifier: BSL-1.0
// Two channels, every pair of duties: 2^32 frames under one set of limits, in integers alone. Ends with 1 where a frame
// is above a limit, more than 0.1 % and a step below what was allowed, or not monotone in either duty.
#include <cstdint>
#include <cstdio>
#include <vector>

#include "tapewright/firmware/channel_guard.hpp"

using namespace tapewright;

int main() {
  guard_settings s;
  s.channels = 2;
  s.full_ua[0] = 1'900'000;
  s.full_ua[1] = 1'234'567;
  s.channel_limit_ua[0] = 1'800'000;
  s.channel_limit_ua[1] = 2'000'000;
  s.total_limit_ua = s.sustained_limit_ua = 1'300'001;
  guard_limits l;
  if (configure(s, l)) return 2;
  const std::uint64_t limit = std::uint64_t{s.total_limit_ua} * 65535;
  std::vector<std::uint16_t> last_second(65536,
                                         0);  // what the second channel got with the first one step lower
  std::uint64_t above = 0, below = 0, falls = 0, frames = 0, scaled = 0;
  for (std::uint32_t first = 0; first <= 65535; ++first) {
    std::uint16_t last = 0;
    for (std::uint32_t second = 0; second <= 65535; ++second, ++frames) {
      const std::uint16_t in[2] = {static_cast<std::uint16_t>(first), static_cast<std::uint16_t>(second)};
      std::uint16_t out[2];
      scaled += guard(l, in, out).scaled() ? 1 : 0;
      const std::uint32_t own = in[0] < l.most_duty[0] ? in[0] : l.most_duty[0];
      const std::uint64_t asked = std::uint64_t{s.full_ua[0]} * own + std::uint64_t{s.full_ua[1]} * in[1];
      const std::uint64_t given = std::uint64_t{s.full_ua[0]} * out[0] + std::uint64_t{s.full_ua[1]} * out[1];
      const std::uint64_t allowed = asked < limit ? asked : limit;
      above += given > limit || out[0] > own || out[1] > in[1] ? 1 : 0;
      below += given + allowed / 1000 + s.full_ua[0] + s.full_ua[1] < allowed ? 1 : 0;
      falls += out[1] < last ? 1 : 0;
      last = out[1];
      // along the first channel: the second may only get less, and the first never less than before
      if (first != 0 && second % 4096 == 0) falls += out[1] > last_second[second] ? 1 : 0;
      last_second[second] = out[1];
    }
  }
  std::printf("%llu frames, %llu of them scaled: %llu above, %llu below, %llu not monotone\n",
              static_cast<unsigned long long>(frames), static_cast<unsigned long long>(scaled),
              static_cast<unsigned long long>(above), static_cast<unsigned long long>(below),
              static_cast<unsigned long long>(falls));
  return frames == std::uint64_t{1} << 32 && above + below + falls == 0 ? 0 : 1;
}
