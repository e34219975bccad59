// SPDX-License-Identifier: BSL-1.0
// Laws that every fed tape obeys, over ten thousand and more random tapes each.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_tape.hpp"
#include "tapewright/network/tape_line.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr int rounds = 12000;

// Two solutions are each settled within 5e-13 of the source and N/2 ulp (ladder.hpp); what differs by
// less than twice that is equal.
double settled_v(const line_feed& f, std::int64_t n) {
  return 2 * f.source.v * (5e-13 + 0x1p-53 * static_cast<double>(n));
}

struct solved_line {
  tape_line line;
  outcome<line_figures> figures{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};
  std::vector<volts> v;
  std::vector<amps> i;

  solved_line(const tape_line& l, const line_feed& f) : line{l} {
    const auto loads = static_cast<std::size_t>(l.segments * l.channels);
    v.resize(loads);
    i.resize(loads);
    std::vector<double> room(line_workspace(l.segments, l.channels));
    figures = solve_line(l, f, {v, i}, room);
  }
};

void thicken(tape_line& l, line_feed& f, double share) {
  l.common *= share;
  f.common *= share;
  for (ohms& r : l.channel) r *= share;
  for (ohms& r : f.channel) r *= share;
}

}  // namespace

TEST_CASE("law: a longer run is never brighter anywhere (one channel); its dimmest lamp never (any)") {
  // With several channels a lamp NEAR the feed may gain: a dimmer far end draws less through its own
  // channel's copper. That is physics, so the law for coupled channels speaks of the last lamp and of
  // evenness. For one channel it is a theorem (every transfer resistance is positive).
  random_source r{101};
  MESSAGE("seed " << r.seed());
  int one = 0, many = 0;
  for (int round = 0; round < 2 * rounds; ++round) {
    const std::int64_t channels = round % 2 == 0 ? 1 : r.integer(2, 6);
    const tape t = random_tape(r, channels, law_mix::monotone);
    const line_feed feed = random_feed(r, t);
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 80)),
               more = n + static_cast<std::int64_t>(r.log_uniform(1, 20));
    const solved_line shorter{*line_of(t, n, celsius{30}), feed},
        longer{*line_of(t, more, celsius{30}), feed};
    REQUIRE(shorter.figures.ok());
    REQUIRE(longer.figures.ok());
    const double hair = settled_v(feed, more);
    if (channels == 1) {
      ++one;
      for (std::size_t k = 0; k < shorter.v.size(); ++k) REQUIRE(longer.v[k].v <= shorter.v[k].v + hair);
    } else {
      ++many;
      for (std::size_t c = 0; c < t.channels.size(); ++c) {
        REQUIRE(longer.figures->last_load[c].v <= shorter.figures->last_load[c].v + hair);
        // i = slope * (v - knee): a hair of voltage is slope * hair of current
        const double hair_of_light = 4 * hair / (t.nominal.v - t.channels[c].knee.v);
        const double level = shorter.figures->first_load[c].v - t.channels[c].knee.v;
        if (level > 0.01 * t.nominal.v)
          REQUIRE(longer.figures->evenness[c] <=
                  shorter.figures->evenness[c] + hair_of_light * t.nominal.v / level);
      }
    }
    REQUIRE(longer.figures->total.v >= shorter.figures->total.v * (1 - 1e-11));
  }
  CHECK(one >= 10000);
  CHECK(many >= 10000);
}

TEST_CASE("law: thicker copper never drops more (one channel), and never feeds less current in all (any)") {
  // One channel: with the feeder, or all copper alike, thicker no lamp loses; with the trace alone
  // thicker the far lamps gain and draw more through the same feeder, so that only the last lamp is sure
  // not to lose. With coupled channels one channel's gain goes through the common trace and may cost
  // another a little (six of 39,000 random tapes showed it). The total never falls.
  random_source r{102};
  MESSAGE("seed " << r.seed());
  int one = 0, many = 0;
  for (int round = 0; round < 2 * rounds; ++round) {
    const std::int64_t channels = round % 2 == 0 ? 1 : r.integer(2, 6);
    const tape t = random_tape(r, channels, law_mix::monotone);
    line_feed feed = random_feed(r, t);
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 80));
    tape_line line = *line_of(t, n, celsius{r.uniform(-20, 90)});
    const solved_line thin{line, feed};
    const std::int64_t which = r.integer(0, 2);
    if (which == 0) line.common *= r.uniform(0.2, 1);
    else if (which == 1) feed.common *= r.uniform(0.2, 1);
    else thicken(line, feed, r.uniform(0.2, 1));
    const solved_line thick{line, feed};
    REQUIRE(thin.figures.ok());
    REQUIRE(thick.figures.ok());
    if (channels == 1) {
      ++one;
      for (std::size_t k = which == 0 ? thin.v.size() - 1 : 0; k < thin.v.size(); ++k)
        REQUIRE(thick.v[k].v >= thin.v[k].v - settled_v(feed, n));
    } else {
      ++many;
    }
    REQUIRE(thick.figures->total.v >= thin.figures->total.v * (1 - 1e-11));
  }
  CHECK(one >= 10000);
  CHECK(many >= 10000);
}

TEST_CASE("law: a hotter trace never feeds more") {
  random_source r{103};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < rounds; ++round) {
    const tape t = random_tape(r, r.integer(1, 6), law_mix::monotone);
    const line_feed feed = random_feed(r, t);
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 80));
    const double cool = r.uniform(-20, 80);
    const solved_line a{*line_of(t, n, celsius{cool}), feed},
        b{*line_of(t, n, celsius{cool + r.uniform(0, 60)}), feed};
    REQUIRE(b.figures->total.v <= a.figures->total.v * (1 + 1e-11));
  }
}

TEST_CASE("law: twice the length of half the resistance and half the load per metre is the same tape") {
  random_source r{104};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < rounds; ++round) {
    const tape t = random_tape(r, r.integer(1, 6), law_mix::any);
    tape stretched = t;
    // powers of two leave every product the same bits; any other factor leaves it within rounding
    const bool exact = r.one_in(2);
    const double s = exact ? (r.one_in(2) ? 2.0 : 0.25) : r.uniform(0.3, 3);
    stretched.cut_pitch *= s;
    stretched.common_trace *= 1 / s;
    for (tape_channel& c : stretched.channels) {
      c.load *= 1 / s;
      c.return_trace *= 1 / s;
    }
    const line_feed feed = random_feed(r, t);
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 80));
    const solved_line a{*line_of(t, n, celsius{25}), feed}, b{*line_of(stretched, n, celsius{25}), feed};
    REQUIRE(a.figures.ok() == b.figures.ok());
    if (!a.figures.ok()) continue;
    // near collapse a constant-power line magnifies rounding without limit; 1e-9 V is the design's bound
    for (std::size_t k = 0; k < a.v.size(); ++k) REQUIRE(close_abs(a.v[k].v, b.v[k].v, exact ? 0.0 : 1e-9));
  }
}

TEST_CASE("law: the order of the channels does not matter") {
  random_source r{105};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < rounds; ++round) {
    const auto channels = static_cast<std::size_t>(r.integer(2, 6));
    const tape t = random_tape(r, static_cast<std::int64_t>(channels), law_mix::monotone);
    const line_feed feed = random_feed(r, t);
    tape turned = t;
    line_feed turned_feed = feed;
    std::size_t place[max_channels] = {0, 1, 2, 3, 4, 5};
    for (std::size_t c = channels; c-- > 1;)
      std::swap(place[c], place[static_cast<std::size_t>(r.integer(0, static_cast<std::int64_t>(c)))]);
    for (std::size_t c = 0; c < channels; ++c) {
      turned.channels[place[c]] = t.channels[c];
      turned_feed.channel[place[c]] = feed.channel[c];
    }
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 80));
    const solved_line a{*line_of(t, n, celsius{25}), feed}, b{*line_of(turned, n, celsius{25}), turned_feed};
    REQUIRE(a.figures.ok());
    REQUIRE(b.figures.ok());
    for (std::size_t c = 0; c < channels; ++c) {
      REQUIRE(close_abs(a.figures->first_load[c].v, b.figures->first_load[place[c]].v, settled_v(feed, n)));
      REQUIRE(close_abs(a.figures->last_load[c].v, b.figures->last_load[place[c]].v, settled_v(feed, n)));
    }
  }
}

TEST_CASE("law: power in = light + copper; and what flows in is what the loads take") {
  random_source r{106};
  MESSAGE("seed " << r.seed());
  int balanced = 0;
  for (int round = 0; round < rounds; ++round) {
    const tape t = random_tape(r, r.integer(1, 6), law_mix::any);
    const line_feed feed = random_feed(r, t);
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 80));
    const solved_line a{*line_of(t, n, celsius{25}), feed};
    if (!a.figures.ok()) {
      REQUIRE(a.figures.why().code == fault_code::no_operating_point);
      continue;
    }
    ++balanced;
    const line_figures& f = *a.figures;
    REQUIRE(close_rel((f.lamps + f.trace_loss + f.feeder_loss).v, (feed.source * f.total).v, 1e-12));
    double sum = 0;
    for (const amps i : a.i) sum += i.v;
    REQUIRE(close_rel(sum, f.total.v, 1e-13));  // n additions in another order
    REQUIRE(f.least_evenness >= 0);
    REQUIRE(f.least_evenness <= 1);
    REQUIRE(f.colour_shift >= 0);
    REQUIRE(f.colour_shift <= 1);
    REQUIRE(f.lightness_step >= 0);
    REQUIRE(f.lightness_step <= 100);
  }
  CHECK(balanced >= 10000);
}

TEST_CASE("law: voltage only falls along a run, and current only dies away") {
  random_source r{107};
  for (int round = 0; round < rounds; ++round) {
    const tape t = random_tape(r, r.integer(1, 6), law_mix::any);
    const line_feed feed = random_feed(r, t);
    const auto n = static_cast<std::int64_t>(r.log_uniform(2, 80));
    const solved_line a{*line_of(t, n, celsius{25}), feed};
    if (!a.figures.ok()) continue;
    const std::size_t channels = t.channels.size();
    for (std::size_t k = channels; k < a.v.size(); ++k) REQUIRE(a.v[k] <= a.v[k - channels]);
    for (std::size_t c = 0; c < channels; ++c) {
      REQUIRE(a.figures->first_load[c] == a.v[c]);
      REQUIRE(a.figures->last_load[c] == a.v[a.v.size() - channels + c]);
      REQUIRE(a.figures->at_feed[c].v <= feed.source.v + settled_v(feed, n));
    }
  }
}
