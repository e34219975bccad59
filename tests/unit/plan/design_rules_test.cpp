// SPDX-License-Identifier: BSL-1.0
// The rules as a host sees them: every one named once, in its range, set and read as a number.
#include "tapewright/plan/design_rules.hpp"
#include "doctest/doctest.h"

using namespace tapewright;

TEST_CASE("rules: named once, the default within the range, set and read again") {
  const design_rules defaults;
  CHECK(!check(defaults));
  for (const rule_facts& r : rule_table) {
    CAPTURE(r.name);
    CHECK(rule_named(r.name) == &r);
    CHECK(!r.meaning.empty());
    CHECK(r.from != source::none);
    CHECK(r.get(defaults) >= r.least);
    CHECK(r.get(defaults) <= r.most);
    design_rules changed;
    CHECK(!set_rule(changed, r, r.most));
    CHECK(r.get(changed) == r.most);
    CHECK(!check(changed));
    if (is_whole(r) && r.most - r.least >= 1) {
      CHECK(set_rule(changed, r, r.least + 0.5) ==
            fault{fault_code::out_of_range, r.range, r.least + 0.5, r.least, r.least + 1, -1});
      CHECK(r.get(changed) == r.most);  // nothing was changed
    }
    CHECK(set_rule(changed, r, not_a_number).field == r.range);
    CHECK(!set_rule(changed, r, r.least));
    CHECK(r.get(changed) == r.least);
    CHECK(!check(changed));
  }
  CHECK(rule_named("moonlight") == nullptr);
}

TEST_CASE("rules: outside its range each is refused by its place, with the limits") {
  for (std::size_t i = 0; i < sizeof rule_table / sizeof rule_table[0]; ++i) {
    const rule_facts& r = rule_table[i];
    CAPTURE(r.name);
    for (const double bad : {r.least - 1, r.most + (r.most > 1e6 ? r.most : 1)}) {
      design_rules rules;
      r.set(rules, bad);
      CHECK(check(rules) ==
            fault{fault_code::out_of_range, r.range, bad, r.least, r.most, static_cast<std::int32_t>(i)});
    }
    if (is_whole(r)) continue;
    design_rules rules;
    r.set(rules, not_a_number);
    CHECK(check(rules).field == r.range);
  }
}
