// SPDX-License-Identifier: BSL-1.0
// Cores of a dimmed feeder against the sum over pairs of overlapping channels.
#include "tapewright/sizing/dimmed_cores.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random.hpp"
#include "support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

constexpr amps two_and_two[] = {2_A, 2_A};
constexpr pwm_timing half{.duty = {0.5, 0.5}, .phase = {}};
constexpr pwm_timing apart{.duty = {0.5, 0.5}, .phase = {0, 0.5}};
static_assert(dimmed_cores(two_and_two, apart)->common.rms == 2_A);
static_assert(dimmed_cores(two_and_two, apart)->common.peak == 2_A);
static_assert(dimmed_cores(two_and_two, half)->common.peak == 4_A);
static_assert(dimmed_cores(two_and_two, half)->common.mean == 2_A);

/// Share of a circle that two arcs have in common: of each arc and of the same one a turn on and back.
double overlap(double from_a, double length_a, double from_b, double length_b) {
  double sum = 0;
  for (const double turn : {-1.0, 0.0, 1.0}) {
    const double low = std::max(from_a, from_b + turn),
                 high = std::min(from_a + length_a, from_b + turn + length_b);
    sum += std::max(0.0, high - low);
  }
  return sum;
}

}  // namespace

TEST_CASE("dimmed cores: channel r.m.s. is I sqrt(D), the common's the sum over overlapping pairs") {
  random_source r{55102};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 2000; ++round) {
    const std::int64_t channels = r.integer(1, 6);
    std::vector<amps> on;
    pwm_timing t;
    const bool aligned = r.one_in(3);
    for (std::int64_t c = 0; c < channels; ++c) {
      on.push_back(amps{r.log_uniform(0.01, 20)});
      t.duty[c] = r.one_in(8) ? static_cast<double>(r.integer(0, 1)) : r.uniform(0, 1);
      t.phase[c] = aligned ? 0.0 : r.uniform(0, 1);
    }
    const auto got = dimmed_cores(on, t);
    REQUIRE(got.ok());
    // edges nearer than 1e-12 count as one, a dozen of them at most; the square root of a small share doubles that
    constexpr double bound = 1e-10;
    double mean = 0, square = 0;
    for (std::size_t c = 0; c < on.size(); ++c) {
      mean += on[c].v * t.duty[c];
      CHECK(close_abs(got->channel[c].mean.v, on[c].v * t.duty[c], bound * on[c].v));
      CHECK(close_abs(got->channel[c].rms.v, on[c].v * std::sqrt(t.duty[c]), bound * on[c].v));
      if (t.duty[c] > 1e-9) CHECK(got->channel[c].peak == on[c]);
      for (std::size_t x = 0; x < on.size(); ++x)
        square += on[c].v * on[x].v * overlap(t.phase[c], t.duty[c], t.phase[x], t.duty[x]);
    }
    CHECK(close_rel(got->common.mean.v, mean, bound));
    CHECK(close_rel(got->common.rms.v, std::sqrt(square), bound));
    CHECK(got->common.rms.v >= got->common.mean.v * (1 - bound));
    CHECK(got->common.peak.v >= got->common.rms.v * (1 - bound));
  }
}

TEST_CASE("dimmed cores: aligned channels never heat the common core less than shifted ones") {
  random_source r{55103};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 2000; ++round) {
    std::vector<amps> on;
    pwm_timing t;
    const auto channels = static_cast<std::int32_t>(r.integer(2, 6));
    for (std::int32_t c = 0; c < channels; ++c) {
      on.push_back(amps{r.uniform(0.1, 5)});
      t.duty[c] = r.uniform(0, 1);
    }
    // two channels overlap at most for the shorter one's duty, which is what aligned ones do
    const auto aligned = dimmed_cores(on, t), shifted = dimmed_cores(on, evenly_shifted(t, channels));
    REQUIRE(aligned.ok());
    REQUIRE(shifted.ok());
    // edges within 1e-12 of a period are taken as one, up to twelve of them, beside duties that may be small
    CHECK(close_rel(aligned->common.mean.v, shifted->common.mean.v, 1e-10));
    CHECK(shifted->common.rms.v <= aligned->common.rms.v * (1 + 1e-10));
  }
}

TEST_CASE("dimmed cores: always on is the plain sum; off is nothing; channels that are not there are 0") {
  const amps on[] = {1_A, 2_A, 3_A};
  pwm_timing t{.duty = {1, 1, 1, 1, 1, 1}, .phase = {}};
  const auto full = dimmed_cores(on, t);
  REQUIRE(full.ok());
  CHECK(full->common.mean == 6_A);
  CHECK(full->common.rms == 6_A);
  CHECK(full->channel[2].rms == 3_A);
  CHECK(full->channel[3].peak == 0_A);
  const auto off = dimmed_cores(on, {});
  REQUIRE(off.ok());
  CHECK(off->common.peak == 0_A);
  CHECK(off->common.rms == 0_A);
}

TEST_CASE("dimmed cores: refusals") {
  check_field_range(field::current, [](double bad) {
    const amps on[] = {1_A, amps{bad}};
    return dimmed_cores(on, half).why();
  });
  check_field_range(field::duty, [](double bad) {
    return dimmed_cores(two_and_two, {.duty = {0.5, bad}, .phase = {}}).why();
  });
  check_field_range(field::pwm_phase, [](double bad) {
    return dimmed_cores(two_and_two, {.duty = {0.5, 0.5}, .phase = {0, bad}}).why();
  });
  const std::vector<amps> seven(7);
  CHECK(dimmed_cores({}, half).why().field == field::channel_count);
  CHECK(dimmed_cores(seven, half).why().field == field::channel_count);
}
