// SPDX-License-Identifier: BSL-1.0
// A driver's output trim: set so that the lamps lie around nominal voltage, never above what a tape may see.
#include "tapewright/plan/stage/trimming.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <string_view>
#include <vector>

#include "support/close.hpp"
#include "support/plan_checker.hpp"
#include "support/small_job.hpp"
#include "tapewright/plan/notes.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::literals;

namespace {

/// The shelf of the small job, 5 m long, on a driver with a trim; its tape's highest voltage as a test wants it.
struct trimmed_shelf {
  std::vector<driver> drivers{small_job::drivers[0]};
  std::vector<tape> tapes{small_job::white_24};
  std::vector<run> runs{small_job::runs[0]};
  design_rules rules = small_job::question().rules;
  std::unique_ptr<plan_storage<3>> storage = std::make_unique<plan_storage<3>>();

  trimmed_shelf() {
    drivers[0].trim_low = 22_V;
    drivers[0].trim_high = 28_V;
    tapes[0].highest = 26_V;
    runs[0].measured = 5_m;
    runs[0].from_controller = 8_m;
  }
  catalogue parts() const {
    catalogue all = small_job::parts;
    all.drivers = drivers;
    all.tapes = tapes;
    return all;
  }
  job question() const {
    job j = small_job::question();
    j.runs = runs;
    j.rules = rules;
    return j;
  }
  plan planned() {
    const auto answer = make_plan(question(), parts(), storage->space());
    REQUIRE(answer.ok());
    for (const std::string& problem : test::plan_checker{question(), parts(), *answer}.problems())
      CHECK_MESSAGE(problem.empty(), problem);
    return *answer;
  }
};

}  // namespace

TEST_CASE("a trim centres the lamps around nominal voltage, to a tenth of a volt downwards") {
  trimmed_shelf s;
  const plan p = s.planned();
  CHECK(p.fits);
  const volts set_to = p.outputs[0].set_to;
  REQUIRE(set_to > 24_V);
  const line_figures& f = p.runs[0].all_on;
  const double middle = 0.5 * (f.first_load[0] + f.last_load[0]).v;
  // set to the tenth below the centre; a tenth more of supply is almost a tenth more in the middle
  CHECK(middle <= 24 + 1e-9);
  CHECK(middle > 24 - 0.1);
  // oracle: the two-wire feeder by hand from the driver to the tape, and the drop as told
  const double feeder = (set_to - f.at_feed[0]).v;
  CHECK(test::close_rel(feeder,
                        2 * f.total.v * (core_of(p.runs[0].feeder, hot_copper)).v +
                            2 * f.total.v * (p.runs[0].connector < 0 ? 0.0 : 0.005),
                        1e-9));  // sums of a few products, solved to 1e-12
  for (const finding& each : p.findings)
    if (each.code == finding_code::drop_to_lamp)
      CHECK(test::close_rel(each.value, (set_to - f.last_load[0]).v / 24, 1e-12));
}

TEST_CASE("a trim is told: as a reading, as a task, in the derivation") {
  trimmed_shelf s;
  const plan p = s.planned();
  bool read = false, noted = false;
  for (const reading& each : p.readings)
    if (each.kind == reading_kind::driver_output) {
      read = true;
      CHECK(each.expected == p.outputs[0].set_to.v);
      CHECK(each.most == each.expected * (1 + s.rules.supply_tolerance));
    }
  for (const note& each : p.notes) noted = noted || each.code == note_code::set_trim;
  CHECK(read);
  CHECK(noted);
  CHECK(reader_of(note_code::set_trim) == note_reader::electrician);
}

TEST_CASE("a trim never lets a dark tape see more than its highest voltage, tolerance included") {
  trimmed_shelf s;
  s.tapes[0].highest = 24.7_V;  // 24.7 / 1.02 = 24.21
  const plan p = s.planned();
  CHECK(p.fits);
  CHECK(p.outputs[0].set_to == volts{24.2});
  s.tapes[0].highest = 24.5_V;  // 24.02: less than a tenth above nominal
  CHECK(s.planned().outputs[0].set_to == volts{});
}

TEST_CASE("a tape that may not see nominal voltage with its tolerance is served by a driver set down") {
  trimmed_shelf s;
  s.tapes[0].highest = 24.2_V;  // 23.73
  const plan p = s.planned();
  CHECK(p.fits);
  CHECK(p.outputs[0].set_to == volts{23.7});
  s.drivers[0].trim_low = 24_V;  // nothing to set down
  const auto fixed = make_plan(s.question(), s.parts(), s.storage->space());
  REQUIRE(fixed.ok());
  CHECK(!fixed->fits);
  CHECK(fixed->outputs[0].set_to == volts{});
}

TEST_CASE("a trim leaves what was sized as it was") {
  trimmed_shelf s;
  s.drivers[0].trim_high = 24.1_V;
  CHECK(s.planned().outputs[0].set_to == volts{24.1});
  // 48 W and a tenth are 52.8 W: of a driver of 53 W nothing is left for a higher voltage (24.09 V)
  trimmed_shelf full;
  full.drivers[0].rated = 53_W;
  const plan p = full.planned();
  CHECK(p.fits);
  CHECK(p.outputs[0].set_to == volts{});
}
