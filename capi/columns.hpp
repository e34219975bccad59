// SPDX-License-Identifier: BSL-1.0
// A scalar function asked for every row of some columns.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <type_traits>
#include <utility>

#include "answer.hpp"
#include "function_table.hpp"
#include "tapewright.h"
#include "tapewright/core/field.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace tapewright::capi {

/// A column that comes in; a stride of 0 elements gives every row the same figure.
struct column {
  const double* at;
  std::int64_t stride;

  double operator[](std::int64_t row) const noexcept { return at[row * stride]; }
};

template <std::size_t N>
struct columns {
  column of[N];
};

/// A column that goes out.
template <class N, class Get>
struct column_output {
  N* at;
  std::int64_t stride;
  Get get;

  output<N, Get> operator[](std::int64_t row) const noexcept { return {at + row * stride, get}; }
};
template <class N, class Get = itself>
constexpr column_output<N, Get> into(N* at, std::int64_t stride, Get get = {}) noexcept {
  return {at, stride, get};
}

// ---- row by row ---------------------------------------------------------------------------------------

/// The rows from `row` to `end`: every one gets its answer or its poison, `first` the first fault.
template <class... Arguments, class Ask, class... Outputs>
[[gnu::always_inline]] inline void ask_rows(Ask ask, std::int64_t row, std::int64_t end, fault& first,
                                            const columns<sizeof...(Arguments)>& in,
                                            const Outputs&... out) noexcept {
  for (; row < end; ++row) {
    const auto answer = [&]<std::size_t... I>(std::index_sequence<I...>) noexcept {
      return ask(Arguments{in.of[I][row]}...);
    }
    (std::index_sequence_for<Arguments...>{});
    if (answer) {
      (out[row].store(*answer), ...);
      continue;
    }
    (out[row].poison(), ...);
    if (!first) first = at_item(answer.why(), static_cast<std::size_t>(row));
  }
}

// ---- block by block -----------------------------------------------------------------------------------
// Most rows have nothing wrong with them. The figures of a block of rows are looked at first, column by column; where all
// are in range the formula alone goes over the block. Neither loop has a branch and both have a fixed count, so that they
// run in the vector unit. What a fault is, and which one comes first, is left to the function that refuses.

/// Two kilobytes a column: with half of it, or twice, columns that no cache holds take a quarter or a tenth longer.
inline constexpr std::size_t block_rows = 256;

template <std::size_t N>
struct ranges {
  field_range of[N];
};

/// The ranges of the N figures of a row: those of the arguments of `function` in the interface's table.
template <std::size_t N>
consteval ranges<N> ranges_of(std::string_view function) noexcept {
  ranges<N> found{};
  const entry* e = function_table;
  while (!e->is_function || function != e->name) ++e;
  for (field_range& r : found.of) {
    ++e;
    r = {e->least, e->most};
  }
  return found;
}

/// A function that refuses figures out of their ranges, and figures in range of which `Sense` is false, where there is one
/// (without a branch, as the formula); and its formula alone, which is all of it for the others.
template <auto Refusing, auto Formula, auto Sense, std::size_t N>
struct ranged {
  ranges<N> range;
};
template <auto Refusing, auto Formula, auto Sense = nullptr, std::size_t N>
constexpr ranged<Refusing, Formula, Sense, N> by_formula(ranges<N> range) noexcept {
  return {range};
}

/// Whether every figure of a block is in range. NaN is taken for 0 while it is compared: vectors are compared only with
/// the flag that NaN raises.
inline bool all_within(field_range range, const double* figures) noexcept {
  using pair [[gnu::vector_size(16)]] = double;
  using bits [[gnu::vector_size(16)]] = std::uint32_t;
  const auto bits_of = [](auto v) noexcept { return reinterpret_cast<bits>(v); };
  const pair least = {range.least, range.least}, most = {range.most, range.most};
  bits good = ~bits{};
  for (std::size_t i = 0; i < block_rows; i += 2) {
    pair x;
    __builtin_memcpy(&x, figures + i, sizeof x);
    const bits number = bits_of(x == x);
    const pair quiet = reinterpret_cast<pair>(bits_of(x) & number);
    good &= number & bits_of(quiet >= least) & bits_of(quiet <= most);
  }
  return (good[0] & good[2]) != 0;
}

/// A block of a column that comes in, one figure after the other: the caller's own, or a copy where his has gaps.
struct block_input {
  const double* figures;
  bool good;
  double copy[block_rows];

  void look_at(const column& c, std::int64_t row, field_range range) noexcept {
    if (c.stride == 0 && row > 0) return;  // as in the block before
    figures = c.stride == 1 ? c.at + row : copy;
    if (c.stride != 1)
      for (std::size_t i = 0; i < block_rows; ++i) copy[i] = c[row + static_cast<std::int64_t>(i)];
    good = all_within(range, figures);
  }
};

/// A block of a column that goes out: the caller's own room, or one of ours that is copied into his, which has gaps.
template <class N>
struct block_output {
  N *at, *room;
  std::int64_t stride;
  N copy[block_rows];

  block_output(N* first, std::int64_t step) noexcept : at{first}, room{step == 1 ? at : copy}, stride{step} {}
  ~block_output() {
    if (room == at) return;
    N* to = at;
    for (const N& figure : copy) {
      *to = figure;
      to += stride;
    }
  }
};

/// The formula over a block of which every row is good. What goes out overlaps nothing. GCC 12 keeps a const answer in
/// memory and then leaves the vectors.
template <auto Formula, class... Arguments, std::size_t... I, class... N, class... Get>
inline void calculate(std::index_sequence<I...>, const block_input* in, std::int64_t row,
                      const column_output<N, Get>&... out) noexcept {
  const auto rows = [in](Get... get, N* __restrict... to) noexcept {
    for (std::size_t i = 0; i < block_rows; ++i) {
      auto answer = Formula(Arguments{in[I].figures[i]}...);
      (output<N, Get>{to + i, get}.store(answer), ...);
    }
  };
  const auto into_rooms = [&](const block_output<N>&... block) noexcept { rows(out.get..., block.room...); };
  into_rooms(block_output<N>{out.at + row * out.stride, out.stride}...);
}

/// Whether `Sense` is true of every row of a block of which every figure is in range.
template <auto Sense, class... Arguments, std::size_t... I>
inline bool all_satisfy(std::index_sequence<I...>, const block_input* in) noexcept {
  double good[block_rows];
  for (std::size_t i = 0; i < block_rows; ++i) good[i] = Sense(Arguments{in[I].figures[i]}...) ? 1 : 0;
  return all_within({1, 1}, good);
}

template <class... Arguments, auto Refusing, auto Formula, auto Sense, class... N, class... Get>
[[gnu::always_inline]] inline void ask_blocks(
    const ranged<Refusing, Formula, Sense, sizeof...(Arguments)>& ask, std::int64_t row, std::int64_t end,
    fault& first, const columns<sizeof...(Arguments)>& in, const column_output<N, Get>&... out) noexcept {
  constexpr std::index_sequence_for<Arguments...> all;
  constexpr std::int64_t step = block_rows;
  block_input block[sizeof...(Arguments)];
  for (; end - row >= step; row += step) {
    bool good = true;
    for (std::size_t k = 0; k < sizeof...(Arguments); ++k) {
      block[k].look_at(in.of[k], row, ask.range.of[k]);
      good = good && block[k].good;
    }
    if constexpr (!std::is_null_pointer_v<decltype(Sense)>)
      good = good && all_satisfy<Sense, Arguments...>(all, block);
    if (good) calculate<Formula, Arguments...>(all, block, row, out...);
    else ask_rows<Arguments...>(Refusing, row, row + step, first, in, out...);
  }
  ask_rows<Arguments...>(Refusing, row, end, first, in, out...);
}

// ---- a call -------------------------------------------------------------------------------------------

inline constexpr double most_rows = 1e9;

/// Asks `ask`, a function or a formula within ranges, with one argument of each of Arguments a row. Every row gets its
/// answer or its poison; the first fault is returned, its row in `item`.
/// In line where it is called, and all of the formula with it (`flatten` there): no call through a pointer a row.
template <class... Arguments, class Ask, class... Outputs>
[[gnu::always_inline]] inline tw_status each_row(Ask ask, std::int64_t rows, tw_fault* why,
                                                 const columns<sizeof...(Arguments)>& in,
                                                 const Outputs&... out) noexcept {
  const fault unfit = refuse_why(why);
  fault first = first_fault(unfit, refuse_outside(field::row_count, static_cast<double>(rows), 0, most_rows));
  std::int32_t place = 0;
  for (const column& c : in.of) {
    if (!first && c.at == nullptr) first = null_pointer(place);
    ++place;
  }
  place = 0;
  ((first = first || out.at != nullptr ? first : null_pointer(place), ++place), ...);
  if (first) {
    const bool countable = !refuse_outside(field::row_count, static_cast<double>(rows), 0, most_rows);
    for (std::int64_t row = 0; countable && row < rows; ++row)
      ((out.at != nullptr ? out[row].poison() : void()), ...);
    return unfit ? static_cast<tw_status>(unfit.code) : tell(why, first);
  }
  ask_blocks<Arguments...>(ask, 0, rows, first, in, out...);
  return first ? tell(why, first) : done(why);
}

}  // namespace tapewright::capi
