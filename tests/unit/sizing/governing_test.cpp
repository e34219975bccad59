// SPDX-License-Identifier: BSL-1.0
// How limits are held, which of them governs, and how candidates are put in order.
#include "tapewright/sizing/governing.hpp"

#include <doctest/doctest.h>

#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

TEST_CASE("utilisation and within") {
  CHECK(utilisation(1.0, 2.0) == 0.5);
  CHECK(utilisation(amps{3}, amps{2}) == 1.5);
  CHECK(utilisation(0.0, 0.0) == 0.0);
  CHECK(utilisation(0.0, 5.0) == 0.0);
  CHECK(utilisation(5.0, 0.0) == boundless_utilisation);
  CHECK(utilisation(1e300, 1e-300) == boundless_utilisation);  // no overflow on the way
  // a figure that was never found passes no check, on whichever side of it it stands
  CHECK(utilisation(not_a_number, 5.0) == boundless_utilisation);
  CHECK(utilisation(5.0, not_a_number) == boundless_utilisation);
  CHECK(utilisation(0.0, not_a_number) == boundless_utilisation);
  CHECK(utilisation(not_a_number, not_a_number) == boundless_utilisation);

  CHECK(within(0.0));
  CHECK(within(1.0));
  CHECK(within(1 + 0.9e-9));        // rounding
  CHECK_FALSE(within(1 + 1.1e-9));  // more than rounding
  CHECK_FALSE(within(boundless_utilisation));
  CHECK_FALSE(within(not_a_number));

  // common practice, no source: a tenth of headroom on 100 W is met by a 110 W driver, although
  // 100 x 1.1 is 110.00000000000001 in binary
  CHECK(100 * 1.1 > 110);
  CHECK(within(utilisation(100 * 1.1, 110.0)));
}

TEST_CASE("takes: a terminal's conductor range") {
  const square_millimetres half{0.5}, two_and_a_half{2.5};
  CHECK(takes(half, two_and_a_half, half));
  CHECK(takes(half, two_and_a_half, two_and_a_half));
  CHECK(takes(half, two_and_a_half, square_millimetres{1.5}));
  CHECK_FALSE(takes(half, two_and_a_half, square_millimetres{0.34}));
  CHECK_FALSE(takes(half, two_and_a_half, square_millimetres{4}));
  CHECK_FALSE(takes(half, square_millimetres{0.75}, square_millimetres{0.823}));     // 18 AWG by its area
  CHECK(takes(square_millimetres{}, square_millimetres{}, square_millimetres{35}));  // no terminal to fit
}

TEST_CASE("verdict: the first broken yes-or-no limit governs, else the most used") {
  detail::verdict v;
  CHECK(v.fits);
  CHECK(v.by == governed::none);
  v.use(governed::drop, 0.4);
  v.use(governed::ampacity, 0.7);
  v.use(governed::price, 0.2);
  CHECK(v.fits);
  CHECK(v.by == governed::ampacity);
  CHECK(v.greatest == 0.7);
  v.use(governed::drop, 0.7);  // a tie stays with the first
  CHECK(v.by == governed::ampacity);
  v.use(governed::drop, 1.2);
  CHECK_FALSE(v.fits);
  CHECK(v.by == governed::drop);
  CHECK(v.broken == 0);

  detail::verdict w;
  w.must(governed::cores, true);
  CHECK(w.fits);
  w.must(governed::terminal, false);
  CHECK_FALSE(w.fits);
  w.must(governed::stock, false);
  w.use(governed::drop, 3.0);
  CHECK_FALSE(w.fits);
  CHECK(w.by == governed::terminal);
  CHECK(w.broken == 2);
  CHECK(w.greatest == 3.0);
}

TEST_CASE("standing: fitting, then priced, cheap, small, by code; misfits by how little they miss") {
  const detail::standing cheap{true, 0, 0.9, 100, 5, "b"}, dear{true, 0, 0.1, 200, 1, "a"};
  const detail::standing unpriced{true, 0, 0.1, 0, 1, "a"}, unpriced_larger{true, 0, 0.1, 0, 2, "a"};
  const detail::standing near{false, 0, 1.1, 0, 9, "z"}, far{false, 0, 2.0, 1, 1, "a"};
  const detail::standing broken{false, 1, 0.1, 1, 1, "a"};
  CHECK(before(cheap, dear));
  CHECK(before(dear, unpriced));  // a price not known is not a price of nothing
  CHECK(before(unpriced, unpriced_larger));
  CHECK(before(unpriced_larger, near));
  CHECK(before(near, far));
  CHECK(before(far, broken));
  CHECK(before(detail::standing{true, 0, 0, 1, 1, "a"}, detail::standing{true, 0, 0, 1, 1, "b"}));
  CHECK_FALSE(before(cheap, cheap));
}

TEST_CASE("every limit has a text of its own") {
  CHECK(text_of(governed::none) == "nothing");
  CHECK(text_of(static_cast<governed>(9999)) == "unknown limit");
  int last = 0;
  while (text_of(static_cast<governed>(last + 1)) != "unknown limit") ++last;
  CHECK(last >= static_cast<int>(governed::code_maximum));  // numbers count up without a gap
  for (int a = 1; a <= last; ++a)
    for (int b = a + 1; b <= last; ++b) {
      CAPTURE(a);
      CAPTURE(b);
      CHECK(text_of(static_cast<governed>(a)) != text_of(static_cast<governed>(b)));
    }
}

TEST_CASE("law: candidates have one order, whatever pair is asked") {
  auto random = law("before() is a strict order", 20260201);
  const auto any = [&] {
    return detail::standing{random.one_in(2),
                            static_cast<std::int32_t>(random.integer(0, 2)),
                            random.pick({0.5, 1.0, 2.0}),
                            random.integer(0, 2),
                            random.pick({1.0, 2.0}),
                            random.one_in(2) ? "a" : "b"};
  };
  for (int i = 0; i < law_cases; ++i) {
    const auto a = any(), b = any(), c = any();
    CAPTURE(i);
    REQUIRE_FALSE(before(a, a));
    REQUIRE_FALSE((before(a, b) && before(b, a)));
    if (before(a, b) && before(b, c)) REQUIRE(before(a, c));
  }
}

}  // namespace
