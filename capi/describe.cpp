// SPDX-License-Identifier: BSL-1.0
// C interface: what there is, for hosts that list it.
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "answer.hpp"
#include "function_table.hpp"
#include "struct_table.hpp"
#include "tapewright.h"
#include "tapewright/core/field.hpp"
#include "tapewright/core/scalar_math.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// A function of the table with its arguments.
struct described {
  const entry* function = nullptr;
  std::span<const entry> arguments;
};

constexpr std::int32_t function_count() noexcept {
  std::int32_t count = 0;
  for (const entry& e : function_table) count += e.is_function ? 1 : 0;
  return count;
}

/// The function at a place from 0; without one where there is none.
described function_at(std::int32_t place) noexcept {
  const std::span<const entry> table{function_table};
  std::int32_t seen = -1;
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (!table[i].is_function || ++seen != place) continue;
    std::size_t end = i + 1;
    while (end < table.size() && !table[end].is_function) ++end;
    return {&table[i], table.subspan(i + 1, end - i - 1)};
  }
  return {};
}

fault refuse_function(std::int32_t place) noexcept {
  return refuse_place(field::place, place, static_cast<std::size_t>(function_count()));
}

constexpr const char* literal(std::string_view text) noexcept { return text.empty() ? "" : text.data(); }

tw_function_facts facts_of(const described& d) noexcept {
  return {0,
          static_cast<std::int32_t>(d.arguments.size()),
          {d.function->name},
          {d.function->type},
          {d.function->text}};
}

tw_argument_facts facts_of(const entry& e) noexcept {
  const char* text = e.text[0] == 0 ? literal(tapewright::facts_of(e.answers_to).meaning) : e.text;
  return {0, static_cast<std::int32_t>(e.answers_to), {e.type}, {e.name}, {text}, e.least, e.most};
}

tw_field_facts facts_of(const field_facts& f) noexcept {
  return {0,
          static_cast<std::int32_t>(f.id),
          {literal(f.name)},
          {literal(f.unit)},
          {literal(f.meaning)},
          f.least,
          f.most};
}

tw_structure_facts facts_of(const structure_facts& s) noexcept {
  return {0,
          static_cast<std::int32_t>(s.count),
          static_cast<std::int32_t>(s.bytes),
          static_cast<std::int32_t>(s.first_release),
          {s.name}};
}

tw_member_facts facts_of(const member& m) noexcept {
  const field_facts range = tapewright::facts_of(m.range);
  const bool figure = m.range != field::none && m.what != shape::struct_size && m.what != shape::text;
  return {0,
          static_cast<std::int32_t>(m.range),
          static_cast<std::int32_t>(m.offset),
          static_cast<std::int32_t>(m.bytes),
          static_cast<std::int32_t>(m.count),
          static_cast<std::int32_t>(m.text_bytes),
          {m.type},
          {m.name},
          figure ? range.least : not_a_number,
          figure ? range.most : not_a_number};
}

fault refuse_structure(std::int32_t place) noexcept {
  return refuse_place(field::place, place, static_cast<std::size_t>(structure_count));
}

/// The table's own row as the structure that goes out.
constexpr auto as_facts = [](const auto& row) noexcept { return facts_of(row); };

}  // namespace

int32_t tw_describe_count(void) { return function_count(); }

tw_status tw_describe_function(int32_t function, tw_function_facts* facts, tw_fault* why) {
  const described d = function_at(function);
  return answer(refuse_function(function), &d, why, to(facts, as_facts));
}

tw_status tw_describe_argument(int32_t function, int32_t argument, tw_argument_facts* facts, tw_fault* why) {
  const described d = function_at(function);
  const fault f =
      first_fault(refuse_function(function), refuse_place(field::place, argument, d.arguments.size()));
  return answer(f, f ? nullptr : &d.arguments[static_cast<std::size_t>(argument)], why, to(facts, as_facts));
}

int32_t tw_describe_field_count(void) { return static_cast<std::int32_t>(field_table_size); }

tw_status tw_describe_field(int32_t field, tw_field_facts* facts, tw_fault* why) {
  const field_facts found = tapewright::facts_of(static_cast<tapewright::field>(field));
  const fault f = refuse_field_number(field);
  return answer(f, &found, why, to(facts, as_facts));
}

int32_t tw_describe_structure_count(void) { return structure_count; }

tw_status tw_describe_structure(int32_t structure, tw_structure_facts* facts, tw_fault* why) {
  const fault f = refuse_structure(structure);
  return answer(f, f ? nullptr : &structure_table[structure], why, to(facts, as_facts));
}

tw_status tw_describe_member(int32_t structure, int32_t member, tw_member_facts* facts, tw_fault* why) {
  fault f = refuse_structure(structure);
  const structure_facts found = f ? structure_facts{} : structure_table[structure];
  f = first_fault(f, refuse_place(field::place, member, found.count));
  return answer(f, f ? nullptr : &found.members[member], why, to(facts, as_facts));
}
