// SPDX-License-Identifier: BSL-1.0
// Arrays of figures that a call fills, in room of the caller's.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <type_traits>

#include "answer.hpp"

namespace tapewright::capi {

/// Refuses room that is given with a count that makes no sense. None given is none wanted.
inline fault refuse_room(const double* room, std::int64_t count) noexcept {
  return room == nullptr ? fault{} : refuse_outside(field::space, static_cast<double>(count), 1, 1e9);
}

/// The caller's doubles as quantities: a quantity is a double with a name.
template <class Quantity>
std::span<Quantity> as(double* figures, std::int64_t count) noexcept {
  static_assert(sizeof(Quantity) == sizeof(double) && alignof(Quantity) == alignof(double) &&
                std::is_standard_layout_v<Quantity>);
  if (figures == nullptr) return {};
  return {reinterpret_cast<Quantity*>(figures), static_cast<std::size_t>(count)};
}

/// Figures of a call that failed.
inline void poison(double* figures, std::int64_t count) noexcept {
  if (figures == nullptr || refuse_room(figures, count)) return;
  for (std::int64_t i = 0; i < count; ++i) figures[i] = not_a_number;
}

/// Ends a call whose outputs are arrays of `count` figures, which are NaN unless it succeeded.
inline tw_status answer_arrays(const fault& f, tw_fault* why, std::int64_t count, double* first,
                               double* second = nullptr) noexcept {
  const fault unfit = refuse_why(why);
  if (!unfit && !f) return done(why);
  poison(first, count);
  poison(second, count);
  return unfit ? static_cast<tw_status>(unfit.code) : tell(why, f);
}

}  // namespace tapewright::capi
