// SPDX-License-Identifier: BSL-1.0
// The room that the searches of a plan share: one question at a time is worked out in it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/search/stock_cutting.hpp"

namespace tapewright {

/// Stock lengths of one part are looked at up to so many; an offer with more of them is cut from its longest.
inline constexpr std::size_t most_stock_lengths = 64;

/// Storage of the searches: the caller's. search_room says how much of each list is always enough.
struct search_space {
  cutting_space cutting;            ///< items and types of any question, stock cutting the widest
  std::span<std::int32_t> part_of;  ///< which part a type stands for
  std::span<stock_piece> pieces;
  std::span<std::int32_t> piece_of;  ///< which piece of the plan a stock_piece stands for
};

struct search_counts {
  cutting_counts cutting;
  std::size_t part_of, pieces;
};

/// Room for questions of so many items over so many kinds of part (the greater of a catalogue's numbers of
/// controllers and drivers).
constexpr search_counts search_room(std::size_t items, std::size_t parts) noexcept {
  const std::size_t types = parts > most_stock_lengths ? parts : most_stock_lengths;
  return {cutting_room(items, types), types, items};
}

/// Storage for questions of up to so many items and parts, for C++ callers and constant evaluation.
template <std::size_t Items, std::size_t Parts>
struct search_storage {
  static constexpr search_counts counts = search_room(Items, Parts);
  cutting_storage<counts.cutting.items, counts.cutting.types> cutting{};
  std::int32_t part_of[counts.part_of] = {};
  stock_piece pieces[counts.pieces] = {};
  std::int32_t piece_of[counts.pieces] = {};

  constexpr search_space space() noexcept { return {cutting.space(), part_of, pieces, piece_of}; }
};

}  // namespace tapewright
