// SPDX-License-Identifier: BSL-1.0
// Structures of the C interface: sizes of any release, reserved members, nulls, poison; and the bits of C++.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "capi/answer.hpp"
#include "tests/support/small_job.hpp"
#include "tests/unit/capi/c_rows.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/same.hpp"

using namespace tapewright;
using namespace tapewright::test;

// ---- a structure that has grown ------------------------------------------------------------------------

namespace {
struct grown {
  std::uint32_t struct_size;
  std::int32_t place;
  double first;
  std::int64_t count;
  double later;  // added by a release after the first
};
}  // namespace

namespace tapewright::capi {
template <>
struct layout<grown> {
  static constexpr std::uint32_t first_release = offsetof(grown, count) + sizeof(std::int64_t);
  static constexpr member members[] = {
      {"struct_size", shape::struct_size, offsetof(grown, struct_size), 4, field::struct_size},
      {"place", shape::place, offsetof(grown, place), 4, field::none},
      {"first", shape::number, offsetof(grown, first), 8, field::none},
      {"count", shape::large, offsetof(grown, count), 8, field::none},
      {"later", shape::number, offsetof(grown, later), 8, field::none}};
  static constexpr std::size_t count = 5;
};
}  // namespace tapewright::capi

namespace {

struct room_for_grown {
  grown g{};
  unsigned char beyond[32] = {};
};

TEST_CASE(
    "a structure of an older release counts as 0 where it ends; one of a newer may hold 0 beyond ours") {
  room_for_grown theirs;
  theirs.g = {0, 3, 1.5, 7, 2.5};
  grown ours{};
  theirs.g.struct_size = capi::layout<grown>::first_release;
  CHECK_FALSE(capi::read(ours, &theirs.g));
  CHECK(ours.place == 3);
  CHECK(ours.first == 1.5);
  CHECK(ours.count == 7);
  CHECK(ours.later == 0);

  theirs.g.struct_size = sizeof(grown);
  CHECK_FALSE(capi::read(ours, &theirs.g));
  CHECK(ours.later == 2.5);

  theirs.g.struct_size = sizeof(grown) + 16;
  CHECK_FALSE(capi::read(ours, &theirs.g));
  CHECK(ours.later == 2.5);
  theirs.beyond[15] = 1;
  const fault told = capi::read(ours, &theirs.g);
  CHECK(told.code == fault_code::version_mismatch);
  CHECK(told.given == sizeof(grown) + 16);

  for (const std::uint32_t bad : {0u, capi::layout<grown>::first_release - 1, 0xffffffffu,
                                  static_cast<std::uint32_t>(sizeof(grown)) + capi::most_growth + 1}) {
    theirs.g.struct_size = bad;
    CHECK(capi::read(ours, &theirs.g).code == fault_code::version_mismatch);
  }
}

TEST_CASE("what goes out is written as far as the caller's structure goes, and poisoned as far") {
  grown theirs{capi::layout<grown>::first_release, 0, 0, 0, 99};
  capi::write(&theirs, grown{0, 3, 1.5, 7, 2.5});
  CHECK(theirs.struct_size == capi::layout<grown>::first_release);
  CHECK(theirs.place == 3);
  CHECK(theirs.count == 7);
  CHECK(theirs.later == 99);
  capi::poison(&theirs, theirs.struct_size, capi::layout<grown>::members, capi::layout<grown>::count);
  CHECK(theirs.place == -1);
  CHECK(theirs.first != theirs.first);
  CHECK(theirs.count == 0);
  CHECK(theirs.later == 99);
  CHECK(theirs.struct_size == capi::layout<grown>::first_release);
  theirs.struct_size = sizeof(grown);
  capi::poison(&theirs, theirs.struct_size, capi::layout<grown>::members, capi::layout<grown>::count);
  CHECK(theirs.later != theirs.later);
}

// ---- every function that takes or gives structures -----------------------------------------------------

/// A structure as bytes, with room behind it.
struct piece {
  std::string name;
  std::vector<unsigned char> bytes;
  std::uint32_t size, first_release;
  const capi::member* members;
  std::size_t count;

  template <class C>
  static piece of(const C& c) {
    piece p{capi::layout<C>::name,
            std::vector<unsigned char>(sizeof(C) + 64),
            sizeof(C),
            capi::layout<C>::first_release,
            capi::layout<C>::members,
            capi::layout<C>::count};
    std::memcpy(p.bytes.data(), &c, sizeof c);
    return p;
  }
  void set_size(std::uint32_t size_told) { std::memcpy(bytes.data(), &size_told, sizeof size_told); }
  template <class C>
  C as() const {
    C c{};
    std::memcpy(&c, bytes.data(), sizeof c);
    return c;
  }
  bool poisoned() const {
    for (std::size_t i = 0; i < count; ++i) {
      const capi::member& m = members[i];
      for (std::uint32_t at = 0; at < m.bytes;) {
        const unsigned char* from = bytes.data() + m.offset + at;
        if (m.what == capi::shape::number) {
          double v = 0;
          std::memcpy(&v, from, 8);
          if (v == v) return false;
          at += 8;
        } else if (m.what == capi::shape::place) {
          std::int32_t v = 0;
          std::memcpy(&v, from, 4);
          if (v != -1) return false;
          at += 4;
        } else if (m.what != capi::shape::struct_size) {
          if (*from != 0) return false;
          at += 1;
        } else {
          at += 4;
        }
      }
    }
    return true;
  }
};

struct structure_call {
  std::string name;
  std::vector<piece> in, out;
  std::function<tw_status(const std::vector<const void*>&, const std::vector<void*>&, tw_fault*)> call;
};

template <class C>
const C* in_as(const void* p) {
  return static_cast<const C*>(p);
}
template <class C>
C* out_as(void* p) {
  return static_cast<C*>(p);
}

tw_ampacity_question ampacity_question_c() {
  auto q = empty_c<tw_ampacity_question>();
  q.method = TW_METHOD_B2;
  q.conductor_system = TW_SYSTEM_CLASS_5;
  q.loaded_conductors = 2;
  q.circuits_grouped = 2;
  q.area_mm2 = 1.5;
  q.conductor_limit_c = 70;
  q.ambient_c = 40;
  return q;
}
tw_feeder_question feeder_question_c() {
  auto q = empty_c<tw_feeder_question>();
  q.channels = 2;
  q.method = TW_METHOD_C;
  q.grouping = TW_GROUPING_SINGLE_LAYER_WALL;
  q.circuits_grouped = 2;
  q.channel_a[0] = 1.5;
  q.channel_a[1] = 1.25;
  q.common_a = 2.5;
  q.one_way_m = 4.5;
  q.nominal_v = 24;
  q.drop_limit = 0.031;
  q.ambient_c = 33;
  q.copper_c = 61;
  q.least_mm2 = 0.5;
  q.greatest_mm2 = 2.5;
  q.least_area_mm2 = 0.75;
  return q;
}
feeder_question feeder_question_cpp() {
  feeder_question q;
  q.channel_current.push(amps{1.5});
  q.channel_current.push(amps{1.25});
  q.method = laying::c;
  q.grouping = arrangement::single_layer_wall;
  q.circuits = 2;
  q.common = amps{2.5};
  q.one_way = metres{4.5};
  q.nominal = volts{24};
  q.drop_limit = 0.031;
  q.ambient = celsius{33};
  q.copper = celsius{61};
  q.least_terminal = square_millimetres{0.5};
  q.greatest_terminal = square_millimetres{2.5};
  q.least_area = square_millimetres{0.75};
  return q;
}
tw_connector_duty connector_duty_c() {
  auto d = empty_c<tw_connector_duty>();
  d.poles = 2;
  d.ways = 2;
  d.pole_a = 2.5;
  d.voltage_v = 24;
  d.ambient_c = 41;
  d.conductor_mm2 = 1;
  d.curve_factor = 0.8;
  return d;
}
tw_controller_duty controller_duty_c() {
  auto d = empty_c<tw_controller_duty>();
  d.channels = 2;
  d.channel_a[0] = 1.5;
  d.channel_a[1] = 1.25;
  d.total_a = 2.5;
  d.input_v = 24;
  d.ambient_c = 31;
  d.conductor_mm2 = 1.5;
  return d;
}
tw_driver_duty driver_duty_c() {
  auto d = empty_c<tw_driver_duty>();
  d.mount = TW_MOUNT_ANY;
  d.ingress = 20;
  d.load_w = 44;
  d.current_a = 1.9;
  d.headroom = 0.12;
  d.ambient_c = 36;
  d.nominal_v = 24;
  d.mains_v = 230;
  d.conductor_mm2 = 1.5;
  return d;
}
driver_duty driver_duty_cpp() {
  driver_duty d;
  d.load = watts{44};
  d.current = amps{1.9};
  d.headroom = 0.12;
  d.ambient = celsius{36};
  d.nominal = volts{24};
  d.mains = volts{230};
  d.conductor = square_millimetres{1.5};
  return d;
}
tw_overcurrent_duty overcurrent_duty_c() {
  auto d = empty_c<tw_overcurrent_duty>();
  d.load_a = 1.9;
  d.ampacity_a = 14;
  d.voltage_v = 24;
  d.fault_loop_ohm = 0.3;
  d.source_limit_a = 30;
  d.load_factor = 1.25;
  d.device_limit_a = 15;
  return d;
}
tw_line_question line_question_c() {
  auto q = empty_c<tw_line_question>();
  q.lit = TW_ALL_LIT;
  q.segments = 28;
  q.trace_c = 31;
  q.source_v = 24.1;
  q.feed_common_ohm = 0.03;
  for (int c = 0; c < TW_MOST_CHANNELS; ++c) q.feed_channel_ohm[c] = 0.02 + 0.01 * c;
  return q;
}
line_feed line_feed_cpp() {
  line_feed f;
  f.source = volts{24.1};
  f.common = ohms{0.03};
  for (int c = 0; c < TW_MOST_CHANNELS; ++c) f.channel[c] = ohms{0.02 + 0.01 * c};
  return f;
}

tw_feed_question feed_question_c() {
  auto q = empty_c<tw_feed_question>();
  q.arrangement = TW_FEED_POINTS;
  q.points = 2;
  q.between_closed = 1;
  q.most_solves = 100;
  q.near_end_ohm = 0.02;
  q.far_end_ohm = 0.05;
  q.along_ohm_per_m = 0.013;
  q.least_evenness = 0.9;
  q.drop_limit = 0.2;
  return q;
}
feed_leads feed_leads_cpp() {
  feed_leads by;
  by.shared = line_feed_cpp();
  by.near_end = ohms{0.02};
  by.far_end = ohms{0.05};
  by.along = ohms_per_metre{0.013};
  by.between_closed = true;
  return by;
}
constexpr feed_wishes feed_wishes_cpp{0.9, 0.2, celsius{31}};
double feed_room[20'000];

constexpr amps dimmed_on[] = {amps{1.5}, amps{2.25}, amps{0.7}};
constexpr pwm_timing dimmed_timing{.duty = {0.5, 0.25, 0.8}, .phase = {0, 0.4, 0.9}};
tw_dimmed_question dimmed_question_c() {
  auto q = empty_c<tw_dimmed_question>();
  q.channels = 3;
  for (std::size_t c = 0; c < 3; ++c) {
    q.on_a[c] = dimmed_on[c].v;
    q.duty[c] = dimmed_timing.duty[c];
    q.phase[c] = dimmed_timing.phase[c];
  }
  return q;
}

std::vector<tw_cable> cables_c() {
  std::vector<tw_cable> all;
  for (const cable& k : small_job::cables) all.push_back(c_of(k));
  return all;
}
std::vector<tw_driver> drivers_c() {
  std::vector<tw_driver> all;
  for (const driver& d : small_job::drivers) all.push_back(c_of(d));
  return all;
}

/// Room of the right size for the rows of a choice.
struct block {
  std::vector<double> room;  // doubles, for their alignment
  std::int64_t bytes = 0;
  explicit block(std::int32_t kind, std::size_t rows) {
    REQUIRE(tw_choice_bytes(kind, static_cast<std::int32_t>(rows), &bytes, nullptr) == TW_OK);
    room.resize(static_cast<std::size_t>(bytes) / 8 + 2);
  }
};

std::vector<structure_call> structure_calls() {
  static const std::vector<tw_cable> cables = cables_c();
  static const std::vector<tw_driver> drivers = drivers_c();
  static block cable_room{TW_PART_CABLE, cables.size()}, driver_room{TW_PART_DRIVER, drivers.size()};
  std::vector<structure_call> all;
  all.push_back({"tw_ampacity",
                 {piece::of(ampacity_question_c())},
                 {piece::of(empty_c<tw_ampacity_answer>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_ampacity(in_as<tw_ampacity_question>(i[0]), out_as<tw_ampacity_answer>(o[0]),
                                      why);
                 }});
  all.push_back({"tw_check_feeder",
                 {piece::of(feeder_question_c()), piece::of(c_of(small_job::cables[0]))},
                 {piece::of(empty_c<tw_feeder_check>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_check_feeder(in_as<tw_feeder_question>(i[0]), in_as<tw_cable>(i[1]),
                                          out_as<tw_feeder_check>(o[0]), why);
                 }});
  all.push_back({"tw_choose_feeder",
                 {piece::of(feeder_question_c())},
                 {piece::of(empty_c<tw_feeder_choice>()), piece::of(empty_c<tw_feeder_check>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_choose_feeder(in_as<tw_feeder_question>(i[0]), cables.data(),
                                           static_cast<std::int32_t>(cables.size()), cable_room.room.data(),
                                           cable_room.bytes, out_as<tw_feeder_choice>(o[0]),
                                           out_as<tw_feeder_check>(o[1]), why);
                 }});
  all.push_back({"tw_longest_feeder",
                 {piece::of(feeder_question_c()), piece::of(c_of(small_job::cables[0]))},
                 {},
                 [](auto& i, auto&, tw_fault* why) {
                   double metres_out = 5;
                   const tw_status status = tw_longest_feeder(in_as<tw_feeder_question>(i[0]),
                                                              in_as<tw_cable>(i[1]), &metres_out, why);
                   CHECK((status == TW_OK) == (metres_out == metres_out));
                   return status;
                 }});
  all.push_back({"tw_check_connector",
                 {piece::of(c_of(small_job::connectors[0])), piece::of(connector_duty_c())},
                 {piece::of(empty_c<tw_connector_check>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_check_connector(in_as<tw_connector>(i[0]), in_as<tw_connector_duty>(i[1]),
                                             out_as<tw_connector_check>(o[0]), why);
                 }});
  all.push_back({"tw_check_controller",
                 {piece::of(c_of(small_job::controllers[0])), piece::of(controller_duty_c())},
                 {piece::of(empty_c<tw_controller_check>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_check_controller(in_as<tw_controller>(i[0]), in_as<tw_controller_duty>(i[1]),
                                              out_as<tw_controller_check>(o[0]), why);
                 }});
  all.push_back({"tw_check_driver",
                 {piece::of(c_of(small_job::drivers[0])), piece::of(driver_duty_c())},
                 {piece::of(empty_c<tw_driver_check>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_check_driver(in_as<tw_driver>(i[0]), in_as<tw_driver_duty>(i[1]),
                                          out_as<tw_driver_check>(o[0]), why);
                 }});
  all.push_back({"tw_choose_driver",
                 {piece::of(driver_duty_c())},
                 {piece::of(empty_c<tw_driver_choice>()), piece::of(empty_c<tw_driver_check>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_choose_driver(in_as<tw_driver_duty>(i[0]), drivers.data(),
                                           static_cast<std::int32_t>(drivers.size()), driver_room.room.data(),
                                           driver_room.bytes, out_as<tw_driver_choice>(o[0]),
                                           out_as<tw_driver_check>(o[1]), why);
                 }});
  all.push_back({"tw_check_overcurrent",
                 {piece::of(c_of(small_job::devices[0])), piece::of(overcurrent_duty_c())},
                 {piece::of(empty_c<tw_overcurrent_check>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_check_overcurrent(in_as<tw_overcurrent_device>(i[0]),
                                               in_as<tw_overcurrent_duty>(i[1]),
                                               out_as<tw_overcurrent_check>(o[0]), why);
                 }});
  all.push_back({"tw_load_of_tape",
                 {piece::of(c_of(small_job::colour_24))},
                 {piece::of(empty_c<tw_tape_load>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_load_of_tape(in_as<tw_tape>(i[0]), 2.8, 0, out_as<tw_tape_load>(o[0]), why);
                 }});
  all.push_back({"tw_solve_line",
                 {piece::of(c_of(small_job::colour_24)), piece::of(line_question_c())},
                 {piece::of(empty_c<tw_line_figures>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_solve_line(in_as<tw_tape>(i[0]), in_as<tw_line_question>(i[1]),
                                        out_as<tw_line_figures>(o[0]), nullptr, nullptr, 0, nullptr, 0, why);
                 }});
  all.push_back({"tw_longest_run",
                 {piece::of(c_of(small_job::colour_24)), piece::of(line_question_c())},
                 {piece::of(empty_c<tw_longest>()), piece::of(empty_c<tw_line_figures>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_longest_run(in_as<tw_tape>(i[0]), in_as<tw_line_question>(i[1]), 0.9, 0.05,
                                         out_as<tw_longest>(o[0]), out_as<tw_line_figures>(o[1]), why);
                 }});
  all.push_back(
      {"tw_longest_fed_run",
       {piece::of(c_of(small_job::colour_24)), piece::of(line_question_c()), piece::of(feed_question_c())},
       {piece::of(empty_c<tw_feed_places>())},
       [](auto& i, auto& o, tw_fault* why) {
         return tw_longest_fed_run(in_as<tw_tape>(i[0]), in_as<tw_line_question>(i[1]),
                                   in_as<tw_feed_question>(i[2]), out_as<tw_feed_places>(o[0]), feed_room,
                                   20'000, why);
       }});
  all.push_back(
      {"tw_fewest_feeds",
       {piece::of(c_of(small_job::colour_24)), piece::of(line_question_c()), piece::of(feed_question_c())},
       {piece::of(empty_c<tw_feed_places>())},
       [](auto& i, auto& o, tw_fault* why) {
         return tw_fewest_feeds(in_as<tw_tape>(i[0]), in_as<tw_line_question>(i[1]),
                                in_as<tw_feed_question>(i[2]), out_as<tw_feed_places>(o[0]), feed_room,
                                20'000, why);
       }});
  all.push_back({"tw_dimmed_cores",
                 {piece::of(dimmed_question_c())},
                 {piece::of(empty_c<tw_core_currents>())},
                 [](auto& i, auto& o, tw_fault* why) {
                   return tw_dimmed_cores(in_as<tw_dimmed_question>(i[0]), out_as<tw_core_currents>(o[0]),
                                          why);
                 }});
  all.push_back({"tw_rules_default", {}, {piece::of(empty_c<tw_rules>())}, [](auto&, auto& o, tw_fault* why) {
                   return tw_rules_default(out_as<tw_rules>(o[0]), why);
                 }});
  return all;
}

/// Calls it with its pieces, all but one of which may be left out.
tw_status run(structure_call& c, tw_fault* why, int null_in = -1, int null_out = -1) {
  std::vector<const void*> in;
  std::vector<void*> out;
  for (std::size_t i = 0; i < c.in.size(); ++i)
    in.push_back(static_cast<int>(i) == null_in ? nullptr : c.in[i].bytes.data());
  for (std::size_t i = 0; i < c.out.size(); ++i)
    out.push_back(static_cast<int>(i) == null_out ? nullptr : c.out[i].bytes.data());
  return c.call(in, out, why);
}
void check_poisoned(const structure_call& c, int but = -1) {
  for (std::size_t i = 0; i < c.out.size(); ++i) {
    if (static_cast<int>(i) == but) continue;
    CAPTURE(c.out[i].name);
    CHECK(c.out[i].poisoned());
  }
}

/// What the other tests of this folder say.
std::string other_tests() {
  std::string all;
  for (const auto& file : std::filesystem::directory_iterator{TAPEWRIGHT_SOURCE_DIR "/tests/unit/capi"}) {
    if (file.path().filename() == "structures_test.cpp") continue;
    std::ifstream text{file.path()};
    all.append(std::istreambuf_iterator<char>{text}, {});
  }
  return all;
}

/// Whether a text has a name, and not only as the beginning of another one.
bool names(const std::string& text, const std::string& name) {
  const auto goes_on = [](char c) { return c == '_' || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'); };
  for (std::size_t at = text.find(name); at != text.npos; at = text.find(name, at + 1))
    if (!goes_on(text[at + name.size()])) return true;
  return false;
}

TEST_CASE("every function with structures is called here or in another test of this folder") {
  std::set<std::string> called;
  for (const structure_call& c : structure_calls()) called.insert(c.name);
  const std::string elsewhere = other_tests();
  for (const table_function& f : functions_of_table()) {
    const bool structures = std::ranges::any_of(f.arguments, [](const capi::entry& e) {
      const std::string_view type = e.type;
      return type.find("tw_") != type.npos && type != "tw_fault *";
    });
    CAPTURE(f.name);
    if (structures) CHECK((called.count(f.name) == 1 || names(elsewhere, f.name)));
  }
}

TEST_CASE("structures that come in: null, too short, unset, longer, reserved") {
  for (std::size_t n = 0; n < structure_calls().size(); ++n) {
    structure_call good = structure_calls()[n];
    CAPTURE(good.name);
    tw_fault why = empty_fault();
    REQUIRE(run(good, &why) == TW_OK);
    for (std::size_t i = 0; i < good.in.size(); ++i) {
      CAPTURE(good.in[i].name);
      structure_call c = structure_calls()[n];
      why = empty_fault();
      CHECK(run(c, &why, static_cast<int>(i)) == TW_NULL_POINTER);
      CHECK(why.item == static_cast<std::int32_t>(i));
      check_poisoned(c);
      for (const std::uint32_t size : {0u, 8u, good.in[i].first_release - 4, 0xffffffffu}) {
        CAPTURE(size);
        c = structure_calls()[n];
        c.in[i].set_size(size);
        why = empty_fault();
        CHECK(run(c, &why) == TW_VERSION_MISMATCH);
        CHECK(why.field == TW_FIELD_STRUCT_SIZE);
        CHECK(why.given == size);
        CHECK(why.least == good.in[i].first_release);
        CHECK(why.most == good.in[i].size);
        check_poisoned(c);
      }
      c = structure_calls()[n];
      c.in[i].set_size(good.in[i].size + 32);  // a newer release that asks for nothing new
      CHECK(run(c, &why) == TW_OK);
      for (std::size_t o = 0; o < c.out.size(); ++o) CHECK(c.out[o].bytes == good.out[o].bytes);
      c.in[i].bytes[c.in[i].size + 31] = 1;  // and one that does
      CHECK(run(c, &why) == TW_VERSION_MISMATCH);
      check_poisoned(c);
      for (std::size_t m = 0; m < good.in[i].count; ++m) {
        if (good.in[i].members[m].what != capi::shape::reserved) continue;
        c = structure_calls()[n];
        c.in[i].bytes[good.in[i].members[m].offset] = 1;
        CHECK(run(c, &why) == TW_VERSION_MISMATCH);
        check_poisoned(c);
      }
    }
  }
}

TEST_CASE("structures that go out: null, too short, longer; faults of an unknown size") {
  for (std::size_t n = 0; n < structure_calls().size(); ++n) {
    structure_call good = structure_calls()[n];
    CAPTURE(good.name);
    tw_fault why = empty_fault();
    REQUIRE(run(good, &why) == TW_OK);
    for (std::size_t o = 0; o < good.out.size(); ++o) {
      CAPTURE(good.out[o].name);
      structure_call c = structure_calls()[n];
      CHECK(run(c, &why, -1, static_cast<int>(o)) == TW_NULL_POINTER);
      CHECK(why.item == static_cast<std::int32_t>(o));
      check_poisoned(c, static_cast<int>(o));
      for (const std::uint32_t size : {0u, good.out[o].first_release - 4, 0xffffffffu}) {
        c = structure_calls()[n];
        c.out[o].set_size(size);
        const std::vector<unsigned char> before = c.out[o].bytes;
        CHECK(run(c, &why) == TW_VERSION_MISMATCH);
        CHECK(c.out[o].bytes == before);  // nobody knows where it ends
        check_poisoned(c, static_cast<int>(o));
      }
      c = structure_calls()[n];
      c.out[o].set_size(good.out[o].size + 32);
      for (std::size_t k = c.out[o].size; k < c.out[o].bytes.size(); ++k) c.out[o].bytes[k] = 0xab;
      CHECK(run(c, &why) == TW_OK);
      CHECK(std::memcmp(c.out[o].bytes.data() + 4, good.out[o].bytes.data() + 4, good.out[o].size - 4) == 0);
      CHECK(c.out[o].bytes[c.out[o].size] == 0xab);
    }
    structure_call c = structure_calls()[n];
    tw_fault bad = empty_fault();
    bad.struct_size = 8;
    CHECK(run(c, &bad) == TW_VERSION_MISMATCH);
    check_poisoned(c);
    CHECK(bad.code == -7);
    CHECK(run(c, nullptr) == TW_OK);
  }
}

/// Every figure of a structure that comes in, set to NaN, infinities and figures outside every range: either it
/// is not looked at, or it is refused by name and all outputs are poisoned.
TEST_CASE("structures that come in: figures outside every range") {
  for (std::size_t n = 0; n < structure_calls().size(); ++n) {
    const structure_call good = structure_calls()[n];
    CAPTURE(good.name);
    for (std::size_t i = 0; i < good.in.size(); ++i)
      for (std::size_t m = 0; m < good.in[i].count; ++m) {
        const capi::member& member = good.in[i].members[m];
        CAPTURE(std::string{member.name});
        const bool number = member.what == capi::shape::number, whole = member.what == capi::shape::whole;
        if (!number && !whole) continue;
        int refused = 0;
        for (const double bad : {__builtin_nan(""), __builtin_inf(), -__builtin_inf(), 1e300, -1e300}) {
          CAPTURE(bad);
          structure_call c = structure_calls()[n];
          const std::int32_t whole_bad = bad > 0 ? 2147483647 : -2147483647;
          if (number) std::memcpy(c.in[i].bytes.data() + member.offset, &bad, sizeof bad);
          else std::memcpy(c.in[i].bytes.data() + member.offset, &whole_bad, sizeof whole_bad);
          tw_fault why = empty_fault();
          const tw_status status = run(c, &why);
          if (status == TW_OK) continue;
          ++refused;
          CHECK(why.code == status);
          CHECK(why.field != TW_FIELD_STRUCT_SIZE);
          check_poisoned(c);
        }
        const std::string name = member.name;
        const bool unused =
            name == "awg" || name == "lit" || (good.name == "tw_longest_feeder" && name == "one_way_m");
        if (!unused) CHECK(refused == 5);
      }
  }
}

// ---- the bits of C++ -----------------------------------------------------------------------------------

template <class C, class Cpp>
void check_same(structure_call c, std::size_t which, const outcome<Cpp>& wanted) {
  CAPTURE(c.name);
  REQUIRE(wanted.ok());
  REQUIRE(run(c, nullptr) == TW_OK);
  CHECK(same(c.out[which].as<C>(), *wanted));
}
structure_call call_named(const std::string& name) {
  for (structure_call& c : structure_calls())
    if (c.name == name) return c;
  throw std::runtime_error{name};
}

TEST_CASE("structures carry the bits of C++") {
  ampacity_question q;
  q.conductor = {conductor_system::metric_class_5, square_millimetres{1.5}, 0};
  q.circuits = 2;
  q.ambient = celsius{40};
  check_same<tw_ampacity_answer>(call_named("tw_ampacity"), 0, ampacity(q));
  check_same<tw_feeder_check>(call_named("tw_check_feeder"), 0,
                              check_feeder(feeder_question_cpp(), small_job::cables[0]));
  const auto feeder = choose_feeder(feeder_question_cpp(), small_job::cables);
  check_same<tw_feeder_choice>(call_named("tw_choose_feeder"), 0, feeder);
  check_same<tw_feeder_check>(call_named("tw_choose_feeder"), 1, outcome<feeder_check>{feeder->check});
  double longest = 0;
  const tw_feeder_question fq = feeder_question_c();
  const tw_cable first = c_of(small_job::cables[0]);
  REQUIRE(tw_longest_feeder(&fq, &first, &longest, nullptr) == TW_OK);
  CHECK(longest == longest_feeder(feeder_question_cpp(), small_job::cables[0])->v);

  connector_duty cd;
  cd.pole_current = amps{2.5};
  cd.ambient = celsius{41};
  cd.conductor = square_millimetres{1};
  check_same<tw_connector_check>(call_named("tw_check_connector"), 0,
                                 check_connector(small_job::connectors[0], cd));

  controller_duty kd;
  kd.channel_current.push(amps{1.5});
  kd.channel_current.push(amps{1.25});
  kd.total = amps{2.5};
  kd.input = volts{24};
  kd.ambient = celsius{31};
  kd.conductor = square_millimetres{1.5};
  check_same<tw_controller_check>(call_named("tw_check_controller"), 0,
                                  check_controller(small_job::controllers[0], kd));

  check_same<tw_driver_check>(call_named("tw_check_driver"), 0,
                              check_driver(small_job::drivers[0], driver_duty_cpp()));
  const auto driver = choose_driver(driver_duty_cpp(), small_job::drivers);
  check_same<tw_driver_choice>(call_named("tw_choose_driver"), 0, driver);
  check_same<tw_driver_check>(call_named("tw_choose_driver"), 1, outcome<driver_check>{driver->check});

  overcurrent_duty od;
  od.load = amps{1.9};
  od.ampacity = amps{14};
  od.voltage = volts{24};
  od.fault_loop = ohms{0.3};
  od.source_limit = amps{30};
  od.load_factor = 1.25;
  od.device_limit = amps{15};
  check_same<tw_overcurrent_check>(call_named("tw_check_overcurrent"), 0,
                                   check_overcurrent(small_job::devices[0], od));
  check_same<tw_tape_load>(call_named("tw_load_of_tape"), 0,
                           load_of(small_job::colour_24, metres{2.8}, false));
  const auto line = line_of(small_job::colour_24, 28, celsius{31});
  REQUIRE(line.ok());
  check_same<tw_line_figures>(call_named("tw_solve_line"), 0, solve_line(*line, line_feed_cpp()));
  const auto run_found =
      longest_even_run(small_job::colour_24, line_feed_cpp(), 0.9, celsius{31}, all_lit, 0.05);
  check_same<tw_longest>(call_named("tw_longest_run"), 0, run_found);
  check_same<tw_line_figures>(call_named("tw_longest_run"), 1, outcome<line_figures>{run_found->figures});

  check_same<tw_feed_places>(call_named("tw_longest_fed_run"), 0,
                             longest_fed_run(small_job::colour_24, feed_arrangement::points, 2,
                                             feed_leads_cpp(), feed_wishes_cpp, feed_room));
  check_same<tw_feed_places>(
      call_named("tw_fewest_feeds"), 0,
      fewest_feed_points(small_job::colour_24, 28, feed_leads_cpp(), feed_wishes_cpp, 2, 100, feed_room));

  check_same<tw_core_currents>(call_named("tw_dimmed_cores"), 0, dimmed_cores(dimmed_on, dimmed_timing));

  auto rules = empty_c<tw_rules>();
  REQUIRE(tw_rules_default(&rules, nullptr) == TW_OK);
  const tw_rules wanted = c_of(design_rules{});
  CHECK(std::memcmp(&rules, &wanted, sizeof rules) == 0);
}

TEST_CASE("a line's profile and workspace") {
  const tw_tape tape = c_of(small_job::colour_24);
  const tw_line_question q = line_question_c();
  auto figures = empty_c<tw_line_figures>();
  const std::int64_t loads = q.segments * tape.channels;
  std::vector<double> v(static_cast<std::size_t>(loads)), a(v.size()), work;
  std::int64_t doubles = 0;
  REQUIRE(tw_line_workspace(q.segments, tape.channels, &doubles, nullptr) == TW_OK);
  work.resize(static_cast<std::size_t>(doubles));
  REQUIRE(tw_solve_line(&tape, &q, &figures, v.data(), a.data(), loads, work.data(), doubles, nullptr) ==
          TW_OK);
  std::vector<volts> wanted_v(v.size());
  std::vector<amps> wanted_a(v.size());
  const auto line = line_of(small_job::colour_24, q.segments, celsius{31});
  REQUIRE(solve_line(*line, line_feed_cpp(), {wanted_v, wanted_a}).ok());
  for (std::size_t i = 0; i < v.size(); ++i) {
    CHECK(same_bits(v[i], wanted_v[i].v));
    CHECK(same_bits(a[i], wanted_a[i].v));
  }
  tw_fault why = empty_fault();
  CHECK(tw_solve_line(&tape, &q, &figures, v.data(), nullptr, loads - 1, nullptr, 0, &why) == TW_NO_ROOM);
  CHECK(why.least == static_cast<double>(loads));
  CHECK(v[0] != v[0]);
  CHECK(figures.total_a != figures.total_a);
  for (const std::int64_t bad : {std::int64_t{0}, std::int64_t{-1}, std::int64_t{2'000'000'000}}) {
    CHECK(tw_solve_line(&tape, &q, &figures, v.data(), nullptr, bad, nullptr, 0, &why) == TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_SPACE);
    CHECK(tw_solve_line(&tape, &q, &figures, nullptr, a.data(), bad, nullptr, 0, &why) == TW_OUT_OF_RANGE);
    CHECK(tw_solve_line(&tape, &q, &figures, nullptr, nullptr, 0, work.data(), bad, &why) == TW_OUT_OF_RANGE);
  }
}

TEST_CASE("choices: lists and blocks that do not fit are refused") {
  const std::vector<tw_cable> cables = cables_c();
  const auto count = static_cast<std::int32_t>(cables.size());
  const tw_feeder_question q = feeder_question_c();
  auto choice = empty_c<tw_feeder_choice>();
  auto check = empty_c<tw_feeder_check>();
  tw_fault why = empty_fault();
  block room{TW_PART_CABLE, cables.size()};
  const auto ask = [&](const tw_cable* list, std::int32_t n, void* at, std::int64_t bytes) {
    return tw_choose_feeder(&q, list, n, at, bytes, &choice, &check, &why);
  };
  CHECK(ask(cables.data(), count, room.room.data(), room.bytes) == TW_OK);
  CHECK(ask(nullptr, count, room.room.data(), room.bytes) == TW_NULL_POINTER);
  CHECK(choice.cable == -1);
  CHECK(check.fits == 0);
  CHECK(check.worst_drop_v != check.worst_drop_v);
  CHECK(ask(nullptr, 0, nullptr, 0) == TW_OK);  // no cable, none chosen
  CHECK(choice.cable == -1);
  CHECK(ask(cables.data(), -1, room.room.data(), room.bytes) == TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_ROW_COUNT);
  CHECK(ask(cables.data(), 1'000'001, room.room.data(), room.bytes) == TW_OUT_OF_RANGE);
  CHECK(ask(cables.data(), count, nullptr, room.bytes) == TW_NULL_POINTER);
  CHECK(why.item == 3);
  CHECK(ask(cables.data(), count, room.room.data(), room.bytes - 1) == TW_NO_ROOM);
  CHECK(why.least == static_cast<double>(room.bytes));
  CHECK(ask(cables.data(), count, room.room.data(), -1) == TW_NO_ROOM);
  CHECK(ask(cables.data(), count, reinterpret_cast<char*>(room.room.data()) + 4, room.bytes) ==
        TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_ALIGNMENT);
  CHECK(why.given == 4);

  std::vector<tw_cable> odd = cables;
  odd[1].struct_size += 8;  // the rows of one list have one size
  CHECK(ask(odd.data(), count, room.room.data(), room.bytes) == TW_VERSION_MISMATCH);
  CHECK(why.item == 1);
  odd = cables;
  odd[1].cores = 99;
  CHECK(ask(odd.data(), count, room.room.data(), room.bytes) == TW_OUT_OF_RANGE);
  CHECK(why.item == 1);
  CHECK(why.field == TW_FIELD_CORE_COUNT);

  std::int64_t bytes = 7;
  CHECK(tw_choice_bytes(TW_PART_TAPE, 1, &bytes, &why) == TW_NOT_LISTED);
  CHECK(bytes == 0);
  CHECK(tw_choice_bytes(TW_PART_CABLE, -1, &bytes, &why) == TW_OUT_OF_RANGE);
  CHECK(tw_choice_bytes(TW_PART_DRIVER, 1, nullptr, &why) == TW_NULL_POINTER);

  const std::vector<tw_driver> drivers = drivers_c();
  const tw_driver_duty duty = driver_duty_c();
  auto driver_choice_c = empty_c<tw_driver_choice>();
  auto driver_check_c = empty_c<tw_driver_check>();
  block small{TW_PART_DRIVER, drivers.size()};
  CHECK(tw_choose_driver(&duty, drivers.data(), static_cast<std::int32_t>(drivers.size()), small.room.data(),
                         small.bytes - 8, &driver_choice_c, &driver_check_c, &why) == TW_NO_ROOM);
  CHECK(driver_choice_c.driver == -1);
}

}  // namespace
