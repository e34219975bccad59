// SPDX-License-Identifier: BSL-1.0
// Every plain function of the C interface beside the C++ call that must give the same bits.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tolerance.hpp"
#include "tapewright/plan/notes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/search/price_sum.hpp"
#include "tapewright/tapewright.hpp"
#include "tests/unit/capi/calls.hpp"

namespace tapewright::test {

/// A plain function: figures that it takes, arrays that it looks at, and the same asked in C++. `narrow` holds
/// other ranges for random figures where those of the table would make a call long or its answer empty.
struct scalar_call {
  const char* name;
  plain_call call;
  std::vector<double> good;
  std::vector<std::vector<double>> arrays;
  std::function<fault(const std::vector<double>&, cells&)> ask;
  struct range {
    std::size_t argument;
    double least, most;
  };
  std::vector<range> narrow;
  std::vector<double> listed;  ///< argument `listed_at` is drawn from these where there are any
  std::size_t listed_at = 1;
};

namespace detail {

template <class T, class... Pick>
fault give(const outcome<T>& o, cells& out, Pick... pick) {
  if (!o) return o.why();
  (out.push_back(cell::of(pick(*o))), ...);
  return {};
}

inline tape plain_tape(double law, double load, double nominal, double knee, double common, double own,
                       double pitch) {
  tape t;
  t.code = "plain";
  t.nominal = t.highest = volts{nominal};
  t.channels.push({"W", watts_per_metre{load}, static_cast<load_kind>(static_cast<int>(law)), volts{knee},
                   ohms_per_metre{own}});
  t.common_trace = ohms_per_metre{common};
  t.cut_pitch = metres{pitch};
  t.longest_piece = metres{5};
  t.sale_quantum = metres{1};
  t.highest_ambient = celsius{40};
  return t;
}

inline controller plain_controller(double channel_limit, double total_limit, double terminal) {
  controller c;
  c.code = "plain";
  c.channels = 6;
  c.channel_limit = amps{channel_limit};
  c.total_limit = amps{total_limit};
  c.lowest_input = volts{12};
  c.highest_input = volts{24};
  c.greatest_terminal = square_millimetres{1};
  c.terminal = amps{terminal};
  c.highest_ambient = celsius{40};
  return c;
}

inline driver plain_driver() {
  driver d;
  d.code = "plain";
  d.output = volts{24};
  d.rated = watts{100};
  d.mains_low = volts{100};
  d.mains_high = volts{240};
  return d;
}

inline overcurrent_device plain_device(double family, double rated) {
  return {"plain",     "",        static_cast<overcurrent_family>(static_cast<int>(family)),
          amps{rated}, volts{24}, money{}};
}

inline bounded<amps, max_channels> currents(const std::vector<double>& figures) {
  bounded<amps, max_channels> all;
  for (const double a : figures) all.push(amps{a});
  return all;
}

inline ampacity_question ampacity_of(const std::vector<double>& a, const conductor_size& size) {
  return {static_cast<code_family>(static_cast<int>(a[0])),
          static_cast<laying>(static_cast<int>(a[1])),
          size,
          celsius{a[3]},
          static_cast<std::int32_t>(a[4]),
          celsius{a[5]},
          static_cast<std::int32_t>(a[6]),
          static_cast<arrangement>(static_cast<int>(a[7])),
          amps{}};
}

}  // namespace detail

inline const std::vector<double>& channel_figures() {
  static const std::vector<double> figures{1.5, 0.5, 2.25};
  return figures;
}

inline std::vector<scalar_call> scalar_calls() {
  using namespace detail;
  using in = const std::vector<double>&;
  const std::vector<double> metric{0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 0.34, 3};
  std::vector<scalar_call> all;
  const auto add = [&](const char* name, plain_call call, std::vector<double> good,
                       auto ask) -> scalar_call& {
    all.push_back({name, call, std::move(good), {}, ask, {}, {}});
    return all.back();
  };
  const auto same = [](double v) { return v; };

  add("tw_cut_length", call_of<tw_cut_length>, {4.63, 0.05}, [](in a, cells& out) {
    return give(
        cut_to_pitch(metres{a[0]}, metres{a[1]}), out, [](auto& c) { return c.segments; },
        [](auto& c) { return c.length.v; }, [](auto& c) { return c.dark.v; });
  });
  add("tw_sale_units", call_of<tw_sale_units>, {4.6, 1}, [](in a, cells& out) {
    return give(sale_units(metres{a[0]}, metres{a[1]}), out, [](auto& u) { return u; });
  });
  add("tw_sale", call_of<tw_sale>, {9.2, 1, 5}, [](in a, cells& out) {
    return give(
        sale_of(metres{a[0]}, metres{a[1]}, metres{a[2]}), out, [](auto& s) { return s.quanta; },
        [](auto& s) { return s.reels; }, [](auto& s) { return s.sold.v; }, [](auto& s) { return s.spare.v; });
  });
  all.back().narrow = {
      {2, 0, 0}};  // a reel that is a whole number of random quanta is not to be met by chance
  add("tw_channel_load", call_of<tw_channel_load>, {9.6, 24, 4.6}, [](in a, cells& out) {
    return give(
        load_of(plain_tape(0, a[0], a[1], 0, 0, 0, 0.001), metres{a[2]}, false), out,
        [](auto& l) { return l.channel_power[0].v; }, [](auto& l) { return l.channel_current[0].v; });
  });
  add("tw_load_current", call_of<tw_load_current>, {0, 1.5, 24, 16, 20}, [](in a, cells& out) {
    const auto law =
        fitted_law(static_cast<load_kind>(static_cast<int>(a[0])), watts{a[1]}, volts{a[2]}, volts{a[3]});
    if (const fault f = refuse(field::voltage, a[4])) return f;
    if (!law) return law.why();
    out.push_back(cell::of(at(*law, volts{a[4]}).current.v));
    return fault{};
  });
  add("tw_copper_resistance", call_of<tw_copper_resistance>, {0.0133, 70}, [&](in a, cells& out) {
    return give(resistance_at(ohms_per_metre{a[0]}, celsius{a[1]}), out, [](auto& r) { return r.v; });
  });
  add("tw_metric_resistance", call_of<tw_metric_resistance>, {5, 1.5, 70}, [](in a, cells& out) {
    if (const fault f = refuse(field::conductor_class, a[0])) return f;
    return give(
        resistance_at({static_cast<conductor_system>(static_cast<int>(a[0])), square_millimetres{a[1]}, 0},
                      celsius{a[2]}),
        out, [](auto& r) { return r.v; });
  }).listed = metric;
  add("tw_awg_resistance", call_of<tw_awg_resistance>, {14, 75}, [](in a, cells& out) {
    return give(resistance_at({conductor_system::awg, {}, static_cast<std::int32_t>(a[0])}, celsius{a[1]}),
                out, [](auto& r) { return r.v; });
  });
  add("tw_awg_area", call_of<tw_awg_area>, {14}, [](in a, cells& out) {
    return give(awg_conductor(static_cast<int>(a[0])), out, [](auto& c) { return c.area.v; });
  });
  add("tw_metric_ampacity", call_of<tw_metric_ampacity>, {0, 3, 1.5, 70, 2, 40, 1, 0}, [](in a, cells& out) {
    return give(ampacity(ampacity_of(a, {conductor_system::metric_class_5, square_millimetres{a[2]}, 0})),
                out, [](auto& i) { return i.allowed.v; });
  });
  add("tw_awg_ampacity", call_of<tw_awg_ampacity>, {1, 0, 14, 75, 3, 30, 1, 0}, [](in a, cells& out) {
    return give(ampacity(ampacity_of(a, {conductor_system::awg, {}, static_cast<std::int32_t>(a[2])})), out,
                [](auto& i) { return i.allowed.v; });
  });
  add("tw_warm_conductor", call_of<tw_warm_conductor>, {12, 16, 30, 70, 35}, [](in a, cells& out) {
    return give(warm_conductor(amps{a[0]}, {amps{a[1]}, celsius{a[2]}, celsius{a[3]}}, celsius{a[4]}), out,
                [](auto& t) { return t.v; });
  }).narrow = {{0, 0, 20}, {1, 10, 40}, {2, 0, 39}};  // mostly within the conductor's limit
  add("tw_per_kelvin", call_of<tw_per_kelvin>, {-1.5, 40}, [](in a, cells& out) {
    if (const fault f = refuse(field::of_itself, a[0])) return f;
    return give(per_kelvin(volts{a[0]}, celsius{a[1]}), out, [](auto& u) { return u.v; });
  });
  add("tw_copper_range", call_of<tw_copper_range>, {40, 20, 70, 0.05}, [](in a, cells& out) {
    for (const std::size_t i : {0u, 1u, 2u})
      if (const fault f = refuse(field::temperature, a[i])) return f;
    return give(
        copper_range(celsius{a[0]}, celsius{a[1]}, celsius{a[2]}, a[3]), out, [](auto& r) { return r.least; },
        [](auto& r) { return r.most; });
  }).narrow = {{0, 20, 60}, {1, -40, 19}, {2, 61, 150}};
  add("tw_two_wire_drop", call_of<tw_two_wire_drop>, {2.5, 0.0210, 4}, [](in a, cells& out) {
    return give(two_wire_drop(amps{a[0]}, ohms_per_metre{a[1]}, metres{a[2]}), out,
                [](auto& u) { return u.v; });
  });
  add("tw_feeder_drop", call_of<tw_feeder_drop>, {6, 2, 0.01, 5}, [](in a, cells& out) {
    return give(feeder_drop(amps{a[0]}, amps{a[1]}, ohms_per_metre{a[2]}, metres{a[3]}), out,
                [](auto& u) { return u.v; });
  });
  add("tw_least_area", call_of<tw_least_area>, {20, 5, 1.3793, 0.0172413}, [](in a, cells& out) {
    return give(least_area(amps{a[0]}, metres{a[1]}, volts{a[2]}, ohm_square_millimetres_per_metre{a[3]}),
                out, [](auto& s) { return s.v; });
  });
  add("tw_longest_two_wire", call_of<tw_longest_two_wire>, {4, 24, 0.03, 5, 1.5, 70}, [](in a, cells& out) {
    if (const fault f = refuse(field::conductor_class, a[3])) return f;
    cable k;
    k.code = "two-wire";
    k.conductor = {static_cast<conductor_system>(static_cast<int>(a[3])), square_millimetres{a[4]}, 0};
    k.conductor_limit = celsius{70};
    k.sale_quantum = metres{1};
    feeder_question q;
    q.channel_current.push(amps{a[0]});
    q.nominal = volts{a[1]};
    q.drop_limit = a[2];
    q.copper = celsius{a[5]};
    return give(longest_feeder(q, k), out, [](auto& l) { return l.v; });
  });
  all.back().listed = metric;
  all.back().listed_at = 4;
  add("tw_contact_current", call_of<tw_contact_current>, {10, 20, 105, 45, 0.8}, [](in a, cells& out) {
    return give(contact_current(amps{a[0]}, celsius{a[1]}, celsius{a[2]}, celsius{a[3]}, a[4]), out,
                [](auto& i) { return i.v; });
  });
  add("tw_contact_utilisation", call_of<tw_contact_utilisation>, {4, 10, 20, 105, 45, 0.8},
      [](in a, cells& out) {
        connector c;
        c.code = "plain";
        c.rated = amps{a[1]};
        c.rated_voltage = volts{24};
        c.rating_ambient = celsius{a[2]};
        c.upper_limit = celsius{a[3]};
        c.greatest = square_millimetres{1};
        connector_duty d;
        d.pole_current = amps{a[0]};
        d.ambient = celsius{a[4]};
        d.curve_factor = a[5];
        return give(
            check_connector(c, d), out, [](auto& k) { return k.allowed.v; },
            [](auto& k) { return k.utilisation; });
      });
  add("tw_controller_utilisation", call_of<tw_controller_utilisation>, {3, 0, 6, 15, 16},
      [](in a, cells& out) {
        if (const fault f = refuse(field::channel_count, a[0])) return f;
        controller_duty d;
        d.channel_current = currents(channel_figures());
        d.total = amps{a[1]};
        d.input = volts{24};
        return give(
            check_controller(plain_controller(a[2], a[3], a[4]), d), out,
            [](auto& k) { return k.channel_utilisation; }, [](auto& k) { return k.total_utilisation; },
            [](auto& k) { return k.terminal_utilisation; });
      });
  all.back().arrays = {channel_figures()};
  all.back().narrow = {{0, 3, 3}, {1, 2.25, 4.25}};
  add("tw_controllers_needed", call_of<tw_controllers_needed>, {3, 0, 1, 15, 16}, [](in a, cells& out) {
    if (const fault f = refuse(field::channel_count, a[0])) return f;
    return give(
        controllers_needed(plain_controller(a[2], a[3], a[4]), currents(channel_figures()), amps{a[1]}), out,
        [](auto& n) { return n.needed; }, [](auto& n) { return n.by; });
  });
  all.back().arrays = {channel_figures()};
  all.back().narrow = {{0, 3, 3}, {1, 2.25, 4.25}};
  add("tw_least_capacity", call_of<tw_least_capacity>, {100, 0.1}, [](in a, cells& out) {
    return give(least_capacity(watts{a[0]}, a[1]), out, [](auto& p) { return p.v; });
  });
  add("tw_greatest_load", call_of<tw_greatest_load>, {110, 0.1}, [](in a, cells& out) {
    return give(greatest_load(watts{a[0]}, a[1]), out, [](auto& p) { return p.v; });
  });
  add("tw_loading_limit", call_of<tw_loading_limit>, {0.25},
      [same](in a, cells& out) { return give(loading_limit_of_headroom(a[0]), out, same); });
  add("tw_headroom", call_of<tw_headroom>, {0.8},
      [same](in a, cells& out) { return give(headroom_of_loading_limit(a[0]), out, same); });
  add("tw_derated_share", call_of<tw_derated_share>, {3, 55}, [same](in a, cells& out) {
    if (const fault f = refuse_outside(field::derating_point, a[0], 1, 8)) return f;
    derating_curve curve;
    curve.push({celsius{40}, 1.1});
    curve.push({celsius{50}, 1.0});
    curve.push({celsius{70}, 0.5});
    return give(derated_share(curve, celsius{a[1]}), out, same);
  });
  all.back().arrays = {{40, 50, 70}, {1.1, 1.0, 0.5}};
  all.back().narrow = {{0, 3, 3}};
  add("tw_two_point_share", call_of<tw_two_point_share>, {50, 70, 0.5, 60}, [same](in a, cells& out) {
    derating_curve curve;
    curve.push({celsius{a[0]}, 1.0});
    curve.push({celsius{a[1]}, a[2]});
    return give(derated_share(curve, celsius{a[3]}), out, same);
  });
  add("tw_driver_utilisation", call_of<tw_driver_utilisation>, {80, 0.1, 24, 100, 50, 70, 0.5, 35},
      [](in a, cells& out) {
        driver s = plain_driver();
        s.output = volts{a[2]};
        s.rated = watts{a[3]};
        s.derating.push({celsius{a[4]}, 1.0});
        s.derating.push({celsius{a[5]}, a[6]});
        driver_duty d;
        d.load = watts{a[0]};
        d.headroom = a[1];
        d.nominal = volts{a[2]};
        d.ambient = celsius{a[7]};
        return give(
            check_driver(s, d), out, [](auto& k) { return k.capacity.v; }, [](auto& k) { return k.needed.v; },
            [](auto& k) { return k.utilisation; }, [](auto& k) { return k.headroom_left; });
      });
  add("tw_class2_limit", call_of<tw_class2_limit>, {24}, [](in a, cells& out) {
    return give(
        class2_limit(volts{a[0]}), out, [](auto& l) { return l.nameplate.v; },
        [](auto& l) { return l.rated_power.v; });
  });
  add("tw_operating_current", call_of<tw_operating_current>, {4, 7.5}, [](in a, cells& out) {
    return give(
        check_overcurrent(plain_device(a[0], a[1]), {}), out, [](auto& k) { return k.operating_factor; },
        [](auto& k) { return k.operating.v; });
  });
  add("tw_far_end_fault", call_of<tw_far_end_fault>, {24, 0.2, 0}, [](in a, cells& out) {
    overcurrent_duty d;
    d.voltage = volts{a[0]};
    d.fault_loop = ohms{a[1]};
    d.source_limit = amps{a[2]};
    return give(check_overcurrent(plain_device(4, 1), d), out, [](auto& k) { return k.fault_current.v; });
  });
  add("tw_overcurrent_utilisation", call_of<tw_overcurrent_utilisation>, {4, 7.5, 4, 14, 24, 0.2, 30},
      [](in a, cells& out) {
        overcurrent_duty d;
        d.load = amps{a[2]};
        d.ampacity = amps{a[3]};
        d.voltage = volts{a[4]};
        d.fault_loop = ohms{a[5]};
        d.source_limit = amps{a[6]};
        return give(
            check_overcurrent(plain_device(a[0], a[1]), d), out, [](auto& k) { return k.load_utilisation; },
            [](auto& k) { return k.cable_utilisation; }, [](auto& k) { return k.operating_utilisation; },
            [](auto& k) { return k.fault_utilisation; });
      });
  add("tw_mains_current", call_of<tw_mains_current>, {96, 0.92, 0.95, 230}, [](in a, cells& out) {
    driver d = plain_driver();
    d.derating.push({celsius{40}, 1.0});
    d.efficiency = a[1];
    d.power_factor = a[2];
    return give(
        mains_load_of(d, watts{a[0]}, volts{a[3]}), out, [](auto& m) { return m.input.v; },
        [](auto& m) { return m.apparent.v; }, [](auto& m) { return m.current.v; });
  });
  add("tw_drivers_per_breaker", call_of<tw_drivers_per_breaker>, {96, 0.92, 0.95, 230, 30, 16, 2, 0.8},
      [](in a, cells& out) {
        driver d = plain_driver();
        d.derating.push({celsius{40}, 1.0});
        d.efficiency = a[1];
        d.power_factor = a[2];
        d.inrush_peak = amps{a[4]};
        const mains_breaker b{amps{a[5]}, static_cast<overcurrent_family>(static_cast<int>(a[6])), a[7]};
        return give(
            drivers_per_breaker(d, watts{a[0]}, volts{a[3]}, b), out, [](auto& n) { return n.by_steady; },
            [](auto& n) { return n.by_inrush; }, [](auto& n) { return n.count; });
      });
  add("tw_breaker_utilisation", call_of<tw_breaker_utilisation>, {6, 90, 16, 2, 0.8}, [](in a, cells& out) {
    const mains_breaker b{amps{a[2]}, static_cast<overcurrent_family>(static_cast<int>(a[3])), a[4]};
    return give(
        check_breaker(b, amps{a[0]}, amps{a[1]}, true), out, [](auto& k) { return k.steady_utilisation; },
        [](auto& k) { return k.inrush_utilisation; });
  });
  add("tw_leakage_utilisation", call_of<tw_leakage_utilisation>, {0.006, 0.03, 0.3}, [](in a, cells& out) {
    return give(
        check_leakage(amps{a[0]}, amps{a[1]}, a[2]), out, [](auto& k) { return k.limit.v; },
        [](auto& k) { return k.utilisation; });
  });
  add("tw_yearly_energy", call_of<tw_yearly_energy>, {60, 1000}, [](in a, cells& out) {
    return give(yearly_energy(watts{a[0]}, hours{a[1]}), out, [](auto& e) { return e.v; });
  });
  add("tw_energy_cost", call_of<tw_energy_cost>, {60, 12}, [](in a, cells& out) {
    return give(energy_cost(kilowatt_hours{a[0]}, a[1]), out,
                [](auto& m) { return static_cast<std::int64_t>(m.minor); });
  });
  add("tw_lightness", call_of<tw_lightness>, {0.18},
      [same](in a, cells& out) { return give(lightness(a[0]), out, same); });
  add("tw_luminance_ratio", call_of<tw_luminance_ratio>, {50},
      [same](in a, cells& out) { return give(luminance_ratio_of(a[0]), out, same); });
  add("tw_single_line", call_of<tw_single_line>, {0, 9.6, 24, 19.2, 0.024, 0.024, 0.05, 4.6, 30, 24, 0.1},
      [](in a, cells& out) {
        const auto cut = cut_to_pitch(metres{a[7]}, metres{a[6]});
        if (const fault f = refuse(field::load_law, a[0])) return f;
        if (!cut) return cut.why();
        const auto line =
            line_of(plain_tape(a[0], a[1], a[2], a[3], a[4], a[5], a[6]), cut->segments, celsius{a[8]});
        if (!line) return line.why();
        line_feed feed;
        feed.source = volts{a[9]};
        feed.channel[0] = ohms{a[10]};
        return give(
            solve_line(*line, feed), out, [](auto& l) { return l.last_load[0].v; },
            [](auto& l) { return l.least_evenness; }, [](auto& l) { return l.lightness_step; },
            [](auto& l) { return l.total.v; });
      });
  all.back().narrow = {{4, 0, 0.1}, {5, 0, 0.1},  {6, 0.02, 0.2}, {7, 0.2, 12},
                       {9, 20, 30}, {10, 0, 0.5}, {2, 20, 30},    {3, 10, 19}};
  add("tw_single_longest", call_of<tw_single_longest>,
      {0, 9.6, 24, 19.2, 0.024, 0.024, 0.05, 30, 24, 0.1, 0.9}, [](in a, cells& out) {
        if (const fault f = refuse(field::load_law, a[0])) return f;
        line_feed feed;
        feed.source = volts{a[8]};
        feed.channel[0] = ohms{a[9]};
        return give(
            longest_even_run(plain_tape(a[0], a[1], a[2], a[3], a[4], a[5], a[6]), feed, a[10],
                             celsius{a[7]}),
            out, [](auto& r) { return r.segments; }, [](auto& r) { return r.length.v; });
      });
  all.back().narrow = {{4, 0.005, 0.1}, {5, 0.005, 0.1}, {6, 0.02, 0.2}, {8, 20, 30}, {9, 0, 0.5},
                       {10, 0.5, 0.99}, {1, 2, 20},      {2, 20, 30},    {3, 10, 19}};
  add("tw_line_workspace", call_of<tw_line_workspace>, {200, 5}, [](in a, cells& out) {
    if (const fault f = first_fault(refuse(field::segment_count, a[0]), refuse(field::channel_count, a[1])))
      return f;
    out.push_back(cell::of(line_workspace(static_cast<std::int64_t>(a[0]), static_cast<std::int32_t>(a[1]))));
    return fault{};
  });
  add("tw_feed_workspace", call_of<tw_feed_workspace>, {200, 5, 3}, [](in a, cells& out) {
    if (const fault f = first_fault(refuse(field::segment_count, a[0]), refuse(field::channel_count, a[1]),
                                    refuse(field::feed_points, a[2])))
      return f;
    out.push_back(cell::of(arrangement_workspace(
        static_cast<std::int64_t>(a[0]), static_cast<std::int32_t>(a[1]), static_cast<std::size_t>(a[2]))));
    return fault{};
  });
  add("tw_price_to_pay", call_of<tw_price_to_pay>, {123450, 500, 2000}, [](in a, cells& out) {
    if (const fault f = first_fault(refuse_outside(field::price, a[0], 0, 4e15),
                                    refuse_outside(field::basis_points, a[1], 0, 10'000),
                                    refuse(field::basis_points, a[2])))
      return f;
    return give(
        price_of(money{static_cast<long long>(a[0])},
                 {{static_cast<std::int32_t>(a[1]), 10'000}, {static_cast<std::int32_t>(a[2]), 10'000}}),
        out, [](auto& p) { return p.discount.minor; }, [](auto& p) { return p.taxable.minor; },
        [](auto& p) { return p.tax.minor; }, [](auto& p) { return p.gross.minor; });
  });
  return all;
}

}  // namespace tapewright::test
