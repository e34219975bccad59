// SPDX-License-Identifier: BSL-1.0
// What it costs to know how a run follows its inputs, and how far it may move within tolerances.
#include <benchmark/benchmark.h>

#include <cstddef>
#include <cstdint>
#include <vector>

#include "bench/tape_cases.hpp"
#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tolerance.hpp"

namespace {

using namespace tapewright;
using namespace tapewright::bench;

/// A run of the size of the bookshop's arch: 87 segments of 50 mm.
constexpr std::int64_t segments = 87;

void dimmest_lamp(benchmark::State& state) {
  fed_tape run{
      *line_of(bench_tape(5, load_kind::resistor_limited), segments, celsius{40}), bench_feed(), {0}};
  std::vector<volts> u(segments * 5);
  std::vector<amps> i(segments * 5);
  feed_current lead;
  const fed_run_profile profile{u, i, {&lead, 1}};
  if (!solve_network(run.net, run.room, {&run.figures, 1}, {&profile, 1}).ok())
    state.SkipWithError("no solution");
  const load_place at = dimmest_load(run.run, run.figures, profile);
  std::vector<double> room(sensitivity_workspace(run.net));
  run_sensitivity told;
  hub_sensitivity hub;
  for (auto _ : state) {
    benchmark::DoNotOptimize(run.net);
    auto got = sensitivity_of(run.net, {&profile, 1}, at, room, {&told, 1}, {&hub, 1});
    benchmark::DoNotOptimize(got);
    if (!got.ok()) state.SkipWithError("no derivatives");
  }
}
BENCHMARK(dimmest_lamp)->Name("sensitivity of the dimmest lamp, 5 channels, 87 segments");

void all_bounds(benchmark::State& state) {
  fed_tape run{
      *line_of(bench_tape(5, load_kind::resistor_limited), segments, celsius{40}), bench_feed(), {0}};
  const tolerance_needs needs = tolerance_space_for(run.net);
  std::vector<feed_hub> hubs(needs.hubs);
  std::vector<fed_run> runs(needs.runs);
  std::vector<run_stretch> stretches(needs.stretches);
  std::vector<feed_point> feeds(needs.feeds);
  std::vector<fed_run_figures> figures(needs.runs);
  std::vector<fed_run_profile> profiles(needs.runs);
  std::vector<volts> voltages(needs.loads);
  std::vector<double> doubles(needs.doubles);
  network_tolerances t;
  t.source = {0.98, 1.02};
  t.load = {0.95, 1.05};
  t.trace = {0.9, 1.1};
  t.cable = {0.9, 1.13};
  run_bounds told;
  for (auto _ : state) {
    benchmark::DoNotOptimize(run.net);
    auto got = bounds_of(run.net, t, {hubs, runs, stretches, feeds, figures, profiles, voltages, doubles},
                         {&told, 1});
    benchmark::DoNotOptimize(got);
    if (!got.ok()) state.SkipWithError("no bounds");
  }
}
BENCHMARK(all_bounds)->Name("all bounds of a run, 5 channels, 87 segments")->Unit(benchmark::kMillisecond);

}  // namespace
