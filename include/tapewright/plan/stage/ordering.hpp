// SPDX-License-Identifier: BSL-1.0
// Stage: what to buy, part by part, in sale units, with prices.
#pragma once

#include <algorithm>
#include <cstddef>

#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

/// Adds to the line of a part (or service), opening it where there is none yet.
constexpr void add_to_line(draft& d, part_ref part, service_kind service, std::int64_t quantity,
                           metres length, money unit_price) noexcept {
  if (quantity <= 0) return;
  for (order_line& line : d.order)
    if (line.part == part && line.service == service) {
      line.quantity += quantity;
      line.length += length;
      line.total = line.unit_price * line.quantity;
      return;
    }
  d.order.push({.part = part,
                .service = service,
                .quantity = quantity,
                .length = length,
                .unit_price = unit_price,
                .total = unit_price * quantity,
                .price_known = unit_price.minor > 0});
}

template <class Rows>
constexpr void add_piece(draft& d, part_kind kind, const Rows& rows, std::int32_t at,
                         std::int64_t count = 1) noexcept {
  if (at >= 0)
    add_to_line(d, {kind, at}, service_kind::none, count, {}, rows[static_cast<std::size_t>(at)].price);
}

/// All pieces of one cable are cut from what is sold: their sum, rounded up once.
constexpr fault order_cables(draft& d) noexcept {
  for (std::size_t c = 0; c < d.parts.cables.size(); ++c) {
    const part_ref part{part_kind::cable, static_cast<std::int32_t>(c)};
    metres need;
    for (const cut_piece& p : d.pieces)
      if (p.part == part) need += p.length;
    if (need.v <= 0) continue;
    const cable& row = d.parts.cables[c];
    const auto units = sale_units(need, row.sale_quantum);
    if (!units.ok()) return at_item(units.why(), c);
    add_to_line(d, part, service_kind::none, *units, row.sale_quantum * static_cast<double>(*units),
                row.price);
  }
  return {};
}

}  // namespace detail

/// Takes the decided plan and its pieces; writes the order lines, tape first, then cable, connectors,
/// controllers, drivers, protection and services, each list in catalogue order. Every run's tape is
/// sold by whole quanta of its own. Needs at most 10 lines a run.
constexpr fault order_parts(draft& d) noexcept {
  const catalogue& parts = d.parts;
  for (const run_plan& r : d.runs) {
    detail::add_to_line(d, {part_kind::tape, d.asked(r).tape}, service_kind::none, r.tape_sale.quanta,
                        r.tape_sale.sold, d.tape_of(r).price);
    for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
      const tape_feed& f = d.feed_of(r, k);
      if (f.join == feed_join::connector)
        detail::add_piece(d, part_kind::connector, parts.connectors, f.connector);
      if (f.join == feed_join::soldered_tail)
        detail::add_to_line(d, {part_kind::service, 0}, service_kind::soldered_tail, 1, {},
                            d.question.rules.solder_fee);
    }
  }
  for (const stretch_plan& s : d.stretches) {
    if (!s.linked) continue;
    if (s.connector >= 0) detail::add_piece(d, part_kind::connector, parts.connectors, s.connector);
    else
      detail::add_to_line(d, {part_kind::service, 1}, service_kind::soldered_link, 1, {},
                          d.question.rules.solder_fee);
  }
  for (const hub_plan& h : d.hubs) {
    detail::add_piece(d, part_kind::controller, parts.controllers, h.controller);
    if (h.splices > 0) detail::add_piece(d, part_kind::connector, parts.connectors, h.splice, h.splices);
  }
  for (const output_plan& o : d.outputs) {
    detail::add_piece(d, part_kind::overcurrent_device, parts.overcurrent_devices, o.device);
    detail::add_piece(d, part_kind::connector, parts.connectors, o.plug);
  }
  for (const driver_plan& p : d.drivers) detail::add_piece(d, part_kind::driver, parts.drivers, p.part);
  if (const fault f = detail::order_cables(d)) return f;
  std::sort(d.order.begin(), d.order.end(), [](const order_line& a, const order_line& b) {
    return a.part.kind != b.part.kind ? a.part.kind < b.part.kind : a.part.index < b.part.index;
  });
  return {};
}

}  // namespace tapewright::stage
