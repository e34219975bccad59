// SPDX-License-Identifier: BSL-1.0
// C interface: versions, and the texts of all numbers.
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <string_view>

#include "answer.hpp"
#include "tapewright.h"
#include "tapewright/core/field.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/text.hpp"
#include "tapewright/plan/design_rules.hpp"
#include "tapewright/plan/finding.hpp"
#include "tapewright/plan/notes.hpp"
#include "tapewright/plan/what_if/alternatives.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// Every text of the library's tables is a literal, which a zero byte follows; an empty view may be of
/// nothing at all.
constexpr const char* literal(std::string_view text) noexcept { return text.empty() ? "" : text.data(); }

/// A number as one of an enumeration; what its bits do not hold as -1, which none has a text for.
template <class Enum>
constexpr Enum listed(std::int32_t number) noexcept {
  const auto held = static_cast<Enum>(number);
  return static_cast<std::int32_t>(held) == number ? held : static_cast<Enum>(-1);
}
template <class Enum>
constexpr const char* text_of_number(std::int32_t number) noexcept {
  return literal(text_of(listed<Enum>(number)));
}

bool is_known(fault_code code) noexcept {
  return code >= fault_code::none && code <= fault_code::unreachable;
}
bool is_known(governed limit) noexcept {
  return !same_text(text_of(limit), text_of(static_cast<governed>(-1)));
}

bool is_rule(std::int32_t rule) noexcept {
  return rule >= 0 && static_cast<std::size_t>(rule) < std::size(rule_table);
}

}  // namespace

int32_t tw_abi_version(void) { return TW_ABI_VERSION; }
const char* tw_version_text(void) { return TW_VERSION_TEXT; }

const char* tw_status_text(int32_t status) {
  return is_known(static_cast<fault_code>(status)) ? text_of_number<fault_code>(status) : "";
}
const char* tw_field_name(int32_t field) {
  return literal(facts_of(static_cast<tapewright::field>(field)).name);
}
const char* tw_field_unit(int32_t field) {
  return literal(facts_of(static_cast<tapewright::field>(field)).unit);
}
const char* tw_field_text(int32_t field) {
  return literal(facts_of(static_cast<tapewright::field>(field)).meaning);
}
const char* tw_finding_text(int32_t finding) {
  return literal(facts_of(static_cast<finding_code>(finding)).text);
}
const char* tw_finding_unit(int32_t finding) {
  return literal(facts_of(static_cast<finding_code>(finding)).unit);
}
const char* tw_severity_text(int32_t severity) { return text_of_number<tapewright::severity>(severity); }
const char* tw_advice_text(int32_t advice) { return text_of_number<tapewright::advice>(advice); }
const char* tw_limit_text(int32_t limit) {
  return is_known(listed<governed>(limit)) ? text_of_number<governed>(limit) : "";
}
const char* tw_rule_name(int32_t rule) {
  return literal(is_rule(rule) ? rule_table[rule].name : std::string_view{});
}
const char* tw_rule_text(int32_t rule) {
  return literal(is_rule(rule) ? rule_table[rule].meaning : std::string_view{});
}
const char* tw_alternative_text(int32_t alternative) { return text_of_number<alternative_kind>(alternative); }
const char* tw_note_text(int32_t note) { return text_of_number<note_code>(note); }
const char* tw_source_text(int32_t source) {
  return literal(facts_of(listed<tapewright::source>(source)).title);
}
const char* tw_source_place(int32_t source) {
  return literal(facts_of(listed<tapewright::source>(source)).place);
}

tw_status tw_field_range(int32_t field, double* least, double* most, tw_fault* why) {
  const field_facts facts = facts_of(static_cast<tapewright::field>(field));
  const fault f = refuse_field_number(field);
  return answer(f, &facts, why, to(least, &field_facts::least), to(most, &field_facts::most));
}
