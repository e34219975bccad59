// SPDX-License-Identifier: BSL-1.0
// Stage 4: supply cables and feeders, the joints at the tape, and the splices where feeders meet.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

/// Conductors that the terminals at both ends of a cable take; 0 and 0 = nothing to look at.
struct terminal_range {
  square_millimetres least, greatest;
};

/// What both ranges take. Where they share nothing the answer is a range that no cable has: a single
/// point between the two.
constexpr terminal_range common_range(terminal_range a, terminal_range b) noexcept {
  if (a.greatest.v == 0) return b;
  if (b.greatest.v == 0) return a;
  const square_millimetres least = a.least > b.least ? a.least : b.least;
  const square_millimetres greatest = a.greatest < b.greatest ? a.greatest : b.greatest;
  return least <= greatest ? terminal_range{least, greatest}
                           : terminal_range{(least + greatest) / 2, (least + greatest) / 2};
}

constexpr terminal_range range_of_hub(const draft& d, const hub_plan& h) noexcept {
  const controller* c = d.controller_of(h);
  return c == nullptr ? terminal_range{} : terminal_range{c->least_terminal, c->greatest_terminal};
}

constexpr terminal_range range_of_output(const draft& d, const hub_plan& h) noexcept {
  if (h.output < 0) return {};
  const output_plan& o = d.outputs[static_cast<std::size_t>(h.output)];
  const driver_plan& p = d.drivers[static_cast<std::size_t>(o.driver)];
  const driver& s = d.parts.drivers[static_cast<std::size_t>(p.part)];
  return {s.least_terminal, s.greatest_terminal};
}

/// A run that has its hub to itself and no controller hangs straight on the driver: one cable, no splice.
constexpr bool hangs_on_driver(const hub_plan& h) noexcept { return h.controller < 0 && h.runs == 1; }

constexpr metres cut_of(const draft& d, metres route) noexcept {
  return route + metres{2 * d.question.rules.wiring_slack_m};
}

constexpr feeder_question question_of(const draft& d, volts nominal, metres cut, celsius ambient,
                                      double drop_limit, terminal_range range) noexcept {
  const design_rules& r = d.question.rules;
  return {.one_way = cut,
          .nominal = nominal,
          .drop_limit = larger(drop_limit, 0),
          .ambient = ambient,
          .family = r.family,
          .method = r.method,
          .grouping = r.grouping,
          .circuits = r.circuits_grouped,
          .least_terminal = range.least,
          .greatest_terminal = range.greatest,
          .least_area = r.least_conductor};
}

constexpr feeder_question supply_question(const draft& d, const hub_plan& h, volts nominal) noexcept {
  feeder_question q =
      question_of(d, nominal, h.supply.cut, d.question.rules.cable_ambient, d.question.rules.drop_to_feed,
                  common_range(range_of_hub(d, h), range_of_output(d, h)));
  q.channel_current.push(h.total);
  return q;
}

/// What is left for a feeder, as a share of nominal, once the supply cable, the controller's switch and
/// the contacts of splice and joint have taken theirs: of the drop to the feed point, and of the drop to
/// the furthest lamp less the tape's own (solved with nominal voltage at the feed point, where the tape
/// draws most).
constexpr double drop_left(const draft& d, const hub_plan& h, const run_plan& r, volts nominal,
                           double supply_share) noexcept {
  const design_rules& rules = d.question.rules;
  double upstream = supply_share;
  if (const controller* c = d.controller_of(h)) {
    amps busiest;
    for (const amps i : h.channel_current)
      if (i > busiest) busiest = i;
    upstream += (busiest * c->switch_resistance) / nominal;
  }
  amps own;
  for (std::int32_t c = 0; c < r.load.channels; ++c)
    if (r.load.channel_current[c] > own) own = r.load.channel_current[c];
  const ohms contacts =
      tapewright::detail::contact_at(d, h.splice) + tapewright::detail::contact_at(d, r.connector);
  upstream += ((r.load.total_sized + own) * contacts) / nominal;
  double tape_share = 0;
  if (r.solved)
    for (std::int32_t c = 0; c < r.all_on.channels; ++c)
      tape_share = larger(tape_share, (nominal - r.all_on.last_load[c]) / nominal);
  return smaller(rules.drop_to_feed, rules.drop_to_lamp - tape_share) - upstream;
}

constexpr feeder_question feeder_question_of(const draft& d, const hub_plan& h, const run_plan& r,
                                             double left) noexcept {
  const tape& t = d.tape_of(r);
  feeder_question q = question_of(d, t.nominal, r.feeder.cut, d.asked(r).cable_ambient, left,
                                  hangs_on_driver(h) ? range_of_output(d, h) : range_of_hub(d, h));
  amps sum;
  for (std::int32_t c = 0; c < r.load.channels; ++c) {
    q.channel_current.push(r.load.channel_current[c]);
    sum += r.load.channel_current[c];
  }
  if (r.load.total_sized < sum) q.common = r.load.total_sized;
  return q;
}

constexpr bool needs_cable(const draft& d, const hub_plan& h, const run_plan& r) noexcept {
  return !(h.runs < 2 && r.feeder.route <= d.tape_of(r).free_tail);
}

/// What the cheapest feeders of a hub cost, given what the supply cable takes of the drop; not looked at
/// further once it is no cheaper than `least`.
constexpr cost feeders_cost(const draft& d, std::int32_t hub, double supply_share, cost spent,
                            cost least) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  for (const run_plan& r : d.runs) {
    if (!(spent < least)) return spent;
    if (r.hub != hub || !needs_cable(d, h, r)) continue;
    const feeder_question q =
        feeder_question_of(d, h, r, drop_left(d, h, r, d.tape_of(r).nominal, supply_share));
    cost cheapest{.unbuildable = 1};
    for (const cable& k : d.parts.cables) {
      if (k.cores <= r.load.channels) continue;
      const auto quanta = sale_units(q.one_way, k.sale_quantum);
      const cost price = quanta.ok() ? cost_of_piece(k.price, *quanta) : no_choice;
      if (!(price < cheapest)) continue;
      const auto check = check_feeder(q, k);
      if (check.ok() && check->fits) cheapest = price;
    }
    spent += cheapest;
  }
  return spent;
}

/// Lays the cheapest feeders of a hub; where none fits, the one that misses by least.
constexpr void lay_feeders(draft& d, std::int32_t hub, double supply_share) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  for (run_plan& r : d.runs) {
    if (r.hub != hub || !needs_cable(d, h, r)) continue;
    const double left = drop_left(d, h, r, d.tape_of(r).nominal, supply_share);
    const auto choice = choose_feeder(feeder_question_of(d, h, r, left), d.parts.cables);
    if (!choice.ok()) continue;
    r.feeder.cable = choice->cable >= 0 ? choice->cable : choice->nearest;
    r.feeder.check = choice->check;
    r.feeder.ruled_by = choice->by;
  }
}

/// How a run's feeder meets its tape: by connector where one fits and the rules prefer it, else soldered.
constexpr void join_tape(draft& d, run_plan& r) noexcept {
  r.connector = -1;
  if (r.feeder.cable < 0) {
    r.join = feed_join::free_tail;
    return;
  }
  r.join = feed_join::soldered_tail;
  if (d.question.rules.join == join_preference::soldered_first) return;
  const auto choice = choose_connector({.poles = r.load.channels + 1,
                                        .pole_current = r.load.total_sized,
                                        .voltage = d.tape_of(r).nominal,
                                        .ambient = d.asked(r).ambient,
                                        .conductor = r.feeder.check.conductor.area,
                                        .curve_factor = d.question.rules.contact_factor},
                                       connector_use::tape_to_cable, d.parts.connectors);
  if (!choice.ok() || choice->connector < 0) return;
  r.join = feed_join::connector;
  r.connector = choice->connector;
  r.joint = choice->check;
}

/// Tells why no cable fits, by the limit that the nearest one breaks. A broken drop is not told here: it
/// was judged with nominal currents, which the drop itself lowers, and the solved network will say.
constexpr void tell_no_cable(draft& d, finding_code code, subject about, const feeder_check& c) noexcept {
  if (c.by == governed::drop) return;
  finding f{.code = code,
            .level = severity::failed,
            .subject = about,
            .utilisation = boundless_utilisation,
            .from = c.drop_source,
            .help = advice::widen_catalogue,
            .stopped_by = c.by};
  if (c.by == governed::ampacity) {
    f.value = c.common_current.v;
    f.limit = c.ampacity.allowed.v;
    f.utilisation = c.ampacity_utilisation;
    f.from = c.ampacity.base_source;
    f.help = advice::thicker_feeder;
  } else if (c.by == governed::cores) {
    f.value = c.cores_needed;
  } else {
    f.value = c.conductor.area.v;
  }
  d.findings.push(f);
}

/// Decides supply cable and feeders of a hub together: the cheapest pair that keeps every drop.
constexpr void wire_hub(draft& d, std::int32_t hub, volts nominal) noexcept {
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  if (hangs_on_driver(h)) {
    lay_feeders(d, hub, 0);
    return;
  }
  const feeder_question q = supply_question(d, h, nominal);
  std::int32_t best = -1;
  double best_share = 0;
  cost least = no_choice;
  for (std::size_t i = 0; i < d.parts.cables.size(); ++i) {
    const auto check = check_feeder(q, d.parts.cables[i]);
    if (!check.ok() || !check->fits) continue;
    const auto units = sale_units(h.supply.cut, d.parts.cables[i].sale_quantum);
    if (!units.ok()) continue;
    const cost price =
        feeders_cost(d, hub, check->drop_share, cost_of_piece(d.parts.cables[i].price, *units), least);
    if (!(price < least)) continue;
    least = price;
    best = static_cast<std::int32_t>(i);
    best_share = check->drop_share;
  }
  const auto choice = choose_feeder(q, d.parts.cables);
  if (!choice.ok()) return;
  h.supply.cable = best >= 0 ? best : choice->nearest;
  h.supply.check = choice->check;
  h.supply.ruled_by = choice->by;
  if (best >= 0 && best != choice->cable) {  // thicker than it needs: its feeders are cheaper for it
    h.supply.check = *check_feeder(q, d.parts.cables[static_cast<std::size_t>(best)]);
    h.supply.ruled_by = governed::price;
  }
  lay_feeders(d, hub, best_share);
}

/// Where several feeders meet, a splice joins each conductor. k splices of w ways in a row join up to
/// k (w - 2) + 2 ends; the cheapest kind that carries the hub's
/// total and takes its thickest conductor is chosen.
constexpr void splice_hub(draft& d, std::int32_t hub, volts nominal) noexcept {
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  h.splice = -1;
  h.splices = 0;
  if (h.runs < 2) return;
  square_millimetres thickest = h.supply.check.conductor.area;
  for (const run_plan& r : d.runs)
    if (r.hub == hub && r.feeder.cable >= 0 && r.feeder.check.conductor.area > thickest)
      thickest = r.feeder.check.conductor.area;
  const std::int32_t conductors =
      h.controller >= 0 ? static_cast<std::int32_t>(h.channel_current.size()) + 1 : 2;
  cost least = no_choice;
  for (std::size_t i = 0; i < d.parts.connectors.size(); ++i) {
    const connector& c = d.parts.connectors[i];
    if (c.use != connector_use::cable_to_cable || c.ways < 3) continue;
    const auto check = check_connector(c, {.poles = 1,
                                           .pole_current = h.total,
                                           .voltage = nominal,
                                           .ambient = d.zone_of(h).driver_ambient,
                                           .conductor = thickest,
                                           .curve_factor = d.question.rules.contact_factor});
    if (!check.ok() || !check->fits) continue;
    const std::int32_t each = (h.runs - 1 + c.ways - 3) / (c.ways - 2);
    const std::int32_t count = (each * conductors + c.poles - 1) / c.poles;
    const cost price = cost_of(c.price, count);
    if (!(price < least)) continue;
    least = price;
    h.splice = static_cast<std::int32_t>(i);
    h.splices = count;
    h.splice_check = *check;
  }
}

/// Solves a run's tape alone with nominal voltage at its feed point: what the tape itself loses.
constexpr fault solve_alone(draft& d, run_plan& r) noexcept {
  const auto line = line_of(d.tape_of(r), r.cut.segments, d.asked(r).ambient);
  if (!line.ok()) return line.why();
  const auto figures = solve_line(*line, {.source = d.tape_of(r).nominal}, {}, d.network);
  r.solved = figures.ok();
  if (figures.ok()) r.all_on = *figures;
  return {};
}

/// Decides a hub's cables, splices and joints. The contacts take their share of the drop, but which
/// contacts there are is known only when the cables are: rounds until the contacts stay as they were,
/// three at most, and verification has the last word.
constexpr void decide_hub(draft& d, std::int32_t hub, volts nominal) noexcept {
  for (int round = 0; round < 3; ++round) {
    hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
    wire_hub(d, hub, nominal);
    const std::int32_t splice = h.splice;
    splice_hub(d, hub, nominal);
    bool settled = splice == h.splice;
    for (run_plan& r : d.runs) {
      if (r.hub != hub) continue;
      const std::int32_t connector = r.connector;
      join_tape(d, r);
      settled = settled && connector == r.connector;
    }
    if (settled) return;
  }
}

/// Tells what could not be decided for a hub: no supply cable, no splice, no feeder.
constexpr void tell_missing(draft& d, std::int32_t hub) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  if (!hangs_on_driver(h) && !h.supply.check.fits)
    tell_no_cable(d, finding_code::no_supply_cable, {subject_kind::hub, hub}, h.supply.check);
  if (h.runs > 1 && h.splice < 0)
    d.findings.push({.code = finding_code::no_connector,
                     .level = severity::failed,
                     .subject = {subject_kind::hub, hub},
                     .value = h.total.v,
                     .utilisation = boundless_utilisation,
                     .from = source::iec_60512_5_2,
                     .help = advice::widen_catalogue,
                     .stopped_by = governed::ways});
  for (std::size_t i = 0; i < d.runs.size(); ++i) {
    const run_plan& r = d.runs[i];
    if (r.hub == hub && needs_cable(d, h, r) && !r.feeder.check.fits)
      tell_no_cable(d, finding_code::no_feeder, {subject_kind::run, static_cast<std::int32_t>(i)},
                    r.feeder.check);
  }
}

/// Cable numbers in the order of the connection schedule: output by output, hub by hub.
constexpr void number_cables(draft& d) noexcept {
  std::int32_t number = 0;
  const auto number_hub = [&](std::size_t hub) noexcept {
    if (d.hubs[hub].supply.cable >= 0) d.hubs[hub].supply.number = ++number;
    for (run_plan& r : d.runs)
      if (r.hub == static_cast<std::int32_t>(hub) && r.feeder.cable >= 0) r.feeder.number = ++number;
  };
  for (std::size_t o = 0; o < d.outputs.size(); ++o)
    for (std::size_t h = 0; h < d.hubs.size(); ++h)
      if (d.hubs[h].output == static_cast<std::int32_t>(o)) number_hub(h);
  for (std::size_t h = 0; h < d.hubs.size(); ++h)
    if (d.hubs[h].output < 0) number_hub(h);
}

}  // namespace detail

/// Takes runs, hubs and drivers; decides every cable, joint and splice. Needs no scratch.
constexpr fault feed_runs(draft& d) noexcept {
  for (run_plan& r : d.runs)
    if (const fault f = detail::solve_alone(d, r)) return f;
  for (std::size_t h = 0; h < d.hubs.size(); ++h) {
    const auto hub = static_cast<std::int32_t>(h);
    hub_plan& plan_of_hub = d.hubs[h];
    const metres from_driver = d.zone_of(plan_of_hub).from_driver;
    const bool direct = detail::hangs_on_driver(plan_of_hub);
    plan_of_hub.supply.route = direct ? metres{} : from_driver;
    plan_of_hub.supply.cut = direct ? metres{} : detail::cut_of(d, from_driver);
    const volts nominal = d.nominal_of(hub);
    for (run_plan& r : d.runs) {
      if (r.hub != hub) continue;
      r.feeder.route = d.asked(r).from_controller + (direct ? from_driver : metres{});
      r.feeder.cut = detail::cut_of(d, r.feeder.route);
    }
    detail::decide_hub(d, hub, nominal);
    detail::tell_missing(d, hub);
  }
  detail::number_cables(d);
  return {};
}

}  // namespace tapewright::stage
