// SPDX-License-Identifier: BSL-1.0
// Stage 10: what to buy, part by part, in sale units, with prices.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/text.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/search/stock_cutting.hpp"

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

/// A part that is sold by length, as its makers sell it.
struct sold_by_length {
  part_ref part{};
  metres quantum{}, longest{};  ///< longest 0 = any length in one piece
  money price{};                ///< of one quantum
};

/// The pieces of a part in an order that the lists of the job do not change: by hub, by code of the run, and as
/// they follow one another along it. `long_ones` more than a longest piece stand at the end.
struct pieces_to_cut {
  std::size_t count = 0, long_ones = 0;
};

constexpr pieces_to_cut gather_pieces(draft& d, const sold_by_length& sold) noexcept {
  pieces_to_cut all;
  const std::span<std::int32_t> piece_of = d.search.piece_of;
  for (std::size_t p = 0; p < d.pieces.size(); ++p)
    if (d.pieces[p].part == sold.part && d.pieces[p].length.v > 0 && all.count < piece_of.size())
      piece_of[all.count++] = static_cast<std::int32_t>(p);
  const auto piece_at = [&](std::int32_t at) noexcept -> const cut_piece& {
    return d.pieces[static_cast<std::size_t>(at)];
  };
  const auto is_long = [&](const cut_piece& p) noexcept {
    return sold.longest.v > 0 && p.length > sold.longest + length_noise(sold.longest);
  };
  const auto hub_of = [&](const cut_piece& p) noexcept {
    return p.about.kind == subject_kind::hub ? p.about.index
                                             : d.runs[static_cast<std::size_t>(p.about.index)].hub;
  };
  const auto before = [&](std::int32_t x, std::int32_t y) noexcept {
    const cut_piece &a = piece_at(x), &b = piece_at(y);
    if (is_long(a) != is_long(b)) return is_long(b);
    if (hub_of(a) != hub_of(b)) return hub_of(a) < hub_of(b);
    if (a.about.kind != b.about.kind) return a.about.kind > b.about.kind;
    if (a.about.kind == subject_kind::run && a.about.index != b.about.index) {
      const run_plan &r = d.runs[static_cast<std::size_t>(a.about.index)],
                     &q = d.runs[static_cast<std::size_t>(b.about.index)];
      if (const int order = text_order(d.asked(r).code, d.asked(q).code); order != 0) return order < 0;
    }
    return x < y;
  };
  std::sort(piece_of.begin(), piece_of.begin() + static_cast<std::ptrdiff_t>(all.count), before);
  for (std::size_t i = 0; i < all.count; ++i) {
    const cut_piece& p = piece_at(piece_of[i]);
    d.search.pieces[i] = {.length = metres{larger(p.length.v, 0.001)}, .rank = static_cast<std::int64_t>(i)};
    all.long_ones += is_long(p) ? 1 : 0;
  }
  return all;
}

/// Whole quanta for a length that is known to be in range.
constexpr std::int64_t quanta_for(metres length, metres quantum) noexcept {
  return static_cast<std::int64_t>(larger(1, tapewright::detail::whole_quanta(length, quantum)));
}

/// Buys the pieces of one part as the cheapest lengths they can be cut from, and tells each piece its own. A
/// piece longer than any sold is bought alone (a finding tells of it). An offer of many different lengths is
/// bought in longest ones, each shortened to what is cut from it: never dearer than piece by piece, but not
/// proven.
constexpr fault buy_by_length(draft& d, const sold_by_length& sold) noexcept {
  const pieces_to_cut all = gather_pieces(d, sold);
  if (all.count == 0) return {};
  const std::size_t fitting = all.count - all.long_ones;
  const std::span<const stock_piece> pieces = d.search.pieces.first(fitting);
  std::int64_t quanta = 0;
  std::int32_t lengths = 0;
  const auto cut_from = [&](std::size_t piece, std::int32_t stock, std::int64_t units) noexcept {
    cut_piece& p = d.pieces[static_cast<std::size_t>(d.search.piece_of[piece])];
    p.stock = stock;
    p.stock_length = sold.quantum * static_cast<double>(units);
  };
  if (fitting > 0) {
    // the longest piece may not be a whole number of quanta: then it is an offer of its own
    const std::int64_t most = quanta_for(sold.longest, sold.quantum);
    const bool any = sold.longest.v <= 0,
               many = !any && (most > static_cast<std::int64_t>(most_stock_lengths) - 1 ||
                               static_cast<double>(sold.price.minor) * static_cast<double>(most) >
                                   range_of(field::price).most);
    const bool whole = sold.quantum * static_cast<double>(most) <= sold.longest + length_noise(sold.longest);
    stock_offer offers[2] = {{sold.longest, sold.quantum, sold.price, 0},
                             {sold.longest, {}, many ? money{1} : sold.price * most, 1}};
    std::span<const stock_offer> offered{offers, static_cast<std::size_t>(any || whole ? 1 : 2)};
    // a longest piece below one quantum is sold in that one length only
    if (many || (!any && sold.longest + length_noise(sold.longest) < sold.quantum))
      offered = std::span<const stock_offer>{offers}.subspan(1);
    const auto cut = cheapest_cutting({.pieces = pieces, .offers = offered, .steps = d.tally.steps_of_one()},
                                      d.search.cutting);
    if (!cut.ok()) return cut.why();
    d.tally.spend(cut->steps);
    lengths = static_cast<std::int32_t>(cut->sold.size());
    for (std::size_t s = 0; s < cut->sold.size(); ++s) {
      metres used;
      for (std::size_t i = 0; i < fitting; ++i)
        if (cut->sold_of[i] == static_cast<std::int32_t>(s)) used += pieces[i].length;
      const std::int64_t units = quanta_for(used, sold.quantum);
      quanta += units;
      for (std::size_t i = 0; i < fitting; ++i)
        if (cut->sold_of[i] == static_cast<std::int32_t>(s))
          cut_from(i, static_cast<std::int32_t>(s) + 1, units);
    }
    // the bound of a whole order counts cables in its wiring: these pieces are not the only ones there could be
    const auto tell = [&](const cost& found, const cost& least) noexcept {
      if (sold.part.kind == part_kind::tape) d.tally.add_tape(found, least);
      else if (d.question.rules.weighs_capacity()) d.tally.add(found, least);
    };
    if (many)
      tell(cost_of_piece(sold.price, quanta),
           cost_of_piece(sold.price, quanta_for(tapewright::detail::sum_of(pieces), sold.quantum)));
    else tell(cut->price, cut->price_at_least);
  }
  for (std::size_t i = fitting; i < all.count; ++i) {
    const std::int64_t units = quanta_for(d.search.pieces[i].length, sold.quantum);
    quanta += units;
    cut_from(i, ++lengths, units);
  }
  add_to_line(d, sold.part, service_kind::none, quanta, sold.quantum * static_cast<double>(quanta),
              sold.price);
  return {};
}

}  // namespace detail

/// Takes the decided plan and its pieces; writes the order lines, tape first, then cable, connectors,
/// controllers, drivers, protection and services, each list in catalogue order. Tape and cable are bought in
/// lengths that all their pieces are cut from; no piece has a joint. Needs at most 10 lines a run, and one.
constexpr fault order_parts(draft& d) noexcept {
  const catalogue& parts = d.parts;
  for (const run_plan& r : d.runs) {
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
  std::int64_t cuts = 0;
  for (const cut_piece& p : d.pieces) cuts += p.part.kind == part_kind::tape ? 1 : 0;
  if (const money fee = d.question.rules.cut_fee; fee.minor > 0) {
    detail::add_to_line(d, {part_kind::service, 2}, service_kind::cut_piece, cuts, {}, fee);
    d.tally.add_tape(cost_of(fee, cuts), cost_of(fee, cuts));
  }
  for (std::size_t t = 0; t < parts.tapes.size(); ++t) {
    const tape& row = parts.tapes[t];
    if (const fault f = detail::buy_by_length(d, {{part_kind::tape, static_cast<std::int32_t>(t)},
                                                  row.sale_quantum,
                                                  row.longest_piece,
                                                  row.price}))
      return at_item(f, t);
  }
  for (std::size_t c = 0; c < parts.cables.size(); ++c) {
    const cable& row = parts.cables[c];
    if (const fault f = detail::buy_by_length(
            d, {{part_kind::cable, static_cast<std::int32_t>(c)}, row.sale_quantum, row.stock, row.price}))
      return at_item(f, c);
  }
  std::sort(d.order.begin(), d.order.end(), [](const order_line& a, const order_line& b) {
    return a.part.kind != b.part.kind ? a.part.kind < b.part.kind : a.part.index < b.part.index;
  });
  return {};
}

}  // namespace tapewright::stage
