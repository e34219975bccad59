// SPDX-License-Identifier: BSL-1.0
// What a call through the C interface costs beside the same function inline, and a column beside its rows.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string>
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

ampacity_question question(const conductor_size& conductor, std::int32_t family, std::int32_t method,
                           double limit_c) {
  ampacity_question q;
  q.conductor = conductor;
  q.family = static_cast<code_family>(unknown_whole(family));
  q.method = static_cast<laying>(unknown_whole(method));
  q.conductor_limit = celsius{unknown(limit_c)};
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
  measure("inline ampacity", [] {
    return ampacity(question({conductor_system::metric_class_5, square_millimetres{unknown(2.5)}, 0},
                             TW_CODE_IEC, TW_METHOD_B2, 70));
  });
  measure("tw_metric_ampacity", [] {
    double allowed = 0;
    tw_metric_ampacity(unknown_whole(TW_CODE_IEC), unknown_whole(TW_METHOD_B2), unknown(2.5), unknown(70),
                       unknown_whole(2), unknown(40), unknown_whole(1), unknown_whole(TW_GROUPING_BUNCHED),
                       &allowed, nullptr);
    return allowed;
  });
  measure("inline ampacity of a gauge", [] {
    return ampacity(question({conductor_system::awg, {}, unknown_whole(14)}, TW_CODE_NEC, TW_METHOD_B2, 75));
  });
  measure("tw_awg_ampacity", [] {
    double allowed = 0;
    tw_awg_ampacity(unknown_whole(TW_CODE_NEC), unknown_whole(TW_METHOD_B2), unknown_whole(14), unknown(75),
                    unknown_whole(2), unknown(40), unknown_whole(1), unknown_whole(TW_GROUPING_BUNCHED),
                    &allowed, nullptr);
    return allowed;
  });
  return true;
}();

// ---- columns ------------------------------------------------------------------------------------------
// Each column function beside a loop with the formula and its checks, as a careful C programmer would write it. Arrays of
// the program itself: the compiler sees that none overlaps another.

constexpr std::size_t rows = 10'000;
constexpr double refused = __builtin_nan("");
double in[3][rows], out[2][rows];
std::int64_t whole[rows];

/// Times `work` over columns that hold one figure each.
template <class Work>
void over(const std::string& name, const std::vector<double>& figures, Work work) {
  benchmark::RegisterBenchmark(name.c_str(), [=](benchmark::State& state) {
    for (std::size_t k = 0; k < figures.size(); ++k) std::fill_n(in[k], rows, figures[k]);
    for (auto _ : state) {
      work();
      benchmark::ClobberMemory();
    }
  });
}
template <class Loop, class Call>
void beside(const std::string& what, const std::string& function, const std::vector<double>& figures,
            Loop loop, Call call) {
  over("10,000 " + what + " in a plain loop", figures, loop);
  over("10,000 " + what + " by " + function, figures, call);
}
/// The loop with one answer a row.
template <class Row>
auto every(Row row) {
  return [row] {
    for (std::size_t i = 0; i < rows; ++i) out[0][i] = row(i);
  };
}

const bool columns_registered = [] {
  beside(
      "cuts", "tw_cut_length_n", {4.63},
      [] {
        const double pitch = unknown(0.05);
        for (std::size_t i = 0; i < rows; ++i) {
          const double measured = in[0][i], noise = 1e-9 * measured > 1e-6 ? 1e-9 * measured : 1e-6;
          const double pieces = (measured + noise) / pitch;
          const bool good =
              measured >= 0.001 && measured <= 1000 && pitch >= 0.001 && pitch <= 5 && pieces >= 1;
          whole[i] = good ? static_cast<std::int64_t>(pieces) : 0;
          const double length = static_cast<double>(whole[i]) * pitch;
          out[0][i] = good ? length : refused;
          out[1][i] = !good ? refused : measured > length ? measured - length : 0;
        }
      },
      [] {
        const double pitch = unknown(0.05);
        tw_cut_length_n(in[0], 1, &pitch, 0, rows, whole, 1, out[0], 1, out[1], 1, nullptr);
      });
  beside(
      "sales", "tw_sale_units_n", {4.6},
      [] {
        const double quantum = unknown(1);
        for (std::size_t i = 0; i < rows; ++i) {
          const double need = in[0][i], noise = 1e-9 * need > 1e-6 ? 1e-9 * need : 1e-6;
          const bool good = need >= 0 && need <= 1e4 && quantum >= 0.001 && quantum <= 1000;
          const double quanta = good && need > noise ? (need - noise) / quantum : 0;
          const auto below = static_cast<std::int64_t>(quanta);
          whole[i] = below + (static_cast<double>(below) < quanta ? 1 : 0);
        }
      },
      [] {
        const double quantum = unknown(1);
        tw_sale_units_n(in[0], 1, &quantum, 0, rows, whole, 1, nullptr);
      });
  beside(
      "channel loads", "tw_channel_load_n", {14.4, 4},
      [] {
        const double nominal = unknown(24);
        for (std::size_t i = 0; i < rows; ++i) {
          const double load = in[0][i], length = in[1][i], power = load * length;
          const bool good =
              load >= 0.001 && load <= 200 && nominal >= 5 && nominal <= 60 && length >= 0 && length <= 1e4;
          out[0][i] = good ? power : refused;
          out[1][i] = good ? power / nominal : refused;
        }
      },
      [] {
        const double nominal = unknown(24);
        tw_channel_load_n(in[0], 1, &nominal, 0, in[1], 1, rows, out[0], 1, out[1], 1, nullptr);
      });
  beside(
      "resistances", "tw_copper_resistance_n", {0.0133},
      [] {
        const double t = unknown(70);
        every([t](std::size_t i) {
          const double r = in[0][i];
          return r >= 0 && r <= 1000 && t >= -60 && t <= 200 ? r * (1 + 0.00393 * (t - 20)) : refused;
        })();
      },
      [] {
        const double t = unknown(70);
        tw_copper_resistance_n(in[0], 1, &t, 0, rows, out[0], 1, nullptr);
      });
  beside(
      "drops", "tw_two_wire_drop_n", {2.5, 4},
      [] {
        const double r = unknown(0.021);
        every([r](std::size_t i) {
          const double current = in[0][i], length = in[1][i];
          return current >= 0 && current <= 1e4 && r >= 0 && r <= 1e3 && length >= 0 && length <= 1e4
                     ? 2 * (current * (r * length))
                     : refused;
        })();
      },
      [] {
        const double r = unknown(0.021);
        tw_two_wire_drop_n(in[0], 1, &r, 0, in[1], 1, rows, out[0], 1, nullptr);
      });
  beside(
      "drops with a common core", "tw_feeder_drop_n", {6, 2, 5},
      [] {
        const double r = unknown(0.01);
        every([r](std::size_t i) {
          const double common = in[0][i], own = in[1][i], length = in[2][i];
          return common >= 0 && common <= 1e4 && own >= 0 && own <= 1e4 && r >= 0 && r <= 1e3 &&
                         length >= 0 && length <= 1e4
                     ? (common + own) * (r * length)
                     : refused;
        })();
      },
      [] {
        const double r = unknown(0.01);
        tw_feeder_drop_n(in[0], 1, in[1], 1, &r, 0, in[2], 1, rows, out[0], 1, nullptr);
      });
  beside(
      "sections", "tw_least_area_n", {20, 5},
      [] {
        const double allowed = unknown(1.38), rho = unknown(0.0172);
        every([allowed, rho](std::size_t i) {
          const double current = in[0][i], length = in[1][i];
          return current >= 0 && current <= 1e4 && length >= 0 && length <= 1e4 && allowed >= 1e-4 &&
                         allowed <= 120 && rho >= 0.001 && rho <= 0.1
                     ? 2 * rho * current * length / allowed
                     : refused;
        })();
      },
      [] {
        const double allowed = unknown(1.38), rho = unknown(0.0172);
        tw_least_area_n(in[0], 1, in[1], 1, &allowed, 0, &rho, 0, rows, out[0], 1, nullptr);
      });
  beside(
      "contacts", "tw_contact_current_n", {10, 45},
      [] {
        const double rating_ambient = unknown(20), limit = unknown(105), factor = unknown(0.8);
        every([=](std::size_t i) {
          const double rated = in[0][i], ambient = in[1][i];
          const bool good = rated >= 0.001 && rated <= 1e4 && rating_ambient >= -20 &&
                            rating_ambient <= 120 && limit >= 30 && limit <= 250 && ambient >= -40 &&
                            ambient <= 120 && factor >= 0.1 && factor <= 1 && rating_ambient < limit;
          return !good ? refused
                 : ambient >= limit
                     ? 0
                     : factor * rated * std::sqrt((limit - ambient) / (limit - rating_ambient));
        })();
      },
      [] {
        const double rating_ambient = unknown(20), limit = unknown(105), factor = unknown(0.8);
        tw_contact_current_n(in[0], 1, &rating_ambient, 0, &limit, 0, in[1], 1, &factor, 0, rows, out[0], 1,
                             nullptr);
      });
  beside(
      "capacities", "tw_least_capacity_n", {100},
      [] {
        const double headroom = unknown(0.1);
        every([headroom](std::size_t i) {
          const double load = in[0][i];
          return load >= 0 && load <= 1e6 && headroom >= 0 && headroom <= 2 ? load * (1 + headroom) : refused;
        })();
      },
      [] {
        const double headroom = unknown(0.1);
        tw_least_capacity_n(in[0], 1, &headroom, 0, rows, out[0], 1, nullptr);
      });
  beside(
      "years", "tw_yearly_energy_n", {60},
      [] {
        const double hours = unknown(1000);
        every([hours](std::size_t i) {
          const double input = in[0][i];
          return input >= 0 && input <= 1e6 && hours >= 0 && hours <= 8784 ? input * hours / 1000 : refused;
        })();
      },
      [] {
        const double hours = unknown(1000);
        tw_yearly_energy_n(in[0], 1, &hours, 0, rows, out[0], 1, nullptr);
      });
  beside("lightnesses", "tw_lightness_n", {0.18}, every([](std::size_t i) {
           const double y = in[0][i];
           return y >= 0 && y <= 1 ? (y > 216.0 / 24389 ? 116 * std::cbrt(y) - 16 : 24389.0 / 27 * y)
                                   : refused;
         }),
         [] { tw_lightness_n(in[0], 1, rows, out[0], 1, nullptr); });
  return true;
}();

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
