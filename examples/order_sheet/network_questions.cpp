// SPDX-License-Identifier: BSL-1.0
// Questions about the network of one driver output, and their derivations.
#include "network_questions.hpp"

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "tapewright/network/collapse.hpp"
#include "tapewright/plan/explain_network.hpp"
#include "tapewright/plan/plan_network.hpp"
#include "text.hpp"

namespace order_sheet {
namespace {

using namespace tapewright;

/// Everything on one output as the plan laid it, in full light, with all that questions about it need.
class output_network {
 public:
  output_network(const planned& p, std::int32_t output, const hub_state& state) {
    const output_counts n = output_counts_of(p.plan(), output);
    hubs_.resize(n.hubs), runs_.resize(n.runs), stretches_.resize(n.stretches), feeds_.resize(n.feeds);
    hub_places_.resize(n.hubs), run_places_.resize(n.runs);
    const auto made = network_of_output(p.job(), p.parts(), p.plan(), output, state,
                                        {hubs_, runs_, stretches_, feeds_, hub_places_, run_places_});
    if (!made.ok()) return;
    net_ = *made;
    for (const std::int32_t place : run_places_) names_.push_back(p.run_name(place));
    for (const std::string& name : names_) codes_.push_back(name);
    solve();
  }

  bool ok() const { return ok_; }
  const feed_network& net() const { return net_; }
  run_codes codes() const { return codes_; }
  /// A run of the plan among the network's.
  std::size_t place_of(std::int32_t run) const {
    return static_cast<std::size_t>(std::find(run_places_.begin(), run_places_.end(), run) -
                                    run_places_.begin());
  }

  std::string sensitivity_text(std::size_t r) {
    load_place lamp = dimmest_load(net_.runs[r], figures_[r], profiles_[r]);
    lamp.run = static_cast<std::int32_t>(r);
    const auto load = sensitivity_of(net_, profiles_, lamp, doubles_, run_slopes_, hub_slopes_, lead_slopes_);
    if (!load.ok()) return {};
    return text_from([&](text_sink& out) {
      explain_sensitivity(net_, profiles_, lamp, *load, run_slopes_, hub_slopes_, lead_slopes_, out, codes_);
    });
  }

  /// Of the evenness of the channel that has the dimmest lamp.
  std::string light_text(std::size_t r) {
    const auto run = static_cast<std::int32_t>(r);
    const std::int32_t channel = dimmest_load(net_.runs[r], figures_[r], profiles_[r]).channel;
    std::vector<run_light_sensitivity> runs(runs_.size());
    std::vector<hub_light_sensitivity> hubs(hubs_.size());
    std::vector<lead_light_sensitivity> leads(feeds_.size());
    const auto light = light_sensitivity_of(net_, profiles_, run, channel, light_share::dimmest, doubles_,
                                            runs, hubs, leads);
    if (!light.ok()) return {};
    return text_from([&](text_sink& out) {
      explain_light_sensitivity(net_, profiles_, run, channel, light_share::dimmest, *light, runs, hubs,
                                leads, out, codes_);
    });
  }

  std::string bounds_text(std::size_t r, const network_tolerances& t) {
    const tolerance_needs n = tolerance_space_for(net_);
    std::vector<feed_hub> hubs(n.hubs);
    std::vector<fed_run> runs(n.runs);
    std::vector<run_stretch> stretches(n.stretches);
    std::vector<feed_point> feeds(n.feeds);
    std::vector<fed_run_figures> figures(n.runs);
    std::vector<fed_run_profile> profiles(n.runs);
    std::vector<volts> voltages(n.loads);
    std::vector<double> doubles(n.doubles);
    std::vector<run_bounds> told(n.runs);
    const auto all =
        bounds_of(net_, t, {hubs, runs, stretches, feeds, figures, profiles, voltages, doubles}, told);
    if (!all.ok()) return {};
    return text_from([&](text_sink& out) { explain_bounds(net_, t, r, told[r], out, codes_); });
  }

  std::string swap_text(const feeder_swap& swap) {
    std::vector<fed_run> runs(net_.runs.size());
    std::vector<feed_point> feeds(feeds_.size());
    std::vector<fed_run_figures> before(runs.size()), after(runs.size());
    const auto effect = swap_feeder(
        net_, swap,
        {runs, feeds, before, after, profiles_, doubles_, run_slopes_, hub_slopes_, lead_slopes_});
    if (!effect.ok()) return {};
    return text_from([&](text_sink& out) { explain_feeder_swap(swap, *effect, out, codes_); });
  }

  std::string collapse_text() {
    const auto factor = collapse_factor(net_, doubles_);
    if (!factor.ok() || !(*factor < infinity)) return {};
    return text_from([&](text_sink& out) { explain_collapse(net_, *factor, out); });
  }

 private:
  void solve() {
    std::size_t loads = 0;
    for (const fed_run& r : net_.runs)
      loads += static_cast<std::size_t>(segments_of(r) * r.stretches[0].line.channels);
    load_v_.resize(loads), load_a_.resize(loads), currents_.resize(feeds_.size());
    std::size_t load = 0, feed = 0;
    for (const fed_run& r : net_.runs) {
      const auto own = static_cast<std::size_t>(segments_of(r) * r.stretches[0].line.channels);
      profiles_.push_back({std::span{load_v_}.subspan(load, own), std::span{load_a_}.subspan(load, own),
                           std::span{currents_}.subspan(feed, r.feeds.size())});
      load += own;
      feed += r.feeds.size();
    }
    figures_.resize(runs_.size()), run_slopes_.resize(runs_.size());
    hub_slopes_.resize(hubs_.size()), lead_slopes_.resize(feeds_.size());
    doubles_.resize(std::max(network_workspace(net_), sensitivity_workspace(net_)));
    ok_ = solve_network(net_, doubles_, figures_, profiles_).ok();
  }

  feed_network net_;
  std::vector<feed_hub> hubs_;
  std::vector<fed_run> runs_;
  std::vector<run_stretch> stretches_;
  std::vector<feed_point> feeds_;
  std::vector<std::int32_t> hub_places_, run_places_;
  std::vector<std::string> names_;
  std::vector<std::string_view> codes_;
  std::vector<volts> load_v_;
  std::vector<amps> load_a_;
  std::vector<feed_current> currents_;
  std::vector<fed_run_profile> profiles_;
  std::vector<fed_run_figures> figures_;
  std::vector<run_sensitivity> run_slopes_;
  std::vector<hub_sensitivity> hub_slopes_;
  std::vector<lead_sensitivity> lead_slopes_;
  std::vector<double> doubles_;
  bool ok_ = false;
};

/// The next thicker cable of as many cores in the catalogue; none where there is none.
const cable* thicker_than(const planned& p, const cable& laid) {
  const cable* next = nullptr;
  for (const cable& k : p.parts().cables)
    if (k.cores == laid.cores && k.conductor.system == laid.conductor.system &&
        k.conductor.area > laid.conductor.area &&
        (next == nullptr || k.conductor.area < next->conductor.area))
      next = &k;
  return next;
}

/// The run's own feeder, of the next thicker cable; none where no core is laid or no thicker one is there.
std::optional<feeder_swap> thicker_feeder(const planned& p, const run_plan& r, std::size_t at,
                                          celsius copper) {
  if (r.feeder.cable < 0) return {};
  const cable* next = thicker_than(p, p.parts().cables[planned::place(r.feeder.cable)]);
  if (next == nullptr) return {};
  const auto ohm = resistance_at(next->conductor, copper);
  if (!ohm.ok()) return {};
  const bool shared = r.arrangement == feed_arrangement::ring;
  return feeder_swap{static_cast<std::int32_t>(at), shared ? -1 : 0,
                     *ohm * r.feeder.cut - core_of(r.feeder, copper)};
}

}  // namespace

std::string network_text(const planned& p, std::int32_t run) {
  const run_plan& r = p.plan().runs[planned::place(run)];
  if (r.hub < 0 || !r.solved) return {};
  const std::int32_t output = p.plan().hubs[planned::place(r.hub)].output;
  if (output < 0) return {};
  output_network n{p, output, {.source = p.tape_of(r).nominal, .copper = hot_copper}};
  if (!n.ok()) return {};
  const std::size_t at = n.place_of(run);
  std::string text = n.sensitivity_text(at) + n.light_text(at);
  // what the job states: the supply, and copper that is anything from cold to hot
  const double supply = p.job().rules.supply_tolerance;
  network_tolerances t;
  t.source = {1 - supply, 1 + supply};
  if (const auto copper = copper_range(hot_copper, cold_copper, hot_copper); copper.ok()) t.cable = *copper;
  text += n.bounds_text(at, t);
  if (const auto swap = thicker_feeder(p, r, at, hot_copper)) text += n.swap_text(*swap);
  return text + n.collapse_text();
}

}  // namespace order_sheet
