// SPDX-License-Identifier: BSL-1.0
// The closed form against the march, and against formulas of the trade.
#include "tapewright/network/closed_line.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_tape.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

TEST_CASE("closed_line: is solve_line, on random tapes") {
  random_source r{161};
  MESSAGE("seed " << r.seed());
  int closed = 0, marched = 0;
  for (int round = 0; round < 12000; ++round) {
    CAPTURE(round);
    const std::int64_t channels = r.one_in(4) ? 3 : 1;
    const tape t = random_tape(r, channels, law_mix::any);
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 2000));
    const line_feed feed = random_feed(r, t);
    const tape_line line = *line_of(t, n, celsius{30}, static_cast<std::uint32_t>(r.integer(1, 7)));
    std::vector<double> room(line_workspace(n, static_cast<std::int32_t>(channels)));
    const auto want = solve_line(line, feed, {}, room), got = closed_line(line, feed, room);
    REQUIRE(got.ok() == want.ok());
    if (!want.ok()) {
      REQUIRE(got.why() == want.why());
      continue;
    }
    if (got->steps > 0 || want->steps == 0) {  // the same function did both
      REQUIRE(got->lamps == want->lamps);
      ++marched;
      continue;
    }
    ++closed;
    // the march stops at 5e-13 of the source, and what it is off by there is less everywhere else
    const double volt = 1e-12 * feed.source.v, watt = volt * want->total.v;
    for (std::size_t c = 0; c < t.channels.size(); ++c) {
      REQUIRE(close_abs(got->at_feed[c].v, want->at_feed[c].v, volt));
      REQUIRE(close_abs(got->first_load[c].v, want->first_load[c].v, volt));
      REQUIRE(close_abs(got->last_load[c].v, want->last_load[c].v, volt));
    }
    const double per_volt =
        static_cast<double>(n) * (line.law[detail::lit_of(line).of[0]].slope.v);  // of all loads together
    REQUIRE(close_abs(got->total.v, want->total.v, 1e-14 * want->total.v + volt * per_volt));
    const double more = volt * per_volt * feed.source.v + watt;
    REQUIRE(close_abs(got->lamps.v, want->lamps.v, 3 * more));
    REQUIRE(close_abs(got->trace_loss.v, want->trace_loss.v, 3 * more));
    REQUIRE(close_abs(got->feeder_loss.v, want->feeder_loss.v, 3 * more));
    // all power goes somewhere: the three sums are formulas of their own
    REQUIRE(
        close_rel((got->lamps + got->trace_loss + got->feeder_loss).v, (feed.source * got->total).v, 1e-12));
  }
  MESSAGE(closed << " closed, " << marched << " marched");
  CHECK(closed >= 4000);
  CHECK(marched >= 2000);
}

TEST_CASE("closed_line: constant currents, r i L^2 / 2 and r i^2 L^3 / 3") {
  // the last lamps' drop is that of a uniform line exactly; the loss is r i^2 (N^3/3 + N/6) for lumped loads
  tape_line line;
  line.common = 0.004_ohm;
  line.channel[0] = 0.006_ohm;
  line.law[0] = {load_kind::regulated, 0_V, siemens{100}, 0.02_A, {}, {}};
  for (const std::int64_t n : {1, 2, 10, 100, 500}) {
    line.segments = n;
    const auto got = closed_line(line, {48_V, 0.1_ohm, {0.2_ohm}});
    REQUIRE(got.ok());
    const auto length = static_cast<double>(n);
    const double current = 0.02 * length;
    CHECK(got->steps == 0);
    CHECK(close_rel(48 - got->last_load[0].v, 0.3 * current + 0.01 * 0.02 * length * length / 2, 1e-12));
    CHECK(close_rel(got->trace_loss.v, 0.01 * 0.02 * 0.02 * (length * length * length / 3 + length / 6),
                    1e-14));
    CHECK(close_rel(got->feeder_loss.v, 0.3 * current * current, 1e-14));
  }
}

TEST_CASE("closed_line: refuses what solve_line refuses, in a constant too") {
  tape_line line;
  line.law[0] = *fitted_law(load_kind::resistor_limited, 10_W, 24_V, 16_V);
  line.segments = 0;
  CHECK(closed_line(line, {24_V, {}, {}}).why().field == field::segment_count);
  line.segments = 1;
  CHECK(closed_line(line, {0_V, {}, {}}).why().field == field::voltage);
  line.lit = 0;
  CHECK(closed_line(line, {24_V, {}, {}})->total == 0_A);
  static constexpr double last = [] {
    tape_line l;
    l.segments = 200;
    l.common = l.channel[0] = ohms{0.002};
    l.law[0] = *fitted_law(load_kind::resistor_limited, watts{0.25}, volts{24}, volts{16});
    return closed_line(l, {volts{24}, ohms{0.02}, {ohms{0.05}}})->last_load[0].v;
  }();
  volatile double source = 24;  // not known to the compiler
  tape_line l;
  l.segments = 200;
  l.common = l.channel[0] = ohms{0.002};
  l.law[0] = *fitted_law(load_kind::resistor_limited, watts{0.25}, volts{24}, volts{16});
  CHECK(closed_line(l, {volts{source}, ohms{0.02}, {ohms{0.05}}})->last_load[0].v == last);
}
