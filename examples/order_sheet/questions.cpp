// SPDX-License-Identifier: BSL-1.0
// Answers to what is asked about an order, as lists under their headings.
#include "questions.hpp"

#include <vector>

#include "list.hpp"
#include "tapewright/plan/what_if/alternatives.hpp"
#include "tapewright/plan/what_if/conflict.hpp"
#include "tapewright/plan/what_if/plan_changes.hpp"
#include "text.hpp"

namespace order_sheet {
namespace {

using namespace tapewright;

/// A list under its title, or a sentence where it is empty.
std::string shown(const list& l, const std::string& when_empty) {
  const std::string heading = "\n" + l.title + "\n" + std::string(l.title.size(), '=') + "\n";
  return heading + (l.rows.empty() ? "  " + when_empty + "\n" : text_of(l));
}

std::string part_name(const catalogue& parts, part_ref part, service_kind service) {
  if (service == service_kind::soldered_tail) return "soldered tail";
  if (service == service_kind::soldered_link) return "soldered link";
  const std::string_view code = code_of(parts, part);
  return code.empty() ? "none" : std::string{code};
}

std::string what_changed(change_kind kind) {
  switch (kind) {
    case change_kind::order_line: return "order line";
    case change_kind::run_added: return "run is new";
    case change_kind::run_removed: return "run is gone";
    case change_kind::run_length: return "lit length";
    case change_kind::run_tape: return "tape";
    case change_kind::run_feeder: return "feeder cable";
    case change_kind::run_joint: return "joint at the tape";
    case change_kind::run_controller: return "controller";
    case change_kind::run_driver: return "driver";
    case change_kind::run_verdict: return "verdict";
  }
  return {};
}

/// Signed, so that a reader sees at once which way the money goes.
std::string difference(money before, money after) {
  const money by = after - before;
  return (by.minor > 0 ? "+" : "") + amount(by);
}

/// A demand as a customer would say it.
std::string demand_name(const planned& p, const demand& d) {
  const auto at = static_cast<std::size_t>(d.index);
  switch (d.kind) {
    case demand_kind::run:
      return "run " + std::string{p.job().runs[at].code} + ", " + plain(d.value) + " m long";
    case demand_kind::rule: return std::string{rule_table[at].name} + " = " + plain(d.value);
    case demand_kind::mount:
      return "zone " + std::string{p.job().zones[at].code} +
             (p.job().zones[at].mount == fitting_wish::plug_in ? ": plug-in drivers" : ": hardwired drivers");
    case demand_kind::limited_energy:
      return "zone " + std::string{p.job().zones[at].code} + ": limited-energy drivers";
    case demand_kind::ingress: return "zone " + std::string{p.job().zones[at].code} + ": IP" + plain(d.value);
    case demand_kind::features: return "zone " + std::string{p.job().zones[at].code} + ": control features";
    case demand_kind::driver:
      return "zone " + std::string{p.job().zones[at].code} + ": driver " +
             std::string{p.parts().drivers[static_cast<std::size_t>(d.value)].code};
    case demand_kind::controller:
      return "zone " + std::string{p.job().zones[at].code} + ": controller " +
             std::string{p.parts().controllers[static_cast<std::size_t>(d.value)].code};
    case demand_kind::feeder:
      return "run " + std::string{p.job().runs[at].code} + ": feeder " +
             std::string{p.parts().cables[static_cast<std::size_t>(d.value)].code};
  }
  return {};
}

}  // namespace

std::string changes_text(const planned& before, const planned& after) {
  std::vector<plan_change> room(change_room(before.plan(), after.plan()));
  const auto told = plan_changes({before.job(), before.parts(), before.plan()},
                                 {after.job(), after.parts(), after.plan()}, room);
  list all{.file = {},
           .title = "What changed",
           .columns = {{"what", ""}, {"of", ""}, {"before", ""}, {"after", ""}, {"price", "", 0, true}},
           .rows = {}};
  for (std::size_t i = 0; told.ok() && i < *told; ++i) {
    const plan_change& c = room[i];
    std::string of, was, is, price;
    if (c.kind == change_kind::order_line) {
      of = c.quantity_before > 0 ? part_name(before.parts(), c.before, c.service)
                                 : part_name(after.parts(), c.after, c.service);
      was = std::to_string(c.quantity_before);
      is = std::to_string(c.quantity_after);
      price = difference(c.price_before, c.price_after);
    } else {
      const bool gone = c.kind == change_kind::run_removed;
      const auto at = static_cast<std::size_t>(c.index);
      of = (gone ? before : after).job().runs[at].code;
      if (c.kind == change_kind::run_verdict) {
        was = c.quantity_before != 0 ? "holds" : "FAILED";
        is = c.quantity_after != 0 ? "holds" : "FAILED";
      } else if (c.before.kind != part_kind::none || c.after.kind != part_kind::none) {
        was = part_name(before.parts(), c.before, c.service);
        is = part_name(after.parts(), c.after, c.service);
      } else {
        was = c.length_before.v > 0 ? fixed(c.length_before.v, 3) + " m" : "";
        is = c.length_after.v > 0 ? fixed(c.length_after.v, 3) + " m" : "";
      }
    }
    all.rows.push_back({what_changed(c.kind), of, was, is, price});
  }
  return shown(all, "nothing") + "  price before " + amount(before.plan().price) + ", after " +
         amount(after.plan().price) + ": " + difference(before.plan().price, after.plan().price) + "\n";
}

std::string alternatives_text(const planned& p, fault& why) {
  std::vector<zone> zones(p.job().zones.size());
  std::vector<driver> drivers(p.parts().drivers.size());
  std::vector<cable> cables(p.parts().cables.size());
  plan_room room = p.another_room();
  alternative found[std::size(all_alternatives)];
  const auto told = alternatives(p.job(), p.parts(), {zones, drivers, cables, room.space()}, found);
  why = told.why();
  list all{.file = {},
           .title = "Other ways to build it",
           .columns = {{"way", ""},
                       {"price", "", 0, true},
                       {"more", "", 0, true},
                       {"drivers", ""},
                       {"of them plug-in", ""},
                       {"soldered tails", ""},
                       {"thickest conductor mm2", ""}},
           .rows = {}};
  for (std::size_t i = 0; told.ok() && i < *told; ++i) {
    const alternative& a = found[i];
    all.rows.push_back({std::string{text_of(a.kind)}, amount(a.price), difference(p.plan().price, a.price),
                        std::int64_t{a.drivers}, std::int64_t{a.plug_in}, std::int64_t{a.soldered},
                        figure{a.thickest.v, 2}});
  }
  return shown(all, "none that fits and differs in kind") + "  the order as it is costs " +
         amount(p.plan().price) + "\n";
}

std::string conflict_text(const planned& p, fault& why) {
  std::vector<run> runs(p.job().runs.size());
  std::vector<zone> zones(p.job().zones.size());
  std::vector<demand> demands(demand_room(runs.size(), zones.size()));
  std::vector<relaxation> help(demands.size());
  plan_room room = p.another_room();
  const conflict_space space{runs, zones, demands, help, room.space()};
  // one conflict after the other: each is told, and given way to in the cheapest single way, until all fits
  std::vector<run> eased_runs(p.job().runs.begin(), p.job().runs.end());
  std::vector<zone> eased_zones(p.job().zones.begin(), p.job().zones.end());
  job eased = p.job();
  eased.runs = eased_runs;
  eased.zones = eased_zones;
  std::string out;
  list way{.file = {},
           .title = "A way that works, all of it together",
           .columns = {{"instead of", ""}, {"to", ""}},
           .rows = {}};
  constexpr std::size_t most_told = 20;
  while (way.rows.size() < most_told) {
    const auto found = find_conflict(eased, p.parts(), space);
    why = found.why();
    if (!found.ok()) return {};
    if (!found->conflicting) break;
    list core{.file = {}, .title = "What does not go together", .columns = {{"asked", ""}}, .rows = {}};
    for (const demand& d : found->core) core.rows.push_back({demand_name(p, d)});
    list ways{.file = {},
              .title = "What would help there, each alone",
              .columns = {{"instead of", ""}, {"to", ""}, {"price of these runs", "", 0, true}},
              .rows = {}};
    const auto to = [](const relaxation& r) { return r.to == r.to ? plain(r.to) : std::string{"given up"}; };
    for (const relaxation& r : found->help)
      ways.rows.push_back({demand_name(p, r.what), to(r), amount(r.price)});
    out += shown(core, "");
    const finding& f = found->broken;
    if (f.code != finding_code::none)
      out += "  " + std::string{facts_of(f.code).text} + ": " + plain(f.value) + " against " +
             plain(f.limit) + " " + std::string{facts_of(f.code).unit} + "\n";
    out += shown(ways, "nothing that is asked for: another part is needed");
    if (found->help.empty()) return out;
    const relaxation cheapest = found->help[0];
    way.rows.push_back({demand_name(p, cheapest.what), to(cheapest)});
    give_way(cheapest, eased.rules, eased_runs, eased_zones);
  }
  if (out.empty()) return "\nEverything that is asked for goes together.\n";
  return way.rows.size() < most_told ? out + shown(way, "") : out;
}

}  // namespace order_sheet
