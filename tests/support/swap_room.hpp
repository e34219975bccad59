// SPDX-License-Identifier: BSL-1.0
// The storage of swap_feeder for any swap in one network, and that network solved.
#pragma once

#include <algorithm>
#include <vector>

#include "support/random_network.hpp"
#include "tapewright/sizing/feeder_swap.hpp"

namespace tapewright::test {

struct swap_room {
  std::vector<fed_run> runs;
  std::vector<feed_point> feeds;
  std::vector<fed_run_figures> before, after;
  std::vector<double> doubles;
  std::vector<run_sensitivity> run_slopes;
  std::vector<hub_sensitivity> hub_slopes;
  std::vector<lead_sensitivity> lead_slopes;
  solved_network solved;

  explicit swap_room(const feed_network& n)
      : runs(n.runs.size()),
        feeds(tapewright::detail::feeds_before(n, n.runs.size())),
        before(n.runs.size()),
        after(n.runs.size()),
        doubles(std::max(network_workspace(n), sensitivity_workspace(n))),
        run_slopes(n.runs.size()),
        hub_slopes(n.hubs.size()),
        lead_slopes(tapewright::detail::feeds_before(n, n.runs.size())),
        solved{n} {}

  swap_space space() {
    return {runs, feeds, before, after, solved.profiles, doubles, run_slopes, hub_slopes, lead_slopes};
  }
};

}  // namespace tapewright::test
