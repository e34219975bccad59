// SPDX-License-Identifier: BSL-1.0
// The cheapest parts that carry a list of items: exact where it is small, good and bounded where it is not.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/search/packing_bound.hpp"
#include "tapewright/plan/search/packing_fill.hpp"
#include "tapewright/plan/search/packing_question.hpp"
#include "tapewright/plan/search/packing_repack.hpp"
#include "tapewright/plan/search/packing_tree.hpp"

namespace tapewright {

/// Which bin carries which item, what the bins are, what they cost, and what they cost at least.
struct packing_answer {
  bool fits = false;                       ///< every item has its bin
  std::int32_t stuck = -1;                 ///< where an item fits no type: the one of least rank
  std::span<const std::int32_t> bin_of{};  ///< of each item of the question, a place in `bins`
  std::span<const packed_bin> bins{};      ///< the leader first, then by their greatest item
  cost price{}, price_at_least{};
  bool proven = false;        ///< nothing is cheaper (or, where nothing fits: nothing can)
  bool ties_proven = false;   ///< and of what costs the same nothing has fewer parts, or less oversize
  std::int64_t oversize = 0;  ///< capacity of all bins less all items, in load[oversize_in]
  std::int64_t steps = 0;
};

namespace detail {

/// Larger questions are not searched as a whole.
inline constexpr std::size_t searched_items = 64;

constexpr cost cost_of(const packing_table& t, std::int64_t money, std::int64_t parts) noexcept {
  const std::int64_t unknown = t.unknown_price > 0 ? money / t.unknown_price : 0;
  return {.unpriced = static_cast<std::int32_t>(unknown),
          .price = {money - unknown * t.unknown_price},
          .parts = parts};
}

constexpr fault refuse_small(const packing_question& q, const packing_space& s) noexcept {
  const packing_counts need = packing_room(q.items.size(), q.types.size());
  return first_fault(refuse_room(s.items.size(), need.items), refuse_room(s.types.size(), need.types),
                     refuse_room(s.bins.size(), need.bins), refuse_room(s.bin_of.size(), need.bin_of),
                     refuse_room(s.packed.size(), need.packed));
}

/// Writes the kept packing out: bins numbered by their first item (the leader first), bins of a type dealt
/// out to its parts in that order. Returns how many bins.
constexpr std::size_t write_out(packing_table& t, std::span<packing_item_row> items,
                                std::span<packing_bin_row> bins, const packing_space& s,
                                bool one_leads) noexcept {
  for (packing_bin_row& row : bins) row.settled = -1;
  std::int32_t used = 0;
  if (one_leads) bins[0].settled = used++;
  for (packing_item_row& item : items) {
    packing_bin_row& row = bins[static_cast<std::size_t>(item.kept)];
    if (row.settled < 0) row.settled = used++;
    s.bin_of[static_cast<std::size_t>(item.place)] = row.settled;
  }
  for (packing_bin_row& row : bins)
    if (row.settled >= 0) s.packed[static_cast<std::size_t>(row.settled)] = {.type = row.kept_type};
  for (packing_type_row& row : t.types) row.free = 0;
  std::int32_t parts = 0;
  const auto count = static_cast<std::size_t>(used);
  for (packed_bin& bin : s.packed.first(count)) {
    packing_type_row& row = t.types[static_cast<std::size_t>(bin.type)];
    bin.type = row.place;
    if (row.free == 0) {
      row.last_part = parts++;
      row.free = row.outputs;
    }
    bin.part = row.last_part;
    bin.output = row.outputs - --row.free;
  }
  return count;
}

}  // namespace detail

/// The cheapest parts that carry all items, each item whole in one bin and no load of a bin above its
/// capacity. Of those that cost the same the one with the fewest parts, then with the least spare capacity,
/// then the first in an order by content: permuting the lists gives the same answer.
///
/// @param q      items, types and rules; ranges as check(q) tells.
/// @param space  the caller's storage, packing_room(items, types) of each list.
/// @return       Views of `space`. An item that no type holds is an answer (`fits` false, `stuck`). Faults:
///               a figure out of range; too little room.
///
/// Method    bins filled one after the other (packing_fill), up to 64 items then searched exactly
///           (packing_tree), more of them repacked in groups (packing_repack).
/// Bound     each load costs at least the best rate, in several measures (packing_bound).
/// Proven    always, where every type has one output: n items take at most the sum of the Bell numbers B(1)
///           to B(n) steps, however many types: 8 items 5,295, 10 items 142,417, 11 items 820,987, 12 items
///           5,034,584. With a leader, one item fewer. The bound leaves a few hundred of them as a rule.
/// Example   5, 4 and 3 A over drivers of 6 A at 20.00 and 12 A at 30.00: one of 12 A
[[nodiscard]] constexpr outcome<packing_answer> cheapest_packing(const packing_question& q,
                                                                 const packing_space& space) noexcept {
  if (const fault f = first_fault(check(q), detail::refuse_small(q, space))) return f;
  packing_answer answer;
  detail::arranged_packing a = detail::arranged(q, space);
  if (q.items.empty()) {
    answer.fits = answer.proven = answer.ties_proven = true;
    return answer;
  }
  if (a.stuck >= 0) {
    answer.stuck = a.stuck;
    answer.proven = answer.ties_proven = true;
    return answer;
  }
  const std::size_t n = q.items.size();
  const std::span<detail::packing_bin_row> bins = space.bins.first(n + 1);
  detail::packing_score best = detail::no_packing;
  detail::packing_fill{a.table, a.items, bins, q.one_leads}.fill(best);
  if (n > detail::repacked_items && best != detail::no_packing) {
    for (std::size_t m = 0; m < a.table.measures; ++m)
      a.table.least_money = std::max(a.table.least_money, detail::bound_of_parts(a.table, m, q.one_leads));
    detail::packing_repack again{a.table,
                                 a.items,
                                 space.items.subspan(n, detail::repacked_items),
                                 bins,
                                 space.bins.subspan(n + 1, detail::repacked_items + 1),
                                 space.bin_of,
                                 q.one_leads};
    again.improve(best, q.steps / 2);
    answer.steps = again.steps();
  }
  if (n <= detail::searched_items && answer.steps < q.steps) {
    detail::packing_tree tree{a.table, a.items, bins, q.one_leads};
    answer.ties_proven = tree.search(best, q.steps - answer.steps);
    answer.steps += tree.steps();
  }
  answer.proven = answer.ties_proven || best.money == a.table.least_money;
  answer.fits = best != detail::no_packing;
  if (!answer.fits) return answer;
  const std::int64_t least = answer.proven ? best.money : a.table.least_money;
  answer.price = detail::cost_of(a.table, best.money, best.parts);
  answer.price_at_least = detail::cost_of(a.table, least, answer.ties_proven ? best.parts : 1);
  answer.oversize = best.capacity;
  for (const packing_item& item : q.items) answer.oversize -= item.load[q.oversize_in];
  answer.bins = space.packed.first(detail::write_out(a.table, a.items, bins, space, q.one_leads));
  answer.bin_of = space.bin_of.first(n);
  return answer;
}

static_assert([] {
  const packing_item items[] = {{.load = {5}}, {.load = {4}}, {.load = {3}}};
  const packing_type types[] = {{.capacity = {6}, .price = {2000}}, {.capacity = {12}, .price = {3000}}};
  packing_storage<3, 2> storage;
  const auto answer = cheapest_packing({.items = items, .types = types}, storage.space());
  return answer->proven && answer->price.price == money{3000} && answer->bins.size() == 1 &&
         answer->oversize == 0;
}());

}  // namespace tapewright
