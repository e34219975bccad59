// SPDX-License-Identifier: BSL-1.0
// What became different, other orders, conflicts and parts left out: through C as through C++, row by row.
#include <doctest/doctest.h>

#include <cstdint>
#include <iterator>
#include <string>
#include <vector>

#include "tapewright/parts/part_bans.hpp"
#include "tapewright/plan/what_if/alternatives.hpp"
#include "tapewright/plan/what_if/conflict.hpp"
#include "tapewright/plan/what_if/plan_changes.hpp"
#include "tests/support/plan_room.hpp"
#include "tests/support/random_job.hpp"
#include "tests/support/small_job.hpp"
#include "tests/unit/capi/plan_calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

bool same(const tw_plan_change& c, const plan_change& a) {
  return test::same(c.kind, a.kind) && test::same(c.run, a.index) && test::same(c.service, a.service) &&
         test::same(c.kind_before, a.before.kind) && test::same(c.part_before, a.before.index) &&
         test::same(c.kind_after, a.after.kind) && test::same(c.part_after, a.after.index) &&
         test::same(c.quantity_before, a.quantity_before) && test::same(c.quantity_after, a.quantity_after) &&
         test::same(c.price_before_minor, a.price_before) && test::same(c.price_after_minor, a.price_after) &&
         test::same(c.length_before_m, a.length_before) && test::same(c.length_after_m, a.length_after);
}
bool same(const tw_alternative& c, const alternative& a) {
  return test::same(c.kind, a.kind) && test::same(c.every_price_known, a.every_price_known) &&
         test::same(c.drivers, a.drivers) && test::same(c.plug_in, a.plug_in) &&
         test::same(c.soldered, a.soldered) && test::same(c.price_minor, a.price) &&
         test::same(c.capacity_credit_minor, a.capacity_credit) && test::same(c.thickest_mm2, a.thickest);
}
bool same(const tw_demand& c, const demand& a) {
  return test::same(c.kind, a.kind) && test::same(c.place, a.index) && test::same(c.value, a.value);
}
bool same(const tw_relaxation& c, const relaxation& a) {
  return test::same(c.kind, a.what.kind) && test::same(c.place, a.what.index) &&
         test::same(c.from, a.what.value) && test::same(c.to, a.to) && test::same(c.price_minor, a.price) &&
         test::same(c.every_price_known, a.every_price_known) &&
         test::same(c.whole_job_fits, a.whole_job_fits);
}

/// A block of the caller's that need not be clean.
struct block_of {
  std::vector<double> room;
  std::int64_t bytes = 0;

  void* fill() {
    room.assign(static_cast<std::size_t>(bytes) / 8 + 1, 1e300);
    return room.data();
  }
};

/// A list behind a handle as long as it says, equal row by row, and refusing what is past its end.
template <class C, class Handle, class Rows, class Get>
void check_rows(const Handle* from, std::int32_t count, const Rows& wanted, Get get) {
  REQUIRE(count == static_cast<std::int32_t>(wanted.size()));
  for (std::int32_t i = 0; i < count; ++i) {
    CAPTURE(i);
    auto c = empty_c<C>();
    REQUIRE(get(from, i, &c, nullptr) == TW_OK);
    CHECK(same(c, wanted[static_cast<std::size_t>(i)]));
  }
  tw_fault why = empty_fault();
  for (const std::int32_t outside : {-1, count, 2147483647}) {
    auto c = empty_c<C>();
    CHECK(get(from, outside, &c, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
    CHECK(is_poisoned(c));
  }
  auto c = empty_c<C>();
  CHECK(get(nullptr, 0, &c, nullptr) == TW_NULL_POINTER);
  CHECK(is_poisoned(c));
  CHECK(get(from, 0, nullptr, nullptr) == TW_NULL_POINTER);
  const double nothing[64] = {};
  CHECK(get(reinterpret_cast<const Handle*>(nothing), 0, &c, &why) == TW_VERSION_MISMATCH);
  CHECK(why.item == 0);
}

struct made_changes : block_of {
  tw_changes* changes = nullptr;
  std::int32_t count = -1;

  made_changes(const tw_plan* before, const tw_plan* after) {
    REQUIRE(tw_changes_bytes(before, after, &bytes, nullptr) == TW_OK);
    void* block = fill();
    REQUIRE(tw_changes_make(before, after, block, bytes, &changes, &count, nullptr) == TW_OK);
  }
};

void ask(random_source& r, owned_job& o, double longest_m) {
  fill_random_job(r, o, {.runs = 3, .zones = 2, .longest_m = longest_m});
}

TEST_CASE("what became different: the rows that C++ tells") {
  random_source r{20261128};
  MESSAGE("seed " << r.seed());
  int told = 0, same_plans = 0;
  for (int round = 0; round < 40; ++round) {
    CAPTURE(round);
    owned_job o;
    ask(r, o, 8);
    const job was = o.question();
    const catalogue parts = o.parts();
    std::vector<run> runs = o.runs;
    if (round % 4 != 0) runs[0].measured = runs[0].measured + metres{0.8};
    if (round % 4 == 2 && runs.size() > 1) runs.pop_back();
    job is = was;
    is.runs = runs;
    const c_question before{was, parts}, after{is, parts};
    const plan_block one{before}, two{after};
    REQUIRE(one.status == TW_OK);
    REQUIRE(two.status == TW_OK);
    const made_changes made{one.plan, two.plan};
    plan_room first{*space_for(was, parts)}, second{*space_for(is, parts)};
    const auto p = make_plan(was, parts, first.space()), q = make_plan(is, parts, second.space());
    REQUIRE(p.ok());
    REQUIRE(q.ok());
    std::vector<plan_change> wanted(change_room(*p, *q));
    const auto count = plan_changes({was, parts, *p}, {is, parts, *q}, wanted);
    REQUIRE(count.ok());
    wanted.resize(*count);
    check_rows<tw_plan_change>(made.changes, made.count, wanted, tw_changes_row);
    told += made.count;
    same_plans += made.count == 0;
  }
  CHECK(told > 60);
  CHECK(same_plans >= 10);
}

TEST_CASE("changes: refused blocks and plans") {
  const c_question q{small_job::question(), small_job::parts};
  const plan_block one{q}, two{q};
  tw_fault why = empty_fault();
  std::int64_t bytes = 7;
  CHECK(tw_changes_bytes(nullptr, two.plan, &bytes, &why) == TW_NULL_POINTER);
  CHECK(why.item == 0);
  CHECK(bytes == 0);
  CHECK(tw_changes_bytes(one.plan, nullptr, &bytes, &why) == TW_NULL_POINTER);
  CHECK(why.item == 1);
  const double nothing[512] = {};
  CHECK(tw_changes_bytes(one.plan, reinterpret_cast<const tw_plan*>(nothing), &bytes, &why) ==
        TW_VERSION_MISMATCH);
  CHECK(why.item == 1);
  CHECK(tw_changes_bytes(one.plan, two.plan, nullptr, &why) == TW_NULL_POINTER);
  REQUIRE(tw_changes_bytes(one.plan, two.plan, &bytes, &why) == TW_OK);
  std::vector<double> room(static_cast<std::size_t>(bytes) / 8 + 1);
  auto* changes = reinterpret_cast<tw_changes*>(room.data());
  std::int32_t count = 7;
  CHECK(tw_changes_make(one.plan, two.plan, nullptr, bytes, &changes, &count, &why) == TW_NULL_POINTER);
  CHECK(why.item == 2);
  CHECK(changes == nullptr);
  CHECK(count == 0);
  for (const std::int64_t few : {std::int64_t{-1}, std::int64_t{0}, bytes - 1}) {
    CHECK(tw_changes_make(one.plan, two.plan, room.data(), few, &changes, &count, &why) == TW_NO_ROOM);
    CHECK(why.least == static_cast<double>(bytes));
  }
  CHECK(tw_changes_make(one.plan, two.plan, room.data(), bytes, nullptr, &count, &why) == TW_NULL_POINTER);
  CHECK(tw_changes_make(one.plan, two.plan, room.data(), bytes, &changes, nullptr, &why) == TW_NULL_POINTER);
  CHECK(why.item == 1);
}

struct made_alternatives : block_of {
  tw_alternatives* alternatives = nullptr;
  std::int32_t count = -1;

  made_alternatives(const c_question& q, const tw_terms* terms) {
    REQUIRE(tw_alternatives_bytes(&q.job, &q.catalogue, terms, &bytes, nullptr) == TW_OK);
    void* block = fill();
    REQUIRE(tw_alternatives_make(&q.job, &q.catalogue, terms, block, bytes, &alternatives, &count, nullptr) ==
            TW_OK);
  }
};

struct alternative_rows {
  std::vector<zone> zones;
  std::vector<driver> drivers;
  std::vector<cable> cables;
  plan_room plan;

  alternative_rows(const job& j, const catalogue& parts)
      : zones(j.zones.size()),
        drivers(parts.drivers.size()),
        cables(parts.cables.size()),
        plan{*space_for(j, parts)} {}
  alternative_space space() { return {zones, drivers, cables, plan.space()}; }
};

TEST_CASE("other orders: what C++ finds, and each of them in full") {
  random_source r{20261129};
  MESSAGE("seed " << r.seed());
  int told = 0, in_full = 0;
  for (int round = 0; round < 40; ++round) {
    CAPTURE(round);
    owned_job o;
    ask(r, o, 8);
    o.rules.tax_bp = 2000;
    const job question = o.question();
    const catalogue parts = o.parts();
    const c_question rows{question, parts};
    const c_terms terms{question};
    const made_alternatives made{rows, &terms.terms};
    alternative_rows room{question, parts};
    alternative wanted[std::size(all_alternatives)];
    const auto count = alternatives(question, parts, room.space(), wanted);
    REQUIRE(count.ok());
    check_rows<tw_alternative>(made.alternatives, made.count, std::span{wanted}.first(*count),
                               tw_alternatives_row);
    told += made.count;
    const auto cheapest = make_plan(question, parts, room.plan.space());
    REQUIRE(cheapest.ok());
    const square_millimetres thickest = thickest_conductor(*cheapest);
    for (std::int32_t i = 0; i < made.count; ++i) {
      const alternative& a = wanted[i];
      CAPTURE(text_of(a.kind));
      CHECK(tw_alternative_text(static_cast<std::int32_t>(a.kind)) == text_of(a.kind));
      tw_plan* shown = nullptr;
      REQUIRE(tw_alternatives_plan(made.alternatives, i, &shown, nullptr) == TW_OK);
      const auto full = make_alternative(a.kind, question, parts, thickest, room.space());
      REQUIRE(full.ok());
      auto quote = empty_c<tw_quote>();
      REQUIRE(tw_plan_quote(shown, &quote, nullptr) == TW_OK);
      CHECK(test::same(quote, full->answer));
      CHECK(quote.net_minor == a.price.minor);
      check_list<tw_order_line>(shown, full->answer.order, tw_plan_order_line);
      check_list<tw_run_plan>(shown, full->answer.runs, tw_plan_run);
      for (const order_line& line : full->answer.order) {
        if (line.part.kind == part_kind::service) continue;
        char code[64];
        std::int64_t length = 0;
        REQUIRE(tw_plan_part_code(shown, static_cast<std::int32_t>(line.part.kind), line.part.index, code,
                                  sizeof code, &length, nullptr) == TW_OK);
        CHECK(code == code_of(full->parts, line.part));
      }
      ++in_full;
    }
  }
  CHECK(told > 30);
  CHECK(in_full == told);
}

TEST_CASE("other orders: refusals") {
  const c_question q{small_job::question(), small_job::parts};
  const made_alternatives made{q, nullptr};
  tw_fault why = empty_fault();
  auto* plan = reinterpret_cast<tw_plan*>(&why);
  for (const std::int32_t outside : {-1, made.count}) {
    CHECK(tw_alternatives_plan(made.alternatives, outside, &plan, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(plan == nullptr);
  }
  CHECK(tw_alternatives_plan(nullptr, 0, &plan, &why) == TW_NULL_POINTER);
  REQUIRE(made.count > 0);
  CHECK(tw_alternatives_plan(made.alternatives, 0, nullptr, &why) == TW_NULL_POINTER);
  for (const std::int32_t n : {-1, 0, 7, 2147483647}) CHECK(std::string{tw_alternative_text(n)}.empty());
  std::int64_t bytes = 7;
  CHECK(tw_alternatives_bytes(nullptr, &q.catalogue, nullptr, &bytes, &why) == TW_NULL_POINTER);
  CHECK(tw_alternatives_bytes(&q.job, nullptr, nullptr, &bytes, &why) == TW_NULL_POINTER);
  tw_terms terms = empty_c<tw_terms>();  // no step to search with
  CHECK(tw_alternatives_bytes(&q.job, &q.catalogue, &terms, &bytes, &why) == TW_OK);
  std::vector<double> room(static_cast<std::size_t>(bytes) / 8 + 1);
  tw_alternatives* found = nullptr;
  std::int32_t count = 7;
  CHECK(tw_alternatives_make(&q.job, &q.catalogue, &terms, room.data(), bytes, &found, &count, &why) ==
        TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_STEP_BUDGET);
  CHECK(found == nullptr);
  CHECK(tw_alternatives_make(&q.job, &q.catalogue, nullptr, room.data(), bytes - 1, &found, &count, &why) ==
        TW_NO_ROOM);
  CHECK(tw_alternatives_make(&q.job, &q.catalogue, nullptr, nullptr, bytes, &found, &count, &why) ==
        TW_NULL_POINTER);
  CHECK(why.item == 3);
  CHECK(count == 0);
}

struct made_conflict : block_of {
  tw_conflict* conflict = nullptr;
  tw_conflict_facts facts = empty_c<tw_conflict_facts>();

  made_conflict(const c_question& q, const tw_terms* terms) {
    REQUIRE(tw_conflict_bytes(&q.job, &q.catalogue, terms, &bytes, nullptr) == TW_OK);
    void* block = fill();
    REQUIRE(tw_conflict_make(&q.job, &q.catalogue, terms, block, bytes, &conflict, nullptr) == TW_OK);
    REQUIRE(tw_conflict_summary(conflict, &facts, nullptr) == TW_OK);
  }
};

TEST_CASE("conflicts: the core and what would help, as C++ finds them") {
  random_source r{20261130};
  MESSAGE("seed " << r.seed());
  int conflicts = 0, fitting = 0, helped = 0;
  for (int round = 0; round < 24; ++round) {
    CAPTURE(round);
    owned_job o;
    ask(r, o, round % 2 == 0 ? 25.0 : 5.0);
    if (round % 3 == 0) o.zones[0].pinned_driver = 0;
    o.rules.search_steps = 5000;
    const job question = o.question();
    const catalogue parts = o.parts();
    const c_question rows{question, parts};
    const c_terms terms{question};
    const made_conflict made{rows, &terms.terms};
    std::vector<run> runs(question.runs.size());
    std::vector<zone> zones(question.zones.size());
    std::vector<demand> demands(demand_room(runs.size(), zones.size()));
    std::vector<relaxation> help(demands.size());
    plan_room room{*space_for(question, parts), 100'000};
    const auto wanted = find_conflict(question, parts, {runs, zones, demands, help, room.space()});
    REQUIRE(wanted.ok());
    CHECK(made.facts.conflicting == (wanted->conflicting ? 1 : 0));
    CHECK(made.facts.smallest == (wanted->smallest ? 1 : 0));
    CHECK(made.facts.plans == wanted->plans);
    check_rows<tw_demand>(made.conflict, made.facts.demands, wanted->core, tw_conflict_demand);
    check_rows<tw_relaxation>(made.conflict, made.facts.relaxations, wanted->help, tw_conflict_relaxation);
    auto broken = empty_c<tw_finding>();
    REQUIRE(tw_conflict_finding(made.conflict, &broken, nullptr) == TW_OK);
    CHECK(test::same(broken, wanted->broken));
    conflicts += made.facts.conflicting;
    fitting += 1 - made.facts.conflicting;
    helped += made.facts.relaxations > 0;
  }
  CHECK(conflicts > 4);
  CHECK(fitting > 4);
  CHECK(helped > 2);
}

TEST_CASE("conflicts: refusals, and the rules by name") {
  const c_question q{small_job::question(), small_job::parts};
  tw_fault why = empty_fault();
  auto facts = empty_c<tw_conflict_facts>();
  facts.plans = 7;
  CHECK(tw_conflict_summary(nullptr, &facts, &why) == TW_NULL_POINTER);
  CHECK(facts.plans == 0);
  auto finding = empty_c<tw_finding>();
  const double nothing[64] = {};
  CHECK(tw_conflict_finding(reinterpret_cast<const tw_conflict*>(nothing), &finding, &why) ==
        TW_VERSION_MISMATCH);
  CHECK(is_poisoned(finding));
  std::int64_t bytes = 0;
  CHECK(tw_conflict_bytes(&q.job, nullptr, nullptr, &bytes, &why) == TW_NULL_POINTER);
  CHECK(why.item == 1);
  REQUIRE(tw_conflict_bytes(&q.job, &q.catalogue, nullptr, &bytes, &why) == TW_OK);
  std::vector<double> room(static_cast<std::size_t>(bytes) / 8 + 1);
  auto* conflict = reinterpret_cast<tw_conflict*>(room.data());
  CHECK(tw_conflict_make(&q.job, &q.catalogue, nullptr, room.data(), bytes - 1, &conflict, &why) ==
        TW_NO_ROOM);
  CHECK(conflict == nullptr);
  CHECK(tw_conflict_make(&q.job, &q.catalogue, nullptr, room.data(), bytes, nullptr, &why) ==
        TW_NULL_POINTER);
  constexpr auto rules = static_cast<std::int32_t>(sizeof rule_table / sizeof rule_table[0]);
  for (std::int32_t i = 0; i < rules; ++i) {
    CHECK(tw_rule_name(i) == rule_table[i].name);
    CHECK(tw_rule_text(i) == rule_table[i].meaning);
  }
  for (const std::int32_t i : {-1, rules, 2147483647}) {
    CHECK(std::string{tw_rule_name(i)}.empty());
    CHECK(std::string{tw_rule_text(i)}.empty());
  }
}

// ---- parts left out ---------------------------------------------------------------------------------------

TEST_CASE("a catalogue without some parts: the plan that C++ makes without them") {
  random_source r{20261201};
  MESSAGE("seed " << r.seed());
  int without = 0;
  for (int round = 0; round < 30; ++round) {
    CAPTURE(round);
    owned_job o;
    ask(r, o, 8);
    const job question = o.question();
    const catalogue all = o.parts();
    std::vector<part_ref> bans;
    for (std::size_t i = 0; i < all.drivers.size(); ++i)
      if (r.one_in(4)) bans.push_back({part_kind::driver, static_cast<std::int32_t>(i)});
    for (std::size_t i = 0; i < all.cables.size(); ++i)
      if (r.one_in(4)) bans.push_back({part_kind::cable, static_cast<std::int32_t>(i)});
    if (r.one_in(2)) bans.push_back({part_kind::connector, 0});
    std::vector<tw_ban> banned;
    for (const part_ref& b : bans)
      banned.push_back({sizeof(tw_ban), static_cast<std::int32_t>(b.kind), b.index, 0});

    c_question rows{question, all};
    block_of block;
    const auto count = static_cast<std::int32_t>(banned.size());
    REQUIRE(tw_catalogue_bytes(&rows.catalogue, banned.data(), count, &block.bytes, nullptr) == TW_OK);
    auto rest = empty_c<tw_catalogue>();
    void* room_of_rows = block.fill();
    REQUIRE(tw_catalogue_without(&rows.catalogue, banned.data(), count, room_of_rows, block.bytes, &rest,
                                 nullptr) == TW_OK);
    rows.catalogue = rest;
    const plan_block made{rows};
    REQUIRE(made.status == TW_OK);

    std::vector<cable> cables(all.cables.size());
    std::vector<connector> connectors(all.connectors.size());
    std::vector<controller> controllers(all.controllers.size());
    std::vector<driver> drivers(all.drivers.size());
    std::vector<overcurrent_device> devices(all.overcurrent_devices.size());
    const auto parts = catalogue_without(all, bans, {cables, connectors, controllers, drivers, devices});
    REQUIRE(parts.ok());
    plan_room room{*space_for(question, *parts)};
    const auto wanted = make_plan(question, *parts, room.space());
    REQUIRE(wanted.ok());
    check_list<tw_order_line>(made.plan, wanted->order, tw_plan_order_line);
    check_list<tw_driver_plan>(made.plan, wanted->drivers, tw_plan_driver);
    check_list<tw_connection>(made.plan, wanted->connections, tw_plan_connection);
    without += !bans.empty();
  }
  CHECK(without > 20);
}

TEST_CASE("parts left out: refusals") {
  const c_question q{small_job::question(), small_job::parts};
  tw_ban ban[2] = {{sizeof(tw_ban), TW_PART_DRIVER, 0, 0}, {sizeof(tw_ban), TW_PART_CABLE, 1, 0}};
  tw_fault why = empty_fault();
  std::int64_t bytes = 0;
  REQUIRE(tw_catalogue_bytes(&q.catalogue, ban, 2, &bytes, nullptr) == TW_OK);
  std::vector<double> room(static_cast<std::size_t>(bytes) / 8 + 1);
  auto rest = empty_c<tw_catalogue>();
  const auto asked = [&](std::int32_t bans, std::int64_t given) {
    return tw_catalogue_without(&q.catalogue, ban, bans, room.data(), given, &rest, &why);
  };
  REQUIRE(asked(2, bytes) == TW_OK);
  CHECK(rest.drivers == q.catalogue.drivers - 1);
  CHECK(rest.cables == q.catalogue.cables - 1);
  CHECK(std::string{rest.driver.at[0].code} == q.drivers[1].code);
  CHECK(asked(0, bytes) == TW_OK);
  CHECK(rest.drivers == q.catalogue.drivers);
  CHECK(asked(2, bytes - 1) == TW_NO_ROOM);
  CHECK(rest.drivers == 0);
  CHECK(rest.driver.at == nullptr);
  CHECK(asked(-1, bytes) == TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_ROW_COUNT);
  CHECK(asked(1'000'001, bytes) == TW_OUT_OF_RANGE);
  for (const std::int32_t kind : {-1, 0, TW_PART_TAPE, TW_PART_SERVICE, 8}) {
    ban[1].part_kind = kind;
    CHECK(asked(2, bytes) == TW_NOT_LISTED);
    CHECK(why.item == 1);
  }
  ban[1].part_kind = TW_PART_CABLE;
  for (const std::int32_t part : {-1, q.catalogue.cables}) {
    ban[1].part = part;
    CHECK(asked(2, bytes) == TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
    CHECK(why.item == 1);
  }
  ban[1].part = 0;
  ban[1].reserved = 1;
  CHECK(asked(2, bytes) == TW_VERSION_MISMATCH);
  ban[1].reserved = 0;
  CHECK(tw_catalogue_bytes(&q.catalogue, nullptr, 2, &bytes, &why) == TW_NULL_POINTER);
  CHECK(why.item == 1);
  CHECK(tw_catalogue_bytes(nullptr, ban, 2, &bytes, &why) == TW_NULL_POINTER);
  CHECK(tw_catalogue_without(&q.catalogue, ban, 2, nullptr, 1000, &rest, &why) == TW_NULL_POINTER);
  CHECK(why.item == 3);
  CHECK(tw_catalogue_without(&q.catalogue, ban, 2, room.data(), 1000, nullptr, &why) == TW_NULL_POINTER);
}

}  // namespace
