// SPDX-License-Identifier: BSL-1.0
// An answer or the reason why the question makes none: outcome<T> and fault.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <type_traits>

#include "tapewright/core/field.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace tapewright {

/// Formulas alone, of figures that are known to be in range; the functions of the same names, which refuse what is not,
/// stand beside them.
namespace formula {}

/// What is wrong with a question. The numbers never change; new ones are appended.
enum class fault_code : std::int32_t {
  none = 0,
  out_of_range = 1,        ///< a figure outside its allowed range, or not a number
  not_listed = 2,          ///< no such row in a published table (a size, a method, a rating)
  contradiction = 3,       ///< two figures that cannot both hold; `field` names the one at fault
  no_room = 4,             ///< the caller's storage is too small; `least` is how much is needed
  not_converged = 5,       ///< the network did not settle; `given` is the residual left
  unknown_reference = 6,   ///< an index or name that points at nothing
  null_pointer = 7,        ///< a required pointer of the C interface is null
  version_mismatch = 8,    ///< a structure of a size this library does not know
  no_operating_point = 9,  ///< the loads ask for more than the wiring can deliver
  unreachable = 10,        ///< no value of the unknown meets the wish
};

constexpr std::string_view text_of(fault_code code) noexcept {
  switch (code) {
    case fault_code::none: return "no fault";
    case fault_code::out_of_range: return "outside the allowed range";
    case fault_code::not_listed: return "not in the published table";
    case fault_code::contradiction: return "contradicts another figure";
    case fault_code::no_room: return "the storage given is too small";
    case fault_code::not_converged: return "the network did not settle";
    case fault_code::unknown_reference: return "points at nothing";
    case fault_code::null_pointer: return "a required pointer is null";
    case fault_code::version_mismatch: return "structure of an unknown size";
    case fault_code::no_operating_point: return "the wiring cannot deliver what the loads ask for";
    case fault_code::unreachable: return "no value meets the wish";
  }
  return "unknown fault";
}

/// Why there is no answer: which figure, what came in, what is allowed.
/// `item` is the place of the row in its list (tape 3, run 0), or -1 where there is no list.
struct fault {
  fault_code code = fault_code::none;
  tapewright::field field = tapewright::field::none;
  double given = 0, least = 0, most = 0;
  std::int32_t item = -1;

  /// True where there IS a fault, so that `if (const fault f = check(x)) return f;` reads aloud.
  constexpr explicit operator bool() const noexcept { return code != fault_code::none; }
  friend constexpr bool operator==(const fault&, const fault&) noexcept = default;
};

/// Refuses a value outside a range: NaN too, since every comparison with it is false.
constexpr fault refuse_outside(field f, double value, double least, double most) noexcept {
  if (is_within(value, least, most)) return {};
  return {fault_code::out_of_range, f, value, least, most, -1};
}

/// Refuses a value outside the range that core/field.hpp gives for it.
constexpr fault refuse(field f, double value) noexcept {
  const field_range range = range_of(f);
  return refuse_outside(f, value, range.least, range.most);
}
template <class Unit>
constexpr fault refuse(field f, quantity<Unit> value) noexcept {
  return refuse(f, value.v);
}
constexpr fault refuse(field f, celsius value) noexcept { return refuse(f, value.v); }

/// Refuses a row without a name or code to call it by.
constexpr fault refuse_nameless(std::string_view code) noexcept {
  return code.empty() ? fault{fault_code::out_of_range, field::name, 0, 1, 1, -1} : fault{};
}

/// Two figures that cannot both hold: `f` names the one at fault, [least, most] is what the other leaves it.
constexpr fault contradiction(field f, double given, double least, double most) noexcept {
  return {fault_code::contradiction, f, given, least, most, -1};
}

/// Refuses a place in a list that has no such row: `most` is the last place there is.
constexpr fault refuse_place(field f, std::int64_t place, std::size_t rows) noexcept {
  if (place >= 0 && static_cast<std::uint64_t>(place) < rows) return {};
  return {fault_code::unknown_reference, f, static_cast<double>(place), 0, static_cast<double>(rows) - 1, -1};
}

/// Refuses storage for fewer things than are needed; `least` is how many that is.
constexpr fault refuse_room(std::size_t given, std::size_t needed) noexcept {
  if (given >= needed) return {};
  return {fault_code::no_room,         field::space,
          static_cast<double>(given),  static_cast<double>(needed),
          range_of(field::space).most, -1};
}

/// The first of several checks that found something: `first_fault(refuse(..), refuse(..))`.
template <class... Faults>
constexpr fault first_fault(const Faults&... each) noexcept {
  fault found;
  ((found || !each ? void() : void(found = each)), ...);
  return found;
}

/// The same fault, told of row `item` of a list.
constexpr fault at_item(fault f, std::size_t item) noexcept {
  f.item = static_cast<std::int32_t>(item);
  return f;
}

/// An answer, or a fault. A faulted outcome holds T's unset state (`unset` for a quantity, T{} with
/// unset members for a result structure), so that reading it without asking shows NaN and not a
/// plausible figure.
template <class T>
class [[nodiscard]] outcome {
 public:
  constexpr outcome(const T& value) noexcept : value_{value} {}
  constexpr outcome(const fault& why) noexcept : value_{poison()}, why_{why} {}

  constexpr bool ok() const noexcept { return !why_; }
  constexpr explicit operator bool() const noexcept { return ok(); }
  constexpr const T& value() const noexcept { return value_; }
  constexpr const T& operator*() const noexcept { return value_; }
  constexpr const T* operator->() const noexcept { return &value_; }
  constexpr const fault& why() const noexcept { return why_; }

 private:
  static constexpr T poison() noexcept {
    if constexpr (!std::is_aggregate_v<T> && requires { T{unset}; }) return T{unset};
    else if constexpr (std::is_floating_point_v<T>) return __builtin_nan("");
    else return T{};
  }
  T value_;
  fault why_{};
};

static_assert(refuse(field::cut_pitch, metres{0.05}) == fault{});
static_assert(refuse(field::cut_pitch, metres{-1}).code == fault_code::out_of_range);
static_assert(refuse(field::cut_pitch, metres{unset}));

}  // namespace tapewright
