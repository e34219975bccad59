// SPDX-License-Identifier: BSL-1.0
// The next best orders that differ in kind: fewer drivers, thinner cable, plugs instead of terminals.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <span>
#include <string_view>
#include <utility>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/planner.hpp"

namespace tapewright {

/// In which way an order differs from the cheapest one, or from the one that counts least (rules.balanced).
enum class alternative_kind : std::int32_t {
  fewer_drivers = 1,   ///< as few drivers as the limits allow, whatever they cost
  thinner_cable = 2,   ///< nothing as thick as the thickest conductor of the cheapest order
  plug_in = 3,         ///< plug-in drivers wherever the job leaves it open
  hardwired = 4,       ///< hardwired drivers wherever the job leaves it open
  soldered_tails = 5,  ///< the feeders soldered on instead of plugged
  connectors = 6,      ///< connectors at the tapes instead of soldered tails
};
inline constexpr alternative_kind all_alternatives[] = {
    alternative_kind::fewer_drivers, alternative_kind::thinner_cable,  alternative_kind::plug_in,
    alternative_kind::hardwired,     alternative_kind::soldered_tails, alternative_kind::connectors,
};

/// What an alternative costs and why one might want it.
struct alternative {
  alternative_kind kind = alternative_kind::fewer_drivers;
  money price{};  ///< of its order, at the catalogue's prices
  bool every_price_known = false;
  money capacity_credit{};    ///< what the rules' weights take off it for its capacity, see plan/spare.hpp
  std::int32_t drivers = 0;   ///< how many
  std::int32_t plug_in = 0;   ///< of them
  std::int32_t soldered = 0;  ///< tails soldered on
  square_millimetres thickest{};  ///< conductor of any cable laid
};

/// Storage: the caller's. One row a zone, a driver and a cable of the question; `plan` as make_plan wants it.
struct alternative_space {
  std::span<zone> zones;
  std::span<driver> drivers;
  std::span<cable> cables;
  plan_space plan;
};

constexpr std::string_view text_of(alternative_kind k) noexcept {
  switch (k) {
    case alternative_kind::fewer_drivers: return "fewer drivers";
    case alternative_kind::thinner_cable: return "thinner cable";
    case alternative_kind::plug_in: return "plug-in drivers";
    case alternative_kind::hardwired: return "hardwired drivers";
    case alternative_kind::soldered_tails: return "soldered tails";
    case alternative_kind::connectors: return "connectors at the tapes";
  }
  return "";
}

/// Thickest conductor of a plan's cables; 0 where none is laid.
constexpr square_millimetres thickest_conductor(const plan& p) noexcept {
  square_millimetres most;
  for (const connection& c : p.connections)
    if (c.cable >= 0 && c.area > most) most = c.area;
  return most;
}

/// An alternative in full, with the catalogue that its places refer to.
struct alternative_plan {
  plan answer{};
  catalogue parts{};
};

namespace detail {

/// What every driver costs more while as few as possible are looked for: above any other saving of less.
inline constexpr money fewest_drivers_surcharge{1'000'000'000};

/// Takes the surcharge out of a plan again. With it more may have been taken off for a driver's capacity than its own
/// price allows: then the bound still holds, but proves nothing.
constexpr void take_off_surcharge(plan& p, std::span<order_line> order, std::span<driver_plan> drivers,
                                  const catalogue& priced, const design_rules& rules) noexcept {
  for (order_line& l : order) {
    if (l.part.kind != part_kind::driver) continue;
    l.unit_price = priced.drivers[static_cast<std::size_t>(l.part.index)].price;
    l.total = l.unit_price * l.quantity;
    l.price_known = l.unit_price.minor > 0;
  }
  const money surcharged = p.price;
  add_up(p, rules.terms());
  for (driver_plan& d : drivers)
    d.credit = credit_of(d.credit, priced.drivers[static_cast<std::size_t>(d.part)].price);
  p.capacity_credit = capacity_credit(p);
  const money least = p.price_at_least - (surcharged - p.price);  // of orders with no more drivers
  p.price_at_least = least.minor > 0 || p.capacity_credit.minor > 0 ? least : money{};
  p.proven = p.proven && p.price_at_least == p.price - p.capacity_credit;
}

}  // namespace detail

/// Makes the plan of one alternative, to be shown in full, at the catalogue's prices.
///
/// @param thinner_than  for thinner_cable: cables of this conductor and above are left out.
/// @return              the plan, as views of `space`, and its catalogue: the question's, but for the cables left
///                      out (thinner_cable). Faults of make_plan; no_room.
[[nodiscard]] constexpr outcome<alternative_plan> make_alternative(alternative_kind kind, const job& question,
                                                                   const catalogue& parts,
                                                                   square_millimetres thinner_than,
                                                                   const alternative_space& space) noexcept {
  if (const fault f = first_fault(refuse_room(space.zones.size(), question.zones.size()),
                                  refuse_room(space.drivers.size(), parts.drivers.size()),
                                  refuse_room(space.cables.size(), parts.cables.size())))
    return f;
  job asked = question;
  alternative_plan made{.parts = parts};
  std::copy(question.zones.begin(), question.zones.end(), space.zones.begin());
  switch (kind) {
    case alternative_kind::fewer_drivers: {
      // the cheapest order is then the cheapest of those with the fewest
      std::copy(parts.drivers.begin(), parts.drivers.end(), space.drivers.begin());
      for (driver& d : space.drivers.first(parts.drivers.size())) d.price += detail::fewest_drivers_surcharge;
      made.parts.drivers = space.drivers.first(parts.drivers.size());
      break;
    }
    case alternative_kind::thinner_cable: {
      std::size_t kept = 0;
      for (const cable& c : parts.cables)
        if (c.conductor.area < thinner_than) space.cables[kept++] = c;
      made.parts.cables = space.cables.first(kept);
      break;
    }
    case alternative_kind::plug_in:
    case alternative_kind::hardwired:
      for (zone& z : space.zones.first(question.zones.size()))
        if (z.mount == fitting_wish::any)
          z.mount = kind == alternative_kind::plug_in ? fitting_wish::plug_in : fitting_wish::hardwired;
      asked.zones = space.zones.first(question.zones.size());
      break;
    case alternative_kind::soldered_tails: asked.rules.join = join_preference::soldered_first; break;
    case alternative_kind::connectors: asked.rules.join = join_preference::connector_first; break;
  }
  const auto answer = make_plan(asked, made.parts, space.plan);
  if (!answer.ok()) return answer.why();
  made.answer = *answer;
  if (kind == alternative_kind::fewer_drivers) {
    detail::take_off_surcharge(made.answer, space.plan.order.first(answer->order.size()),
                               space.plan.drivers.first(answer->drivers.size()), parts, question.rules);
    made.parts = parts;
  }
  return made;
}

namespace detail {

constexpr alternative facts_of(alternative_kind kind, const alternative_plan& made,
                               const catalogue& priced) noexcept {
  const plan& p = made.answer;
  alternative a{.kind = kind,
                .price = p.price,
                .every_price_known = p.every_price_known,
                .capacity_credit = p.capacity_credit,
                .drivers = static_cast<std::int32_t>(p.drivers.size()),
                .thickest = thickest_conductor(p)};
  for (const driver_plan& d : p.drivers) {
    const driver& row = priced.drivers[static_cast<std::size_t>(d.part)];
    a.plug_in += row.mount == fitting::plug_in ? 1 : 0;
  }
  for (const order_line& l : p.order)
    if (l.service == service_kind::soldered_tail) a.soldered += static_cast<std::int32_t>(l.quantity);
  return a;
}

/// Whether an order is of its kind at all, beside the cheapest one.
constexpr bool differs(const alternative& a, const alternative& cheapest) noexcept {
  switch (a.kind) {
    case alternative_kind::fewer_drivers: return a.drivers < cheapest.drivers;
    case alternative_kind::thinner_cable: return a.thickest < cheapest.thickest;
    case alternative_kind::plug_in: return a.plug_in > cheapest.plug_in;
    case alternative_kind::hardwired: return a.drivers - a.plug_in > cheapest.drivers - cheapest.plug_in;
    case alternative_kind::soldered_tails: return a.soldered > cheapest.soldered;
    case alternative_kind::connectors: return a.soldered < cheapest.soldered;
  }
  return false;
}

}  // namespace detail

/// The next best orders that differ in kind from the one that make_plan gives, cheapest first: by price, less what their
/// capacity is worth by the rules.
///
/// @param question, parts  as make_plan takes them.
/// @param space            the caller's storage; the plan in it is overwritten.
/// @param room             for up to std::size(all_alternatives); three are enough to tell the three cheapest.
/// @return                 how many were written: plans that fit and differ in the way they say. None where
///                         the job itself does not fit: see find_conflict. Faults of make_plan; no_room.
/// Accuracy  each is the cheapest of its kind as far as make_plan proves it (`proven`, `price_at_least`).
[[nodiscard]] constexpr outcome<std::size_t> alternatives(const job& question, const catalogue& parts,
                                                          const alternative_space& space,
                                                          std::span<alternative> room) noexcept {
  const auto first = make_plan(question, parts, space.plan);
  if (!first.ok()) return first.why();
  if (!first->fits) return std::size_t{0};
  const alternative cheapest = detail::facts_of(alternative_kind::fewer_drivers, {*first, parts}, parts);
  bounded<alternative, std::size(all_alternatives)> found;
  for (const alternative_kind kind : all_alternatives) {
    const auto made = make_alternative(kind, question, parts, cheapest.thickest, space);
    if (!made.ok()) return made.why();
    if (!made->answer.fits) continue;
    const alternative a = detail::facts_of(kind, *made, parts);
    if (!detail::differs(a, cheapest)) continue;
    found.push(a);
    const auto counts = [](const alternative& x) noexcept { return x.price - x.capacity_credit; };
    for (std::size_t i = found.size() - 1; i > 0 && counts(found[i]) < counts(found[i - 1]); --i)
      std::swap(found[i], found[i - 1]);
  }
  const std::size_t told = std::min(room.size(), found.size());
  std::copy(found.begin(), found.begin() + told, room.begin());
  return told;
}

}  // namespace tapewright
