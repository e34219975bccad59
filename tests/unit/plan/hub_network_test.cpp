// SPDX-License-Identifier: BSL-1.0
// A hub solved by weights against the whole network solved at once: two ways to the same currents.
#include "tapewright/plan/hub_network.hpp"

#include <doctest/doctest.h>

#include <array>
#include <memory>
#include <vector>

#include "support/close.hpp"
#include "support/random.hpp"
#include "support/small_job.hpp"
#include "tapewright/network/feed_network.hpp"

using namespace tapewright;
using tapewright::test::close_rel;

namespace {

/// The same hub as a feed_network, its runs in the order of d.runs.
struct whole_hub {
  std::vector<feed_hub> hubs;
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  std::vector<fed_run> runs;
  std::vector<std::size_t> place;
  volts source;

  whole_hub(const draft& d, std::int32_t hub, const hub_state& state) : source{state.source} {
    const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
    feed_hub one{.supply = 2 * core_of(h.supply, state.copper), .channel = {}};
    if (const controller* c = d.controller_of(h))
      for (ohms& r : one.channel) r = c->switch_resistance;
    hubs.push_back(one);
    for (const run_plan& r : d.runs)
      if (r.hub == hub) place.push_back(static_cast<std::size_t>(r.run));
    stretches.reserve(place.size());
    feeds.assign(place.size(), feed_point{});
    for (const std::size_t at : place) {
      const run_plan& r = d.runs[at];
      stretches.push_back({.line = *line_of(d.tape_of(r), r.cut.segments, d.asked(r).ambient, state.lit),
                           .link_common = {},
                           .link_channel = {}});
    }
    for (std::size_t i = 0; i < place.size(); ++i) {
      const run_plan& r = d.runs[place[i]];
      const ohms core = core_of(r.feeder, state.copper) + detail::contact_at(d, h.splice) +
                        detail::contact_at(d, r.connector);
      fed_run run{.hub = 0,
                  .stretches = std::span{stretches}.subspan(i, 1),
                  .feeds = std::span{feeds}.subspan(i, 1),
                  .common = core,
                  .channel = {}};
      for (ohms& own : run.channel) own = core;
      runs.push_back(run);
    }
  }
  feed_network network() const { return {.source = source, .lead = {}, .hubs = hubs, .runs = runs}; }
};

}  // namespace

TEST_CASE("a hub by weights and the whole network at once agree to 1e-9") {
  constexpr std::uint64_t seed = 731;
  MESSAGE("seed " << seed);
  test::random_source random{seed};
  auto storage = std::make_unique<plan_storage<8>>();
  int hubs_of_several = 0;
  for (int round = 0; round < 60; ++round) {
    std::vector<run> asked;
    const char* codes[] = {"a", "b", "c", "d", "e", "f"};
    const auto count = static_cast<std::size_t>(random.integer(2, 6));
    for (std::size_t i = 0; i < count; ++i) {
      run r;
      r.code = codes[i];
      r.zone = static_cast<std::int32_t>(random.integer(0, 1));
      r.tape = r.zone;
      r.measured = metres{random.uniform(0.4, 3.5)};
      r.from_controller = metres{random.uniform(0.5, 12)};
      r.ambient = celsius{random.uniform(5, 40)};
      asked.push_back(r);
    }
    job question = small_job::question();
    question.runs = asked;
    const auto planned = make_plan(question, small_job::parts, storage->space());
    REQUIRE(planned.ok());
    const plan_space space = storage->space();
    draft d{.question = question,
            .parts = small_job::parts,
            .runs = span_list{space.runs},
            .hubs = span_list{space.hubs},
            .outputs = {},
            .drivers = {},
            .order = {},
            .pieces = {},
            .connections = {},
            .findings = {},
            .readings = {},
            .notes = {},
            .figures = space.figures,
            .network = {},
            .scratch = {},
            .mains = {}};
    for (const run_plan& r : planned->runs) d.runs.push(run_plan{r});
    for (const hub_plan& h : planned->hubs) d.hubs.push(hub_plan{h});
    for (std::size_t h = 0; h < d.hubs.size(); ++h) {
      const auto hub = static_cast<std::int32_t>(h);
      if (d.hubs[h].runs > 1) ++hubs_of_several;
      for (const std::uint32_t lit : {all_lit, 1u}) {
        const hub_state state{.source = volts{24}, .copper = celsius{70}, .lit = lit};
        const auto input = solve_hub(d, hub, state, d.figures);
        REQUIRE(input.ok());
        const whole_hub whole{d, hub, state};
        std::vector<double> room(network_workspace(whole.network()));
        std::vector<fed_run_figures> figures(whole.runs.size());
        const auto solved = solve_network(whole.network(), room, figures);
        REQUIRE(solved.ok());
        // 1e-9 is what a plan is asked to be consistent to; both solvers stop below 1e-12 of the source
        CHECK(close_rel((whole.source - whole.hubs[0].supply * solved->total).v, input->v, 1e-9));
        for (std::size_t i = 0; i < whole.place.size(); ++i) {
          const line_figures& by_weights = d.figures[whole.place[i]];
          CHECK(close_rel(by_weights.total.v, figures[i].total.v, 1e-9));
          for (std::int32_t c = 0; c < by_weights.channels; ++c) {
            if ((lit >> c & 1u) == 0) continue;
            CHECK(close_rel(by_weights.channel_current[c].v, figures[i].channel_current[c].v, 1e-9));
            CHECK(close_rel(by_weights.last_load[c].v, figures[i].lowest_load[c].v, 1e-9));
          }
        }
      }
    }
  }
  CHECK(hubs_of_several > 30);
}
