// SPDX-License-Identifier: BSL-1.0
// The frugal solver against solve_line, bit for bit.
#include "tapewright/network/frugal_line.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <cstdint>

#include "support/random_tape.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

bool same(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }
bool same(const line_figures& a, const line_figures& b) {
  bool all = a.channels == b.channels && a.steps == b.steps && same(a.total.v, b.total.v) &&
             same(a.least_evenness, b.least_evenness) && same(a.lightness_step, b.lightness_step) &&
             same(a.colour_shift, b.colour_shift) && same(a.lamps.v, b.lamps.v) &&
             same(a.trace_loss.v, b.trace_loss.v) && same(a.feeder_loss.v, b.feeder_loss.v) &&
             same(a.residual.v, b.residual.v);
  for (std::int32_t c = 0; c < a.channels; ++c)
    all = all && same(a.at_feed[c].v, b.at_feed[c].v) && same(a.first_load[c].v, b.first_load[c].v) &&
          same(a.last_load[c].v, b.last_load[c].v) && same(a.channel_current[c].v, b.channel_current[c].v) &&
          same(a.evenness[c], b.evenness[c]);
  return all;
}

int solved = 0;

template <int C, bool Power>
void compare(random_source& random, law_mix mix) {
  for (int run = 0; run < 300; ++run) {
    const tape t = random_tape(random, C, mix);
    const auto segments = random.integer(1, 400);
    const auto line = line_of(t, segments, celsius{40});
    REQUIRE(line.ok());
    const line_feed feed = random_feed(random, t);
    const auto wanted = solve_line(*line, feed);
    line_figures ours;
    const fault f = solve_line_frugally<C, Power>(*line, feed, ours);
    REQUIRE(f.code == wanted.why().code);
    if (!wanted) continue;
    REQUIRE(same(ours, *wanted));
    ++solved;
  }
}

}  // namespace

TEST_CASE("solve_line_frugally: the bits of solve_line") {
  random_source random{20260211};
  MESSAGE("seed " << random.seed());
  compare<1, false>(random, law_mix::monotone);
  compare<2, false>(random, law_mix::monotone);
  compare<3, false>(random, law_mix::monotone);
  compare<5, false>(random, law_mix::monotone);
  compare<6, false>(random, law_mix::resistor_limited);
  compare<1, true>(random, law_mix::constant_power);
  compare<4, true>(random, law_mix::constant_power);
  CHECK(solved > 1'000);
}

TEST_CASE("solve_line_frugally: what it is not made for, it refuses") {
  random_source random{20260212};
  const tape t = random_tape(random, 3, law_mix::monotone);
  auto line = *line_of(t, 10, celsius{40});
  const line_feed feed = random_feed(random, t);
  line_figures figures;
  CHECK(solve_line_frugally<2>(line, feed, figures) ==
        fault{fault_code::contradiction, field::channel_count, 3, 2, 2, -1});
  CHECK((solve_line_frugally<3, true>(line, feed, figures).field == field::load_law));
  line.lit = 0b101;
  CHECK_FALSE(solve_line_frugally<2>(line, feed, figures));
  CHECK(figures.channel_current[1] == amps{0});
  line.segments = 0;
  CHECK(solve_line_frugally<2>(line, feed, figures).code == fault_code::out_of_range);
  CHECK(figures.channels == 0);
}
