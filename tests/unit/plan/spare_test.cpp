// SPDX-License-Identifier: BSL-1.0
// Spare capacity that is worth something: which parts are chosen, what is told of it.
#include "tapewright/plan/spare.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include "support/close.hpp"
#include "support/counted_price.hpp"
#include "support/plan_checker.hpp"
#include "support/plan_room.hpp"
#include "support/random_job.hpp"
#include "support/small_job.hpp"
#include "tapewright/plan/planner.hpp"
#include "unit/search/random_packing.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

std::size_t at(std::int64_t i) { return static_cast<std::size_t>(i); }

/// The small job with rows that a test changes.
struct small {
  std::vector<driver> drivers{std::begin(small_job::drivers), std::end(small_job::drivers)};
  std::vector<controller> controllers{2, small_job::controllers[0]};
  std::vector<cable> cables{std::begin(small_job::cables), std::end(small_job::cables)};
  std::vector<run> runs{std::begin(small_job::runs), std::end(small_job::runs)};
  job question = small_job::question();
  std::unique_ptr<plan_storage<3>> room = std::make_unique<plan_storage<3>>();

  small() { question.rules.headroom = 0; }

  plan made() {
    question.runs = runs;
    catalogue parts = small_job::parts;
    parts.drivers = drivers;
    parts.controllers = controllers;
    parts.cables = cables;
    const auto p = make_plan(question, parts, room->space());
    REQUIRE(p.ok());
    CHECK(p->fits);
    CHECK(p->proven);
    CHECK(p->price_at_least == p->price - p->capacity_credit);
    return *p;
  }
};

long long price_of(const plan& p, part_kind kind) {
  long long sum = 0;
  for (const order_line& l : p.order)
    if (l.part.kind == kind) sum += l.total.minor;
  return sum;
}

}  // namespace

TEST_CASE("a larger driver is chosen just where its capacity is worth more than it costs") {
  small s;  // 22 W; 40 W and 200 minor units apart: 500 for 100 W
  s.runs.resize(1);
  s.drivers[1] = s.drivers[0];
  s.drivers[0].rated = watts{60};
  s.drivers[0].price = {3000};
  s.drivers[1].code = "A-100";  // first by its code: a tie is not the code's
  s.drivers[1].price = {3200};
  s.question.rules.driver_ambient = celsius{30};
  struct row {
    long long worth;
    std::int32_t chosen;
    long long credit;
  };
  for (const row& t : {row{0, 0, 0}, {499, 0, 299}, {500, 0, 300}, {501, 1, 501}, {2000, 1, 2000}}) {
    CAPTURE(t.worth);
    s.question.rules.balanced.driver = {t.worth};
    const plan p = s.made();
    CHECK(p.drivers[0].part == t.chosen);
    CHECK(p.capacity_credit == money{t.credit});
    CHECK(price_of(p, part_kind::driver) == s.drivers[at(t.chosen)].price.minor);  // what is paid
    CHECK(p.spare.drivers == s.drivers[at(t.chosen)].rated - p.load);
  }
  // 3199 for 100 W and no more: by that the second counts 1 and the first 3000 - 1919
  s.question.rules.balanced.driver = {10'000};
  const plan p = s.made();
  CHECK(p.drivers[0].part == 1);
  CHECK(p.capacity_credit == money{3199});
}

TEST_CASE(
    "capacity counts as it stands: derated, headroom kept, no more than a connector of its own lets out") {
  small s;
  s.runs.resize(1);
  s.drivers.resize(1);
  s.question.rules.balanced.driver = {1000};
  CHECK(s.made().capacity_credit == money{1000});  // 100 W
  s.question.rules.headroom = 0.25;
  CHECK(s.made().capacity_credit == money{800});
  std::vector<zone> zones{std::begin(small_job::zones), std::end(small_job::zones)};
  zones[0].driver_ambient = celsius{60};  // 75 %
  s.question.zones = zones;
  CHECK(s.made().capacity_credit == money{600});
  zones[0].driver_ambient = celsius{30};
  s.drivers[0].outputs = 2;
  CHECK(s.made().capacity_credit == money{1600});  // one is not used, and spare all the same
  s.drivers[0].outputs = 1;
  s.drivers[0].price = {};  // without a price nothing is taken off
  CHECK(s.made().capacity_credit == money{0});

  driver plug = small_job::drivers[0];
  plug.output_connector = amps{2};
  const driver_check c = *check_driver(plug, {.load = watts{20}, .headroom = 0});
  CHECK(usable_capacity(plug, c, 0) == watts{48});
  CHECK(usable_capacity(small_job::drivers[0], c, 0) == watts{100});
}

TEST_CASE("a larger controller is chosen just where its total is worth more than it costs") {
  small s;  // 2.9 A; 4 A and 200 minor units apart: 50 an ampere
  s.controllers[0].total_limit = amps{6};
  s.controllers[1].total_limit = amps{10};
  s.controllers[1].code = "A-5";
  s.controllers[1].price = {7100};
  controller third = s.controllers[1];  // more, but not through its terminal
  third.code = "A-0";
  third.total_limit = amps{30};
  third.terminal = amps{5};
  third.price = {6900};
  s.controllers.push_back(third);
  struct row {
    int worth, chosen;
  };
  for (const row& t : {row{0, 0}, {49, 0}, {50, 0}, {51, 1}, {500, 1}}) {
    CAPTURE(t.worth);
    s.question.rules.balanced.controller = {t.worth};
    const plan p = s.made();
    for (const hub_plan& h : p.hubs)
      if (h.controller >= 0) CHECK((t.worth == 0 ? h.controller != 1 : h.controller == t.chosen));
    CHECK(p.capacity_credit.minor == t.worth * (t.chosen == 0 ? 6 : 10));
  }
}

TEST_CASE(
    "thicker feeders and supply cables are chosen just where their ampacity is worth more than they cost") {
  small s;  // 4 A apart, 20 minor units a metre
  for (cable& k : s.cables) k.rating = amps{16};
  s.cables[0].price = {900};
  s.cables[1].price = {920};
  s.cables[1].rating = amps{20};
  s.cables[2].price = {2000};  // six cores, for the two coloured runs
  const plan first = s.made();
  const hub_plan* supplied = nullptr;
  for (const hub_plan& h : first.hubs)
    if (h.controller >= 0) supplied = &h;
  REQUIRE(supplied != nullptr);
  const std::int64_t feeder_m = *sale_units(first.runs[0].feeder.cut, metres{1});
  const std::int64_t supply_m = *sale_units(supplied->supply.cut, metres{1});
  CHECK(feeder_m == 6);  // 5 m and 0.3 m at each end
  CHECK(supply_m == 3);
  for (const auto worth : {0, 14, 15, 16, 29, 30, 31, 60}) {
    CAPTURE(worth);
    s.question.rules.balanced.cable = {worth};
    const plan p = s.made();
    const std::int32_t feeder = p.runs[0].feeder.cable;
    std::int32_t supply = -1;
    for (const hub_plan& h : p.hubs)
      if (h.controller >= 0) supply = h.supply.cable;
    CHECK(feeder == (4 * worth > 20 * feeder_m ? 1 : 0));
    CHECK(supply == (4 * worth > 20 * supply_m ? 1 : 0));
    const amps six = p.runs[1].feeder.check.ampacity.allowed;  // less than 16 A: five cores are loaded
    const int two = 2 * 16 + 4 * (feeder + supply);
    CHECK(p.capacity_credit == money{worth * two} + worth_of(money{worth}, valued(six)) * 2);
    double carried = 0;
    for (const run_plan& r : p.runs) carried += r.load.total_sized.v;
    for (const hub_plan& h : p.hubs)
      if (h.controller >= 0) carried += h.total.v;
    CHECK(close_abs(p.spare.cables.v, two + 2 * six.v - carried, 1e-12));  // sums of ten roundings below 100
  }
}

TEST_CASE("weights outside their range are refused, and rule and range told") {
  struct row {
    const char* name;
    money spare_weights::*member;
  };
  for (const row& t : {row{"spare_driver_minor_per_100w", &spare_weights::driver},
                       {"spare_controller_minor_per_a", &spare_weights::controller},
                       {"spare_cable_minor_per_a", &spare_weights::cable}})
    for (const long long outside : {-1LL, 1'000'000'001LL}) {
      CAPTURE(t.name);
      small s;
      s.question.rules.balanced.*t.member = {outside};
      const auto p = make_plan(s.question, small_job::parts, s.room->space());
      REQUIRE(!p.ok());
      CHECK(p.why().code == fault_code::out_of_range);
      CHECK(p.why().field == rule_named(t.name)->range);
      CHECK(&rule_table[at(p.why().item)] == rule_named(t.name));
      CHECK(p.why().least == 0);
      CHECK(p.why().most == 1e9);
    }
}

TEST_CASE("the drivers chosen count as little as any, several outputs and weights alike") {
  random_source r{20261212};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<8, 4000>>();
  int weighed = 0, otherwise = 0;
  for (int round = 0; weighed < cases(400) && round < 4000; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 5, .zones = 1, .tapes = 1, .drivers = 6, .longest_m = 6});
    // each run a hub of its own: zones that share a driver place, and no controllers
    if (o.tapes[0].channels.size() > 1) continue;
    zone z = o.zones[0];
    z.features = {};
    z.wants_controller = false;
    z.driver_place = "store";
    o.zones.clear();
    for (std::size_t i = 0; i < o.runs.size(); ++i) {
      z.code = o.keep("Z" + std::to_string(i));
      o.runs[i].zone = static_cast<std::int32_t>(i);
      o.zones.push_back(z);
    }
    const volts nominal = o.tapes[0].nominal;
    for (driver& d : o.drivers) {
      if (d.price.minor == 0) d.price = {4000};
      if (r.one_in(2)) d.outputs = static_cast<std::int32_t>(r.integer(2, 3));
    }
    o.rules.balanced.driver = {r.integer(100, 2500)};
    const job question = o.question();
    const catalogue parts = o.parts();
    const auto p = make_plan(question, parts, storage->space());
    REQUIRE(p.ok());
    bool carried = p->proven;
    for (const output_plan& out : p->outputs) carried = carried && out.check.fits;
    for (const hub_plan& h : p->hubs) carried = carried && h.output >= 0 && h.runs == 1;
    if (!carried) continue;
    packing_case plain, counted;
    plain.loads = counted.loads = 2;
    for (const run_plan& run : p->runs)
      plain.items.push_back(driver_item(run.load.sized, run.load.total_sized, run.place));
    counted.items = plain.items;
    for (const driver& d : o.drivers) {
      const watts little{std::max(d.least_load.v, 0.001)};
      const auto check = check_driver(d, duty_for(o.rules, z, nominal, little, little / nominal));
      if (!check.ok() || !check->fits) continue;
      packing_type type{.price = d.price, .outputs = d.outputs};
      const double amperes = d.output_connector.v > 0 ? std::min(d.output_connector.v, check->current_limit.v)
                                                      : check->current_limit.v;
      type.capacity[0] = whole_capacity(check->capacity.v / (1 + o.rules.headroom));
      type.capacity[1] = whole_capacity(amperes);
      type.most_items = d.output_connector.v > 0 ? 1 : 0;
      type.least = static_cast<std::int64_t>(d.least_load.v * 1e9);
      plain.types.push_back(type);
      type.price = {counted_price(question, parts, d, z, nominal)};
      counted.types.push_back(type);
    }
    long long counts = 0;
    for (const driver_plan& d : p->drivers)
      counts += counted_price(question, parts, o.drivers[at(d.part)], z, nominal);
    CHECK(counts == every_packing{counted}.best().price);
    otherwise += price_of(*p, part_kind::driver) > every_packing{plain}.best().price;
    ++weighed;
  }
  MESSAGE(weighed << " jobs, " << otherwise << " with other drivers than the cheapest");
  if (every_case) CHECK(weighed >= 300);
  if (every_case) CHECK(otherwise >= 30);
}

TEST_CASE(
    "law: where capacity is worth more, neither capacity nor price of proven controllers and drivers falls") {
  random_source r{20261213};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<8, 4000>>();
  int pairs = 0, more = 0;
  for (int round = 0; round < cases(300); ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 5, .zones = 2, .drivers = 8});
    // prices so far above all worth, in units so small, that nothing is rounded and nothing counts but 1
    for (driver& d : o.drivers)
      d.price = {(r.integer(1500, 3000) + static_cast<long long>(20 * d.rated.v)) * 1000 * d.outputs};
    for (controller& c : o.controllers) c.price = {r.integer(4000, 12000) * 1000};
    struct {
      bool known = false;
      long long worth = 0, price = 0;
    } last;
    // every second job: drivers alone, in the end at more than they cost, where the best offer of them limits it. Rounding
    // may then hide a minor unit of each of ten drivers, and the weights are at least four for a milliwatt apart
    const bool alone = round % 2 == 1;
    const long long hidden = alone ? 3 : 0;
    for (const long long each : {2, 6, 12, 18, 5000}) {
      if (each == 5000 && !alone) break;
      o.rules.balanced = {{100'000 * each}, {alone ? 0 : 4000 * each}, {}};
      const job question = o.question();
      const catalogue parts = o.parts();
      const auto p = make_plan(question, parts, storage->space());
      REQUIRE(p.ok());
      for (const finding& f : p->findings)
        if (f.code == finding_code::no_controller || f.code == finding_code::no_driver) last.known = false;
      if (!p->proven) continue;
      long long worth = 0;  // of a milliwatt each, four of a milliampere
      for (const driver_plan& d : p->drivers)
        worth +=
            capacity_mw(o.rules, o.drivers[at(d.part)], o.zones[at(d.zone)], o.drivers[at(d.part)].output);
      for (const hub_plan& h : p->hubs)
        if (h.controller >= 0 && !alone) worth += 4 * capacity_ma(o.controllers[at(h.controller)]);
      if (each < 5000) CHECK(p->capacity_credit.minor == worth * each);
      const long long price = price_of(*p, part_kind::driver) + price_of(*p, part_kind::controller);
      if (last.known) {
        CHECK(worth >= last.worth - hidden);
        CHECK(price >= last.price);  // prices are whole thousands
        ++pairs;
        more += worth > last.worth;
      }
      last = {true, worth, price};
    }
  }
  MESSAGE(pairs << " pairs, " << more << " with more capacity");
  if (every_case) CHECK(pairs >= 400);
  if (every_case) CHECK(more >= 25);
}

TEST_CASE("nothing is worth anything where no part has a price: the order stays as it is") {
  random_source r{20261214};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<8, 4000>>();
  const auto other = std::make_unique<plan_storage<8, 4000>>();
  for (int round = 0; round < cases(200); ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o);
    for (driver& d : o.drivers) d.price = {};
    for (controller& c : o.controllers) c.price = {};
    for (cable& k : o.cables) k.price = {};
    const auto plain = make_plan(o.question(), o.parts(), storage->space());
    REQUIRE(plain.ok());
    o.rules.balanced = {{r.integer(1, 3000)}, {r.integer(1, 900)}, {r.integer(1, 100)}};
    const auto p = make_plan(o.question(), o.parts(), other->space());
    REQUIRE(p.ok());
    CHECK(p->capacity_credit == money{0});
    CHECK(p->price == plain->price);
    CHECK(p->spare == plain->spare);
    REQUIRE(p->order.size() == plain->order.size());
    for (std::size_t i = 0; i < p->order.size(); ++i) {
      CHECK(p->order[i].part.kind == plain->order[i].part.kind);
      CHECK(p->order[i].part.index == plain->order[i].part.index);
      CHECK(p->order[i].quantity == plain->order[i].quantity);
    }
    REQUIRE(p->hubs.size() == plain->hubs.size());
    for (std::size_t i = 0; i < p->runs.size(); ++i) CHECK(p->runs[i].hub == plain->runs[i].hub);
    for (std::size_t h = 0; h < p->hubs.size(); ++h) CHECK(p->hubs[h].output == plain->hubs[h].output);
  }
}

TEST_CASE("an order with capacity to spare keeps what every order must keep, and is paid by its prices") {
  random_source r{20261215};
  MESSAGE("seed " << r.seed());
  int credited = 0, unproven = 0;
  for (int round = 0; round < cases(400); ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o);
    if (r.one_in(2)) bend_runs(r, o);
    if (r.one_in(2)) give_trims(r, o);
    if (r.one_in(4)) o.rules.search_steps = r.integer(1, 60);
    o.rules.balanced = {{r.integer(0, 3000)}, {r.integer(0, 900)}, {r.integer(0, 100)}};
    const job question = o.question();
    const catalogue parts = o.parts();
    plan_room room{*space_for(question, parts)};
    const auto p = make_plan(question, parts, room.space());
    REQUIRE(p.ok());
    for (const std::string& problem : plan_checker{question, parts, *p}.problems()) FAIL_CHECK(problem);
    money lines;
    for (const order_line& l : p->order) lines += l.total;
    CHECK(p->price == lines);
    if (p->proven) CHECK(p->price_at_least == p->price - p->capacity_credit);
    else if (p->price_at_least.minor > 0) CHECK(p->price_at_least <= p->price - p->capacity_credit);
    credited += p->capacity_credit.minor > 0;
    unproven += !p->proven;
  }
  if (every_case) CHECK(credited > 300);
  if (every_case) CHECK(unproven > 0);
}
