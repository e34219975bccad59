// SPDX-License-Identifier: BSL-1.0
// Sizing figure by figure, as firmware would do it: drop, gauge, driver, connector, fuse, in double.
#pragma once

#include "tapewright/parts/driver.hpp"
#include "tapewright/parts/overcurrent_device.hpp"

namespace firmware_bench {

struct scalar_question {
  tapewright::amps common, own;  ///< of the shared core and of one channel
  tapewright::metres one_way;
  tapewright::volts nominal;
  double drop_limit, headroom;
  tapewright::watts load;
  tapewright::derating_curve derating;
  tapewright::watts rated;
  tapewright::celsius ambient;
  tapewright::amps contact;
  tapewright::celsius contact_ambient, contact_limit;
  tapewright::overcurrent_device fuse;
  tapewright::amps ampacity, source_limit;
};

struct scalar_answer {
  tapewright::square_millimetres exact, made;  ///< section for the drop; the next one that is made
  tapewright::volts drop;                      ///< with that
  tapewright::watts needed, available;         ///< of the driver
  tapewright::amps contact;
  double fuse_use;
  bool fits;
};

/// False where a figure is refused or no conductor is thick enough.
extern "C" bool size_scalars(const scalar_question& q, scalar_answer& a) noexcept;

}  // namespace firmware_bench
