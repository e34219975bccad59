// SPDX-License-Identifier: BSL-1.0
// What the library's own roots, exponentials and logarithms cost at run time.
#include <benchmark/benchmark.h>

#include "bench/unknown.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace {

// Each call takes a figure that the compiler cannot know and waits for no other call.
template <double (*function)(double)>
void one_argument(benchmark::State& state) {
  for (auto _ : state) {
    double y = function(unknown(2.7));
    benchmark::DoNotOptimize(y);
  }
}

double three_fifths_power(double x) { return tapewright::power(x, 0.6); }

BENCHMARK(one_argument<tapewright::square_root>)->Name("square_root");
BENCHMARK(one_argument<tapewright::detail::square_root_by_digits>)->Name("square_root by digits");
BENCHMARK(one_argument<tapewright::cube_root>)->Name("cube_root");
BENCHMARK(one_argument<tapewright::exponential>)->Name("exponential");
BENCHMARK(one_argument<tapewright::natural_log>)->Name("natural_log");
BENCHMARK(one_argument<three_fifths_power>)->Name("power");

}  // namespace
