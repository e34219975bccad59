// SPDX-License-Identifier: BSL-1.0
// One run checked whole, as firmware with room for it would: tape, cable, driver, connector, fuse, in double.
#pragma once

#include <cstdint>

#include "tapewright/sizing/connector_check.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/feeder_size.hpp"
#include "tapewright/sizing/overcurrent_choice.hpp"
#include "tapewright/sizing/tape_load.hpp"

namespace firmware_bench {

/// The parts of a run, and where it is.
struct run_question {
  tapewright::tape tape;
  tapewright::metres length, route;
  tapewright::cable cable;
  tapewright::connector feed;
  tapewright::driver driver;
  tapewright::overcurrent_device fuse;
  tapewright::celsius ambient;
};

struct run_answer {
  tapewright::volts drop, least_drop;
  tapewright::square_millimetres area;  ///< least that keeps the drop
  double cable_use, driver_use, connector_use, fuse_use;
  bool fits;
};

/// False where a figure is refused.
extern "C" bool size_run(const run_question& q, run_answer& a) noexcept;

}  // namespace firmware_bench
