// SPDX-License-Identifier: BSL-1.0
// Packing, the exact search: one item after the other into every bin that can still lead to a better answer.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/search/packing_bound.hpp"

namespace tapewright::detail {

/// Branch and bound over the ways to share items out.
///
/// The items come greatest first. Each goes into a bin that is open, or into a new one. A bin has no type of
/// its own yet: it costs the cheapest type that holds what is in it, so the types need no branches; only
/// parts of several outputs, which cost once, are opened as what they are. The leader, where one leads, is
/// bin 0, open from the start.
///
/// Bound at a node: what the open bins cost, and the best rate for all load behind it that they do not pay
/// for. A bin of money c holds at most c / rate units however it grows, or it costs the rate for each unit
/// more; so the load that costs nothing is at most the sum of c / rate - used over the bins.
///
/// Symmetry: of bins with equal contents only the first is tried; items of equal loads go into bins in
/// their own order.
class packing_tree {
 public:
  constexpr packing_tree(packing_table& table, std::span<packing_item_row> items,
                         std::span<packing_bin_row> bins, bool one_leads) noexcept
      : t_{table}, items_{items}, bins_{bins}, one_leads_{one_leads} {
    for (packing_type_row& row : t_.types) row.free = 0;
    sum_rests(t_, items_);
    for (std::size_t m = 0; m < t_.measures; ++m)
      least_parts_ = std::max(least_parts_, (items_[0].rest[m] + t_.most_part[m] - 1) / t_.most_part[m]);
    for (const packing_item_row& item : items_) least_capacity_ += item.load[t_.tie];
    least_capacity_ = std::max(least_capacity_, least_parts_ * t_.smallest_part);
  }

  /// Searches for what is better than `best`, in at most `budget` steps; a step is a look at one place for one
  /// item. What is found is kept in the rows (`kept`, `kept_type`) and in `best`.
  /// True where nothing better is left.
  constexpr bool search(packing_score& best, std::int64_t budget) noexcept {
    steps_ = 0;
    if (one_leads_ && !open_leader()) return true;
    if (reach(0) >= best) return true;
    items_[0].next = 0;
    for (std::size_t depth = 0;;) {
      packing_item_row& item = items_[depth];
      if (item.next > last_choice()) {
        if (depth == 0) return true;
        take_back(items_[--depth]);
        continue;
      }
      if (steps_ >= budget) return false;
      ++steps_;
      const std::int32_t first = first_choice(depth), choice = item.next++;
      if (!put(item, choice, first)) continue;
      if (depth + 1 < items_.size()) {
        if (reach(depth + 1) < best) {
          ++depth;
          items_[depth].next = first_choice(depth);
          continue;
        }
      } else {
        keep_if_better(best);
      }
      take_back(item);
    }
  }

  constexpr std::int64_t steps() const noexcept { return steps_; }

 private:
  constexpr packing_bin_row& bin(std::int32_t at) noexcept { return bins_[static_cast<std::size_t>(at)]; }
  constexpr packing_type_row& type(std::int32_t at) noexcept {
    return t_.types[static_cast<std::size_t>(at)];
  }

  // Places for an item: the open bins, a new bin of a single output, a new bin of each type of several.
  constexpr std::int32_t last_choice() const noexcept {
    return open_ + static_cast<std::int32_t>(t_.types.size() - t_.first_shared);
  }
  constexpr std::int32_t first_choice(std::size_t depth) const noexcept {
    return items_[depth].like_last && depth > 0 ? items_[depth - 1].bin : 0;
  }

  constexpr bool open_leader() noexcept {
    empty(bins_[0], 0);
    const std::size_t at = cheapest_type(t_, bins_[0].load, 0, true);
    if (at == t_.types.size()) return false;
    empty(bins_[0], at);
    open_ = 1;
    sums_.score = t_.types[at].one;
    for (std::size_t m = 0; m < t_.measures; ++m) sums_.paid[m] = t_.types[at].paid[m];
    return true;
  }

  /// The least score of everything below a node where the items from `depth` on are still to be placed.
  constexpr packing_score reach(std::size_t depth) const noexcept {
    std::int64_t more = 0;
    for (std::size_t m = 0; m < t_.measures; ++m)
      more = std::max(more, least_money(t_, t_.measure[m], items_[depth].rest[m] - sums_.paid[m]));
    packing_score least = sums_.score;
    least.money += more;
    if (least.parts < least_parts_) least.parts = least_parts_;
    // bins may still turn to a dearer type of less capacity, but not where that is not paid for
    least.capacity = more > 0 ? least_capacity_ : std::max(least.capacity, least_capacity_);
    return least;
  }

  constexpr bool same_contents(const packing_bin_row& a, const packing_bin_row& b) const noexcept {
    return a.type == b.type && a.items == b.items && same_loads(a.load, b.load, t_.loads);
  }

  constexpr bool put(packing_item_row& item, std::int32_t choice, std::int32_t first) noexcept {
    item.before = sums_;
    return choice < open_ ? put_in_open(item, choice, first) : put_in_new(item, choice - open_);
  }

  constexpr bool put_in_open(packing_item_row& item, std::int32_t choice, std::int32_t first) noexcept {
    packing_bin_row& b = bin(choice);
    for (std::int32_t a = one_leads_ ? std::max<std::int32_t>(first, 1) : first; a < choice; ++a)
      if (same_contents(bin(a), b)) return false;
    const packing_type_row& old = type(b.type);
    std::int64_t load[packing_loads];
    for (std::size_t d = 0; d < t_.loads; ++d) load[d] = b.load[d] + item.load[d];
    auto at = static_cast<std::size_t>(b.type);
    if (old.outputs > 1) {
      if (!holds(t_, old, load, b.items + 1)) return false;
    } else {
      at = cheapest_type(t_, load, b.items + 1, one_leads_ && choice == 0, at);
      if (at == t_.types.size()) return false;
    }
    item.last_type = b.type;
    for (std::size_t m = 0; m < t_.measures; ++m)
      sums_.paid[m] -= std::max(old.paid[m] - b.measured[m], std::int64_t{0});
    b.type = static_cast<std::int32_t>(at);
    add(b, item);
    const packing_type_row& now = t_.types[at];
    for (std::size_t m = 0; m < t_.measures; ++m)
      sums_.paid[m] += std::max(now.paid[m] - b.measured[m], std::int64_t{0});
    sums_.score.money += now.one.money - old.one.money;
    sums_.score.capacity += now.one.capacity - old.one.capacity;
    item.bin = choice;
    return true;
  }

  constexpr bool put_in_new(packing_item_row& item, std::int32_t shared) noexcept {
    std::size_t at = t_.first_shared + static_cast<std::size_t>(shared) - 1;
    if (shared == 0) at = cheapest_type(t_, item.load, 1, false);
    if (at >= t_.types.size()) return false;
    packing_type_row& now = t_.types[at];
    if (shared > 0 && !(now.follows && holds(t_, now, item.load, 1))) return false;
    if (now.free > 0) {
      --now.free;
    } else {
      now.free = now.outputs - 1;
      sums_.score.money += now.one.money;
      sums_.score.parts += 1;
      sums_.score.capacity += now.one.capacity;
      for (std::size_t m = 0; m < t_.measures; ++m) sums_.paid[m] += now.paid[m] * now.outputs;
    }
    packing_bin_row& b = bins_[static_cast<std::size_t>(open_)];
    empty(b, at);
    add(b, item);
    for (std::size_t m = 0; m < t_.measures; ++m) sums_.paid[m] -= std::min(now.paid[m], item.measured[m]);
    item.last_type = -1;
    item.bin = open_++;
    return true;
  }

  static constexpr void empty(packing_bin_row& b, std::size_t type) noexcept {
    b = {.type = static_cast<std::int32_t>(type), .kept_type = b.kept_type};
  }

  constexpr void add(packing_bin_row& b, const packing_item_row& item) noexcept {
    for (std::size_t d = 0; d < t_.loads; ++d) b.load[d] += item.load[d];
    for (std::size_t m = 0; m < t_.measures; ++m) b.measured[m] += item.measured[m];
    ++b.items;
  }

  constexpr void take_back(packing_item_row& item) noexcept {
    packing_bin_row& b = bin(item.bin);
    if (item.last_type < 0) {
      packing_type_row& now = type(b.type);
      now.free = now.free == now.outputs - 1 ? 0 : now.free + 1;
      --open_;
    } else {
      for (std::size_t d = 0; d < t_.loads; ++d) b.load[d] -= item.load[d];
      for (std::size_t m = 0; m < t_.measures; ++m) b.measured[m] -= item.measured[m];
      --b.items;
      b.type = item.last_type;
    }
    sums_ = item.before;
  }

  constexpr void keep_if_better(packing_score& best) noexcept {
    if (one_leads_ && bins_[0].items == 0) return;
    packing_score score = sums_.score;
    for (std::int32_t b = 0; b < open_; ++b) {
      packing_bin_row& row = bin(b);
      row.settled = row.type;
      const packing_type_row& now = type(row.type);
      if (row.load[t_.tie] >= now.least) continue;
      if (now.outputs > 1) return;
      const std::size_t at = settled_type(t_, row, one_leads_ && b == 0, static_cast<std::size_t>(row.type));
      if (at == t_.types.size()) return;
      row.settled = static_cast<std::int32_t>(at);
      score.money += t_.types[at].one.money - now.one.money;
      score.capacity += t_.types[at].one.capacity - now.one.capacity;
    }
    if (!(score < best)) return;
    best = score;
    for (packing_item_row& item : items_) item.kept = item.bin;
    for (std::int32_t b = 0; b < open_; ++b) bin(b).kept_type = bin(b).settled;
  }

  packing_table& t_;
  std::span<packing_item_row> items_;
  std::span<packing_bin_row> bins_;
  bool one_leads_;
  packing_sums sums_{};
  std::int32_t open_ = 0;
  std::int64_t steps_ = 0, least_parts_ = 1, least_capacity_ = 0;
};

}  // namespace tapewright::detail
