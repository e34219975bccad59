// SPDX-License-Identifier: BSL-1.0
// Any function of the C interface that takes and gives plain figures, called by one kind of list; and the rows
// of the function table by name.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <limits>
#include <stdexcept>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <vector>

#include "capi/function_table.hpp"
#include "tapewright.h"
#include "tapewright/core/outcome.hpp"

namespace tapewright::test {

// ---- the function table by name ----------------------------------------------------------------------

struct table_function {
  std::string returns, name, text;
  std::vector<capi::entry> arguments;
};

inline std::vector<table_function> functions_of_table() {
  std::vector<table_function> all;
  for (const capi::entry& e : capi::function_table) {
    if (e.is_function) all.push_back({e.type, e.name, e.text, {}});
    else all.back().arguments.push_back(e);
  }
  return all;
}

inline table_function table_row(std::string_view name) {
  for (const table_function& f : functions_of_table())
    if (f.name == name) return f;
  throw std::runtime_error{"not in capi/function_table.hpp: " + std::string{name}};
}

inline bool is_input(const capi::entry& e) {
  const std::string_view type{e.type};
  return type == "double" || type == "int32_t" || type == "int64_t";
}
inline bool is_figure_output(const capi::entry& e) {
  const std::string_view type{e.type};
  return type == "double *" || type == "int32_t *" || type == "int64_t *";
}

// ---- one output, whatever its width ------------------------------------------------------------------

struct cell {
  bool is_whole = false;
  double number = 0;
  std::int64_t whole = 0;

  static cell of(double v) { return {false, v, 0}; }
  template <class Whole>
  requires std::is_integral_v<Whole> || std::is_enum_v<Whole>
  static cell of(Whole v) { return {true, 0, static_cast<std::int64_t>(v)}; }
  bool is_poison() const { return is_whole ? whole == 0 : number != number; }
  /// Bits, but for NaN, whose bits no standard fixes.
  friend bool operator==(const cell& a, const cell& b) {
    if (a.is_whole != b.is_whole) return false;
    if (a.is_whole) return a.whole == b.whole;
    if (a.number != a.number) return b.number != b.number;
    return std::bit_cast<std::uint64_t>(a.number) == std::bit_cast<std::uint64_t>(b.number);
  }
};
using cells = std::vector<cell>;

// ---- a call ------------------------------------------------------------------------------------------

/// What goes into a call and what comes out: plain figures in order, arrays, outputs. One output may be left
/// null.
struct frame {
  std::vector<double> in;
  std::vector<const double*> arrays;
  int null_output = -1, null_array = -1;
  tw_fault* why = nullptr;
  cells out;
  bool untouched = true;  ///< a null output shows nothing
};

namespace detail {

/// Figures that no function gives, so that an output that was not written shows.
inline constexpr double stale_number = 12345.678;
inline constexpr std::int32_t stale_whole = 987654;

class argument_source {
 public:
  explicit argument_source(frame& f) : f_{f} { slots_.resize(8); }

  template <class T>
  T next() {
    if constexpr (std::is_same_v<T, tw_fault*>) return f_.why;
    else if constexpr (std::is_same_v<T, const double*>) {
      const int at = array_++;
      return at == f_.null_array ? nullptr : f_.arrays.at(static_cast<std::size_t>(at));
    } else if constexpr (std::is_pointer_v<T>) {
      using value = std::remove_pointer_t<T>;
      slot& s = slots_.at(count_);
      s.is_whole = !std::is_same_v<value, double>;
      s.bytes = sizeof(value);
      const auto at = static_cast<int>(count_++);
      const value stale =
          std::is_same_v<value, double> ? static_cast<value>(stale_number) : static_cast<value>(stale_whole);
      std::memcpy(s.room, &stale, sizeof stale);
      return at == f_.null_output ? nullptr : reinterpret_cast<T>(s.room);
    } else {
      return static_cast<T>(f_.in.at(in_++));
    }
  }
  void collect() {
    if (in_ != f_.in.size())
      throw std::runtime_error{"a call was given another number of figures than it takes"};
    f_.out.clear();
    for (std::size_t i = 0; i < count_; ++i) {
      const slot& s = slots_[i];
      if (!s.is_whole) {
        double v = 0;
        std::memcpy(&v, s.room, sizeof v);
        f_.out.push_back(cell::of(v));
      } else if (s.bytes == sizeof(std::int32_t)) {
        std::int32_t v = 0;
        std::memcpy(&v, s.room, sizeof v);
        f_.out.push_back(cell::of(v));
      } else {
        std::int64_t v = 0;
        std::memcpy(&v, s.room, sizeof v);
        f_.out.push_back(cell::of(v));
      }
    }
  }

 private:
  struct slot {
    alignas(8) unsigned char room[8] = {};
    bool is_whole = false;
    std::size_t bytes = 0;
  };
  frame& f_;
  std::vector<slot> slots_;
  std::size_t in_ = 0, count_ = 0;
  int array_ = 0;
};

template <auto Function>
struct caller;
template <class... Arguments, tw_status (*Function)(Arguments...)>
struct caller<Function> {
  static tw_status call(frame& f) {
    argument_source source{f};
    // a braced list is made from left to right on every compiler
    std::tuple<Arguments...> arguments{source.next<Arguments>()...};
    const tw_status status = std::apply(Function, arguments);
    source.collect();
    return status;
  }
};

}  // namespace detail

using plain_call = tw_status (*)(frame&);
template <auto Function>
inline constexpr plain_call call_of = &detail::caller<Function>::call;

inline tw_fault empty_fault() { return {sizeof(tw_fault), -7, -7, -7, -7, -7, -7}; }

/// The same fault, NaN equal to NaN.
inline bool same_fault(const tw_fault& c, const fault& f) {
  const bool same_given = c.given == f.given || (c.given != c.given && f.given != f.given);
  return c.code == static_cast<std::int32_t>(f.code) && c.field == static_cast<std::int32_t>(f.field) &&
         c.item == f.item && same_given && c.least == f.least && c.most == f.most;
}

inline double beyond(double v, double towards) { return __builtin_nextafter(v, towards); }

}  // namespace tapewright::test
