// SPDX-License-Identifier: BSL-1.0
#include "tapewright/sizing/spare_worth.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "support/random.hpp"
#include "tapewright/sizing/feeder_size.hpp"

using namespace tapewright;
using namespace tapewright::literals;

TEST_CASE("worth: by hand, rounded down to a minor unit") {
  CHECK(worth_of(money{500}, valued(60_W, 1)) == money{300});
  CHECK(worth_of(money{499}, valued(60_W, 1)) == money{299});  // 299.4
  CHECK(worth_of(money{500}, valued(60_W, 4)) == money{1200});
  CHECK(worth_of(money{100}, valued(watts{99.9994}, 1)) == money{99});  // 99.999 W
  CHECK(worth_of(money{15}, valued(4_A)) == money{60});
  CHECK(worth_of(money{3}, valued(amps{0.9999})) == money{2});
  CHECK(worth_of(money{0}, valued(60_W, 1)) == money{0});
  CHECK(worth_of(money{500}, valued(watts{0}, 1)) == money{0});
  // 100 / 1.1 x 1.1 is not 100 for a double; it counts as 100
  CHECK(worth_of(money{1000}, valued(watts{100 / 1.1 * 1.1 * (1 - 1e-15)}, 1)) == money{1000});
  CHECK(whole_thousandths(not_a_number) == 0);
  CHECK(worth_of(money{1'000'000'000}, valued(watts{1e300}, 16)) == money{16'000'000'000'000});
}

TEST_CASE("credit: a part counts at least one minor unit, and without a price nothing is taken off") {
  CHECK(credit_of(money{300}, money{3000}) == money{300});
  CHECK(credit_of(money{3000}, money{3000}) == money{2999});
  CHECK(credit_of(money{1'000'000}, money{3000}) == money{2999});
  CHECK(credit_of(money{5}, money{1}) == money{0});
  CHECK(credit_of(money{5}, money{0}) == money{0});
}

TEST_CASE("a weight is limited where a part would count less than one minor unit") {
  CHECK(limited(money{500}, money{301}, valued(60_W, 1)) == money{500});  // worth 300
  CHECK(limited(money{500}, money{300}, valued(60_W, 1)) == money{499});  // 299.4
  CHECK(limited(money{500}, money{1}, valued(60_W, 1)) == money{1});      // 0.6
  CHECK(limited(money{500}, money{0}, valued(60_W, 1)) == money{500});
  CHECK(limited(money{500}, money{1}, valued(watts{0}, 1)) == money{500});
  CHECK(limited(money{1'000'000'000}, money{16'000'000'000'000}, valued(watts{1e5}, 16)).minor ==
        999'999'999);
  test::random_source r{20261210};
  MESSAGE("seed " << r.seed());
  int limits = 0;
  for (int round = 0; round < test::cases(2000); ++round) {
    CAPTURE(round);
    const money weight{r.integer(1, 1'000'000'000)};
    const money price{static_cast<long long>(r.log_uniform(1, 1e12))};
    const watts power{r.log_uniform(0.01, 1e5)};
    const valued_capacity c = valued(power, static_cast<std::int32_t>(r.integer(1, 16)));
    const money by = limited(weight, price, c);
    CHECK(by <= weight);
    CHECK(worth_of(by, c) < price);
    if (by < weight) CHECK(worth_of(by + money{1}, c) >= price);  // not limited by more than it takes
    limits += by < weight;
  }
  if (test::every_case) CHECK(limits > 300);
}

namespace {

/// A two-core cable with a maker's rating.
cable rated_cable(std::string_view code, double mm2, amps rating, money price) {
  cable k;
  k.code = code;
  k.conductor = {conductor_system::metric_class_5, square_millimetres{mm2}, 0};
  k.conductor_limit = 70_degC;
  k.rating = rating;
  k.sale_quantum = 1_m;
  k.price = price;
  return k;
}

feeder_question three_metres(amps current) {
  feeder_question q;
  q.one_way = 3_m;
  q.channel_current.push(current);
  return q;
}

}  // namespace

TEST_CASE("a thicker cable is chosen just where its ampacity is worth more than it costs") {
  // 4 A and 60 minor units apart for three metres: 15 an ampere
  const cable cables[] = {rated_cable("K-1.5", 1.5, 16_A, money{900}),
                          rated_cable("K-2.5", 2.5, 20_A, money{920})};
  feeder_question q = three_metres(2_A);
  struct row {
    int worth, chosen;
  };
  for (const row& t : {row{0, 0}, {14, 0}, {15, 0}, {16, 1}, {100, 1}}) {
    CAPTURE(t.worth);
    q.ampere_worth = {t.worth};
    const auto choice = choose_feeder(q, cables);
    REQUIRE(choice.ok());
    CHECK(choice->cable == t.chosen);
    CHECK(choice->cost == cables[t.chosen].price * 3);  // what is paid
  }
  q.ampere_worth = {200};  // 137 and no more: by that the second counts 20, the first 508
  CHECK(choose_feeder(q, cables)->cable == 1);
  CHECK(choose_feeder(q, cables)->credit == money{137 * 20});
}

TEST_CASE("what an ampere is worth has a range") {
  feeder_question q = three_metres(2_A);
  const cable k = rated_cable("K-1.5", 1.5, 16_A, money{900});
  for (const long long outside : {-1LL, 1'000'000'001LL}) {
    q.ampere_worth = {outside};
    const fault f = check_feeder(q, k).why();
    CHECK(f.code == fault_code::out_of_range);
    CHECK(f.field == field::spare_amperes);
    CHECK(f.given == static_cast<double>(outside));
    CHECK(f.most == 1e9);
  }
}

TEST_CASE("law: where an ampere is worth more, no cable chosen carries or costs less") {
  test::random_source r{20261211};
  MESSAGE("seed " << r.seed());
  constexpr double sizes[] = {1, 1.5, 2.5, 4, 6, 10};
  int thicker = 0;
  for (int round = 0; round < test::cases(1000); ++round) {
    CAPTURE(round);
    std::vector<std::string> codes;
    std::vector<cable> cables;
    for (int k = 0; k < 8; ++k) codes.push_back("K-" + std::to_string(k));
    for (const std::string& code : codes) {
      const double mm2 = r.pick(sizes);
      const amps rating = amps{static_cast<double>(r.integer(8, 40))};
      cables.push_back(rated_cable(code, mm2, rating, money{r.integer(3'000'000, 6'000'000)}));
    }
    feeder_question q = three_metres(amps{r.uniform(0.5, 8)});
    double carried = 0;
    long long paid = 0;
    for (const long long each : {0, 1, 2, 5, 9, 20, 60, 150}) {
      q.ampere_worth = {each * 1000};  // whole units for a thousandth of an ampere: nothing is rounded
      const auto choice = choose_feeder(q, cables);
      REQUIRE(choice.ok());
      if (choice->cable < 0) break;
      CHECK(whole_thousandths(choice->check.ampacity.allowed.v) >= whole_thousandths(carried));
      CHECK(choice->cost.minor >= paid);
      thicker += paid > 0 && choice->check.ampacity.allowed.v > carried;
      carried = choice->check.ampacity.allowed.v;
      paid = choice->cost.minor;
    }
  }
  if (test::every_case) CHECK(thicker > 300);
}
