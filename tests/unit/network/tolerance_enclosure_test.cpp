// SPDX-License-Identifier: BSL-1.0
// Enclosures of all load voltages: no solved network of the box outside, and none wider than a point for a box that is one.
#include "tapewright/network/tolerance_enclosure.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"

using namespace tapewright;
using namespace tapewright::test;
using tapewright::detail::factor_box;
using tapewright::detail::interval;
using tapewright::detail::network_enclosure;

namespace {

const std::vector<feeding> every_way = {feeding::one_end, feeding::both_ends, feeding::middle,
                                        feeding::points, feeding::ring};
constexpr law_mix mixes[] = {law_mix::resistor_limited, law_mix::regulated, law_mix::constant_power,
                             law_mix::monotone, law_mix::any};

/// Copies of a network's lists, to multiply.
struct copies {
  std::vector<feed_hub> hubs;
  std::vector<fed_run> runs;
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  tolerance_space space;

  explicit copies(const feed_network& n) : hubs(n.hubs.size()), runs(n.runs.size()) {
    std::size_t parts = 0, points = 0;
    for (const fed_run& r : n.runs) {
      parts += r.stretches.size();
      points += r.feeds.size();
    }
    stretches.resize(parts);
    feeds.resize(points);
    space = {hubs, runs, stretches, feeds, {}, {}, {}, {}};
  }
};

/// Every lit load's voltage as solved, and its interval.
template <class Visit>
void each_voltage(const network_enclosure& all, const factor_box& box, const solved_network& s,
                  const Visit& visit) {
  all.each_load(box, [&](std::size_t l, const load_law&, std::size_t r, std::size_t, interval) {
    visit(all.get(network_enclosure::u, l), s.v[r][l - all.offset(r)].v);
  });
}

}  // namespace

TEST_CASE("network_enclosure: no network of the box is outside") {
  random_source r{1966};
  MESSAGE("seed " << r.seed());
  int samples = 0, not_enclosed = 0;
  for (int round = 0; round < 250; ++round) {
    CAPTURE(round);
    const owned_network n = random_network(r, mixes[round % 5], 1 + round / 5 % 6, 3, 40, every_way);
    factor_box box;
    for (std::size_t p = 0; p < factor_count(n.net); ++p) {
      box.lo[p] = 1 - r.uniform(0, p == 0 ? 0.05 : 0.25);
      box.hi[p] = 1 + r.uniform(0, p == 0 ? 0.05 : 0.25);
      box.middle[p] = 1;
    }
    std::vector<double> room(network_enclosure::doubles(n.net));
    network_enclosure all{n.net, room.data()};
    if (!all.enclose(box)) {
      ++not_enclosed;
      continue;
    }
    copies m{n.net};
    for (int sample = 0; sample < 20; ++sample, ++samples) {
      const bool corner = sample % 2 == 0;
      std::vector<double> factor(factor_count(n.net));
      for (std::size_t p = 0; p < factor.size(); ++p) {
        const double share = r.uniform(0, 1);
        factor[p] =
            corner ? (share < 0.5 ? box.lo[p] : box.hi[p]) : box.lo[p] + share * (box.hi[p] - box.lo[p]);
      }
      const feed_network there = multiplied(
          n.net, [&](std::size_t p) { return factor[p]; }, m.space);
      const solved_network s{there};
      REQUIRE(s.all.ok());
      const double hair = 1e-11 * n.net.source.v;  // a solution is settled to 5e-13 of the source
      each_voltage(all, box, s, [&](interval is, double v) {
        REQUIRE(v >= is.lo - hair);
        REQUIRE(v <= is.hi + hair);
      });
    }
  }
  MESSAGE(samples << " samples, " << not_enclosed << " networks that may collapse");
  CHECK(samples >= 4000);
  CHECK(not_enclosed <= 25);
}

TEST_CASE("network_enclosure: a box that is a point encloses the solution and nothing else") {
  random_source r{1821};
  MESSAGE("seed " << r.seed());
  int points = 0, others = 0;
  for (int round = 0; round < 150; ++round) {
    CAPTURE(round);
    const owned_network n = random_network(r, mixes[round % 5], 1 + round / 5 % 6, 3, 40, every_way);
    factor_box box;
    for (std::size_t p = 0; p < factor_count(n.net); ++p) box.lo[p] = box.hi[p] = box.middle[p] = 1;
    std::vector<double> room(network_enclosure::doubles(n.net));
    network_enclosure all{n.net, room.data()};
    const solved_network s{n.net};
    if (!s.all.ok() || !all.enclose(box)) continue;
    const double hair = 1e-11 * n.net.source.v;  // a solution is settled to 5e-13 of the source
    double widest = 0;
    each_voltage(all, box, s, [&](interval is, double v) {
      REQUIRE(v >= is.lo - hair);
      REQUIRE(v <= is.hi + hair);
      widest = std::max(widest, is.hi - is.lo);
    });
    // a map that turns the order around shrinks to a point only where it contracts, which soft networks do not
    (widest < 1e-6 * n.net.source.v ? points : others)++;
  }
  MESSAGE(points << " points, " << others << " others");
  CHECK(points >= 100);
}
