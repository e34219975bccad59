// SPDX-License-Identifier: BSL-1.0
// Stage 4: supply cables and feeders, the joints at the tape, and the splices where feeders meet.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/text.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/output_wiring.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/sections.hpp"
#include "tapewright/plan/spare.hpp"

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

/// From the least that any of some connectors clamps to the greatest, of those of a use that keep a duty; 0 and 0
/// where there is none.
constexpr terminal_range range_of_connectors(const draft& d, connector_use use, std::int32_t ways,
                                             const connector_duty& duty) noexcept {
  terminal_range all;
  for (const connector& c : d.parts.connectors) {
    if (c.use != use || c.ways < ways) continue;
    const auto check = check_connector(c, duty);
    if (!check.ok() || !check->fits) continue;
    if (all.greatest.v == 0 || c.least < all.least) all.least = c.least;
    if (c.greatest > all.greatest) all.greatest = c.greatest;
  }
  return all;
}

constexpr terminal_range range_of_output(const draft& d, const hub_plan& h) noexcept {
  if (h.output < 0) return {};
  const output_plan& o = d.outputs[static_cast<std::size_t>(h.output)];
  const driver& s = driver_of(d, o);
  return s.output_connector.v > 0 ? range_of_connectors(d, connector_use::driver_plug, 2, plug_duty(d, o, {}))
                                  : terminal_range{s.least_terminal, s.greatest_terminal};
}

/// What is asked of the splices of a hub, one conductor each; `conductor` 0 = not looked at.
constexpr connector_duty splice_duty(const draft& d, const hub_plan& h, volts nominal,
                                     square_millimetres conductor) noexcept {
  return {.poles = 1,
          .pole_current = h.total,
          .voltage = nominal,
          .ambient = d.zone_of(h).driver_ambient,
          .conductor = conductor,
          .curve_factor = d.question.rules.contact_factor};
}

constexpr terminal_range range_of_splices(const draft& d, const hub_plan& h, volts nominal) noexcept {
  return h.feeders < 2
             ? terminal_range{}
             : range_of_connectors(d, connector_use::cable_to_cable, 3, splice_duty(d, h, nominal, {}));
}

/// A run that has its hub to itself, one feed point and no controller hangs straight on the driver: one cable,
/// no splice.
constexpr bool hangs_on_driver(const hub_plan& h) noexcept { return h.controller < 0 && h.feeders == 1; }

/// Calls visit(run, feed point) for each feed point of a hub, run by run.
template <class Draft, class Visit>
constexpr void each_feed(Draft& d, std::int32_t hub, const Visit& visit) noexcept {
  for (auto& r : d.runs)
    for (std::int32_t k = 0; r.hub == hub && k <= r.more_feeds; ++k) visit(r, d.feed_of(r, k));
}

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
          .least_area = r.least_conductor,
          .ampere_worth = r.balanced.cable};
}

/// What the protection of a hub's output asks of its cables.
constexpr protection_demand demand_on(const draft& d, const hub_plan& h) noexcept {
  if (h.output < 0) return {};
  const output_plan& o = d.outputs[static_cast<std::size_t>(h.output)];
  return {o.cable_ampacity, o.greatest_loop, o.cable_area};
}

constexpr feeder_question supply_question(const draft& d, const hub_plan& h, volts nominal,
                                          terminal_range splice) noexcept {
  feeder_question q =
      question_of(d, nominal, h.supply.cut, d.question.rules.cable_ambient, d.question.rules.drop_to_feed,
                  common_range(common_range(range_of_hub(d, h), range_of_output(d, h)), splice));
  q.channel_current.push(h.total);
  const protection_demand asked = demand_on(d, h);
  q.device_ampacity = asked.ampacity;
  if (asked.least_area > q.least_area) q.least_area = asked.least_area;
  q.greatest_core = asked.greatest_loop / 2;
  return q;
}

/// What the feeders of a hub share: what its supply cable takes of the drop and of the loop through which a short
/// circuit at a feed point must still operate the protection; and what the splices clamp in which they meet.
struct hub_share {
  double drop_share = 0;
  ohms core{};
  terminal_range splice{};
};
constexpr hub_share share_of(const feeder_check& supply, terminal_range splice) noexcept {
  return {supply.drop_share, supply.core_resistance, splice};
}

constexpr bool is_constant_power(const tape& t, std::int32_t channel) noexcept {
  return t.channels[static_cast<std::size_t>(channel)].law == load_kind::constant_power;
}

/// What is left for a feeder, as a share of nominal, once the supply cable, the controller's switch and
/// the contacts of splice and joint have taken theirs: of the drop to the feed point, and of the drop to
/// the furthest lamp less the tape's own (solved with nominal voltage at the feed point, where the tape
/// draws most; constant power as it draws at the least voltage that a lamp may get).
constexpr double drop_left(const draft& d, const hub_plan& h, const run_plan& r, const tape_feed& f,
                           volts nominal, const hub_share& shared) noexcept {
  const design_rules& rules = d.question.rules;
  double upstream = shared.drop_share;
  if (const controller* c = d.controller_of(h)) {
    amps busiest;
    for (const amps i : h.channel_current)
      if (i > busiest) busiest = i;
    upstream += (busiest * c->switch_resistance) / nominal;
  }
  amps own;
  for (const amps i : f.channel_current)
    if (i > own) own = i;
  const ohms contacts =
      tapewright::detail::contact_at(d, h.splice) + tapewright::detail::contact_at(d, f.connector);
  upstream += ((f.current + own) * contacts) / nominal;
  double tape_share = 0;
  if (r.solved)
    for (std::int32_t c = 0; c < r.all_on.channels; ++c)
      tape_share =
          larger(tape_share, (nominal - r.all_on.last_load[c]) / nominal /
                                 (is_constant_power(d.tape_of(r), c) ? 1 - rules.drop_to_lamp : 1.0));
  return smaller(rules.drop_to_feed, rules.drop_to_lamp - tape_share) - upstream;
}

constexpr feeder_question feeder_question_of(const draft& d, const hub_plan& h, const run_plan& r,
                                             const tape_feed& f, const hub_share& shared) noexcept {
  const tape& t = d.tape_of(r);
  feeder_question q = question_of(
      d, t.nominal, f.feeder.cut, d.asked(r).cable_ambient, drop_left(d, h, r, f, t.nominal, shared),
      hangs_on_driver(h) ? range_of_output(d, h) : common_range(range_of_hub(d, h), shared.splice));
  amps sum;
  for (const amps i : f.channel_current) {
    q.channel_current.push(i);
    sum += i;
  }
  if (f.current < sum) q.common = f.current;
  const protection_demand asked = demand_on(d, h);
  q.device_ampacity = asked.ampacity;
  if (asked.least_area > q.least_area) q.least_area = asked.least_area;
  // a supply cable that takes the whole loop leaves a feeder that no cable makes
  if (asked.greatest_loop.v > 0)
    q.greatest_core = ohms{larger((asked.greatest_loop / 2 - shared.core).v, 1e-12)};
  return q;
}

constexpr bool needs_cable(const draft& d, const hub_plan& h, const run_plan& r,
                           const tape_feed& f) noexcept {
  return !(h.feeders < 2 && f.feeder.route <= d.tape_of(r).free_tail);
}

/// Whether a row is to be taken instead of another: where it costs less, or as much and its code comes first,
/// so that the order of the catalogue does not matter. `other` is -1 where there is none yet.
template <class Rows>
constexpr bool is_better(cost price, std::size_t row, cost least, std::int32_t other,
                         const Rows& rows) noexcept {
  if (price != least || other < 0) return price < least;
  return text_before(rows[row].code, rows[static_cast<std::size_t>(other)].code);
}

/// The cables that may feed a run, from the first of them on: all of the catalogue, or the one that is pinned.
constexpr std::size_t first_feeder(const draft& d, const run_plan& r) noexcept {
  const std::int32_t pin = d.asked(r).pinned_feeder;
  return pin < 0 ? 0 : static_cast<std::size_t>(pin);
}
constexpr std::span<const cable> feeders_for(const draft& d, const run_plan& r) noexcept {
  return d.asked(r).pinned_feeder < 0 ? d.parts.cables : d.parts.cables.subspan(first_feeder(d, r), 1);
}

/// What a piece of cable counts where an ampere of its ampacity is worth `each`.
constexpr cost weighed_piece(money price, std::int64_t quanta, money each, const feeder_check& c) noexcept {
  cost sum = cost_of_piece(price, quanta);
  sum.price = sum.price - credit_of(worth_of(each, valued_ampacity(c)), sum.price);
  return sum;
}

/// The cheapest cable that keeps what a feeder asks; `cable` is -1 and the cost unbuildable where none does.
struct cheapest_feeder {
  std::int32_t cable = -1;
  cost price{.unbuildable = 1};
};
constexpr cheapest_feeder cheapest_for(const draft& d, const run_plan& r, const feeder_question& q) noexcept {
  const std::size_t from = first_feeder(d, r);
  const std::span<const cable> cables = feeders_for(d, r);
  const money each = ampere_worth(q, cables);
  cheapest_feeder best;
  for (std::size_t i = from; i < from + cables.size(); ++i) {
    const cable& k = d.parts.cables[i];
    if (static_cast<std::size_t>(k.cores) <= q.channel_current.size()) continue;
    const auto quanta = sale_units(q.one_way, k.sale_quantum);
    if (!quanta.ok()) continue;
    const auto is_cheaper = [&](const cost& price) noexcept {
      return is_better(price, i, best.price, best.cable, d.parts.cables);
    };
    if (each.minor == 0 && !is_cheaper(cost_of_piece(k.price, *quanta))) continue;  // without a look
    const auto check = check_feeder(q, k);
    if (!check.ok() || !check->fits) continue;
    const cost price = weighed_piece(k.price, *quanta, each, *check);
    if (is_cheaper(price)) best = {static_cast<std::int32_t>(i), price};
  }
  return best;
}

/// How a hub's cables are chosen. Nominal currents are more than flow, so that the cheapest cables may keep a drop
/// that they seem to miss; where the solved network says that they do not, they are chosen `with_care`: tails of tape
/// are counted like feeders, and of pairs that miss a drop the one whose supply cable takes least of it is laid.
enum class wiring : bool { cheapest, with_care };

/// What the cheapest feeders of a hub cost, given what the supply cable takes of the drop; not looked at
/// further once it is no cheaper than `least`.
constexpr cost feeders_cost(const draft& d, std::int32_t hub, const hub_share& shared, wiring how, cost spent,
                            cost least) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  for (const run_plan& r : d.runs)
    for (std::int32_t k = 0; r.hub == hub && k <= r.more_feeds; ++k) {
      if (spent > least) return spent;
      const tape_feed& f = d.feed_of(r, k);
      if (!needs_cable(d, h, r, f)) {
        const bool misses =
            how == wiring::with_care && drop_left(d, h, r, f, d.tape_of(r).nominal, shared) < 0;
        spent.unbuildable += misses ? 1 : 0;
        continue;
      }
      spent += cheapest_for(d, r, feeder_question_of(d, h, r, f, shared)).price;
    }
  return spent;
}

/// Lays the cheapest feeders of a hub; where none fits, the one that misses by least.
constexpr void lay_feeders(draft& d, std::int32_t hub, const hub_share& shared) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  each_feed(d, hub, [&](run_plan& r, tape_feed& f) noexcept {
    if (!needs_cable(d, h, r, f)) return;
    const auto choice = choose_feeder(feeder_question_of(d, h, r, f, shared), feeders_for(d, r));
    if (!choice.ok()) return;
    f.feeder.cable = static_cast<std::int32_t>(first_feeder(d, r)) +
                     (choice->cable >= 0 ? choice->cable : choice->nearest);
    f.feeder.check = choice->check;
    f.feeder.ruled_by = choice->by;
    f.feeder.credit = choice->credit;
  });
}

constexpr connector_duty joint_duty(const draft& d, const run_plan& r, amps current,
                                    square_millimetres conductor) noexcept {
  return {.poles = r.load.channels + 1,
          .pole_current = current,
          .voltage = d.tape_of(r).nominal,
          .ambient = d.asked(r).ambient,
          .conductor = conductor,
          .curve_factor = d.question.rules.contact_factor};
}

/// How a feeder meets its tape: by connector where one fits and the rules prefer it, else soldered.
constexpr void join_tape(draft& d, const run_plan& r, tape_feed& f) noexcept {
  f.connector = -1;
  if (f.feeder.cable < 0) {
    f.join = feed_join::free_tail;
    return;
  }
  f.join = feed_join::soldered_tail;
  if (d.question.rules.join == join_preference::soldered_first) return;
  const auto choice = choose_connector(joint_duty(d, r, f.current, f.feeder.check.conductor.area),
                                       connector_use::tape_to_cable, d.parts.connectors);
  if (!choice.ok() || choice->connector < 0) return;
  f.join = feed_join::connector;
  f.connector = choice->connector;
  f.joint = choice->check;
}

/// Tells why no cable fits, by the limit that the nearest one breaks. A broken drop is not told here: it
/// was judged with nominal currents, which the drop itself lowers, and the solved network will say.
///
/// Two cables side by side to one feed point are never laid. With one device for both, a core that breaks or a clamp
/// that works loose leaves its whole current to the other, unseen; and of conductors as thin as these no code that we
/// know allows it. Several feeders, each thick enough for what it carries and for the device ahead, go to several feed
/// points instead (`feed_arrangement`).
/// Source  NEC 310.10(G): parallel conductors from 1/0 AWG up only; IEC 60364-4-43 cl. 433.4 and 434.4: one device
///         for parallel conductors only where they share equally and a fault in one of them is cleared. From memory.
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
    f.help = advice::split_feed;  // the thickest was looked at already
  } else if (c.by == governed::cores) {
    f.value = c.cores_needed;
  } else {
    f.value = c.conductor.area.v;
  }
  d.findings.push(f);
}

/// Decides supply cable and feeders of a hub together: the cheapest pair that keeps every drop.
constexpr void wire_hub(draft& d, std::int32_t hub, volts nominal, wiring how) noexcept {
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  if (hangs_on_driver(h)) {
    lay_feeders(d, hub, {});
    return;
  }
  const terminal_range splice = range_of_splices(d, h, nominal);
  const feeder_question q = supply_question(d, h, nominal, splice);
  const money each = ampere_worth(q, d.parts.cables);
  std::int32_t best = -1;
  hub_share taken{.splice = splice};
  cost least = no_choice;
  const auto look = [&](bool at_drop) noexcept {
    for (std::size_t i = 0; i < d.parts.cables.size(); ++i) {
      const auto units = sale_units(h.supply.cut, d.parts.cables[i].sale_quantum);
      if (!units.ok()) continue;
      const cost own = cost_of_piece(d.parts.cables[i].price, *units);
      if (!at_drop && each.minor == 0 && own > least) continue;  // before its feeders
      const auto check = check_feeder(q, d.parts.cables[i]);
      if (!check.ok() || !check->fits) continue;
      const hub_share takes = share_of(*check, splice);
      if (at_drop && takes.drop_share > taken.drop_share) continue;
      const bool less_drop = at_drop && takes.drop_share < taken.drop_share;
      const cost most = at_drop ? no_choice : least;
      const cost price = feeders_cost(d, hub, takes, how,
                                      weighed_piece(d.parts.cables[i].price, *units, each, *check), most);
      if (less_drop ? price.unbuildable > least.unbuildable
                    : !is_better(price, i, least, best, d.parts.cables))
        continue;
      least = price;
      best = static_cast<std::int32_t>(i);
      taken = takes;
    }
  };
  look(false);
  if (least.unbuildable > 0 && how == wiring::with_care) look(true);
  const auto choice = choose_feeder(q, d.parts.cables);
  if (!choice.ok()) return;
  h.supply.cable = best >= 0 ? best : choice->nearest;
  h.supply.check = choice->check;
  h.supply.ruled_by = choice->by;
  h.supply.credit = choice->credit;
  if (best >= 0 && best != choice->cable) {  // thicker than it needs: its feeders are cheaper for it
    h.supply.check = *check_feeder(q, d.parts.cables[static_cast<std::size_t>(best)]);
    h.supply.ruled_by = governed::price;
    const cable& row = d.parts.cables[static_cast<std::size_t>(best)];
    const money price = row.price * *sale_units(h.supply.cut, row.sale_quantum);
    h.supply.credit = credit_of(worth_of(each, valued_ampacity(h.supply.check)), price);
  }
  lay_feeders(d, hub, taken);
}

/// Where several feeders meet, a splice joins each conductor. k splices of w ways in a row join up to
/// k (w - 2) + 2 ends; the cheapest kind that carries the hub's
/// total and takes its thickest conductor is chosen.
constexpr void splice_hub(draft& d, std::int32_t hub, volts nominal) noexcept {
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  h.splice = -1;
  h.splices = 0;
  if (h.feeders < 2) return;
  square_millimetres thickest = h.supply.check.conductor.area;
  each_feed(d, hub, [&](const run_plan&, const tape_feed& f) noexcept {
    if (f.feeder.cable >= 0 && f.feeder.check.conductor.area > thickest)
      thickest = f.feeder.check.conductor.area;
  });
  const std::int32_t conductors =
      h.controller >= 0 ? static_cast<std::int32_t>(h.channel_current.size()) + 1 : 2;
  cost least = no_choice;
  for (std::size_t i = 0; i < d.parts.connectors.size(); ++i) {
    const connector& c = d.parts.connectors[i];
    if (c.use != connector_use::cable_to_cable || c.ways < 3) continue;
    const auto check = check_connector(c, splice_duty(d, h, nominal, thickest));
    if (!check.ok() || !check->fits) continue;
    const std::int32_t each = (h.feeders - 1 + c.ways - 3) / (c.ways - 2);
    const std::int32_t count = (each * conductors + c.poles - 1) / c.poles;
    const cost price = cost_of(c.price, count);
    if (!is_better(price, i, least, h.splice, d.parts.connectors)) continue;
    least = price;
    h.splice = static_cast<std::int32_t>(i);
    h.splices = count;
    h.splice_check = *check;
  }
}

/// Solves a run's tape alone with nominal voltage at its feed points: what the tape itself loses, and what
/// each feed point carries of the run's load.
constexpr fault solve_alone(draft& d, run_plan& r) noexcept {
  r.current = r.load.total_sized;
  r.channel_current = {};
  for (std::int32_t c = 0; c < r.load.channels; ++c) r.channel_current.push(r.load.channel_current[c]);
  if (!is_fed_in_parts(r)) {
    const auto line = line_of(d.tape_of(r), r.cut.segments, d.asked(r).ambient);
    if (!line.ok()) return line.why();
    const auto figures = closed_line(*line, {.source = d.tape_of(r).nominal}, d.network);
    r.solved = figures.ok();
    if (figures.ok()) r.all_on = *figures;
    return {};
  }
  const auto pieces = tapewright::detail::stretches_of(d, r, all_lit, d.fed.stretches);
  if (!pieces.ok()) return pieces.why();
  const std::size_t points = tapewright::detail::points_of(
      d, r, [](const tape_feed&) noexcept { return ohms{}; }, d.fed.points);
  const feed_hub hub;
  fed_run run;
  run.stretches = d.fed.stretches.first(*pieces);
  run.feeds = d.fed.points.first(points);
  const feed_network n{d.tape_of(r).nominal, {}, {&hub, 1}, {&run, 1}};
  d.fed.profiles[0] = {{}, {}, d.fed.currents.first(points)};
  const auto solved = solve_network(n, d.network, d.fed.figures, d.fed.profiles.first(1));
  r.solved = solved.ok();
  if (!solved.ok()) return solved.why().code == fault_code::no_operating_point ? fault{} : solved.why();
  const fed_run_figures& f = d.fed.figures[0];
  fed_point first;
  for (std::size_t c = 0; c < static_cast<std::size_t>(f.channels); ++c) first.channel[c] = n.source;
  r.all_on = tapewright::detail::as_line(f, first, *solved);
  r.link_current = f.greatest_link_current;
  amps together;  // what the feed points carry, so that their shares add up to the whole
  for (std::int32_t k = 0; k <= r.more_feeds; ++k)
    together += d.fed.currents[static_cast<std::size_t>(k)].common;
  if (r.more_feeds == 0 || !(together.v > 0)) return {};
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
    tape_feed& feed = d.feed_of(r, k);
    const feed_current& i = d.fed.currents[static_cast<std::size_t>(k)];
    const double common = i.common / together;
    feed.current = common * r.load.total_sized;
    feed.channel_current = {};
    for (std::int32_t c = 0; c < r.load.channels;
         ++c)  // never below the common's share: the parts must add up
      feed.channel_current.push(
          larger(common, f.channel_current[c].v > 0 ? i.channel[c] / f.channel_current[c] : 0.0) *
          r.load.channel_current[c]);
  }
  return {};
}

// ---- how a run is fed -------------------------------------------------------------------------

/// The ways of feeding a run, in the order in which they are looked at: five arrangements, then 2..8 points.
inline constexpr std::int32_t ways_to_feed = 12;
struct feed_way {
  feed_arrangement how;
  std::int64_t points;
};
constexpr feed_way way_at(std::int32_t n) noexcept {
  constexpr feed_arrangement first[] = {feed_arrangement::one_end, feed_arrangement::far_end,
                                        feed_arrangement::middle, feed_arrangement::both_ends,
                                        feed_arrangement::ring};
  if (n < 5) return {first[n], n == 3 ? 2 : 1};
  return {feed_arrangement::points, n - 3};
}

inline constexpr std::int32_t every_way = (1 << ways_to_feed) - 1;
/// Which way is laid in a run.
constexpr std::int32_t laid_way(const run_plan& r) noexcept {
  for (std::int32_t n = 0; n < ways_to_feed; ++n)
    if (way_at(n).how == r.arrangement &&
        (r.arrangement != feed_arrangement::points || way_at(n).points == r.more_feeds + 1))
      return n;
  return 0;
}

/// Whether cables reach what a way of feeding a section asks for. A section's own ends may lie between the ends
/// of its run.
constexpr bool reaches(const draft& d, const run_plan& r, const feed_way& way) noexcept {
  const run& asked = d.asked(r);
  if ((asked.arrangements & bit_of(way.how)) == 0) return false;
  if (way.how == feed_arrangement::points && r.cut.segments < way.points) return false;
  const bool anywhere = asked.reach == feed_reach::anywhere;
  const bool near = anywhere || r.section == 0;
  const bool far = anywhere || (asked.reach == feed_reach::ends && r.section + 1 == r.sections);
  switch (way.how) {
    case feed_arrangement::one_end: return near;
    case feed_arrangement::far_end: return far;
    case feed_arrangement::both_ends: return near && far;
    case feed_arrangement::middle: return anywhere;
    case feed_arrangement::points: return anywhere;
    case feed_arrangement::ring: return asked.closes && r.sections == 1;
  }
  return false;
}

/// Cable route from the hub to a cut mark of a run: to an end as it was measured; to a place between beside the tape
/// from the end that is nearer by cable.
constexpr metres route_to(const draft& d, const run_plan& r, std::int64_t at) noexcept {
  const run& asked = d.asked(r);
  const tape& t = d.tape_of(r);
  const auto segments = segments_of(asked, t.cut_pitch);
  const std::int64_t mark = r.first + at, whole = segments.ok() ? *segments : mark;
  if (mark == 0) return asked.from_controller;
  if (mark == whole) return asked.to_far_end;
  const metres from_near = asked.from_controller + t.cut_pitch * static_cast<double>(mark);
  const metres from_far = asked.to_far_end + t.cut_pitch * static_cast<double>(whole - mark);
  return (from_far < from_near ? from_far : from_near) + asked.between_extra;
}

/// Lays a way of feeding into a run: its feed points with their routes.
constexpr void lay_points(draft& d, run_plan& r, const feed_way& way, metres from_driver) noexcept {
  r.arrangement = way.how;
  const feed_places places = tapewright::detail::places_of(way.how, r.cut.segments, way.points);
  r.more_feeds = way.how == feed_arrangement::ring ? 0 : static_cast<std::int32_t>(places.size()) - 1;
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
    tape_feed& f = d.feed_of(r, k);
    f.feeder = {};
    f.join = feed_join::free_tail;
    f.connector = -1;
    f.joint = {};
    f.at = places[static_cast<std::size_t>(k)];
    f.feeder.route = route_to(d, r, f.at) + from_driver;
    f.feeder.cut = cut_of(d, f.feeder.route);
  }
}

/// The link parts of a run, by what the tape alone sends through them; a soldered bridge where none fits.
constexpr void choose_links(draft& d, run_plan& r) noexcept {
  for (std::int32_t s = 0; s < r.stretches; ++s) {
    stretch_plan& p = d.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(s)];
    const bool closing = s == 0 && r.arrangement == feed_arrangement::ring;
    if (s == 0) p.linked = closing;
    p.connector = -1;
    p.link = {};
    if (!p.linked || d.question.rules.join == join_preference::soldered_first) continue;
    // what the tape alone sends through its busiest link, with the room that the load's own sizing leaves
    const double more = r.all_on.total.v > 0 ? r.load.total_sized / r.all_on.total : 1.0;
    const auto choice = choose_connector(joint_duty(d, r, larger(more, 1.0) * r.link_current, {}),
                                         connector_use::tape_to_tape, d.parts.connectors);
    if (!choice.ok() || choice->connector < 0) continue;
    p.connector = choice->connector;
    p.link = choice->check;
  }
}

/// How a way of feeding a run stands: what it costs, and how much it uses of what is allowed.
struct weighed_way {
  bool holds = false;
  double utilisation = infinity;
  cost price = no_choice;
};

/// Weighs the way that is laid in a run: the tape alone against light, drop, feed current and length; and the
/// cheapest feeders, joints and splices that it asks for, before the supply cable took its share.
constexpr outcome<weighed_way> weigh_way(draft& d, const hub_plan& h, run_plan& r) noexcept {
  weighed_way out;
  if (const fault f = solve_alone(d, r)) return f;
  if (!r.solved) return out;
  const tape& t = d.tape_of(r);
  const design_rules& rules = d.question.rules;
  choose_links(d, r);
  double used = larger((1 - r.all_on.least_evenness) / larger(1 - rules.least_evenness, 1e-9), 0.0);
  double drop = 0;
  for (std::int32_t c = 0; c < r.all_on.channels; ++c)
    drop = larger(drop, (t.nominal - r.all_on.last_load[c]) / t.nominal);
  used = larger(used, drop / rules.drop_to_lamp);
  feed_places places;
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) places.push(d.feed_of(r, k).at);
  const bool ring = r.arrangement == feed_arrangement::ring;
  if (ring) places.push(r.cut.segments);
  if (t.single_feed_limit.v > 0)
    used = larger(
        used, tapewright::detail::longest_way(places, r.cut.segments) * t.cut_pitch / t.single_feed_limit);
  const amps splice_limit = r.load.total_sized;
  cost price;
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
    tape_feed& f = d.feed_of(r, k);
    if (t.feed_point_limit.v > 0) used = larger(used, (ring ? 0.5 : 1.0) * f.current / t.feed_point_limit);
    if (r.more_feeds == 0 && !needs_cable(d, h, r, f)) continue;
    const feeder_question q = feeder_question_of(d, h, r, f, {});
    const cheapest_feeder cable = cheapest_for(d, r, q);
    price += cable.price;
    if (cable.cable < 0) continue;
    f.feeder.cable = cable.cable;
    f.feeder.check.conductor.area =
        check_feeder(q, d.parts.cables[static_cast<std::size_t>(cable.cable)])->conductor.area;
    join_tape(d, r, f);
    price += f.join == feed_join::connector
                 ? cost_of(d.parts.connectors[static_cast<std::size_t>(f.connector)].price, 1)
                 : cost_of(rules.solder_fee, 1);
    f.feeder.cable = -1;
    f.connector = -1;
    if (k > 0) {  // one splice more on each conductor, of the cheapest kind that carries the run
      cost splice = no_choice;
      for (const connector& c : d.parts.connectors)
        if (c.use == connector_use::cable_to_cable && c.ways >= 3 && c.rated >= splice_limit &&
            cost_of(c.price, r.load.channels + 1) < splice)
          splice = cost_of(c.price, r.load.channels + 1);
      price += splice;
    }
  }
  for (std::int32_t s = 0; s < r.stretches; ++s) {
    const stretch_plan& p =
        d.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(s)];
    if (!p.linked) continue;
    price += p.connector >= 0 ? cost_of(d.parts.connectors[static_cast<std::size_t>(p.connector)].price, 1)
                              : cost_of(rules.solder_fee, 1);
  }
  out.utilisation = used;
  out.price = price;
  out.holds = within(used) && price.unbuildable == 0;
  return out;
}

struct chosen_way {
  std::int32_t way = -1;
  bool holds = false;
};

/// The cheapest way of feeding a run that keeps every limit, of those not `tried` (one bit each); where none
/// does, the one that misses by least; -1 where none is left.
constexpr outcome<chosen_way> choose_way(draft& d, const hub_plan& h, run_plan& r, metres from_driver,
                                         std::int32_t tried) noexcept {
  std::int32_t best = -1;
  weighed_way least;
  for (std::int32_t n = 0; n < ways_to_feed; ++n) {
    const feed_way way = way_at(n);
    if ((tried >> n & 1) != 0 || !reaches(d, r, way)) continue;
    lay_points(d, r, way, from_driver);
    const outcome<weighed_way> w = weigh_way(d, h, r);
    if (!w) return w.why();
    const bool better = best < 0 || (w->holds != least.holds ? w->holds
                                     : w->holds              ? w->price < least.price
                                                             : w->utilisation < least.utilisation);
    if (!better) continue;
    best = n;
    least = *w;
  }
  return chosen_way{best, best >= 0 && least.holds};
}

/// Lays a way of feeding for good: points, tape alone, links.
constexpr fault take_way(draft& d, run_plan& r, std::int32_t n, metres from_driver) noexcept {
  lay_points(d, r, way_at(n), from_driver);
  if (const fault f = solve_alone(d, r)) return f;
  choose_links(d, r);
  return {};
}

constexpr std::int32_t feeders_of(const draft& d, std::int32_t hub) noexcept {
  std::int32_t sum = 0;
  for (const run_plan& r : d.runs_of(hub))
    if (r.hub == hub) sum += r.more_feeds + 1;
  return sum;
}

/// Decides a hub's cables, splices and joints. The contacts take their share of the drop, but which
/// contacts there are is known only when the cables are: rounds until the contacts stay as they were,
/// three at most, and verification has the last word. A thinner cable that only a soldered tail leaves drop enough
/// for keeps its tail in the last round, or cable and joint would change with one another for ever.
constexpr void decide_hub(draft& d, std::int32_t hub, volts nominal, wiring how = wiring::cheapest) noexcept {
  for (int round = 0; round < 3; ++round) {
    hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
    wire_hub(d, hub, nominal, how);
    const std::int32_t splice = h.splice;
    splice_hub(d, hub, nominal);
    bool settled = splice == h.splice;
    each_feed(d, hub, [&](run_plan& r, tape_feed& f) noexcept {
      const std::int32_t connector = f.connector;
      if (round < 2 || f.join != feed_join::soldered_tail) join_tape(d, r, f);
      settled = settled && connector == f.connector;
    });
    if (settled) return;
  }
}

/// Tells what could not be decided for a hub: no supply cable, no splice, no feeder.
constexpr void tell_missing(draft& d, std::int32_t hub) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  if (!hangs_on_driver(h) && !h.supply.check.fits)
    tell_no_cable(d, finding_code::no_supply_cable, {subject_kind::hub, hub}, h.supply.check);
  if (h.feeders > 1 && h.splice < 0)
    d.findings.push({.code = finding_code::no_connector,
                     .level = severity::failed,
                     .subject = {subject_kind::hub, hub},
                     .value = h.total.v,
                     .utilisation = boundless_utilisation,
                     .from = source::iec_60512_5_2,
                     .help = advice::widen_catalogue,
                     .stopped_by = governed::ways});
  each_feed(d, hub, [&](const run_plan& r, const tape_feed& f) noexcept {
    if (needs_cable(d, h, r, f) && !f.feeder.check.fits)
      tell_no_cable(d, finding_code::no_feeder, {subject_kind::run, r.place}, f.feeder.check);
  });
}

/// Cable numbers in the order of the connection schedule: output by output, hub by hub.
constexpr void number_cables(draft& d) noexcept {
  std::int32_t number = 0;
  const auto number_hub = [&](std::size_t hub) noexcept {
    if (d.hubs[hub].supply.cable >= 0) d.hubs[hub].supply.number = ++number;
    each_feed(d, static_cast<std::int32_t>(hub), [&](run_plan&, tape_feed& f) noexcept {
      if (f.feeder.cable >= 0) f.feeder.number = ++number;
    });
  };
  for (std::size_t o = 0; o < d.outputs.size(); ++o)
    for (std::size_t h = 0; h < d.hubs.size(); ++h)
      if (d.hubs[h].output == static_cast<std::int32_t>(o)) number_hub(h);
  for (std::size_t h = 0; h < d.hubs.size(); ++h)
    if (d.hubs[h].output < 0) number_hub(h);
}

/// Whether the solved network keeps a run's light and drop; what is not solved is not kept.
constexpr bool keeps_light(const draft& d, const run_plan& r, const line_figures& f) noexcept {
  const design_rules& rules = d.question.rules;
  const volts nominal = d.tape_of(r).nominal;
  double drop = 0;
  for (std::int32_t c = 0; c < f.channels; ++c) drop = larger(drop, (nominal - f.last_load[c]) / nominal);
  return within(drop / rules.drop_to_lamp) && f.least_evenness * (1 + 1e-9) >= rules.least_evenness;
}

/// Whether a feed point of a hub misses its drop at nominal currents.
constexpr bool misses_drop(draft& d, std::int32_t hub) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const hub_share shared = share_of(h.supply.check, {});
  bool misses = false;
  each_feed(d, hub, [&](const run_plan& r, const tape_feed& f) noexcept {
    misses = misses || (f.feeder.cable >= 0 ? !f.feeder.check.fits && f.feeder.check.by == governed::drop
                                            : drop_left(d, h, r, f, d.tape_of(r).nominal, shared) < 0);
  });
  return misses;
}

/// Whether the solved network keeps the drop to every feed point and lamp of a hub.
constexpr bool keeps_drop(const draft& d, std::int32_t hub, volts nominal) noexcept {
  if (!solve_hub(d, hub, {.source = nominal}, d.figures).ok()) return false;
  const design_rules& rules = d.question.rules;
  const auto used = [&](volts there, double limit) noexcept { return (nominal - there) / nominal / limit; };
  for (const run_plan& r : d.runs_of(hub)) {
    if (r.hub != hub) continue;
    const line_figures& f = d.figures[static_cast<std::size_t>(r.place)];
    for (std::int32_t k = 0; k <= r.more_feeds; ++k)
      if (!within(used(lowest_at(d, r, k, f, all_lit), rules.drop_to_feed))) return false;
    for (std::int32_t c = 0; c < f.channels; ++c)
      if (!within(used(f.last_load[c], rules.drop_to_lamp))) return false;
  }
  return true;
}

/// Decides a hub: routes, ways of feeding, cables, splices, joints. Where the solved network then breaks the
/// light or the drop of a run that has another way of being fed, that way is taken instead and all is decided
/// again, in eight rounds at most.
constexpr fault feed_hub_runs(draft& d, std::int32_t hub) noexcept {
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const metres to_hub = d.zone_of(h).from_driver;
  const volts nominal = d.nominal_of(hub);
  // a hub of one run without a controller has no supply cable while that run has one feed point
  const bool alone = h.controller < 0 && h.runs == 1;
  const auto from_driver = [&]() noexcept { return alone ? to_hub : metres{}; };
  h.feeders = h.runs;
  bool choice = false;
  for (run_plan& r : d.runs_of(hub)) {
    if (r.hub != hub) continue;
    std::int32_t& tried = d.scratch[static_cast<std::size_t>(r.place)];
    tried = 0;
    if (is_plain(d.asked(r))) {
      lay_points(d, r, way_at(0), from_driver());
      if (const fault f = solve_alone(d, r)) return f;
      continue;
    }
    choice = true;
    const outcome<chosen_way> best = choose_way(d, h, r, from_driver(), 0);
    if (!best) return best.why();
    if (best->way < 0)
      return at_item({fault_code::contradiction, field::arrangements,
                      static_cast<double>(d.asked(r).arrangements), 1, every_arrangement, -1},
                     static_cast<std::size_t>(r.run));
    tried = 1 << best->way;
    if (const fault f = take_way(d, r, best->way, from_driver())) return f;
  }
  for (int round = 0;; ++round) {
    h.feeders = feeders_of(d, hub);
    const bool direct = hangs_on_driver(h);
    h.supply.route = direct ? metres{} : to_hub;
    h.supply.cut = direct ? metres{} : cut_of(d, to_hub);
    if (alone && !direct)
      each_feed(d, hub, [&](run_plan& r, tape_feed& f) noexcept {
        f.feeder.route = route_to(d, r, f.at);
        f.feeder.cut = cut_of(d, f.feeder.route);
      });
    decide_hub(d, hub, nominal);
    if (!direct && misses_drop(d, hub) && !keeps_drop(d, hub, nominal))
      decide_hub(d, hub, nominal, wiring::with_care);
    if (!choice || round >= 8) break;
    const auto solved = solve_hub(d, hub, {.source = nominal}, d.figures);
    bool again = false;
    for (run_plan& r : d.runs_of(hub)) {
      if (r.hub != hub || is_plain(d.asked(r))) continue;
      if (solved.ok() && keeps_light(d, r, d.figures[static_cast<std::size_t>(r.place)])) continue;
      std::int32_t& tried = d.scratch[static_cast<std::size_t>(r.place)];
      if (tried == every_way) continue;
      const std::int32_t now = laid_way(r);
      const outcome<chosen_way> other = choose_way(d, h, r, from_driver(), tried);
      if (!other) return other.why();
      const bool gains = other->way >= 0 && other->holds;
      if (const fault f = take_way(d, r, gains ? other->way : now, from_driver())) return f;
      tried = gains ? tried | 1 << other->way : every_way;
      again = true;
    }
    if (!again) break;
  }
  return {};
}

/// Calls visit(hub) for each hub of an output.
template <class Visit>
constexpr void each_hub(const draft& d, std::int32_t output, const Visit& visit) noexcept {
  for (std::size_t h = 0; h < d.hubs.size(); ++h)
    if (d.hubs[h].output == output) visit(static_cast<std::int32_t>(h));
}

/// Whether an output's cables and splices are found. A drop that a cable breaks is left to the solved network.
constexpr bool is_wired(draft& d, std::int32_t output) noexcept {
  bool all = true;
  const auto found = [](const feeder_check& c) noexcept { return c.fits || c.by == governed::drop; };
  each_hub(d, output, [&](std::int32_t hub) noexcept {
    const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
    all = all && (hangs_on_driver(h) || found(h.supply.check)) && (h.feeders < 2 || h.splice >= 0);
    each_feed(d, hub, [&](const run_plan& r, const tape_feed& f) noexcept {
      all = all && (!needs_cable(d, h, r, f) || found(f.feeder.check));
    });
  });
  return all;
}

/// What a piece of cable costs that is bought by itself.
constexpr cost cost_of_cable(const cable& k, metres cut) noexcept {
  const auto units = sale_units(cut, k.sale_quantum);
  return units.ok() ? cost_of_piece(k.price, *units) : cost{};
}

/// What the wiring of an output counts: its cables, splices, joints and links, each by itself.
/// @param cable_price  cost(const cable&, metres cut)
template <class CablePrice = decltype(cost_of_cable)>
constexpr cost cost_of_wiring(draft& d, std::int32_t output,
                              const CablePrice& cable_price = cost_of_cable) noexcept {
  cost sum;
  const auto add_cable = [&](const laid_cable& w) noexcept {
    if (w.cable >= 0)
      sum += cable_price(d.parts.cables[static_cast<std::size_t>(w.cable)], w.cut) - cost{.price = w.credit};
  };
  const auto add_joint = [&](bool made, std::int32_t connector) noexcept {
    if (connector >= 0) sum += cost_of(d.parts.connectors[static_cast<std::size_t>(connector)].price, 1);
    else if (made) sum += cost_of(d.question.rules.solder_fee, 1);
  };
  each_hub(d, output, [&](std::int32_t hub) noexcept {
    const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
    add_cable(h.supply);
    if (h.splice >= 0)
      sum += cost_of(d.parts.connectors[static_cast<std::size_t>(h.splice)].price, h.splices);
    each_feed(d, hub, [&](const run_plan& r, const tape_feed& f) noexcept {
      add_cable(f.feeder);
      add_joint(f.join == feed_join::soldered_tail, f.connector);
      if (&f != &r) return;  // once a run
      for (const stretch_plan& p : d.stretches.all().subspan(static_cast<std::size_t>(r.stretches_from),
                                                             static_cast<std::size_t>(r.stretches)))
        add_joint(p.linked, p.connector);
    });
  });
  return sum;
}

constexpr fault feed_output(draft& d, std::int32_t output, const protection_demand& asked) noexcept {
  output_plan& o = d.outputs[static_cast<std::size_t>(output)];
  o.cable_ampacity = asked.ampacity;
  o.greatest_loop = asked.greatest_loop;
  o.cable_area = asked.least_area;
  fault why;
  each_hub(d, output, [&](std::int32_t hub) noexcept {
    if (!why) why = feed_hub_runs(d, hub);
  });
  return why;
}

/// The overcurrent device that fits an output as it is wired.
constexpr overcurrent_choice device_of(const draft& d, std::int32_t output) noexcept {
  const wiring_behind w = wiring_of(d, output);
  overcurrent_choice none;
  none.needed = false;
  if (!w.has_cable()) return none;
  const auto choice = choose_overcurrent(duty_of(d, d.outputs[static_cast<std::size_t>(output)], w),
                                         d.parts.overcurrent_devices);
  return choice.ok() ? *choice : overcurrent_choice{};
}

/// Where the cheapest cables leave an output without an overcurrent device that fits, feeds its hubs anew: thick
/// enough to need none, or as a device asks that carries the load. The cheapest wiring that is protected is kept, and
/// the first by code among equals; where there is none, all stays as it was.
constexpr fault thicken_for_protection(draft& d, std::int32_t output) noexcept {
  const auto is_protected = [&](const overcurrent_choice& c) noexcept { return !c.needed || c.device >= 0; };
  if (is_protected(device_of(d, output)) || !is_wired(d, output)) return {};
  const output_plan& o = d.outputs[static_cast<std::size_t>(output)];
  const overcurrent_duty duty = duty_of(d, o, wiring_of(d, output));
  const auto devices = d.parts.overcurrent_devices;
  cost least = no_choice;
  std::int32_t best = -1;
  protection_demand kept;
  const auto attempt = [&](const protection_demand& asked, std::int32_t first) noexcept {
    if (const fault f = feed_output(d, output, asked)) return f;
    if (!is_wired(d, output)) return fault{};
    const overcurrent_choice found = device_of(d, output);
    if (!is_protected(found)) return fault{};
    cost price = cost_of_wiring(d, output);
    if (found.device >= 0) price += cost_of(devices[static_cast<std::size_t>(found.device)].price, 1);
    if (best >= 0 ? !is_better(price, static_cast<std::size_t>(first), least, best, devices) : price >= least)
      return fault{};
    least = price;
    best = first;
    kept = asked;
    return fault{};
  };
  if (duty.source_limit.v > 0)
    if (const fault f = attempt({.ampacity = duty.source_limit}, -1)) return f;
  for (std::size_t i = 0; i < devices.size(); ++i) {
    const auto check = check_overcurrent(devices[i], duty);
    if (!check.ok() || !check->voltage_fits || !within(check->load_utilisation)) continue;
    if (duty.source_limit.v > 0 && !within(utilisation(check->operating, duty.source_limit))) continue;
    if (const fault f =
            attempt(demand_of(d.question.rules, devices[i], duty.voltage), static_cast<std::int32_t>(i)))
      return f;
  }
  return feed_output(d, output, kept);
}

/// Closes the gaps that the runs left in the list of further feed points.
constexpr void close_ranks(draft& d) noexcept {
  std::size_t at = 0;
  for (run_plan& r : d.runs) {
    const auto from = static_cast<std::size_t>(r.feeds_from);
    r.feeds_from = static_cast<std::int32_t>(at);
    for (std::size_t k = 0; k < static_cast<std::size_t>(r.more_feeds); ++k) {
      const tape_feed moved = d.feeds[from + k];
      d.feeds[at++] = moved;
    }
  }
  d.feeds.keep(at);
}

}  // namespace detail

/// Takes runs, hubs and drivers; decides how each run is fed, every cable, joint, link and splice. Scratch: one
/// number a run.
constexpr fault feed_runs(draft& d) noexcept {
  for (run_plan& r : d.runs) {
    r.feeds_from = static_cast<std::int32_t>(d.feeds.size());
    const std::int64_t more = is_plain(d.asked(r)) ? 0 : most_feeds(d.asked(r)) - 1;
    for (std::int64_t k = 0; k < more; ++k) d.feeds.push({});
  }
  for (std::size_t h = 0; h < d.hubs.size(); ++h)
    if (const fault f = detail::feed_hub_runs(d, static_cast<std::int32_t>(h))) return f;
  for (std::size_t o = 0; o < d.outputs.size(); ++o)
    if (const fault f = detail::thicken_for_protection(d, static_cast<std::int32_t>(o))) return f;
  for (std::size_t h = 0; h < d.hubs.size(); ++h) detail::tell_missing(d, static_cast<std::int32_t>(h));
  detail::close_ranks(d);
  detail::number_cables(d);
  return {};
}

}  // namespace tapewright::stage
