// SPDX-License-Identifier: BSL-1.0
// Random installations, and the same installation as an oracle sees it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "support/dense_network.hpp"
#include "support/random.hpp"
#include "support/random_tape.hpp"
#include "tapewright/network/feed_network.hpp"

namespace tapewright::test {

/// A network that owns its lists.
struct owned_run {
  std::vector<tape> tapes;     // of each stretch
  std::vector<celsius> trace;  // likewise
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  fed_run run;
};
struct owned_network {
  std::vector<feed_hub> hubs;
  std::vector<owned_run> runs;
  std::vector<fed_run> plain;
  feed_network net;

  /// To be called when all lists are as they shall be.
  void close() {
    plain.clear();
    for (owned_run& r : runs) {
      r.run.stretches = r.stretches;
      r.run.feeds = r.feeds;
      plain.push_back(r.run);
    }
    net.hubs = hubs;
    net.runs = plain;
  }
};

/// How a run is fed.
enum class feeding { one_end, both_ends, middle, points, ring };

inline void random_ohms(random_source& r, ohms& common, ohms (&channel)[max_channels], double low,
                        double high) {
  common = ohms{r.log_uniform(low, high)};
  for (ohms& o : channel) o = ohms{r.log_uniform(low, high)};
}

inline owned_run random_run(random_source& r, std::int64_t channels, law_mix mix, feeding how,
                            std::int64_t most_segments, double nominal_v) {
  owned_run out;
  const std::int64_t pieces = r.one_in(2) ? 1 : r.integer(1, 3);
  const std::uint32_t lit =
      r.one_in(3) ? static_cast<std::uint32_t>(r.integer(1, (1 << channels) - 1)) : all_lit;
  tape t = random_tape(r, channels, mix);
  const double scale = nominal_v / t.nominal.v;
  t.nominal *= scale;
  t.highest *= scale;
  for (tape_channel& c : t.channels) c.knee *= scale;
  std::int64_t segments = 0;
  for (std::int64_t p = 0; p < pieces; ++p) {
    if (r.one_in(3)) {  // another tape of the same channels
      t.common_trace *= r.uniform(0.5, 2);
      for (tape_channel& c : t.channels) c.load *= r.uniform(0.5, 2);
    }
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, static_cast<double>(most_segments / pieces)));
    const celsius trace{r.uniform(-20, 90)};
    run_stretch s;
    s.line = *line_of(t, n, trace, lit);
    random_ohms(r, s.link_common, s.link_channel, 1e-3, 0.1);
    if (r.one_in(3)) {  // soldered: nothing to speak of
      s.link_common = ohms{0};
      for (ohms& o : s.link_channel) o = ohms{0};
    }
    out.tapes.push_back(t);
    out.trace.push_back(trace);
    out.stretches.push_back(s);
    segments += n;
  }
  std::vector<std::int64_t> at;
  switch (how) {
    case feeding::one_end: at = {r.one_in(2) ? 0 : segments}; break;
    case feeding::both_ends:
    case feeding::ring: at = {0, segments}; break;
    case feeding::middle: at = {segments / 2}; break;
    case feeding::points: {
      const std::int64_t count = r.integer(2, 5);
      for (std::int64_t i = 0; i < count; ++i) at.push_back(r.integer(0, segments));
      std::sort(at.begin(), at.end());
      at.erase(std::unique(at.begin(), at.end()), at.end());
      break;
    }
  }
  const bool equal = r.one_in(2);
  feed_point shape;
  random_ohms(r, shape.common, shape.channel, 5e-3, 0.5);
  for (const std::int64_t boundary : at) {
    if (!equal) random_ohms(r, shape.common, shape.channel, 5e-3, 0.5);
    if (how == feeding::ring) {
      shape.common = ohms{0};
      for (ohms& o : shape.channel) o = ohms{0};
    }
    shape.at = boundary;
    out.feeds.push_back(shape);
  }
  if (how == feeding::ring || r.one_in(2)) random_ohms(r, out.run.common, out.run.channel, 5e-3, 0.3);
  return out;
}

inline owned_network random_network(random_source& r, law_mix mix, std::int64_t channels,
                                    std::int64_t most_runs, std::int64_t most_segments,
                                    const std::vector<feeding>& ways) {
  owned_network out;
  constexpr double nominals[] = {12, 24, 48};
  const double nominal = r.pick(nominals);
  out.net.source = volts{nominal * r.uniform(0.95, 1.05)};
  out.net.lead = ohms{r.one_in(2) ? 0.0 : r.log_uniform(1e-3, 0.02)};
  const std::int64_t hubs = r.integer(1, 2), runs = r.integer(1, most_runs);
  for (std::int64_t h = 0; h < hubs; ++h) {
    feed_hub hub;
    random_ohms(r, hub.supply, hub.channel, 1e-3, 0.05);
    out.hubs.push_back(hub);
  }
  for (std::int64_t k = 0; k < runs; ++k) {
    const feeding how =
        ways[static_cast<std::size_t>(r.integer(0, static_cast<std::int64_t>(ways.size()) - 1))];
    out.runs.push_back(random_run(r, channels, mix, how, most_segments / runs, nominal));
    out.runs.back().run.hub = static_cast<std::int32_t>(r.integer(0, hubs - 1));
  }
  out.close();
  return out;
}

/// The same installation by nodes.
struct oracle_network {
  dense_network net;
  int source = 0;
  std::vector<std::vector<int>> load;                  // run, segment-major; -1 where unlit
  std::vector<std::vector<std::pair<int, int>>> lead;  // run, feed point: node behind, node at the tape
};

inline oracle_network oracle_of(const owned_network& n) {
  oracle_network o;
  o.source = o.net.node();
  o.net.fix(o.source, wide(n.net.source.v));
  const int bus = o.net.node();
  o.net.resistor(o.source, bus, wide(n.net.lead.v));
  std::vector<int> plus;
  std::vector<std::vector<int>> minus;
  for (const feed_hub& h : n.hubs) {  // the loop of the supply cable stands in one conductor or the other
    plus.push_back(o.net.node());
    o.net.resistor(bus, plus.back(), wide(h.supply.v) / 4);
    const int back = o.net.node();
    o.net.resistor(0, back, wide(h.supply.v) * 3 / 4);
    minus.emplace_back();
    for (const ohms sw : h.channel) {
      minus.back().push_back(o.net.node());
      o.net.resistor(back, minus.back().back(), wide(sw.v));
    }
  }
  for (const owned_run& r : n.runs) {
    const auto hub = static_cast<std::size_t>(r.run.hub);
    const std::size_t channels = r.tapes[0].channels.size();
    const std::uint32_t lit = r.stretches[0].line.lit;
    const auto is_lit = [&](std::size_t c) { return (lit >> c & 1u) != 0; };
    // terminals behind the shared feeder
    std::vector<int> terminal(channels + 1);
    terminal[0] = o.net.node();
    o.net.resistor(plus[hub], terminal[0], wide(r.run.common.v));
    for (std::size_t c = 0; c < channels; ++c) {
      if (!is_lit(c)) continue;
      terminal[1 + c] = o.net.node();
      o.net.resistor(minus[hub][c], terminal[1 + c], wide(r.run.channel[c].v));
    }
    std::vector<int> now(channels + 1);
    const auto fresh = [&] {
      for (std::size_t c = 0; c <= channels; ++c)
        if (c == 0 || is_lit(c - 1)) now[c] = o.net.node();
    };
    o.load.emplace_back();
    o.lead.emplace_back();
    fresh();
    std::size_t feed = 0;
    std::int64_t boundary = 0;
    const auto take_feeds = [&] {
      for (; feed < r.feeds.size() && r.feeds[feed].at == boundary; ++feed) {
        o.lead.back().push_back({terminal[0], now[0]});
        o.net.resistor(terminal[0], now[0], wide(r.feeds[feed].common.v));
        for (std::size_t c = 0; c < channels; ++c)
          if (is_lit(c)) o.net.resistor(terminal[1 + c], now[1 + c], wide(r.feeds[feed].channel[c].v));
      }
    };
    const auto onward = [&](auto&& common, auto&& own) {
      const std::vector<int> before = now;
      fresh();
      o.net.resistor(before[0], now[0], common());
      for (std::size_t c = 0; c < channels; ++c)
        if (is_lit(c)) o.net.resistor(before[1 + c], now[1 + c], own(c));
    };
    take_feeds();
    for (std::size_t p = 0; p < r.stretches.size(); ++p) {
      const run_stretch& s = r.stretches[p];
      const tape& t = r.tapes[p];
      if (p > 0)
        onward([&] { return wide(s.link_common.v); },
               [&](std::size_t c) { return wide(s.link_channel[c].v); });
      const auto half = [&] {
        onward([&] { return oracle_pitch(t, t.common_trace, r.trace[p]) / 2; },
               [&](std::size_t c) { return oracle_pitch(t, t.channels[c].return_trace, r.trace[p]) / 2; });
      };
      for (std::int64_t k = 0; k < s.line.segments; ++k) {
        half();
        for (std::size_t c = 0; c < channels; ++c)
          o.load.back().push_back(is_lit(c) ? o.net.load(now[0], now[1 + c], oracle_law(t, c)) : -1);
        half();
        ++boundary;
        take_feeds();
      }
    }
  }
  return o;
}

/// A network's answer with room for everything.
struct solved_network {
  std::vector<std::vector<volts>> v;
  std::vector<std::vector<amps>> i;
  std::vector<std::vector<feed_current>> feed;
  std::vector<fed_run_figures> figures;
  std::vector<fed_run_profile> profiles;  // of each run, views of the lists above
  std::vector<double> room;
  outcome<network_figures> all{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  explicit solved_network(const feed_network& n) {
    for (const fed_run& r : n.runs) {
      const auto loads = static_cast<std::size_t>(segments_of(r) * r.stretches[0].line.channels);
      v.emplace_back(loads);
      i.emplace_back(loads);
      feed.emplace_back(r.feeds.size());
    }
    for (std::size_t r = 0; r < n.runs.size(); ++r) profiles.push_back({v[r], i[r], feed[r]});
    figures.resize(n.runs.size());
    room.resize(network_workspace(n));
    all = solve_network(n, room, figures, profiles);
  }
  solved_network(const solved_network&) = delete;
  solved_network& operator=(const solved_network&) = delete;
};

}  // namespace tapewright::test
