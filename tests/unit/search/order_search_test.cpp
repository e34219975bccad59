// SPDX-License-Identifier: BSL-1.0
#include "tapewright/plan/search/order_search.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "support/random.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

/// Prices of what a search knows, and for each run its own price on each hub place, output place and driver that the
/// search knows nothing of.
struct priced_orders {
  const order_question* q;
  int* asked;

  constexpr long long hidden(std::size_t run, const given_order& o) const {
    const given_hub& h = o.hubs[static_cast<std::size_t>(o.hub_of[run])];
    const auto driver = o.outputs[static_cast<std::size_t>(h.output)];
    long long mates = 0;
    for (std::size_t r = 0; r < q->runs.size(); ++r) mates += o.hub_of[r] == o.hub_of[run];
    return (static_cast<long long>(run) * 7 + driver * 11 + h.controller * 5 + mates * 3) % 13;
  }
  constexpr cost operator()(const given_order& o) const {
    ++*asked;
    money sum = q->rest;
    for (const given_hub& h : o.hubs) sum += q->kinds[static_cast<std::size_t>(h.controller)].type.price;
    for (const std::int32_t d : o.outputs) sum += q->drivers[static_cast<std::size_t>(d)].type.price;
    for (std::size_t r = 0; r < q->runs.size(); ++r) sum += money{hidden(r, o)};
    return {.price = sum};
  }
};

order_question question_of(random_source& r) {
  order_question q;
  const std::int64_t runs = r.integer(1, 4);
  const auto kinds = static_cast<std::int32_t>(r.integer(1, 3)),
             drivers = static_cast<std::int32_t>(r.integer(1, 3));
  for (std::int32_t k = 0; k < kinds; ++k) {
    searched_kind one{.type = {}, .part = k, .leads = k == 0 || r.one_in(2), .repeats = k > 0};
    one.type.capacity[0] = r.integer(5, 20);
    one.type.price = {r.integer(1, 60)};
    q.kinds.push(one);
  }
  for (std::int32_t k = 0; k < drivers; ++k) {
    searched_kind one{.type = {}, .part = k};
    one.type.capacity[0] = r.integer(5, 25);
    one.type.capacity[1] = 1000;
    one.type.price = {r.integer(1, 60)};
    q.drivers.push(one);
  }
  q.groups.push({.loads = 1, .first_kind = 0, .past_kind = kinds, .first_driver = 0, .past_driver = drivers});
  for (std::int64_t i = 0; i < runs; ++i) {
    searched_run one{.place = static_cast<std::int32_t>(i)};
    one.load[0] = one.free[0] = one.kept[0] = r.integer(1, 9);
    q.runs.push(one);
  }
  return q;
}

/// Every way as numbers: a hub for each run, a kind and an output for each hub, a driver for each output.
long long least_by_counting(const order_question& q, const priced_orders& orders) {
  const auto n = static_cast<std::int32_t>(q.runs.size());
  const auto kinds = static_cast<std::int32_t>(q.kinds.size()),
             drivers = static_cast<std::int32_t>(q.drivers.size());
  const auto power = [](std::int64_t base, std::int32_t e) {
    std::int64_t p = 1;
    for (; e > 0; --e) p *= base;
    return p;
  };
  long long least = 1LL << 60;
  for (std::int64_t way = 0; way < power(n, n); ++way) {
    given_order o;
    std::int32_t hubs = 0;
    std::int64_t rest = way;
    bool canonical = true;
    for (std::int32_t r = 0; r < n; ++r, rest /= n) {
      o.hub_of[r] = static_cast<std::int32_t>(rest % n);
      canonical = canonical && o.hub_of[r] <= hubs;
      hubs = std::max(hubs, o.hub_of[r] + 1);
    }
    if (!canonical) continue;
    for (std::int64_t more = 0; more < power(kinds, hubs) * power(hubs, hubs) * power(drivers, hubs);
         ++more) {
      std::int64_t left = more;
      given_order w = o;
      std::int64_t load[4] = {}, on_output[4] = {};
      for (std::int32_t r = 0; r < n; ++r) load[o.hub_of[r]] += q.runs[static_cast<std::size_t>(r)].load[0];
      bool fits = true;
      std::int32_t lead = -1, outputs = 0;
      for (std::int32_t h = 0; h < hubs; ++h) {
        const auto k = static_cast<std::int32_t>(left % kinds);
        left /= kinds;
        const searched_kind& one = q.kinds[static_cast<std::size_t>(k)];
        fits = fits && load[h] <= one.type.capacity[0];
        if (one.leads) {
          fits = fits && (lead < 0 || lead == k);
          lead = k;
        }
        const auto output = static_cast<std::int32_t>(left % hubs);
        left /= hubs;
        fits = fits && output <= outputs;
        outputs = std::max(outputs, output + 1);
        on_output[output] += load[h];
        w.hubs.push({.controller = k, .output = output});
      }
      for (std::int32_t out = 0; out < outputs; ++out) {
        const auto d = static_cast<std::int32_t>(left % drivers);
        left /= drivers;
        fits = fits && on_output[out] <= q.drivers[static_cast<std::size_t>(d)].type.capacity[0];
        w.outputs.push(d);
      }
      if (fits && lead >= 0 && left == 0) least = std::min<long long>(least, orders(w).price.minor);
    }
  }
  return least;
}

}  // namespace

TEST_CASE("search_orders: the least of every way counted through, for prices it does not know") {
  random_source r{20261129};
  MESSAGE("seed " << r.seed());
  int answered = 0, asked = 0, counted = 0;
  for (int round = 0; round < 400; ++round) {
    CAPTURE(round);
    const order_question q = question_of(r);
    const priced_orders orders{&q, &asked};
    constexpr cost unknown{.price = {1'000'000}};
    const order_answer a = search_orders(q, orders, unknown, 1'000'000, 1);
    REQUIRE(a.all_seen);
    const long long least = least_by_counting(q, {&q, &counted});
    REQUIRE(a.improved == (least < 1LL << 60));
    if (!a.improved) continue;
    ++answered;
    CHECK(a.price.price.minor == least);
    int again = 0;
    CHECK(priced_orders{&q, &again}(a.best).price == a.price.price);
    CHECK(!search_orders(q, orders, a.price, 1'000'000, 1).improved);
    const order_answer hurried = search_orders(q, orders, unknown, r.integer(1, 30), 1);
    CHECK(hurried.steps <= 30 + 1);
    if (hurried.all_seen) CHECK(hurried.price.price.minor == least);
  }
  MESSAGE(answered << " answers, " << asked << " orders asked for, " << counted << " counted");
  CHECK(answered >= 200);
  CHECK(asked * 2 < counted);  // else the bounds do nothing
}
