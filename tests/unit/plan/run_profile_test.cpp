// SPDX-License-Identifier: BSL-1.0
// A run lamp by lamp says what its plan says, whichever way it is fed.
#include "tapewright/plan/run_profile.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "support/close.hpp"
#include "support/plan_room.hpp"
#include "support/random_job.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::test;

TEST_CASE("solve_profile: lowest lamp and currents are those of the plan, over random jobs") {
  random_source r{20261130};
  MESSAGE("seed " << r.seed());
  int plain = 0, in_parts = 0;
  for (int round = 0; round < 150; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 3, .zones = 2, .longest_m = 12});
    bend_runs(r, o);
    o.rules.drop_to_lamp = 0.2;
    const job question = o.question();
    const catalogue parts = o.parts();
    plan_room space{*space_for(question, parts)};
    const auto p = make_plan(question, parts, space.space());
    REQUIRE(p.ok());
    for (const run_plan& u : p->runs) {
      if (!u.solved) continue;
      const tape& t =
          parts.tapes[static_cast<std::size_t>(question.runs[static_cast<std::size_t>(u.run)].tape)];
      const std::size_t channels = t.channels.size();
      const profile_room need = profile_room_of(u, t);
      std::vector<run_stretch> stretches(need.stretches);
      std::vector<feed_point> points(need.points);
      std::vector<double> doubles(need.doubles);
      std::vector<volts> v(static_cast<std::size_t>(u.cut.segments) * channels);
      std::vector<amps> i(v.size());
      REQUIRE(!solve_profile(*p, question, parts, u.place, stretches, points, doubles, {v, i}));
      ++(is_fed_in_parts(u) ? in_parts : plain);
      for (std::size_t c = 0; c < channels; ++c) {
        double lowest = 1e9, sum = 0;
        for (std::size_t k = c; k < v.size(); k += channels) {
          lowest = std::min(lowest, v[k].v);
          sum += i[k].v;
        }
        // two solutions of one network, each to 1e-12 of nominal; a regulated or constant-power load may
        // make a hundred times that of it
        CHECK(close_abs(lowest, u.all_on.last_load[c].v, 1e-9));
        CHECK(close_abs(sum, u.all_on.channel_current[c].v, 1e-9));
      }
      if (!is_fed_in_parts(u)) continue;
      const auto refused = [&](std::size_t has_stretches, std::size_t has_points) {
        return solve_profile(*p, question, parts, u.place, std::span{stretches}.first(has_stretches),
                             std::span{points}.first(has_points), doubles, {v, i});
      };
      CHECK(refused(need.stretches, need.points - 1) == refuse_room(need.points - 1, need.points));
      CHECK(refused(need.stretches - 1, need.points) == refuse_room(need.stretches - 1, need.stretches));
    }
    CHECK(solve_profile(*p, question, parts, -1, {}, {}, {}, {}).code == fault_code::unknown_reference);
  }
  MESSAGE(plain << " plain runs, " << in_parts << " fed in parts");
  CHECK(plain > 50);
  CHECK(in_parts > 50);
}
