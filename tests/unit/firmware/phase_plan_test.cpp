// SPDX-License-Identifier: BSL-1.0
// Phase plans: figures against a count tick by tick, and against every arrangement there is on a coarse clock.
#include "tapewright/firmware/phase_plan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <vector>

#include "tests/support/random.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

phase_question random_question(random_source& random, std::uint32_t channels) {
  phase_question q;
  q.channels = channels;
  for (std::uint32_t c = 0; c < channels; ++c) {
    q.current[c] = static_cast<std::uint32_t>(random.integer(1, 4000));
    q.duty[c] = static_cast<std::uint16_t>(random.integer(0, 65535));
    if (random.one_in(10)) q.duty[c] = 0;
    if (random.one_in(10)) q.duty[c] = 65535;
  }
  return q;
}

/// The same figures by walking round the period, tick by tick.
core_current counted(const phase_question& q, const std::uint16_t* offset) {
  std::vector<std::uint32_t> core(phase_period, 0);
  for (std::uint32_t c = 0; c < q.channels; ++c)
    for (std::uint32_t t = 0; t < q.duty[c]; ++t) core[(offset[c] + t) % phase_period] += q.current[c];
  core_current f;
  for (const std::uint32_t i : core) {
    f.peak = std::max(f.peak, i);
    f.square += std::uint64_t{i} * i;
  }
  return f;
}

/// The best of all offsets that are multiples of `tick`: knows nothing of touching.
core_current best_on_clock(const phase_question& q, std::uint32_t tick) {
  std::uint16_t offset[8] = {};
  detail::switching_set set;
  for (std::uint32_t c = 0; c < q.channels; ++c) {
    set.current[c] = q.current[c];
    set.on[c] = q.duty[c];
  }
  set.count = q.channels;
  const std::uint32_t ticks = phase_period / tick;
  std::uint64_t all = 1;
  for (std::uint32_t c = 1; c < q.channels; ++c) all *= ticks;
  core_current best{0xffffffff, ~0ull};
  for (std::uint64_t n = 0; n < all; ++n) {
    std::uint32_t start[8] = {};
    std::uint64_t rest = n;
    for (std::uint32_t c = 1; c < q.channels; ++c) {
      start[c] = static_cast<std::uint32_t>(rest % ticks) * tick;
      rest /= ticks;
    }
    const core_current f = detail::figures(set, q.channels, start);
    if (f < best) best = f;
  }
  (void)offset;
  return best;
}

constexpr phase_plan plan_of(const phase_question& q) {
  phase_plan p;
  return plan_phases(q, p) ? phase_plan{} : p;
}
// Three equal channels at a third: in turn, never two at once. 3 A at once before, 1 A after.
constexpr phase_plan thirds = plan_of({3, {1000, 1000, 1000}, {21845, 21845, 21845}});
static_assert(thirds.proved && thirds.before.peak == 3000 && thirds.after.peak == 1000);
static_assert(thirds.before.rms() == 1732 && thirds.after.rms() == 1000);
// Two at three quarters: a quarter of the period both are on, whatever the offset; half of it one alone.
constexpr phase_plan quarters = plan_of({2, {1000, 1000}, {49151, 49151}});
static_assert(quarters.proved && quarters.after.peak == 2000);
static_assert(quarters.before.rms() == 1732 &&
              quarters.after.rms() == 1581);  // sqrt(3/4 4), sqrt(1/2 4 + 1/2)

}  // namespace

TEST_CASE("plan_phases: its figures are those of a count tick by tick") {
  random_source random{20260161};
  MESSAGE("seed " << random.seed());
  for (int run = 0; run < cases(300); ++run) {
    const phase_question q = random_question(random, static_cast<std::uint32_t>(random.integer(1, 8)));
    phase_plan p;
    REQUIRE_FALSE(plan_phases(q, p));
    const std::uint16_t together[8] = {};
    REQUIRE(p.before == counted(q, together));
    REQUIRE(p.after == counted(q, p.offset));
    REQUIRE_FALSE(p.before < p.after);
    for (const std::uint16_t o : p.offset) REQUIRE(o < phase_period);
  }
}

TEST_CASE("plan_phases: no arrangement on a coarse clock is better") {
  // 65535 = 17 * 3855: with on-times that are multiples of 3855 every touching place is on the clock too
  random_source random{20260162};
  MESSAGE("seed " << random.seed());
  int overlapping = 0;
  for (int run = 0; run < cases(400); ++run) {
    phase_question q;
    q.channels = static_cast<std::uint32_t>(random.integer(2, 4));
    std::uint32_t on = 0;
    for (std::uint32_t c = 0; c < q.channels; ++c) {
      q.current[c] = static_cast<std::uint32_t>(random.integer(1, 4000));
      q.duty[c] = static_cast<std::uint16_t>(3855 * random.integer(1, 16));
      on += q.duty[c];
    }
    phase_plan p;
    REQUIRE_FALSE(plan_phases(q, p));
    REQUIRE(p.proved);
    REQUIRE(p.after == best_on_clock(q, 3855));
    overlapping += on > phase_period ? 1 : 0;
  }
  CHECK(overlapping > cases(200));
}

TEST_CASE("plan_phases: five channels, no random arrangement is better") {
  random_source random{20260163};
  for (int run = 0; run < cases(60); ++run) {
    const phase_question q = random_question(random, 5);
    phase_plan p;
    REQUIRE_FALSE(plan_phases(q, p));
    REQUIRE(p.proved);
    detail::switching_set set;
    for (std::uint32_t c = 0; c < 5; ++c) {
      set.current[c] = q.current[c];
      set.on[c] = q.duty[c];
    }
    for (int other = 0; other < cases(20'000); ++other) {
      std::uint32_t start[8] = {};
      for (std::uint32_t c = 1; c < 5; ++c)
        start[c] = static_cast<std::uint32_t>(random.integer(0, phase_period - 1));
      const core_current f = detail::figures(set, 5, start);
      REQUIRE_FALSE(f < p.after);
    }
  }
}

TEST_CASE(
    "plan_phases: six to eight channels, never worse than one after the other, how far from the best is "
    "told") {
  random_source random{20260164};
  MESSAGE("seed " << random.seed());
  int equal = 0, runs = 0;
  for (int run = 0; run < 60; ++run) {
    const phase_question q = random_question(random, 6);
    phase_plan p;
    REQUIRE_FALSE(plan_phases(q, p));
    detail::staggering a;
    for (std::uint32_t c = 0; c < 6; ++c) {
      if (q.duty[c] == full_duty) a.set.steady += q.current[c];
      if (q.duty[c] == 0 || q.duty[c] == full_duty) continue;
      a.set.channel[a.set.count] = c;
      a.set.current[a.set.count] = q.current[c];
      a.set.on[a.set.count++] = q.duty[c];
    }
    if (a.set.count < 6) continue;
    detail::chain(a);
    REQUIRE_FALSE(a.found < p.after);
    detail::staggering best = a;
    detail::search_from(
        a, 1, best);  // the whole search, which six channels would take too long for on a controller
    REQUIRE_FALSE(p.after < best.found);
    ++runs;
    equal += p.after == best.found ? 1 : 0;
  }
  MESSAGE(equal << " of " << runs << " plans of six channels were the best there is");
  CHECK(runs > 10);
  CHECK(equal * 4 >= runs * 3);
}

TEST_CASE("plan_phases: the order of the channels does not matter to the figures") {
  random_source random{20260165};
  for (int run = 0; run < 100; ++run) {
    const phase_question q = random_question(random, 5);
    phase_question turned = q;
    for (std::uint32_t c = 0; c < 5; ++c) {
      turned.current[c] = q.current[(c + 2) % 5];
      turned.duty[c] = q.duty[(c + 2) % 5];
    }
    phase_plan a, b;
    REQUIRE_FALSE(plan_phases(q, a));
    REQUIRE_FALSE(plan_phases(turned, b));
    REQUIRE(a.after == b.after);
  }
}

TEST_CASE("plan_phases: what is refused") {
  phase_plan p;
  p.proved = true;
  CHECK(plan_phases({}, p) == whole_fault{fault_code::out_of_range, field::guard_channels, -1, 0, 1, 8});
  CHECK_FALSE(p.proved);
  CHECK(plan_phases({2, {32'000, 768}, {}}, p) ==
        whole_fault{fault_code::out_of_range, field::phase_current, 1, 768, 0, 767});
  CHECK_FALSE(plan_phases({2, {32'000, 767}, {65535, 65535}}, p));
  CHECK(p.after.peak == 32767);
  CHECK(p.after.rms() == 32767);
  CHECK(p.after == p.before);
}
