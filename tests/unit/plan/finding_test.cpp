// SPDX-License-Identifier: BSL-1.0
// Findings: numbers without gaps, a text each, and how a value is held against its limit.
#include "tapewright/plan/finding.hpp"
#include "doctest/doctest.h"
#include "tapewright/plan/cost.hpp"

using namespace tapewright;

TEST_CASE("findings: numbered without a gap, each with a name, a text and a good side") {
  std::int32_t number = 0;
  for (const finding_facts& f : finding_table) {
    CHECK(static_cast<std::int32_t>(f.code) == ++number);
    CHECK(facts_of(f.code).name == f.name);
    CHECK(!f.text.empty());
    for (const finding_facts& g : finding_table)
      if (g.code != f.code) CHECK(g.name != f.name);
  }
  CHECK(facts_of(finding_code::none).name.empty());
  CHECK(facts_of(static_cast<finding_code>(number + 1)).name.empty());
}

TEST_CASE("a value is held against its limit from the good side, rounding aside") {
  const subject about{subject_kind::run, 3};
  const finding held =
      checked(finding_code::drop_to_feed, about, 0.03, 0.03, source::design_rule, advice::thicker_feeder);
  CHECK(held.level == severity::ok);
  CHECK(held.utilisation == 1);
  CHECK(held.help == advice::none);
  const finding broken =
      checked(finding_code::drop_to_feed, about, 0.0301, 0.03, source::design_rule, advice::thicker_feeder);
  CHECK(broken.level == severity::failed);
  CHECK(broken.help == advice::thicker_feeder);
  CHECK(broken.utilisation > 1);
  CHECK(broken.subject == about);
  // "at least": limit over value
  CHECK(checked(finding_code::evenness, about, 0.95, 0.9, source::design_rule, advice::none).level ==
        severity::ok);
  CHECK(checked(finding_code::evenness, about, 0.85, 0.9, source::design_rule, advice::none).level ==
        severity::failed);
  CHECK(checked(finding_code::evenness, about, 0.0, 0.9, source::design_rule, advice::none).utilisation ==
        boundless_utilisation);
  // a figure that was never found holds no limit, from either side
  CHECK(checked(finding_code::drop_to_feed, about, not_a_number, 0.03, source::design_rule, advice::none)
            .level == severity::failed);
  CHECK(checked(finding_code::evenness, about, not_a_number, 0.9, source::design_rule, advice::none).level ==
        severity::failed);
  // a wish, not a rule
  CHECK(checked(finding_code::tape_all_on, about, 20, 19, source::maker_statement, advice::none,
                severity::strained)
            .level == severity::strained);
  // a billionth over is rounding (sizing/governing.hpp)
  CHECK(checked(finding_code::driver_capacity, about, 110.0 * (1 + 1e-12), 110, source::maker_statement,
                advice::none)
            .level == severity::ok);
}

TEST_CASE("levels and advice have texts of their own") {
  for (std::int32_t i = 1; i <= static_cast<std::int32_t>(advice::split_feed); ++i)
    for (std::int32_t k = 0; k < i; ++k)
      CHECK(text_of(static_cast<advice>(i)) != text_of(static_cast<advice>(k)));
  for (std::int32_t i = 1; i <= static_cast<std::int32_t>(severity::failed); ++i)
    CHECK(text_of(static_cast<severity>(i)) != text_of(static_cast<severity>(i - 1)));
  CHECK(text_of(static_cast<advice>(999)).empty());
  CHECK(text_of(static_cast<severity>(999)).empty());
}

TEST_CASE("cost: what cannot be built is dearest, then what has no price, then price, then parts") {
  CHECK(cost_of({500}, 2) < cost_of({501}, 2));
  CHECK(cost_of({500}, 2).price == money{1000});
  CHECK(cost_of({900}, 9) < cost_of({0}, 1));  // an unpriced part does not pass for a free one
  CHECK(cost_of({0}, 1) < cost_of({0}, 2));    // without prices: fewest parts
  CHECK(cost_of_piece({90}, 8).parts == 1);
  CHECK(cost_of({1'000'000}, 99) < no_choice);
  cost sum = cost_of({100}, 1);
  sum += cost_of_piece({0}, 3);
  CHECK(sum.unpriced == 1);
  CHECK(sum.parts == 2);
}
