// SPDX-License-Identifier: BSL-1.0
// A swapped cable against the network written out with it, and the first-order figure against the second order left.
#include "tapewright/sizing/feeder_swap.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"
#include "support/swap_room.hpp"

using namespace tapewright;
using namespace tapewright::test;

TEST_CASE("swap_feeder: before and after are the networks themselves; the first order leaves the second") {
  random_source r{88};
  MESSAGE("seed " << r.seed());
  int swaps = 0, shared = 0, bent = 0;
  for (int round = 0; round < 120; ++round) {
    CAPTURE(round);
    const owned_network n = random_network(r, static_cast<law_mix>(round % 4), 1 + round % 5, 3, 40,
                                           {feeding::one_end, feeding::both_ends, feeding::points});
    swap_room room{n.net};
    if (!room.solved.all.ok()) continue;
    feeder_swap swap;
    swap.run = static_cast<std::int32_t>(r.integer(0, static_cast<std::int64_t>(n.runs.size()) - 1));
    const auto at = static_cast<std::size_t>(swap.run);
    swap.feed =
        static_cast<std::int32_t>(r.integer(-1, static_cast<std::int64_t>(n.runs[at].feeds.size()) - 1));
    swap.core = ohms{r.uniform(0.001, 0.004)};  // thicker ones may come out below 0 in a random network
    const auto got = swap_feeder(n.net, swap, room.space());
    if (!got.ok()) {
      CHECK(got.why().code == fault_code::no_operating_point);
      continue;
    }
    ++swaps;
    shared += swap.feed < 0;
    CHECK(got->network_before.total == room.solved.all->total);
    owned_network other = n;
    ohms& common = swap.feed < 0 ? other.runs[at].run.common
                                 : other.runs[at].feeds[static_cast<std::size_t>(swap.feed)].common;
    auto& channel = swap.feed < 0 ? other.runs[at].run.channel
                                  : other.runs[at].feeds[static_cast<std::size_t>(swap.feed)].channel;
    common += swap.core;
    for (std::size_t c = 0; c < n.runs[at].tapes[0].channels.size(); ++c) channel[c] += swap.core;
    other.close();
    const solved_network written{other.net};
    REQUIRE(written.all.ok());
    CHECK(got->network_after.total == written.all->total);  // the same network: the same bits
    CHECK(got->network_after.lamps == written.all->lamps);
    const std::size_t channels = n.runs[at].tapes[0].channels.size();
    const std::size_t load = static_cast<std::size_t>(got->dimmest.segment) * channels +
                             static_cast<std::size_t>(got->dimmest.channel);
    CHECK(got->after == written.v[at][load]);
    // half the change leaves a quarter of what the first order misses
    feeder_swap half = swap;
    half.core = 0.5 * swap.core;
    const auto less = swap_feeder(n.net, half, room.space());
    REQUIRE(less.ok());
    CHECK(less->per_ohm == got->per_ohm);  // the derivative is of the network before: the same bits
    CHECK(got->first_order == got->before + got->per_ohm * swap.core);
    const double missed = std::fabs((got->after - got->first_order).v),
                 missed_by_half = std::fabs((less->after - less->first_order).v);
    constexpr double settled = 1e-9;  // two solutions of 5e-13 of 48 V each, and room
    const bool quarter = missed_by_half <= 0.3 * missed + settled;
    bent += !quarter;  // a lamp has crossed a corner of its law on the way
  }
  MESSAGE(swaps << " swaps, " << shared << " of a shared feeder, " << bent << " across a corner");
  CHECK(swaps >= 90);
  CHECK(shared >= 10);
  CHECK(bent <= 5);
}

TEST_CASE("swap_feeder: refusals") {
  random_source r{89};
  const owned_network n = random_network(r, law_mix::resistor_limited, 2, 1, 10, {feeding::one_end});
  swap_room room{n.net};
  const auto why = [&](feeder_swap s) { return swap_feeder(n.net, s, room.space()).why(); };
  CHECK(why({-1, 0, ohms{0}}).code == fault_code::unknown_reference);
  CHECK(why({static_cast<std::int32_t>(n.runs.size()), 0, ohms{0}}).code == fault_code::unknown_reference);
  CHECK(why({0, 1, ohms{0}}).code == fault_code::unknown_reference);
  CHECK(why({0, -2, ohms{0}}).code == fault_code::unknown_reference);
  CHECK(why({0, 0, ohms{-10}}).code == fault_code::out_of_range);
  CHECK(why({0, 0, ohms{not_a_number}}).code == fault_code::out_of_range);
  swap_space small = room.space();
  small.feeds = {};
  CHECK(swap_feeder(n.net, {0, 0, ohms{0}}, small).why().code == fault_code::no_room);
  const auto nothing = swap_feeder(n.net, {0, 0, ohms{0}}, room.space());
  REQUIRE(nothing.ok());
  CHECK(nothing->after == nothing->before);
  CHECK(nothing->first_order == nothing->before);
}
