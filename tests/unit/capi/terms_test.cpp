// SPDX-License-Identifier: BSL-1.0
// Discount, tax, fees, pins and what an order costs at least: through C as through C++; and how much room a run takes.
#include <doctest/doctest.h>

#include <cstdint>
#include <vector>

#include "tests/support/plan_room.hpp"
#include "tests/support/random_job.hpp"
#include "tests/support/small_job.hpp"
#include "tests/unit/capi/plan_calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

tw_quote quote_of(const tw_plan* plan) {
  auto quote = empty_c<tw_quote>();
  REQUIRE(tw_plan_quote(plan, &quote, nullptr) == TW_OK);
  return quote;
}

TEST_CASE("random jobs with prices, taxes and pins: the lists and the sums that C++ gives") {
  random_source r{20261127};
  MESSAGE("seed " << r.seed());
  int proven = 0, gaps = 0, pinned = 0, credited = 0;
  for (int round = 0; round < 120; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 4, .zones = 2, .longest_m = 8});
    o.rules.discount_bp = static_cast<std::int32_t>(r.integer(0, 2000));
    o.rules.tax_bp = static_cast<std::int32_t>(r.integer(0, 2500));
    o.rules.rounding = r.one_in(2) ? price_rounding::each_line : price_rounding::total;
    o.rules.cut_fee = {r.one_in(2) ? 0 : r.integer(1, 400)};
    o.rules.search_steps = r.one_in(3) ? r.integer(1, 60) : 200'000;
    const auto weight = [&]() { return money{r.one_in(2) ? 0 : r.integer(1, 900)}; };
    o.rules.balanced.driver = weight();
    o.rules.balanced.controller = weight();
    o.rules.balanced.cable = weight();
    const auto place_in = [&](const auto& rows) {
      return static_cast<std::int32_t>(r.integer(0, static_cast<std::int64_t>(rows.size()) - 1));
    };
    if (r.one_in(2)) o.zones[0].pinned_driver = place_in(o.drivers);
    if (r.one_in(3)) o.zones[0].pinned_controller = place_in(o.controllers);
    if (r.one_in(3)) o.runs[0].pinned_feeder = place_in(o.cables);
    const job question = o.question();
    const catalogue parts = o.parts();
    const c_question rows{question, parts};
    const c_terms terms{question};
    const plan_block made{rows, &terms.terms};
    REQUIRE(made.status == TW_OK);
    plan_room room{*space_for(question, parts)};
    const outcome<plan> wanted = make_plan(question, parts, room.space());
    REQUIRE(wanted.ok());
    const tw_quote quote = quote_of(made.plan);
    CHECK(same(quote, *wanted));
    CHECK(quote.gross_minor == quote.net_minor - quote.discount_minor + quote.tax_minor);
    CHECK(quote.price_at_least_minor + quote.gap_minor + quote.capacity_credit_minor == quote.net_minor);
    check_list<tw_order_line>(made.plan, wanted->order, tw_plan_order_line);
    check_list<tw_driver_plan>(made.plan, wanted->drivers, tw_plan_driver);
    check_list<tw_hub_plan>(made.plan, wanted->hubs, tw_plan_hub);
    check_list<tw_run_plan>(made.plan, wanted->runs, tw_plan_run);
    check_list<tw_cut_stock>(made.plan, wanted->pieces, tw_plan_cut_stock);
    proven += quote.proven;
    gaps += quote.proven == 0 && quote.gap_minor > 0;
    pinned += terms.terms.pins > 0;
    credited += quote.capacity_credit_minor > 0;
  }
  CHECK(proven > 10);  // of the 30 or so that hold every rule: most, even with a small budget of steps
  CHECK(gaps > 1);
  CHECK(pinned > 40);
  CHECK(credited > 40);
}

TEST_CASE("without terms the defaults hold, and they are what tw_terms_default tells") {
  const c_question rows{small_job::question(), small_job::parts};
  auto terms = empty_c<tw_terms>();
  REQUIRE(tw_terms_default(&terms, nullptr) == TW_OK);
  const design_rules defaults;
  CHECK(terms.search_steps == defaults.search_steps);
  CHECK(terms.rounding == TW_ROUNDING_TOTAL);
  CHECK(terms.discount_bp + terms.tax_bp + terms.cut_fee_minor + terms.pins == 0);
  CHECK(terms.spare_driver_minor_per_100w + terms.spare_controller_minor_per_a +
            terms.spare_cable_minor_per_a ==
        0);
  CHECK(terms.pin.at == nullptr);
  const plan_block plain{rows}, without{rows, nullptr}, with{rows, &terms};
  REQUIRE(plain.status == TW_OK);
  REQUIRE(without.status == TW_OK);
  REQUIRE(with.status == TW_OK);
  CHECK(plain.bytes == with.bytes);
  const tw_quote first = quote_of(plain.plan), second = quote_of(without.plan), third = quote_of(with.plan);
  CHECK(std::memcmp(&first, &second, sizeof first) == 0);
  CHECK(std::memcmp(&first, &third, sizeof first) == 0);
  CHECK(tw_terms_default(nullptr, nullptr) == TW_NULL_POINTER);
  terms.struct_size = 4;
  CHECK(tw_terms_default(&terms, nullptr) == TW_VERSION_MISMATCH);
}

TEST_CASE("by hand: one run, 5 % off, 20 % tax") {
  const c_question rows{{small_job::zones, small_job::runs, {}}, small_job::parts};
  auto terms = empty_c<tw_terms>();
  REQUIRE(tw_terms_default(&terms, nullptr) == TW_OK);
  const plan_block plain{rows, &terms};
  terms.discount_bp = 500;
  terms.tax_bp = 2000;
  const plan_block taxed{rows, &terms};
  const std::int64_t net = quote_of(plain.plan).net_minor;
  CHECK(net > 0);
  const tw_quote q = quote_of(taxed.plan);
  CHECK(q.net_minor == net);
  CHECK(q.discount_minor == (5 * net + 50) / 100);  // half up
  CHECK(q.taxable_minor == net - q.discount_minor);
  CHECK(q.tax_minor == (20 * q.taxable_minor + 50) / 100);
  CHECK(q.gross_minor == q.taxable_minor + q.tax_minor);
}

TEST_CASE("terms that make no sense") {
  const c_question rows{small_job::question(), small_job::parts};
  const auto refused = [&](auto change) {
    c_terms terms{small_job::question()};
    terms.pin(TW_PIN_ZONE_DRIVER, 0, 0);
    terms.pin(TW_PIN_RUN_FEEDER, 1, 0);
    terms.point();
    change(terms);
    const plan_block made{rows, &terms.terms};
    CHECK(made.plan == nullptr);
    CHECK(made.why.code == made.status);
    return made.why;
  };
  CHECK(refused([](auto& t) { t.terms.struct_size = 8; }).code == TW_VERSION_MISMATCH);
  CHECK(refused([](auto& t) { t.terms.reserved = 1; }).code == TW_VERSION_MISMATCH);
  for (const std::int32_t outside : {-1, 10'001})
    CHECK(refused([&](auto& t) { t.terms.discount_bp = outside; }).field == TW_FIELD_BASIS_POINTS);
  for (const std::int32_t outside : {-1, 100'001})
    CHECK(refused([&](auto& t) { t.terms.tax_bp = outside; }).field == TW_FIELD_BASIS_POINTS);
  for (const std::int32_t outside : {-1, 2})
    CHECK(refused([&](auto& t) { t.terms.rounding = outside; }).code == TW_OUT_OF_RANGE);
  for (const std::int64_t outside : {std::int64_t{-1}, std::int64_t{1'000'000'000'001}})
    CHECK(refused([&](auto& t) { t.terms.cut_fee_minor = outside; }).field == TW_FIELD_FEE);
  for (const std::int64_t outside : {std::int64_t{0}, std::int64_t{1'000'000'001}})
    CHECK(refused([&](auto& t) { t.terms.search_steps = outside; }).field == TW_FIELD_STEP_BUDGET);
  for (const std::int64_t outside : {std::int64_t{-1}, std::int64_t{1'000'000'001}}) {
    const tw_fault why = refused([&](auto& t) { t.terms.spare_driver_minor_per_100w = outside; });
    CHECK(why.field == TW_FIELD_SPARE_WATTS);
    CHECK(why.most == 1e9);
    CHECK(refused([&](auto& t) { t.terms.spare_controller_minor_per_a = outside; }).field ==
          TW_FIELD_SPARE_AMPERES);
    CHECK(refused([&](auto& t) { t.terms.spare_cable_minor_per_a = outside; }).field ==
          TW_FIELD_SPARE_AMPERES);
  }
  for (const std::int32_t outside : {-1, 1'000'001})
    CHECK(refused([&](auto& t) { t.terms.pins = outside; }).field == TW_FIELD_ROW_COUNT);
  CHECK(refused([](auto& t) { t.terms.pin.at = nullptr; }).code == TW_NULL_POINTER);
  CHECK(refused([](auto& t) { t.pins[0].struct_size = 4; }).code == TW_VERSION_MISMATCH);
  for (const std::int32_t outside : {-1, 3}) {
    const tw_fault why = refused([&](auto& t) { t.pins[1].pin = outside; });
    CHECK(why.code == TW_NOT_LISTED);
    CHECK(why.item == 1);
  }
  for (const std::int32_t outside : {-1, 1000}) {
    const tw_fault where = refused([&](auto& t) { t.pins[1].place = outside; });
    CHECK(where.code == TW_UNKNOWN_REFERENCE);
    CHECK(where.field == TW_FIELD_PLACE);
    CHECK(where.item == 1);
    const tw_fault what = refused([&](auto& t) { t.pins[1].part = outside; });
    CHECK(what.code == TW_UNKNOWN_REFERENCE);
    CHECK(what.field == TW_FIELD_PINNED_FEEDER);
    CHECK(what.item == 1);
  }
  const tw_fault twice = refused([](auto& t) {
    t.pin(TW_PIN_RUN_FEEDER, 1, 1);
    t.point();
  });
  CHECK(twice.code == TW_CONTRADICTION);
  CHECK(twice.field == TW_FIELD_PINNED_FEEDER);
  CHECK(twice.item == 2);
  c_terms again{small_job::question()};
  again.pin(TW_PIN_ZONE_DRIVER, 0, 0);
  again.pin(TW_PIN_ZONE_DRIVER, 0, 0);  // the same thing said twice is no contradiction
  again.point();
  CHECK(plan_block{rows, &again.terms}.status == TW_OK);
  std::int64_t bytes = 0;
  double block[4] = {};
  tw_plan* plan = nullptr;
  tw_fault why = empty_fault();
  CHECK(tw_plan_bytes_by(nullptr, &rows.catalogue, nullptr, &bytes, &why) == TW_NULL_POINTER);
  CHECK(tw_plan_bytes_by(&rows.job, &rows.catalogue, nullptr, nullptr, &why) == TW_NULL_POINTER);
  CHECK(tw_plan_make_by(&rows.job, &rows.catalogue, nullptr, nullptr, 1000, &plan, &why) == TW_NULL_POINTER);
  CHECK(why.item == 3);
  CHECK(tw_plan_make_by(&rows.job, &rows.catalogue, nullptr, block, sizeof block, &plan, &why) == TW_NO_ROOM);
}

/// Room that C asks for a job of so many straight runs, fed at their near ends, over a catalogue of usual size.
std::int64_t bytes_for(std::int32_t runs) {
  c_question q{small_job::question(), small_job::parts};
  const tw_run one = q.runs[0];
  q.runs.assign(static_cast<std::size_t>(runs), one);
  q.job.run.at = q.runs.data();
  q.job.runs = runs;
  std::int64_t bytes = 0;
  REQUIRE(tw_plan_bytes(&q.job, &q.catalogue, &bytes, nullptr) == TW_OK);
  return bytes;
}

TEST_CASE("a run takes up to 8 KiB of the block, and the same each") {
  const std::int64_t more = bytes_for(2000) - bytes_for(1000);
  MESSAGE("bytes a run " << more / 1000 << ", for the first run " << bytes_for(1));
  CHECK(more / 1000 <= 8192);
  CHECK(bytes_for(2000) <= 2000 * std::int64_t{8192} + bytes_for(1));
  // linear: the lists of a thousand runs more are a thousand times those of one more, but for order lines, of which
  // there are no more than parts
  CHECK(bytes_for(2000) - bytes_for(1999) == bytes_for(1001) - bytes_for(1000));
}

}  // namespace
