// SPDX-License-Identifier: BSL-1.0
// Pieces cut from the lengths that are sold, at the least price: 2.3 m and 2.6 m are one sale of 5 m.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/search/packing.hpp"
#include "tapewright/sizing/run_length.hpp"

namespace tapewright {

/// A piece that is needed whole: no joint inside it.
struct stock_piece {
  metres length{};        ///< 0.001..10000; where nothing is needed there is no piece
  std::int64_t rank = 0;  ///< decides between pieces of equal length
};

/// One way in which it is sold: by whole steps up to a longest piece, or in one fixed length.
struct stock_offer {
  metres length{};        ///< the longest piece sold, 0 = any length; without a step the length itself
  metres step{};          ///< sale quantum, 0.001..1000; 0 = sold in that one length only
  money price{};          ///< of one step, or of the one length; 0 = not known
  std::int64_t rank = 0;  ///< decides between offers that are equal in all else
};

struct cutting_question {
  std::span<const stock_piece> pieces;
  std::span<const stock_offer> offers;
  std::int64_t steps = default_search_steps;  ///< of the exact search
};

/// A length as it is bought, and what is cut from it.
struct sold_length {
  std::int32_t offer = -1;  ///< place in question.offers
  std::int64_t steps = 0;   ///< whole steps bought; 1 for a fixed length
  metres length = unset;
  metres rest = unset;  ///< left when all its pieces are cut; >= 0
  std::int32_t pieces = 0;
};

/// The cutting plan. `sold_of[i]` is the place in `sold` that piece i is cut from.
struct cutting_answer {
  bool fits = false;
  std::int32_t stuck = -1;  ///< where a piece is longer than anything sold: that piece
  std::span<const std::int32_t> sold_of{};
  std::span<const sold_length> sold{};
  cost price{}, price_at_least{};  ///< parts: lengths bought
  bool proven = false;             ///< nothing is cheaper
  bool ties_proven = false;        ///< and of what costs the same nothing has fewer lengths, or less rest
  metres rest = unset;             ///< of all together
  std::int64_t steps = 0;
};

/// Storage: the caller's. cutting_room says how much of each list is always enough.
struct cutting_space {
  packing_space packing;
  std::span<packing_item> items;
  std::span<packing_type> types;
  std::span<sold_length> choices;  ///< what each type stands for
  std::span<sold_length> sold;
};

struct cutting_counts {
  packing_counts packing;
  std::size_t items, types, choices, sold;
};

/// Room for so many pieces and so many lengths that could be bought (stock_choices of the question).
constexpr cutting_counts cutting_room(std::size_t pieces, std::size_t choices) noexcept {
  return {packing_room(pieces, choices), pieces, choices, choices, pieces};
}

/// Storage for up to so many pieces and lengths that could be bought.
template <std::size_t Pieces, std::size_t Choices>
struct cutting_storage {
  packing_storage<Pieces, Choices> packing{};
  packing_item items[Pieces] = {};
  packing_type types[Choices] = {};
  sold_length choices[Choices] = {};
  sold_length sold[Pieces] = {};

  constexpr cutting_space space() noexcept { return {packing.space(), items, types, choices, sold}; }
};

namespace detail {

/// Whole nanometres: a thousandth of the length_noise that a sum of lengths is allowed.
constexpr std::int64_t nanometres(metres length) noexcept { return load_units(length.v); }

/// How many different lengths an offer sells that could be of use for `all` pieces together.
constexpr std::int64_t choices_of(const stock_offer& offer, metres all) noexcept {
  if (offer.step.v <= 0) return 1;
  const auto steps_in = [&](metres length, double up) noexcept {
    return static_cast<std::int64_t>(floor_of((length.v + length_noise(length).v) / offer.step.v + up));
  };
  const std::int64_t enough = steps_in(all, 1);
  return offer.length.v > 0 ? std::min(enough, steps_in(offer.length, 0)) : enough;
}

constexpr metres sum_of(std::span<const stock_piece> pieces) noexcept {
  std::int64_t sum = 0;  // whole nanometres: the order of the pieces must not matter
  for (const stock_piece& p : pieces) sum += nanometres(p.length);
  return metres{static_cast<double>(sum) * 1e-9};
}

constexpr fault check(const cutting_question& q) noexcept {
  if (const fault f =
          first_fault(refuse_outside(field::row_count, static_cast<double>(q.pieces.size()), 0, 20000),
                      refuse_outside(field::row_count, static_cast<double>(q.offers.size()), 0, 20000)))
    return f;
  for (std::size_t i = 0; i < q.pieces.size(); ++i)
    if (const fault f =
            refuse_outside(field::length, q.pieces[i].length.v, 0.001, facts_of(field::length).most))
      return at_item(f, i);
  for (std::size_t i = 0; i < q.offers.size(); ++i) {
    const stock_offer& o = q.offers[i];
    // a fixed length has no step, and then it must be one
    const double shortest = o.step.v == 0 ? facts_of(field::sale_quantum).least : 0;
    if (const fault f = first_fault(
            refuse_outside(field::stock_length, o.length.v, shortest, facts_of(field::stock_length).most),
            o.step.v == 0 ? fault{} : refuse(field::sale_quantum, o.step),
            refuse(field::price, static_cast<double>(o.price.minor))))
      return at_item(f, i);
  }
  return {};
}

/// Where one offer sells any length, one piece of it is the answer: every cut into two sales can only
/// round up twice.
constexpr bool sells_any_length(const cutting_question& q) noexcept {
  return q.offers.size() == 1 && q.offers[0].step.v > 0 && q.offers[0].length.v == 0;
}

constexpr cutting_answer one_sale(const cutting_question& q, const cutting_space& s) noexcept {
  const stock_offer& offer = q.offers[0];
  const metres need = sum_of(q.pieces);
  sold_length& one = s.sold[0];
  one = {.offer = 0, .pieces = static_cast<std::int32_t>(q.pieces.size())};
  one.steps =
      std::max(std::int64_t{1},
               static_cast<std::int64_t>(ceil_of(larger(0, (need - length_noise(need)).v) / offer.step.v)));
  one.length = offer.step * static_cast<double>(one.steps);
  one.rest = metres{larger(0, (one.length - need).v)};
  const std::span<std::int32_t> sold_of = s.packing.bin_of.first(q.pieces.size());
  std::fill(sold_of.begin(), sold_of.end(), 0);
  const cost price = cost_of_piece(offer.price, one.steps);
  return {.fits = true,
          .sold_of = sold_of,
          .sold = s.sold.first(1),
          .price = price,
          .price_at_least = price,
          .proven = true,
          .ties_proven = true,
          .rest = one.rest};
}

}  // namespace detail

/// How many different lengths could be bought for a question: the `choices` of cutting_room. 0 where the
/// question makes no sense.
constexpr std::size_t stock_choices(const cutting_question& q) noexcept {
  if (detail::check(q) || detail::sells_any_length(q)) return 0;
  std::size_t count = 0;
  const metres all = detail::sum_of(q.pieces);
  for (const stock_offer& offer : q.offers) count += static_cast<std::size_t>(detail::choices_of(offer, all));
  return count;
}

/// The cheapest lengths to buy for all pieces, and which piece is cut from which. Ties: fewest lengths, then
/// least rest, then a fixed order by content.
///
/// @param q      pieces and offers, any order; ranges as told at their fields.
/// @param space  the caller's storage, cutting_room(pieces, stock_choices(q)) of each list.
/// @return       Views of `space`. A piece longer than anything sold is an answer (`fits` false, `stuck`).
///               Faults: a figure out of range (the price of a whole length too); too little room.
/// Method    cheapest_packing, the pieces as items, every length that can be bought as a type; sizes proven
///           are told there. Where one offer sells any length, one sale: ceil(sum / step).
/// Accuracy  lengths are whole nanometres; a sum may pass what is sold by length_noise.
/// Source    common practice, no source: whole sale quanta, cut without loss at the cut.
/// Example   2.3 m and 2.6 m by whole metres, longest 5 m -> one length of 5 m, 0.1 m left
[[nodiscard]] constexpr outcome<cutting_answer> cheapest_cutting(const cutting_question& q,
                                                                 const cutting_space& space) noexcept {
  if (const fault f = detail::check(q)) return f;
  const std::size_t choices = stock_choices(q), n = q.pieces.size();
  if (const fault f =
          first_fault(refuse_room(space.items.size(), n), refuse_room(space.sold.size(), n),
                      refuse_room(space.packing.bin_of.size(), n), refuse_room(space.types.size(), choices),
                      refuse_room(space.choices.size(), choices)))
    return f;
  if (n > 0 && detail::sells_any_length(q)) return detail::one_sale(q, space);

  const metres all = detail::sum_of(q.pieces);
  std::size_t count = 0;
  for (std::size_t o = 0; o < q.offers.size(); ++o) {
    const stock_offer& offer = q.offers[o];
    const std::int64_t each = n > 0 ? detail::choices_of(offer, all) : 0;
    for (std::int64_t k = 1; k <= each; ++k, ++count) {
      const metres length = offer.step.v > 0 ? offer.step * static_cast<double>(k) : offer.length;
      space.choices[count] = {.offer = static_cast<std::int32_t>(o), .steps = k, .length = length};
      space.types[count] = {
          .capacity = {detail::nanometres(length) + detail::nanometres(length_noise(length))},
          .price = offer.price * k,
          .rank = offer.rank};
    }
  }
  for (std::size_t i = 0; i < n; ++i)
    space.items[i] = {.load = {detail::nanometres(q.pieces[i].length)}, .rank = q.pieces[i].rank};
  const auto packed = cheapest_packing(
      {.items = space.items.first(n), .types = space.types.first(count), .steps = q.steps}, space.packing);
  if (!packed.ok()) return packed.why();

  cutting_answer answer{.fits = packed->fits,
                        .stuck = packed->stuck,
                        .sold_of = packed->bin_of,
                        .price = packed->price,
                        .price_at_least = packed->price_at_least,
                        .proven = packed->proven,
                        .ties_proven = packed->ties_proven,
                        .steps = packed->steps};
  if (!answer.fits) return answer;
  const std::size_t sales = packed->bins.size();
  const std::span<detail::packing_bin_row> used = space.packing.bins.first(sales);
  for (std::size_t b = 0; b < sales; ++b) {
    space.sold[b] = space.choices[static_cast<std::size_t>(packed->bins[b].type)];
    used[b].load[0] = 0;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const auto b = static_cast<std::size_t>(packed->bin_of[i]);
    used[b].load[0] += space.items[i].load[0];
    ++space.sold[b].pieces;
  }
  answer.sold = space.sold.first(sales);
  answer.rest = metres{0};
  for (std::size_t b = 0; b < sales; ++b) {
    const std::int64_t rest = detail::nanometres(space.sold[b].length) - used[b].load[0];
    space.sold[b].rest = metres{larger(0, static_cast<double>(rest) * 1e-9)};
    answer.rest += space.sold[b].rest;
  }
  return answer;
}

static_assert([] {
  const stock_piece pieces[] = {{metres{2.3}}, {metres{2.6}}};
  const stock_offer offers[] = {{metres{5}, metres{1}, money{890}}};
  cutting_storage<2, 5> storage;
  const auto answer = cheapest_cutting({pieces, offers}, storage.space());
  return answer->proven && answer->price.price == money{4450} && answer->sold.size() == 1 &&
         answer->sold[0].steps == 5;
}());

}  // namespace tapewright
