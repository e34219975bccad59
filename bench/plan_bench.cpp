// SPDX-License-Identifier: BSL-1.0
// What a whole plan costs: the bookshop's runs and parts, through C++ and through the C interface; and what its networks do.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <iterator>
#include <memory>
#include <string>
#include <vector>

#include "examples/order_sheet/input_folder.hpp"
#include "tapewright.h"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/plan/planner.hpp"
#include "tests/support/bookshop_networks.hpp"
#include "tests/support/plan_room.hpp"
#include "tests/support/small_job.hpp"
#include "tests/unit/capi/c_rows.hpp"

namespace {

using namespace tapewright;

const order_sheet::input_folder& bookshop() {
  static const auto read = [] {
    auto input = std::make_unique<order_sheet::input_folder>();
    order_sheet::problem_list problems;
    order_sheet::read_folder(std::string{TAPEWRIGHT_SOURCE_DIR} + "/examples/order_sheet/bookshop", *input,
                             problems);
    return problems.empty() ? std::move(input) : nullptr;
  }();
  return *read;
}

using storage = plan_storage<40, 100'000>;

void plan_bookshop(benchmark::State& state) {
  const job question = bookshop().job();
  const catalogue parts = bookshop().parts();
  const auto room = std::make_unique<storage>();
  for (auto _ : state) {
    outcome<plan> made = make_plan(question, parts, room->space());
    if (!made.ok() || !made->fits) state.SkipWithError("the bookshop has no plan that fits");
    benchmark::DoNotOptimize(made);
  }
  state.counters["runs"] = static_cast<double>(question.runs.size());
  state.counters["parts"] =
      static_cast<double>(parts.tapes.size() + parts.cables.size() + parts.connectors.size() +
                          parts.controllers.size() + parts.drivers.size() + parts.overcurrent_devices.size());
}
BENCHMARK(plan_bookshop)->Name("the whole bookshop")->Unit(benchmark::kMillisecond);

void plan_bookshop_in_c(benchmark::State& state) {
  const test::c_question q{bookshop().job(), bookshop().parts()};
  std::int64_t bytes = 0;
  if (tw_plan_bytes(&q.job, &q.catalogue, &bytes, nullptr) != TW_OK) state.SkipWithError("no room told");
  std::vector<double> block(static_cast<std::size_t>(bytes) / 8 + 1);
  for (auto _ : state) {
    tw_plan* made = nullptr;
    if (tw_plan_make(&q.job, &q.catalogue, block.data(), bytes, &made, nullptr) != TW_OK)
      state.SkipWithError("the bookshop has no plan");
    benchmark::DoNotOptimize(made);
  }
  state.counters["block_kB"] = static_cast<double>(bytes) / 1000;
}
BENCHMARK(plan_bookshop_in_c)->Name("the whole bookshop, through C")->Unit(benchmark::kMillisecond);

/// A street of shops: ten runs a zone, four zones a driver place, white and five-colour zones in turn.
struct street {
  std::deque<std::string> texts;
  std::vector<zone> zones;
  std::vector<run> runs;
  std::vector<driver> drivers{std::begin(small_job::drivers), std::end(small_job::drivers)};

  explicit street(std::int64_t count) {
    drivers.back().overload_limit = amps{16};  // opens a fuse of 10 A, as full outputs need
    for (std::int64_t i = 0; i < count / 10; ++i) {
      zone z = small_job::zones[i % 2];
      z.code = texts.emplace_back("Z" + std::to_string(1000 + i));
      z.driver_place = texts.emplace_back("P" + std::to_string(i / 4));
      zones.push_back(z);
    }
    for (std::int64_t i = 0; i < count; ++i) {
      run r = small_job::runs[(i / 10) % 2 == 0 ? 0 : 1 + i % 2];
      r.code = texts.emplace_back("R" + std::to_string(10000 + i));
      r.zone = static_cast<std::int32_t>(i / 10);
      r.measured = metres{0.5 + 0.05 * static_cast<double>(i * 37 % 60)};
      runs.push_back(r);
    }
  }
};

void plan_street(benchmark::State& state) {
  const street s{state.range(0)};
  job question = small_job::question();
  question.zones = s.zones;
  question.runs = s.runs;
  catalogue parts = small_job::parts;
  parts.drivers = s.drivers;
  const auto need = space_for(question, parts);
  test::plan_room room{*need, 100'000};
  double gap = 0;
  for (auto _ : state) {
    const auto made = make_plan(question, parts, room.space());
    if (!made.ok() || !made->fits) {
      state.SkipWithError("no plan that fits");
      break;
    }
    gap = static_cast<double>(made->price.minor) / static_cast<double>(made->price_at_least.minor) - 1;
  }
  if (!(gap <= 0.03)) state.SkipWithError("more than 3 % above its bound");
  state.counters["gap_percent"] = 100 * gap;
}
BENCHMARK(plan_street)->Name("a street of runs")->Arg(200)->Arg(2000)->Unit(benchmark::kMillisecond);

/// The bookshop's driver outputs as networks, and each of their runs by itself behind its own share of the conductors.
struct bookshop_runs {
  struct lone_run {
    tape_line line;
    line_feed feed;
  };
  std::vector<std::unique_ptr<test::output_network>> networks =
      test::bookshop_networks(TAPEWRIGHT_SOURCE_DIR);
  std::vector<lone_run> alone;
  std::vector<double> room;
  std::vector<fed_run_figures> figures;

  bookshop_runs() {
    std::size_t doubles = 0, runs = 0;
    for (const auto& n : networks) {
      doubles = std::max(doubles, network_workspace(n->net));
      runs = std::max(runs, n->runs.size());
      for (const fed_run& r : n->runs) {
        const feed_hub& hub = n->hubs[static_cast<std::size_t>(r.hub)];
        lone_run one{r.stretches[0].line,
                     {n->net.source, n->net.lead + hub.supply + r.common + r.feeds[0].common, {}}};
        for (std::size_t c = 0; c < max_channels; ++c)
          one.feed.channel[c] = hub.channel[c] + r.channel[c] + r.feeds[0].channel[c];
        doubles = std::max(doubles, line_workspace(one.line.segments, one.line.channels));
        alone.push_back(one);
      }
    }
    room.resize(doubles);
    figures.resize(runs);
  }
};

void bookshop_at_once(benchmark::State& state) {
  bookshop_runs shop;
  if (shop.alone.empty()) state.SkipWithError("the bookshop has no plan");
  for (auto _ : state)
    for (const auto& n : shop.networks) {
      auto got = solve_network(n->net, shop.room, shop.figures);
      benchmark::DoNotOptimize(got);
      if (!got.ok()) state.SkipWithError("no solution");
    }
}
BENCHMARK(bookshop_at_once)->Name("the bookshop's networks, driver by driver");

void bookshop_one_by_one(benchmark::State& state) {
  bookshop_runs shop;
  if (shop.alone.empty()) state.SkipWithError("the bookshop has no plan");
  for (auto _ : state)
    for (const bookshop_runs::lone_run& r : shop.alone) {
      auto got = solve_line(r.line, r.feed, {}, shop.room);
      benchmark::DoNotOptimize(got);
      if (!got.ok()) state.SkipWithError("no solution");
    }
}
BENCHMARK(bookshop_one_by_one)->Name("the bookshop's runs, each by itself");

}  // namespace
