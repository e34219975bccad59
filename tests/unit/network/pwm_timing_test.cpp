// SPDX-License-Identifier: BSL-1.0
// The pieces of a dimming period against a clock that looks at every moment of it.
#include "tapewright/network/pwm_timing.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random.hpp"
#include "support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

struct piece {
  double share, moment;
};
std::vector<piece> pieces_of(const std::vector<pwm_timing>& timings) {
  std::vector<piece> out;
  const fault f = detail::each_interval(timings, [&](double share, double moment) {
    out.push_back({share, moment});
    return fault{};
  });
  CHECK(f == fault{});
  return out;
}

}  // namespace

TEST_CASE(
    "a period in pieces: shares add up to 1, no more than two a dimmed channel, states as a clock sees "
    "them") {
  random_source r{90417};
  MESSAGE("seed " << r.seed());
  constexpr int ticks = 240;
  int most = 0;
  for (int round = 0; round < 400; ++round) {
    std::vector<pwm_timing> timings(static_cast<std::size_t>(r.integer(1, 3)));
    std::vector<std::vector<int>> from(timings.size()), on_for(timings.size());
    int dimmed = 0;
    for (std::size_t h = 0; h < timings.size(); ++h)
      for (std::size_t c = 0; c < max_channels; ++c) {
        from[h].push_back(static_cast<int>(r.integer(0, ticks)));
        on_for[h].push_back(static_cast<int>(r.integer(0, ticks)));
        timings[h].phase[c] = from[h][c] / static_cast<double>(ticks);
        timings[h].duty[c] = on_for[h][c] / static_cast<double>(ticks);
        if (on_for[h][c] > 0 && on_for[h][c] < ticks) ++dimmed;
      }
    const std::vector<piece> pieces = pieces_of(timings);
    CHECK(static_cast<int>(pieces.size()) <= (dimmed > 0 ? 2 * dimmed : 1));
    most = std::max(most, static_cast<int>(pieces.size()));
    double sum = 0;
    // each tick's middle lies in one piece; there the piece must say what the clock says
    std::vector<int> seen(ticks, 0);
    for (const piece& p : pieces) {
      sum += p.share;
      const double from_tick = (p.moment - p.share / 2) * ticks, to_tick = (p.moment + p.share / 2) * ticks;
      for (int k = static_cast<int>(std::lround(from_tick)); k < static_cast<int>(std::lround(to_tick));
           ++k) {
        const int tick = (k % ticks + ticks) % ticks;
        ++seen[static_cast<std::size_t>(tick)];
        for (std::size_t h = 0; h < timings.size(); ++h)
          for (std::size_t c = 0; c < max_channels; ++c) {
            const bool want = (tick - from[h][c] + 2 * ticks) % ticks < on_for[h][c];
            CHECK(detail::is_on(timings[h], c, p.moment) == want);
          }
      }
    }
    CHECK(close_rel(sum, 1, 1e-14));  // some thirty roundings
    for (const int count : seen) CHECK(count == 1);
  }
  CHECK(most > 30);
}

TEST_CASE("a period in pieces: nothing dimmed is one piece; two edges nearer than 1e-12 are one") {
  pwm_timing t;
  CHECK(pieces_of({t}).size() == 1);
  t.duty[0] = 1;
  t.phase[0] = 0.3;
  CHECK(pieces_of({t}).size() == 1);
  t.duty[1] = 0.1 + 0.2;
  t.duty[2] = 0.3;
  CHECK(pieces_of({t}).size() == 2);
  t.duty[2] = 0.3 + 1e-9;
  CHECK(pieces_of({t}).size() == 3);
  t.duty[2] = 1e-14;
  CHECK(pieces_of({t}).size() == 2);
}

TEST_CASE("evenly shifted: the starts of C channels stand a Cth of the period apart") {
  pwm_timing t;
  t.phase[5] = 0.7;
  const pwm_timing s = evenly_shifted(t, 4);
  CHECK(s.phase[0] == 0);
  CHECK(s.phase[1] == 0.25);
  CHECK(s.phase[3] == 0.75);
  CHECK(s.phase[5] == 0.7);  // beyond the four: left alone
}

TEST_CASE("timing: refused outside its ranges, with the channel") {
  for (std::size_t c = 0; c < max_channels; ++c) {
    check_field_range(field::duty, [&](double bad) {
      pwm_timing t;
      t.duty[c] = bad;
      return check(t);
    });
    check_field_range(field::pwm_phase, [&](double bad) {
      pwm_timing t;
      t.phase[c] = bad;
      return check(t);
    });
    pwm_timing t;
    t.phase[c] = 2;
    CHECK(check(t).item == static_cast<std::int32_t>(c));
  }
}
