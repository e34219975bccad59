// SPDX-License-Identifier: BSL-1.0
// Thousands of random jobs: every plan passes a judge that knows the rules and a network, not the planner.
#include <doctest/doctest.h>

#include <cstdlib>
#include <memory>
#include <vector>

#include "support/plan_checker.hpp"
#include "support/plan_room.hpp"
#include "support/random_job.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::test;

TEST_CASE("make_plan: every plan of a random job passes an independent judge") {
  const char* wanted = std::getenv("TAPEWRIGHT_RANDOM_JOBS");
  const int jobs = wanted == nullptr ? 5000 : std::atoi(wanted);
  random_source r{20261127};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<8, 4000>>();
  int planned = 0, fitting = 0, lamps = 0;
  for (int round = 0; round < jobs; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o);
    const job question = o.question();
    const catalogue parts = o.parts();
    const auto answer = make_plan(question, parts, storage->space());
    CAPTURE(static_cast<int>(answer.why().field));
    CAPTURE(answer.why().given);
    REQUIRE(answer.ok());
    ++planned;
    if (answer->fits) {
      ++fitting;
      lamps += static_cast<int>(answer->runs.size());
    }
    const std::vector<std::string> problems = plan_checker{question, parts, *answer}.problems();
    for (const std::string& problem : problems) {
      CAPTURE(problem);
      CHECK_MESSAGE(problem.empty(), problem);
    }
  }
  MESSAGE(planned << " plans, " << fitting << " of them fit, with " << lamps << " runs");
  CHECK(planned == jobs);
  CHECK(fitting * 10 >= jobs);  // a judge that only ever sees impossible jobs has judged nothing
}

TEST_CASE("make_plan: rooms with corners, several feed points, rings and sections pass the same judge") {
  const char* wanted = std::getenv("TAPEWRIGHT_RANDOM_JOBS");
  const int jobs = wanted == nullptr ? 2000 : std::atoi(wanted);
  random_source r{20261129};
  MESSAGE("seed " << r.seed());
  int fitting = 0, by[6] = {}, sections = 0, corners = 0;
  for (int round = 0; round < jobs; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 3, .zones = 2, .longest_m = round % 3 == 0 ? 30.0 : 12.0});
    bend_runs(r, o);
    if (round % 2 == 0) {  // so that light alone asks for more feed points
      o.rules.drop_to_feed = 0.08;
      o.rules.drop_to_lamp = 0.15;
    }
    const job question = o.question();
    const catalogue parts = o.parts();
    const auto room = space_for(question, parts);
    REQUIRE(room.ok());
    plan_room space{*room};
    const auto answer = make_plan(question, parts, space.space());
    CAPTURE(static_cast<int>(answer.why().code));
    CAPTURE(static_cast<int>(answer.why().field));
    CAPTURE(answer.why().given);
    REQUIRE(answer.ok());
    for (const run_plan& u : answer->runs) {
      if (!answer->fits) continue;
      ++by[static_cast<int>(u.arrangement)];
      sections += u.sections > 1;
      corners += u.stretches > 1;
    }
    fitting += answer->fits;
    const std::vector<std::string> problems = plan_checker{question, parts, *answer}.problems();
    for (const std::string& problem : problems) CHECK_MESSAGE(problem.empty(), problem);
  }
  MESSAGE(fitting << " of " << jobs << " fit; one end " << by[0] << ", far end " << by[1] << ", both ends "
                  << by[2] << ", middle " << by[3] << ", points " << by[4] << ", ring " << by[5]
                  << "; sections " << sections << ", runs with links " << corners);
  CHECK(fitting * 20 >= jobs);
  if (jobs >= 1000)  // a few hundred need not meet every arrangement
    for (const int each : by) CHECK(each > 0);
  CHECK(sections > 0);
  CHECK(corners > 0);
}

TEST_CASE("make_plan: drivers with an output trim pass the same judge") {
  const char* wanted = std::getenv("TAPEWRIGHT_RANDOM_JOBS");
  const int jobs = wanted == nullptr ? 1500 : std::atoi(wanted);
  random_source r{20261201};
  MESSAGE("seed " << r.seed());
  int up = 0, down = 0, fitting = 0;
  for (int round = 0; round < jobs; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 5, .zones = 2, .longest_m = round % 3 == 0 ? 12.0 : 5.5});
    give_trims(r, o);
    if (round % 3 == 0) bend_runs(r, o);
    const job question = o.question();
    const catalogue parts = o.parts();
    plan_room space{*space_for(question, parts)};
    const auto answer = make_plan(question, parts, space.space());
    REQUIRE(answer.ok());
    for (const std::string& problem : plan_checker{question, parts, *answer}.problems())
      CHECK_MESSAGE(problem.empty(), problem);
    if (!answer->fits) continue;
    ++fitting;
    for (const output_plan& out : answer->outputs) {
      if (out.set_to.v == 0) continue;
      const volts delivered =
          parts.drivers[static_cast<std::size_t>(answer->drivers[static_cast<std::size_t>(out.driver)].part)]
              .output;
      ++(out.set_to > delivered ? up : down);
    }
  }
  MESSAGE(fitting << " of " << jobs << " fit; " << up << " outputs set up, " << down << " down");
  CHECK(up * 20 > jobs);
  CHECK(down > 0);
}

namespace {

/// A plan that may be spoilt: its lists copied out of the space it stands in.
struct copied_plan {
  std::vector<run_plan> runs;
  std::vector<hub_plan> hubs;
  std::vector<output_plan> outputs;
  std::vector<order_line> order;
  std::vector<cut_piece> pieces;
  std::vector<connection> connections;
  plan answer;

  explicit copied_plan(const plan& p)
      : runs{p.runs.begin(), p.runs.end()},
        hubs{p.hubs.begin(), p.hubs.end()},
        outputs{p.outputs.begin(), p.outputs.end()},
        order{p.order.begin(), p.order.end()},
        pieces{p.pieces.begin(), p.pieces.end()},
        connections{p.connections.begin(), p.connections.end()},
        answer{p} {
    answer.runs = runs;
    answer.hubs = hubs;
    answer.outputs = outputs;
    answer.order = order;
    answer.pieces = pieces;
    answer.connections = connections;
  }
};

/// Spoils one thing of a plan; false where the plan has nothing of that kind.
bool spoil(copied_plan& p, const catalogue& parts, std::int64_t way, random_source& r) {
  const auto some = [&](std::size_t n) {
    return static_cast<std::size_t>(r.integer(0, static_cast<std::int64_t>(n) - 1));
  };
  switch (way) {
    case 0: p.order[some(p.order.size())].quantity += 1; return true;
    case 1: p.order[some(p.order.size())].unit_price.minor += 1; return true;
    case 2: p.answer.order = p.answer.order.first(p.order.size() - 1); return true;
    case 3: p.answer.connections = p.answer.connections.first(p.connections.size() - 1); return true;
    case 4: p.runs[some(p.runs.size())].cut.segments += 1; return true;
    case 5: p.answer.price.minor -= 1; return true;
    case 6:
      for (connection& c : p.connections)
        if (c.to.kind == terminal_kind::tape_channel && c.to.channel > 0) return c.to.channel -= 1, true;
      return false;
    case 7:
      for (connection& c : p.connections)
        if (c.number > 0 && c.core == 2) return c.core = 1, true;
      return false;
    case 8:
      for (hub_plan& h : p.hubs)
        for (std::size_t c = 0; h.controller >= 0 && c < parts.controllers.size(); ++c)
          if (parts.controllers[c].total_limit < h.total)
            return h.controller = static_cast<std::int32_t>(c), true;
      return false;
    case 9:
      for (laid_cable* w : {&p.runs[0].feeder, &p.hubs[0].supply})
        if (w->cable >= 0)
          for (connection& c : p.connections)
            if (c.number == w->number) return c.length = c.length * 40, true;
      return false;
    case 10:
      for (run_plan& u : p.runs)
        if (u.join == feed_join::connector) return u.join = feed_join::soldered_tail, true;
      return false;
    case 11: p.runs[some(p.runs.size())].all_on.channel_current[0] += amps{1e-6}; return true;
    case 12: p.outputs[some(p.outputs.size())].set_to = volts{0.5}; return true;
    case 13:  // a controller or fuse may bear it; its tape, or its own figures, do not
      for (output_plan& out : p.outputs)
        out.set_to = parts
                         .drivers[static_cast<std::size_t>(
                             p.answer.drivers[static_cast<std::size_t>(out.driver)].part)]
                         .output *
                     1.01;
      return true;
    default: return false;
  }
}

}  // namespace

TEST_CASE("the judge of plans sees what is wrong with a spoilt one") {
  random_source r{20261128};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<8, 4000>>();
  int spoilt[14] = {};
  for (int round = 0; round < 400; ++round) {
    owned_job o;
    fill_random_job(r, o);
    const job question = o.question();
    const catalogue parts = o.parts();
    const auto answer = make_plan(question, parts, storage->space());
    REQUIRE(answer.ok());
    if (!answer->fits) continue;
    for (std::int64_t way = 0; way < 14; ++way) {
      copied_plan p{*answer};
      if (!spoil(p, parts, way, r)) continue;
      CAPTURE(round);
      CAPTURE(way);
      CHECK(!plan_checker{question, parts, p.answer}.problems().empty());
      ++spoilt[way];
    }
  }
  for (const std::int64_t way : {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13}) CHECK(spoilt[way] > 0);
}
