// SPDX-License-Identifier: BSL-1.0
// From an outcome to a C answer: pointers checked, outputs poisoned, value or fault stored.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <type_traits>

#include "struct_table.hpp"
#include "tapewright.h"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace tapewright::capi {

/// Refuses a number that no field has; the numbers count from 1.
constexpr fault refuse_field_number(std::int32_t number) noexcept {
  if (facts_of(static_cast<field>(number)).id != field::none) return {};
  return {fault_code::unknown_reference,         field::none, static_cast<double>(number), 1,
          static_cast<double>(field_table_size), -1};
}

// ---- structures come in -----------------------------------------------------------------------------

/// How much longer than ours a structure of a newer release may be. What is longer is taken for a
/// struct_size that was never set, and is not read.
inline constexpr std::uint32_t most_growth = 4096;

/// Refuses a size below that of the first release, or beyond all growth.
constexpr fault refuse_size(std::uint32_t given, std::uint32_t first_release, std::uint32_t known) noexcept {
  if (given >= first_release && given <= known + most_growth) return {};
  return {fault_code::version_mismatch,       field::struct_size,         static_cast<double>(given),
          static_cast<double>(first_release), static_cast<double>(known), -1};
}

constexpr fault null_pointer(std::int32_t place) noexcept {
  return {fault_code::null_pointer, field::pointer, 0, 1, 1, place};
}

/// Copies `given` bytes of somebody's structure into ours of `known` bytes. What an older one lacks is 0;
/// what a newer one has beyond ours must be 0, since it would go unheeded.
inline fault take(void* into, const void* from, std::uint32_t given, std::uint32_t first_release,
                  std::uint32_t known) noexcept {
  if (const fault f = refuse_size(given, first_release, known)) return f;
  __builtin_memset(into, 0, known);
  __builtin_memcpy(into, from, given < known ? given : known);
  const auto* byte = static_cast<const unsigned char*>(from);
  for (std::uint32_t i = known; i < given; ++i)
    if (byte[i] != 0)
      return {fault_code::version_mismatch,       field::struct_size,         static_cast<double>(given),
              static_cast<double>(first_release), static_cast<double>(known), -1};
  return {};
}

/// Refuses what a later release may give a meaning: `reserved` members that are not 0.
inline fault refuse_reserved(const void* structure, const member* members, std::size_t count) noexcept {
  for (std::size_t i = 0; i < count; ++i) {
    if (members[i].what != shape::reserved) continue;
    std::int32_t value = 0;
    __builtin_memcpy(&value, static_cast<const char*>(structure) + members[i].offset, sizeof value);
    if (value != 0) return {fault_code::version_mismatch, field::none, static_cast<double>(value), 0, 0, -1};
  }
  return {};
}

/// A structure as this release knows it, from one of any release.
template <class C>
fault read(C& into, const C* from) noexcept {
  if (const fault f = take(&into, from, from->struct_size, layout<C>::first_release, sizeof(C))) return f;
  return refuse_reserved(&into, layout<C>::members, layout<C>::count);
}

/// The same for argument `place` of a call, which may be null.
template <class C>
fault read_argument(C& into, const C* from, std::int32_t place) noexcept {
  return from == nullptr ? null_pointer(place) : read(into, from);
}

/// Text in a fixed room: up to the first zero byte, or all of it.
template <std::size_t N>
constexpr std::string_view view_of(const char (&text)[N]) noexcept {
  std::size_t length = 0;
  while (length < N && text[length] != 0) ++length;
  return {text, length};
}

// ---- answers go out ---------------------------------------------------------------------------------

/// A C++ figure as the C interface carries it.
template <class N, class T>
constexpr N number_of(const T& value) noexcept {
  if constexpr (std::is_enum_v<T> || std::is_arithmetic_v<T>) return static_cast<N>(value);
  else if constexpr (std::is_same_v<T, money>) return value.minor;
  else return value.v;
}

/// Writes a structure of ours into somebody's, as far as theirs goes.
template <class C>
void write(C* into, C value) noexcept {
  const std::uint32_t given = into->struct_size;
  value.struct_size = given;
  __builtin_memcpy(into, &value, given < sizeof(C) ? given : sizeof(C));
}

/// NaN in every number, -1 in every place, 0 in all else.
inline void poison(void* structure, std::uint32_t bytes, const member* members, std::size_t count) noexcept {
  auto* at = static_cast<char*>(structure);
  constexpr double no_number = not_a_number;
  constexpr std::int32_t no_place = -1;
  for (std::size_t i = 0; i < count; ++i) {
    const member& m = members[i];
    if (m.offset + m.bytes > bytes || m.what == shape::struct_size) continue;
    __builtin_memset(at + m.offset, 0, m.bytes);
    if (m.what == shape::place) __builtin_memcpy(at + m.offset, &no_place, sizeof no_place);
    if (m.what == shape::number)
      for (std::uint32_t k = 0; k < m.bytes; k += sizeof no_number)
        __builtin_memcpy(at + m.offset + k, &no_number, sizeof no_number);
  }
}

/// One output of a call: where it goes, and how it is got from the value.
template <class N, class Get>
struct output {
  N* at;
  Get get;

  fault refuse(std::int32_t place) const noexcept {
    if (at == nullptr) return null_pointer(place);
    if constexpr (std::is_class_v<N>)
      return refuse_size(at->struct_size, layout<N>::first_release, sizeof(N));
    else return {};
  }
  void poison() const noexcept {
    if (at == nullptr) return;
    if constexpr (std::is_class_v<N>) {
      if (!refuse(0)) capi::poison(at, at->struct_size, layout<N>::members, layout<N>::count);
    } else if constexpr (std::is_floating_point_v<N>) *at = not_a_number;
    else *at = N{};
  }
  template <class T>
  void store(const T& value) const noexcept {
    if constexpr (std::is_member_object_pointer_v<Get>) put(value.*get);
    else put(get(value));
  }

 private:
  template <class T>
  void put(const T& value) const noexcept {
    if constexpr (std::is_class_v<N>) {
      N ours{};
      if constexpr (std::is_same_v<T, N>) ours = value;
      else to_c(ours, value);
      write(at, ours);
    } else if constexpr (std::is_pointer_v<N>) *at = value;
    else *at = number_of<N>(value);
  }
};

struct itself {
  template <class T>
  constexpr const T& operator()(const T& value) const noexcept {
    return value;
  }
};
template <class N>
constexpr output<N, itself> to(N* at) noexcept {
  return {at, {}};
}
template <class N, class Get>
constexpr output<N, Get> to(N* at, Get get) noexcept {
  return {at, get};
}

/// Tells a fault where the caller wants to know, and returns its code.
inline tw_status tell(tw_fault* why, const fault& f) noexcept {
  if (why != nullptr)
    write(why, tw_fault{0, static_cast<std::int32_t>(f.code), static_cast<std::int32_t>(f.field), f.item,
                        f.given, f.least, f.most});
  return static_cast<tw_status>(f.code);
}
inline tw_status done(tw_fault* why) noexcept {
  if (why != nullptr) write(why, tw_fault{0, 0, 0, -1, 0, 0, 0});
  return TW_OK;
}

/// Refuses a tw_fault of a size that is not known: then nothing can be told in it.
inline fault refuse_why(const tw_fault* why) noexcept {
  return why == nullptr ? fault{}
                        : refuse_size(why->struct_size, layout<tw_fault>::first_release, sizeof(tw_fault));
}

/// Ends a call: the outputs of `value`, or the fault and poison. Null outputs come before all else.
template <class T, class... Outputs>
tw_status answer(const fault& f, const T* value, tw_fault* why, const Outputs&... outputs) noexcept {
  if (const fault unfit = refuse_why(why)) {
    (outputs.poison(), ...);
    return static_cast<tw_status>(unfit.code);
  }
  std::int32_t place = 0;
  fault first;
  ((first = first ? first : outputs.refuse(place), ++place), ...);
  if (!first) first = f;
  if (first) {
    (outputs.poison(), ...);
    return tell(why, first);
  }
  (outputs.store(*value), ...);
  return done(why);
}
template <class T, class... Outputs>
tw_status answer(const outcome<T>& o, tw_fault* why, const Outputs&... outputs) noexcept {
  return answer(o.why(), &o.value(), why, outputs...);
}

/// `ask()` where there is no fault before it, else that fault.
template <class Ask>
constexpr auto unless(const fault& f, Ask ask) noexcept -> decltype(ask()) {
  if (f) return f;
  return ask();
}

}  // namespace tapewright::capi
