// SPDX-License-Identifier: BSL-1.0
// Random cutting questions in whole millimetres, and storage for them.
#pragma once

#include <cstdint>
#include <vector>

#include "tapewright/plan/search/stock_cutting.hpp"
#include "tests/support/random.hpp"
#include "tests/unit/search/random_packing.hpp"

namespace tapewright::test {

/// Lengths are kept in millimetres too: what a test computes from them owes nothing to the library.
struct cutting_case {
  struct offer_mm {
    std::int64_t length, step;
    long long price;
  };
  std::vector<std::int64_t> pieces_mm;
  std::vector<offer_mm> offers_mm;
  std::vector<stock_piece> pieces;
  std::vector<stock_offer> offers;
  std::int64_t steps = default_search_steps;

  cutting_question question() const { return {pieces, offers, steps}; }
  void add_piece(std::int64_t mm) {
    pieces.push_back(
        {.length = metres{static_cast<double>(mm) / 1000}, .rank = static_cast<std::int64_t>(pieces.size())});
    pieces_mm.push_back(mm);
  }
  void add_offer(std::int64_t length, std::int64_t step, long long price) {
    offers.push_back({.length = metres{static_cast<double>(length) / 1000},
                      .step = metres{static_cast<double>(step) / 1000},
                      .price = {price},
                      .rank = static_cast<std::int64_t>(offers.size())});
    offers_mm.push_back({length, step, price});
  }
};

/// Pieces of a room cut from a roll by whole quanta up to a longest piece, with or without reels and stock
/// lengths at a price of their own.
inline cutting_case random_cutting(random_source& random, std::int64_t most_pieces) {
  cutting_case c;
  constexpr std::int64_t quanta[] = {250, 500, 1000, 1000};
  const std::int64_t step = random.pick(quanta);
  const std::int64_t longest = step * random.integer(3, 12);
  const std::int64_t pieces = random.integer(1, most_pieces);
  for (std::int64_t i = 0; i < pieces; ++i) c.add_piece(25 * random.integer(1, longest / 25));
  const long long price = random.integer(100, 1500);
  if (!random.one_in(4)) c.add_offer(longest, step, price);
  const std::int64_t reels = random.integer(c.offers.empty() ? 1 : 0, 3);
  for (std::int64_t r = 0; r < reels; ++r) {
    const std::int64_t length = c.offers.empty() ? longest : step * random.integer(2, 14);
    c.add_offer(length, 0, price * (length / step) * random.integer(70, 120) / 100 + 1);
  }
  return c;
}

/// Storage of any size for programs that have a heap.
struct cutting_heap {
  packing_heap packing;
  std::vector<packing_item> items;
  std::vector<packing_type> types;
  std::vector<sold_length> choices, sold;

  explicit cutting_heap(const cutting_case& c)
      : packing{c.pieces.size(), stock_choices(c.question())},
        items(c.pieces.size()),
        types(stock_choices(c.question())),
        choices(types.size()),
        sold(c.pieces.size()) {}
  cutting_space space() { return {packing.space(), items, types, choices, sold}; }
};

}  // namespace tapewright::test
