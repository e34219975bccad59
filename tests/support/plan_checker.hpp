// SPDX-License-Identifier: BSL-1.0
// A judge of plans that knows the rules, the catalogue and a nodal network, and nothing of how plans are made.
//
// It reads what a fitter would read: the order, the cutting list and the connection schedule, wires an
// oracle's network from that schedule, conductor by conductor, and says in words what is wrong.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "support/dense_network.hpp"
#include "support/random_tape.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/rules/ampacity.hpp"
#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/contact_derating.hpp"
#include "tapewright/rules/overcurrent_ratings.hpp"

namespace tapewright::test {

class plan_checker {
 public:
  plan_checker(const job& question, const catalogue& parts, const plan& answer)
      : q_{question}, parts_{parts}, p_{answer} {}

  /// Everything that is wrong with the plan; empty when nothing is.
  std::vector<std::string> problems() {
    cutting();
    order();
    schedule();
    outputs();
    findings();
    if (p_.fits) {
      controllers();
      drivers();
      cables();
      protection();
      trims();
      joints();
      network();
    }
    return std::move(problems_);
  }

 private:
  // 1e-9: sums of a few hundred roundings of double, far below any figure that a rule could hang on
  static constexpr double noise = 1e-9;

  template <class... Parts>
  void say(const Parts&... parts) {
    std::string text;
    const auto put = [&](const auto& part) {
      if constexpr (requires { std::to_string(part); }) text += std::to_string(part);
      else text += std::string{part};
    };
    (put(parts), ...);
    problems_.push_back(text);
  }
  template <class... Parts>
  void want(bool held, const Parts&... parts) {
    if (!held) say(parts...);
  }
  static bool at_most(double value, double limit) { return value <= limit * (1 + noise) + 1e-12; }
  static std::size_t at(std::int64_t i) { return static_cast<std::size_t>(i); }

  const run& asked(const run_plan& r) const { return q_.runs[at(r.run)]; }
  const tape& tape_of(const run_plan& r) const { return parts_.tapes[at(asked(r).tape)]; }
  const zone& zone_of(const hub_plan& h) const { return q_.zones[at(h.zone)]; }
  const driver& driver_of(const output_plan& o) const {
    return parts_.drivers[at(p_.drivers[at(o.driver)].part)];
  }

  /// Volts that a run's driver gives.
  double given_to(const run_plan& r) const {
    const output_plan& o = p_.outputs[at(p_.hubs[at(r.hub)].output)];
    return o.set_to.v > 0 ? o.set_to.v : tape_of(r).nominal.v;
  }
  /// Amperes of a channel of a run at its nominal voltage; at the least a lamp may get for constant power.
  double amps_of(const run_plan& r, std::size_t c) const {
    const tape& t = tape_of(r);
    const double nominal = t.channels[c].load.v * lit_m(r) / t.nominal.v;
    return t.channels[c].law == load_kind::constant_power ? nominal / (1 - q_.rules.drop_to_lamp) : nominal;
  }
  double lit_m(const run_plan& r) const {
    return static_cast<double>(r.cut.segments) * tape_of(r).cut_pitch.v;
  }
  /// Watts of a run at nominal voltage; the maker's limit where its controller keeps to it.
  double watts_of(const run_plan& r) const {
    const tape& t = tape_of(r);
    double sum = 0;
    for (const tape_channel& c : t.channels) sum += c.load.v * lit_m(r);
    const std::int32_t k = p_.hubs[at(r.hub)].controller;
    const bool kept = k >= 0 && parts_.controllers[at(k)].enforces_all_on_limit && t.all_on_limit.v > 0;
    return kept ? std::min(sum, t.all_on_limit.v * lit_m(r)) : sum;
  }

  // ---- what is cut and bought -------------------------------------------------------------------

  /// The feed points of a run: its own, then the further ones.
  std::vector<const tape_feed*> feeds_of(const run_plan& r) const {
    std::vector<const tape_feed*> all{&r};
    for (std::int32_t k = 0; k < r.more_feeds; ++k) all.push_back(&p_.feeds[at(r.feeds_from + k)]);
    return all;
  }
  std::vector<const stretch_plan*> pieces_of(const run_plan& r) const {
    std::vector<const stretch_plan*> all;
    for (std::int32_t k = 0; k < r.stretches; ++k) all.push_back(&p_.stretches[at(r.stretches_from + k)]);
    return all;
  }

  /// Sections follow one another without a gap, and together light every whole pitch of every stretch; pieces are no
  /// longer than the maker supplies; what stays dark is told to the micrometre.
  void cutting() {
    std::vector<std::int64_t> segments(q_.runs.size());
    std::vector<std::int32_t> sections(q_.runs.size());
    std::vector<double> dark(q_.runs.size()), dark_pieces(q_.runs.size());
    for (std::size_t i = 0; i < p_.runs.size(); ++i) {
      const run_plan& r = p_.runs[i];
      const std::size_t of = at(r.run);
      want(r.place == static_cast<std::int32_t>(i), "run ", i, " does not know its place");
      want(i == 0 || r.run == p_.runs[i - 1].run || r.run == p_.runs[i - 1].run + 1, "run ", i,
           " out of order");
      want(r.section == sections[of]++ && r.first == segments[of], "section ", i, " out of order");
      want(r.cut.segments >= 1, "run ", i, " has no segment");
      want(close(r.cut.length.v, lit_m(r)), "run ", i, ": length is not that of its segments");
      segments[of] += r.cut.segments;
      dark[of] += r.cut.dark.v;
      std::int64_t sum = 0;
      for (const stretch_plan* s : pieces_of(r)) {
        sum += s->cut.segments;
        want(close(s->cut.length.v, static_cast<double>(s->cut.segments) * tape_of(r).cut_pitch.v),
             "a piece's length");
        want(s->dark_near.v <= s->cut.dark.v + 1e-9, "a piece's dark ends");
      }
      want(r.stretches == 0 || sum == r.cut.segments, "run ", i, ": pieces do not add up");
    }
    for (const cut_piece& piece : p_.pieces) {
      if (piece.part.kind != part_kind::tape) continue;
      const run_plan& r = p_.runs[at(piece.about.index)];
      dark_pieces[at(r.run)] += piece.dark.v;
      if (!is_plain(asked(r)))
        want(at_most(piece.length.v, tape_of(r).longest_piece.v), "a piece of run ", r.run, " is too long");
    }
    for (std::size_t i = 0; i < q_.runs.size(); ++i) {
      const run& u = q_.runs[i];
      const double step = parts_.tapes[at(u.tape)].cut_pitch.v;
      std::int64_t whole = 0;
      for (std::size_t k = 0; k < std::max<std::size_t>(1, u.stretches.size()); ++k) {
        const double wall = u.stretches.empty()
                                ? u.measured.v
                                : u.stretches[k].measured.v - (k == 0 ? 0.0 : u.stretches[k].gap.v);
        // the micrometre is the library's stated length noise
        whole += static_cast<std::int64_t>(std::floor((wall + 1.001e-6) / step));
      }
      want(segments[i] == whole, "run ", i, " lights ", segments[i], " segments of ", whole);
      for (const run_plan& r : p_.runs)
        if (at(r.run) == i) want(r.sections == sections[i], "run ", i, " tells another number of sections");
      const double left = std::max(0.0, u.measured.v - static_cast<double>(whole) * step);
      want(close(dark[i], left, 2e-6) && close(dark_pieces[i], left, 2e-6), "run ", i, ": dark remainder");
    }
  }
  static bool close(double a, double b, double absolute = 1e-9) { return std::fabs(a - b) <= absolute; }

  void order() {
    std::map<std::pair<part_kind, std::int32_t>, std::int64_t> count;
    std::map<std::pair<part_kind, std::int32_t>, double> need_m;
    const auto use = [&](part_kind kind, std::int32_t part, std::int64_t n = 1) {
      if (part >= 0 && n > 0) count[{kind, part}] += n;
    };
    std::int64_t soldered = 0;
    for (const run_plan& r : p_.runs) {
      need_m[{part_kind::tape, asked(r).tape}] += lit_m(r);
      for (const tape_feed* f : feeds_of(r)) {
        if (f->join == feed_join::connector) use(part_kind::connector, f->connector);
        soldered += f->join == feed_join::soldered_tail;
      }
      for (const stretch_plan* k : pieces_of(r)) {
        use(part_kind::connector, k->connector);
        soldered += k->linked && k->connector < 0;
      }
    }
    for (const hub_plan& h : p_.hubs) {
      use(part_kind::controller, h.controller);
      use(part_kind::connector, h.splice, h.splices);
    }
    for (const output_plan& o : p_.outputs) {
      use(part_kind::overcurrent_device, o.device);
      use(part_kind::connector, o.plug);
    }
    for (const driver_plan& d : p_.drivers) use(part_kind::driver, d.part);
    for (const connection& c : p_.connections)
      if (c.cable >= 0 && c.core == 1) need_m[{part_kind::cable, c.cable}] += c.length.v;

    long long sum = 0;
    bool all_priced = true;
    std::int64_t ordered_solder = 0;
    for (const order_line& l : p_.order) {
      const std::pair key{l.part.kind, l.part.index};
      want(l.quantity > 0, "an empty order line");
      want(l.total.minor == l.unit_price.minor * l.quantity,
           "a line's total is not its price times quantity");
      want(l.unit_price.minor == price_of(l), "a line's price is not the catalogue's");
      sum += l.total.minor;
      all_priced = all_priced && l.price_known;
      if (l.part.kind == part_kind::service) ordered_solder += l.quantity;
      else if (l.part.kind == part_kind::tape || l.part.kind == part_kind::cable) {
        const double quantum = l.part.kind == part_kind::tape
                                   ? parts_.tapes[at(l.part.index)].sale_quantum.v
                                   : parts_.cables[at(l.part.index)].sale_quantum.v;
        want(close(l.length.v, quantum * static_cast<double>(l.quantity), 1e-6),
             "a line's length is not whole quanta");
        want(need_m[key] <= l.length.v + 1e-6, "not enough ordered of a length");
        need_m.erase(key);
      } else {
        want(count[key] == l.quantity, "ordered ", l.quantity, " of a part, used ", count[key]);
        count.erase(key);
      }
    }
    stock();
    for (const auto& [key, n] : count)
      want(n == 0, "a used part was not ordered, kind ", static_cast<int>(key.first));
    for (const auto& [key, m] : need_m)
      want(m <= 0, "a used length was not ordered, kind ", static_cast<int>(key.first));
    want(ordered_solder == soldered, "soldered tails: ordered ", ordered_solder, ", made ", soldered);
    want(sum == p_.price.minor, "the price is not the sum of the lines");
    want(all_priced == p_.every_price_known, "whether every price is known");
  }
  /// Every piece is cut whole from a length that is bought, and what is bought is those lengths.
  void stock() {
    struct bought {
      double length_m = 0, used_m = 0, longest_piece_m = 0;
    };
    std::map<std::tuple<part_kind, std::int32_t, std::int32_t>, bought> lengths;
    for (const cut_piece& piece : p_.pieces) {
      if (piece.length.v <= 0) continue;
      want(piece.stock >= 1, "a piece is cut from nothing that is bought");
      bought& b = lengths[{piece.part.kind, piece.part.index, piece.stock}];
      want(b.length_m == 0 || close(b.length_m, piece.stock_length.v), "one length is told in two ways");
      b.length_m = piece.stock_length.v;
      b.used_m += piece.length.v;
      b.longest_piece_m = std::max(b.longest_piece_m, piece.length.v);
    }
    std::map<std::pair<part_kind, std::int32_t>, double> all;
    for (const auto& [key, b] : lengths) {
      const auto& [kind, index, number] = key;
      want(b.used_m <= b.length_m + 1.1e-6, "more is cut from a length than it has");
      const double longest = kind == part_kind::tape ? parts_.tapes[at(index)].longest_piece.v
                                                     : parts_.cables[at(index)].stock.v;
      // the part of a quantum that the last one passes the longest piece by is not used
      want(longest == 0 || b.used_m <= std::max(longest, b.longest_piece_m) + 1.1e-6,
           "pieces are cut from a length longer than any sold");
      all[{kind, index}] += b.length_m;
    }
    for (const order_line& l : p_.order)
      if (l.part.kind == part_kind::tape || l.part.kind == part_kind::cable)
        want(close(l.length.v, all[{l.part.kind, l.part.index}], 1e-6),
             "what is ordered is not the lengths that are cut");
  }
  long long price_of(const order_line& l) const {
    switch (l.part.kind) {
      case part_kind::tape: return parts_.tapes[at(l.part.index)].price.minor;
      case part_kind::cable: return parts_.cables[at(l.part.index)].price.minor;
      case part_kind::connector: return parts_.connectors[at(l.part.index)].price.minor;
      case part_kind::controller: return parts_.controllers[at(l.part.index)].price.minor;
      case part_kind::driver: return parts_.drivers[at(l.part.index)].price.minor;
      case part_kind::overcurrent_device: return parts_.overcurrent_devices[at(l.part.index)].price.minor;
      default: return q_.rules.solder_fee.minor;
    }
  }

  // ---- how it is wired --------------------------------------------------------------------------

  /// Every cable number is one cable of one length with cores that differ; every core ends twice; every
  /// terminal of a tape is reached; pieces and schedule name the same cables.
  void schedule() {
    std::map<std::int32_t, std::set<std::int32_t>> cores;
    std::map<std::int32_t, std::pair<std::int32_t, double>> laid;
    std::set<std::tuple<std::int32_t, std::int32_t, std::int32_t>> reached;
    for (const connection& c : p_.connections) {
      if (c.number > 0) {
        // where no cable has enough cores the nearest stands there, and a finding tells
        want(c.cable >= 0 && c.core >= 1 && (!p_.fits || c.core <= parts_.cables[at(c.cable)].cores),
             "cable ", c.number, " has no core ", c.core);
        want(cores[c.number].insert(c.core).second, "cable ", c.number, " core ", c.core, " is used twice");
        const auto [row, fresh] = laid.try_emplace(c.number, c.cable, c.length.v);
        want(fresh || row->second == std::pair{c.cable, c.length.v}, "cable ", c.number, " is two cables");
      }
      if (c.from.kind == terminal_kind::hub_channel)
        want(c.to.kind == terminal_kind::tape_channel && c.to.channel == c.from.channel, "channel ",
             c.from.channel, " of hub ", c.from.owner, " goes to another");
      if (c.from.kind == terminal_kind::hub_common)
        want(c.to.kind == terminal_kind::tape_common, "the common of hub ", c.from.owner,
             " goes to a channel");
      if (c.to.kind == terminal_kind::tape_common) reached.insert({c.to.owner, c.to.feed, -1});
      if (c.to.kind == terminal_kind::tape_channel) reached.insert({c.to.owner, c.to.feed, c.to.channel});
    }
    for (const cut_piece& piece : p_.pieces) {
      if (piece.part.kind != part_kind::cable) continue;
      const auto row = laid.find(piece.number);
      want(row != laid.end() && row->second == std::pair{piece.part.index, piece.length.v},
           "the cutting list's cable ", piece.number, " is not the schedule's");
      if (row != laid.end()) laid.erase(row);
    }
    want(laid.empty(), "a cable of the schedule is not on the cutting list");
    for (std::size_t r = 0; r < p_.runs.size(); ++r) {
      const auto run = static_cast<std::int32_t>(r);
      if (p_.hubs[at(p_.runs[r].hub)].output < 0) continue;  // told as a finding: nothing to hang it on
      for (std::int32_t k = 0; k <= p_.runs[r].more_feeds; ++k) {
        want(reached.count({run, k, -1}) == 1, "the common of run ", r, " is not connected");
        for (std::size_t c = 0; c < tape_of(p_.runs[r]).channels.size(); ++c)
          want(reached.count({run, k, static_cast<std::int32_t>(c)}) == 1, "channel ", c, " of run ", r,
               " is not connected");
      }
    }
  }

  void outputs() {
    std::set<std::pair<std::int32_t, std::int32_t>> used;
    for (const output_plan& o : p_.outputs) {
      want(used.insert({o.driver, o.number}).second, "two outputs of one number on driver ", o.driver);
      want(o.number >= 1 && o.number <= driver_of(o).outputs, "driver ", o.driver, " has no output ",
           o.number);
    }
    // outputs are never joined: the schedule reaches each hub from one output alone
    std::map<std::int32_t, std::set<std::int32_t>> fed_by;
    for (const connection& c : p_.connections)
      if ((c.from.kind == terminal_kind::driver_positive || c.from.kind == terminal_kind::driver_negative ||
           c.from.kind == terminal_kind::fuse_out) &&
          (c.to.kind == terminal_kind::hub_positive || c.to.kind == terminal_kind::hub_negative))
        fed_by[c.to.owner].insert(c.from.owner);
    for (const auto& [hub, from] : fed_by) {
      want(from.size() == 1, "hub ", hub, " joins outputs");
      want(p_.hubs[at(hub)].output == *from.begin(), "hub ", hub, " hangs on another output than it says");
    }
  }

  void findings() {
    bool failed = false;
    for (const finding& f : p_.findings) {
      failed = failed || f.level == severity::failed;
      if (f.level != severity::ok || !(f.limit > 0)) continue;
      const bool most = facts_of(f.code).good == sense::at_most;
      want(most ? at_most(f.value, f.limit) : at_most(f.limit, f.value), "finding ", static_cast<int>(f.code),
           " says ok of ", f.value, " against ", f.limit);
    }
    want(failed != p_.fits, "fits and a failed finding");
  }

  // ---- what carries what ------------------------------------------------------------------------

  void controllers() {
    for (std::size_t i = 0; i < p_.hubs.size(); ++i) {
      const hub_plan& h = p_.hubs[i];
      std::vector<double> channel(max_channels);
      double total_w = 0, extra_a = 0;
      const tape* like = nullptr;
      for (const run_plan& r : p_.runs) {
        if (r.hub != static_cast<std::int32_t>(i)) continue;
        const tape& t = tape_of(r);
        want(asked(r).zone == h.zone, "run ", r.run, " hangs on another zone's hub");
        want(like == nullptr || (like->nominal == t.nominal && like->common == t.common), "hub ", i,
             " mixes voltages or polarities");
        like = &t;
        total_w += watts_of(r);
        for (std::size_t c = 0; c < t.channels.size(); ++c) {
          channel[c] += amps_of(r, c);
          extra_a += amps_of(r, c) - t.channels[c].load.v * lit_m(r) / t.nominal.v;
        }
        const zone& z = zone_of(h);
        want(h.controller >= 0 || (t.channels.size() == 1 && !z.wants_controller && z.features.empty()),
             "run ", r.run, " has no controller");
        if (h.controller >= 0)
          want(t.channels.size() <= at(parts_.controllers[at(h.controller)].channels), "run ", r.run,
               " has more channels than its controller");
      }
      if (like == nullptr) {
        say("hub ", i, " has no run");
        continue;
      }
      if (h.controller < 0) continue;
      const controller& c = parts_.controllers[at(h.controller)];
      const double total = total_w / like->nominal.v + extra_a;
      for (const double a : channel)
        want(at_most(a, c.channel_limit.v), "hub ", i, ": a channel carries ", a);
      want(at_most(total, c.total_limit.v) && at_most(total, c.terminal.v), "hub ", i, " carries ", total);
      want(c.lowest_input <= like->nominal && like->nominal <= c.highest_input, "hub ", i, ": input voltage");
      want(c.common == like->common, "hub ", i, ": polarity");
      want(zone_of(h).driver_ambient <= c.highest_ambient, "hub ", i, " is too hot");
      if (c.is_repeater) {
        want(h.follows >= 0 && !parts_.controllers[at(p_.hubs[at(h.follows)].controller)].is_repeater &&
                 p_.hubs[at(h.follows)].zone == h.zone,
             "repeater ", i, " follows nothing");
      } else {
        for (const std::string_view feature : zone_of(h).features)
          want(std::find(c.features.begin(), c.features.end(), feature) != c.features.end(), "hub ", i,
               " lacks a feature");
      }
    }
  }

  void drivers() {
    for (std::size_t i = 0; i < p_.outputs.size(); ++i) {
      const output_plan& o = p_.outputs[i];
      const driver& s = driver_of(o);
      double load = 0, current = 0;
      int hubs = 0;
      const zone* first = nullptr;
      for (std::size_t h = 0; h < p_.hubs.size(); ++h) {
        if (p_.hubs[h].output != static_cast<std::int32_t>(i)) continue;
        ++hubs;
        const zone& z = zone_of(p_.hubs[h]);
        want(first == nullptr || first == &z ||
                 (!z.driver_place.empty() && first->driver_place == z.driver_place),
             "output ", i, " serves two places");
        first = &z;
        want(z.mount == fitting_wish::any ||
                 (z.mount == fitting_wish::plug_in) == (s.mount == fitting::plug_in),
             "output ", i, ": mount");
        want(!z.limited_energy || s.limited_energy, "output ", i, " is not of limited energy");
        for (const run_plan& r : p_.runs) {
          if (r.hub != static_cast<std::int32_t>(h)) continue;
          const tape& t = tape_of(r);
          load += watts_of(r);
          current += watts_of(r) / t.nominal.v;
          for (std::size_t c = 0; c < t.channels.size(); ++c)
            current += amps_of(r, c) - t.channels[c].load.v * lit_m(r) / t.nominal.v;
          want(t.nominal == s.output, "output ", i, " has another voltage than run ", r.run);
        }
      }
      if (hubs == 0) {
        say("output ", i, " feeds nothing");
        continue;
      }
      const double share = share_left(s.derating, first->driver_ambient.v);
      const double amperes = (s.output_limit.v > 0 ? s.output_limit.v : s.rated.v / s.output.v) * share;
      want(at_most(load * (1 + q_.rules.headroom), s.rated.v * share), "output ", i, " of ", s.rated.v,
           " W carries ", load);
      want(at_most(current, amperes), "output ", i, " gives ", current, " A of ", amperes);
      want(load >= s.least_load.v * (1 - noise), "output ", i, " has less than its least load");
      if (s.output_connector.v > 0) {
        want(hubs == 1, "an output connector with ", hubs, " cables");
        want(at_most(current, s.output_connector.v), "output ", i, ": its own connector carries ", current);
      }
    }
  }
  /// Straight lines between a maker's points; nothing above the last.
  static double share_left(const derating_curve& curve, double ambient) {
    if (ambient <= curve[0].ambient.v) return curve[0].share;
    for (std::size_t i = 1; i < curve.size(); ++i) {
      const auto &a = curve[i - 1], &b = curve[i];
      if (ambient <= b.ambient.v)
        return a.share + (b.share - a.share) * (ambient - a.ambient.v) / (b.ambient.v - a.ambient.v);
    }
    return 0;
  }

  /// Ampacity, terminals and least section of every cable; the current of each core is added up from what
  /// hangs on it, not taken from the plan.
  void cables() {
    for (const run_plan& r : p_.runs) {
      const auto feeds = feeds_of(r);
      double together = 0;
      for (const tape_feed* f : feeds) {
        together += f->current.v;
        if (f->feeder.cable < 0) continue;
        // of several feed points each carries what the plan says; network() holds that against the wiring
        const double common = feeds.size() > 1 ? f->current.v : p_current(r);
        const auto loaded = static_cast<std::int32_t>(tape_of(r).channels.size()) + 1;
        carries(f->feeder, common, loaded, asked(r).cable_ambient, "feeder of run ", r.run);
        const hub_plan& h = p_.hubs[at(r.hub)];
        if (h.controller >= 0) {
          const controller& c = parts_.controllers[at(h.controller)];
          clamps(f->feeder, c.least_terminal, c.greatest_terminal, "feeder at controller, run ", r.run);
        } else if (h.supply.cable < 0) {
          const driver& s = driver_of(p_.outputs[at(h.output)]);
          clamps(f->feeder, s.least_terminal, s.greatest_terminal, "feeder at driver, run ", r.run);
        }
      }
      want(at_most(p_current(r), together), "run ", r.place, ": its feed points carry ", together);
    }
    for (std::size_t i = 0; i < p_.hubs.size(); ++i) {
      const hub_plan& h = p_.hubs[i];
      if (h.supply.cable < 0) continue;
      carries(h.supply, hub_amps(i), 2, q_.rules.cable_ambient, "supply cable of hub ", i);
      const driver& s = driver_of(p_.outputs[at(h.output)]);
      clamps(h.supply, s.least_terminal, s.greatest_terminal, "supply cable at driver, hub ", i);
      if (h.controller < 0) continue;
      const controller& c = parts_.controllers[at(h.controller)];
      clamps(h.supply, c.least_terminal, c.greatest_terminal, "supply cable at controller ", i);
    }
  }
  double hub_amps(std::size_t hub) const {
    double sum = 0;
    for (const run_plan& r : p_.runs) {
      if (r.hub != static_cast<std::int32_t>(hub)) continue;
      const tape& t = tape_of(r);
      sum += watts_of(r) / t.nominal.v;
      for (std::size_t c = 0; c < t.channels.size(); ++c)
        sum += amps_of(r, c) - t.channels[c].load.v * lit_m(r) / t.nominal.v;
    }
    return sum;
  }
  outcome<ampacity_answer> allowed_in(const cable& k, std::int32_t loaded, celsius ambient) const {
    return ampacity({.family = q_.rules.family,
                     .method = q_.rules.method,
                     .conductor = k.conductor,
                     .conductor_limit = k.conductor_limit,
                     .loaded_conductors = loaded,
                     .ambient = ambient,
                     .circuits = q_.rules.circuits_grouped,
                     .grouping = q_.rules.grouping,
                     .maker_rating = k.rating});
  }
  template <class Place>
  void carries(const laid_cable& w, double current, std::int32_t loaded, celsius ambient, const char* what,
               Place place) {
    const cable& k = parts_.cables[at(w.cable)];
    const auto iz = allowed_in(k, loaded, ambient);
    want(iz.ok() && at_most(current, iz->allowed.v), what, place, " carries ", current);
    want(k.conductor.area >= q_.rules.least_conductor, what, place, " is thinner than allowed");
    want(k.stock.v == 0 || at_most(w.cut.v, k.stock.v), what, place, " is longer than any piece in stock");
    want(k.cores >= loaded, what, place, " lacks cores");
  }
  template <class Place>
  void clamps(const laid_cable& w, square_millimetres least, square_millimetres greatest, const char* what,
              Place place) {
    if (greatest.v == 0) return;
    const square_millimetres area = parts_.cables[at(w.cable)].conductor.area;
    want(least <= area && area <= greatest, what, place, " does not fit the terminal");
  }

  /// IEC 60364-4-43: a source that cannot overload the thinnest cable behind it needs no device; else
  /// Ib <= In <= Iz, I2 <= 1.45 Iz.
  void protection() {
    for (std::size_t i = 0; i < p_.outputs.size(); ++i) {
      const output_plan& o = p_.outputs[i];
      const driver& s = driver_of(o);
      double thinnest = 1e9, current = 0, most_device = 1e9;
      const auto look = [&](const laid_cable& w, std::int32_t loaded, celsius ambient) {
        if (w.cable < 0) return;
        const conductor_size& size = parts_.cables[at(w.cable)].conductor;
        if (q_.rules.family == code_family::nec && size.system == conductor_system::awg)
          if (const auto most = nec_small_conductor_limit(size.gauge); most.ok())
            most_device = std::min(most_device, most->v);
        const auto iz = allowed_in(parts_.cables[at(w.cable)], loaded, ambient);
        if (iz.ok()) thinnest = std::min(thinnest, iz->allowed.v);
      };
      for (std::size_t h = 0; h < p_.hubs.size(); ++h) {
        if (p_.hubs[h].output != static_cast<std::int32_t>(i)) continue;
        current += hub_amps(h);
        look(p_.hubs[h].supply, 2, q_.rules.cable_ambient);
        for (const run_plan& r : p_.runs)
          if (r.hub == static_cast<std::int32_t>(h))
            for (const tape_feed* f : feeds_of(r))
              look(f->feeder, static_cast<std::int32_t>(tape_of(r).channels.size()) + 1,
                   asked(r).cable_ambient);
      }
      if (thinnest == 1e9) continue;  // a tail straight on the driver: nothing of ours to protect
      if (o.device < 0) {
        want(s.overload_limit.v > 0 && at_most(s.overload_limit.v, thinnest), "output ", i,
             " is not protected: ", s.overload_limit.v, " A into ", thinnest);
        continue;
      }
      const overcurrent_device& f = parts_.overcurrent_devices[at(o.device)];
      const auto factor = operating_factor(f.family, f.rated);
      want(at_most(current, f.rated.v), "output ", i, ": fuse of ", f.rated.v, " A for ", current);
      want(at_most(f.rated.v, thinnest), "output ", i, ": fuse of ", f.rated.v, " A on a cable of ",
           thinnest);
      want(factor.ok() && at_most(*factor * f.rated.v, 1.45 * thinnest), "output ", i, ": I2 above 1.45 Iz");
      want(at_most(f.rated.v, most_device), "output ", i, ": fuse of ", f.rated.v, " A where NEC allows ",
           most_device);
      want(s.output <= f.rated_voltage, "output ", i, ": a fuse of too low a voltage");
    }
  }

  /// A driver is set within its range, all outputs alike, to what every tape and part behind it may see: the tape with
  /// the tolerance on top, which reaches it whole while it is dark. What is set takes no more power than there is.
  void trims() {
    for (std::size_t i = 0; i < p_.outputs.size(); ++i) {
      const output_plan& o = p_.outputs[i];
      for (const output_plan& other : p_.outputs)
        want(other.driver != o.driver || other.set_to == o.set_to, "driver ", o.driver,
             " is set to two voltages");
      const driver& s = driver_of(o);
      const bool as_delivered = o.set_to.v == 0;
      const double given = as_delivered ? s.output.v : o.set_to.v;
      want(as_delivered || (s.trim_low.v <= given && given <= s.trim_high.v), "output ", i, " is set to ",
           given);
      double all_watts = 0;
      for (const run_plan& r : p_.runs) {
        const hub_plan& h = p_.hubs[at(r.hub)];
        if (h.output != static_cast<std::int32_t>(i)) continue;
        want(at_most(given * (1 + q_.rules.supply_tolerance), tape_of(r).highest.v), "the tape of run ",
             r.run, " sees ", given, " V");
        want(as_delivered || h.controller < 0 || given <= s.output.v ||
                 given <= parts_.controllers[at(h.controller)].highest_input.v,
             "a controller sees ", given, " V");
        for (std::size_t c = 0; c < tape_of(r).channels.size(); ++c)
          want(as_delivered || at_most(r.all_on.channel_current[c].v, amps_of(r, c)), "run ", r.run,
               " carries more than it was sized for");
        all_watts += watts_of(r);
      }
      want(o.device < 0 || given <= parts_.overcurrent_devices[at(o.device)].rated_voltage.v, "a fuse sees ",
           given, " V");
      want(at_most(all_watts * std::max(1.0, given / s.output.v) * (1 + q_.rules.headroom),
                   o.check.capacity.v),
           "output ", i, " is trimmed beyond its power");
    }
  }

  void joints() {
    for (const run_plan& r : p_.runs) {
      const auto feeds = feeds_of(r);
      for (const tape_feed* f : feeds) {
        if (f->connector < 0) continue;
        const connector& c = parts_.connectors[at(f->connector)];
        want(c.use == connector_use::tape_to_cable && at(c.poles) > tape_of(r).channels.size(),
             "joint of run ", r.run);
        carries_contact(c, feeds.size() > 1 ? f->current.v : p_current(r), asked(r).ambient, "joint of run ",
                        r.run);
      }
      for (const stretch_plan* k : pieces_of(r)) {
        if (k->connector < 0) continue;
        const connector& c = parts_.connectors[at(k->connector)];
        want(c.use == connector_use::tape_to_tape && at(c.poles) > tape_of(r).channels.size(), "link of run ",
             r.run);
        carries_contact(c, r.link_current.v, asked(r).ambient, "link of run ", r.run);
      }
    }
    for (std::size_t i = 0; i < p_.hubs.size(); ++i) {
      const hub_plan& h = p_.hubs[i];
      int meet = 0;
      for (const run_plan& r : p_.runs)
        if (r.hub == static_cast<std::int32_t>(i)) meet += static_cast<int>(feeds_of(r).size());
      if (meet < 2) continue;
      want(h.splice >= 0, "hub ", i, " has no splice for ", meet, " feeders");
      if (h.splice < 0) continue;
      // k splices of w ways in a row join k (w - 2) + 2 ends: the feeders' and the controller's or cable's own
      const connector& x = parts_.connectors[at(h.splice)];
      const auto conductors =
          h.controller >= 0 ? static_cast<std::int64_t>(h.channel_current.size()) + 1 : std::int64_t{2};
      want((h.splices * x.poles / conductors) * (x.ways - 2) + 2 > meet, "hub ", i, " has too few splices");
      carries_contact(parts_.connectors[at(h.splice)], hub_amps(i), zone_of(h).driver_ambient,
                      "splice of hub ", static_cast<std::int32_t>(i));
    }
  }
  double p_current(const run_plan& r) const {
    double sum = watts_of(r) / tape_of(r).nominal.v;
    for (std::size_t c = 0; c < tape_of(r).channels.size(); ++c)
      sum += amps_of(r, c) - tape_of(r).channels[c].load.v * lit_m(r) / tape_of(r).nominal.v;
    return sum;
  }
  void carries_contact(const connector& c, double current, celsius ambient, const char* what,
                       std::int32_t place) {
    const auto most =
        contact_current(c.rated, c.rating_ambient, c.upper_limit, ambient, q_.rules.contact_factor);
    want(most.ok() && at_most(current, most->v), what, place, " carries ", current);
  }

  // ---- what the wiring gives --------------------------------------------------------------------

  /// One core of a cable of the schedule, hot, in ohms: IEC 60228 at 70 degC, the plan's stated state.
  long double core_ohms(const connection& c) const {
    if (c.number == 0) return 0;
    const auto r = resistance_at(parts_.cables[at(c.cable)].conductor, celsius{70});
    return r.ok() ? wide(r->v) * wide(c.length.v) : 1e9L;
  }

  /// Wires the whole schedule as one network, every driver a source at its tapes' voltage, solves it, and
  /// holds every lamp against the rules and against the plan's own figures.
  void network() {
    dense_network net;
    std::map<std::tuple<int, int, int, int>, int> node;  // terminal -> node, made from the tapes inward
    const auto at_terminal = [&](const terminal& t) {
      const auto [row, fresh] = node.try_emplace({static_cast<int>(t.kind), t.owner, t.channel, t.feed}, -1);
      if (fresh) row->second = net.node();
      return row->second;
    };
    struct lamp {
      std::size_t run, channel;
      int load;
    };
    std::vector<lamp> lamps;
    std::map<std::size_t, std::map<std::int64_t, std::vector<int>>> mark_nodes;  // run -> cut mark -> nodes
    for (std::size_t i = 0; i < p_.runs.size(); ++i) {
      const run_plan& r = p_.runs[i];
      const tape& t = tape_of(r);
      const std::size_t channels = t.channels.size();
      const bool positive = t.common == polarity::common_positive;
      const auto feeds = feeds_of(r);
      const bool ring = r.arrangement == feed_arrangement::ring;
      std::map<std::int64_t, long double> link;  // cut mark -> ohms of one conductor
      std::int64_t mark = 0;
      long double closing = 0;
      for (const stretch_plan* s : pieces_of(r)) {
        const long double ohms = s->connector >= 0 ? wide(parts_.connectors[at(s->connector)].contact.v) : 0;
        if (mark == 0) closing = ohms;
        else if (s->linked) link[mark] = ohms;
        mark += s->cut.segments;
      }
      const auto fed_at = [&](std::int64_t k) {
        if (ring && (k == 0 || k == r.cut.segments)) return true;
        return std::any_of(feeds.begin(), feeds.end(), [&](const tape_feed* f) { return f->at == k; });
      };
      std::map<std::int64_t, std::vector<int>>& marks = mark_nodes[i];
      std::vector<int> now(channels + 1, -1);
      const auto join = [&](const std::vector<int>& a, const std::vector<int>& b, long double pitches,
                            long double more) {
        for (std::size_t c = 0; c <= channels; ++c)
          net.resistor(a[c], b[c], pitches * pitch(t, c, asked(r).ambient) + more);
      };
      const auto fresh = [&] {
        std::vector<int> nodes(channels + 1);
        for (int& n : nodes) n = net.node();
        return nodes;
      };
      for (std::int64_t k = r.cut.segments; k-- > 0;) {  // far end first: the elimination stays narrow
        const bool last = now[0] < 0, marked = fed_at(k + 1) || link.count(k + 1) > 0;
        std::vector<int> boundary;
        if (marked) {  // a cable meets the end of the earlier piece, before the link
          boundary = marks[k + 1] = fresh();
          if (!last) join(now, boundary, 0.5L, link.count(k + 1) > 0 ? link[k + 1] : 0);
        }
        const std::vector<int> here = fresh();
        if (marked) join(boundary, here, 0.5L, 0);
        else if (!last) join(now, here, 1, 0);
        for (std::size_t c = 0; c < channels; ++c)
          lamps.push_back({i, c,
                           positive ? net.load(here[0], here[1 + c], oracle_law(t, c))
                                    : net.load(here[1 + c], here[0], oracle_law(t, c))});
        now = here;
      }
      if (fed_at(0)) {
        marks[0] = fresh();
        join(now, marks[0], 0.5L, 0);
      }
      if (ring) join(marks[r.cut.segments], marks[0], 0, closing);
      const hub_plan& h = p_.hubs[at(r.hub)];
      for (std::size_t k = 0; k < feeds.size(); ++k) {
        const long double contacts =
            (h.splice >= 0 ? wide(parts_.connectors[at(h.splice)].contact.v) : 0) +
            (feeds[k]->connector >= 0 ? wide(parts_.connectors[at(feeds[k]->connector)].contact.v) : 0);
        for (std::size_t c = 0; c <= channels; ++c) {
          const auto feed = static_cast<std::int32_t>(k);
          const terminal end =
              c == 0 ? terminal{terminal_kind::tape_common, r.place, 0, feed}
                     : terminal{terminal_kind::tape_channel, r.place, static_cast<std::int32_t>(c) - 1, feed};
          net.resistor(marks[feeds[k]->at][c], at_terminal(end), contacts);
        }
      }
    }
    for (const connection& c : p_.connections)
      net.resistor(at_terminal(c.from), at_terminal(c.to), core_ohms(c));
    for (std::size_t i = 0; i < p_.hubs.size(); ++i) {
      const hub_plan& h = p_.hubs[i];
      if (h.controller < 0) continue;
      const auto hub = static_cast<std::int32_t>(i);
      const bool positive = parts_.controllers[at(h.controller)].common == polarity::common_positive;
      const terminal plus{terminal_kind::hub_positive, hub}, minus{terminal_kind::hub_negative, hub};
      net.resistor(at_terminal(positive ? plus : minus), at_terminal({terminal_kind::hub_common, hub}), 0);
      for (std::int32_t c = 0; c < parts_.controllers[at(h.controller)].channels; ++c) {
        const std::tuple key{static_cast<int>(terminal_kind::hub_channel), hub, c, 0};
        if (const auto row = node.find(key); row != node.end())
          net.resistor(row->second, at_terminal(positive ? minus : plus),
                       wide(parts_.controllers[at(h.controller)].switch_resistance.v));
      }
    }
    for (std::size_t i = 0; i < p_.outputs.size(); ++i) {
      const auto output = static_cast<std::int32_t>(i);
      double nominal = 0;
      for (const run_plan& r : p_.runs)
        if (p_.hubs[at(r.hub)].output == output) nominal = tape_of(r).nominal.v;
      const int plus = net.node(), minus = net.node();
      if (p_.outputs[i].set_to.v > 0) nominal = p_.outputs[i].set_to.v;
      net.fix(plus, wide(nominal));
      net.fix(minus, 0);
      net.resistor(plus, at_terminal({terminal_kind::driver_positive, output}), 0);
      net.resistor(minus, at_terminal({terminal_kind::driver_negative, output}), 0);
      if (p_.outputs[i].device < 0) continue;  // a fuse is taken as a conductor without resistance
      net.resistor(at_terminal({terminal_kind::fuse_in, output}),
                   at_terminal({terminal_kind::fuse_out, output}), 0);
    }
    if (!net.solve()) {
      say("the wired network has no steady state");
      return;
    }
    struct seen {
      double least_v = 1e9, least_a = 1e9, greatest_a = 0, total_a = 0;
    };
    std::map<std::pair<std::size_t, std::size_t>, seen> channels;
    for (const lamp& l : lamps) {
      seen& s = channels[{l.run, l.channel}];
      const auto v = static_cast<double>(net.load_voltage(l.load)),
                 a = static_cast<double>(net.load_current(l.load));
      s.least_v = std::min(s.least_v, v);
      s.least_a = std::min(s.least_a, a);
      s.greatest_a = std::max(s.greatest_a, a);
      s.total_a += a;
    }
    for (const auto& [key, s] : channels) {
      const auto& [i, c] = key;
      const run_plan& r = p_.runs[i];
      const double nominal = tape_of(r).nominal.v;
      const double given = given_to(r);
      want(at_most((given - s.least_v) / nominal, q_.rules.drop_to_lamp), "run ", i,
           ": its furthest lamp gets ", s.least_v, " V of ", nominal);
      want(at_most(q_.rules.least_evenness * s.greatest_a, s.least_a), "run ", i, " is uneven: ", s.least_a,
           " of ", s.greatest_a);
      // 1e-9 of nominal: both solve the same equations, the plan to 1e-12, the oracle in long double
      want(std::fabs(r.all_on.channel_current[c].v - s.total_a) <= 1e-9 * std::max(1.0, s.total_a), "run ", i,
           " channel ", c, ": the plan says ", r.all_on.channel_current[c].v, " A, its wiring gives ",
           s.total_a);
      const auto feeds = feeds_of(r);
      for (std::size_t k = 0; k < feeds.size(); ++k) {
        const auto terminal_volts = [&](terminal_kind kind, std::int32_t channel) {
          return static_cast<double>(
              net.voltage(node.at({static_cast<int>(kind), r.place, channel, static_cast<int>(k)})));
        };
        const double there =
            std::fabs(terminal_volts(terminal_kind::tape_common, 0) -
                      terminal_volts(terminal_kind::tape_channel, static_cast<std::int32_t>(c)));
        want(at_most((given - there) / nominal, q_.rules.drop_to_feed), "run ", i, ": a feed point gets ",
             there, " V");
        // at the tape, behind the joint: the plan tells the lowest channel
        const std::vector<int>& tape_nodes = mark_nodes[i][feeds[k]->at];
        double lowest = 1e9;
        for (std::size_t x = 1; x < tape_nodes.size(); ++x)
          lowest = std::min(lowest, std::fabs(static_cast<double>(net.voltage(tape_nodes[0]) -
                                                                  net.voltage(tape_nodes[x]))));
        want(std::fabs(lowest - feeds[k]->at_nominal.v) <= 1e-8, "run ", i, " feed point ", k,
             ": the plan says ", feeds[k]->at_nominal.v, " V, its wiring gives ", lowest);
      }
    }
  }
  static long double pitch(const tape& t, std::size_t conductor, celsius trace) {
    return oracle_pitch(t, conductor == 0 ? t.common_trace : t.channels[conductor - 1].return_trace, trace);
  }

  const job& q_;
  const catalogue& parts_;
  const plan& p_;
  std::vector<std::string> problems_;
};

}  // namespace tapewright::test
