// SPDX-License-Identifier: BSL-1.0
// Arrangements of feed points: closed forms, textbook distributors, both sides of each answer, brute force.
#include "tapewright/sizing/feed_arrangement.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_tape.hpp"
#include "support/reference_csv.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

constexpr feed_arrangement every_arrangement[] = {feed_arrangement::one_end,   feed_arrangement::far_end,
                                                  feed_arrangement::both_ends, feed_arrangement::middle,
                                                  feed_arrangement::points,    feed_arrangement::ring};

/// A tape of one channel that draws the same current at every voltage above 1 V.
tape steady_tape(volts nominal, double amps_a_metre, double loop_ohm_a_metre, double pitch_m) {
  tape t;
  t.code = "X-1";
  t.nominal = t.highest = nominal;
  t.channels.push({"W", watts_per_metre{amps_a_metre * nominal.v}, load_kind::regulated, 1_V, {}});
  t.common_trace = ohms_per_metre{loop_ohm_a_metre};
  t.cut_pitch = metres{pitch_m};
  t.longest_piece = 1000_m;
  t.sale_quantum = 1_m;
  t.highest_ambient = 50_degC;
  return t;
}

feed_leads stiff(volts source) {
  feed_leads by;
  by.shared.source = source;
  return by;
}

struct room {
  std::vector<double> doubles;
  room(std::int64_t segments, std::size_t channels, std::size_t points)
      : doubles(arrangement_workspace(segments, static_cast<std::int32_t>(channels), points)) {}
  std::span<double> all() { return doubles; }
};

feed_leads random_leads(random_source& r, const tape& t) {
  feed_leads by;
  by.shared = random_feed(r, t);
  by.near_end = ohms{r.one_in(3) ? 0.0 : r.log_uniform(1e-3, 0.3)};
  by.far_end = ohms{r.one_in(3) ? by.near_end.v : r.log_uniform(1e-3, 0.3)};
  by.along = ohms_per_metre{r.one_in(3) ? 0.0 : r.log_uniform(1e-3, 0.05)};
  by.far_along = r.one_in(3);
  return by;
}

}  // namespace

TEST_CASE("longest_fed_run: constant currents, by the closed form of a distributor") {
  // m segments fed at one end lose r i m^2 / 2; n fed at both ends r i n^2 / 8, and r i (n^2 + 1) / 8 where n is odd
  const double r = 0.04 * 0.05, i = 0.6 * 0.05;
  const tape t = steady_tape(24_V, 0.6, 0.04, 0.05);
  room space{8000, 1, 8};
  for (const double drop : {0.03, 0.05, 0.1, 0.2}) {
    CAPTURE(drop);
    const double units = 24 * drop * (1 + 1e-9) / (r * i);
    const auto one = static_cast<std::int64_t>(std::floor(std::sqrt(2 * units)));
    std::int64_t both = 1;
    for (std::int64_t n = 2; static_cast<double>(n * n + n % 2) / 8 <= units; ++n) both = n;
    const auto longest = [&](feed_arrangement how, std::int32_t count) {
      const auto got = longest_fed_run(t, how, count, stiff(24_V), {.drop_limit = drop}, space.all());
      REQUIRE(got.ok());
      CHECK(got->limited_by == run_limit::drop);
      CHECK(got->run.broken == run_limit::none);
      CHECK(got->run.utilisation <= 1 + 1e-9);
      return got->run.segments;
    };
    CHECK(longest(feed_arrangement::one_end, 1) == one);
    CHECK(longest(feed_arrangement::far_end, 1) == one);
    CHECK(longest(feed_arrangement::middle, 1) == 2 * one);
    CHECK(longest(feed_arrangement::both_ends, 1) == both);
    CHECK(longest(feed_arrangement::ring, 1) == both);
    // k equal parts: no tail is longer than `one` segments, so that 2 k of them can be lit at least
    for (const std::int32_t k : {1, 2, 3, 5, 8}) CHECK(longest(feed_arrangement::points, k) >= 2 * k * one);
    CHECK(longest(feed_arrangement::points, 1) == 2 * one);
  }
}

TEST_CASE("longest_fed_run: a run of four times the light way loses a quarter, k points 1 / (4 k^2)") {
  const tape t = steady_tape(24_V, 0.6, 0.04, 0.05);
  room space{480, 1, 8};
  const auto lost = [&](feed_arrangement how, std::int64_t count) {
    const auto line = line_of(t, 1, 20_degC);
    REQUIRE(line.ok());
    const auto got = detail::judged_length(t, *line, stiff(24_V), {}, 480, detail::places_of(how, 480, count),
                                           how == feed_arrangement::ring, space.all());
    REQUIRE(got.ok());
    return 24 - got->figures.lowest_load[0].v;
  };
  const double one = lost(feed_arrangement::one_end, 1);
  constexpr double solver = 1e-11;  // residual 5e-13 of 24 V, over a drop of 3.5 V and less
  CHECK(close_rel(one, 0.002 * 0.03 * 480 * 480 / 2, solver));
  CHECK(close_rel(lost(feed_arrangement::both_ends, 1), one / 4, 4 * solver));
  CHECK(close_rel(lost(feed_arrangement::middle, 1), one / 4, 4 * solver));
  CHECK(close_rel(lost(feed_arrangement::ring, 1), one / 4, 4 * solver));
  for (const std::int64_t k : {1, 2, 3, 4, 5, 6, 8})  // 480 is a multiple of 2 k for each of these
    CHECK(close_rel(lost(feed_arrangement::points, k), one / static_cast<double>(4 * k * k),
                    solver * static_cast<double>(4 * k * k)));
}

TEST_CASE("longest_fed_run: a linear load fed at both ends, by its closed form") {
  // from the middle outwards: i(k) / i(0) = cosh(t (k + 1/2)) / cosh(t / 2), cosh t = 1 + r g / 2
  tape t = steady_tape(24_V, 0.6, 0.02, 0.05);
  t.channels[0] = {"W", 14.4_W_per_m, load_kind::resistor_limited, 18_V, 0.02_ohm_per_m};
  const double rg = (0.04 * 0.05) * (14.4 * 0.05 / 24 / 6), theta = 2 * std::asinh(std::sqrt(rg) / 2);
  room space{4000, 1, 2};
  for (const double wish : {0.99, 0.9, 0.7}) {
    const double half = std::acosh(std::cosh(theta / 2) / wish) / theta + 0.5;
    const auto got = longest_fed_run(t, feed_arrangement::both_ends, 1, stiff(24_V), {.least_evenness = wish},
                                     space.all());
    REQUIRE(got.ok());
    CHECK(got->limited_by == run_limit::evenness);
    CHECK(got->run.segments / 2 == static_cast<std::int64_t>(std::floor(half)));
  }
}

TEST_CASE("longest_fed_run: uniform distributors of the textbooks, turned round") {
  const auto rows = reference_table::load("worked_dc_distributor.csv");
  int seen = 0;
  for (std::size_t i = 0; i < rows.rows(); ++i) {
    const std::string &id = rows.cell(i, "id"), &quantity = rows.cell(i, "quantity");
    if (quantity != "drop_max" || (id != "D04" && id != "D12")) continue;
    CAPTURE(id);
    ++seen;
    const double metres_long = rows.number(i, "length"), drop = rows.number(i, "printed");
    const tape t =
        steady_tape(60_V, rows.number(i, "uniform_A_per_unit"), rows.number(i, "r_loop_ohm_per_unit"), 1);
    const bool both = rows.cell(i, "feed") == "both_equal";
    room space{2000, 1, 2};
    const auto got = longest_fed_run(t, both ? feed_arrangement::both_ends : feed_arrangement::one_end, 1,
                                     stiff(60_V), {.drop_limit = drop / 60}, space.all());
    REQUIRE(got.ok());
    CHECK(got->run.segments == static_cast<std::int64_t>(metres_long));
    CHECK(
        close_abs(60 - got->run.figures.lowest_load[0].v, drop, 1e-9));  // residual 3e-11 V; printed exactly
    if (!both) CHECK(close_rel(got->run.figures.total.v, 400, 1e-11));   // D04, I_total
  }
  CHECK(seen == 2);
}

TEST_CASE("longest_fed_run: fed at one end it is longest_even_run") {
  random_source r{91};
  MESSAGE("seed " << r.seed());
  int same = 0;
  for (int round = 0; round < 300; ++round) {
    CAPTURE(round);
    tape t = random_tape(r, r.integer(1, 6), law_mix::monotone);
    if (r.one_in(3)) t.feed_point_limit = amps{r.log_uniform(0.2, 20)};
    if (r.one_in(4)) t.single_feed_limit = metres{r.log_uniform(0.2, 20)};
    const line_feed feed = random_feed(r, t);
    const double wish = r.uniform(0.6, 0.98), drop = r.one_in(2) ? r.uniform(0.03, 0.2) : 0.0;
    room space{3000, t.channels.size(), 1};
    const auto want = longest_even_run(t, feed, wish, 35_degC, all_lit, drop);
    const auto got =
        longest_fed_run(t, feed_arrangement::one_end, 1, {.shared = feed},
                        {.least_evenness = wish, .drop_limit = drop, .trace = 35_degC}, space.all());
    REQUIRE(want.ok() == got.ok());
    if (!got.ok()) {
      CHECK(want.why() == got.why());
      continue;
    }
    if (want->segments > 3000) continue;
    ++same;
    CHECK(got->run.segments == want->segments);
    CHECK(close_rel(got->run.figures.total.v, want->figures.total.v, 1e-10));  // two solvers, 1e-12 each
  }
  CHECK(same > 200);
}

TEST_CASE("longest_fed_run: keeps every wish, and one segment more breaks the one it names") {
  random_source r{92};
  MESSAGE("seed " << r.seed());
  int counted = 0, longer = 0, looked = 0;
  for (int round = 0; round < 900; ++round) {
    CAPTURE(round);
    tape t = random_tape(r, r.integer(1, 5), round % 3 == 0 ? law_mix::any : law_mix::monotone);
    if (r.one_in(3)) t.feed_point_limit = amps{r.log_uniform(0.2, 20)};
    if (r.one_in(4)) t.single_feed_limit = metres{r.log_uniform(0.2, 20)};
    const feed_leads by = random_leads(r, t);
    const feed_wishes wishes{r.uniform(0.6, 0.98), r.one_in(2) ? r.uniform(0.05, 0.2) : 0.0, 35_degC};
    const feed_arrangement how = every_arrangement[round % 6];
    const auto count = static_cast<std::int32_t>(r.integer(1, 5));
    room space{400, t.channels.size(), 8};
    const auto line = line_of(t, 1, wishes.trace);
    REQUIRE(line.ok());
    const auto judged = [&](std::int64_t n) {
      return *detail::judged_length(t, *line, by, wishes, n, detail::places_of(how, n, count),
                                    how == feed_arrangement::ring, space.all());
    };
    const auto got = longest_fed_run(t, how, count, by, wishes, space.all());
    if (!got.ok()) {
      REQUIRE(got.why().code == fault_code::unreachable);
      CHECK(judged(how == feed_arrangement::points ? count : 1).broken != run_limit::none);
      continue;
    }
    ++counted;
    const std::int64_t n = got->run.segments;
    CHECK(judged(n).broken == run_limit::none);
    if (got->limited_by == run_limit::none) continue;
    CHECK(judged(n + 1).broken == got->limited_by);
    for (const std::int64_t more : {2, 3, 7, 50}) {
      if (n + more > 390) continue;
      ++looked;
      longer += judged(n + more).broken == run_limit::none ? 1 : 0;
    }
  }
  MESSAGE(counted << " runs; of " << looked << " longer ones " << longer << " keep the wishes too");
  CHECK(counted > 500);
}

TEST_CASE("fewest_feed_points: the fewest and the best of all places, by trying all of them") {
  random_source r{93};
  MESSAGE("seed " << r.seed());
  int by_points[5] = {}, unreachable = 0, bounded_away = 0;
  for (int round = 0; round < 400; ++round) {
    CAPTURE(round);
    tape t =
        random_tape(r, r.one_in(2) ? 1 : r.integer(2, 4), round % 4 == 0 ? law_mix::any : law_mix::monotone);
    t.cut_pitch = metres{r.uniform(0.1, 1.0)};
    if (r.one_in(3)) t.feed_point_limit = amps{r.log_uniform(0.2, 10)};
    if (r.one_in(4)) t.single_feed_limit = metres{r.log_uniform(0.2, 5)};
    feed_leads by = random_leads(r, t);
    by.near_closed = r.one_in(6);
    by.far_closed = r.one_in(6);
    by.between_closed = r.one_in(6) && !(by.near_closed && by.far_closed);
    const feed_wishes wishes{r.uniform(0.5, 0.98), r.one_in(2) ? r.uniform(0.02, 0.15) : 0.0, 35_degC};
    const std::int64_t n = r.integer(1, 11);
    room space{n, t.channels.size(), 8};
    const auto line = line_of(t, 1, wishes.trace);
    REQUIRE(line.ok());
    // brute force: every subset of the cut marks that cables reach, as a pattern of bits
    int fewest = 9;
    double best = -1;
    for (unsigned bits = 1; bits < 1u << (n + 1); ++bits) {
      feed_places places;
      bool open = true;
      int count = 0;
      for (std::int64_t at = 0; at <= n; ++at) {
        if ((bits >> at & 1u) == 0) continue;
        if (++count > 3) break;
        places.push(at);
        open = open && !(at == 0 && by.near_closed) && !(at == n && by.far_closed) &&
               !(at > 0 && at < n && by.between_closed);
      }
      if (!open || count > 3 || count > fewest) continue;
      const auto got = detail::judged_length(t, *line, by, wishes, n, places, false, space.all());
      REQUIRE(got.ok());
      if (got->broken != run_limit::none) continue;
      if (count < fewest) best = -1;
      fewest = count;
      best = std::max(best, got->figures.least_evenness);
    }
    const auto got = fewest_feed_points(t, n, by, wishes, 3, 1'000'000, space.all());
    if (fewest > 3) {
      ++unreachable;
      REQUIRE(!got.ok());
      CHECK(got.why().code == fault_code::unreachable);
      continue;
    }
    REQUIRE(got.ok());
    ++by_points[fewest];
    CHECK(got->run.places.size() == static_cast<std::size_t>(fewest));
    CHECK(got->run.figures.least_evenness == best);
    CHECK(got->fewest_proven);
    CHECK(got->best_proven);
    bounded_away += detail::fewest_possible(t, *line, by, wishes, n, space.all()) > 1 ? 1 : 0;
    // with few steps the answer keeps the wishes all the same, and says that it proves nothing
    const auto hurried = fewest_feed_points(t, n, by, wishes, 8, 40, space.all());
    if (!hurried.ok()) continue;
    CHECK(hurried->solves <= 40);
    CHECK(hurried->run.broken == run_limit::none);
    CHECK(hurried->run.places.size() >= got->run.places.size());
    if (hurried->fewest_proven) CHECK(hurried->run.places.size() == got->run.places.size());
    if (hurried->best_proven && hurried->run.places.size() == got->run.places.size())
      CHECK(hurried->run.figures.least_evenness == best);
  }
  MESSAGE("one " << by_points[1] << ", two " << by_points[2] << ", three " << by_points[3] << ", none "
                 << unreachable << "; a bound forbids one point in " << bounded_away);
  CHECK(by_points[1] > 20);
  CHECK(by_points[2] > 20);
  CHECK(by_points[3] > 5);
  CHECK(bounded_away > 10);
}

TEST_CASE("fewest_feed_points: a facade of 640 segments, the fewest proven by the bound") {
  const tape t = steady_tape(24_V, 0.6, 0.04, 0.05);
  feed_leads by = stiff(24_V);
  room space{640, 1, 8};
  // r i m^2 / 2 <= 1.2 V: m = 200 at one end, 400 between two; so 640 need 2 points (2 x 200 + 400)
  const auto got = fewest_feed_points(t, 640, by, {.drop_limit = 0.05}, 8, 2000, space.all());
  REQUIRE(got.ok());
  CHECK(got->run.places.size() == 2);
  CHECK(got->fewest_proven);
  CHECK(!got->best_proven);  // C(641, 2) = 205,120 solves
  CHECK(got->solves <= 2000);
  CHECK(got->run.broken == run_limit::none);
  // a distributor fed at two points loses least when tails and half gap are alike
  CHECK(got->run.places[0] == 160);
  CHECK(got->run.places[1] == 480);
}

TEST_CASE("feed arrangements: what is refused") {
  const tape t = steady_tape(24_V, 0.6, 0.04, 0.05);
  room space{100, 1, 8};
  const auto longest = [&](feed_leads by, feed_wishes w, std::int32_t count, std::span<double> work) {
    return longest_fed_run(t, feed_arrangement::points, count, by, w, work).why();
  };
  CHECK(longest(stiff(24_V), {.least_evenness = 1.1}, 2, space.all()).field == field::least_evenness);
  CHECK(longest(stiff(24_V), {.drop_limit = 0.6}, 2, space.all()).field == field::drop_limit);
  CHECK(longest(stiff(24_V), {}, 0, space.all()).field == field::feed_points);
  CHECK(longest(stiff(24_V), {}, 9, space.all()).field == field::feed_points);
  CHECK(longest(stiff(0_V), {}, 2, space.all()).field == field::voltage);
  feed_leads bad = stiff(24_V);
  bad.far_end = ohms{-1};
  CHECK(longest(bad, {}, 2, space.all()).field == field::resistance);
  bad = stiff(24_V);
  bad.along = ohms_per_metre{not_a_number};
  CHECK(longest(bad, {}, 2, space.all()).field == field::resistance_per_metre);
  const fault small = longest(stiff(24_V), {}, 2, space.all().first(10));
  CHECK(small.code == fault_code::no_room);
  CHECK(small.least == static_cast<double>(arrangement_workspace(2, 1, 2)));
  // no wish at all: as far as the room reaches
  const auto all = longest_fed_run(t, feed_arrangement::one_end, 1, stiff(24_V), {}, space.all());
  REQUIRE(all.ok());
  CHECK(all->limited_by == run_limit::none);
  CHECK(arrangement_workspace(all->run.segments, 1, 1) <= space.doubles.size());
  CHECK(arrangement_workspace(all->run.segments + 1, 1, 1) > space.doubles.size());
  feed_leads closed = stiff(24_V);
  closed.near_closed = closed.far_closed = closed.between_closed = true;
  CHECK(fewest_feed_points(t, 10, closed, {}, 3, 100, space.all()).why().code == fault_code::contradiction);
  CHECK(fewest_feed_points(t, 10, stiff(24_V), {}, 3, 0, space.all()).why().field == field::step_budget);
  CHECK(fewest_feed_points(t, 0, stiff(24_V), {}, 3, 9, space.all()).why().field == field::segment_count);
  feed_leads thin = stiff(24_V);
  thin.shared.common = 2_ohm;  // 0.3 A through it: 0.6 V lost before the tape begins
  const fault never = fewest_feed_points(t, 10, thin, {.drop_limit = 0.02}, 3, 1000, space.all()).why();
  CHECK(never.code == fault_code::unreachable);
  CHECK(never.field == field::drop_limit);
}
