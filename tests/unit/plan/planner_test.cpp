// SPDX-License-Identifier: BSL-1.0
// The planner as a whole: a job planned while compiling, the laws every plan must keep, and jobs that
// nothing in the catalogue fits.
#include <bit>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "support/close.hpp"
#include "support/random.hpp"
#include "support/small_job.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using tapewright::test::close_rel;

namespace {

constexpr double five_roundings = 5 * 0x1p-53;  // three inputs, a product and a quotient

/// Every figure of a plan that a caller can read, folded into one number bit by bit (FNV-1a).
struct figures_hash {
  std::uint64_t state = 14695981039346656037u;
  constexpr void add(std::uint64_t v) noexcept {
    for (int byte = 0; byte < 8; ++byte) state = (state ^ (v >> 8 * byte & 0xff)) * 1099511628211u;
  }
  constexpr void add(double v) noexcept { add(v != v ? ~std::uint64_t{0} : std::bit_cast<std::uint64_t>(v)); }
};

constexpr std::uint64_t hash_of(const plan& p) noexcept {
  figures_hash h;
  for (const run_plan& r : p.runs) {
    h.add(static_cast<std::uint64_t>(r.cut.segments));
    h.add(r.cut.length.v);
    h.add(r.feeder.check.worst_drop.v);
    h.add(r.all_on.total.v);
    h.add(r.all_on.least_evenness);
    h.add(r.all_on.lightness_step);
    h.add(r.all_on.colour_shift);
    h.add(r.feed_least.v);
    h.add(r.end_greatest.v);
  }
  for (const hub_plan& b : p.hubs) h.add(b.input.v);
  for (const output_plan& o : p.outputs) h.add(o.check.capacity.v);
  for (const order_line& l : p.order) {
    h.add(static_cast<std::uint64_t>(l.quantity));
    h.add(static_cast<std::uint64_t>(l.total.minor));
  }
  for (const connection& c : p.connections) {
    h.add(c.length.v);
    h.add(c.current.v);
  }
  for (const finding& f : p.findings) {
    h.add(static_cast<std::uint64_t>(f.code));
    h.add(f.value);
    h.add(f.limit);
    h.add(f.utilisation);
  }
  for (const reading& r : p.readings) {
    h.add(r.expected);
    h.add(r.least);
    h.add(r.most);
  }
  h.add(p.mains.yearly.v);
  return h.state;
}

struct summary {
  bool ok = false, fits = false;
  money price;
  std::uint64_t hash = 0;
};

constexpr summary summary_of(const job& question, const catalogue& parts) {
  plan_storage<3> storage;
  const auto p = make_plan(question, parts, storage.space());
  if (!p.ok()) return {};
  return {true, p->fits, p->price, hash_of(*p)};
}

// The whole order of a job of three runs, two zones, one and five channels, made by the compiler. Clang
// needs -fconstexpr-steps for it (tests/CMakeLists.txt): its default of 1,048,576 steps ends in the
// readings of the five channels lit one by one. GCC's default of 33,554,432 operations is enough.
constexpr summary when_compiled = summary_of(small_job::question(), small_job::parts);
static_assert(when_compiled.ok && when_compiled.fits);

/// Storage on the heap of the test, for jobs whose size is known when it runs.
struct roomy {
  std::unique_ptr<plan_storage<40, 60'000>> storage = std::make_unique<plan_storage<40, 60'000>>();
  outcome<plan> operator()(const job& j, const catalogue& c) { return make_plan(j, c, storage->space()); }
};

const finding* find(const plan& p, finding_code code) {
  for (const finding& f : p.findings)
    if (f.code == code) return &f;
  return nullptr;
}

}  // namespace

TEST_CASE("the plan made by the compiler is the plan made at run time, bit for bit") {
  const volatile bool at_run_time = true;
  const job question = at_run_time ? small_job::question() : job{};
  const summary now = summary_of(question, small_job::parts);
  CHECK(now.ok);
  CHECK(now.price == when_compiled.price);
  CHECK(now.hash == when_compiled.hash);
}

TEST_CASE("small job: the figures worked out by hand") {
  roomy make;
  const auto p = make(small_job::question(), small_job::parts);
  REQUIRE(p.ok());
  CHECK(p->fits);
  REQUIRE(p->runs.size() == 3);
  // 2.33 m at 50 mm: 46 segments; 1.95 m and 1.52 m at 100 mm: 19 and 15 (by hand)
  CHECK(p->runs[0].cut.segments == 46);
  CHECK(p->runs[1].cut.segments == 19);
  CHECK(p->runs[2].cut.segments == 15);
  // 9.6 W/m x 2.3 m / 24 V = 0.92 A; 20.4 W/m x 1.9 m / 24 V = 1.615 A (load = length x W/m: common practice, no source)
  CHECK(close_rel(p->runs[0].load.total_sized.v, 0.92, five_roundings));
  CHECK(close_rel(p->runs[1].load.total_sized.v, 1.615, 8 * five_roundings));  // a sum of five
  // five channels and a common: six cores (common practice, no source)
  int cores = 0;
  for (const connection& c : p->connections)
    if (c.number == p->runs[1].feeder.number) ++cores;
  CHECK(cores == 6);
  // load 91.44 W and a tenth is 100.584 W: the 100 W driver is too small, the 200 W one is taken
  REQUIRE(p->drivers.size() == 1);
  CHECK(small_job::parts.drivers[static_cast<std::size_t>(p->drivers[0].part)].code == "D-200");
  // tape by whole metres: 2.3 -> 3, 1.9 -> 2 and 1.5 -> 2 (common practice, no source)
  CHECK(p->order[0].quantity == 3);
  CHECK(p->order[1].quantity == 4);
  // every line counted once
  money sum;
  for (const order_line& l : p->order) sum += l.total;
  CHECK(sum == p->price);
}

TEST_CASE("findings: every plan says of itself what it checked, worst first") {
  roomy make;
  const auto p = make(small_job::question(), small_job::parts);
  REQUIRE(p.ok());
  for (std::size_t i = 1; i < p->findings.size(); ++i) {
    const finding &a = p->findings[i - 1], &b = p->findings[i];
    CHECK((a.level > b.level || (a.level == b.level && a.utilisation >= b.utilisation)));
  }
  for (const finding& f : p->findings) {
    CAPTURE(facts_of(f.code).name);
    CHECK(f.code != finding_code::none);
    CHECK(f.from != source::none);
    if (f.level == severity::ok) CHECK(f.utilisation <= 1 + 1e-9);
  }
  for (const finding_code code :
       {finding_code::drop_to_feed, finding_code::drop_to_lamp, finding_code::evenness,
        finding_code::feeder_ampacity, finding_code::driver_capacity, finding_code::controller_channel,
        finding_code::breaker_inrush, finding_code::leakage_sum, finding_code::overcurrent_rating})
    CHECK(find(*p, code) != nullptr);
}

// By hand: four drivers that leak 4 mA each. A device of 30 mA may be used to 30 % (9 mA), so that it takes two of them,
// where breaker and inrush would take all four.
TEST_CASE("a circuit takes no more drivers than its residual current device bears") {
  zone places[4];
  run shelves[4];
  for (std::size_t i = 0; i < 4; ++i) {
    places[i] = small_job::zones[0];
    places[i].driver_place = {};  // no driver is shared
    shelves[i] = small_job::runs[0];
    shelves[i].zone = static_cast<std::int32_t>(i);
  }
  driver leaky = small_job::drivers[0];
  leaky.inrush_peak = 10_A;
  leaky.leakage = amps{0.004};
  job question = small_job::question();
  question.zones = places;
  question.runs = shelves;
  catalogue parts = small_job::parts;
  parts.drivers = {&leaky, 1};
  roomy make;
  const auto p = make(question, parts);
  REQUIRE(p.ok());
  CHECK(p->fits);
  CHECK(p->drivers.size() == 4);
  CHECK(p->mains.breakers == 2);
  CHECK(p->mains.drivers_each == 2);
  CHECK(close_rel(p->mains.leakage.v, 0.016, five_roundings));
  const finding* leaks = find(*p, finding_code::leakage_sum);
  REQUIRE(leaks != nullptr);
  CHECK(leaks->value == 0.008);
  CHECK(close_rel(leaks->limit, 0.009, five_roundings));

  leaky.leakage = amps{0.0095};  // more than a device bears of one driver alone
  const auto each = make(question, parts);
  REQUIRE(each.ok());
  CHECK(!each->fits);
  CHECK(each->mains.breakers == 4);
}

TEST_CASE("connection schedule: every conductor once, every tape terminal reached, no outputs joined") {
  roomy make;
  const auto p = make(small_job::question(), small_job::parts);
  REQUIRE(p.ok());
  for (std::size_t r = 0; r < p->runs.size(); ++r) {
    int common = 0, channels = 0;
    for (const connection& c : p->connections) {
      if (c.to == terminal{terminal_kind::tape_common, static_cast<std::int32_t>(r)}) ++common;
      if (c.to.kind == terminal_kind::tape_channel && c.to.owner == static_cast<std::int32_t>(r)) ++channels;
    }
    CHECK(common == 1);
    CHECK(channels == p->runs[r].load.channels);
  }
  // a hub's supply terminals hang on one output only
  for (std::size_t h = 0; h < p->hubs.size(); ++h) {
    int positives = 0;
    for (const connection& c : p->connections)
      if (c.to == terminal{terminal_kind::hub_positive, static_cast<std::int32_t>(h)}) ++positives;
    CHECK(positives <= 1);
  }
  // a core of a cable is used once
  for (const connection& a : p->connections)
    for (const connection& b : p->connections)
      if (&a != &b && a.number != 0) CHECK((a.number != b.number || a.core != b.core));
}

TEST_CASE("readings: the expected figure lies in its band, the far end below the feed point") {
  roomy make;
  const auto p = make(small_job::question(), small_job::parts);
  REQUIRE(p.ok());
  REQUIRE(!p->readings.empty());
  for (const reading& r : p->readings) {
    CHECK(r.least <= r.expected);
    CHECK(r.expected <= r.most);
  }
  for (const reading& feed : p->readings)
    for (const reading& end : p->readings)
      if (feed.kind == reading_kind::feed_point && end.kind == reading_kind::far_end &&
          feed.about == end.about && feed.channel == end.channel)
        CHECK(end.expected < feed.expected);
}

TEST_CASE("no choice fits: the finding names the limit, by how much, and what would help") {
  roomy make;
  SUBCASE("a run that no driver carries") {
    run long_run[] = {small_job::runs[0]};
    tape strong[] = {small_job::tapes[0]};
    strong[0].channels[0].load = 60_W_per_m;
    strong[0].feed_point_limit = {};
    long_run[0].measured = 5_m;
    catalogue parts = small_job::parts;
    parts.tapes = strong;
    const auto p = make({.zones = small_job::zones, .runs = long_run}, parts);
    REQUIRE(p.ok());
    CHECK(!p->fits);
    const finding* f = find(*p, finding_code::no_driver);
    const finding* c = find(*p, finding_code::no_controller);
    REQUIRE((f != nullptr || c != nullptr));
    const finding& told = f != nullptr ? *f : *c;
    CHECK(told.stopped_by == governed::capacity);
    CHECK(told.value > told.limit);
    CHECK(told.help != advice::none);
  }
  SUBCASE("a zone whose wish no controller carries") {
    zone wishes[] = {small_job::zones[0], small_job::zones[1]};
    wishes[1].features.push("moonlight");
    const auto p = make({.zones = wishes, .runs = small_job::runs}, small_job::parts);
    REQUIRE(p.ok());
    CHECK(!p->fits);
    const finding* f = find(*p, finding_code::no_controller);
    REQUIRE(f != nullptr);
    CHECK(f->stopped_by == governed::features);
  }
  SUBCASE("a place too hot for every driver") {
    zone hot[] = {small_job::zones[0], small_job::zones[1]};
    hot[0].driver_ambient = hot[1].driver_ambient = 75_degC;
    const auto p = make({.zones = hot, .runs = small_job::runs}, small_job::parts);
    REQUIRE(p.ok());
    CHECK(!p->fits);
  }
  SUBCASE("drivers that only their trim brings to the tape's voltage") {
    driver trimmed[] = {small_job::drivers[0], small_job::drivers[1]};
    for (driver& d : trimmed) d.output = 28_V, d.trim_low = 22_V, d.trim_high = 29_V;
    catalogue parts = small_job::parts;
    parts.drivers = trimmed;
    const auto p = make(small_job::question(), parts);
    REQUIRE(p.ok());
    CHECK(!p->fits);
    const finding* f = find(*p, finding_code::no_driver);
    REQUIRE(f != nullptr);
    CHECK(f->stopped_by == governed::output_voltage);
    CHECK(f->value == 28);
    CHECK(f->limit == 24);
  }
  SUBCASE("a driver that states more current than its class has") {
    zone classed[] = {small_job::zones[0], small_job::zones[1]};
    for (zone& z : classed) z.limited_energy = true;
    driver stated[] = {small_job::drivers[0]};
    stated[0].rated = 96_W;
    stated[0].limited_energy = true;
    stated[0].output_limit = 4.1_A;  // beyond the 4 A of its rated power; the class has 100 / 24 = 4.17 A
    catalogue parts = small_job::parts;
    parts.drivers = stated;
    const job one{.zones = classed, .runs = std::span{small_job::runs}.first(1)};
    const auto within_class = make(one, parts);
    REQUIRE(within_class.ok());
    const finding* held = find(*within_class, finding_code::limited_energy);
    REQUIRE(held != nullptr);
    CHECK(held->value == 4.1);
    CHECK(held->level == severity::ok);
    stated[0].output_limit = 5_A;
    const auto p = make(one, parts);
    REQUIRE(p.ok());
    CHECK(!p->fits);
    const finding* f = find(*p, finding_code::no_driver);
    REQUIRE(f != nullptr);
    CHECK(f->stopped_by == governed::limited_energy);
    CHECK(f->value == 5);
    CHECK(f->utilisation == utilisation(5.0, f->limit));
  }
  SUBCASE("no six-core cable in the catalogue") {
    catalogue parts = small_job::parts;
    parts.cables = parts.cables.first(2);
    const auto p = make(small_job::question(), parts);
    REQUIRE(p.ok());
    CHECK(!p->fits);
    const finding* f = find(*p, finding_code::no_feeder);
    REQUIRE(f != nullptr);
    CHECK(f->stopped_by == governed::cores);
  }
  SUBCASE("a tape that is not for the place") {
    zone damp[] = {small_job::zones[0], small_job::zones[1]};
    damp[0].ingress = 65;
    const auto p = make({.zones = damp, .runs = small_job::runs}, small_job::parts);
    REQUIRE(p.ok());
    CHECK(!p->fits);
    CHECK(find(*p, finding_code::tape_ingress)->level == severity::failed);
  }
}

TEST_CASE("refusals: the fault names field, range and row") {
  roomy make;
  const auto why = [&](auto change) {
    std::vector<run> runs(std::begin(small_job::runs), std::end(small_job::runs));
    std::vector<zone> zones(std::begin(small_job::zones), std::end(small_job::zones));
    job j = small_job::question();
    change(runs, zones, j);
    j.runs = runs;
    j.zones = zones;
    return make(j, small_job::parts).why();
  };
  using runs_t = std::vector<run>;
  using zones_t = std::vector<zone>;
  const double bad[] = {0.0, -1.0, not_a_number, infinity, -infinity, 0.000999, 1000.001};
  for (const double v : bad) {
    const fault f = why([&](runs_t& r, zones_t&, job&) { r[1].measured = metres{v}; });
    CAPTURE(v);
    CHECK(f.code == fault_code::out_of_range);
    CHECK(f.field == field::measured_length);
    CHECK(f.item == 1);
    CHECK(f.least == facts_of(field::measured_length).least);
    CHECK(f.most == facts_of(field::measured_length).most);
  }
  CHECK(why([](runs_t& r, zones_t&, job&) { r[2].from_controller = metres{-0.001}; }) ==
        fault{fault_code::out_of_range, field::from_controller, -0.001, 0, 1000, 2});
  CHECK(why([](runs_t& r, zones_t&, job&) { r[0].tape = 2; }) ==
        fault{fault_code::unknown_reference, field::run_tape, 2, 0, 1, 0});
  CHECK(why([](runs_t& r, zones_t&, job&) { r[0].zone = -1; }) ==
        fault{fault_code::unknown_reference, field::run_zone, -1, 0, 1, 0});
  CHECK(why([](runs_t& r, zones_t&, job&) { r[0].ambient = celsius{121}; }).field == field::ambient);
  CHECK(why([](runs_t&, zones_t& z, job&) { z[1].from_driver = metres{1001}; }) ==
        fault{fault_code::out_of_range, field::from_driver, 1001, 0, 1000, 1});
  CHECK(why([](runs_t&, zones_t& z, job&) { z[0].code = {}; }).field == field::name);
  CHECK(why([](runs_t& r, zones_t&, job&) { r.clear(); }).field == field::run_count);
  // one pitch on the wall, but for rounding, is one pitch
  CHECK(why([](runs_t& r, zones_t&, job&) { r[0].measured = 0.0499_m; }).field == field::measured_length);
  CHECK(!why([](runs_t& r, zones_t&, job&) { r[0].measured = 0.0499999999_m; }));
  CHECK(why([](runs_t&, zones_t&, job& j) { j.rules.headroom = -0.01; }) ==
        fault{fault_code::out_of_range, field::headroom, -0.01, 0, 2, 0});
  CHECK(why([](runs_t& r, zones_t&, job&) { r[1].measured = 0.09_m; }) ==  // below its pitch of 0.1 m
        fault{fault_code::out_of_range, field::measured_length, 0.09, 0.1, 1000, 1});
}

TEST_CASE("too little room is refused before anything is decided, and says how much is enough") {
  plan_storage<3> storage;
  plan_space space = storage.space();
  space.findings = space.findings.first(5);
  const auto p = make_plan(small_job::question(), small_job::parts, space);
  CHECK(!p.ok());
  CHECK(p.why().code == fault_code::no_room);
  CHECK(p.why().least == static_cast<double>(space_for(3).findings));
}

TEST_CASE("laws of a plan, over random jobs") {
  constexpr std::uint64_t seed = 20260714;
  MESSAGE("seed " << seed);
  test::random_source random{seed};
  roomy make;
  int planned = 0, fitting = 0;
  for (int round = 0; round < 300; ++round) {
    std::vector<run> runs;
    std::vector<std::string> codes;
    const auto count = static_cast<std::size_t>(random.integer(1, 8));
    codes.reserve(count);
    for (std::size_t i = 0; i < count; ++i) {
      codes.push_back("R" + std::to_string(i));
      run r;
      r.code = codes.back();
      r.zone = static_cast<std::int32_t>(random.integer(0, 1));
      r.tape = static_cast<std::int32_t>(random.integer(0, 1));
      r.measured = metres{random.uniform(0.35, 4.0)};
      r.from_controller = metres{random.uniform(0, 8)};
      r.ambient = celsius{random.uniform(0, 40)};
      runs.push_back(r);
    }
    job j = small_job::question();
    j.runs = runs;
    const auto p = make(j, small_job::parts);
    CAPTURE(round);
    REQUIRE(p.ok());
    ++planned;
    fitting += p->fits ? 1 : 0;
    const std::uint64_t first = hash_of(*p);

    // every run once, on a hub of its zone, never longer than its wall
    amps all_runs;
    for (const run_plan& r : p->runs) {
      REQUIRE(r.hub >= 0);
      CHECK(p->hubs[static_cast<std::size_t>(r.hub)].zone == runs[static_cast<std::size_t>(r.run)].zone);
      CHECK(r.cut.length.v <= runs[static_cast<std::size_t>(r.run)].measured.v * (1 + 1e-9));
      all_runs += r.load.total_sized;
    }
    amps all_outputs;
    for (const output_plan& o : p->outputs) all_outputs += o.current;
    if (find(*p, finding_code::no_driver) == nullptr)  // sums of at most 8 terms, in another order
      CHECK(close_rel(all_outputs.v, all_runs.v, 16 * 0x1p-53));

    // asked again, the same answer
    const auto again = make(j, small_job::parts);
    REQUIRE(again.ok());
    CHECK(hash_of(*again) == first);

    // every driver carries its load with a tenth to spare, whatever the planner says of itself
    for (const output_plan& o : p->outputs) {
      watts load;
      for (const run_plan& r : p->runs)
        if (&p->outputs[static_cast<std::size_t>(p->hubs[static_cast<std::size_t>(r.hub)].output)] == &o)
          load +=
              summed_load(
                  small_job::tapes[static_cast<std::size_t>(runs[static_cast<std::size_t>(r.run)].tape)]) *
              r.cut.length;
      const driver& s =
          small_job::drivers[static_cast<std::size_t>(p->drivers[static_cast<std::size_t>(o.driver)].part)];
      CHECK(s.rated.v >= load.v * 1.1 * (1 - 1e-12));  // 30 degC: both drivers give all they are rated for
    }
  }
  CHECK(planned == 300);
  CHECK(fitting > 100);  // the generator makes jobs that are mostly buildable; otherwise the laws test little
}
