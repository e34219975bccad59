// SPDX-License-Identifier: BSL-1.0
// The outputs of a plan solved through the C interface: the bits of C++, and what the plan itself tells, to 1e-9.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include "examples/order_sheet/input_folder.hpp"
#include "tapewright.h"
#include "tapewright/plan/plan_network.hpp"
#include "tests/support/close.hpp"
#include "tests/support/plan_room.hpp"
#include "tests/support/random_job.hpp"
#include "tests/support/small_job.hpp"
#include "tests/unit/capi/c_network.hpp"
#include "tests/unit/capi/c_rows.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/same.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double apart = 1e-9;  // what a plan is asked to be consistent to

/// A job planned through both interfaces.
struct planned_twice {
  job question;
  catalogue parts;
  c_question c;
  std::vector<double> room;
  tw_plan* plan_c = nullptr;
  plan_room cpp_room;
  outcome<plan> cpp;

  planned_twice(const job& j, const catalogue& p)
      : question{j}, parts{p}, c{j, p}, cpp_room{*space_for(j, p)}, cpp{make_plan(j, p, cpp_room.space())} {
    std::int64_t bytes = 0;
    REQUIRE(tw_plan_bytes(&c.job, &c.catalogue, &bytes, nullptr) == TW_OK);
    room.resize(static_cast<std::size_t>(bytes) / 8 + 1);
    const tw_status status = tw_plan_make(&c.job, &c.catalogue, room.data(), bytes, &plan_c, nullptr);
    CHECK(status == static_cast<tw_status>(cpp.why().code));
  }
};

block room_for(const tw_plan* p, std::int32_t output) {
  std::int64_t bytes = 0;
  REQUIRE(tw_plan_output_workspace(p, output, &bytes, nullptr) == TW_OK);
  return block{bytes};
}

volts nominal_of(const planned_twice& p, std::int32_t output) {
  for (const run_plan& r : p.cpp->runs)
    if (r.hub >= 0 && p.cpp->hubs[static_cast<std::size_t>(r.hub)].output == output)
      return p.parts.tapes[static_cast<std::size_t>(p.question.runs[static_cast<std::size_t>(r.run)].tape)]
          .nominal;
  return volts{24};
}

struct tally {
  int outputs = 0, runs = 0, in_parts = 0;
};

/// The runs of a solved output against C++ bit by bit; `told(run of the plan, its figures)` for more.
template <class Told>
void check_runs(const tw_solved* got, const feed_network& n, const solved_network& want,
                std::span<const std::int32_t> plan_runs, std::span<const std::int32_t> plan_hubs, Told told) {
  std::int32_t runs = 0, feed = 0;
  REQUIRE(tw_solved_runs(got, &runs, nullptr) == TW_OK);
  REQUIRE(runs == static_cast<std::int32_t>(n.runs.size()));
  for (std::int32_t k = 0; k < runs; ++k) {
    const auto at = static_cast<std::size_t>(k);
    auto figures = empty_c<tw_fed_run_figures>();
    auto place = empty_c<tw_solved_place>();
    double trace_c = 0;
    REQUIRE(tw_solved_run(got, k, &figures, &trace_c, nullptr) == TW_OK);
    CHECK(same(figures, want.figures[at]));
    REQUIRE(tw_solved_place_of(got, k, &place, nullptr) == TW_OK);
    CHECK(place.plan_run == plan_runs[at]);
    CHECK(place.plan_hub == plan_hubs[static_cast<std::size_t>(n.runs[at].hub)]);
    CHECK(place.segments == segments_of(n.runs[at]));
    CHECK(place.channels == n.runs[at].stretches[0].line.channels);
    CHECK(place.first_feed == feed);
    CHECK(place.feeds == static_cast<std::int32_t>(n.runs[at].feeds.size()));
    std::vector<double> v(static_cast<std::size_t>(place.segments * place.channels)), i(v.size());
    REQUIRE(tw_solved_profile(got, k, v.data(), i.data(), static_cast<std::int64_t>(v.size()), nullptr) ==
            TW_OK);
    CHECK(same_list(v, want.v[at]));
    CHECK(same_list(i, want.i[at]));
    for (std::int32_t f = 0; f < place.feeds; ++f, ++feed) {
      double common_a = 0, channel_a[TW_MOST_CHANNELS];
      REQUIRE(tw_solved_feed(got, feed, &common_a, channel_a, nullptr) == TW_OK);
      const feed_current& current = want.feed[at][static_cast<std::size_t>(f)];
      CHECK(same(common_a, current.common));
      CHECK(same(channel_a, current.channel));
    }
    told(place.plan_run, figures, trace_c);
  }
}

/// Each output at nominal supply and at both ends of its tolerance.
void check_outputs(const planned_twice& p, tally& seen) {
  const double tolerance = p.question.rules.supply_tolerance;
  for (std::int32_t o = 0; o < static_cast<std::int32_t>(p.cpp->outputs.size()); ++o) {
    CAPTURE(o);
    const volts nominal = nominal_of(p, o);
    const output_counts n = output_counts_of(*p.cpp, o);
    const hub_state states[] = {{.source = nominal},
                                {.source = nominal * (1 - tolerance), .copper = hot_copper},
                                {.source = nominal * (1 + tolerance), .copper = cold_copper}};
    for (int s = 0; s < 3; ++s) {
      CAPTURE(s);
      std::vector<feed_hub> hubs(n.hubs);
      std::vector<fed_run> runs(n.runs);
      std::vector<run_stretch> stretches(n.stretches);
      std::vector<feed_point> feeds(n.feeds);
      std::vector<std::int32_t> hub_places(n.hubs), run_places(n.runs);
      const auto net = network_of_output(p.question, p.parts, *p.cpp, o, states[s],
                                         {hubs, runs, stretches, feeds, hub_places, run_places});
      REQUIRE(net.ok());
      const solved_network want{*net};
      block room = room_for(p.plan_c, o);
      tw_solved* got = nullptr;
      auto figures = empty_c<tw_network_figures>();
      const tw_status status =
          tw_plan_solve_output(p.plan_c, o, states[s].source.v, states[s].copper.v, TW_ALL_LIT, room.at(),
                               room.bytes, &got, &figures, nullptr);
      CHECK(room.guard_holds());
      CHECK(status == static_cast<tw_status>(want.all.why().code));
      if (status != TW_OK) continue;
      if (s == 0) ++seen.outputs;
      CHECK(same(figures, *want.all));
      check_runs(got, *net, want, run_places, hub_places,
                 [&](std::int32_t at, const tw_fed_run_figures& run, double trace_c) {
                   const run_plan& r = p.cpp->runs[static_cast<std::size_t>(at)];
                   auto c = empty_c<tw_run_plan>();
                   REQUIRE(tw_plan_run(p.plan_c, at, &c, nullptr) == TW_OK);
                   CHECK(trace_c == p.question.runs[static_cast<std::size_t>(r.run)].ambient.v);
                   if (!r.solved) return;
                   double lowest = infinity;
                   for (std::int32_t x = 0; x < run.channels; ++x)
                     lowest = std::fmin(lowest, run.lowest_load_v[x]);
                   if (s == 1) CHECK(close_rel(c.end_least_v, lowest, apart));
                   if (s == 2) CHECK(close_rel(c.end_greatest_v, lowest, apart));
                   if (s != 0) return;
                   ++seen.runs;
                   if (is_fed_in_parts(r)) ++seen.in_parts;
                   auto line = empty_c<tw_line_figures>();
                   REQUIRE(tw_plan_run_line(p.plan_c, at, &line, nullptr) == TW_OK);
                   CHECK(close_rel(line.total_a, run.total_a, apart));
                   CHECK(close_rel(line.least_evenness, run.least_evenness, apart));
                   for (std::int32_t x = 0; x < run.channels; ++x)
                     CHECK(close_rel(line.last_load_v[x], run.lowest_load_v[x], apart));
                 });
    }
  }
}

}  // namespace

TEST_CASE("tw_plan_solve_output: the bookshop and the small job, output by output") {
  order_sheet::input_folder input;
  order_sheet::problem_list problems;
  order_sheet::read_folder(std::string{TAPEWRIGHT_SOURCE_DIR} + "/examples/order_sheet/bookshop", input,
                           problems);
  REQUIRE(problems.empty());
  const planned_twice bookshop{input.job(), input.parts()};
  tally seen;
  check_outputs(bookshop, seen);
  CHECK(seen.runs == static_cast<int>(bookshop.cpp->runs.size()));
  CHECK(seen.outputs == static_cast<int>(bookshop.cpp->outputs.size()));
  const planned_twice small{small_job::question(), small_job::parts};
  tally more;
  check_outputs(small, more);
  CHECK(more.runs == 3);
}

TEST_CASE("tw_plan_solve_output: random jobs, rings and runs fed in parts among them") {
  random_source r{71201};
  MESSAGE("seed " << r.seed());
  tally seen;
  for (int round = 0; round < 30; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 6, .zones = 3, .longest_m = round % 3 == 0 ? 20.0 : 6.0});
    if (round % 2 == 0) bend_runs(r, o);
    const job question = o.question();
    const catalogue parts = o.parts();
    if (!space_for(question, parts).ok()) continue;
    const planned_twice both{question, parts};
    if (both.plan_c != nullptr) check_outputs(both, seen);
  }
  MESSAGE(seen.outputs << " outputs, " << seen.runs << " runs, " << seen.in_parts << " fed in parts");
  CHECK(seen.runs > 40);
  CHECK(seen.in_parts > 3);
}

TEST_CASE("tw_plan_solve_output: one channel lit takes less than all of them") {
  const planned_twice p{small_job::question(), small_job::parts};
  const auto last = static_cast<std::int32_t>(p.cpp->outputs.size()) - 1;  // the tape of five channels
  block room = room_for(p.plan_c, last);
  const auto total_a = [&](std::int32_t lit) {
    tw_solved* got = nullptr;
    auto figures = empty_c<tw_network_figures>();
    REQUIRE(tw_plan_solve_output(p.plan_c, last, 24, 70, lit, room.at(), room.bytes, &got, &figures,
                                 nullptr) == TW_OK);
    return figures.total_a;
  };
  const double all_a = total_a(TW_ALL_LIT), one_a = total_a(1);
  CHECK(one_a > 0);
  CHECK(one_a < all_a);
}

TEST_CASE("tw_plan_solve_output: everything at fault") {
  const planned_twice p{small_job::question(), small_job::parts};
  const auto outputs = static_cast<std::int32_t>(p.cpp->outputs.size());
  block room = room_for(p.plan_c, 0);
  tw_solved* got = nullptr;
  auto figures = empty_c<tw_network_figures>();
  tw_fault why = empty_fault();
  const auto solve = [&](const tw_plan* of, std::int32_t output, double source_v, double copper_c, void* at,
                         std::int64_t bytes) {
    const tw_status status =
        tw_plan_solve_output(of, output, source_v, copper_c, TW_ALL_LIT, at, bytes, &got, &figures, &why);
    CHECK(status == why.code);
    CHECK((status == TW_OK) == (got != nullptr && figures.total_a == figures.total_a));
    return status;
  };
  REQUIRE(solve(p.plan_c, 0, 24, 70, room.at(), room.bytes) == TW_OK);

  for (const std::int32_t outside : {-1, outputs, 2147483647}) {
    std::int64_t bytes = 7;
    CHECK(solve(p.plan_c, outside, 24, 70, room.at(), room.bytes) == TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
    CHECK(why.most == outputs - 1);
    CHECK(tw_plan_output_workspace(p.plan_c, outside, &bytes, nullptr) == TW_UNKNOWN_REFERENCE);
    CHECK(bytes == 0);
  }
  CHECK(solve(p.plan_c, 0, 0, 70, room.at(), room.bytes) == TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_VOLTAGE);
  for (const double copper : {-61.0, 201.0, std::nan("")}) {
    CHECK(solve(p.plan_c, 0, 24, copper, room.at(), room.bytes) == TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_TEMPERATURE);
  }
  CHECK(solve(nullptr, 0, 24, 70, room.at(), room.bytes) == TW_NULL_POINTER);
  CHECK(why.item == 0);
  const double nothing[64] = {};
  CHECK(solve(reinterpret_cast<const tw_plan*>(nothing), 0, 24, 70, room.at(), room.bytes) ==
        TW_VERSION_MISMATCH);
  CHECK(solve(p.plan_c, 0, 24, 70, nullptr, room.bytes) == TW_NULL_POINTER);
  CHECK(why.item == 5);
  CHECK(solve(p.plan_c, 0, 24, 70, static_cast<char*>(room.at()) + 4, room.bytes) == TW_OUT_OF_RANGE);
  for (const std::int64_t bytes : {room.bytes - 1, std::int64_t{0}, std::int64_t{-1}}) {
    CHECK(solve(p.plan_c, 0, 24, 70, room.at(), bytes) == TW_NO_ROOM);
    CHECK(why.least == static_cast<double>(room.bytes));
  }
  std::int64_t wanted = 7;
  CHECK(tw_plan_output_workspace(nullptr, 0, &wanted, nullptr) == TW_NULL_POINTER);
  CHECK(wanted == 0);
  CHECK(tw_plan_output_workspace(p.plan_c, 0, nullptr, nullptr) == TW_NULL_POINTER);

  REQUIRE(solve(p.plan_c, 0, 24, 70, room.at(), room.bytes) == TW_OK);
  std::int32_t runs = 9;
  auto place = empty_c<tw_solved_place>();
  CHECK(tw_solved_runs(nullptr, &runs, nullptr) == TW_NULL_POINTER);
  CHECK(runs == 0);
  CHECK(tw_solved_runs(reinterpret_cast<const tw_solved*>(nothing), &runs, nullptr) == TW_VERSION_MISMATCH);
  CHECK(tw_solved_runs(got, nullptr, nullptr) == TW_NULL_POINTER);
  REQUIRE(tw_solved_runs(got, &runs, nullptr) == TW_OK);
  for (const std::int32_t outside : {-1, runs}) {
    CHECK(tw_solved_place_of(got, outside, &place, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(place.plan_run == -1);
    CHECK(place.segments == 0);
  }
  CHECK(tw_solved_place_of(got, 0, nullptr, nullptr) == TW_NULL_POINTER);
}

TEST_CASE("tw_solved_place_of: networks of the caller's own stand in no plan") {
  random_source r{71202};
  const conditions q{r, law_mix::monotone, 3, 20};
  const c_network c = q.as_c();
  block room{c.all};
  tw_solved* got = nullptr;
  auto figures = empty_c<tw_network_figures>();
  REQUIRE(tw_solve_network(&c.all, room.at(), room.bytes, &got, &figures, nullptr) == TW_OK);
  std::int32_t feed = 0;
  for (std::size_t k = 0; k < q.n.runs.size(); ++k) {
    auto place = empty_c<tw_solved_place>();
    REQUIRE(tw_solved_place_of(got, static_cast<std::int32_t>(k), &place, nullptr) == TW_OK);
    CHECK(place.plan_run == -1);
    CHECK(place.plan_hub == -1);
    CHECK(place.segments == segments_of(q.n.net.runs[k]));
    CHECK(place.first_feed == feed);
    CHECK(place.feeds == static_cast<std::int32_t>(q.n.net.runs[k].feeds.size()));
    feed += place.feeds;
  }
}
