// SPDX-License-Identifier: BSL-1.0
// Packing, the question: what is to be carried, what can be bought to carry it, and the room it takes.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/plan/cost.hpp"

namespace tapewright {

/// Loads that one item can have side by side: the currents of six channels, their total, watts.
inline constexpr std::size_t packing_loads = 8;

/// Looks at a place for an item that a search may take unless the caller says otherwise.
inline constexpr std::int64_t default_search_steps = 1'000'000;

/// Something that is carried whole: a run on a controller, a controller on a driver's output.
struct packing_item {
  std::int64_t load[packing_loads] = {};  ///< whole units of the caller's choice, 0..1e14
  std::int64_t rank = 0;  ///< decides between items with equal loads: place of the code in its sorted list
};

/// A part that carries items in one or several bins (a driver and its outputs). Bins are never joined.
struct packing_type {
  std::int64_t capacity[packing_loads] =
      {};         ///< of ONE bin, in the units of the loads, 0..1e14; of as many parts as items up to 4e18
  money price{};  ///< of the part with all its bins; 0 = not known
  std::int32_t outputs = 1;     ///< bins of one part, 1..16
  std::int32_t most_items = 0;  ///< in one bin; 1 = a connector of its own; 0 = any number
  std::int64_t least = 0;       ///< of load[oversize_in] in a bin that is used at all: a driver's least load
  bool may_lead = true;         ///< asked for only where one leads
  bool may_follow = true;       ///< likewise: a repeater, or more of the same as the leader
  std::int64_t rank = 0;        ///< decides between types that are equal in all else
};

/// The question. The order of both lists does not matter.
struct packing_question {
  std::span<const packing_item> items;  ///< 0..20000
  std::span<const packing_type> types;  ///< 0..20000
  std::int32_t loads = 1;               ///< how many of the loads are used, 1..8
  std::int32_t oversize_in = 0;         ///< the load whose spare capacity breaks ties
  /// true: exactly one bin is of a type that may lead, all others of types that may follow; a type that
  /// may lead has one output then.
  bool one_leads = false;
  /// true: the items are pieces of what will be put into bins, asked for a bound: how many stand in a bin and the
  /// least load of one are not looked at.
  bool of_pieces = false;
  std::int64_t steps = default_search_steps;  ///< of the exact search; less than 1 = none
};

/// The nearest whole number of billionths: loads in this unit add up without loss.
constexpr std::int64_t load_units(double load) noexcept {
  return static_cast<std::int64_t>(round_half_away(load * 1e9));
}

/// Capacity in billionths, wider by the share that every check of a limit allows for rounding.
constexpr std::int64_t capacity_units(double capacity, double rounding) noexcept {
  return static_cast<std::int64_t>(floor_of(capacity * (1 + rounding) * 1e9));
}

/// Loads are measured in up to so many ways for the bound.
inline constexpr std::size_t packing_measures = 4;

namespace detail {

/// What a search has bought so far, or would have: compared as money first, then parts, then capacity.
struct packing_score {
  std::int64_t money = 0;  ///< minor units; a part without a price counts as `unknown_price`
  std::int64_t parts = 0;
  std::int64_t capacity = 0;  ///< of all bins of all parts, in the load that breaks ties

  friend constexpr auto operator<=>(const packing_score&, const packing_score&) noexcept = default;
};
inline constexpr packing_score no_packing{INT64_MAX, INT64_MAX, INT64_MAX};

/// A score, and the load that it pays for but that is not used yet, in every measure.
struct packing_sums {
  packing_score score;
  std::int64_t paid[packing_measures] = {};
};

struct packing_item_row {
  std::int64_t load[packing_loads] = {};
  std::int64_t measured[packing_measures] = {};  ///< this item
  std::int64_t rest[packing_measures] = {};      ///< this item and all behind it
  double value = 0;                              ///< money that its loads are worth at the best rates
  std::int64_t rank = 0;
  std::int32_t place = 0;  ///< in the question
  std::int32_t bin = -1,
               kept = -1;  ///< where it is, and where it was in the best answer so far; -1 = nowhere
  std::int32_t next = 0, link = -1;  ///< what a search looks at after this
  bool like_last = false;            ///< its loads are those of the item before it
  // what the search goes back to
  packing_sums before{};
  std::int32_t last_type = -1;
};

struct packing_type_row {
  std::int64_t capacity[packing_loads] = {};
  std::int64_t measured[packing_measures] = {};  ///< capacity of one bin
  std::int64_t paid[packing_measures] = {};      ///< load of a bin that this type's price is enough for
  packing_score one{};                           ///< of one part
  std::int64_t least = 0, rank = 0;
  std::int64_t cells = 0;  ///< capacity of a part in the cells of a bound
  std::int32_t place = 0, outputs = 1, most_items = 0;
  std::int32_t free = 0;       ///< bins of bought parts that are still empty
  std::int32_t last_part = 0;  ///< the part that has them
  bool leads = false, follows = true;
};

struct packing_bin_row {
  std::int64_t load[packing_loads] = {};
  std::int64_t measured[packing_measures] = {};
  std::int32_t items = 0, type = 0;
  std::int32_t settled = 0;    ///< the type once its least load counts too
  std::int32_t kept_type = 0;  ///< in the best answer so far
};

/// Bins are packed anew in groups of up to so many items.
inline constexpr std::size_t repacked_items = 24;

}  // namespace detail

/// A bin of the answer. Parts are numbered from 0, the outputs of a part from 1.
struct packed_bin {
  std::int32_t type = -1;  ///< place in question.types
  std::int32_t part = -1;
  std::int32_t output = 1;
};

/// Storage that a packing is worked out in: the caller's. packing_room says how much is always enough.
struct packing_space {
  std::span<detail::packing_item_row> items;
  std::span<detail::packing_type_row> types;
  std::span<detail::packing_bin_row> bins;
  std::span<std::int32_t> bin_of;
  std::span<packed_bin> packed;
};

struct packing_counts {
  std::size_t items, types, bins, bin_of, packed;
};

/// Room for a question of so many items and types. No item needs more than one bin; a leader may stand
/// empty for a while; a group that is packed anew works beside all others.
constexpr packing_counts packing_room(std::size_t items, std::size_t types) noexcept {
  return {.items = items + detail::repacked_items,
          .types = types,
          .bins = items + 1 + detail::repacked_items + 1,
          .bin_of = items,
          .packed = items};
}

/// Storage for up to so many items and types, for C++ callers and constant evaluation.
template <std::size_t Items, std::size_t Types>
struct packing_storage {
  static constexpr packing_counts counts = packing_room(Items, Types);
  detail::packing_item_row items[counts.items] = {};
  detail::packing_type_row types[counts.types] = {};
  detail::packing_bin_row bins[counts.bins] = {};
  std::int32_t bin_of[counts.bin_of] = {};
  packed_bin packed[counts.packed] = {};

  constexpr packing_space space() noexcept { return {items, types, bins, bin_of, packed}; }
};

/// Refuses a question that makes no sense. Ranges: core/field.hpp and above; `item` tells the row.
constexpr fault check(const packing_question& q) noexcept {
  if (const fault f =
          first_fault(refuse_outside(field::load_count, q.loads, 1, static_cast<double>(packing_loads)),
                      refuse_outside(field::row_count, static_cast<double>(q.items.size()), 0, 20000),
                      refuse_outside(field::row_count, static_cast<double>(q.types.size()), 0, 20000),
                      refuse_outside(field::place, q.oversize_in, 0, q.loads - 1)))
    return f;
  const auto used = static_cast<std::size_t>(q.loads);
  for (std::size_t i = 0; i < q.items.size(); ++i)
    for (std::size_t d = 0; d < used; ++d)
      if (const fault f = refuse(field::load_units, static_cast<double>(q.items[i].load[d])))
        return at_item(f, i);
  double dearest = 0;
  bool all_priced = true;
  for (std::size_t t = 0; t < q.types.size(); ++t) {
    const packing_type& row = q.types[t];
    // the capacity of all parts together must stay a 64-bit number
    const double all = static_cast<double>(q.items.size() + 1) * larger(1, row.outputs);
    for (std::size_t d = 0; d < used; ++d)
      if (const fault f = refuse_outside(field::load_units, static_cast<double>(row.capacity[d]), 0,
                                         smaller(facts_of(field::load_units).most, 4e18 / all)))
        return at_item(f, t);
    if (const fault f = first_fault(refuse(field::price, static_cast<double>(row.price.minor)),
                                    refuse(field::output_count, row.outputs),
                                    refuse(field::load_units, static_cast<double>(row.least)),
                                    refuse_outside(field::row_count, row.most_items, 0, 1e6)))
      return at_item(f, t);
    if (q.one_leads && row.may_lead && row.outputs > 1)
      return at_item(
          {fault_code::contradiction, field::output_count, static_cast<double>(row.outputs), 1, 1, -1}, t);
    dearest = larger(dearest, static_cast<double>(row.price.minor));
    all_priced = all_priced && row.price.minor > 0;
  }
  // the sum of all prices, parts of unknown price ahead of it, must stay a 64-bit number
  const auto n = static_cast<double>(q.items.size() + 1);
  const double most = 4e18 / n / (all_priced ? 1 : n + 1);
  return refuse_outside(field::price, dearest, 0, smaller(most, facts_of(field::price).most));
}

}  // namespace tapewright
