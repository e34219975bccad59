// SPDX-License-Identifier: BSL-1.0
// What every row of a catalogue is refused for: each field just inside and just outside its range, and
// the figures that contradict each other.
#include <functional>
#include <vector>

#include "doctest/doctest.h"
#include "support/small_job.hpp"

using namespace tapewright;
using namespace tapewright::literals;

namespace {

/// One field of a part: which, and how it is set. `least` and `most` where the part is narrower than the
/// field's own range.
template <class Part>
struct figure {
  field id;
  std::function<void(Part&, double)> set;
  double least = facts_of(id).least, most = facts_of(id).most;
};

/// Refused outside its range and for NaN, with code, field and limits; taken at what is allowed.
template <class Part>
void check_range(const Part& sound, const figure<Part>& f) {
  const double beyond = f.most + (f.most > 1 ? f.most * 1e-9 : 1e-9);
  const double below = f.least - (f.least > 1 ? f.least * 1e-9 : 1e-9);
  CAPTURE(facts_of(f.id).name);
  for (const double bad : {below, beyond, not_a_number, infinity, -infinity}) {
    CAPTURE(bad);
    Part part = sound;
    f.set(part, bad);
    const fault why = check(part);
    CHECK(why.code == fault_code::out_of_range);
    CHECK(why.field == f.id);
    CHECK(why.least == f.least);
    CHECK(why.most == f.most);
  }
}

template <class Part>
void check_nameless(Part part) {
  part.code = {};
  CHECK(check(part).code == fault_code::out_of_range);
  CHECK(check(part).field == field::name);
}

}  // namespace

TEST_CASE("the rows of the small job are sound, and so is its catalogue") {
  CHECK(!check(small_job::parts));
  for (const auto& t : small_job::tapes) CHECK(!check(t));
  CHECK(!check(small_job::question(), small_job::parts));
}

TEST_CASE("tape: every figure in its range") {
  const tape sound = small_job::white_24;
  const std::vector<figure<tape>> figures = {
      {field::nominal_voltage, [](tape& t, double v) { t.nominal = volts{v}; }},
      {field::highest_voltage, [](tape& t, double v) { t.highest = volts{v}; }},
      {field::common_resistance, [](tape& t, double v) { t.common_trace = ohms_per_metre{v}; }},
      {field::cut_pitch, [](tape& t, double v) { t.cut_pitch = metres{v}; }},
      {field::longest_piece, [](tape& t, double v) { t.longest_piece = metres{v}; }},
      {field::feed_point_limit, [](tape& t, double v) { t.feed_point_limit = amps{v}; }},
      {field::single_feed_limit, [](tape& t, double v) { t.single_feed_limit = metres{v}; }},
      {field::all_on_limit, [](tape& t, double v) { t.all_on_limit = watts_per_metre{v}; }},
      {field::free_tail, [](tape& t, double v) { t.free_tail = metres{v}; }},
      {field::sale_quantum, [](tape& t, double v) { t.sale_quantum = metres{v}; }},
      {field::reel_length, [](tape& t, double v) { t.reel = metres{v}; }},
      {field::lowest_ambient, [](tape& t, double v) { t.lowest_ambient = celsius{v}; }},
      {field::highest_ambient, [](tape& t, double v) { t.highest_ambient = celsius{v}; }},
      {field::load_per_metre, [](tape& t, double v) { t.channels[0].load = watts_per_metre{v}; }, 1e-3},
      {field::return_resistance, [](tape& t, double v) { t.channels[0].return_trace = ohms_per_metre{v}; }},
      {field::knee_voltage, [](tape& t, double v) { t.channels[0].knee = volts{v}; }},
  };
  for (const auto& f : figures) check_range(sound, f);
  check_nameless(sound);
}

TEST_CASE("tape: figures that contradict each other") {
  tape t = small_job::white_24;
  t.highest = 23.9_V;  // below nominal
  CHECK(check(t) == fault{fault_code::contradiction, field::highest_voltage, 23.9, 24, 75, -1});
  t = small_job::white_24;
  t.longest_piece = 0.04_m;  // shorter than one pitch
  CHECK(check(t) == fault{fault_code::contradiction, field::longest_piece, 0.04, 0.05, 1000, -1});
  t = small_job::white_24;
  t.channels[0].knee = 24_V;  // dark at nominal
  CHECK(check(t) == fault{fault_code::contradiction, field::knee_voltage, 24, 0, 24, -1});
  t = small_job::white_24;
  t.all_on_limit = 9.5_W_per_m;  // below a single channel
  CHECK(check(t) == fault{fault_code::contradiction, field::all_on_limit, 9.5, 9.6, 1000, -1});
  t = small_job::white_24;
  t.reel = 5.5_m;  // sold by whole metres
  CHECK(check(t) == fault{fault_code::contradiction, field::reel_length, 5.5, 6, 6, -1});
  t = small_job::white_24;
  t.lowest_ambient = celsius{45};  // colder than its hottest
  t.highest_ambient = celsius{40};
  CHECK(check(t) == fault{fault_code::contradiction, field::highest_ambient, 40, 45, 120, -1});
  t = small_job::white_24;
  t.channels.count = 0;
  CHECK(check(t).field == field::channel_count);
  t = small_job::white_24;
  t.channels[0].code = {};
  CHECK(check(t).field == field::name);
  t = small_job::white_24;
  t.ingress = 70;
  CHECK(check(t) == fault{fault_code::out_of_range, field::ingress, 70, 0, 69, -1});
  t = small_job::white_24;
  t.price = {-1};
  CHECK(check(t).field == field::price);
}

TEST_CASE("cable: every figure in its range, one colour a core") {
  const cable sound = small_job::cables[0];
  const std::vector<figure<cable>> figures = {
      {field::conductor_limit, [](cable& c, double v) { c.conductor_limit = celsius{v}; }},
      {field::cable_rating, [](cable& c, double v) { c.rating = amps{v}; }},
      {field::sale_quantum, [](cable& c, double v) { c.sale_quantum = metres{v}; }},
      {field::stock_length, [](cable& c, double v) { c.stock = metres{v}; }},
      {field::area, [](cable& c, double v) { c.conductor.area = square_millimetres{v}; }},
  };
  for (const auto& f : figures) check_range(sound, f);
  check_nameless(sound);
  cable c = sound;
  c.cores = 0;
  CHECK(check(c).field == field::core_count);
  c = sound;
  c.cores = 3;  // two colours given
  CHECK(check(c) == fault{fault_code::contradiction, field::core_count, 3, 2, 2, -1});
  c = sound;
  c.conductor = {conductor_system::awg, {}, 41};
  CHECK(check(c) == fault{fault_code::out_of_range, field::gauge, 41, -3, 40, -1});
  c.conductor.gauge = 18;
  CHECK(!check(c));
  c.conductor.system = static_cast<conductor_system>(3);
  CHECK(check(c) == fault{fault_code::not_listed, field::conductor_system, 3, 1, 10, -1});
}

TEST_CASE("connector: every figure in its range") {
  const connector sound = small_job::connectors[0];
  const std::vector<figure<connector>> figures = {
      {field::rated_current, [](connector& c, double v) { c.rated = amps{v}; }},
      {field::rated_voltage, [](connector& c, double v) { c.rated_voltage = volts{v}; }},
      {field::rating_ambient, [](connector& c, double v) { c.rating_ambient = celsius{v}; }},
      {field::upper_limit, [](connector& c, double v) { c.upper_limit = celsius{v}; }},
      {field::least_terminal, [](connector& c, double v) { c.least = square_millimetres{v}; }},
      {field::greatest_terminal, [](connector& c, double v) { c.greatest = square_millimetres{v}; }, 0.5,
       1000},
      {field::resistance, [](connector& c, double v) { c.contact = ohms{v}; }},
  };
  for (const auto& f : figures) check_range(sound, f);
  check_nameless(sound);
  connector c = sound;
  c.poles = 25;
  CHECK(check(c) == fault{fault_code::out_of_range, field::poles, 25, 1, 24, -1});
  c = sound;
  c.rating_ambient = c.upper_limit;
  CHECK(check(c).code == fault_code::contradiction);
}

TEST_CASE("controller: every figure in its range") {
  const controller sound = small_job::controllers[0];
  const std::vector<figure<controller>> figures = {
      {field::channel_limit, [](controller& c, double v) { c.channel_limit = amps{v}; }},
      {field::total_limit, [](controller& c, double v) { c.total_limit = amps{v}; }},
      {field::lowest_input, [](controller& c, double v) { c.lowest_input = volts{v}; }},
      {field::highest_input, [](controller& c, double v) { c.highest_input = volts{v}; }, 12, 120},
      {field::least_terminal, [](controller& c, double v) { c.least_terminal = square_millimetres{v}; }},
      {field::greatest_terminal, [](controller& c, double v) { c.greatest_terminal = square_millimetres{v}; },
       0.5},
      {field::terminal_current, [](controller& c, double v) { c.terminal = amps{v}; }},
      {field::resistance, [](controller& c, double v) { c.switch_resistance = ohms{v}; }},
      {field::pwm_frequency, [](controller& c, double v) { c.pwm = hertz{v}; }},
      {field::highest_ambient, [](controller& c, double v) { c.highest_ambient = celsius{v}; }},
  };
  for (const auto& f : figures) check_range(sound, f);
  check_nameless(sound);
  controller c = sound;
  c.channels = 7;
  CHECK(check(c) == fault{fault_code::out_of_range, field::channel_count, 7, 1, 6, -1});
}

TEST_CASE("driver: every figure in its range, a derating curve that falls") {
  const driver sound = small_job::drivers[0];
  const std::vector<figure<driver>> figures = {
      {field::output_voltage, [](driver& d, double v) { d.output = volts{v}; }},
      {field::trim_low, [](driver& d, double v) { d.trim_low = volts{v}; }},
      {field::trim_high, [](driver& d, double v) { d.trim_high = volts{v}; }},
      {field::rated_output, [](driver& d, double v) { d.rated = watts{v}; }},
      {field::output_current_limit, [](driver& d, double v) { d.output_limit = amps{v}; }},
      {field::overload_limit, [](driver& d, double v) { d.overload_limit = amps{v}; }},
      {field::least_load, [](driver& d, double v) { d.least_load = watts{v}; }},
      {field::efficiency, [](driver& d, double v) { d.efficiency = v; }},
      {field::power_factor, [](driver& d, double v) { d.power_factor = v; }},
      {field::mains_voltage, [](driver& d, double v) { d.mains_low = volts{v}; }},
      {field::inrush_peak, [](driver& d, double v) { d.inrush_peak = amps{v}; }},
      {field::least_terminal, [](driver& d, double v) { d.least_terminal = square_millimetres{v}; }},
      {field::greatest_terminal, [](driver& d, double v) { d.greatest_terminal = square_millimetres{v}; },
       0.5, 1000},
      {field::ambient, [](driver& d, double v) { d.derating[0].ambient = celsius{v}; }},
      {field::derating_point, [](driver& d, double v) { d.derating[0].share = v; }},
  };
  for (const auto& f : figures) check_range(sound, f);
  check_nameless(sound);
  driver d = sound;
  d.derating.count = 0;
  CHECK(check(d).field == field::derating_point);
  d = sound;
  d.derating[1].ambient = d.derating[0].ambient;
  CHECK(check(d).code == fault_code::contradiction);
  d = sound;
  d.derating[2].share = 1.1;  // rises
  CHECK(check(d) == fault{fault_code::contradiction, field::derating_point, 1.1, 0, 1, -1});
  d = sound;
  d.overload_limit = 4_A;  // below its own rated current of 100 W / 24 V
  CHECK(check(d).code == fault_code::contradiction);
  CHECK(check(d).field == field::overload_limit);
  d = sound;
  d.trim_low = 25_V;
  d.trim_high = 26_V;  // does not hold the nominal output
  CHECK(check(d).field == field::output_voltage);
  d.trim_low = {};  // half a trim would reach any voltage
  d.trim_high = 26_V;
  CHECK(check(d) == fault{fault_code::contradiction, field::trim_low, 0, 3, 24, -1});
  d.trim_low = 22_V;
  d.trim_high = {};
  CHECK(check(d) == fault{fault_code::contradiction, field::trim_high, 0, 24, 75, -1});
  CHECK(rated_output_current(sound) == 100_W / 24_V);
  d = sound;
  d.output_limit = 4_A;
  CHECK(rated_output_current(d) == 4_A);
}

TEST_CASE("overcurrent device: every figure in its range") {
  const overcurrent_device sound = small_job::devices[0];
  const std::vector<figure<overcurrent_device>> figures = {
      {field::fuse_rating, [](overcurrent_device& d, double v) { d.rated = amps{v}; }},
      {field::rated_voltage, [](overcurrent_device& d, double v) { d.rated_voltage = volts{v}; }},
  };
  for (const auto& f : figures) check_range(sound, f);
  check_nameless(sound);
}

TEST_CASE("catalogue: the fault tells the row, the code of a part is found by its place") {
  tape rows[] = {small_job::white_24, small_job::colour_24};
  rows[1].cut_pitch = 0_m;
  catalogue c = small_job::parts;
  c.tapes = rows;
  CHECK(check(c) == fault{fault_code::out_of_range, field::cut_pitch, 0, 0.001, 5, 1});
  CHECK(code_of(small_job::parts, {part_kind::driver, 1}) == "D-200");
  CHECK(code_of(small_job::parts, {part_kind::tape, 0}) == "T-W24");
  CHECK(code_of(small_job::parts, {part_kind::cable, 2}) == "K-6x1.5");
  CHECK(code_of(small_job::parts, {part_kind::connector, 1}) == "J-S3");
  CHECK(code_of(small_job::parts, {part_kind::controller, 0}) == "C-5");
  CHECK(code_of(small_job::parts, {part_kind::overcurrent_device, 1}) == "F-10");
  CHECK(code_of(small_job::parts, {part_kind::driver, 2}).empty());
  CHECK(code_of(small_job::parts, {part_kind::none, 0}).empty());
  CHECK(code_of(small_job::parts, {part_kind::service, 0}).empty());
}

TEST_CASE("features: a controller meets a zone when every wish is among its words") {
  const tag_set offered{{"radio", "scene"}, 2};
  CHECK(meets(offered, {}));
  CHECK(meets(offered, {{"scene"}, 1}));
  CHECK(!meets(offered, {{"scene", "wall-panel"}, 2}));
  CHECK(!meets({}, {{"radio"}, 1}));
}
