// SPDX-License-Identifier: BSL-1.0
// What a call through the C interface costs beside the same function inline, and a column beside its rows.
#include <benchmark/benchmark.h>

#include <cstdint>
#include <cstring>
#include <vector>

#include "bench/unknown.hpp"
#include "tapewright.h"
#include "tapewright/rules/ampacity.hpp"
#include "tapewright/rules/contact_derating.hpp"
#include "tapewright/rules/copper.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/feeder_size.hpp"
#include "tapewright/sizing/run_length.hpp"

namespace {

using namespace tapewright;

template <class Ask>
void measure(const char* name, Ask ask) {
  benchmark::RegisterBenchmark(name, [ask](benchmark::State& state) {
    for (auto _ : state) {
      auto answer = ask();
      benchmark::DoNotOptimize(answer);
    }
  });
}

ampacity_question iec_question() {
  ampacity_question q;
  q.conductor = {conductor_system::metric_class_5, square_millimetres{unknown(2.5)}, 0};
  q.family = static_cast<code_family>(unknown_whole(TW_CODE_IEC));
  q.method = static_cast<laying>(unknown_whole(TW_METHOD_B2));
  q.grouping = static_cast<arrangement>(unknown_whole(TW_GROUPING_BUNCHED));
  q.circuits = unknown_whole(1);
  q.loaded_conductors = unknown_whole(2);
  q.ambient = celsius{unknown(40)};
  return q;
}

const bool registered = [] {
  measure("inline two_wire_drop", [] {
    return two_wire_drop(amps{unknown(2.5)}, ohms_per_metre{unknown(0.021)}, metres{unknown(4)});
  });
  measure("tw_two_wire_drop", [] {
    double drop = 0;
    tw_two_wire_drop(unknown(2.5), unknown(0.021), unknown(4), &drop, nullptr);
    return drop;
  });
  measure("tw_two_wire_drop with fault", [] {
    double drop = 0;
    tw_fault why;
    why.struct_size = sizeof why;
    tw_two_wire_drop(unknown(2.5), unknown(0.021), unknown(4), &drop, &why);
    benchmark::DoNotOptimize(why);
    return drop;
  });
  measure("inline cut_to_pitch", [] { return cut_to_pitch(metres{unknown(4.63)}, metres{unknown(0.05)}); });
  measure("tw_cut_length", [] {
    std::int64_t segments = 0;
    double length = 0, dark = 0;
    tw_cut_length(unknown(4.63), unknown(0.05), &segments, &length, &dark, nullptr);
    return length;
  });
  measure("inline copper resistance_at",
          [] { return resistance_at(ohms_per_metre{unknown(0.0133)}, celsius{unknown(70)}); });
  measure("tw_copper_resistance", [] {
    double r = 0;
    tw_copper_resistance(unknown(0.0133), unknown(70), &r, nullptr);
    return r;
  });
  measure("inline contact_current", [] {
    return contact_current(amps{unknown(10)}, celsius{unknown(20)}, celsius{unknown(105)},
                           celsius{unknown(45)}, unknown(0.8));
  });
  measure("tw_contact_current", [] {
    double allowed = 0;
    tw_contact_current(unknown(10), unknown(20), unknown(105), unknown(45), unknown(0.8), &allowed, nullptr);
    return allowed;
  });
  measure("inline least_capacity", [] { return least_capacity(watts{unknown(100)}, unknown(0.1)); });
  measure("tw_least_capacity", [] {
    double capacity = 0;
    tw_least_capacity(unknown(100), unknown(0.1), &capacity, nullptr);
    return capacity;
  });
  measure("inline ampacity", [] { return ampacity(iec_question()); });
  measure("tw_metric_ampacity", [] {
    double allowed = 0;
    tw_metric_ampacity(TW_CODE_IEC, TW_METHOD_B2, unknown(2.5), 70, unknown_whole(2), unknown(40), 1,
                       TW_GROUPING_BUNCHED, &allowed, nullptr);
    return allowed;
  });
  return true;
}();

constexpr std::int64_t rows = 10'000;

/// The formula and its checks of range, as a careful C programmer would write them in a loop.
void plain_loop(benchmark::State& state) {
  const std::vector<double> current(rows, 2.5), length(rows, 4);
  std::vector<double> drop(rows);
  const double r = unknown(0.021);
  for (auto _ : state) {
    for (std::size_t i = 0; i < rows; ++i) {
      const bool good =
          current[i] >= 0 && current[i] <= 1e4 && r >= 0 && r <= 1e3 && length[i] >= 0 && length[i] <= 1e4;
      drop[i] = good ? 2 * (current[i] * (r * length[i])) : __builtin_nan("");
    }
    benchmark::DoNotOptimize(drop.data());
    benchmark::ClobberMemory();
  }
}
BENCHMARK(plain_loop)->Name("10,000 drops in a plain loop");

void column(benchmark::State& state) {
  const std::vector<double> current(rows, 2.5), length(rows, 4);
  std::vector<double> drop(rows);
  const double r = unknown(0.021);
  for (auto _ : state) {
    tw_two_wire_drop_n(current.data(), 1, &r, 0, length.data(), 1, rows, drop.data(), 1, nullptr);
    benchmark::DoNotOptimize(drop.data());
    benchmark::ClobberMemory();
  }
}
BENCHMARK(column)->Name("10,000 drops by tw_two_wire_drop_n");

// A formula of one multiplication over columns that no cache holds: beside the copying of as many bytes.
constexpr std::int64_t many = 4'000'000;

void copied(benchmark::State& state) {
  const std::vector<double> load(many, 100);
  std::vector<double> capacity(many);
  for (auto _ : state) {
    std::memcpy(capacity.data(), load.data(), many * sizeof(double));
    benchmark::DoNotOptimize(capacity.data());
    benchmark::ClobberMemory();
  }
}
BENCHMARK(copied)->Name("4,000,000 doubles copied by memcpy");

void plain_multiply(benchmark::State& state) {
  const std::vector<double> load(many, 100);
  std::vector<double> capacity(many);
  const double factor = 1 + unknown(0.1);
  for (auto _ : state) {
    for (std::size_t i = 0; i < many; ++i)
      capacity[i] = load[i] >= 0 && load[i] <= 1e6 ? load[i] * factor : __builtin_nan("");
    benchmark::DoNotOptimize(capacity.data());
    benchmark::ClobberMemory();
  }
}
BENCHMARK(plain_multiply)->Name("4,000,000 capacities in a plain loop");

void capacity_column(benchmark::State& state) {
  const std::vector<double> load(many, 100);
  std::vector<double> capacity(many);
  const double headroom = unknown(0.1);
  for (auto _ : state) {
    tw_least_capacity_n(load.data(), 1, &headroom, 0, many, capacity.data(), 1, nullptr);
    benchmark::DoNotOptimize(capacity.data());
    benchmark::ClobberMemory();
  }
}
BENCHMARK(capacity_column)->Name("4,000,000 capacities by tw_least_capacity_n");

}  // namespace
