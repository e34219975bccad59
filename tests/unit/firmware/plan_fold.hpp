// SPDX-License-Identifier: BSL-1.0
// A plan, or any figures, folded into 64 bits: by value, never by memory, so that byte order and padding do not count.
#pragma once

#include <bit>
#include <cstdint>

#include "tapewright/plan/planner.hpp"

namespace tapewright::test {

/// FNV-1a over 64-bit words, byte by byte of their value: G. Fowler, L. C. Noll, K.-P. Vo; 64-bit offset and prime.
/// Every NaN counts as the same: which of its bits are set is the processor's own business.
struct wide_fold {
  std::uint64_t hash = 14695981039346656037u;

  void take(std::uint64_t word) noexcept {
    for (int shift = 0; shift < 64; shift += 8) hash = (hash ^ (word >> shift & 255)) * 1099511628211u;
  }
  void take(std::int64_t word) noexcept { take(static_cast<std::uint64_t>(word)); }
  void take(std::int32_t word) noexcept { take(static_cast<std::int64_t>(word)); }
  void take(bool word) noexcept { take(std::uint64_t{word}); }
  void take(double figure) noexcept {
    take(figure != figure ? 0x7ff8000000000000u : std::bit_cast<std::uint64_t>(figure));
  }
  template <class Unit>
  void take(quantity<Unit> q) noexcept {
    take(q.v);
  }
  void take(celsius c) noexcept { take(c.v); }
  void take(money m) noexcept { take(static_cast<std::int64_t>(m.minor)); }
  template <class E>
  requires std::is_enum_v<E>
  void take(E e) noexcept { take(static_cast<std::int64_t>(e)); }
  void take(const fault& f) noexcept {
    take(f.code);
    take(f.field);
    take(f.given);
    take(f.least);
    take(f.most);
  }
  template <class T>
  void take(const outcome<T>& o) noexcept {
    if (o) take(*o);
    else take(o.why());
  }
};

inline void fold_cable(wide_fold& f, const laid_cable& k) noexcept {
  f.take(k.number);
  f.take(k.cable);
  f.take(k.route);
  f.take(k.cut);
  f.take(k.check.core_resistance);
  f.take(k.check.worst_drop);
  f.take(k.check.drop_utilisation);
  f.take(k.check.ampacity_utilisation);
}

/// Every figure that a plan shows to its reader.
inline void fold_plan(wide_fold& f, const plan& p) noexcept {
  for (const run_plan& r : p.runs) {
    f.take(r.run);
    f.take(r.hub);
    f.take(r.cut.segments);
    f.take(r.cut.length);
    f.take(r.cut.dark);
    f.take(r.tape_sale.sold);
    f.take(r.load.sized);
    f.take(r.connector);
    f.take(r.feed_least);
    f.take(r.feed_greatest);
    f.take(r.end_least);
    f.take(r.end_greatest);
    fold_cable(f, r.feeder);
    const line_figures& l = r.all_on;
    for (std::int32_t c = 0; c < l.channels; ++c) {
      f.take(l.at_feed[c]);
      f.take(l.first_load[c]);
      f.take(l.last_load[c]);
      f.take(l.channel_current[c]);
      f.take(l.evenness[c]);
    }
    f.take(l.total);
    f.take(l.lightness_step);
    f.take(l.colour_shift);
    f.take(l.lamps);
    f.take(l.trace_loss);
    f.take(l.feeder_loss);
  }
  for (const hub_plan& h : p.hubs) {
    f.take(h.controller);
    f.take(h.output);
    f.take(h.total);
    f.take(h.load);
    f.take(h.input);
    fold_cable(f, h.supply);
  }
  for (const output_plan& o : p.outputs) {
    f.take(o.driver);
    f.take(o.device);
    f.take(o.load);
    f.take(o.current);
    f.take(o.check.utilisation);
  }
  for (const driver_plan& d : p.drivers) {
    f.take(d.part);
    f.take(d.load);
    f.take(d.mains_current);
  }
  for (const order_line& o : p.order) {
    f.take(o.part.kind);
    f.take(o.part.index);
    f.take(o.quantity);
    f.take(o.length);
    f.take(o.total);
  }
  for (const cut_piece& c : p.pieces) {
    f.take(c.number);
    f.take(c.segments);
    f.take(c.length);
    f.take(c.dark);
  }
  for (const connection& c : p.connections) {
    f.take(c.number);
    f.take(c.core);
    f.take(c.from.kind);
    f.take(c.to.kind);
    f.take(c.area);
    f.take(c.length);
    f.take(c.current);
  }
  for (const finding& x : p.findings) {
    f.take(x.code);
    f.take(x.level);
    f.take(x.value);
    f.take(x.limit);
  }
  for (const reading& r : p.readings) {
    f.take(r.kind);
    f.take(r.channel);
    f.take(r.expected);
    f.take(r.least);
    f.take(r.most);
  }
  for (const note& n : p.notes) f.take(n.code);
  f.take(p.mains.steady);
  f.take(p.mains.breakers);
  f.take(p.mains.leakage);
  f.take(p.mains.yearly);
  f.take(p.load);
  f.take(p.price);
  f.take(p.fits);
}

}  // namespace tapewright::test
