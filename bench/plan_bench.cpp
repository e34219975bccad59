// SPDX-License-Identifier: BSL-1.0
// What a whole plan costs: the bookshop's runs and parts, through C++ and through the C interface.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "examples/order_sheet/input_folder.hpp"
#include "tapewright.h"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/planner.hpp"
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

/// The runs of the bookshop's plan as networks, one for each output of a driver, and each by itself. All in full
/// light, copper as hot as it gets.
struct bookshop_networks {
  struct output {
    std::vector<feed_hub> hubs;
    std::vector<fed_run> runs;
    feed_network net;
    std::vector<double> room;
    std::vector<fed_run_figures> figures;
  };
  std::unique_ptr<storage> planned = std::make_unique<storage>();
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  std::vector<output> outputs;
  std::vector<line_feed> alone;
  std::vector<double> line_room;
  bool ok = false;

  bookshop_networks() {
    const job question = bookshop().job();
    const catalogue parts = bookshop().parts();
    const outcome<plan> made = make_plan(question, parts, planned->space());
    if (!made.ok()) return;
    std::size_t room = 0;
    stretches.reserve(made->runs.size());
    feeds.resize(made->runs.size());
    outputs.resize(made->outputs.size());
    std::vector<std::int32_t> hub_of;  // of plan.hubs, among its output's
    for (const hub_plan& h : made->hubs) {
      feed_hub hub{2 * core_of(h.supply, hot_copper), {}};
      for (ohms& r : hub.channel)
        r = h.controller < 0 ? ohms{}
                             : parts.controllers[static_cast<std::size_t>(h.controller)].switch_resistance;
      std::vector<feed_hub>& on = outputs[static_cast<std::size_t>(h.output)].hubs;
      hub_of.push_back(static_cast<std::int32_t>(on.size()));
      on.push_back(hub);
    }
    for (const run_plan& r : made->runs) {
      const run& asked = question.runs[static_cast<std::size_t>(r.run)];
      const hub_plan& h = made->hubs[static_cast<std::size_t>(r.hub)];
      output& o = outputs[static_cast<std::size_t>(h.output)];
      const tape& t = parts.tapes[static_cast<std::size_t>(asked.tape)];
      const outcome<tape_line> line = line_of(t, r.cut.segments, asked.ambient);
      if (!line.ok()) return;
      stretches.push_back({*line, {}, {}});
      fed_run run;
      run.hub = hub_of[static_cast<std::size_t>(r.hub)];
      run.stretches = {&stretches.back(), 1};
      run.feeds = {&feeds[stretches.size() - 1], 1};
      run.common = core_of(r.feeder, hot_copper) + detail::contact_at(parts, h.splice) +
                   detail::contact_at(parts, r.connector);
      for (ohms& own : run.channel) own = run.common;
      o.runs.push_back(run);
      o.net.source = t.nominal;
      const feed_hub& hub = o.hubs[static_cast<std::size_t>(run.hub)];
      line_feed feed{t.nominal, run.common + hub.supply, {}};
      for (ohms& own : feed.channel) own = run.common + hub.channel[0];
      alone.push_back(feed);
      room = std::max(room, line_workspace(line->segments, line->channels));
    }
    for (output& o : outputs) {
      o.net.hubs = o.hubs;
      o.net.runs = o.runs;
      o.room.resize(network_workspace(o.net));
      o.figures.resize(o.runs.size());
    }
    line_room.resize(room);
    ok = true;
  }
};

void bookshop_at_once(benchmark::State& state) {
  bookshop_networks shop;
  if (!shop.ok) state.SkipWithError("the bookshop has no plan");
  for (auto _ : state)
    for (bookshop_networks::output& o : shop.outputs) {
      auto got = solve_network(o.net, o.room, o.figures);
      benchmark::DoNotOptimize(got);
      if (!got.ok()) state.SkipWithError("no solution");
    }
}
BENCHMARK(bookshop_at_once)->Name("the bookshop's networks, driver by driver");

void bookshop_one_by_one(benchmark::State& state) {
  bookshop_networks shop;
  if (!shop.ok) state.SkipWithError("the bookshop has no plan");
  for (auto _ : state)
    for (std::size_t r = 0; r < shop.stretches.size(); ++r) {
      auto got = solve_line(shop.stretches[r].line, shop.alone[r], {}, shop.line_room);
      benchmark::DoNotOptimize(got);
      if (!got.ok()) state.SkipWithError("no solution");
    }
}
BENCHMARK(bookshop_one_by_one)->Name("the bookshop's runs, each by itself");

}  // namespace
