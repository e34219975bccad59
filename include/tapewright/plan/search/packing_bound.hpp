// SPDX-License-Identifier: BSL-1.0
// Packing, the bound: the order by content, and what a load costs at least.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <numeric>
#include <span>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/plan/search/packing_question.hpp"

namespace tapewright::detail {

/// A way to measure loads. Any load in whole units, the rest of each item dropped, is as good a measure
/// as the load itself: floor(a/u) + floor(b/u) <= floor((a+b)/u), so that what fits in the load fits in
/// the measure too. With a unit of 1 it is the load; with a unit just above half the capacity it counts
/// items of which no two share a bin.
struct packing_measure {
  std::size_t load = 0;
  std::int64_t unit = 1;
  double rate = 0;         ///< the least money that a unit of it costs: min over types of price / capacity
  std::int64_t whole = 0;  ///< all items together
};

/// The question in the order of its content, with its measures.
struct packing_table {
  std::span<packing_type_row> types;  ///< those of one output, cheapest first, then the others likewise
  std::size_t first_shared = 0;       ///< where the others begin
  packing_measure measure[packing_measures];
  std::size_t measures = 0, loads = 1, tie = 0;
  std::int64_t step = 1;  ///< every price is a multiple of it, and so is every sum
  std::int64_t unknown_price = 0;
  double rate[packing_loads] = {};  ///< of the plain loads
  std::int64_t greatest[packing_loads] = {};
  std::int64_t most_part[packing_measures] = {};  ///< the most of a measure that one part carries
  std::int64_t smallest_part = 0;  ///< the least capacity of one part, in the load that breaks ties
  std::int64_t least_money = 0;    ///< of the whole question
};

/// Whether two items, or what two bins hold, are alike in the first `loads` loads. (std::equal calls memcmp.)
constexpr bool same_loads(const std::int64_t* a, const std::int64_t* b, std::size_t loads) noexcept {
  for (std::size_t d = 0; d < loads; ++d)
    if (a[d] != b[d]) return false;
  return true;
}

/// A double made a little smaller than any rounding of it: a bound must not be too high.
constexpr double lowered(double x) noexcept { return x * (1 - 0x1p-40); }

/// More than any sum of prices, and still two of it are a 64-bit number.
inline constexpr std::int64_t no_bound = std::int64_t{1} << 62;

constexpr std::int64_t rounded_up(std::int64_t x, std::int64_t step) noexcept {
  return (x + step - 1) / step * step;
}

/// The money that `excess` units of a measure cost at least, to the minor unit.
constexpr std::int64_t money_for(const packing_measure& m, std::int64_t excess) noexcept {
  if (excess <= 0) return 0;
  const double money = ceil_of(lowered(m.rate * static_cast<double>(excess)));
  return money < 4e18 ? static_cast<std::int64_t>(money) : no_bound;
}

/// The same on top of whole parts: only sums of whole prices are above it.
constexpr std::int64_t least_money(const packing_table& t, const packing_measure& m,
                                   std::int64_t excess) noexcept {
  return rounded_up(money_for(m, excess), t.step);
}

constexpr bool holds(const packing_table& t, const packing_type_row& type, const std::int64_t* load,
                     std::int32_t items) noexcept {
  if (type.most_items > 0 && items > type.most_items) return false;
  for (std::size_t d = 0; d < t.loads; ++d)
    if (load[d] > type.capacity[d]) return false;
  return true;
}

/// The cheapest type of one output, from place `from` on, that holds a load; types.size() where none does.
constexpr std::size_t cheapest_type(const packing_table& t, const std::int64_t* load, std::int32_t items,
                                    bool leader, std::size_t from = 0) noexcept {
  for (std::size_t at = from; at < t.types.size(); ++at) {
    const packing_type_row& type = t.types[at];
    if (type.outputs == 1 && (leader ? type.leads : type.follows) && holds(t, type, load, items)) return at;
  }
  return t.types.size();
}

/// The same, the least load of a type counted too.
constexpr std::size_t settled_type(const packing_table& t, const packing_bin_row& bin, bool leader,
                                   std::size_t from = 0) noexcept {
  std::size_t at = cheapest_type(t, bin.load, bin.items, leader, from);
  while (at < t.types.size() && bin.load[t.tie] < t.types[at].least)
    at = cheapest_type(t, bin.load, bin.items, leader, at + 1);
  return at;
}

/// How much of a load one bin of a type can hold; where the number of items is limited, no more than so
/// many of the greatest.
constexpr std::int64_t held(const packing_table& t, const packing_type_row& type, std::size_t d) noexcept {
  const std::int64_t room = type.capacity[d];
  if (type.most_items == 0 || t.greatest[d] == 0) return room;
  return room / t.greatest[d] < type.most_items ? room : type.most_items * t.greatest[d];
}

/// Rate and total of a measure; the product of both bounds the price of the whole from below: a bin of
/// type k takes at most capacity_k units, which cost price_k, so no unit costs less than the least
/// price_k / capacity_k.
constexpr packing_measure measured_by(const packing_table& t, std::span<const packing_item_row> items,
                                      std::size_t load, std::int64_t unit) noexcept {
  packing_measure m{.load = load, .unit = unit};
  for (const packing_item_row& item : items) m.whole += item.load[load] / unit;
  if (m.whole == 0) return m;
  double least = infinity;
  for (const packing_type_row& type : t.types) {
    // no part carries more than all there is
    const std::int64_t each = held(t, type, load) / unit;
    const std::int64_t units = each < m.whole ? std::min(each * type.outputs, m.whole) : m.whole;
    if (units > 0) least = smaller(least, static_cast<double>(type.one.money) / static_cast<double>(units));
  }
  m.rate = lowered(least);
  return m;
}

/// Keeps the measures that bound the whole best, each of another kind, best first.
constexpr void offer(packing_table& t, const packing_measure& m) noexcept {
  if (m.whole == 0) return;
  const auto worth = [](const packing_measure& x) noexcept { return x.rate * static_cast<double>(x.whole); };
  for (std::size_t i = 0; i < t.measures; ++i)
    if (t.measure[i].load == m.load && t.measure[i].unit == m.unit) return;
  std::size_t at = t.measures;
  while (at > 0 && worth(m) > worth(t.measure[at - 1])) --at;
  if (at == packing_measures) return;
  if (t.measures < packing_measures) ++t.measures;
  for (std::size_t i = t.measures - 1; i > at; --i) t.measure[i] = t.measure[i - 1];
  t.measure[at] = m;
}

/// Chooses the measures: every load as it is, and in units that let one to six fit in a bin of the best
/// rate or of the greatest capacity, or that are the load of some item.
constexpr void choose_measures(packing_table& t, std::span<const packing_item_row> items) noexcept {
  packing_table tried = t;
  for (std::size_t d = 0; d < t.loads; ++d) {
    const packing_measure plain = measured_by(t, items, d, 1);
    if (plain.whole == 0) continue;
    offer(tried, plain);
    if (items.size() == 1) continue;  // it costs the cheapest type that holds it
    std::int64_t most = 0, best = 0;
    double least = infinity;
    for (const packing_type_row& type : t.types) {
      const std::int64_t each = held(t, type, d);
      most = std::max(most, each);
      if (each == 0) continue;
      const double rate = static_cast<double>(type.one.money) / type.outputs / static_cast<double>(each);
      if (rate < least) {
        least = rate;
        best = each;
      }
    }
    for (std::int64_t fit = 1; fit <= 6; ++fit) {
      offer(tried, measured_by(t, items, d, most / (fit + 1) + 1));
      if (best != most) offer(tried, measured_by(t, items, d, best / (fit + 1) + 1));
    }
    constexpr std::size_t samples = 8;
    std::int64_t last = 0;
    for (std::size_t i = 0; i < samples; ++i) {
      const std::int64_t unit = items[i * items.size() / samples].load[d];
      if (unit > 1 && unit != last) offer(tried, measured_by(t, items, d, unit));
      last = unit;
    }
  }
  t.measures = tried.measures;
  std::copy(tried.measure, tried.measure + tried.measures, t.measure);
}

/// Sums of the measures from each item to the last.
constexpr void sum_rests(const packing_table& t, std::span<packing_item_row> items) noexcept {
  std::int64_t rest[packing_measures] = {};
  for (std::size_t i = items.size(); i-- > 0;)
    for (std::size_t m = 0; m < t.measures; ++m) items[i].rest[m] = rest[m] += items[i].measured[m];
}

/// The most of a measure that any one bin takes.
constexpr std::int64_t most_measured(const packing_table& t, std::size_t m) noexcept {
  std::int64_t most = 0;
  for (const packing_type_row& type : t.types) most = std::max(most, type.measured[m]);
  return most;
}

/// How much of measure m `money` is enough for, one bin's greatest capacity at most.
constexpr std::int64_t paid_by(const packing_table& t, std::size_t m, std::int64_t money,
                               std::int64_t most) noexcept {
  const double units = ceil_of(static_cast<double>(money) / t.measure[m].rate);
  return units < static_cast<double>(most) ? static_cast<std::int64_t>(units) : most;
}

/// The least money for all items, by the items of more than half the greatest capacity of load d: no two
/// of them share a bin, so each costs its own cheapest part, and what such parts do not pay for of the
/// rest costs the best rate.
constexpr std::int64_t bound_of_large(const packing_table& t, std::span<const packing_item_row> items,
                                      std::size_t d) noexcept {
  std::int64_t half = 0, most[packing_measures] = {}, excess[packing_measures] = {};
  for (const packing_type_row& type : t.types) half = std::max(half, type.capacity[d] / 2);
  for (std::size_t m = 0; m < t.measures; ++m) {
    excess[m] = t.measure[m].whole;
    most[m] = most_measured(t, m);
  }
  std::int64_t money = 0;
  for (const packing_item_row& item : items) {
    if (item.load[d] <= half) continue;
    std::int64_t own = INT64_MAX;  // an output's share of its part, rounded down
    for (const packing_type_row& type : t.types)
      if (holds(t, type, item.load, 1)) own = std::min(own, type.one.money / type.outputs);
    money += own;
    for (std::size_t m = 0; m < t.measures; ++m) excess[m] -= paid_by(t, m, own + 1, most[m]);
  }
  std::int64_t more = 0;
  for (std::size_t m = 0; m < t.measures; ++m) more = std::max(more, money_for(t.measure[m], excess[m]));
  return rounded_up(money + more, t.step);
}

/// The least money where one leads: the cheapest leader, and the best rate for what it does not pay for.
constexpr std::int64_t bound_of_leader(const packing_table& t) noexcept {
  std::size_t lead = 0;
  while (lead < t.types.size() && !t.types[lead].leads) ++lead;
  if (lead == t.types.size()) return 0;
  std::int64_t more = 0;
  for (std::size_t m = 0; m < t.measures; ++m)
    more = std::max(more, least_money(t, t.measure[m], t.measure[m].whole - t.types[lead].paid[m]));
  return t.types[lead].one.money + more;
}

/// The least money for all of a measure in whole parts: the cheapest choice of parts whose capacities add up
/// to it. The measure is counted in so many cells at most, capacities rounded up, so that the sum is a bound.
constexpr std::int64_t bound_of_parts(packing_table& t, std::size_t m, bool one_leads) noexcept {
  constexpr std::int64_t most_cells = 1024;
  const std::int64_t whole = t.measure[m].whole, unit = (whole + most_cells - 1) / most_cells;
  const std::int64_t cells = (whole + unit - 1) / unit;
  for (packing_type_row& type : t.types) {
    const std::int64_t each = type.measured[m];
    type.cells = each >= whole ? cells : std::min(cells, (each * type.outputs + unit - 1) / unit);
  }
  std::int64_t least[most_cells + 1] = {};
  for (std::int64_t c = 1; c <= cells; ++c) {
    least[c] = no_bound;
    for (const packing_type_row& type : t.types)
      if (type.follows && type.cells > 0)
        least[c] = std::min(least[c], type.one.money + least[std::max(c - type.cells, std::int64_t{0})]);
  }
  if (!one_leads) return least[cells];
  std::int64_t with_leader = no_bound;
  for (const packing_type_row& type : t.types)
    if (type.leads) with_leader = std::min(with_leader, type.one.money + least[cells - type.cells]);
  return with_leader;
}

/// Puts the types that the question may use in order: cheapest first, then least capacity, then content.
constexpr void arrange_types(packing_table& t, const packing_question& q,
                             std::span<packing_type_row> rows) noexcept {
  std::int64_t dearest = 0, step = 0;
  bool all_priced = true;
  std::size_t used = 0;
  for (std::size_t i = 0; i < q.types.size(); ++i) {
    const packing_type& type = q.types[i];
    const bool leads = q.one_leads && type.may_lead, follows = !q.one_leads || type.may_follow;
    if (!leads && !follows) continue;
    packing_type_row row{.least = q.of_pieces ? 0 : type.least,
                         .rank = type.rank,
                         .outputs = type.outputs,
                         .most_items = q.of_pieces ? 0 : type.most_items,
                         .leads = leads,
                         .follows = follows};
    row.place = static_cast<std::int32_t>(i);
    std::copy(type.capacity, type.capacity + t.loads, row.capacity);
    row.one = {type.price.minor, 1, type.capacity[t.tie] * type.outputs};
    rows[used++] = row;
    dearest = std::max(dearest, row.one.money);
    step = std::gcd(step, row.one.money);
    all_priced = all_priced && row.one.money > 0;
  }
  t.types = rows.first(used);
  t.step = step > 0 ? step : 1;
  // a part of unknown price is dearer than any number of parts of known price
  t.unknown_price = all_priced ? 0 : dearest * static_cast<std::int64_t>(q.items.size() + 1) + t.step;
  for (packing_type_row& row : t.types)
    if (row.one.money == 0) row.one.money = t.unknown_price;
  std::sort(t.types.begin(), t.types.end(),
            [&](const packing_type_row& a, const packing_type_row& b) noexcept {
              if ((a.outputs > 1) != (b.outputs > 1)) return b.outputs > 1;
              if (a.one != b.one) return a.one < b.one;
              if (a.outputs != b.outputs) return a.outputs < b.outputs;
              for (std::size_t d = 0; d < t.loads; ++d)
                if (a.capacity[d] != b.capacity[d]) return a.capacity[d] > b.capacity[d];
              if (a.most_items != b.most_items) return a.most_items < b.most_items;
              if (a.least != b.least) return a.least < b.least;
              if (a.leads != b.leads) return a.leads;
              if (a.follows != b.follows) return a.follows;
              return a.rank != b.rank ? a.rank < b.rank : a.place < b.place;
            });
  while (t.first_shared < used && t.types[t.first_shared].outputs == 1) ++t.first_shared;
}

/// Greatest value first; then by loads, then by rank.
constexpr bool before(const packing_table& t, const packing_item_row& a, const packing_item_row& b) noexcept {
  if (a.value != b.value) return a.value > b.value;
  for (std::size_t d = 0; d < t.loads; ++d)
    if (a.load[d] != b.load[d]) return a.load[d] > b.load[d];
  return a.rank != b.rank ? a.rank < b.rank : a.place < b.place;
}

/// The question put in order and measured; `stuck` is the place of an item that no type holds, else -1.
struct arranged_packing {
  packing_table table;
  std::span<packing_item_row> items;
  std::int32_t stuck = -1;
};

constexpr arranged_packing arranged(const packing_question& q, const packing_space& space) noexcept {
  arranged_packing a;
  packing_table& t = a.table;
  t.loads = static_cast<std::size_t>(q.loads);
  t.tie = static_cast<std::size_t>(q.oversize_in);
  arrange_types(t, q, space.types);

  a.items = space.items.first(q.items.size());
  for (std::size_t i = 0; i < a.items.size(); ++i) {
    packing_item_row row{.rank = q.items[i].rank, .place = static_cast<std::int32_t>(i)};
    std::copy(q.items[i].load, q.items[i].load + t.loads, row.load);
    for (std::size_t d = 0; d < t.loads; ++d) t.greatest[d] = std::max(t.greatest[d], row.load[d]);
    bool fits = false;
    for (const packing_type_row& type : t.types) fits = fits || holds(t, type, row.load, 1);
    const bool told = a.stuck >= 0 && q.items[static_cast<std::size_t>(a.stuck)].rank <= row.rank;
    if (!fits && !told) a.stuck = row.place;
    a.items[i] = row;
  }
  if (a.stuck >= 0 || a.items.empty()) return a;

  // plain rates first: they put the items in the order that everything below depends on
  for (std::size_t d = 0; d < t.loads; ++d) t.rate[d] = measured_by(t, a.items, d, 1).rate;
  for (packing_item_row& row : a.items)
    for (std::size_t d = 0; d < t.loads; ++d) row.value += t.rate[d] * static_cast<double>(row.load[d]);
  std::sort(a.items.begin(), a.items.end(),
            [&](const packing_item_row& x, const packing_item_row& y) noexcept { return before(t, x, y); });
  for (std::size_t i = 1; i < a.items.size(); ++i)
    a.items[i].like_last = same_loads(a.items[i].load, a.items[i - 1].load, t.loads);

  choose_measures(t, a.items);
  for (packing_item_row& row : a.items)
    for (std::size_t m = 0; m < t.measures; ++m)
      row.measured[m] = row.load[t.measure[m].load] / t.measure[m].unit;
  for (packing_type_row& row : t.types)
    for (std::size_t m = 0; m < t.measures; ++m)
      row.measured[m] = held(t, row, t.measure[m].load) / t.measure[m].unit;
  for (std::size_t m = 0; m < t.measures; ++m) {
    const std::int64_t most = most_measured(t, m);
    for (packing_type_row& row : t.types)
      row.paid[m] = row.outputs > 1 ? row.measured[m] : paid_by(t, m, row.one.money, most);
  }

  t.smallest_part = INT64_MAX;
  t.least_money = INT64_MAX;
  for (const packing_type_row& row : t.types) {
    t.smallest_part = std::min(t.smallest_part, row.one.capacity);
    t.least_money = std::min(t.least_money, row.one.money);
    for (std::size_t m = 0; m < t.measures; ++m)
      t.most_part[m] = std::max(t.most_part[m], row.measured[m] * row.outputs);
  }
  for (std::size_t m = 0; m < t.measures; ++m)
    t.least_money = std::max(t.least_money, least_money(t, t.measure[m], t.measure[m].whole));
  for (std::size_t d = 0; d < t.loads; ++d)
    t.least_money = std::max(t.least_money, bound_of_large(t, a.items, d));
  if (q.one_leads) t.least_money = std::max(t.least_money, bound_of_leader(t));
  return a;
}

}  // namespace tapewright::detail
