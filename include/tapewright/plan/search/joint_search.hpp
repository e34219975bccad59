// SPDX-License-Identifier: BSL-1.0
// Runs onto controllers and controllers onto drivers, searched together.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/bounded.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/search/packing_question.hpp"

namespace tapewright {

/// What has more runs, more groups of runs or more kinds of controller than this is not searched together.
inline constexpr std::size_t joint_runs = 32, joint_groups = 8, joint_kinds = 64;

/// What something asks of a driver's output.
struct output_load {
  double watts = 0, amps = 0;

  constexpr output_load& operator+=(const output_load& b) noexcept {
    watts += b.watts;
    amps += b.amps;
    return *this;
  }
  friend constexpr bool operator==(const output_load&, const output_load&) noexcept = default;
};

/// A run; those of a group stand together, equal ones side by side.
struct joint_run {
  std::int64_t load[packing_loads] = {};  ///< on a controller, in whole units
  output_load free, kept;  ///< on a driver; behind a controller that keeps the tape's all-on limit
  std::int32_t place = 0;  ///< of the caller
  std::int32_t hub = 0;    ///< where it is now; 0 = with the leader
  std::int32_t kept_hub = 0, kept_part = 0;  ///< where it is in the best answer so far, and what that hub is
};

/// A kind of controller that a group may have; of a group without controllers the bare splice.
struct joint_kind {
  std::int64_t capacity[packing_loads] = {};
  cost price{};
  std::int32_t part = 0;     ///< of the caller
  bool leads = false;        ///< exactly one hub of a group leads
  bool repeats = false;      ///< follows any leader; what leads is followed by more of its own
  bool keeps_limit = false;  ///< its runs draw what `kept` tells
  cost group_least{};        ///< where it leads: what the hubs of its group cost at least
};

/// Runs that may share controllers.
struct joint_group {
  std::int32_t first_run = 0, past_run = 0;
  std::int32_t first_kind = 0, past_kind = 0;  ///< those that lead come first, by group_least
  std::int32_t loads = 1;                      ///< that count on a controller
  std::int32_t lead = 0, hubs = 0;             ///< now
  std::int32_t kept_hubs = 0;                  ///< in the best answer so far; 0 = there is none
};

struct joint_hub {
  std::int64_t load[packing_loads] = {};
  output_load free, kept;
  std::int32_t runs = 0, first_run = 0, kind = 0;
};

/// The runs that may share drivers, and room for their hubs.
struct joint_question {
  bounded<joint_run, joint_runs> runs;
  bounded<joint_group, joint_groups> groups;
  bounded<joint_kind, joint_kinds> kinds;
  joint_hub hubs[joint_runs + joint_groups] =
      {};  ///< a group has one more than runs: its leader may stand empty
};

/// What drivers for some loads cost, and what they cost at least.
struct drivers_cost {
  bool fits = false;
  cost price{}, price_at_least{};
  std::int64_t steps = 0;
};

struct joint_answer {
  bool improved = false;  ///< something cheaper than what was known stands in the question's kept_...
  cost price{};           ///< of controllers and drivers, of the best that is known now
  cost price_at_least{};  ///< of any
  std::int64_t steps = 0;
  std::int64_t packing_steps = 0;  ///< that the drivers of the best were found in
};

namespace detail {

/// Branch and bound over every way to share the runs of each group out to hubs of every kind. Once all runs
/// have theirs the drivers are packed for the loads that came of it.
///
/// Bound: the hubs that are decided; of each other group what its hubs cost at least by themselves; and what the
/// drivers cost at least for the hubs that are decided and single runs of the groups that are not, because every
/// way to put hubs on outputs puts runs on outputs too.
///
/// Symmetry: equal runs go into hubs in their own order; of hubs with equal contents only the first is tried; of
/// the hubs of the leader's kind the one with the first run leads.
///
/// Drivers: drivers_cost operator()(std::span<const output_load>, bool decided, std::int64_t steps); where not
/// all is decided it answers for loads that may yet stand together.
template <class Drivers>
class joint_search {
 public:
  /// `best`: what is known to be possible.
  constexpr joint_search(joint_question& q, const Drivers& drivers, const cost& best,
                         std::int64_t budget) noexcept
      : q_{q}, drivers_{drivers}, best_{best}, least_open_{best}, budget_{budget} {
    for (std::size_t g = q_.groups.size(); g-- > 0;)
      later_least_[g] = later_least_[g + 1] + kind(q_.groups[g].first_kind).group_least;
  }

  constexpr joint_answer search() noexcept {
    bound_drivers(0);
    const cost root = later_least_[0] + drivers_least_;
    open_group(0);
    return {.improved = improved_,
            .price = best_,
            .price_at_least = stopped() ? std::min(root, best_) : std::min(least_open_, best_),
            .steps = steps_,
            .packing_steps = packing_steps_};
  }

 private:
  static constexpr std::int64_t steps_to_pack = 50;  ///< to put a packing in order takes as long

  constexpr bool stopped() const noexcept { return steps_ >= budget_; }
  constexpr joint_kind& kind(std::int32_t at) noexcept { return q_.kinds[static_cast<std::size_t>(at)]; }
  constexpr joint_run& run(std::int32_t at) noexcept { return q_.runs[static_cast<std::size_t>(at)]; }
  constexpr joint_hub& hub(std::size_t g, std::int32_t at) noexcept {
    return q_.hubs[static_cast<std::size_t>(q_.groups[g].first_run + at) + g];
  }

  /// Whether a group whose hubs cost so much can still lead to something cheaper.
  constexpr bool may_gain(std::size_t g, const cost& hubs) const noexcept {
    return costs_less(decided_ + hubs + later_least_[g + 1] + drivers_least_, best_);
  }

  constexpr void open_group(std::size_t g) noexcept {
    if (g == q_.groups.size()) return weigh();
    joint_group& group = q_.groups[g];
    for (std::int32_t k = group.first_kind; k < group.past_kind && kind(k).leads; ++k) {
      if (!may_gain(g, kind(k).group_least)) return;  // the next ones cost no less
      group.lead = k;
      group.hubs = 1;
      hub(g, 0) = {};
      place(g, group.first_run);
    }
  }

  /// Puts run r of a group, and all behind it, into every hub there is and into a new one.
  constexpr void place(std::size_t g, std::int32_t r) noexcept {
    joint_group& group = q_.groups[g];
    if (r == group.past_run) {
      if (hub(g, 0).runs > 0) choose_kinds(g, 0, {});
      return;
    }
    const std::int32_t first = r > group.first_run && alike(group, run(r), run(r - 1)) ? run(r - 1).hub : 0;
    const std::int32_t fresh = group.hubs;
    for (std::int32_t h = first; h <= fresh && !stopped(); ++h) {
      ++steps_;
      joint_hub& into = hub(g, h);
      if (h == fresh) into = {};
      else if (is_seen(g, h, first)) continue;
      const joint_hub before = into;
      add(g, h, r);
      group.hubs = h == fresh ? fresh + 1 : fresh;
      if (const cost hubs = cost_of_hubs(g);
          hubs.unbuildable == 0 && may_gain(g, std::max(hubs, kind(group.lead).group_least)))
        place(g, r + 1);
      into = before;
      group.hubs = fresh;
    }
  }

  constexpr void add(std::size_t g, std::int32_t h, std::int32_t r) noexcept {
    joint_hub& into = hub(g, h);
    joint_run& x = run(r);
    if (into.runs++ == 0) into.first_run = r;
    for (std::int32_t d = 0; d < q_.groups[g].loads; ++d) into.load[d] += x.load[d];
    into.free += x.free;
    into.kept += x.kept;
    x.hub = h;
  }

  template <class Row>
  static constexpr bool alike(const joint_group& group, const Row& a, const Row& b) noexcept {
    for (std::int32_t d = 0; d < group.loads; ++d)
      if (a.load[d] != b.load[d]) return false;
    return a.free == b.free && a.kept == b.kept;
  }

  /// Whether a hub that is no leader holds what an earlier one holds. (Equal runs keep their order from `first` on.)
  constexpr bool is_seen(std::size_t g, std::int32_t h, std::int32_t first) noexcept {
    for (std::int32_t a = std::max<std::int32_t>(first, 1); a < h; ++a)
      if (alike(q_.groups[g], hub(g, a), hub(g, h))) return true;
    return false;
  }

  constexpr bool may_be(const joint_group& group, std::int32_t k, bool leader) noexcept {
    return k == group.lead || (!leader && kind(k).repeats);
  }

  constexpr bool holds(const joint_group& group, const joint_kind& k, const joint_hub& x) noexcept {
    for (std::int32_t d = 0; d < group.loads; ++d)
      if (x.load[d] > k.capacity[d]) return false;
    return true;
  }

  /// What the open hubs of a group cost at least.
  constexpr cost cost_of_hubs(std::size_t g) noexcept {
    const joint_group& group = q_.groups[g];
    cost sum;
    for (std::int32_t h = 0; h < group.hubs; ++h) {
      cost least = no_choice;
      for (std::int32_t k = group.first_kind; k < group.past_kind; ++k)
        if (may_be(group, k, h == 0) && kind(k).price < least && holds(group, kind(k), hub(g, h)))
          least = kind(k).price;
      sum += least;
    }
    return sum;
  }

  /// Decides the kind of each hub of a full group, from hub h on: the cheapest of those that keep the tape's
  /// limit, and the cheapest of those that do not, because the drivers feel the difference.
  constexpr void choose_kinds(std::size_t g, std::int32_t h, const cost& sum) noexcept {
    const joint_group& group = q_.groups[g];
    if (h == group.hubs) return close_group(g, sum);
    joint_hub& x = hub(g, h);
    for (const bool keeps : {false, true}) {
      std::int32_t best = -1;
      for (std::int32_t k = group.first_kind; k < group.past_kind; ++k)
        if (may_be(group, k, h == 0) && kind(k).keeps_limit == keeps &&
            (best < 0 || kind(k).price < kind(best).price) && holds(group, kind(k), x))
          best = k;
      if (best < 0 || (best == group.lead && x.first_run < hub(g, 0).first_run)) continue;
      x.kind = best;
      choose_kinds(g, h + 1, sum + kind(best).price);
    }
  }

  constexpr void close_group(std::size_t g, const cost& hubs) noexcept {
    if (!may_gain(g, hubs) || stopped()) return;
    const cost decided = decided_, drivers_least = drivers_least_;
    decided_ += hubs;
    if (g + 1 < q_.groups.size()) bound_drivers(g + 1);
    if (may_gain(g, {})) open_group(g + 1);
    decided_ = decided;
    drivers_least_ = drivers_least;
  }

  /// Loads of the hubs of the first `decided` groups, and of single runs of the others, the least they draw.
  constexpr drivers_cost drivers(std::size_t decided) noexcept {
    bounded<output_load, joint_runs> loads;
    for (std::size_t g = 0; g < decided; ++g)
      for (std::int32_t h = 0; h < q_.groups[g].hubs; ++h)
        loads.push(kind(hub(g, h).kind).keeps_limit ? hub(g, h).kept : hub(g, h).free);
    for (std::size_t g = decided; g < q_.groups.size(); ++g)
      for (std::int32_t r = q_.groups[g].first_run; r < q_.groups[g].past_run; ++r) loads.push(run(r).kept);
    const drivers_cost found = drivers_(loads.all(), decided == q_.groups.size(), budget_ - steps_);
    steps_ += steps_to_pack + found.steps;
    return found;
  }

  constexpr void bound_drivers(std::size_t decided) noexcept {
    drivers_least_ = std::max(drivers_least_, drivers(decided).price_at_least);
  }

  constexpr void weigh() noexcept {
    const drivers_cost found = drivers(q_.groups.size());
    least_open_ = std::min(least_open_, decided_ + found.price_at_least);
    if (!found.fits || !costs_less(decided_ + found.price, best_)) return;
    best_ = decided_ + found.price;
    improved_ = true;
    packing_steps_ = found.steps;
    for (std::size_t g = 0; g < q_.groups.size(); ++g) {
      joint_group& group = q_.groups[g];
      group.kept_hubs = group.hubs;
      for (std::int32_t r = group.first_run; r < group.past_run; ++r) {
        run(r).kept_hub = run(r).hub;
        run(r).kept_part = kind(hub(g, run(r).hub).kind).part;
      }
    }
  }

  joint_question& q_;
  const Drivers& drivers_;
  cost best_, least_open_, decided_{}, drivers_least_{};
  cost later_least_[joint_groups + 1] = {};
  std::int64_t budget_, steps_ = 0, packing_steps_ = 0;
  bool improved_ = false;
};

}  // namespace detail

/// Looks for controllers and drivers that cost less together than `best`, in at most `steps` steps and one
/// packing; a step is a look at one hub for one run, or one of the packing of drivers.
///
/// @param q       the runs, their groups and the kinds of controller; hubs and kept_... are written.
/// @param drivers what drivers cost, see detail::joint_search.
/// @return        the best answer and a bound; they are equal unless steps ran out.
template <class Drivers>
[[nodiscard]] constexpr joint_answer search_together(joint_question& q, const Drivers& drivers,
                                                     const cost& best, std::int64_t steps) noexcept {
  return detail::joint_search<Drivers>{q, drivers, best, steps}.search();
}

}  // namespace tapewright
