// SPDX-License-Identifier: BSL-1.0
// A scalar function asked for every row of some columns.
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>

#include "answer.hpp"
#include "tapewright.h"
#include "tapewright/core/outcome.hpp"

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

inline constexpr double most_rows = 1e9;

/// Asks `ask` with one argument of each of Arguments a row. Every row gets its answer or its poison; the
/// first fault is returned, its row in `item`.
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
  for (std::int64_t row = 0; row < rows; ++row) {
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
  return first ? tell(why, first) : done(why);
}

}  // namespace tapewright::capi
