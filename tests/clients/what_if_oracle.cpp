// SPDX-License-Identifier: BSL-1.0
// What the C++ headers say of a job beside its order, for the clients to be held to:
//
//   what_if_oracle FOLDER [NAME=FIGURE...]      NAME: code of a run, whose wall is then so long, or name of a rule
//
// One JSON text: other ways to build the job of the folder, what the new figures change, and the conflict in the job with them.
// Kinds are numbers, parts are codes; figures have all their digits.
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "examples/order_sheet/input_folder.hpp"
#include "examples/order_sheet/planned.hpp"
#include "tapewright/plan/what_if/alternatives.hpp"
#include "tapewright/plan/what_if/conflict.hpp"
#include "tapewright/plan/what_if/plan_changes.hpp"

using namespace tapewright;
using order_sheet::planned;

namespace {

std::string figure(double v) {
  if (std::isnan(v)) return "null";
  char digits[32];
  std::snprintf(digits, sizeof digits, "%.17g", v);
  return digits;
}
std::string figure(money v) { return std::to_string(v.minor); }
std::string text(std::string_view of) { return '"' + std::string{of} + '"'; }
template <class Enum>
std::string number(Enum of) {
  return std::to_string(static_cast<int>(of));
}

/// [a, b, c]
std::string row(const std::vector<std::string>& cells) {
  std::string out;
  for (const std::string& cell : cells) out += (out.empty() ? "" : ", ") + cell;
  return "[" + out + "]";
}

/// kind, price, drivers, plug-in ones, soldered tails, thickest conductor
std::string alternatives_of(const planned& p) {
  std::vector<zone> zones(p.job().zones.size());
  std::vector<driver> drivers(p.parts().drivers.size());
  std::vector<cable> cables(p.parts().cables.size());
  order_sheet::plan_room room = p.another_room();
  alternative found[6];
  const auto told = alternatives(p.job(), p.parts(), {zones, drivers, cables, room.space()}, found);
  std::vector<std::string> rows;
  for (std::size_t i = 0; i < *told; ++i) {
    const alternative& a = found[i];
    rows.push_back(row({number(a.kind), figure(a.price), std::to_string(a.drivers), std::to_string(a.plug_in),
                        std::to_string(a.soldered), figure(a.thickest.v)}));
  }
  return row(rows);
}

/// kind, run, parts before and after, quantities, prices, lengths
std::string changes_of(const planned& before, const planned& after) {
  std::vector<plan_change> room(change_room(before.plan(), after.plan()));
  const auto told = plan_changes({before.job(), before.parts(), before.plan()},
                                 {after.job(), after.parts(), after.plan()}, room);
  std::vector<std::string> rows;
  for (std::size_t i = 0; i < *told; ++i) {
    const plan_change& c = room[i];
    const bool of_a_run = c.kind != change_kind::order_line;
    rows.push_back(row(
        {number(c.kind), of_a_run ? text(after.job().runs[static_cast<std::size_t>(c.index)].code) : "null",
         text(code_of(before.parts(), c.before)), text(code_of(after.parts(), c.after)),
         std::to_string(c.quantity_before), std::to_string(c.quantity_after), figure(c.price_before),
         figure(c.price_after), figure(c.length_before.v), figure(c.length_after.v)}));
  }
  return row(rows);
}

/// conflicting, smallest, plans; what fails with value and limit; demands: kind, place, value; relaxations: kind, place, from, to,
/// price, whether all fits then
std::string conflict_of(const planned& p) {
  std::vector<run> runs(p.job().runs.size());
  std::vector<zone> zones(p.job().zones.size());
  std::vector<demand> demands(demand_room(runs.size(), zones.size()));
  std::vector<relaxation> help(demands.size());
  order_sheet::plan_room room = p.another_room();
  const auto found = find_conflict(p.job(), p.parts(), {runs, zones, demands, help, room.space()});
  std::vector<std::string> core, ways;
  const auto asked = [](const demand& d) {
    return std::vector{number(d.kind), std::to_string(d.index), figure(d.value)};
  };
  for (const demand& d : found->core) core.push_back(row(asked(d)));
  for (const relaxation& r : found->help) {
    std::vector<std::string> cells = asked(r.what);
    for (const std::string& cell : {figure(r.to), figure(r.price), std::to_string(r.whole_job_fits)})
      cells.push_back(cell);
    ways.push_back(row(cells));
  }
  const finding& f = found->broken;
  return row({std::to_string(found->conflicting), std::to_string(found->smallest),
              std::to_string(found->plans), row({number(f.code), figure(f.value), figure(f.limit)}),
              row(core), row(ways)});
}

/// Puts one figure of the command line into the job.
bool change(order_sheet::input_folder& shop, std::string_view name, double value) {
  for (run& r : shop.runs)
    if (r.code == name) {
      r.measured = metres{value};
      return true;
    }
  const rule_facts* rule = rule_named(name);
  return rule != nullptr && !set_rule(shop.rules, *rule, value);
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 2) return 2;
  order_sheet::input_folder shop;
  order_sheet::problem_list problems;
  order_sheet::read_folder(arguments[1], shop, problems);
  if (!problems.empty()) return 2;
  const std::vector<run> runs = shop.runs;
  const planned before{{shop.zones, runs, shop.rules}, shop.parts()};
  for (int i = 2; i < count; ++i) {
    const std::string_view asked = arguments[i];
    const std::size_t mark = asked.find('=');
    if (mark == asked.npos) return 2;
    if (!change(shop, asked.substr(0, mark), std::strtod(arguments[i] + mark + 1, nullptr))) return 2;
  }
  const planned after{shop.job(), shop.parts()};
  if (before.why() || after.why()) return 2;
  std::printf("{\"alternatives\": %s,\n\"changes\": %s,\n\"conflict\": %s}\n",
              alternatives_of(before).c_str(), changes_of(before, after).c_str(), conflict_of(after).c_str());
}
