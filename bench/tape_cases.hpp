// SPDX-License-Identifier: BSL-1.0
// The tapes whose solving is timed: one invented product, any channels, any law.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/tape_line.hpp"

namespace tapewright::bench {

/// 24 V, 5 W/m a channel, a pitch of 50 mm.
inline tape bench_tape(std::size_t channels, load_kind kind) {
  constexpr double load[] = {5, 5, 5, 6, 6, 4}, knee[] = {16, 18, 18, 19, 19, 19};
  tape t;
  t.code = "X-5";
  t.nominal = volts{24};
  t.highest = volts{26};
  for (std::size_t c = 0; c < channels; ++c)
    t.channels.push({"X", watts_per_metre{load[c]}, kind, volts{knee[c]}, ohms_per_metre{0.04}});
  t.common_trace = ohms_per_metre{0.01};
  t.cut_pitch = metres{0.05};
  t.longest_piece = metres{10};
  t.sale_quantum = metres{1};
  t.highest_ambient = celsius{50};
  return t;
}

inline line_feed bench_feed() {
  line_feed f;
  f.source = volts{24};
  f.common = ohms{0.02};
  for (ohms& r : f.channel) r = ohms{0.05};
  return f;
}

/// One run with equal leads to its feed points, as a network of its own. Does not move: its parts point at each other.
struct fed_tape {
  run_stretch stretch;
  std::vector<feed_point> feeds;
  fed_run run;
  feed_hub hub;
  feed_network net;
  std::vector<double> room;
  fed_run_figures figures;

  fed_tape(const tape_line& line, const line_feed& feed, const std::vector<std::int64_t>& at)
      : stretch{line, {}, {}} {
    for (const std::int64_t place : at) {
      feed_point p;
      p.at = place;
      p.common = feed.common;
      for (std::size_t c = 0; c < max_channels; ++c) p.channel[c] = feed.channel[c];
      feeds.push_back(p);
    }
    run.stretches = {&stretch, 1};
    run.feeds = feeds;
    net.source = feed.source;
    net.hubs = {&hub, 1};
    net.runs = {&run, 1};
    room.resize(network_workspace(net));
  }
  fed_tape(const fed_tape&) = delete;
  fed_tape& operator=(const fed_tape&) = delete;

  outcome<network_figures> solve() { return solve_network(net, room, {&figures, 1}); }
};

}  // namespace tapewright::bench
