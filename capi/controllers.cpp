// SPDX-License-Identifier: BSL-1.0
// C interface: what controllers carry, and how many a load needs.
#include "tapewright/sizing/controller_check.hpp"

#include <cstdint>

#include "answer.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// A controller of which only the currents are looked at, and the currents asked of it.
struct current_question {
  controller part;
  controller_duty duty;
  fault why;

  current_question(const double* channel_a, std::int32_t channels, double total_a, double channel_limit_a,
                   double total_limit_a, double terminal_a) noexcept {
    part.code = "limits";
    part.channels = static_cast<std::int32_t>(max_channels);
    part.channel_limit = amps{channel_limit_a};
    part.total_limit = amps{total_limit_a};
    part.lowest_input = volts{12};
    part.highest_input = volts{24};
    part.greatest_terminal = square_millimetres{1};
    part.terminal = amps{terminal_a};
    part.highest_ambient = celsius{40};
    duty.total = amps{total_a};
    duty.input = volts{24};
    why = channel_a == nullptr ? null_pointer(0) : from_c(duty.channel_current, channel_a, channels);
  }
};

}  // namespace

tw_status tw_controller_utilisation(const double* channel_a, int32_t channels, double total_a,
                                    double channel_limit_a, double total_limit_a, double terminal_a,
                                    double* channel_utilisation, double* total_utilisation,
                                    double* terminal_utilisation, tw_fault* why) {
  const current_question q{channel_a, channels, total_a, channel_limit_a, total_limit_a, terminal_a};
  return answer(unless(q.why, [&]() noexcept { return check_controller(q.part, q.duty); }), why,
                to(channel_utilisation, &controller_check::channel_utilisation),
                to(total_utilisation, &controller_check::total_utilisation),
                to(terminal_utilisation, &controller_check::terminal_utilisation));
}

tw_status tw_controllers_needed(const double* channel_a, int32_t channels, double total_a,
                                double channel_limit_a, double total_limit_a, double terminal_a,
                                int32_t* needed, int32_t* governed, tw_fault* why) {
  const current_question q{channel_a, channels, total_a, channel_limit_a, total_limit_a, terminal_a};
  return answer(
      unless(q.why,
             [&]() noexcept { return controllers_needed(q.part, q.duty.channel_current, q.duty.total); }),
      why, to(needed, &controller_count::needed), to(governed, &controller_count::by));
}

tw_status tw_check_controller(const tw_controller* controller, const tw_controller_duty* duty,
                              tw_controller_check* check, tw_fault* why) {
  const arrived<tw_controller, tapewright::controller> c{controller, 0};
  const arrived<tw_controller_duty, controller_duty> d{duty, 1};
  return answer(unless(first_fault(c.why, d.why), [&]() noexcept { return check_controller(c.row, d.row); }),
                why, to(check));
}
