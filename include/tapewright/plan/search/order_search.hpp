// SPDX-License-Identifier: BSL-1.0
// Every way to share a few runs out to controllers, outputs and drivers, of which the cheapest whole order is kept.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/search/packing_question.hpp"

namespace tapewright {

/// A job of more runs, kinds of controller or kinds of driver than this is not searched as a whole.
inline constexpr std::size_t searched_runs = 8, searched_kinds = 48;

/// A hub of a given order: its controller (-1 = none), the hub that it follows (-1 = it leads), its output.
struct given_hub {
  std::int32_t zone = 0, controller = 0, follows = 0, output = 0;
};

/// Who carries whom: the hub of each run by the place of the run, and the driver part of each output.
struct given_order {
  std::int32_t hub_of[searched_runs] = {};
  bounded<given_hub, searched_runs> hubs;
  bounded<std::int32_t, searched_runs> outputs;
};

struct searched_run {
  std::int64_t load[packing_loads] = {};    ///< on a controller
  std::int64_t free[2] = {}, kept[2] = {};  ///< on a driver; behind a controller that keeps the tape's limit
  money feed{};                             ///< what its feeders and joints cost at least
  std::int32_t place = 0, group = 0;
};

/// Something that can be bought to carry: a controller for runs, a driver for hubs.
struct searched_kind {
  packing_type type;
  std::int32_t part = 0;
  bool leads = false, repeats = false, keeps_limit = false;  ///< of a controller
};

/// Runs that may share controllers. Groups with the same drivers may share these.
struct searched_group {
  std::int32_t zone = 0, loads = 0;
  std::int32_t first_kind = 0, past_kind = 0;  ///< where no controller is wanted: one without price, part -1
  std::int32_t first_driver = 0, past_driver = 0;
  money hub{}, splice{};  ///< what a hub costs at least to wire; and a run that is not the first of its hub
};

/// Runs, group by group. All lists stand in an order of their own, so that the order of the job's does not matter.
struct order_question {
  bounded<searched_run, searched_runs> runs;
  bounded<searched_group, searched_runs> groups;
  bounded<searched_kind, searched_kinds> kinds, drivers;
  money rest{};  ///< all else at least: tape, and what the runs have of it
};

struct order_answer {
  bool improved = false;  ///< `best` costs less than what was known
  bool all_seen = false;  ///< no order costs less than `price`
  given_order best;
  cost price{};
  std::int64_t steps = 0;
};

namespace detail {

/// Branch and bound in four levels: runs to hubs, hubs to controllers, hubs to outputs, outputs to drivers. What is
/// decided counts with its price, the rest with the least it can cost. Whole orders are asked for, and only those
/// that could be cheaper than the best one known.
///
/// Orders: cost operator()(const given_order&).
template <class Orders>
class order_search {
 public:
  constexpr order_search(const order_question& q, const Orders& orders, const cost& best, std::int64_t budget,
                         std::int64_t steps_of_order) noexcept
      : q_{q}, orders_{orders}, budget_{budget}, steps_of_order_{steps_of_order} {
    out_.price = best;
  }

  constexpr order_answer search() noexcept {
    place_run(0);
    out_.all_seen = !stopped();
    return out_;
  }

 private:
  struct hub {
    std::int64_t load[packing_loads] = {};
    std::int64_t free[2] = {}, kept[2] = {};
    std::int32_t group = 0, kind = 0, output = 0;
  };
  struct output {
    std::int64_t load[2] = {};
    std::int32_t group = 0, hubs = 0, driver = 0;
  };

  static constexpr std::size_t at(std::int32_t i) noexcept { return static_cast<std::size_t>(i); }
  constexpr bool stopped() const noexcept { return out_.steps >= budget_; }
  constexpr bool gains(money at_least) const noexcept { return !stopped() && at_least < out_.price.price; }
  constexpr const searched_group& group_of(std::int32_t g) const noexcept { return q_.groups[at(g)]; }

  template <class Load>
  static constexpr bool holds(const searched_kind& k, const Load& load, std::int32_t loads) noexcept {
    for (std::int32_t i = 0; i < loads; ++i)
      if (load[i] > k.type.capacity[i]) return false;
    return true;
  }

  // ---- runs to hubs ---------------------------------------------------------------------------

  constexpr void place_run(std::size_t r) noexcept {
    if (r == q_.runs.size()) return choose_controller(0, wiring_at_least(r) + q_.rest);
    const searched_run& run = q_.runs[r];
    const std::size_t open = hubs_.size();
    for (std::size_t h = 0; h <= open && !stopped(); ++h) {
      if (h < open && hubs_[h].group != run.group) continue;
      ++out_.steps;
      if (h == open) hubs_.push({});
      const hub before = hubs_[h];
      hubs_[h].group = run.group;
      for (std::size_t i = 0; i < packing_loads; ++i) hubs_[h].load[i] += run.load[i];
      for (std::size_t i = 0; i < 2; ++i) {
        hubs_[h].free[i] += run.free[i];
        hubs_[h].kept[i] += run.kept[i];
      }
      hub_of_[r] = static_cast<std::int32_t>(h);
      if (gains(q_.rest + wiring_at_least(r + 1) + controllers_at_least(0) + drivers_at_least(0, r + 1)))
        place_run(r + 1);
      hubs_[h] = before;
      hubs_.count = open;
    }
  }

  /// Hubs and splices, once the first runs have their hubs.
  constexpr money wiring_at_least(std::size_t placed) const noexcept {
    money sum;
    std::int32_t hubs[searched_runs] = {};
    for (const hub& h : hubs_) ++hubs[h.group];
    for (std::size_t r = 0; r < placed; ++r) sum += group_of(q_.runs[r].group).splice;
    for (std::size_t g = 0; g < q_.groups.size(); ++g)
      sum += (q_.groups[g].hub - q_.groups[g].splice) * hubs[g];
    for (std::size_t r = placed; r < q_.runs.size(); ++r) {
      const searched_group& g = group_of(q_.runs[r].group);
      sum += std::min(g.hub, g.splice);
    }
    return sum;
  }

  constexpr money controllers_at_least(std::size_t from) const noexcept {
    money sum;
    for (std::size_t h = from; h < hubs_.size(); ++h) {
      const searched_group& g = group_of(hubs_[h].group);
      money least = none;
      for (std::int32_t k = g.first_kind; k < g.past_kind; ++k)
        if (q_.kinds[at(k)].type.price < least && holds(q_.kinds[at(k)], hubs_[h].load, g.loads))
          least = q_.kinds[at(k)].type.price;
      sum += least;
    }
    return sum;
  }

  /// Hubs from one on and the runs that have none yet: each pays at least for its watts in a driver that holds it.
  constexpr money drivers_at_least(std::size_t from, std::size_t placed) const noexcept {
    money sum;
    for (std::size_t h = from; h < hubs_.size(); ++h) sum += watts_at_least(hubs_[h].group, hubs_[h].kept);
    for (std::size_t r = placed; r < q_.runs.size(); ++r)
      sum += watts_at_least(q_.runs[r].group, q_.runs[r].kept);
    return sum;
  }

  constexpr money watts_at_least(std::int32_t group, const std::int64_t (&load)[2]) const noexcept {
    const searched_group& g = group_of(group);
    double least = static_cast<double>(none.minor);
    for (std::int32_t k = g.first_driver; k < g.past_driver; ++k) {
      const packing_type& s = q_.drivers[at(k)].type;
      if (!holds(q_.drivers[at(k)], load, 2)) continue;
      const double used = static_cast<double>(load[0]) / static_cast<double>(s.capacity[0]);
      least = std::min(least, used * static_cast<double>(s.price.minor) / s.outputs);
    }
    return {static_cast<long long>(least)};
  }

  // ---- hubs to controllers --------------------------------------------------------------------

  /// The leaders of a group are of one kind; what follows one is more of the same or a repeater.
  constexpr void choose_controller(std::size_t h, money sum) noexcept {
    if (h == hubs_.size()) return place_hub(0, sum);
    hub& x = hubs_[h];
    const searched_group& g = group_of(x.group);
    std::int32_t lead = -1;
    bool last = true;
    for (std::size_t o = 0; o < hubs_.size(); ++o) {
      if (hubs_[o].group != x.group) continue;
      if (o < h && q_.kinds[at(hubs_[o].kind)].leads) lead = hubs_[o].kind;
      last = last && o <= h;
    }
    for (std::int32_t k = g.first_kind; k < g.past_kind && !stopped(); ++k) {
      const searched_kind& one = q_.kinds[at(k)];
      const bool may = one.leads ? lead < 0 || k == lead : !last || lead >= 0;
      if (!may || !holds(one, x.load, g.loads)) continue;
      ++out_.steps;
      x.kind = k;
      if (gains(sum + one.type.price + controllers_at_least(h + 1) + drivers_at_least(0, q_.runs.size())))
        choose_controller(h + 1, sum + one.type.price);
    }
  }

  // ---- hubs to outputs ------------------------------------------------------------------------

  constexpr void place_hub(std::size_t h, money sum) noexcept {
    if (h == hubs_.size()) return choose_driver(0, sum);
    hub& x = hubs_[h];
    const std::int64_t(&load)[2] = q_.kinds[at(x.kind)].keeps_limit ? x.kept : x.free;
    const std::size_t open = outputs_.size();
    for (std::size_t o = 0; o <= open && !stopped(); ++o) {
      if (o < open && group_of(outputs_[o].group).first_driver != group_of(x.group).first_driver) continue;
      ++out_.steps;
      if (o == open) outputs_.push({.group = x.group});
      const output before = outputs_[o];
      for (std::size_t i = 0; i < 2; ++i) outputs_[o].load[i] += load[i];
      ++outputs_[o].hubs;
      x.output = static_cast<std::int32_t>(o);
      if (gains(sum + outputs_at_least())) place_hub(h + 1, sum);
      outputs_[o] = before;
      outputs_.count = open;
    }
  }

  constexpr bool drives(const searched_kind& s, const output& o) const noexcept {
    return holds(s, o.load, 2) && (s.type.most_items == 0 || o.hubs <= s.type.most_items);
  }

  /// Each output pays at least its share of a driver.
  constexpr money outputs_at_least() const noexcept {
    money sum;
    for (const output& o : outputs_) {
      const searched_group& g = group_of(o.group);
      money least = none;
      for (std::int32_t k = g.first_driver; k < g.past_driver; ++k)
        if (drives(q_.drivers[at(k)], o)) least = std::min(least, share_of(q_.drivers[at(k)]));
      sum += least;
    }
    return sum;
  }

  static constexpr money share_of(const searched_kind& s) noexcept {
    return {s.type.price.minor / s.type.outputs};
  }

  // ---- outputs to drivers ---------------------------------------------------------------------

  constexpr void choose_driver(std::size_t o, money sum) noexcept {
    if (o == outputs_.size()) return weigh();
    output& x = outputs_[o];
    const searched_group& g = group_of(x.group);
    for (std::int32_t k = g.first_driver; k < g.past_driver && !stopped(); ++k) {
      if (!drives(q_.drivers[at(k)], x) || x.load[0] < q_.drivers[at(k)].type.least) continue;
      ++out_.steps;
      x.driver = k;
      // an output that an open driver still has costs nothing more
      std::int32_t before = 0;
      for (std::size_t a = 0; a < o; ++a) before += outputs_[a].driver == k ? 1 : 0;
      const packing_type& type = q_.drivers[at(k)].type;
      const money more = before % type.outputs == 0 ? type.price : money{};
      if (gains(sum + more)) choose_driver(o + 1, sum + more);
    }
  }

  /// Asks for the whole order.
  constexpr void weigh() noexcept {
    given_order order;
    for (std::size_t r = 0; r < q_.runs.size(); ++r) order.hub_of[at(q_.runs[r].place)] = hub_of_[r];
    for (std::size_t h = 0; h < hubs_.size(); ++h) {
      const hub& x = hubs_[h];
      order.hubs.push({group_of(x.group).zone, q_.kinds[at(x.kind)].part, leader_of(h), x.output});
    }
    for (const output& o : outputs_) order.outputs.push(q_.drivers[at(o.driver)].part);
    out_.steps += steps_of_order_;
    const cost price = orders_(order);
    if (!costs_less(price, out_.price)) return;
    out_.price = price;
    out_.best = order;
    out_.improved = true;
  }

  /// The first hub of a group whose controller can lead it; -1 of that one itself.
  constexpr std::int32_t leader_of(std::size_t h) const noexcept {
    std::size_t lead = 0;
    while (hubs_[lead].group != hubs_[h].group || !q_.kinds[at(hubs_[lead].kind)].leads) ++lead;
    return lead == h ? -1 : static_cast<std::int32_t>(lead);
  }

  static constexpr money none{
      1'000'000'000'000'000};  // one for each hub and each run, it can still be added up
  const order_question& q_;
  const Orders& orders_;
  std::int64_t budget_, steps_of_order_;
  bounded<hub, searched_runs> hubs_;
  bounded<output, searched_runs> outputs_;
  std::int32_t hub_of_[searched_runs] = {};
  order_answer out_;
};

}  // namespace detail

/// Looks for a whole order that costs less than `best`, which has a price for every line and holds every rule.
///
/// @param orders          what an order costs as a whole.
/// @param steps           that may be taken; a step is a look at one place for a run, a hub or an output.
/// @param steps_of_order  what asking for a whole order counts.
template <class Orders>
[[nodiscard]] constexpr order_answer search_orders(const order_question& q, const Orders& orders,
                                                   const cost& best, std::int64_t steps,
                                                   std::int64_t steps_of_order) noexcept {
  return detail::order_search<Orders>{q, orders, best, steps, steps_of_order}.search();
}

}  // namespace tapewright
