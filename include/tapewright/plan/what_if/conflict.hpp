// SPDX-License-Identifier: BSL-1.0
// Why a job cannot be done as asked: the smallest set of demands that do not go together, and what would help.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/core/text.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/planner.hpp"
#include "tapewright/plan/what_if/plan_changes.hpp"
#include "tapewright/sizing/run_length.hpp"

namespace tapewright {

/// What a job asks for, one thing at a time.
enum class demand_kind : std::int32_t {
  run = 0,             ///< that this run is lit at its length
  rule = 1,            ///< a design rule at its value
  mount = 2,           ///< a zone's wish for plug-in or hardwired drivers
  limited_energy = 3,  ///< a zone's wish for limited-energy outputs
  ingress = 4,         ///< a zone's least IP code
  features = 5,        ///< a zone's wish for control features
  driver = 6,          ///< the one driver that a zone may use
  controller = 7,      ///< the one controller that may lead a zone
  feeder = 8,          ///< the one cable that may feed a run; `index` is the run's place
};

/// One demand. `index` is the run's place, the rule's in rule_table, or the zone's. `value`: metres of a run,
/// the rule's value, the number of the wish or the place of the pinned part otherwise.
struct demand {
  demand_kind kind = demand_kind::run;
  std::int32_t index = -1;
  double value = 0;
  bool held = false;  ///< in force while the search tries without others

  friend constexpr bool operator==(const demand&, const demand&) noexcept = default;
};

/// One demand given up, or given up as far as it must be, all others as they were.
struct relaxation {
  demand what{};
  double to = not_a_number;  ///< the nearest value that works; NaN where the wish must go altogether
  money price{};             ///< of the order of the runs in conflict, then
  bool every_price_known = false;
  bool whole_job_fits = false;  ///< the rest of the job has no conflict of its own
};

/// Gives way in a job as a relaxation says: in its rules, or in the caller's copies of its runs and zones.
constexpr void give_way(const relaxation& r, design_rules& rules, std::span<run> runs,
                        std::span<zone> zones) noexcept {
  const auto at = static_cast<std::size_t>(r.what.index);
  switch (r.what.kind) {
    case demand_kind::run: runs[at].measured = metres{r.to}; break;
    case demand_kind::rule: rule_table[at].set(rules, r.to); break;
    case demand_kind::mount: zones[at].mount = fitting_wish::any; break;
    case demand_kind::limited_energy: zones[at].limited_energy = false; break;
    case demand_kind::ingress: zones[at].ingress = 0; break;
    case demand_kind::features:
      zones[at].wants_controller = true;
      zones[at].features = {};
      break;
    case demand_kind::driver: zones[at].pinned_driver = -1; break;
    case demand_kind::controller: zones[at].pinned_controller = -1; break;
    case demand_kind::feeder: runs[at].pinned_feeder = -1; break;
  }
}

/// Storage: the caller's. demand_room says how much; `plan` as make_plan wants it for the job.
struct conflict_space {
  std::span<run> runs;                ///< one a run
  std::span<zone> zones;              ///< one a zone
  std::span<demand> demands;          ///< demand_room
  std::span<relaxation> relaxations;  ///< demand_room
  plan_space plan;
};

constexpr std::size_t demand_room(std::size_t runs, std::size_t zones) noexcept {
  return 2 * runs + sizeof rule_table / sizeof rule_table[0] + 6 * zones;
}

struct conflict_answer {
  bool conflicting = false;  ///< false: the job fits, and nothing else is told
  std::span<const demand>
      core{};             ///< runs first, then rules, then wishes and pins; without any of them it would fit
  bool smallest = false;  ///< one run and at most two others: no run that fails has fewer
  finding broken{};       ///< what fails where only the core is asked; its subject is the job's own
  std::span<const relaxation> help{};  ///< what would make the core fit, cheapest first; may be empty
  std::int32_t plans = 0;              ///< made on the way
};

namespace detail {

/// The rules that a customer could be asked to give up on, and the value at which each asks for nothing.
struct loosest_rule {
  std::string_view name;
  double value;
};
inline constexpr loosest_rule loosest_rules[] = {
    {"headroom", 0},         {"drop_to_feed", 0.5},   {"drop_to_lamp", 0.5}, {"least_evenness", 0},
    {"supply_tolerance", 0}, {"circuits_grouped", 1}, {"slack_m", 0},        {"least_conductor_mm2", 0.01},
    {"breaker_share", 1},    {"leakage_share", 1},
};

constexpr std::int32_t place_of_rule(std::string_view name) noexcept {
  std::int32_t at = 0;
  for (const rule_facts& r : rule_table) {
    if (same_text(r.name, name)) return at;
    ++at;
  }
  return -1;
}

constexpr double loosest_value(std::int32_t rule) noexcept {
  for (const loosest_rule& l : loosest_rules)
    if (same_text(l.name, rule_table[rule].name)) return l.value;
  return not_a_number;
}

static_assert([] {
  for (const loosest_rule& l : loosest_rules) {
    const std::int32_t at = place_of_rule(l.name);
    if (at < 0 || refuse_outside(rule_table[at].range, l.value, rule_table[at].least, rule_table[at].most))
      return false;
  }
  return true;
}());

/// Plans the job with some of its demands and says whether it fits.
class conflict_search {
 public:
  /// @param whole  the plan of the whole job, which does not fit.
  constexpr conflict_search(const job& question, const catalogue& parts, const conflict_space& s,
                            const plan& whole) noexcept
      : question_{question}, parts_{parts}, space_{s} {
    list_demands(whole);
  }

  /// How many runs fail in the whole job: they stand first.
  constexpr std::size_t failing() const noexcept { return failing_; }

  constexpr std::span<demand> all() const noexcept { return space_.demands.first(count_); }
  constexpr std::int32_t plans() const noexcept { return plans_; }
  constexpr const fault& why() const noexcept { return why_; }
  constexpr const plan& last() const noexcept { return last_; }

  /// The place in the job of a run (or section of one) of the last plan.
  constexpr std::int32_t asked_place(std::int32_t section) const noexcept {
    std::int32_t run = last_.runs[static_cast<std::size_t>(section)].run;
    for (const demand& d : all())
      if (d.kind == demand_kind::run && d.held && run-- == 0) return d.index;
    return -1;
  }

  /// Whether what is held fits; a fault counts as not, and is kept. `changed` stands at another value.
  constexpr bool fits(const demand* changed = nullptr, double to = 0) noexcept {
    std::size_t runs = 0;
    for (std::size_t z = 0; z < question_.zones.size(); ++z) {
      zone& copy = space_.zones[z] = question_.zones[z];
      copy.mount = fitting_wish::any;
      copy.limited_energy = false;
      copy.ingress = 0;
      copy.features = {};
      copy.pinned_driver = copy.pinned_controller = -1;
      copy.wants_controller = copy.wants_controller || !question_.zones[z].features.empty();
    }
    design_rules rules = question_.rules;
    for (const demand& d : all()) {
      const bool held =
          d.held && !(changed != nullptr && changed->kind == d.kind && changed->index == d.index && to != to);
      const double value =
          changed != nullptr && changed->kind == d.kind && changed->index == d.index ? to : d.value;
      const auto at = static_cast<std::size_t>(d.index);
      switch (d.kind) {
        case demand_kind::run:
          if (!held) break;
          space_.runs[runs] = question_.runs[at];
          if (!pin_is_held(d.index, changed, to)) space_.runs[runs].pinned_feeder = -1;
          space_.runs[runs++].measured = metres{value};
          break;
        case demand_kind::rule: rule_table[d.index].set(rules, held ? value : loosest_value(d.index)); break;
        case demand_kind::mount:
          if (held) space_.zones[at].mount = question_.zones[at].mount;
          break;
        case demand_kind::limited_energy: space_.zones[at].limited_energy = held; break;
        case demand_kind::ingress:
          if (held) space_.zones[at].ingress = question_.zones[at].ingress;
          break;
        case demand_kind::features:
          if (held) space_.zones[at].features = question_.zones[at].features;
          break;
        case demand_kind::driver:
          if (held) space_.zones[at].pinned_driver = question_.zones[at].pinned_driver;
          break;
        case demand_kind::controller:
          if (held) space_.zones[at].pinned_controller = question_.zones[at].pinned_controller;
          break;
        case demand_kind::feeder: break;  // with its run
      }
    }
    if (runs == 0) return true;
    job tried = question_;
    tried.zones = space_.zones.first(question_.zones.size());
    tried.runs = space_.runs.first(runs);
    tried.rules = rules;
    ++plans_;
    const auto answer = make_plan(tried, parts_, space_.plan);
    if (!answer.ok()) {
      why_ = answer.why();
      return false;
    }
    last_ = *answer;
    return last_.fits;
  }

  constexpr void hold(bool all_of_them) noexcept {
    for (demand& d : all()) d.held = all_of_them;
  }

 private:
  /// Whether the feeder that a run is pinned to is among what is held.
  constexpr bool pin_is_held(std::int32_t run, const demand* changed, double to) const noexcept {
    for (const demand& d : all())
      if (d.kind == demand_kind::feeder && d.index == run)
        return d.held &&
               !(changed != nullptr && changed->kind == d.kind && changed->index == run && to != to);
    return false;
  }

  constexpr void put(demand_kind kind, std::size_t index, double value) noexcept {
    space_.demands[count_++] = {kind, static_cast<std::int32_t>(index), value, true};
  }

  /// The runs that fail in the whole job first, then the others; runs and zones in the order of their codes, so
  /// that the order of the lists decides nothing.
  constexpr void list_demands(const plan& whole) noexcept {
    for (std::size_t r = 0; r < question_.runs.size(); ++r) {
      put(demand_kind::run, r, question_.runs[r].measured.v);
      space_.demands[r].held = run_holds(whole, r);
      failing_ += space_.demands[r].held ? 0 : 1;
    }
    std::sort(space_.demands.begin(), space_.demands.begin() + static_cast<std::ptrdiff_t>(count_),
              [&](const demand& a, const demand& b) {
                if (a.held != b.held) return b.held;
                return text_before(question_.runs[static_cast<std::size_t>(a.index)].code,
                                   question_.runs[static_cast<std::size_t>(b.index)].code);
              });
    for (const loosest_rule& l : loosest_rules) {
      const std::int32_t at = place_of_rule(l.name);
      const double value = rule_table[at].get(question_.rules);
      if (value != l.value) put(demand_kind::rule, static_cast<std::size_t>(at), value);
    }
    const std::size_t runs = question_.runs.size();
    for (std::size_t r = 0; r < runs; ++r) {  // in the order of the runs above
      const auto at = static_cast<std::size_t>(space_.demands[r].index);
      if (question_.runs[at].pinned_feeder >= 0)
        put(demand_kind::feeder, at, question_.runs[at].pinned_feeder);
    }
    const std::size_t wishes = count_;
    for (std::size_t z = 0; z < question_.zones.size(); ++z) {
      const zone& asked = question_.zones[z];
      if (asked.mount != fitting_wish::any) put(demand_kind::mount, z, static_cast<double>(asked.mount));
      if (asked.limited_energy) put(demand_kind::limited_energy, z, 1);
      if (asked.ingress > 0) put(demand_kind::ingress, z, asked.ingress);
      if (!asked.features.empty()) put(demand_kind::features, z, static_cast<double>(asked.features.size()));
      if (asked.pinned_driver >= 0) put(demand_kind::driver, z, asked.pinned_driver);
      if (asked.pinned_controller >= 0) put(demand_kind::controller, z, asked.pinned_controller);
    }
    std::sort(space_.demands.begin() + static_cast<std::ptrdiff_t>(wishes),
              space_.demands.begin() + static_cast<std::ptrdiff_t>(count_),
              [&](const demand& a, const demand& b) {
                if (a.index == b.index) return a.kind < b.kind;
                return text_before(question_.zones[static_cast<std::size_t>(a.index)].code,
                                   question_.zones[static_cast<std::size_t>(b.index)].code);
              });
  }

  const job& question_;
  const catalogue& parts_;
  const conflict_space& space_;
  std::size_t count_ = 0, failing_ = 0;
  std::int32_t plans_ = 0;
  plan last_{};
  fault why_{};
};

/// Lets go of every demand of a range that is not needed for the conflict, one after the other, the last first.
constexpr void drop_needless(conflict_search& s, std::size_t from, std::size_t to) noexcept {
  for (std::size_t i = to; i-- > from;) {
    demand& d = s.all()[i];
    if (!d.held) continue;
    d.held = false;
    if (s.fits()) d.held = true;
  }
}

/// Holds the smallest conflict of one run and at most two other demands: among the first `tried` runs the one
/// that needs the fewest, then the first. False where there is none of that size.
constexpr bool hold_smallest(conflict_search& s, std::size_t tried, std::size_t runs) noexcept {
  const std::size_t count = s.all().size();
  const auto hold = [&](std::size_t run, std::size_t a, std::size_t b) noexcept {
    s.hold(false);
    for (const std::size_t at : {run, a, b})
      if (at < count) s.all()[at].held = true;
    return !s.fits();
  };
  for (std::size_t run = 0; run < tried; ++run)
    if (hold(run, count, count)) return true;
  for (std::size_t run = 0; run < tried; ++run)
    for (std::size_t a = runs; a < count; ++a)
      if (hold(run, a, count)) return true;
  for (std::size_t run = 0; run < tried; ++run) {
    s.hold(true);
    for (std::size_t i = 0; i < runs; ++i) s.all()[i].held = i == run;
    if (s.fits()) continue;  // with all demands in force it has no conflict of its own
    for (std::size_t a = runs; a < count; ++a)
      for (std::size_t b = a + 1; b < count; ++b)
        if (hold(run, a, b)) return true;
  }
  return false;
}

/// The value of a held demand nearest to what was asked at which what is held fits, to one part in 2^20 of
/// the way to where it asks for nothing; NaN where it does not fit even there.
constexpr double nearest_that_fits(conflict_search& s, const demand& d, double loosest) noexcept {
  if (!s.fits(&d, loosest)) return not_a_number;
  double fits = loosest, fails = d.value;
  const bool whole = d.kind == demand_kind::rule && is_whole(rule_table[d.index]);
  for (int step = 0; step < 20; ++step) {
    const double middle = whole ? floor_of((fits + fails) / 2) : (fits + fails) / 2;
    if (middle == fits || middle == fails) break;
    (s.fits(&d, middle) ? fits : fails) = middle;
  }
  return fits;
}

/// A length of a held run at which what is held fits: one cut, or, where a driver must carry more than that, the first
/// that does of half the length that was asked for, a quarter and so on. One cut where none does.
constexpr double length_that_fits(conflict_search& s, const demand& d, double pitch) noexcept {
  if (s.fits(&d, pitch)) return pitch;
  double to = d.value / 2;
  while (to > pitch && !s.fits(&d, to)) to /= 2;
  return to > pitch ? to : pitch;
}

}  // namespace detail

/// Finds the smallest set of demands (runs, rules, wishes, pins) that no plan of this catalogue meets together.
///
/// @param question  as make_plan takes it.
/// @param parts     the catalogue.
/// @param space     the caller's storage.
/// @return          `conflicting` false where the job fits. Else the core, what breaks in it, and every single
///                  demand of it whose giving up, as little as possible, makes the core fit. An empty rest (a
///                  run alone in the core) means that nothing of the catalogue suits this run at its length; no
///                  relaxation then, that it suits it at none. Faults: those of make_plan for the whole job; no_room.
/// Method   One run with no, one or two other demands, where that is enough (`smallest`: of all such sets of a
///          run that fails in the whole job one with the fewest). Else demands let go one by one, runs first, after which none of the rest can go.
///          A relaxation is bisected in 20 steps and planned, not assumed.
/// Note     A plan that was not found counts as a plan that is not there: with a search budget that is too
///          small for the job, read `proven` of the plan first.
[[nodiscard]] constexpr outcome<conflict_answer> find_conflict(const job& question, const catalogue& parts,
                                                               const conflict_space& space) noexcept {
  const std::size_t need = demand_room(question.runs.size(), question.zones.size());
  if (const fault f =
          first_fault(refuse_room(space.runs.size(), question.runs.size()),
                      refuse_room(space.zones.size(), question.zones.size()),
                      refuse_room(space.demands.size(), need), refuse_room(space.relaxations.size(), need)))
    return f;
  const auto whole = make_plan(question, parts, space.plan);
  if (!whole.ok()) return whole.why();
  conflict_answer answer;
  answer.plans = 1;
  if (whole->fits) return answer;
  answer.conflicting = true;
  detail::conflict_search s{question, parts, space, *whole};
  const std::size_t runs = question.runs.size(), count = s.all().size();

  answer.smallest = detail::hold_smallest(s, s.failing(), runs);
  if (!answer.smallest) {
    s.hold(true);
    detail::drop_needless(s, 0, runs);
    detail::drop_needless(s, runs, count);
  }

  s.fits();
  for (const finding& f : s.last().findings)
    if (f.level == severity::failed) {
      answer.broken = f;
      if (f.subject.kind == subject_kind::run) answer.broken.subject.index = s.asked_place(f.subject.index);
      break;
    }

  // what would help, each alone; the core is kept at the front of the list meanwhile
  std::size_t held = 0;
  for (std::size_t i = 0; i < count; ++i)
    if (s.all()[i].held) std::swap(s.all()[held++], s.all()[i]);
  span_list<relaxation> help{space.relaxations};
  for (std::size_t i = 0; i < held; ++i) {
    const demand d = s.all()[i];
    relaxation r{.what = d};
    bool works = false;
    if (d.kind == demand_kind::rule) {
      r.to = detail::nearest_that_fits(s, d, detail::loosest_value(d.index));
      works = r.to == r.to && s.fits(&d, r.to);
    } else if (d.kind == demand_kind::run &&
               question.runs[static_cast<std::size_t>(d.index)].stretches.empty()) {
      const metres pitch =
          parts.tapes[static_cast<std::size_t>(question.runs[static_cast<std::size_t>(d.index)].tape)]
              .cut_pitch;
      // where nothing else can give way, its length is looked for harder
      const double shortest = held == 1 ? detail::length_that_fits(s, d, pitch.v) : pitch.v;
      r.to = detail::nearest_that_fits(s, d, shortest);
      works = r.to == r.to && s.fits(&d, r.to);
    } else if (d.kind != demand_kind::run) {
      works = s.fits(&d, not_a_number);
    }
    if (!works) continue;
    r.price = s.last().price;
    r.every_price_known = s.last().every_price_known;
    help.push(r);
  }
  // with the relaxation in place, all other demands of the job again in force
  for (std::size_t i = 0; i < help.size(); ++i) {
    for (std::size_t k = held; k < count; ++k) s.all()[k].held = true;
    help[i].whole_job_fits = s.fits(&help[i].what, help[i].to);
  }
  for (std::size_t k = held; k < count; ++k) s.all()[k].held = false;
  std::sort(help.begin(), help.end(), [](const relaxation& a, const relaxation& b) {
    if (a.whole_job_fits != b.whole_job_fits) return a.whole_job_fits;
    if (a.price != b.price) return a.price < b.price;
    return a.what.kind != b.what.kind ? a.what.kind < b.what.kind : a.what.index < b.what.index;
  });
  answer.core = s.all().first(held);
  answer.help = help.all();
  answer.plans += s.plans();
  return answer;
}

}  // namespace tapewright
