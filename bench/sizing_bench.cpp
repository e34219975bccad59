// SPDX-License-Identifier: BSL-1.0
// What the scalar sizing functions cost inline, one by one.
#include <benchmark/benchmark.h>

#include <cstdint>

#include "bench/unknown.hpp"
#include "tapewright/rules/ampacity.hpp"
#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/contact_derating.hpp"
#include "tapewright/rules/copper.hpp"
#include "tapewright/rules/extra_low_voltage.hpp"
#include "tapewright/rules/lightness.hpp"
#include "tapewright/rules/overcurrent_ratings.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/feeder_size.hpp"
#include "tapewright/sizing/mains_side.hpp"
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

const bool registered = [] {
  measure("cut_to_pitch", [] { return cut_to_pitch(metres{unknown(4.63)}, metres{unknown(0.05)}); });
  measure("sale_units", [] { return sale_units(metres{unknown(4.6)}, metres{unknown(1)}); });
  measure("sale_of", [] { return sale_of(metres{unknown(9.2)}, metres{unknown(1)}, metres{unknown(5)}); });
  measure("resistance_at",
          [] { return resistance_at(ohms_per_metre{unknown(0.0133)}, celsius{unknown(70)}); });
  measure("resistance_at, metric size", [] {
    return resistance_at({conductor_system::metric_class_5, square_millimetres{unknown(2.5)}, 0},
                         celsius{unknown(70)});
  });
  measure("resistance_at, gauge", [] {
    return resistance_at({conductor_system::awg, {}, unknown_whole(14)}, celsius{unknown(70)});
  });
  measure("awg_conductor", [] { return awg_conductor(unknown_whole(14)); });
  measure("ampacity, IEC", [] {
    ampacity_question q;
    q.conductor = {conductor_system::metric_class_5, square_millimetres{unknown(2.5)}, 0};
    q.loaded_conductors = unknown_whole(6);
    q.ambient = celsius{unknown(40)};
    q.circuits = unknown_whole(2);
    return ampacity(q);
  });
  measure("ampacity, NEC", [] {
    ampacity_question q;
    q.family = code_family::nec;
    q.conductor = {conductor_system::awg, {}, unknown_whole(14)};
    q.conductor_limit = celsius{75};
    q.loaded_conductors = unknown_whole(6);
    q.ambient = celsius{unknown(40)};
    return ampacity(q);
  });
  measure("two_wire_drop", [] {
    return two_wire_drop(amps{unknown(2.5)}, ohms_per_metre{unknown(0.021)}, metres{unknown(4)});
  });
  measure("feeder_drop", [] {
    return feeder_drop(amps{unknown(6)}, amps{unknown(2)}, ohms_per_metre{unknown(0.01)}, metres{unknown(5)});
  });
  measure("least_area", [] {
    return least_area(amps{unknown(20)}, metres{unknown(5)}, volts{unknown(1.38)},
                      ohm_square_millimetres_per_metre{unknown(0.0172)});
  });
  measure("contact_current", [] {
    return contact_current(amps{unknown(10)}, celsius{unknown(20)}, celsius{unknown(105)},
                           celsius{unknown(45)}, 0.8);
  });
  measure("least_capacity", [] { return least_capacity(watts{unknown(100)}, unknown(0.1)); });
  measure("greatest_load", [] { return greatest_load(watts{unknown(110)}, unknown(0.1)); });
  measure("loading_limit_of_headroom", [] { return loading_limit_of_headroom(unknown(0.25)); });
  measure("headroom_of_loading_limit", [] { return headroom_of_loading_limit(unknown(0.8)); });
  measure("derated_share", [] {
    derating_curve curve;
    curve.push({celsius{unknown(50)}, 1.0});
    curve.push({celsius{unknown(70)}, 0.5});
    return derated_share(curve, celsius{unknown(60)});
  });
  measure("class2_limit", [] { return class2_limit(volts{unknown(24)}); });
  measure("operating_factor",
          [] { return operating_factor(overcurrent_family::fuse_gg, amps{unknown(10)}); });
  measure("preferred_rating",
          [] { return preferred_rating(overcurrent_family::blade_fuse, amps{unknown(11)}); });
  measure("check_breaker",
          [] { return check_breaker({amps{unknown(16)}}, amps{unknown(6)}, amps{unknown(90)}, true); });
  measure("check_leakage", [] { return check_leakage(amps{unknown(0.006)}, amps{unknown(0.03)}); });
  measure("yearly_energy", [] { return yearly_energy(watts{unknown(60)}, hours{unknown(1000)}); });
  measure("energy_cost", [] { return energy_cost(kilowatt_hours{unknown(60)}, unknown(12)); });
  measure("lightness", [] { return lightness(unknown(0.18)); });
  measure("luminance_ratio_of", [] { return luminance_ratio_of(unknown(50)); });
  return true;
}();

}  // namespace
