// SPDX-License-Identifier: BSL-1.0
// Packing and cutting: small ones beside an integer-programming solver, large ones for how time grows.
#include <benchmark/benchmark.h>

#include <cstddef>
#include <cstdint>
#include <vector>

#include "tests/support/glpk.hpp"
#include "tests/unit/search/random_cutting.hpp"
#include "tests/unit/search/random_packing.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

/// Eight jobs of twelve controllers over eight drivers; seeds 71..78.
const std::vector<packing_case>& small_jobs() {
  static const std::vector<packing_case> jobs = [] {
    std::vector<packing_case> made;
    for (std::uint64_t seed = 71; seed < 79; ++seed) {
      random_source random{seed};
      made.push_back(street_of_shops(random, 12));
    }
    return made;
  }();
  return jobs;
}

const std::vector<long long>& small_optima() {
  static const std::vector<long long> optima = [] {
    std::vector<long long> found;
    for (const packing_case& job : small_jobs()) found.push_back(glpk_model{job}.solve().price);
    return found;
  }();
  return optima;
}

void small_packing(benchmark::State& state) {
  packing_heap heap{12, 8};
  for (auto _ : state)
    for (std::size_t j = 0; j < small_jobs().size(); ++j) {
      const auto a = cheapest_packing(small_jobs()[j].question(), heap.space());
      if (!a.ok() || !a->proven || a->price.price.minor != small_optima()[j])
        state.SkipWithError("another optimum than GLPK's");
      benchmark::DoNotOptimize(a->bins.data());
    }
}
BENCHMARK(small_packing)->Name("8 jobs of 12 controllers over 8 drivers")->Unit(benchmark::kMicrosecond);

void small_packing_by_glpk(benchmark::State& state) {
  for (auto _ : state)
    for (std::size_t j = 0; j < small_jobs().size(); ++j)
      if (glpk_model{small_jobs()[j]}.solve().price != small_optima()[j])
        state.SkipWithError("not the same twice");
}
BENCHMARK(small_packing_by_glpk)
    ->Name("8 jobs of 12 controllers over 8 drivers by GLPK")
    ->Unit(benchmark::kMillisecond);

void large_packing(benchmark::State& state) {
  random_source random{79};
  const packing_case job = street_of_shops(random, static_cast<std::size_t>(state.range(0)));
  packing_heap heap{job.items.size(), job.types.size()};
  double gap = 0;
  for (auto _ : state) {
    const auto a = cheapest_packing(job.question(), heap.space());
    if (!a.ok() || !a->fits) state.SkipWithError("no answer");
    gap = static_cast<double>(a->price.price.minor) / static_cast<double>(a->price_at_least.price.minor) - 1;
  }
  if (!(gap <= 0.03)) state.SkipWithError("more than 3 % above its bound");
  state.counters["gap_percent"] = 100 * gap;
}
BENCHMARK(large_packing)
    ->Name("controllers over 8 drivers")
    ->Arg(200)
    ->Arg(2000)
    ->Unit(benchmark::kMillisecond);

void large_cutting(benchmark::State& state) {
  random_source random{80};
  cutting_case job;
  for (std::int64_t i = 0; i < state.range(0); ++i) job.add_piece(25 * random.integer(8, 190));
  job.add_offer(10000, 1000, 890);
  cutting_heap heap{job};
  for (auto _ : state) {
    const auto a = cheapest_cutting(job.question(), heap.space());
    if (!a.ok() || !a->fits) state.SkipWithError("no answer");
    benchmark::DoNotOptimize(a->sold.data());
  }
}
BENCHMARK(large_cutting)
    ->Name("pieces from rolls of 10 m")
    ->Arg(200)
    ->Arg(2000)
    ->Unit(benchmark::kMillisecond);

}  // namespace
