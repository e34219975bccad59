// SPDX-License-Identifier: BSL-1.0
// Writes a folder of the order sheet as C++ constants, so that processors without files can plan it too. After the
// constants stands the word that the plan of the folder itself folds into.
#include <cinttypes>
#include <cstdio>
#include <string>
#include <string_view>

#include "examples/order_sheet/input_folder.hpp"
#include "examples/order_sheet/planned.hpp"
#include "tests/unit/firmware/plan_fold.hpp"

using namespace tapewright;

namespace {

void text(const char* member, std::string_view t) {
  std::printf(".%s = \"", member);
  for (const char c : t) {
    if (c == '"' || c == '\\') std::putchar('\\');
    std::putchar(c);
  }
  std::printf("\", ");
}
template <class Unit>
void put(const char* member, const char* unit, quantity<Unit> q) {
  std::printf(".%s = %s{%a}, ", member, unit, q.v);
}
void put(const char* member, celsius c) { std::printf(".%s = celsius{%a}, ", member, c.v); }
void put(const char* member, money m) { std::printf(".%s = {%lld}, ", member, m.minor); }
void put(const char* member, double d) { std::printf(".%s = %a, ", member, d); }
void put(const char* member, bool b) { std::printf(".%s = %s, ", member, b ? "true" : "false"); }
void put(const char* member, std::int32_t i) { std::printf(".%s = %" PRId32 ", ", member, i); }
template <class E>
void put(const char* member, const char* name, E e) {
  std::printf(".%s = %s{%d}, ", member, name, static_cast<int>(e));
}
template <std::size_t N>
void put(const char* member, const bounded<std::string_view, N>& words) {
  std::printf(".%s = {{", member);
  for (const std::string_view w : words) std::printf("\"%.*s\", ", static_cast<int>(w.size()), w.data());
  std::printf("}, %zu}, ", words.size());
}

#define NUMBER(x)         put(#x, row.x)
#define QUANTITY(unit, x) put(#x, #unit, row.x)
#define ENUM(name, x)     put(#x, #name, row.x)

void row_of(const zone& row) {
  text("code", row.code);
  text("name", row.name);
  NUMBER(features);
  NUMBER(wants_controller);
  text("driver_place", row.driver_place);
  QUANTITY(metres, from_driver);
  NUMBER(driver_ambient);
  ENUM(fitting_wish, mount);
  NUMBER(limited_energy);
  NUMBER(ingress);
}
void row_of(const run& row) {
  text("code", row.code);
  text("name", row.name);
  NUMBER(zone);
  NUMBER(tape);
  QUANTITY(metres, measured);
  QUANTITY(metres, from_controller);
  NUMBER(ambient);
  NUMBER(cable_ambient);
}
void row_of(const tape& row) {
  text("code", row.code);
  text("name", row.name);
  QUANTITY(volts, nominal);
  QUANTITY(volts, highest);
  std::printf(".channels = {{");
  for (const tape_channel& c : row.channels)
    std::printf("{\"%.*s\", watts_per_metre{%a}, load_kind{%d}, volts{%a}, ohms_per_metre{%a}}, ",
                static_cast<int>(c.code.size()), c.code.data(), c.load.v, static_cast<int>(c.law), c.knee.v,
                c.return_trace.v);
  std::printf("}, %zu}, ", row.channels.size());
  QUANTITY(ohms_per_metre, common_trace);
  ENUM(polarity, common);
  QUANTITY(metres, cut_pitch);
  QUANTITY(metres, longest_piece);
  QUANTITY(amps, feed_point_limit);
  QUANTITY(metres, single_feed_limit);
  QUANTITY(watts_per_metre, all_on_limit);
  QUANTITY(metres, free_tail);
  QUANTITY(metres, sale_quantum);
  QUANTITY(metres, reel);
  NUMBER(price);
  NUMBER(lowest_ambient);
  NUMBER(highest_ambient);
  NUMBER(ingress);
}
void row_of(const cable& row) {
  text("code", row.code);
  text("name", row.name);
  NUMBER(cores);
  std::printf(".conductor = {conductor_system{%d}, square_millimetres{%a}, %" PRId32 "}, ",
              static_cast<int>(row.conductor.system), row.conductor.area.v, row.conductor.gauge);
  NUMBER(conductor_limit);
  QUANTITY(amps, rating);
  NUMBER(core_colours);
  QUANTITY(metres, sale_quantum);
  QUANTITY(metres, stock);
  NUMBER(price);
}
void row_of(const connector& row) {
  text("code", row.code);
  text("name", row.name);
  ENUM(connector_use, use);
  NUMBER(poles);
  NUMBER(ways);
  QUANTITY(amps, rated);
  QUANTITY(volts, rated_voltage);
  NUMBER(rating_ambient);
  NUMBER(upper_limit);
  QUANTITY(square_millimetres, least);
  QUANTITY(square_millimetres, greatest);
  QUANTITY(ohms, contact);
  NUMBER(price);
}
void row_of(const controller& row) {
  text("code", row.code);
  text("name", row.name);
  NUMBER(channels);
  QUANTITY(amps, channel_limit);
  QUANTITY(amps, total_limit);
  QUANTITY(volts, lowest_input);
  QUANTITY(volts, highest_input);
  ENUM(polarity, common);
  QUANTITY(square_millimetres, least_terminal);
  QUANTITY(square_millimetres, greatest_terminal);
  QUANTITY(amps, terminal);
  QUANTITY(ohms, switch_resistance);
  QUANTITY(hertz, pwm);
  NUMBER(is_repeater);
  NUMBER(enforces_all_on_limit);
  NUMBER(highest_ambient);
  NUMBER(features);
  NUMBER(price);
}
void row_of(const driver& row) {
  text("code", row.code);
  text("name", row.name);
  QUANTITY(volts, output);
  QUANTITY(volts, trim_low);
  QUANTITY(volts, trim_high);
  QUANTITY(watts, rated);
  QUANTITY(amps, output_limit);
  QUANTITY(amps, overload_limit);
  NUMBER(outputs);
  QUANTITY(watts, least_load);
  NUMBER(efficiency);
  NUMBER(power_factor);
  QUANTITY(volts, mains_low);
  QUANTITY(volts, mains_high);
  QUANTITY(amps, inrush_peak);
  QUANTITY(seconds, inrush_duration);
  QUANTITY(amps, leakage);
  ENUM(fitting, mount);
  NUMBER(limited_energy);
  std::printf(".derating = {{");
  for (const derating_point& p : row.derating) std::printf("{celsius{%a}, %a}, ", p.ambient.v, p.share);
  std::printf("}, %zu}, ", row.derating.size());
  QUANTITY(square_millimetres, least_terminal);
  QUANTITY(square_millimetres, greatest_terminal);
  QUANTITY(amps, output_connector);
  QUANTITY(amps, plug_fuse);
  NUMBER(ingress);
  NUMBER(price);
}
void row_of(const overcurrent_device& row) {
  text("code", row.code);
  text("name", row.name);
  ENUM(overcurrent_family, family);
  QUANTITY(amps, rated);
  QUANTITY(volts, rated_voltage);
  NUMBER(price);
}

template <class Rows>
void list(const char* type, const char* name, const Rows& rows) {
  std::printf("constexpr std::size_t %s_count = %zu;\nconstinit const tapewright::%s %s[%s_count + 1] = {\n",
              name, rows.size(), type, name, name);
  for (const auto& row : rows) {
    std::printf("    {");
    row_of(row);
    std::printf("},\n");
  }
  std::printf("    {},\n};\n");  // one row more than there are, so that an empty list is an array as well
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) return 2;
  order_sheet::input_folder input;
  order_sheet::problem_list problems;
  order_sheet::read_folder(arguments[1], input, problems);
  const job question = input.job();
  const catalogue parts = input.parts();
  const order_sheet::planned made{question, parts};
  if (made.why()) return 3;

  std::printf(
      "// Written by print_job.cpp from %s.\n#pragma once\n#include \"tapewright/plan/job.hpp\"\n"
      "namespace printed {\nusing namespace tapewright;\n",
      arguments[1]);
  list("zone", "zones", question.zones);
  list("run", "runs", question.runs);
  list("tape", "tapes", parts.tapes);
  list("cable", "cables", parts.cables);
  list("connector", "connectors", parts.connectors);
  list("controller", "controllers", parts.controllers);
  list("driver", "drivers", parts.drivers);
  list("overcurrent_device", "overcurrent_devices", parts.overcurrent_devices);
  std::printf("constinit const double rules[] = {");
  for (const rule_facts& r : rule_table) std::printf("%a, ", r.get(question.rules));
  std::printf("};\n");

  test::wide_fold fold;
  test::fold_plan(fold, made.plan());
  std::printf("constexpr std::uint64_t plan_word = 0x%016" PRIx64 "u;\n}  // namespace printed\n", fold.hash);
  return 0;
}
