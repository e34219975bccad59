// SPDX-License-Identifier: BSL-1.0
// What it costs to know how light runs along a tape: per run, and per segment and channel.
#include <benchmark/benchmark.h>

#include <cstddef>
#include <cstdint>
#include <vector>

#include "bench/tape_cases.hpp"
#include "tapewright/network/longest_run.hpp"
#include "tapewright/network/tape_line.hpp"

namespace {

using namespace tapewright;
using namespace tapewright::bench;

/// One whole solve: figures of every channel, no profile. The inputs come from memory that the
/// compiler must believe changed.
void one_end(benchmark::State& state, std::int64_t segments, std::size_t channels, load_kind kind) {
  tape_line line = *line_of(bench_tape(channels, kind), segments, celsius{40});
  line_feed feed = bench_feed();
  std::vector<double> room(line_workspace(segments, static_cast<std::int32_t>(channels)));
  for (auto _ : state) {
    benchmark::DoNotOptimize(line);
    benchmark::DoNotOptimize(feed);
    auto got = solve_line(line, feed, {}, room);
    benchmark::DoNotOptimize(got);
    if (!got.ok()) state.SkipWithError("no solution");
  }
  // 1 / (seconds x segments x channels): shown as items per second
  state.SetItemsProcessed(state.iterations() * segments * static_cast<std::int64_t>(channels));
}

/// A tape as long and as bright as that of 200 segments, cut a hundred times as fine; and one that is a hundred
/// times as long, most of it dark.
tape_line finer(tape_line line, std::int64_t segments) {
  const double share = static_cast<double>(line.segments) / static_cast<double>(segments);
  line.segments = segments;
  line.common *= share;
  for (ohms& r : line.channel) r *= share;
  for (load_law& l : line.law) l.slope *= share;
  return line;
}

void three_feeds(benchmark::State& state, std::int64_t segments, bool fine) {
  const tape t = bench_tape(5, load_kind::resistor_limited);
  const tape_line line =
      fine ? finer(*line_of(t, 200, celsius{40}), segments) : *line_of(t, segments, celsius{40});
  fed_tape f{line, bench_feed(), {0, segments / 2, segments}};
  for (auto _ : state) {
    benchmark::DoNotOptimize(f.stretch);
    auto got = f.solve();
    benchmark::DoNotOptimize(got);
    if (!got.ok()) state.SkipWithError("no solution");
  }
  state.SetItemsProcessed(state.iterations() * segments * 5);
}

void longest(benchmark::State& state) {
  tape t = bench_tape(5, load_kind::resistor_limited);
  line_feed feed = bench_feed();
  for (auto _ : state) {
    benchmark::DoNotOptimize(t);
    auto got = longest_even_run(t, feed, 0.9, celsius{40});
    benchmark::DoNotOptimize(got);
  }
}

BENCHMARK_CAPTURE(one_end, resistor, 200, 1, load_kind::resistor_limited)
    ->Name("tape line, 1 channel, 200 segments");
BENCHMARK_CAPTURE(one_end, resistor5, 200, 5, load_kind::resistor_limited)
    ->Name("tape line, 5 channels, 200 segments");
BENCHMARK_CAPTURE(one_end, regulated5, 200, 5, load_kind::regulated)
    ->Name("tape line, 5 channels, 200 segments, regulated");
BENCHMARK_CAPTURE(one_end, power5, 200, 5, load_kind::constant_power)
    ->Name("tape line, 5 channels, 200 segments, constant power");
BENCHMARK_CAPTURE(three_feeds, short, 200, true)->Name("three feeds, 5 channels, 200 segments");
BENCHMARK_CAPTURE(three_feeds, fine, 20'000, true)->Name("three feeds, 5 channels, 20000 segments");
BENCHMARK_CAPTURE(three_feeds, long, 20'000, false)->Name("three feeds, 5 channels, 1 km, mostly dark");
BENCHMARK(longest)->Name("longest even run, 5 channels");

}  // namespace
