// SPDX-License-Identifier: BSL-1.0
// The derivations of dimmed feeders and warm conductors, recalculated from what they print.
#include "tapewright/plan/explain_conditions.hpp"

#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <vector>

#include "tests/support/pocket_calculator.hpp"
#include "tests/support/random.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

template <class Explain>
std::string text_of_call(const Explain& explain) {
  std::vector<char> room(20'000);
  text_sink out{room};
  REQUIRE(explain(out) == fault{});
  REQUIRE(out.wanted() <= room.size());
  return {room.data(), out.wanted()};
}

}  // namespace

TEST_CASE("dimmed feeders: every figure recalculated, with a source under each") {
  random_source r{40551};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 100; ++round) {
    CAPTURE(round);
    std::vector<amps> on(static_cast<std::size_t>(r.integer(1, 6)));
    pwm_timing t;
    for (std::size_t c = 0; c < on.size(); ++c) {
      on[c] = amps{r.uniform(0.1, 5)};
      t.duty[c] = r.one_in(5) ? 0.0 : r.uniform(0, 1);
      t.phase[c] = r.one_in(2) ? 0.0 : r.uniform(0, 1);
    }
    const std::string text = text_of_call([&](text_sink& out) { return explain_dimmed_cores(on, t, out); });
    CAPTURE(text);
    const recalculation seen = recalculated(text);
    CHECK(seen.expressions == static_cast<int>(2 * on.size() + 2));
    CHECK(seen.sources == seen.expressions);
  }
}

TEST_CASE("dimmed feeders: two channels, written out") {
  const amps on[] = {2_A, 1.5_A};
  const std::string text = text_of_call([&](text_sink& out) {
    return explain_dimmed_cores(on, {.duty = {0.5, 0.25}, .phase = {0, 0.5}}, out);
  });
  CAPTURE(text);
  CHECK(text.find("    = 2 A * 0.5 + 1.5 A * 0.25\n    = 1.375 A\n") != std::string::npos);
  CHECK(text.find("    = 1.5 A * sqrt(0.25)\n    = 0.75 A\n") != std::string::npos);
  // half the time the first, then a quarter the second: sqrt(0.5 x 4 + 0.25 x 2.25)
  CHECK(text.find("\n    = 1.6008 A\n") != std::string::npos);
}

TEST_CASE("warm conductors: both figures recalculated") {
  random_source r{40552};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 100; ++round) {
    const conductor_rating rated{amps{r.uniform(5, 60)}, celsius{r.uniform(20, 40)},
                                 celsius{r.uniform(60, 90)}};
    const amps current = rated.current * r.uniform(0.1, 1.1);
    const celsius ambient{r.uniform(5, 50)};
    const std::string text =
        text_of_call([&](text_sink& out) { return explain_warm_conductor(current, rated, ambient, out); });
    CAPTURE(text);
    const recalculation seen = recalculated(text);
    CHECK(seen.expressions == 2);
    CHECK(seen.sources == 2);
  }
}

TEST_CASE("derivations of conditions: refused as the figures are, with nothing written") {
  std::vector<char> room(100);
  text_sink out{room};
  const amps on[] = {2_A};
  CHECK(explain_dimmed_cores(on, {.duty = {1.5}, .phase = {}}, out).field == field::duty);
  CHECK(explain_dimmed_cores({}, {}, out).field == field::channel_count);
  CHECK(explain_warm_conductor(100_A, {10_A, 30_degC, 70_degC}, 30_degC, out).field == field::temperature);
  CHECK(out.wanted() == 0);
}
