// SPDX-License-Identifier: BSL-1.0
// Packing, the second look: small groups of bins are emptied and packed anew, exactly.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/search/packing_tree.hpp"

namespace tapewright::detail {

/// Improves what is kept in the rows. Bins are taken in the order of the money they waste, as many as hold
/// `repacked_items` at most, and their items are packed anew by the exact search; each round puts other bins
/// together. Bins of parts with several outputs stay as they are. Work: each round one bounded search for
/// each group.
class packing_repack {
 public:
  /// items and bins: all of them, and behind them the room for one group.
  constexpr packing_repack(packing_table& table, std::span<packing_item_row> items,
                           std::span<packing_item_row> group, std::span<packing_bin_row> bins,
                           std::span<packing_bin_row> group_bins, std::span<std::int32_t> order,
                           bool one_leads) noexcept
      : t_{table},
        items_{items},
        group_{group},
        bins_{bins},
        group_bins_{group_bins},
        order_{order},
        one_leads_{one_leads} {}

  constexpr void improve(packing_score& best, std::int64_t budget) noexcept {
    for (const packing_item_row& item : items_) open_ = std::max(open_, item.kept + 1);
    for (std::int32_t round = 0; round < rounds && steps_ < budget && best.money > t_.least_money; ++round) {
      line_up(round);
      repack_groups(budget);
      close_up();
      best = total();
    }
  }

  constexpr std::int64_t steps() const noexcept { return steps_; }

 private:
  static constexpr std::int32_t rounds = 6;
  static constexpr std::int64_t steps_a_group = 2000;

  constexpr packing_bin_row& bin(std::int32_t at) noexcept { return bins_[static_cast<std::size_t>(at)]; }
  constexpr packing_type_row& type_of(const packing_bin_row& b) noexcept {
    return t_.types[static_cast<std::size_t>(b.kept_type)];
  }

  /// Chains the items of each bin (`settled` holds the first) and orders the bins.
  constexpr void line_up(std::int32_t round) noexcept {
    for (std::int32_t b = 0; b < open_; ++b) {
      packing_bin_row& row = bin(b);
      row.items = 0;
      row.settled = -1;
      std::fill(row.measured, row.measured + packing_measures, 0);
    }
    for (std::size_t i = items_.size(); i-- > 0;) {
      packing_item_row& item = items_[i];
      packing_bin_row& row = bin(item.kept);
      item.link = row.settled;
      row.settled = static_cast<std::int32_t>(i);
      row.measured[0] += item.measured[0];
      ++row.items;
    }
    ordered_ = 0;
    for (std::int32_t b = 0; b < open_; ++b)
      if (type_of(bin(b)).outputs == 1) order_[ordered_++] = b;
    const auto waste = [&](std::int32_t b) noexcept {
      return static_cast<double>(type_of(bin(b)).one.money) -
             t_.measure[0].rate * static_cast<double>(bin(b).measured[0]);
    };
    const std::span<std::int32_t> order = order_.first(ordered_);
    std::sort(order.begin(), order.end(), [&](std::int32_t a, std::int32_t b) noexcept {
      const double x = waste(a), y = waste(b);
      return x != y ? x > y : a < b;
    });
    // other neighbours each round: the wasteful half shifted against the rest, or by one
    if (round % 2 == 1) std::rotate(order.begin(), order.begin() + (ordered_ > 1 ? 1 : 0), order.end());
    stride_ = round < 2 ? 1 : ordered_ / (static_cast<std::size_t>(round) + 1) + 1;
  }

  constexpr void repack_groups(std::int64_t budget) noexcept {
    std::size_t taken = 0;
    packing_score now;
    bool leads = false;
    members_ = 0;
    for (std::size_t first = 0; first < stride_; ++first)
      for (std::size_t i = first; i < ordered_; i += stride_) {
        const packing_bin_row& row = bin(order_[i]);
        const auto count = static_cast<std::size_t>(row.items);
        if (taken + count > group_.size() || members_ == most_members) {
          repack(taken, now, leads, budget);
          taken = 0;
          members_ = 0;
          now = {};
          leads = false;
          if (count > group_.size()) continue;
        }
        for (std::int32_t at = row.settled; at >= 0; at = items_[static_cast<std::size_t>(at)].link) {
          group_[taken] = items_[static_cast<std::size_t>(at)];
          group_[taken++].place = at;  // here: the place in items_
        }
        member_[members_++] = order_[i];
        leads = leads || (one_leads_ && order_[i] == 0);
        const packing_score& one = type_of(row).one;
        now = {now.money + one.money, now.parts + one.parts, now.capacity + one.capacity};
      }
    repack(taken, now, leads, budget);
  }

  constexpr void repack(std::size_t count, packing_score now, bool leads, std::int64_t budget) noexcept {
    if (members_ < 2 || steps_ >= budget) return;
    const std::span<packing_item_row> group = group_.first(count);
    std::sort(group.begin(), group.end(), [](const packing_item_row& a, const packing_item_row& b) noexcept {
      return a.place < b.place;
    });
    for (std::size_t i = 0; i < count; ++i)
      group[i].like_last = i > 0 && same_loads(group[i].load, group[i - 1].load, t_.loads);
    if (leads) std::swap(member_[0], *std::find(member_, member_ + members_, 0));
    packing_tree tree{t_, group, group_bins_, leads};
    packing_score best = now;
    tree.search(best, std::min(steps_a_group, budget - steps_));
    steps_ += tree.steps();
    if (!(best < now)) return;
    std::int32_t used = 0;
    for (const packing_item_row& item : group) used = std::max(used, item.kept + 1);
    for (std::size_t b = members_; b < static_cast<std::size_t>(used); ++b) member_[b] = open_++;
    for (std::int32_t b = 0; b < used; ++b)
      bin(member_[b]).kept_type = group_bins_[static_cast<std::size_t>(b)].kept_type;
    for (const packing_item_row& item : group)
      items_[static_cast<std::size_t>(item.place)].kept = member_[item.kept];
  }

  /// Leaves out the bins that are empty now.
  constexpr void close_up() noexcept {
    for (std::int32_t b = 0; b < open_; ++b) bin(b).settled = -1;
    for (const packing_item_row& item : items_) bin(item.kept).settled = 0;
    std::int32_t used = 0;
    for (std::int32_t b = 0; b < open_; ++b) {
      if (bin(b).settled < 0) continue;
      bin(used).kept_type = bin(b).kept_type;
      bin(b).settled = used++;
    }
    for (packing_item_row& item : items_) item.kept = bin(item.kept).settled;
    open_ = used;
  }

  constexpr packing_score total() noexcept {
    for (packing_type_row& row : t_.types) row.free = 0;
    packing_score sum;
    for (std::int32_t b = 0; b < open_; ++b) {
      packing_type_row& row = type_of(bin(b));
      if (row.free-- > 0) continue;
      row.free = row.outputs - 1;
      sum = {sum.money + row.one.money, sum.parts + 1, sum.capacity + row.one.capacity};
    }
    return sum;
  }

  static constexpr std::size_t most_members = 8;

  packing_table& t_;
  std::span<packing_item_row> items_, group_;
  std::span<packing_bin_row> bins_, group_bins_;
  std::span<std::int32_t> order_;
  bool one_leads_;
  std::int32_t open_ = 0;
  std::size_t ordered_ = 0, stride_ = 1, members_ = 0;
  std::int32_t member_[repacked_items + 1] = {};
  std::int64_t steps_ = 0;
};

}  // namespace tapewright::detail
