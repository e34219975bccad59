// SPDX-License-Identifier: BSL-1.0
// Every way there is to share the runs of a small job out to controllers and driver outputs, for whoever wants to price them.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/job.hpp"
#include "tapewright/plan/run_load.hpp"

namespace tapewright::test {

/// Runs dealt out to hubs of their own group, each hub with every controller that may stand there, hubs dealt out to
/// outputs that may carry them. Knows the checks of single controllers and drivers, and nothing of searches and bounds.
class every_way {
 public:
  every_way(const job& j, const catalogue& parts) : j_{j}, parts_{parts} {}
  every_way(const every_way&) = delete;
  every_way& operator=(const every_way&) = delete;
  static constexpr long long no_way = 1LL << 60;

 protected:
  struct hub {
    std::vector<std::size_t> runs;
    std::int32_t controller = -1;
    controller_duty duty{};
    watts load{};
  };
  using output = std::vector<std::size_t>;  // its hubs

  virtual ~every_way() = default;
  /// What a controller counts on a hub.
  virtual long long price_of(const controller& c, const hub& h) const = 0;
  /// Whether controllers at this price need not be looked at any further.
  virtual bool is_hopeless(long long price) const = 0;
  /// All hubs stand on outputs; `price` is that of their controllers.
  virtual void with_outputs(long long price) = 0;

  void look() { place_run(0); }

  static std::size_t at(std::int64_t i) { return static_cast<std::size_t>(i); }

  const tape& tape_of(std::size_t run) const { return parts_.tapes[at(j_.runs[run].tape)]; }
  const zone& zone_of(const hub& h) const { return j_.zones[at(j_.runs[h.runs[0]].zone)]; }
  volts nominal_of(const hub& h) const { return tape_of(h.runs[0]).nominal; }
  bool switched(std::size_t run) const {
    const zone& z = j_.zones[at(j_.runs[run].zone)];
    return z.wants_controller || !z.features.empty() || tape_of(run).channels.size() > 1;
  }
  bool alike(std::size_t a, std::size_t b) const {
    return j_.runs[a].zone == j_.runs[b].zone && tape_of(a).nominal == tape_of(b).nominal &&
           tape_of(a).common == tape_of(b).common && switched(a) == switched(b);
  }

  bool drives(const driver& s, const output& o) const {
    const hub& first = hubs_[o[0]];
    watts load;
    amps current;
    for (const std::size_t h : o) {
      load += hubs_[h].load;
      current += hubs_[h].duty.total;
    }
    if (s.output_connector.v > 0 && o.size() > 1) return false;
    const auto check = check_driver(s, duty_for(j_.rules, zone_of(first), nominal_of(first), load, current));
    return check.ok() && check->fits;
  }

  const job& j_;
  const catalogue& parts_;
  std::vector<hub> hubs_;
  std::vector<output> outputs_;

 private:
  void place_run(std::size_t run) {
    if (run == j_.runs.size()) return choose_controller(0, 0);
    for (std::size_t h = 0; h < hubs_.size(); ++h)
      if (alike(hubs_[h].runs[0], run)) {
        hubs_[h].runs.push_back(run);
        place_run(run + 1);
        hubs_[h].runs.pop_back();
      }
    hubs_.push_back({.runs = {run}});
    place_run(run + 1);
    hubs_.pop_back();
  }

  /// Fills in what a hub carries with a controller (or none); false where the controller does not carry it.
  bool load_hub(hub& h, std::int32_t with) const {
    h.controller = with;
    const controller* c = with < 0 ? nullptr : &parts_.controllers[at(with)];
    h.load = {};
    h.duty = {
        .input = nominal_of(h), .common = tape_of(h.runs[0]).common, .ambient = zone_of(h).driver_ambient};
    for (const std::size_t r : h.runs) {
      const tape& t = tape_of(r);
      const auto cut = cut_to_pitch(j_.runs[r].measured, t.cut_pitch);
      const auto load =
          sized_load(t, cut->length, j_.rules.drop_to_lamp, c != nullptr && c->enforces_all_on_limit);
      for (std::int32_t k = 0; k < load->channels; ++k) {
        if (at(k) < h.duty.channel_current.size()) h.duty.channel_current[at(k)] += load->channel_current[k];
        else h.duty.channel_current.push(load->channel_current[k]);
      }
      h.duty.total += load->total_sized;
      h.load += load->sized;
    }
    if (c == nullptr) return true;
    const auto check = check_controller(*c, h.duty);
    return check.ok() && check->fits;
  }

  /// The leader of a group is the same for all its hubs; what follows it is more of the same or a repeater.
  bool may_stand(const hub& h, std::int32_t c) const {
    const controller& one = parts_.controllers[at(c)];
    if (one.is_repeater) return true;
    std::size_t channels = 0;
    for (std::size_t r = 0; r < j_.runs.size(); ++r)
      if (alike(h.runs[0], r)) channels = std::max(channels, tape_of(r).channels.size());
    if (!meets(one.features, zone_of(h).features) || at(one.channels) < channels) return false;
    for (const hub& other : hubs_)
      if (&other < &h && alike(other.runs[0], h.runs[0]) &&
          !parts_.controllers[at(other.controller)].is_repeater && other.controller != c)
        return false;
    return true;
  }

  void choose_controller(std::size_t at_hub, long long price) {
    if (is_hopeless(price)) return;
    if (at_hub == hubs_.size()) {
      for (const hub& h : hubs_) {  // every group has a leader
        if (h.controller < 0) continue;
        bool led = false;
        for (const hub& o : hubs_)
          led = led || (alike(o.runs[0], h.runs[0]) && !parts_.controllers[at(o.controller)].is_repeater);
        if (!led) return;
      }
      return place_hub(0, price);
    }
    hub& h = hubs_[at_hub];
    if (!switched(h.runs[0])) {
      load_hub(h, -1);
      return choose_controller(at_hub + 1, price);
    }
    for (std::int32_t c = 0; at(c) < parts_.controllers.size(); ++c)
      if (may_stand(h, c) && load_hub(h, c))
        choose_controller(at_hub + 1, price + price_of(parts_.controllers[at(c)], h));
  }

  void place_hub(std::size_t h, long long price) {
    if (h == hubs_.size()) return with_outputs(price);
    for (std::size_t o = 0; o < outputs_.size(); ++o) {
      const hub &a = hubs_[outputs_[o][0]], &b = hubs_[h];
      const bool same_zone = &zone_of(a) == &zone_of(b);
      if (!(same_zone || may_share_driver(zone_of(a), zone_of(b))) || nominal_of(a) != nominal_of(b))
        continue;
      outputs_[o].push_back(h);
      place_hub(h + 1, price);
      outputs_[o].pop_back();
    }
    outputs_.push_back({h});
    place_hub(h + 1, price);
    outputs_.pop_back();
  }
};

}  // namespace tapewright::test
