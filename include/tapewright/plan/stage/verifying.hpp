// SPDX-License-Identifier: BSL-1.0
// Stage 8: everything that was decided, held against every rule on the solved network.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>

#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

/// A temperature held against its limit: by comparison, since degrees Celsius have no ratio.
constexpr finding checked_temperature(finding_code code, subject about, celsius value, celsius limit,
                                      advice help) noexcept {
  const bool held = facts_of(code).good == sense::at_most ? value <= limit : value >= limit;
  finding f = checked(code, about, value.v, limit.v, source::maker_statement, help);
  f.level = held ? severity::ok : severity::failed;
  f.help = held ? advice::none : help;
  if (held) f.utilisation = smaller(f.utilisation, 1.0);
  else if (f.utilisation <= 1) f.utilisation = boundless_utilisation;
  return f;
}

/// Keeps what the solved network sends through feed points and links where it is more than they were sized for.
constexpr void note_currents(draft& d, std::int32_t hub) noexcept {
  std::size_t at = 0;
  bool fed = false;
  for (const run_plan& r : d.runs_of(hub)) fed = fed || (r.hub == hub && is_fed_in_parts(r));
  for (run_plan& r : d.runs_of(hub)) {
    if (!fed || r.hub != hub) continue;
    const fed_run_figures& f = d.fed.figures[at++];
    r.link_current = f.greatest_link_current;
    for (std::size_t c = 0; c < static_cast<std::size_t>(f.channels); ++c) r.at_hub[c] = f.at_terminals[c];
    for (std::int32_t k = 0; k <= r.more_feeds && r.more_feeds > 0; ++k) {
      tape_feed& point = d.feed_of(r, k);
      const amps solved = fed_point_of(d, r, k).common;
      if (solved > point.current) point.current = solved;
    }
  }
}

/// Solves a hub for its supply as it is set and both ends of its tolerance and writes what its runs get.
constexpr fault solve_states(draft& d, std::int32_t hub) noexcept {
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const double tolerance = d.question.rules.supply_tolerance;
  const volts given = d.source_of(hub);
  const auto nominal_state = solve_hub(d, hub, {.source = given}, d.figures);
  if (!nominal_state.ok()) return nominal_state.why();
  h.input = *nominal_state;
  for (run_plan& r : d.runs_of(hub))
    if (r.hub == hub) {
      r.all_on = d.figures[static_cast<std::size_t>(r.place)];
      r.solved = true;
      for (std::int32_t k = 0; k <= r.more_feeds; ++k)
        d.feed_of(r, k).at_nominal = lowest_at(d, r, k, r.all_on, all_lit);
    }
  note_currents(d, hub);
  const auto each = [&](double supply, celsius copper, volts hub_plan::*input, volts tape_feed::*feed,
                        volts run_plan::*end) noexcept {
    const auto state =
        solve_hub(d, hub, {.source = given * supply, .copper = copper, .resumed = true}, d.figures);
    if (!state.ok()) return state.why();
    h.*input = *state;
    for (run_plan& r : d.runs_of(hub)) {
      if (r.hub != hub) continue;
      const line_figures& f = d.figures[static_cast<std::size_t>(r.place)];
      r.*end = f.last_load[0];
      for (std::int32_t c = 1; c < f.channels; ++c)
        if (f.last_load[c] < r.*end) r.*end = f.last_load[c];
      for (std::int32_t k = 0; k <= r.more_feeds; ++k) d.feed_of(r, k).*feed = lowest_at(d, r, k, f, all_lit);
    }
    return fault{};
  };
  if (const fault f = each(1 - tolerance, hot_copper, &hub_plan::input_least, &tape_feed::feed_least,
                           &run_plan::end_least))
    return f;
  return each(1 + tolerance, cold_copper, &hub_plan::input_greatest, &tape_feed::feed_greatest,
              &run_plan::end_greatest);
}

/// The longest length that one feed point lights one way: between two of them each lights half.
constexpr metres one_way_length(const draft& d, const run_plan& r) noexcept {
  if (!is_fed_in_parts(r)) return r.cut.length;
  feed_places places;
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) places.push(d.feed_of(r, k).at);
  if (r.arrangement == feed_arrangement::ring) places.push(r.cut.segments);
  return d.tape_of(r).cut_pitch * tapewright::detail::longest_way(places, r.cut.segments);
}

/// Current of the busiest feed point; of a ring, whose two ends share one, that of the busier end.
constexpr amps busiest_end(const draft& d, const run_plan& r) noexcept {
  if (r.arrangement == feed_arrangement::ring) {
    const amps solved = d.fed.feeds[static_cast<std::size_t>(r.place)].common,
               half = 0.5 * r.load.total_sized;
    return solved > half ? solved : half;
  }
  amps most;
  for (std::int32_t k = 0; k <= r.more_feeds; ++k)
    if (d.feed_of(r, k).current > most) most = d.feed_of(r, k).current;
  return most;
}

/// What a run's tape says of its place, its length and its limits.
constexpr void check_tape(draft& d, std::int32_t at) noexcept {
  const run_plan& r = d.runs[static_cast<std::size_t>(at)];
  const run& asked = d.asked(r);
  const tape& t = d.tape_of(r);
  const subject about{subject_kind::run, at};
  const source maker = source::maker_statement;
  metres gaps, piece = r.cut.length;  // what links take is not left over; the longest piece
  for (std::int32_t s = 0; s < r.stretches; ++s) {
    const stretch_plan& p =
        d.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(s)];
    gaps += p.gap;
    if (s == 0 || p.cut.length > piece) piece = p.cut.length;
  }
  const double stretches = r.stretches > 1 ? r.stretches : 1;
  finding dark = checked(finding_code::dark_remainder, about, (r.cut.dark - gaps).v,
                         t.cut_pitch.v * stretches, source::common_practice, advice::none);
  if (r.cut.dark > length_noise(r.cut.length)) dark.level = severity::note;
  d.findings.push(dark);
  d.findings.push(checked_temperature(finding_code::tape_heat, about, asked.ambient, t.highest_ambient,
                                      advice::cooler_place));
  d.findings.push(checked_temperature(finding_code::tape_cold, about, asked.ambient, t.lowest_ambient,
                                      advice::other_tape));
  const std::int32_t wanted = d.zone_of(r).ingress;
  finding ip =
      checked(finding_code::tape_ingress, about, t.ingress, wanted, source::iec_60529, advice::other_tape);
  ip.level = ingress_at_least(t.ingress, wanted) ? severity::ok : severity::failed;
  if (ip.level == severity::failed && ip.utilisation <= 1) ip.utilisation = boundless_utilisation;
  if (ip.level == severity::failed) ip.help = advice::other_tape;
  d.findings.push(ip);
  d.findings.push(
      checked(finding_code::tape_piece, about, piece.v, t.longest_piece.v, maker, advice::feed_more_points));
  if (t.single_feed_limit.v > 0)
    d.findings.push(checked(finding_code::tape_single_feed, about, one_way_length(d, r).v,
                            t.single_feed_limit.v, maker, advice::feed_more_points));
  if (t.feed_point_limit.v > 0)
    d.findings.push(checked(finding_code::tape_feed_point, about, busiest_end(d, r).v, t.feed_point_limit.v,
                            maker, advice::feed_more_points));
  d.findings.push(checked(finding_code::tape_voltage, about,
                          d.source_of(r).v * (1 + d.question.rules.supply_tolerance), t.highest.v, maker,
                          advice::lower_output_voltage));
  if (t.all_on_limit.v > 0) {
    const watts_per_metre asked_for = r.load.from == maker ? t.all_on_limit : summed_load(t);
    d.findings.push(checked(finding_code::tape_all_on, about, asked_for.v, t.all_on_limit.v, maker,
                            advice::enforcing_controller, severity::strained));
  }
}

/// What the solved network says of a run.
constexpr void check_light(draft& d, std::int32_t at) noexcept {
  const run_plan& r = d.runs[static_cast<std::size_t>(at)];
  const design_rules& rules = d.question.rules;
  const subject about{subject_kind::run, at};
  if (!r.solved) return;
  const volts nominal = d.tape_of(r).nominal, given = d.source_of(r);
  double to_feed = 0, to_lamp = 0;
  for (std::int32_t c = 0; c < r.all_on.channels; ++c) {
    for (std::int32_t k = 0; k <= r.more_feeds; ++k)
      to_feed =
          larger(to_feed, (given - (k == 0 ? r.all_on.at_feed[c] : d.feed_of(r, k).at_nominal)) / nominal);
    to_lamp = larger(to_lamp, (given - r.all_on.last_load[c]) / nominal);
  }
  d.findings.push(checked(finding_code::drop_to_feed, about, to_feed, rules.drop_to_feed,
                          source::iec_60364_5_52_annex_g, advice::thicker_feeder));
  d.findings.push(checked(finding_code::drop_to_lamp, about, to_lamp, rules.drop_to_lamp,
                          source::iec_60364_7_715, advice::feed_more_points));
  d.findings.push(checked(finding_code::evenness, about, r.all_on.least_evenness, rules.least_evenness,
                          source::design_rule, advice::feed_more_points));
  const auto dimmest = lightness(rules.least_evenness);
  if (dimmest.ok())
    d.findings.push(checked(finding_code::lightness_step, about, r.all_on.lightness_step, 100 - *dimmest,
                            source::cie_1976, advice::feed_more_points));
  if (r.all_on.channels > 1)
    d.findings.push(checked(finding_code::colour_shift, about, r.all_on.colour_shift,
                            1 - rules.least_evenness, source::design_rule, advice::feed_more_points,
                            severity::strained));
}

/// A cable piece against the longest its maker supplies.
constexpr void check_piece(draft& d, const laid_cable& w, subject about) noexcept {
  const cable& row = d.parts.cables[static_cast<std::size_t>(w.cable)];
  if (row.stock.v > 0)
    d.findings.push(checked(finding_code::cable_piece, about, w.cut.v, row.stock.v, source::maker_statement,
                            advice::shorter_feeder));
}

/// What a feed point's feeder and joint carry.
constexpr void check_feed(draft& d, const run_plan& r, const tape_feed& f) noexcept {
  const subject about{subject_kind::run, r.place};
  if (f.feeder.cable >= 0) {
    const feeder_check& k = f.feeder.check;
    check_piece(d, f.feeder, about);
    if (k.ampacity_known)
      d.findings.push(checked(finding_code::feeder_ampacity, about,
                              r.more_feeds > 0 ? larger(f.current.v, k.common_current.v) : k.common_current.v,
                              k.ampacity.allowed.v, k.ampacity.base_source, advice::thicker_feeder));
    d.findings.push(checked(finding_code::feeder_conductor, about, k.conductor.area.v,
                            d.question.rules.least_conductor.v, source::iec_60364_7_715,
                            advice::thicker_feeder));
  }
  if (f.connector >= 0)
    d.findings.push(checked(finding_code::feed_connector, about, f.current.v, f.joint.allowed.v,
                            source::iec_60512_5_2, advice::other_connector));
}

/// What the links of a run carry, at most what its busiest one does.
constexpr void check_links(draft& d, const run_plan& r) noexcept {
  for (std::int32_t s = 0; s < r.stretches; ++s) {
    const stretch_plan& p =
        d.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(s)];
    if (p.connector >= 0)
      d.findings.push(checked(finding_code::link_current, {subject_kind::run, r.place}, r.link_current.v,
                              p.link.allowed.v, source::iec_60512_5_2, advice::other_connector));
  }
}

/// What a hub's controller and supply cable carry.
constexpr void check_hub(draft& d, std::int32_t hub) noexcept {
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const subject about{subject_kind::hub, hub};
  if (const controller* c = d.controller_of(h)) {
    amps busiest;
    for (const amps i : h.channel_current)
      if (i > busiest) busiest = i;
    d.findings.push(checked(finding_code::controller_channel, about, busiest.v, c->channel_limit.v,
                            source::maker_statement, advice::larger_controller));
    d.findings.push(checked(finding_code::controller_total, about, h.total.v, c->total_limit.v,
                            source::maker_statement, advice::larger_controller));
    d.findings.push(checked(finding_code::controller_terminal, about, h.total.v, c->terminal.v,
                            source::maker_statement, advice::larger_controller));
    d.findings.push(checked_temperature(finding_code::controller_heat, about, d.zone_of(h).driver_ambient,
                                        c->highest_ambient, advice::cooler_place));
  }
  if (h.splice >= 0)
    d.findings.push(checked(finding_code::splice_current, about, h.total.v, h.splice_check.allowed.v,
                            source::iec_60512_5_2, advice::other_connector));
  if (h.supply.cable >= 0) check_piece(d, h.supply, about);
  if (h.supply.cable >= 0 && h.supply.check.ampacity_known)
    d.findings.push(checked(finding_code::supply_ampacity, about, h.total.v,
                            h.supply.check.ampacity.allowed.v, h.supply.check.ampacity.base_source,
                            advice::thicker_feeder));
}

/// What a driver output gives, and what protects what hangs on it.
constexpr void check_output(draft& d, std::int32_t at) noexcept {
  const output_plan& o = d.outputs[static_cast<std::size_t>(at)];
  const driver_plan& p = d.drivers[static_cast<std::size_t>(o.driver)];
  const driver& s = d.parts.drivers[static_cast<std::size_t>(p.part)];
  const zone& z = d.question.zones[static_cast<std::size_t>(p.zone)];
  const subject about{subject_kind::driver, o.driver};
  const source maker = source::maker_statement;
  const volts given = o.gives(s.output);
  d.findings.push(checked(finding_code::driver_capacity, about,
                          o.check.needed.v * larger(given / s.output, 1), o.check.capacity.v, maker,
                          advice::larger_driver));
  d.findings.push(checked(finding_code::driver_current, about, o.check.current.v, o.check.current_limit.v,
                          maker, advice::larger_driver));
  if (s.least_load.v > 0)
    d.findings.push(checked(finding_code::driver_least_load, about, o.load.v, s.least_load.v, maker,
                            advice::larger_driver));
  if (s.output_connector.v > 0)
    d.findings.push(checked(finding_code::driver_connector, about, o.current.v, s.output_connector.v, maker,
                            advice::larger_driver));
  if (o.plug >= 0)
    d.findings.push(checked(finding_code::plug_current, about, o.current.v, o.plug_check.allowed.v,
                            source::iec_60512_5_2, advice::other_connector));
  if (z.limited_energy)
    d.findings.push(checked(finding_code::limited_energy, about, o.check.class_nameplate.v,
                            o.check.class_current.v, o.check.class_source, advice::larger_driver));
  d.findings.push(checked(finding_code::extra_low_voltage, about,
                          given.v * (1 + d.question.rules.supply_tolerance), elv_direct_voltage.v,
                          source::iec_61140, advice::other_tape));
}

}  // namespace detail

/// Takes the whole decided plan; solves every hub for its supply and both ends of its tolerance
/// and writes one finding a rule. Needs 18 findings a run, 7 a hub, 7 an output, 4 a further
/// feed point, 1 a link; `figures` as scratch.
/// A hub whose network has no steady state is told as a finding.
constexpr fault verify(draft& d) noexcept {
  for (std::size_t h = 0; h < d.hubs.size(); ++h) {
    const auto hub = static_cast<std::int32_t>(h);
    if (const fault f = detail::solve_states(d, hub)) {
      for (run_plan& r : d.runs_of(hub))
        if (r.hub == hub) r.solved = false;
      d.findings.push({.code = finding_code::unsolved_network,
                       .level = severity::failed,
                       .subject = {subject_kind::hub, hub},
                       .value = f.given,
                       .limit = f.most,
                       .utilisation = boundless_utilisation,
                       .from = source::closed_form,
                       .help = advice::feed_more_points});
    }
    detail::check_hub(d, hub);
  }
  for (std::size_t r = 0; r < d.runs.size(); ++r) {
    const auto at = static_cast<std::int32_t>(r);
    detail::check_tape(d, at);
    detail::check_light(d, at);
    const run_plan& run = d.runs[r];
    for (std::int32_t k = 0; k <= run.more_feeds; ++k) detail::check_feed(d, run, d.feed_of(run, k));
    detail::check_links(d, run);
  }
  for (std::size_t o = 0; o < d.outputs.size(); ++o) detail::check_output(d, static_cast<std::int32_t>(o));
  return {};
}

}  // namespace tapewright::stage
