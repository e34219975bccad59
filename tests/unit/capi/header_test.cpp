// SPDX-License-Identifier: BSL-1.0
// The C header, the function table, the constants and the texts say the same; and what hosts can list.
#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <fstream>
#include <iterator>
#include <limits>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "capi/struct_table.hpp"
#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tolerance.hpp"
#include "tapewright/plan/notes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/what_if/alternatives.hpp"
#include "tapewright/plan/what_if/conflict.hpp"
#include "tapewright/plan/what_if/plan_changes.hpp"
#include "tapewright/tapewright.hpp"
#include "tests/unit/capi/calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

std::string read_file(const std::string& path) {
  std::ifstream file{std::string{TAPEWRIGHT_SOURCE_DIR} + "/" + path, std::ios::binary};
  REQUIRE(file.good());
  return {std::istreambuf_iterator<char>{file}, {}};
}

std::string without_comments(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text.compare(i, 2, "/*") == 0) {
      i = text.find("*/", i) + 1;
      out += ' ';
    } else {
      out += text[i];
    }
  }
  return out;
}

std::string header() { return without_comments(read_file("capi/tapewright.h")); }

/// One space between words, none around `*` but one before it.
std::string tidied(const std::string& text) {
  std::istringstream words{text};
  std::string out, word;
  while (words >> word) out += (out.empty() ? "" : " ") + word;
  std::string spaced;
  for (const char c : out) {
    if (c == '*' && !spaced.empty() && spaced.back() != ' ' && spaced.back() != '*') spaced += ' ';
    if (!spaced.empty() && spaced.back() == '*' && c == ' ') continue;
    spaced += c;
  }
  return spaced;
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> parts(1);
  for (const char c : text) {
    if (c == at) parts.emplace_back();
    else parts.back() += c;
  }
  return parts;
}

struct argument {
  std::string type, name;
};
struct prototype {
  std::string returns, name;
  std::vector<argument> arguments;
};

argument argument_of(const std::string& declared) {
  const std::string text = tidied(declared);
  std::size_t at = text.size();
  while (at > 0 && (std::isalnum(static_cast<unsigned char>(text[at - 1])) || text[at - 1] == '_')) --at;
  std::string type = text.substr(0, at);
  while (!type.empty() && type.back() == ' ') type.pop_back();
  return {type, text.substr(at)};
}

/// Every `TW_API ... tw_name(...);` of the header.
std::vector<prototype> prototypes() {
  std::vector<prototype> all;
  const std::string text = header();
  for (std::size_t at = text.find("TW_API "); at != std::string::npos; at = text.find("TW_API ", at + 1)) {
    const std::size_t end = text.find(';', at), open = text.find('(', at);
    if (at >= 8 && text.compare(at - 8, 8, "#define ") == 0) continue;
    const argument head = argument_of(text.substr(at + 7, open - at - 7));
    prototype p{head.type, head.name, {}};
    const std::string inside = text.substr(open + 1, text.rfind(')', end) - open - 1);
    if (tidied(inside) != "void")
      for (const std::string& a : split(inside, ',')) p.arguments.push_back(argument_of(a));
    all.push_back(p);
  }
  return all;
}

/// `#define NAME number` of every constant that begins so.
std::map<std::string, int> constants(const std::string& prefix) {
  std::map<std::string, int> found;
  std::istringstream lines{header()};
  std::string line;
  while (std::getline(lines, line)) {
    std::istringstream words{line};
    std::string define, name, value;
    words >> define >> name >> value;
    if (define == "#define" && name.rfind(prefix, 0) == 0) found[name] = std::stoi(value);
  }
  return found;
}

std::string upper(std::string_view name) {
  std::string out{name};
  std::transform(out.begin(), out.end(), out.begin(),
                 [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
  return out;
}

TEST_CASE("the header declares what the function table lists, in the same order") {
  const std::vector<prototype> declared = prototypes();
  const std::vector<table_function> listed = functions_of_table();
  REQUIRE(declared.size() == listed.size());
  for (std::size_t i = 0; i < declared.size(); ++i) {
    CAPTURE(declared[i].name);
    CHECK(declared[i].name == listed[i].name);
    CHECK(declared[i].returns == listed[i].returns);
    REQUIRE(declared[i].arguments.size() == listed[i].arguments.size());
    for (std::size_t a = 0; a < declared[i].arguments.size(); ++a) {
      CHECK(declared[i].arguments[a].type == listed[i].arguments[a].type);
      CHECK(declared[i].arguments[a].name == listed[i].arguments[a].name);
    }
  }
}

TEST_CASE("capi/symbols.txt lists the functions of the header and no others") {
  std::vector<std::string> names;
  for (const prototype& p : prototypes()) names.push_back(p.name);
  std::sort(names.begin(), names.end());
  std::string wanted;
  for (const std::string& n : names) wanted += n + "\n";
  // the guard's functions have a header of their own
  std::string listed;
  for (const std::string& n : split(read_file("capi/symbols.txt"), '\n'))
    if (!n.empty() && n.rfind("tw_guard", 0) != 0) listed += n + "\n";
  CHECK(listed == wanted);
}

TEST_CASE("every number that comes in has a field, a range within reason, and a unit last in its name") {
  for (const table_function& f : functions_of_table())
    for (const capi::entry& e : f.arguments) {
      if (std::string{e.type} != "double") continue;
      CAPTURE(f.name);
      CAPTURE(std::string{e.name});
      CHECK(e.answers_to != field::none);
      CHECK(e.least <= e.most);
      CHECK(e.most <= facts_of(e.answers_to).most);
    }
}

TEST_CASE("constants have the numbers of the library's tables") {
#define TAPEWRIGHT_TEST_ROW(NUMBER, NAME, ...) CHECK(found[prefix + upper(#NAME)] == NUMBER);
  {
    const std::string prefix = "TW_FIELD_";
    auto found = constants(prefix);
    TAPEWRIGHT_FIELDS(TAPEWRIGHT_TEST_ROW)
    CHECK(found.size() == field_table_size);
  }
  {
    const std::string prefix = "TW_LIMIT_";
    auto found = constants(prefix);
    const std::size_t before = found.size();
    TAPEWRIGHT_LIMITS(TAPEWRIGHT_TEST_ROW)
    CHECK(found.size() == before);  // looking a missing one up would have added it
  }
  {
    const std::string prefix = "TW_FINDING_";
    auto found = constants(prefix);
    TAPEWRIGHT_FINDINGS(TAPEWRIGHT_TEST_ROW)
    CHECK(found.size() == sizeof finding_table / sizeof finding_table[0]);
  }
#undef TAPEWRIGHT_TEST_ROW
  CHECK(constants("TW_ADVICE_")["TW_ADVICE_LOWER_OUTPUT_VOLTAGE"] ==
        static_cast<int>(advice::lower_output_voltage));
  for (const auto& each : constants("TW_ADVICE_")) {
    const auto& name = each.first;  // Clang 14 captures no structured binding
    const auto number = each.second;
    CAPTURE(name);
    CHECK(text_of(static_cast<advice>(number)) != "");
  }
  for (const auto& each : constants("TW_NOTE_")) {
    const auto& name = each.first;  // Clang 14 captures no structured binding
    const auto number = each.second;
    CAPTURE(name);
    CHECK(text_of(static_cast<note_code>(number)) != "");
  }
}

// Numbers that C++ and C share without a table.
static_assert(TW_OK == 0 && TW_OUT_OF_RANGE == static_cast<int>(fault_code::out_of_range) &&
              TW_NOT_LISTED == static_cast<int>(fault_code::not_listed) &&
              TW_CONTRADICTION == static_cast<int>(fault_code::contradiction) &&
              TW_NO_ROOM == static_cast<int>(fault_code::no_room) &&
              TW_NOT_CONVERGED == static_cast<int>(fault_code::not_converged) &&
              TW_UNKNOWN_REFERENCE == static_cast<int>(fault_code::unknown_reference) &&
              TW_NULL_POINTER == static_cast<int>(fault_code::null_pointer) &&
              TW_VERSION_MISMATCH == static_cast<int>(fault_code::version_mismatch) &&
              TW_NO_OPERATING_POINT == static_cast<int>(fault_code::no_operating_point) &&
              TW_UNREACHABLE == static_cast<int>(fault_code::unreachable));
static_assert(TW_LAW_RESISTOR_LIMITED == static_cast<int>(load_kind::resistor_limited) &&
              TW_LAW_REGULATED == static_cast<int>(load_kind::regulated) &&
              TW_LAW_CONSTANT_POWER == static_cast<int>(load_kind::constant_power));
static_assert(TW_SYSTEM_CLASS_1 == static_cast<int>(conductor_system::metric_class_1) &&
              TW_SYSTEM_CLASS_2 == static_cast<int>(conductor_system::metric_class_2) &&
              TW_SYSTEM_CLASS_5 == static_cast<int>(conductor_system::metric_class_5) &&
              TW_SYSTEM_AWG == static_cast<int>(conductor_system::awg));
static_assert(TW_CODE_IEC == static_cast<int>(code_family::iec) &&
              TW_CODE_NEC == static_cast<int>(code_family::nec));
static_assert(TW_METHOD_A1 == static_cast<int>(laying::a1) && TW_METHOD_A2 == static_cast<int>(laying::a2) &&
              TW_METHOD_B1 == static_cast<int>(laying::b1) && TW_METHOD_B2 == static_cast<int>(laying::b2) &&
              TW_METHOD_C == static_cast<int>(laying::c) && TW_METHOD_D1 == static_cast<int>(laying::d1) &&
              TW_METHOD_E == static_cast<int>(laying::e) &&
              TW_METHOD_FLEXIBLE_CORD == static_cast<int>(laying::flexible_cord));
static_assert(TW_GROUPING_BUNCHED == static_cast<int>(arrangement::bunched) &&
              TW_GROUPING_SINGLE_LAYER_WALL == static_cast<int>(arrangement::single_layer_wall) &&
              TW_GROUPING_UNDER_CEILING == static_cast<int>(arrangement::under_ceiling) &&
              TW_GROUPING_PERFORATED_TRAY == static_cast<int>(arrangement::perforated_tray) &&
              TW_GROUPING_LADDER == static_cast<int>(arrangement::ladder));
static_assert(TW_USE_TAPE_TO_CABLE == static_cast<int>(connector_use::tape_to_cable) &&
              TW_USE_CABLE_TO_CABLE == static_cast<int>(connector_use::cable_to_cable) &&
              TW_USE_TAPE_TO_TAPE == static_cast<int>(connector_use::tape_to_tape) &&
              TW_USE_DRIVER_PLUG == static_cast<int>(connector_use::driver_plug));
static_assert(TW_COMMON_POSITIVE == static_cast<int>(polarity::common_positive) &&
              TW_COMMON_NEGATIVE == static_cast<int>(polarity::common_negative));
static_assert(TW_MOUNT_ANY == static_cast<int>(fitting_wish::any) &&
              TW_MOUNT_PLUG_IN == static_cast<int>(fitting::plug_in) &&
              TW_MOUNT_HARDWIRED == static_cast<int>(fitting::hardwired) &&
              TW_MOUNT_HARDWIRED == static_cast<int>(fitting_wish::hardwired));
static_assert(TW_FAMILY_FUSE_GG == static_cast<int>(overcurrent_family::fuse_gg) &&
              TW_FAMILY_BREAKER_B == static_cast<int>(overcurrent_family::breaker_b) &&
              TW_FAMILY_BREAKER_C == static_cast<int>(overcurrent_family::breaker_c) &&
              TW_FAMILY_BREAKER_D == static_cast<int>(overcurrent_family::breaker_d) &&
              TW_FAMILY_BLADE_FUSE == static_cast<int>(overcurrent_family::blade_fuse) &&
              TW_FAMILY_CARTRIDGE_FUSE == static_cast<int>(overcurrent_family::cartridge_fuse));
static_assert(TW_RUN_LIMIT_EVENNESS == static_cast<int>(run_limit::evenness) &&
              TW_RUN_LIMIT_DROP == static_cast<int>(run_limit::drop) &&
              TW_RUN_LIMIT_FEED_CURRENT == static_cast<int>(run_limit::feed_current) &&
              TW_RUN_LIMIT_MAKER_LENGTH == static_cast<int>(run_limit::maker_length) &&
              TW_RUN_LIMIT_WIRING == static_cast<int>(run_limit::wiring));
static_assert(TW_BOUND_BY_NONE == static_cast<int>(bound_method::none) &&
              TW_BOUND_BY_MONOTONE == static_cast<int>(bound_method::monotone) &&
              TW_BOUND_BY_MEAN_VALUE == static_cast<int>(bound_method::mean_value) &&
              TW_BOUND_BY_ENCLOSURE == static_cast<int>(bound_method::enclosure) &&
              32 * TW_CORNER_WORDS == most_factors);
static_assert(TW_LIGHT_OF_DIMMEST == static_cast<int>(light_share::dimmest) &&
              TW_LIGHT_OF_MEAN == static_cast<int>(light_share::mean));
static_assert(TW_PART_TAPE == static_cast<int>(part_kind::tape) &&
              TW_PART_CABLE == static_cast<int>(part_kind::cable) &&
              TW_PART_CONNECTOR == static_cast<int>(part_kind::connector) &&
              TW_PART_CONTROLLER == static_cast<int>(part_kind::controller) &&
              TW_PART_DRIVER == static_cast<int>(part_kind::driver) &&
              TW_PART_OVERCURRENT_DEVICE == static_cast<int>(part_kind::overcurrent_device) &&
              TW_PART_SERVICE == static_cast<int>(part_kind::service));
static_assert(TW_JOIN_CONNECTOR == static_cast<int>(feed_join::connector) &&
              TW_JOIN_SOLDERED_TAIL == static_cast<int>(feed_join::soldered_tail) &&
              TW_SERVICE_SOLDERED_TAIL == static_cast<int>(service_kind::soldered_tail));
static_assert(TW_ROUNDING_EACH_LINE == static_cast<int>(price_rounding::each_line) &&
              TW_ROUNDING_TOTAL == static_cast<int>(price_rounding::total));
static_assert(TW_SUBJECT_ZONE == static_cast<int>(subject_kind::zone) &&
              TW_SUBJECT_RUN == static_cast<int>(subject_kind::run) &&
              TW_SUBJECT_HUB == static_cast<int>(subject_kind::hub) &&
              TW_SUBJECT_DRIVER == static_cast<int>(subject_kind::driver));
static_assert(TW_TERMINAL_DRIVER_POSITIVE == static_cast<int>(terminal_kind::driver_positive) &&
              TW_TERMINAL_FUSE_OUT == static_cast<int>(terminal_kind::fuse_out) &&
              TW_TERMINAL_HUB_POSITIVE == static_cast<int>(terminal_kind::hub_positive) &&
              TW_TERMINAL_HUB_CHANNEL == static_cast<int>(terminal_kind::hub_channel) &&
              TW_TERMINAL_TAPE_COMMON == static_cast<int>(terminal_kind::tape_common) &&
              TW_TERMINAL_TAPE_CHANNEL == static_cast<int>(terminal_kind::tape_channel));
static_assert(TW_SEVERITY_NOTE == static_cast<int>(severity::note) &&
              TW_SEVERITY_STRAINED == static_cast<int>(severity::strained) &&
              TW_SEVERITY_FAILED == static_cast<int>(severity::failed));
static_assert(TW_READING_HUB_INPUT == static_cast<int>(reading_kind::hub_input) &&
              TW_READING_FEED_POINT == static_cast<int>(reading_kind::feed_point) &&
              TW_READING_FAR_END == static_cast<int>(reading_kind::far_end) &&
              TW_READING_CHANNEL_CURRENT == static_cast<int>(reading_kind::channel_current));
static_assert(TW_READER_ELECTRICIAN == static_cast<int>(note_reader::electrician));
static_assert(TW_CHANGE_ORDER_LINE == static_cast<int>(change_kind::order_line) &&
              TW_CHANGE_RUN_ADDED == static_cast<int>(change_kind::run_added) &&
              TW_CHANGE_RUN_REMOVED == static_cast<int>(change_kind::run_removed) &&
              TW_CHANGE_RUN_LENGTH == static_cast<int>(change_kind::run_length) &&
              TW_CHANGE_RUN_TAPE == static_cast<int>(change_kind::run_tape) &&
              TW_CHANGE_RUN_FEEDER == static_cast<int>(change_kind::run_feeder) &&
              TW_CHANGE_RUN_JOINT == static_cast<int>(change_kind::run_joint) &&
              TW_CHANGE_RUN_CONTROLLER == static_cast<int>(change_kind::run_controller) &&
              TW_CHANGE_RUN_DRIVER == static_cast<int>(change_kind::run_driver) &&
              TW_CHANGE_RUN_VERDICT == static_cast<int>(change_kind::run_verdict));
static_assert(TW_ALTERNATIVE_FEWER_DRIVERS == static_cast<int>(alternative_kind::fewer_drivers) &&
              TW_ALTERNATIVE_THINNER_CABLE == static_cast<int>(alternative_kind::thinner_cable) &&
              TW_ALTERNATIVE_PLUG_IN == static_cast<int>(alternative_kind::plug_in) &&
              TW_ALTERNATIVE_HARDWIRED == static_cast<int>(alternative_kind::hardwired) &&
              TW_ALTERNATIVE_SOLDERED_TAILS == static_cast<int>(alternative_kind::soldered_tails) &&
              TW_ALTERNATIVE_CONNECTORS == static_cast<int>(alternative_kind::connectors));
static_assert(TW_DEMAND_RUN == static_cast<int>(demand_kind::run) &&
              TW_DEMAND_RULE == static_cast<int>(demand_kind::rule) &&
              TW_DEMAND_MOUNT == static_cast<int>(demand_kind::mount) &&
              TW_DEMAND_LIMITED_ENERGY == static_cast<int>(demand_kind::limited_energy) &&
              TW_DEMAND_INGRESS == static_cast<int>(demand_kind::ingress) &&
              TW_DEMAND_FEATURES == static_cast<int>(demand_kind::features) &&
              TW_DEMAND_DRIVER == static_cast<int>(demand_kind::driver) &&
              TW_DEMAND_CONTROLLER == static_cast<int>(demand_kind::controller) &&
              TW_DEMAND_FEEDER == static_cast<int>(demand_kind::feeder));
static_assert(TW_ALL_LIT == all_lit && TW_MOST_CHANNELS == max_channels && TW_MOST_CORES == max_cores &&
              TW_MOST_POINTS == derating_curve::capacity() && TW_MOST_WORDS == tag_set::capacity());

TEST_CASE("versions") {
  CHECK(tw_abi_version() == TW_ABI_VERSION);
  CHECK(std::string{tw_version_text()} == TW_VERSION_TEXT);
}

TEST_CASE("texts are those of the library's tables; numbers that are none have an empty one") {
  for (const field_facts& f : field_table) {
    const auto n = static_cast<std::int32_t>(f.id);
    CHECK(tw_field_name(n) == f.name);
    CHECK(tw_field_unit(n) == f.unit);
    CHECK(tw_field_text(n) == f.meaning);
    double least = 0, most = 0;
    CHECK(tw_field_range(n, &least, &most, nullptr) == TW_OK);
    CHECK(least == f.least);
    CHECK(most == f.most);
  }
  for (const finding_facts& f : finding_table) {
    CHECK(tw_finding_text(static_cast<std::int32_t>(f.code)) == f.text);
    CHECK(tw_finding_unit(static_cast<std::int32_t>(f.code)) == f.unit);
  }
  for (const source_facts& s : source_table) {
    CHECK(tw_source_text(static_cast<std::int32_t>(s.id)) == s.title);
    CHECK(tw_source_place(static_cast<std::int32_t>(s.id)) == s.place);
  }
  for (std::int32_t n = 0; n <= TW_UNREACHABLE; ++n)
    CHECK(tw_status_text(n) == text_of(static_cast<fault_code>(n)));
  for (std::int32_t n = 0; n <= 3; ++n) CHECK(tw_severity_text(n) == text_of(static_cast<severity>(n)));
  for (const auto& [name, n] : constants("TW_ADVICE_"))
    CHECK(tw_advice_text(n) == text_of(static_cast<advice>(n)));
  for (const auto& [name, n] : constants("TW_LIMIT_"))
    CHECK(tw_limit_text(n) == text_of(static_cast<governed>(n)));
  for (const auto& [name, n] : constants("TW_NOTE_"))
    CHECK(tw_note_text(n) == text_of(static_cast<note_code>(n)));

  // 65536 + 1: its lower 16 bits are a number of each list
  constexpr std::int32_t none[] = {-1, 1000, 65537, std::numeric_limits<std::int32_t>::min(),
                                   std::numeric_limits<std::int32_t>::max()};
  for (const std::int32_t n : none) {
    CAPTURE(n);
    for (const char* text : {tw_status_text(n), tw_field_name(n), tw_field_unit(n), tw_field_text(n),
                             tw_finding_text(n), tw_finding_unit(n), tw_severity_text(n), tw_advice_text(n),
                             tw_limit_text(n), tw_note_text(n), tw_source_text(n), tw_source_place(n)}) {
      REQUIRE(text != nullptr);
      CHECK(std::string{text}.empty());
    }
    double least = 1, most = 1;
    tw_fault why = empty_fault();
    CHECK(tw_field_range(n, &least, &most, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(why.given == n);
    CHECK(least != least);
    CHECK(most != most);
  }
  double least = 1, most = 1;
  CHECK(tw_field_range(1, nullptr, &most, nullptr) == TW_NULL_POINTER);
  CHECK(most != most);
  CHECK(tw_field_range(1, &least, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(least != least);
}

TEST_CASE("hosts can list functions, arguments and fields") {
  const std::vector<table_function> listed = functions_of_table();
  REQUIRE(tw_describe_count() == static_cast<std::int32_t>(listed.size()));
  for (std::size_t i = 0; i < listed.size(); ++i) {
    CAPTURE(listed[i].name);
    tw_function_facts f = {sizeof(tw_function_facts), 0, {nullptr}, {nullptr}, {nullptr}};
    REQUIRE(tw_describe_function(static_cast<std::int32_t>(i), &f, nullptr) == TW_OK);
    CHECK(f.name.at == listed[i].name);
    CHECK(f.returns.at == listed[i].returns);
    CHECK(f.text.at == listed[i].text);
    CHECK_FALSE(listed[i].text.empty());
    REQUIRE(f.arguments == static_cast<std::int32_t>(listed[i].arguments.size()));
    for (std::int32_t a = 0; a < f.arguments; ++a) {
      const capi::entry& e = listed[i].arguments[static_cast<std::size_t>(a)];
      tw_argument_facts g = {sizeof(tw_argument_facts), 0, {nullptr}, {nullptr}, {nullptr}, 0, 0};
      REQUIRE(tw_describe_argument(static_cast<std::int32_t>(i), a, &g, nullptr) == TW_OK);
      CHECK(std::string{g.name.at} == e.name);
      CHECK(std::string{g.type.at} == e.type);
      CHECK_FALSE(std::string{g.text.at}.empty());
      CHECK(g.field == static_cast<std::int32_t>(e.answers_to));
      CHECK((g.least == e.least || (g.least != g.least && e.least != e.least)));
      CHECK((g.most == e.most || (g.most != g.most && e.most != e.most)));
    }
    tw_argument_facts none = {sizeof(tw_argument_facts), 5, {"x"}, {"x"}, {"x"}, 1, 1};
    tw_fault why = empty_fault();
    CHECK(tw_describe_argument(static_cast<std::int32_t>(i), f.arguments, &none, &why) ==
          TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
    CHECK(none.name.at == nullptr);
    CHECK(none.least != none.least);
  }
  for (const std::int32_t outside : {-1, tw_describe_count()}) {
    tw_function_facts f = {sizeof(tw_function_facts), 5, {"x"}, {"x"}, {"x"}};
    tw_argument_facts g = {sizeof(tw_argument_facts), 0, {nullptr}, {nullptr}, {nullptr}, 0, 0};
    CHECK(tw_describe_function(outside, &f, nullptr) == TW_UNKNOWN_REFERENCE);
    CHECK(f.name.at == nullptr);
    CHECK(f.arguments == 0);
    CHECK(tw_describe_argument(outside, 0, &g, nullptr) == TW_UNKNOWN_REFERENCE);
  }
  REQUIRE(tw_describe_field_count() == static_cast<std::int32_t>(field_table_size));
  for (const field_facts& f : field_table) {
    tw_field_facts g = {sizeof(tw_field_facts), 0, {nullptr}, {nullptr}, {nullptr}, 0, 0};
    REQUIRE(tw_describe_field(static_cast<std::int32_t>(f.id), &g, nullptr) == TW_OK);
    CHECK(g.name.at == f.name);
    CHECK(g.unit.at == f.unit);
    CHECK(g.text.at == f.meaning);
    CHECK(g.least == f.least);
    CHECK(g.most == f.most);
  }
  tw_field_facts g = {sizeof(tw_field_facts), 3, {"x"}, {"x"}, {"x"}, 1, 1};
  CHECK(tw_describe_field(0, &g, nullptr) == TW_UNKNOWN_REFERENCE);
  CHECK(g.field == 0);
  CHECK(g.name.at == nullptr);
  CHECK(tw_describe_field(1, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_describe_function(0, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_describe_argument(1, 0, nullptr, nullptr) == TW_NULL_POINTER);
}

/// The structures that the header defines, in its order.
std::vector<std::string> structures_of_header() {
  std::vector<std::string> names;
  const std::string text = header(), begin = "typedef struct ";
  for (std::size_t at = text.find(begin); at != std::string::npos; at = text.find(begin, at + 1)) {
    const std::size_t end = text.find_first_of(" {", at + begin.size());
    if (text.compare(end, 2, " {") == 0)
      names.push_back(text.substr(at + begin.size(), end - at - begin.size()));
  }
  return names;
}

TEST_CASE("every structure of the header is listed with its members, and as they lie in it") {
  const std::vector<std::string> declared = structures_of_header();
  REQUIRE(tw_describe_structure_count() == static_cast<std::int32_t>(declared.size()));
  for (std::int32_t i = 0; i < tw_describe_structure_count(); ++i) {
    tw_structure_facts s = {sizeof(tw_structure_facts), 0, 0, 0, {nullptr}};
    REQUIRE(tw_describe_structure(i, &s, nullptr) == TW_OK);
    CAPTURE(std::string{s.name.at});
    CHECK(std::count(declared.begin(), declared.end(), s.name.at) == 1);
    CHECK(s.first_release <= s.bytes);
    std::int32_t end = 0;
    for (std::int32_t m = 0; m < s.members; ++m) {
      tw_member_facts g = {sizeof(tw_member_facts), 0, 0, 0, 0, 0, {nullptr}, {nullptr}, 0, 0};
      REQUIRE(tw_describe_member(i, m, &g, nullptr) == TW_OK);
      CAPTURE(std::string{g.name.at});
      CHECK(g.offset == end);
      end += g.bytes;
      CHECK(g.count >= 1);
      CHECK(g.bytes % g.count == 0);
      CHECK(std::string{g.type.at} != "");
      CHECK((g.text_bytes > 0) == (std::string{g.type.at} == "char"));
      const bool ranged = g.least == g.least;
      if (ranged) {
        const field_facts f = facts_of(static_cast<field>(g.field));
        CHECK(g.least == f.least);
        CHECK(g.most == f.most);
      }
    }
    CHECK(end == s.bytes);
    tw_member_facts past = {sizeof(tw_member_facts), 5, 5, 5, 5, 5, {"x"}, {"x"}, 1, 1};
    CHECK(tw_describe_member(i, s.members, &past, nullptr) == TW_UNKNOWN_REFERENCE);
    CHECK(past.name.at == nullptr);
    CHECK(past.bytes == 0);
    CHECK(past.least != past.least);
  }
  tw_member_facts colours = {sizeof(tw_member_facts), 0, 0, 0, 0, 0, {nullptr}, {nullptr}, 0, 0};
  for (std::int32_t i = 0; i < tw_describe_structure_count(); ++i) {
    tw_structure_facts s = {sizeof(tw_structure_facts), 0, 0, 0, {nullptr}};
    REQUIRE(tw_describe_structure(i, &s, nullptr) == TW_OK);
    for (std::int32_t m = 0; m < s.members && std::string{s.name.at} == "tw_cable"; ++m) {
      tw_member_facts g = colours;
      REQUIRE(tw_describe_member(i, m, &g, nullptr) == TW_OK);
      if (std::string{g.name.at} == "core_colour") colours = g;
    }
  }
  CHECK(colours.offset == offsetof(tw_cable, core_colour));
  CHECK(colours.bytes == TW_MOST_CORES * TW_COLOUR_BYTES);
  CHECK(colours.text_bytes == TW_COLOUR_BYTES);
  for (const std::int32_t outside : {-1, tw_describe_structure_count()}) {
    tw_structure_facts s = {sizeof(tw_structure_facts), 5, 5, 5, {"x"}};
    tw_fault why = empty_fault();
    CHECK(tw_describe_structure(outside, &s, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
    CHECK(s.name.at == nullptr);
    tw_member_facts g = {sizeof(tw_member_facts), 5, 5, 5, 5, 5, {"x"}, {"x"}, 1, 1};
    CHECK(tw_describe_member(outside, 0, &g, nullptr) == TW_UNKNOWN_REFERENCE);
    CHECK(g.name.at == nullptr);
  }
  CHECK(tw_describe_structure(0, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_describe_member(0, 0, nullptr, nullptr) == TW_NULL_POINTER);
}

}  // namespace
