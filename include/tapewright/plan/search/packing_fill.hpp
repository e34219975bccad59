// SPDX-License-Identifier: BSL-1.0
// Packing, the good answer for any size: bins filled one after the other, then packed anew in small groups.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>

#include "tapewright/core/bounded.hpp"
#include "tapewright/plan/search/packing_tree.hpp"

namespace tapewright::detail {

/// Fills bins one after the other, each with the greatest items left that still go in. Which type comes next
/// is the same all the time, or the one that carries the most value for its money. Time: for each bin, a
/// bounded number of types and of items that do not go in.
class packing_fill {
 public:
  constexpr packing_fill(packing_table& table, std::span<packing_item_row> items,
                         std::span<packing_bin_row> bins, bool one_leads) noexcept
      : t_{table}, items_{items}, bins_{bins}, one_leads_{one_leads} {
    choose_candidates(false);
    if (one_leads) choose_candidates(true);
  }

  /// Tries each way to fill and keeps the best in the rows and in `best`.
  constexpr void fill(packing_score& best) noexcept {
    fill_with(-1, best);
    for (const std::int32_t wanted : followers_) fill_with(wanted, best);
  }

 private:
  using candidates = bounded<std::int32_t, 8>;
  static constexpr std::int32_t most_misses = 48, misses_a_leap = 4;
  static constexpr std::int32_t tried = -2;  ///< in `bin`: taken by the bin that is being tried

  constexpr packing_type_row& type(std::int32_t at) noexcept {
    return t_.types[static_cast<std::size_t>(at)];
  }
  constexpr std::int32_t count() const noexcept { return static_cast<std::int32_t>(items_.size()); }
  constexpr packing_item_row& item(std::int32_t at) noexcept { return items_[static_cast<std::size_t>(at)]; }

  /// The types whose money carries most, to a thousandth; of these the largest.
  constexpr void choose_candidates(bool leader) noexcept {
    candidates& list = leader ? leaders_ : followers_;
    double best = 0;
    const auto worth = [&](const packing_type_row& x) noexcept {
      return static_cast<double>(x.measured[0]) * x.outputs / static_cast<double>(x.one.money);
    };
    for (const packing_type_row& x : t_.types) best = larger(best, worth(x));
    const auto standing = [&](std::int32_t at) noexcept {
      const double share = best > 0 ? worth(type(at)) / best : 0;  // nothing weighs anything
      return std::pair{static_cast<std::int32_t>(1000 * share), type(at).measured[0]};
    };
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(t_.types.size()); ++i) {
      if (!(leader ? type(i).leads : type(i).follows)) continue;
      std::size_t at = list.count;
      while (at > 0 && standing(i) > standing(list[at - 1])) --at;
      if (at == list.capacity()) continue;
      if (list.count < list.capacity()) ++list.count;
      for (std::size_t k = list.count - 1; k > at; --k) list[k] = list[k - 1];
      list[at] = i;
    }
  }

  // ---- items not yet placed: each points to the next, by way of others that were placed since

  constexpr std::int32_t unplaced(std::int32_t at) noexcept {
    while (at < count() && item(at).bin >= 0) {
      const std::int32_t on = item(at).next;
      if (on < count() && item(on).bin >= 0) item(at).next = item(on).next;
      at = on;
    }
    return at;
  }

  // ---- one bin

  struct filled {
    packing_bin_row bin{};
    std::int32_t last = -1;  ///< of the chain of items in it
    double value = 0;
  };

  /// Fills one bin of a type with the greatest items that go in, and marks them.
  constexpr filled fill_one(std::int32_t with, std::int32_t first) noexcept {
    const packing_type_row& by = type(with);
    filled f;
    f.bin.type = with;
    const auto goes_in = [&](const packing_item_row& x) noexcept {
      for (std::size_t d = 0; d < t_.loads; ++d)
        if (f.bin.load[d] + x.load[d] > by.capacity[d]) return false;
      return by.most_items == 0 || f.bin.items < by.most_items;
    };
    std::int32_t misses = 0;
    for (std::int32_t at = first; at < count() && misses < most_misses;) {
      packing_item_row& x = item(at);
      if (x.bin != -1) {
        at = unplaced(at + 1);
      } else if (goes_in(x)) {
        for (std::size_t d = 0; d < t_.loads; ++d) f.bin.load[d] += x.load[d];
        f.value += x.value;
        ++f.bin.items;
        x.bin = tried;
        x.link = f.last;
        f.last = at;
        at = unplaced(at + 1);
      } else {
        // a few side by side, then by halves to where items that go in begin; exact where all loads of
        // the items grow together
        const bool leap = ++misses % misses_a_leap == 0;
        const auto from = items_.begin() + at + 1;
        const auto to =
            leap ? std::partition_point(from, items_.end(),
                                        [&](const packing_item_row& y) noexcept { return !goes_in(y); })
                 : from;
        at = unplaced(at + 1 + static_cast<std::int32_t>(to - from));
      }
    }
    return f;
  }

  constexpr void mark(std::int32_t last, std::int32_t as) noexcept {
    for (std::int32_t at = last; at >= 0; at = item(at).link) item(at).bin = as;
  }

  /// The type that a filled bin ends up with: the cheapest that carries it, or its own where it is shared.
  constexpr std::int32_t settle(const packing_bin_row& b, bool leader) noexcept {
    const packing_type_row& own = type(b.type);
    if (own.outputs > 1) return b.load[t_.tie] >= own.least ? b.type : -1;
    const std::size_t at = settled_type(t_, b, leader);
    return at < t_.types.size() ? static_cast<std::int32_t>(at) : -1;
  }

  /// Money for value of one part of a type filled from `first` on; nothing stays placed.
  constexpr double money_for_value(std::int32_t with, std::int32_t first, bool leader) noexcept {
    const packing_type_row& by = type(with);
    std::int32_t lasts[16] = {}, bins = 0;
    double value = 0, money = 0;
    for (; bins < by.outputs; ++bins) {
      const filled f = fill_one(with, first);
      lasts[bins] = f.last;
      if (f.bin.items == 0) break;
      const std::int32_t settled = settle(f.bin, leader);
      value += settled < 0 ? 0 : f.value;
      money = by.outputs > 1 || settled < 0 ? static_cast<double>(by.one.money)
                                            : static_cast<double>(type(settled).one.money);
    }
    for (std::int32_t b = 0; b < bins; ++b) mark(lasts[b], -1);
    return value > 0 ? money / value : infinity;
  }

  /// The type of the next bin: `wanted` where it takes the greatest item left; or the candidate with the
  /// least money for its value; or, where no candidate takes it, the cheapest type that does. -1 = none does.
  constexpr std::int32_t next_type(std::int32_t wanted, std::int32_t first, bool leader) noexcept {
    const auto may = [&](std::int32_t at) noexcept {
      const packing_type_row& x = type(at);
      return (leader ? x.leads : x.follows) && holds(t_, x, item(first).load, 1);
    };
    if (wanted >= 0 && may(wanted)) return wanted;
    std::int32_t best = -1;
    double least = infinity;
    for (const std::int32_t at : leader ? leaders_ : followers_) {
      if (!may(at)) continue;
      const double rate = money_for_value(at, first, leader);
      if (best >= 0 && !(rate < least)) continue;
      best = at;
      least = rate;
    }
    const auto types = static_cast<std::int32_t>(t_.types.size());
    for (std::int32_t at = 0; at < types && best < 0; ++at)
      if (may(at)) best = at;
    return best;
  }

  constexpr void fill_with(std::int32_t wanted, packing_score& best) noexcept {
    for (std::int32_t i = 0; i < count(); ++i) {
      item(i).bin = -1;
      item(i).next = i + 1;
    }
    for (packing_type_row& row : t_.types) row.free = 0;
    shared_ = -1;
    packing_score score;
    std::int32_t open = 0;
    for (std::int32_t first = 0; (first = unplaced(first)) < count(); ++open) {
      const bool leader = one_leads_ && open == 0;
      std::int32_t with =
          shared_ >= 0 && type(shared_).free > 0 && holds(t_, type(shared_), item(first).load, 1)
              ? shared_
              : next_type(wanted, first, leader);
      if (with < 0) return;
      const filled f = fill_one(with, first);
      with = settle(f.bin, leader);
      mark(f.last, open);
      if (with < 0) return;  // a least load is not met
      packing_type_row& now = type(with);
      if (now.free > 0) {
        --now.free;
      } else {
        now.free = now.outputs - 1;
        score.money += now.one.money;
        score.parts += 1;
        score.capacity += now.one.capacity;
      }
      shared_ = now.free > 0 ? with : -1;
      bins_[static_cast<std::size_t>(open)].settled = with;
    }
    if (!(score < best)) return;
    best = score;
    for (packing_item_row& x : items_) x.kept = x.bin;
    for (std::int32_t b = 0; b < open; ++b) {
      packing_bin_row& row = bins_[static_cast<std::size_t>(b)];
      row.kept_type = row.settled;
    }
  }

  packing_table& t_;
  std::span<packing_item_row> items_;
  std::span<packing_bin_row> bins_;
  bool one_leads_;
  candidates leaders_, followers_;
  std::int32_t shared_ = -1;  ///< a type with empty outputs on the part opened last
};

}  // namespace tapewright::detail
