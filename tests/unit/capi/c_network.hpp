// SPDX-License-Identifier: BSL-1.0
// Random networks as C rows, and blocks to solve them in.
#pragma once

#include <doctest/doctest.h>

#include <cstddef>
#include <cstdint>
#include <vector>

#include "tapewright.h"
#include "tapewright/network/dimming.hpp"
#include "tapewright/network/warm_copper.hpp"
#include "tests/support/random_network.hpp"
#include "tests/unit/capi/c_rows.hpp"

namespace tapewright::test {

inline void put_ohms(double (&into)[TW_MOST_CHANNELS], const ohms (&each)[max_channels]) {
  for (std::size_t c = 0; c < max_channels; ++c) into[c] = each[c].v;
}

/// A random network as C rows, with its conditions.
struct c_network {
  std::vector<tw_tape> tapes;
  std::vector<tw_network_hub> hubs;
  std::vector<tw_network_run> runs;
  std::vector<tw_network_stretch> stretches;
  std::vector<tw_network_feed> feeds;
  tw_network all = empty_c<tw_network>();

  c_network(const owned_network& n, const std::vector<pwm_timing>& timings,
            const std::vector<tape_surroundings>& around) {
    for (std::size_t h = 0; h < n.hubs.size(); ++h) {
      auto hub = empty_c<tw_network_hub>();
      hub.supply_ohm = n.hubs[h].supply.v;
      put_ohms(hub.channel_ohm, n.hubs[h].channel);
      for (std::size_t c = 0; c < max_channels; ++c) {
        hub.duty[c] = timings[h].duty[c];
        hub.phase[c] = timings[h].phase[c];
      }
      hubs.push_back(hub);
    }
    for (std::size_t r = 0; r < n.runs.size(); ++r) {
      const owned_run& from = n.runs[r];
      auto run = empty_c<tw_network_run>();
      run.hub = from.run.hub;
      run.stretches = static_cast<std::int32_t>(from.stretches.size());
      run.feeds = static_cast<std::int32_t>(from.feeds.size());
      run.lit = from.stretches[0].line.lit;
      run.common_ohm = from.run.common.v;
      put_ohms(run.channel_ohm, from.run.channel);
      run.ambient_c = around[r].ambient.v;
      run.warming_k_m_per_w = around[r].warming.v;
      run.lamp_share = around[r].lamp_share;
      runs.push_back(run);
      for (std::size_t s = 0; s < from.stretches.size(); ++s) {
        auto part = empty_c<tw_network_stretch>();
        part.tape = static_cast<std::int32_t>(tapes.size());
        part.segments = from.stretches[s].line.segments;
        part.trace_c = from.trace[s].v;
        part.link_common_ohm = from.stretches[s].link_common.v;
        put_ohms(part.link_channel_ohm, from.stretches[s].link_channel);
        stretches.push_back(part);
        tape t = from.tapes[s];
        t.longest_piece = metres{100};
        t.sale_quantum = metres{1};
        tapes.push_back(c_of(t));
      }
      for (const feed_point& p : from.feeds) {
        auto feed = empty_c<tw_network_feed>();
        feed.place = p.at;
        feed.common_ohm = p.common.v;
        put_ohms(feed.channel_ohm, p.channel);
        feeds.push_back(feed);
      }
    }
    all.source_v = n.net.source.v;
    all.lead_ohm = n.net.lead.v;
    point();
  }
  void point() {
    const auto list = [](auto& to, std::int32_t& count, const auto& rows) {
      to.at = rows.data();
      count = static_cast<std::int32_t>(rows.size());
    };
    list(all.tape, all.tapes, tapes);
    list(all.hub, all.hubs, hubs);
    list(all.run, all.runs, runs);
    list(all.stretch, all.stretches, stretches);
    list(all.feed, all.feeds, feeds);
  }
};

struct conditions {
  owned_network n;
  std::vector<pwm_timing> timings;
  std::vector<tape_surroundings> around;

  conditions(random_source& r, law_mix mix, std::int64_t channels, std::int64_t segments,
             const std::vector<feeding>& kinds = {feeding::one_end, feeding::both_ends, feeding::middle,
                                                  feeding::points, feeding::ring})
      : n{random_network(r, mix, channels, 3, segments, kinds)}, timings(n.hubs.size()) {
    for (pwm_timing& t : timings)
      for (std::size_t c = 0; c < max_channels; ++c) {
        t.duty[c] = r.uniform(0, 1);
        t.phase[c] = r.uniform(0, 1);
      }
    for (std::size_t k = 0; k < n.runs.size(); ++k) {
      const celsius ambient{r.uniform(0, 40)};
      const kelvin_metres_per_watt warming{r.uniform(0, 8)};
      around.push_back({ambient, celsius{20}, warming, r.uniform(0, 0.2)});
    }
  }
  c_network as_c() const { return {n, timings, around}; }
};

/// A block on an address divisible by 8, with a guard behind it.
struct block {
  std::int64_t bytes = 0;
  std::vector<std::uint64_t> words;

  explicit block(std::int64_t wanted)
      : bytes{wanted}, words(static_cast<std::size_t>(wanted) / 8 + 1, 0x5555555555555555u) {}
  /// As long as solving the network needs, or as `length` says, such as tw_question_workspace.
  explicit block(const tw_network& n,
                 tw_status (*length)(const tw_network*, std::int64_t*, tw_fault*) = tw_network_workspace)
      : block{length_of(n, length)} {}
  void* at() { return words.data(); }
  bool guard_holds() const { return words.back() == 0x5555555555555555u; }

 private:
  static std::int64_t length_of(const tw_network& n,
                                tw_status (*length)(const tw_network*, std::int64_t*, tw_fault*)) {
    std::int64_t wanted = 0;
    REQUIRE(length(&n, &wanted, nullptr) == TW_OK);
    return wanted;
  }
};

}  // namespace tapewright::test
