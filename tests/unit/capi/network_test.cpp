// SPDX-License-Identifier: BSL-1.0
// Whole installations through the C interface: the bits of C++, every refusal, rows of other releases, room.
#include <doctest/doctest.h>

#include <cstdint>
#include <cstring>
#include <limits>
#include <string>
#include <vector>

#include "capi/answer.hpp"
#include "capi/struct_table.hpp"
#include "tapewright.h"
#include "tapewright/network/dimming.hpp"
#include "tapewright/network/warm_copper.hpp"
#include "tests/unit/capi/c_network.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/same.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

std::vector<double> nans(std::size_t n) { return std::vector<double>(n, 77.0); }

}  // namespace

TEST_CASE("tw_solve_network: the bits of C++, for the whole, every run, load and feed point") {
  random_source r{61207};
  MESSAGE("seed " << r.seed());
  int solved_ones = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const conditions q{r, round % 4 == 0 ? law_mix::any : law_mix::monotone, 1 + round % 6, 40};
    const c_network c = q.as_c();
    block room{c.all};
    const solved_network want{q.n.net};
    tw_solved* got = nullptr;
    auto figures = empty_c<tw_network_figures>();
    tw_fault why = empty_fault();
    const tw_status status = tw_solve_network(&c.all, room.at(), room.bytes, &got, &figures, &why);
    CHECK(room.guard_holds());
    CHECK(status == static_cast<tw_status>(want.all.why().code));
    if (!want.all.ok()) continue;
    ++solved_ones;
    CHECK(same(figures, *want.all));
    CHECK(figures.warming_rounds == 0);
    std::int32_t feed = 0;
    for (std::size_t k = 0; k < q.n.runs.size(); ++k) {
      const auto place = static_cast<std::int32_t>(k);
      auto run = empty_c<tw_fed_run_figures>();
      double trace_c = 0;
      REQUIRE(tw_solved_run(got, place, &run, &trace_c, nullptr) == TW_OK);
      CHECK(same(run, want.figures[k]));
      CHECK(trace_c == q.n.runs[k].trace[0].v);
      std::vector<double> v = nans(want.v[k].size()), i = nans(want.i[k].size());
      const auto loads = static_cast<std::int64_t>(v.size());
      REQUIRE(tw_solved_profile(got, place, v.data(), i.data(), loads, nullptr) == TW_OK);
      CHECK(same_list(v, want.v[k]));
      CHECK(same_list(i, want.i[k]));
      for (const feed_current& f : want.feed[k]) {
        double common_a = 0, channel_a[TW_MOST_CHANNELS];
        REQUIRE(tw_solved_feed(got, feed++, &common_a, channel_a, nullptr) == TW_OK);
        CHECK(same(common_a, f.common));
        CHECK(same(channel_a, f.channel));
      }
    }
  }
  CHECK(solved_ones > 50);
}

TEST_CASE("tw_solve_warm_network: the bits of C++") {
  random_source r{61208};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 20; ++round) {
    CAPTURE(round);
    conditions q{r, law_mix::monotone, 1 + round % 6, 40};
    const c_network c = q.as_c();
    block room{c.all};
    tw_solved* got = nullptr;
    auto figures = empty_c<tw_network_figures>();
    REQUIRE(tw_solve_warm_network(&c.all, room.at(), room.bytes, &got, &figures, nullptr) == TW_OK);
    CHECK(room.guard_holds());
    std::size_t stretches = 0;
    for (owned_run& run : q.n.runs)
      for (std::size_t s = 0; s < run.stretches.size(); ++s, ++stretches)
        run.stretches[s].line =
            *line_of(run.tapes[s], run.stretches[s].line.segments, celsius{20}, run.stretches[s].line.lit);
    q.n.close();
    std::vector<double> workspace(network_workspace(q.n.net));
    std::vector<fed_run> runs(q.n.runs.size());
    std::vector<run_stretch> copies(stretches);
    std::vector<celsius> trace(runs.size());
    std::vector<fed_run_figures> want(runs.size());
    const auto all = solve_warm(q.n.net, q.around, {workspace, runs, copies}, trace, want);
    REQUIRE(all.ok());
    CHECK(same(figures, all->network));
    CHECK(figures.warming_rounds == all->rounds);
    CHECK(same(figures.residual_k, all->residual));
    for (std::size_t k = 0; k < want.size(); ++k) {
      auto run = empty_c<tw_fed_run_figures>();
      double trace_c = 0;
      REQUIRE(tw_solved_run(got, static_cast<std::int32_t>(k), &run, &trace_c, nullptr) == TW_OK);
      CHECK(same(run, want[k]));
      CHECK(same(trace_c, trace[k]));
    }
  }
}

TEST_CASE("tw_solve_dimmed_network: the bits of C++") {
  random_source r{61209};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 20; ++round) {
    CAPTURE(round);
    const conditions q{r, law_mix::monotone, 1 + round % 6, 30};
    const c_network c = q.as_c();
    block room{c.all};
    tw_dimmed* got = nullptr;
    auto figures = empty_c<tw_dimmed_figures>();
    REQUIRE(tw_solve_dimmed_network(&c.all, room.at(), room.bytes, &got, &figures, nullptr) == TW_OK);
    CHECK(room.guard_holds());
    const dimming_counts need = dimming_room_for(q.n.net);
    std::vector<double> workspace(need.doubles);
    std::vector<fed_run> runs(need.runs);
    std::vector<fed_run_figures> steady(need.runs);
    std::vector<fed_run_profile> steady_profiles(need.runs);
    std::vector<run_stretch> stretches(need.stretches);
    std::vector<amps> loads(need.loads);
    std::vector<feed_current> points(need.feeds);
    std::vector<dimmed_run> want(need.runs);
    std::vector<core_currents> hubs(q.n.hubs.size());
    std::vector<std::vector<double>> light;
    std::vector<std::vector<core_currents>> feeds;
    std::vector<dimmed_profile> profiles;
    for (const fed_run& run : q.n.net.runs) {
      light.emplace_back(static_cast<std::size_t>(segments_of(run) * run.stretches[0].line.channels));
      feeds.emplace_back(run.feeds.size());
    }
    for (std::size_t k = 0; k < need.runs; ++k) profiles.push_back({light[k], feeds[k]});
    const auto all =
        solve_dimmed(q.n.net, q.timings, {workspace, runs, steady, steady_profiles, stretches, loads, points},
                     want, hubs, profiles);
    REQUIRE(all.ok());
    CHECK(same(figures, *all));
    auto cores = empty_c<tw_core_currents>();
    for (std::size_t h = 0; h < hubs.size(); ++h) {
      REQUIRE(tw_dimmed_hub(got, static_cast<std::int32_t>(h), &cores, nullptr) == TW_OK);
      CHECK(same(cores, hubs[h]));
    }
    std::int32_t feed = 0;
    for (std::size_t k = 0; k < want.size(); ++k) {
      const auto place = static_cast<std::int32_t>(k);
      auto run = empty_c<tw_dimmed_run_figures>();
      REQUIRE(tw_dimmed_run(got, place, &run, &cores, nullptr) == TW_OK);
      CHECK(same(run, want[k]));
      CHECK(same(cores, want[k].feeder));
      for (const core_currents& f : feeds[k]) {
        REQUIRE(tw_dimmed_feed(got, feed++, &cores, nullptr) == TW_OK);
        CHECK(same(cores, f));
      }
      std::vector<double> told = nans(light[k].size());
      REQUIRE(tw_dimmed_light(got, place, told.data(), static_cast<std::int64_t>(told.size()), nullptr) ==
              TW_OK);
      CHECK(same_list(told, light[k]));
    }
  }
}

namespace {

/// The three solves, told apart by number; outputs poisoned unless one succeeds.
constexpr int ways = 3;
tw_status solve(int way, const tw_network* n, void* at, std::int64_t bytes, tw_fault* why) {
  auto figures = empty_c<tw_network_figures>();
  auto dimmed_figures = empty_c<tw_dimmed_figures>();
  tw_solved* solved = reinterpret_cast<tw_solved*>(&figures);
  tw_dimmed* dimmed = reinterpret_cast<tw_dimmed*>(&figures);
  tw_status status = -1;
  if (way == 0) status = tw_solve_network(n, at, bytes, &solved, &figures, why);
  if (way == 1) status = tw_solve_warm_network(n, at, bytes, &solved, &figures, why);
  if (way == 2) status = tw_solve_dimmed_network(n, at, bytes, &dimmed, &dimmed_figures, why);
  if (status != TW_OK) {
    const double total = way == 2 ? dimmed_figures.mean_a : figures.total_a;
    CHECK(total != total);
    const bool gone = way == 2 ? dimmed == nullptr : solved == nullptr;
    CHECK(gone);
  }
  return status;
}

}  // namespace

TEST_CASE("networks: lists, references and rows at fault are told with their place") {
  random_source r{61210};
  MESSAGE("seed " << r.seed());
  conditions q{r, law_mix::monotone, 2, 12};
  while (q.n.runs.size() < 2) q = conditions{r, law_mix::monotone, 2, 12};
  const auto told = [&](int way, auto&& spoil) {
    c_network c = q.as_c();
    block room{c.all};
    spoil(c);
    tw_fault why = empty_fault();
    const tw_status status = solve(way, &c.all, room.at(), room.bytes, &why);
    CHECK(status == why.code);
    CHECK(room.guard_holds());
    return why;
  };
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (int way = 0; way < ways; ++way) {
    CAPTURE(way);
    CHECK(told(way, [](auto&) {}).code == TW_OK);
    CHECK(told(way, [](auto& c) { c.all.run.at = nullptr; }).code == TW_NULL_POINTER);
    CHECK(told(way, [](auto& c) { c.all.hub.at = nullptr; }).code == TW_NULL_POINTER);
    CHECK(told(way, [](auto& c) { c.all.tape.at = nullptr; }).code == TW_NULL_POINTER);
    CHECK(told(way, [](auto& c) { c.all.stretch.at = nullptr; }).code == TW_NULL_POINTER);
    CHECK(told(way, [](auto& c) { c.all.feed.at = nullptr; }).code == TW_NULL_POINTER);
    CHECK(told(way, [](auto& c) { c.all.runs = -1; }).field == TW_FIELD_ROW_COUNT);
    CHECK(told(way, [](auto& c) { c.all.stretches -= 1; }).field == TW_FIELD_ROW_COUNT);
    CHECK(told(way, [](auto& c) { c.all.feeds -= 1; }).field == TW_FIELD_ROW_COUNT);
    CHECK(told(way, [](auto& c) { c.runs[0].stretches = 0; }).field == TW_FIELD_ROW_COUNT);
    CHECK(told(way, [](auto& c) { c.runs[1].stretches = 0x7fffffff; }).item == 1);
    CHECK(told(way, [](auto& c) { c.runs[1].feeds = 0; }).item == 1);
    CHECK(told(way, [](auto& c) { c.all.runs -= 1; }).code == TW_CONTRADICTION);
    CHECK(told(way, [](auto& c) { c.runs[1].hub = 9; }).code == TW_UNKNOWN_REFERENCE);
    CHECK(told(way, [](auto& c) { c.runs[1].hub = -1; }).item == 1);
    CHECK(told(way, [](auto& c) { c.runs[0].reserved = 1; }).code == TW_VERSION_MISMATCH);
    CHECK(told(way, [](auto& c) { c.runs[1].struct_size -= 8; }).code == TW_VERSION_MISMATCH);
    CHECK(told(way, [](auto& c) { c.stretches[0].tape = 99; }).field == TW_FIELD_RUN_TAPE);
    CHECK(told(way, [](auto& c) { c.stretches[0].tape = -1; }).code == TW_UNKNOWN_REFERENCE);
    CHECK(told(way, [](auto& c) { c.stretches[0].segments = 0; }).field == TW_FIELD_SEGMENT_COUNT);
    CHECK(told(way, [](auto& c) { c.stretches[0].segments = 100'001; }).field == TW_FIELD_SEGMENT_COUNT);
    CHECK(told(way, [&](auto& c) { c.stretches[0].link_common_ohm = nan; }).field == TW_FIELD_RESISTANCE);
    CHECK(told(way, [&](auto& c) { c.stretches[0].link_channel_ohm[1] = -1; }).field == TW_FIELD_RESISTANCE);
    CHECK(told(way, [](auto& c) { c.tapes[0].channels = 7; }).field == TW_FIELD_CHANNEL_COUNT);
    CHECK(told(way, [&](auto& c) { c.tapes[0].nominal_v = nan; }).field == TW_FIELD_NOMINAL_VOLTAGE);
    CHECK(told(way, [](auto& c) { c.feeds[0].place = -1; }).field == TW_FIELD_PLACE);
    CHECK(told(way, [](auto& c) { c.feeds[0].place = 1'000'000; }).field == TW_FIELD_PLACE);
    CHECK(told(way, [](auto& c) { c.feeds[0].reserved = 1; }).code == TW_VERSION_MISMATCH);
    CHECK(told(way, [&](auto& c) { c.feeds[0].common_ohm = nan; }).field == TW_FIELD_RESISTANCE);
    CHECK(told(way, [&](auto& c) { c.hubs[0].supply_ohm = nan; }).field == TW_FIELD_RESISTANCE);
    CHECK(told(way, [&](auto& c) { c.hubs[0].channel_ohm[5] = -1; }).field == TW_FIELD_RESISTANCE);
    CHECK(told(way, [&](auto& c) { c.all.source_v = nan; }).field == TW_FIELD_VOLTAGE);
    CHECK(told(way, [&](auto& c) { c.all.lead_ohm = -1; }).field == TW_FIELD_RESISTANCE);
    CHECK(told(way, [](auto& c) { c.all.struct_size = 8; }).code == TW_VERSION_MISMATCH);
  }
  CHECK(told(0, [&](auto& c) { c.stretches[0].trace_c = nan; }).field == TW_FIELD_TEMPERATURE);
  CHECK(told(1, [&](auto& c) { c.stretches[0].trace_c = nan; }).code == TW_OK);  // it finds its own
  CHECK(told(1, [&](auto& c) { c.runs[1].ambient_c = nan; }).field == TW_FIELD_AMBIENT);
  CHECK(told(1, [&](auto& c) { c.runs[1].ambient_c = nan; }).item == 1);
  CHECK(told(1, [](auto& c) { c.runs[0].warming_k_m_per_w = 101; }).field == TW_FIELD_WARMING_PER_LOAD);
  CHECK(told(1, [](auto& c) { c.runs[0].lamp_share = 1.5; }).field == TW_FIELD_SHARE);
  CHECK(told(2, [](auto& c) { c.hubs[0].duty[3] = 1.5; }).field == TW_FIELD_DUTY);
  CHECK(told(2, [](auto& c) { c.hubs[0].phase[4] = -0.5; }).field == TW_FIELD_PWM_PHASE);
  CHECK(told(2, [](auto& c) { c.hubs[0].phase[4] = -0.5; }).item == 4);
}

TEST_CASE("networks: stretches of tapes with different channels are refused, whichever comes first") {
  random_source r{61211};
  for (const bool fewer_first : {false, true}) {
    conditions q{r, law_mix::monotone, 3, 12};
    c_network c = q.as_c();
    c.stretches.push_back(c.stretches.back());
    c.tapes.push_back(c.tapes.back());
    c.stretches.back().tape = static_cast<std::int32_t>(c.tapes.size()) - 1;
    c.runs.back().stretches += 1;
    auto& changed = fewer_first ? c.tapes[c.tapes.size() - 2] : c.tapes.back();
    changed.channels = 1;
    c.point();
    block room{c.all};
    for (int way = 0; way < ways; ++way) {
      tw_fault why = empty_fault();
      CHECK(solve(way, &c.all, room.at(), room.bytes, &why) == TW_CONTRADICTION);
      CHECK(why.field == TW_FIELD_CHANNEL_COUNT);
      CHECK(room.guard_holds());
    }
  }
}

TEST_CASE("networks: blocks that are null, crooked or too small; outputs that are null or of no known size") {
  random_source r{61212};
  const conditions q{r, law_mix::monotone, 2, 12};
  const c_network c = q.as_c();
  block room{c.all};
  for (int way = 0; way < ways; ++way) {
    CAPTURE(way);
    tw_fault why = empty_fault();
    CHECK(solve(way, nullptr, room.at(), room.bytes, &why) == TW_NULL_POINTER);
    CHECK(why.item == 0);
    CHECK(solve(way, &c.all, nullptr, room.bytes, &why) == TW_NULL_POINTER);
    CHECK(why.item == 1);
    CHECK(solve(way, &c.all, static_cast<char*>(room.at()) + 4, room.bytes, &why) == TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_ALIGNMENT);
    for (const std::int64_t bytes : {room.bytes - 1, std::int64_t{0}, std::int64_t{-1}}) {
      CHECK(solve(way, &c.all, room.at(), bytes, &why) == TW_NO_ROOM);
      CHECK(why.least == static_cast<double>(room.bytes));
    }
    tw_fault bad = empty_fault();
    bad.struct_size = 4;
    CHECK(solve(way, &c.all, room.at(), room.bytes, &bad) == TW_VERSION_MISMATCH);
  }
  std::int64_t bytes = 5;
  CHECK(tw_network_workspace(nullptr, &bytes, nullptr) == TW_NULL_POINTER);
  CHECK(bytes == 0);
  CHECK(tw_network_workspace(&c.all, nullptr, nullptr) == TW_NULL_POINTER);

  tw_solved* solved = nullptr;
  auto figures = empty_c<tw_network_figures>();
  CHECK(tw_solve_network(&c.all, room.at(), room.bytes, nullptr, &figures, nullptr) == TW_NULL_POINTER);
  CHECK(tw_solve_network(&c.all, room.at(), room.bytes, &solved, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(solved == nullptr);
  figures.struct_size = 12;
  CHECK(tw_solve_network(&c.all, room.at(), room.bytes, &solved, &figures, nullptr) == TW_VERSION_MISMATCH);
  CHECK(solved == nullptr);
}

TEST_CASE("networks: rows of a newer release, which lie further apart, mean the same") {
  struct longer_run {
    tw_network_run run;
    std::uint64_t beyond[2];
  };
  random_source r{61213};
  const conditions q{r, law_mix::monotone, 2, 12};
  c_network c = q.as_c();
  block room{c.all};
  tw_solved* solved = nullptr;
  auto want = empty_c<tw_network_figures>(), got = empty_c<tw_network_figures>();
  REQUIRE(tw_solve_network(&c.all, room.at(), room.bytes, &solved, &want, nullptr) == TW_OK);
  std::vector<longer_run> longer;
  for (tw_network_run run : c.runs) {
    run.struct_size = sizeof(longer_run);
    longer.push_back({run, {}});
  }
  c.all.run.at = &longer[0].run;
  REQUIRE(tw_solve_network(&c.all, room.at(), room.bytes, &solved, &got, nullptr) == TW_OK);
  CHECK(std::memcmp(&want, &got, sizeof want) == 0);
  longer.back().beyond[1] = 1;
  CHECK(tw_solve_network(&c.all, room.at(), room.bytes, &solved, &got, nullptr) == TW_VERSION_MISMATCH);
}

TEST_CASE("networks: a collapse is told, and none of the block can be read as an answer") {
  random_source r{61214};
  conditions q{r, law_mix::constant_power, 2, 12};
  c_network c = q.as_c();
  for (tw_network_hub& h : c.hubs) h.supply_ohm = 1000;
  for (tw_network_run& run : c.runs) run.lit = TW_ALL_LIT;
  block room{c.all};
  for (int way = 0; way < ways; ++way)
    CHECK(solve(way, &c.all, room.at(), room.bytes, nullptr) == TW_NO_OPERATING_POINT);
  auto run = empty_c<tw_fed_run_figures>();
  double trace_c = 0;
  CHECK(tw_solved_run(static_cast<tw_solved*>(room.at()), 0, &run, &trace_c, nullptr) == TW_VERSION_MISMATCH);
  CHECK(trace_c != trace_c);
}

TEST_CASE("lists of a solved network: places past their ends, nulls, room too small, what is no answer") {
  random_source r{61215};
  const conditions q{r, law_mix::monotone, 2, 12};
  const c_network c = q.as_c();
  block room{c.all}, dimmed_room{c.all};
  tw_solved* solved = nullptr;
  tw_dimmed* dimmed = nullptr;
  auto figures = empty_c<tw_network_figures>();
  auto dimmed_figures = empty_c<tw_dimmed_figures>();
  REQUIRE(tw_solve_network(&c.all, room.at(), room.bytes, &solved, &figures, nullptr) == TW_OK);
  REQUIRE(tw_solve_dimmed_network(&c.all, dimmed_room.at(), dimmed_room.bytes, &dimmed, &dimmed_figures,
                                  nullptr) == TW_OK);
  const double nothing[64] = {};
  const auto* no_solved = reinterpret_cast<const tw_solved*>(nothing);
  const auto* no_dimmed = reinterpret_cast<const tw_dimmed*>(nothing);
  auto run = empty_c<tw_fed_run_figures>();
  auto dimmed_run = empty_c<tw_dimmed_run_figures>();
  auto cores = empty_c<tw_core_currents>();
  double trace_c = 0, common_a = 0, channel_a[TW_MOST_CHANNELS], one[1];
  std::vector<double> v(1000), i(1000);

  const auto runs = static_cast<std::int32_t>(c.runs.size()), hubs = static_cast<std::int32_t>(c.hubs.size()),
             feeds = static_cast<std::int32_t>(c.feeds.size());
  const auto refused_places = [&](std::int32_t count, auto&& ask) {
    for (const std::int32_t outside : {-1, count, 2147483647, -2147483647}) {
      tw_fault why = empty_fault();
      CHECK(ask(outside, &why) == TW_UNKNOWN_REFERENCE);
      CHECK(why.field == TW_FIELD_PLACE);
      CHECK(why.given == outside);
      CHECK(why.most == count - 1);
    }
    tw_fault bad = empty_fault();
    bad.struct_size = 4;
    CHECK(ask(0, &bad) == TW_VERSION_MISMATCH);
    CHECK(ask(0, nullptr) == TW_OK);
  };
  refused_places(runs, [&](std::int32_t at, tw_fault* why) {
    const tw_status status = tw_solved_run(solved, at, &run, &trace_c, why);
    CHECK((status == TW_OK) == (run.total_a == run.total_a && trace_c == trace_c));
    return status;
  });
  refused_places(runs, [&](std::int32_t at, tw_fault* why) {
    const tw_status status = tw_solved_profile(solved, at, v.data(), i.data(), 1000, why);
    CHECK((status == TW_OK) == (v[0] == v[0] && i[0] == i[0]));
    return status;
  });
  refused_places(feeds, [&](std::int32_t at, tw_fault* why) {
    const tw_status status = tw_solved_feed(solved, at, &common_a, channel_a, why);
    CHECK((status == TW_OK) == (common_a == common_a && channel_a[0] == channel_a[0]));
    return status;
  });
  refused_places(runs, [&](std::int32_t at, tw_fault* why) {
    const tw_status status = tw_dimmed_run(dimmed, at, &dimmed_run, &cores, why);
    CHECK((status == TW_OK) ==
          (dimmed_run.lamps_w == dimmed_run.lamps_w && cores.common_rms_a == cores.common_rms_a));
    return status;
  });
  refused_places(hubs, [&](std::int32_t at, tw_fault* why) {
    const tw_status status = tw_dimmed_hub(dimmed, at, &cores, why);
    CHECK((status == TW_OK) == (cores.common_rms_a == cores.common_rms_a));
    return status;
  });
  refused_places(feeds, [&](std::int32_t at, tw_fault* why) {
    const tw_status status = tw_dimmed_feed(dimmed, at, &cores, why);
    CHECK((status == TW_OK) == (cores.common_rms_a == cores.common_rms_a));
    return status;
  });
  refused_places(runs, [&](std::int32_t at, tw_fault* why) {
    const tw_status status = tw_dimmed_light(dimmed, at, v.data(), 1000, why);
    CHECK((status == TW_OK) == (v[0] == v[0]));
    return status;
  });

  CHECK(tw_solved_run(nullptr, 0, &run, &trace_c, nullptr) == TW_NULL_POINTER);
  CHECK(tw_solved_run(no_solved, 0, &run, &trace_c, nullptr) == TW_VERSION_MISMATCH);
  CHECK(tw_solved_run(solved, 0, nullptr, &trace_c, nullptr) == TW_NULL_POINTER);
  CHECK(tw_solved_run(solved, 0, &run, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_solved_profile(nullptr, 0, v.data(), i.data(), 1000, nullptr) == TW_NULL_POINTER);
  CHECK(tw_solved_profile(solved, 0, nullptr, nullptr, 0, nullptr) == TW_OK);
  tw_fault why = empty_fault();
  CHECK(tw_solved_profile(solved, 0, one, nullptr, 1, &why) == TW_NO_ROOM);
  CHECK(why.given == 1);
  CHECK(one[0] != one[0]);
  CHECK(tw_solved_profile(solved, 0, nullptr, one, 0, nullptr) == TW_OUT_OF_RANGE);
  CHECK(tw_solved_feed(solved, 0, nullptr, channel_a, nullptr) == TW_NULL_POINTER);
  CHECK(tw_solved_feed(solved, 0, &common_a, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(common_a != common_a);
  CHECK(tw_dimmed_run(no_dimmed, 0, &dimmed_run, &cores, nullptr) == TW_VERSION_MISMATCH);
  CHECK(tw_dimmed_run(dimmed, 0, nullptr, &cores, nullptr) == TW_NULL_POINTER);
  CHECK(tw_dimmed_run(dimmed, 0, &dimmed_run, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_dimmed_hub(nullptr, 0, &cores, nullptr) == TW_NULL_POINTER);
  CHECK(tw_dimmed_feed(nullptr, 0, &cores, nullptr) == TW_NULL_POINTER);
  CHECK(tw_dimmed_feed(dimmed, 0, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_dimmed_light(dimmed, 0, nullptr, 1000, nullptr) == TW_NULL_POINTER);
  CHECK(tw_dimmed_light(dimmed, 0, one, 1, nullptr) == TW_NO_ROOM);
  CHECK(one[0] != one[0]);
  CHECK(tw_dimmed_light(dimmed, 0, v.data(), -5, nullptr) == TW_OUT_OF_RANGE);
}
