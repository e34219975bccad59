// SPDX-License-Identifier: BSL-1.0
// A plan through the C interface: made in a block, its lists compared with C++ ones, and asked for what is not there.
#pragma once

#include <doctest/doctest.h>

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <span>
#include <string>
#include <vector>

#include "capi/struct_table.hpp"
#include "tests/unit/capi/c_rows.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/same.hpp"

namespace tapewright::test {

/// A block of the caller's, of doubles for their alignment.
struct plan_block {
  std::vector<double> room;
  std::int64_t bytes = 0;
  tw_plan* plan = nullptr;
  tw_fault why = empty_fault();
  tw_status status = TW_OK;

  explicit plan_block(const c_question& q) {
    status = tw_plan_bytes(&q.job, &q.catalogue, &bytes, &why);
    if (status != TW_OK) return;
    fill();
    status = tw_plan_make(&q.job, &q.catalogue, room.data(), bytes, &plan, &why);
  }
  plan_block(const c_question& q, const tw_terms* terms) {
    status = tw_plan_bytes_by(&q.job, &q.catalogue, terms, &bytes, &why);
    if (status != TW_OK) return;
    fill();
    status = tw_plan_make_by(&q.job, &q.catalogue, terms, room.data(), bytes, &plan, &why);
  }

 private:
  /// The block need not be clean.
  void fill() { room.assign(static_cast<std::size_t>(bytes) / 8 + 1, 1e300); }
};

template <class C, class Row, class Get>
void check_list(const tw_plan* p, std::span<const Row> rows, Get get) {
  CAPTURE(std::string{capi::layout<C>::name});
  for (std::size_t i = 0; i < rows.size(); ++i) {
    CAPTURE(i);
    auto c = empty_c<C>();
    REQUIRE(get(p, static_cast<std::int32_t>(i), &c, nullptr) == TW_OK);
    CHECK(c.struct_size == sizeof c);
    CHECK(same(c, rows[i]));
  }
}
/// The same for what a row was decided on.
template <class C, class Row, class Get, class Part>
void check_parts(const tw_plan* p, std::span<const Row> rows, Get get, Part part) {
  CAPTURE(std::string{capi::layout<C>::name});
  for (std::size_t i = 0; i < rows.size(); ++i) {
    CAPTURE(i);
    auto c = empty_c<C>();
    REQUIRE(get(p, static_cast<std::int32_t>(i), &c, nullptr) == TW_OK);
    CHECK(same(c, part(rows[i])));
  }
}

/// NaN in every number, -1 in every place, 0 in all else.
template <class C>
bool is_poisoned(const C& c) {
  for (const capi::member& m : capi::layout<C>::members) {
    const auto* at = reinterpret_cast<const unsigned char*>(&c) + m.offset;
    double number = 0;
    std::int32_t place = 0;
    if (m.what == capi::shape::number) {
      std::memcpy(&number, at, sizeof number);
      if (number == number) return false;
    } else if (m.what == capi::shape::place) {
      std::memcpy(&place, at, sizeof place);
      if (place != -1) return false;
    } else if (m.what != capi::shape::struct_size) {
      for (std::uint32_t i = 0; i < m.bytes; ++i)
        if (at[i] != 0) return false;
    }
  }
  return true;
}

template <class C, class Get>
void check_refusals(const tw_plan* p, std::int32_t count, Get get) {
  CAPTURE(std::string{capi::layout<C>::name});
  tw_fault why = empty_fault();
  for (const std::int32_t outside : {-1, count, 2147483647, -2147483647}) {
    auto c = empty_c<C>();
    CHECK(get(p, outside, &c, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
    CHECK(why.given == outside);
    CHECK(why.most == count - 1);
    CHECK(is_poisoned(c));
  }
  auto c = empty_c<C>();
  CHECK(get(nullptr, 0, &c, &why) == TW_NULL_POINTER);
  CHECK(is_poisoned(c));
  CHECK(get(p, 0, nullptr, &why) == TW_NULL_POINTER);
  c.struct_size = 4;
  CHECK(get(p, 0, &c, &why) == TW_VERSION_MISMATCH);
  const double not_a_plan[32] = {};
  c = empty_c<C>();
  CHECK(get(reinterpret_cast<const tw_plan*>(not_a_plan), 0, &c, &why) == TW_VERSION_MISMATCH);
  CHECK(is_poisoned(c));
  tw_fault bad = empty_fault();
  bad.struct_size = 1;
  CHECK(get(p, 0, &c, &bad) == TW_VERSION_MISMATCH);
  CHECK(is_poisoned(c));
}

}  // namespace tapewright::test
