// SPDX-License-Identifier: BSL-1.0
// A driver's output trim: set so that the lamps lie around nominal voltage, never above what a tape may see.
#include "tapewright/plan/stage/trimming.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "support/close.hpp"
#include "support/plan_checker.hpp"
#include "support/pocket_calculator.hpp"
#include "support/small_job.hpp"
#include "tapewright/plan/explain.hpp"
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
  std::vector<overcurrent_device> devices{std::begin(small_job::devices), std::end(small_job::devices)};
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
    all.overcurrent_devices = devices;
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
  /// The derivation of run 0, every expression in it recalculated.
  std::string explained(const plan& p) const {
    std::string room(60'000, '\0');
    text_sink out{room};
    REQUIRE(explain(p, question(), parts(), 0, out) == fault{});
    REQUIRE_FALSE(out.cut());
    std::string text{out.view()};
    CHECK(test::recalculated(text).expressions > 20);
    return text;
  }
};

/// The number that a derivation gives for a figure; NaN where it does not tell the figure.
double told_in(const std::string& text, std::string_view figure) {
  const std::vector<std::string> lines = test::lines_of(text);
  double value = not_a_number;
  bool here = false;
  for (const std::string& line : lines) {
    if (!line.starts_with("   ")) here = line == "  " + std::string{figure};
    if (!here || !line.starts_with("    ")) continue;
    const char* told = line.c_str() + (line.starts_with("    = ") ? 6 : 4);
    if (*told >= '0' && *told <= '9') value = std::strtod(told, nullptr);
  }
  return value;
}
bool says(const std::string& text, std::string_view words) { return text.find(words) != std::string::npos; }

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

  const std::string text = s.explained(p);
  CAPTURE(text);
  const volts set_to = p.outputs[0].set_to;
  CHECK(told_in(text, "output voltage that the trim is set to, in tenths of a volt") == set_to.v);
  CHECK(says(text, "towards 24 V in the middle of the lamps behind it"));
  // oracle: power goes with the voltage where lamps hold their current; 5 digits are printed
  const double load = p.outputs[0].load.v * (set_to / 24_V);
  CHECK(test::close_rel(told_in(text, "load as trimmed"), load, 1e-4));
  CHECK(test::close_rel(told_in(text, "headroom that is really left, as a share of the load"),
                        p.outputs[0].check.capacity.v / load - 1, 1e-4));
  for (const finding& each : p.findings)
    if (each.code == finding_code::driver_capacity)
      CHECK(test::close_rel(told_in(text, "capacity asked for"), each.value, 1e-4));
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
  const std::string text = s.explained(p);
  CHECK(told_in(text, "output voltage that the trim is set to, in tenths of a volt") == 23.7);
  CHECK(says(text, "below the 24 V that are delivered"));
  CHECK(says(text, "may see 24.2 V"));
  CHECK_FALSE(says(text, "load as trimmed"));
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

TEST_CASE("a driver is not set down where a short circuit at a far end would then not open its fuse") {
  trimmed_shelf s;
  s.drivers[0].overload_limit = {};  // its maker states no limit: a fuse is needed
  s.devices = {small_job::devices[1]};
  REQUIRE(s.devices[0].rated == 10_A);
  s.runs[0].measured = 0.5_m;
  s.tapes[0].highest = 24.2_V;  // set to 23.7 V
  // by hand, as for the fuse of output_wiring_test.cpp: at 24 V it opens at the end of 55.8 m of 1.5 mm2, 2.6 m of
  // them beside the way told here; at 23.7 V at the end of 55.8 * 23.7 / 24 = 55.1 m
  s.runs[0].from_controller = 52.4_m;
  const plan near = s.planned();
  CHECK(near.fits);
  CHECK(near.outputs[0].set_to == volts{23.7});
  CHECK(near.outputs[0].device == 0);
  // what is told is the current at the voltage that it is set to
  const auto far_end = std::find_if(near.findings.begin(), near.findings.end(),
                                    [](const finding& f) { return f.code == finding_code::far_end_fault; });
  REQUIRE(far_end != near.findings.end());
  CHECK(far_end->value == near.outputs[0].protection.fault_current.v);
  CHECK(far_end->utilisation == near.outputs[0].protection.fault_utilisation);
  const amps set_down = near.outputs[0].protection.fault_current;
  const volts lowest = s.drivers[0].trim_low;
  s.drivers[0].trim_low = 24_V;  // nothing to set down
  const auto delivered = make_plan(s.question(), s.parts(), s.storage->space());
  REQUIRE(delivered.ok());
  CHECK(delivered->outputs[0].set_to == volts{});
  // the current goes with the voltage: a few roundings
  CHECK(test::close_rel(set_down / delivered->outputs[0].protection.fault_current, 23.7 / 24, 1e-15));
  s.drivers[0].trim_low = lowest;
  s.runs[0].from_controller = 52.7_m;
  const auto far = make_plan(s.question(), s.parts(), s.storage->space());
  REQUIRE(far.ok());
  CHECK(!far->fits);
  CHECK(far->outputs[0].device == 0);
  CHECK(far->outputs[0].set_to == volts{});
}
