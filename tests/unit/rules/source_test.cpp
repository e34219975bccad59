// SPDX-License-Identifier: BSL-1.0
// The list of sources: numbers that never change, facts for each, nothing said twice.
#include "tapewright/rules/source.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace tapewright;

namespace {

// numbers that stand in stored plans and in the C interface
static_assert(static_cast<int>(source::none) == 0 && static_cast<int>(source::closed_form) == 1);
static_assert(static_cast<int>(source::common_practice) == 2 && static_cast<int>(source::design_rule) == 4);
static_assert(static_cast<int>(source::iec_60228) == 6 && static_cast<int>(source::astm_b258) == 8);
static_assert(static_cast<int>(source::nec_310_16) == 20 && static_cast<int>(source::iec_60898_1) == 36);
static_assert(static_cast<int>(source::cie_1976) == 41 && static_cast<int>(source::iec_60757) == 43);

TEST_CASE("source: every one has a title, says how it is known, and is told once") {
  for (std::size_t i = 0; i < source_table_size; ++i) {
    const source_facts& one = source_table[i];
    CAPTURE(std::string{one.title});
    CHECK_FALSE(one.title.empty());
    CHECK_FALSE(text_of(one.how).empty());
    CHECK(facts_of(one.id).title == one.title);
    CHECK(facts_of(one.id).place == one.place);
    // a publication has a place in it; so have the caller's own figures, but for practice and job rules
    if (one.how != known::practice && one.id != source::design_rule) CHECK_FALSE(one.place.empty());
    for (std::size_t k = 0; k < i; ++k)
      CHECK_FALSE((source_table[k].title == one.title && source_table[k].place == one.place));
  }
}

TEST_CASE("source: none and unknown numbers have no facts") {
  for (const int number : {0, -1, 1 + static_cast<int>(source_table_size), 32767, -32768}) {
    CAPTURE(number);
    const source_facts facts = facts_of(static_cast<source>(number));
    CHECK(facts.id == source::none);
    CHECK(facts.title.empty());
    CHECK(facts.place.empty());
  }
  CHECK(text_of(static_cast<known>(99)).empty());
}

}  // namespace
