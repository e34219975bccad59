// SPDX-License-Identifier: BSL-1.0
// Stage 2: the runs of each zone onto as many controllers as the limits ask.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/text.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/run_load.hpp"

namespace tapewright::stage {

namespace detail {

/// What may carry a group of runs: the controller that leads, those that follow it where one is not
/// enough (repeaters, or more of the same), and the most that one driver output can give to any.
struct carriers {
  std::int32_t lead = -1, follow = -1;  ///< places in catalogue.controllers; -1 = no controller
  amps supply_limit;
};

constexpr bool needs_controller(const draft& d, const run_plan& r) noexcept {
  const zone& z = d.zone_of(r);
  return z.wants_controller || !z.features.empty() || d.tape_of(r).channels.size() > 1;
}

constexpr const controller* controller_at(const draft& d, std::int32_t at) noexcept {
  return at < 0 ? nullptr : &d.parts.controllers[static_cast<std::size_t>(at)];
}

constexpr controller_duty duty_of(const draft& d, const hub_plan& h, const tape& t) noexcept {
  return {.channel_current = h.channel_current,
          .total = h.total,
          .input = t.nominal,
          .common = t.common,
          .ambient = d.zone_of(h).driver_ambient};
}

/// Adds a run's load to a hub that may be empty.
constexpr void add_load(hub_plan& h, const tape_load& load) noexcept {
  for (std::int32_t c = 0; c < load.channels; ++c) {
    const auto at = static_cast<std::size_t>(c);
    if (at < h.channel_current.size()) h.channel_current[at] += load.channel_current[at];
    else h.channel_current.push(load.channel_current[at]);
  }
  h.total += load.total_sized;
  h.load += load.sized;
  ++h.runs;
}

/// Puts the runs of `group` (places in d.runs, greatest current first) onto hubs appended to d.hubs,
/// each run on the first hub that still takes it. Returns how many hubs that took, or 0, and leaves
/// d.hubs as it was, where a run fits none. First fit decreasing: a way to few hubs, not a
/// proof that fewer would not do (there are as many limits as channels, and the total).
constexpr std::int32_t pack(draft& d, std::span<const std::int32_t> group, const carriers& by) noexcept {
  const std::size_t base = d.hubs.size();
  for (const std::int32_t at : group) {
    run_plan& r = d.runs[static_cast<std::size_t>(at)];
    const tape& t = d.tape_of(r);
    bool placed = false;
    for (std::size_t h = base; h <= d.hubs.size() && h < d.hubs.capacity() && !placed; ++h) {
      const bool opened = h == d.hubs.size();
      const std::int32_t part = h == base ? by.lead : by.follow;
      const controller* c = controller_at(d, part);
      hub_plan tried = opened ? hub_plan{.zone = d.asked(r).zone, .controller = part} : d.hubs[h];
      const auto load = run_load(d, r, c != nullptr && c->enforces_all_on_limit);
      if (!load.ok()) break;
      add_load(tried, *load);
      placed = tried.total <= by.supply_limit;
      if (placed && c != nullptr) {
        const auto check = check_controller(*c, duty_of(d, tried, t));
        placed = check.ok() && check->fits;
        if (placed) tried.check = *check;
      }
      if (!placed) {
        if (opened) break;
        continue;
      }
      tried.follows = h == base ? -1 : static_cast<std::int32_t>(base);
      if (opened) d.hubs.push(tried);
      else d.hubs[h] = tried;
      r.hub = static_cast<std::int32_t>(h);
      r.load = *load;
    }
    if (!placed) {
      d.hubs.keep(base);
      return 0;
    }
  }
  return static_cast<std::int32_t>(d.hubs.size() - base);
}

/// Whether a controller may lead this run's zone at all: what it is, before how much it carries.
constexpr bool may_lead(const controller& c, const zone& z, const tape& t) noexcept {
  return !c.is_repeater && meets(c.features, z.features) &&
         static_cast<std::size_t>(c.channels) >= t.channels.size();
}

struct chosen_carriers {
  carriers by;
  cost price = no_choice;
};

/// The cheapest way to carry the group: every leading controller with itself or any repeater behind it.
constexpr chosen_carriers choose_carriers(draft& d, std::span<const std::int32_t> group) noexcept {
  const run_plan& first = d.runs[static_cast<std::size_t>(group[0])];
  const zone& z = d.zone_of(first);
  const tape& t = d.tape_of(first);
  const amps supply_limit = greatest_output(d, z, t.nominal);
  chosen_carriers best;
  const auto weigh = [&](std::int32_t lead, std::int32_t follow) noexcept {
    const std::size_t base = d.hubs.size();
    const carriers by{lead, follow, supply_limit};
    const std::int32_t hubs = pack(d, group, by);
    d.hubs.keep(base);
    if (hubs == 0 || (hubs == 1 && lead != follow)) return;
    cost price;
    if (lead < 0) price.parts = hubs - 1;  // hubs without controller: fewer is better
    else {
      price = cost_of(controller_at(d, lead)->price, 1);
      price += cost_of(controller_at(d, follow)->price, hubs - 1);
    }
    if (price < best.price) best = {by, price};
  };
  if (!needs_controller(d, first)) {
    weigh(-1, -1);
    return best;
  }
  const auto count = static_cast<std::int32_t>(d.parts.controllers.size());
  for (std::int32_t lead = 0; lead < count; ++lead) {
    if (!may_lead(*controller_at(d, lead), z, t)) continue;
    weigh(lead, lead);
    for (std::int32_t follow = 0; follow < count; ++follow)
      if (controller_at(d, follow)->is_repeater) weigh(lead, follow);
  }
  return best;
}

/// Puts a group where it costs least; false, and nothing decided, where nothing carries it.
constexpr bool carry(draft& d, std::span<const std::int32_t> group) noexcept {
  const chosen_carriers chosen = choose_carriers(d, group);
  return chosen.price < no_choice && pack(d, group, chosen.by) > 0;
}

/// Tells why no controller carries a run: the limit that the nearest candidate breaks, and by how much.
constexpr void tell_no_controller(draft& d, std::int32_t at) noexcept {
  const run_plan& r = d.runs[static_cast<std::size_t>(at)];
  const zone& z = d.zone_of(r);
  const tape& t = d.tape_of(r);
  finding f{.code = finding_code::no_controller,
            .level = severity::failed,
            .subject = {subject_kind::run, at},
            .utilisation = boundless_utilisation,
            .from = source::maker_statement,
            .help = advice::widen_catalogue,
            .stopped_by = needs_controller(d, r) ? governed::features : governed::capacity};
  hub_plan alone{.zone = d.asked(r).zone};
  add_load(alone, r.load);
  for (const controller& c : d.parts.controllers) {
    if (!needs_controller(d, r) || !may_lead(c, z, t)) continue;
    const auto check = check_controller(c, duty_of(d, alone, t));
    if (!check.ok()) continue;
    const double missed = check->fits ? 1.0 : larger(check->utilisation, 1.0);
    if (missed >= f.utilisation) continue;
    f.utilisation = missed;
    f.stopped_by = check->by;
    f.help = advice::larger_controller;
    const auto busiest = static_cast<std::size_t>(check->worst_channel);
    switch (check->by) {
      case governed::channel_current:
        f.value = alone.channel_current[busiest].v;
        f.limit = c.channel_limit.v;
        break;
      case governed::total_current:
        f.value = alone.total.v;
        f.limit = c.total_limit.v;
        break;
      case governed::terminal_current:
        f.value = alone.total.v;
        f.limit = c.terminal.v;
        break;
      case governed::ambient:
        f.value = z.driver_ambient.v;
        f.limit = c.highest_ambient.v;
        f.help = advice::cooler_place;
        break;
      case governed::input_voltage:
        f.value = t.nominal.v;
        f.limit = c.highest_input.v;
        break;
      default: break;
    }
  }
  const amps supply = greatest_output(d, z, t.nominal);
  if (f.limit == 0 && alone.total > supply) {
    f.value = alone.total.v;
    f.limit = supply.v;
    f.utilisation = utilisation(alone.total, supply);
    f.stopped_by = governed::capacity;
    f.help = advice::feed_more_points;
  }
  d.findings.push(f);
}

/// The runs of one zone that one kind of controller can carry together: same voltage, same polarity.
constexpr bool same_group(const draft& d, const run_plan& a, const run_plan& b) noexcept {
  return d.asked(a).zone == d.asked(b).zone && d.tape_of(a).nominal == d.tape_of(b).nominal &&
         d.tape_of(a).common == d.tape_of(b).common && needs_controller(d, a) == needs_controller(d, b);
}

}  // namespace detail

/// Takes the cut runs; decides the hub of each and every hub's controller; scratch: one number a run.
/// Where nothing carries a whole group its runs are tried one by one; a run that nothing carries is
/// told as a finding and gets a bare hub, so that the rest of the plan can still be judged.
constexpr fault switch_runs(draft& d) noexcept {
  for (std::size_t i = 0; i < d.runs.size(); ++i) {
    if (d.runs[i].hub >= 0) continue;
    std::size_t count = 0;
    for (std::size_t k = i; k < d.runs.size(); ++k)
      if (d.runs[k].hub < 0 && detail::same_group(d, d.runs[i], d.runs[k]))
        d.scratch[count++] = static_cast<std::int32_t>(k);
    const std::span<std::int32_t> group = d.scratch.first(count);
    std::sort(group.begin(), group.end(), [&](std::int32_t a, std::int32_t b) {
      const run_plan& x = d.runs[static_cast<std::size_t>(a)];
      const run_plan& y = d.runs[static_cast<std::size_t>(b)];
      if (x.load.total_sized != y.load.total_sized) return x.load.total_sized > y.load.total_sized;
      return text_before(d.asked(x).code, d.asked(y).code);
    });
    if (detail::carry(d, group)) continue;
    for (std::size_t k = 0; k < count; ++k) {
      if (count > 1 && detail::carry(d, group.subspan(k, 1))) continue;
      const std::int32_t at = group[k];
      run_plan& r = d.runs[static_cast<std::size_t>(at)];
      hub_plan bare{.zone = d.asked(r).zone};
      detail::add_load(bare, r.load);
      detail::tell_no_controller(d, at);
      r.hub = static_cast<std::int32_t>(d.hubs.size());
      d.hubs.push(bare);
    }
  }
  return {};
}

}  // namespace tapewright::stage
