// SPDX-License-Identifier: BSL-1.0
// One frame through every limit: the moment's, the average's, the soft ramp, and what was held back.
#pragma once

#include <cstdint>

#include "tapewright/firmware/channel_guard.hpp"
#include "tapewright/firmware/guard_settings.hpp"
#include "tapewright/firmware/sustained_limit.hpp"

namespace tapewright {

/// What a guard remembers from frame to frame: 20 bytes, the caller's. As made by default: dark for long, so
/// that the whole peak is there, reached with the ramp of the limits from 0 (a soft start).
/// Other limits may be put in between frames; set the state anew when the weights differ.
struct guard_state {
  load_average average;
  std::uint32_t budget = 0;          ///< of the last frame, in load units
  std::uint32_t limited_frames = 0;  ///< frames of which something was held back; stays at 2^32 - 1
  held_back last;                    ///< what the last frame lost
};

namespace detail {

/// The budget of the next frame.
[[gnu::always_inline]] constexpr std::uint32_t next_budget(const guard_limits& limits,
                                                           const guard_state& state) noexcept {
  const std::uint32_t risen = state.budget + limits.rise;  // both below 2^31
  const std::uint32_t allowed = sustained_budget(limits, state.average.average);
  return risen < allowed ? risen : allowed;
}

/// Remembers a frame. A scaled one carries at most its budget; to count it as all of it errs on the safe side.
[[gnu::always_inline]] constexpr held_back remember(const guard_limits& limits, guard_state& state,
                                                    std::uint32_t budget, const asked_load& asked,
                                                    held_back taken) noexcept {
  state.average.take(asked.load < budget ? asked.load : budget, limits.average_shift);
  state.budget = budget;
  state.last = taken;
  if (taken.limited() && state.limited_frames != 0xffffffffu) [[unlikely]]
    ++state.limited_frames;
  return taken;
}

}  // namespace detail

/// Lets a frame through, as `guard` does, within the least of three budgets: the peak, what the sustained limit
/// leaves (sustained_limit.hpp), and the last budget plus `rise`.
///
/// A budget may fall at once, because a limit comes before looks; what the sustained limit takes it takes softly,
/// and no budget rises by more than `rise`, so that neither shows as a step in the light.
/// @return  what was held back; also in state.last. Misuse as in `guard`; the frame then counts as limited,
///          and as dark in the average.
constexpr held_back guard_frame(const guard_limits& limits, guard_state& state, const std::uint16_t* in,
                                std::uint16_t* out) noexcept {
  const std::uint32_t budget = detail::next_budget(limits, state);
  detail::asked_load asked;
  const held_back taken = detail::let_through(limits, budget, in, out, asked);
  return detail::remember(limits, state, budget, asked, taken);
}

}  // namespace tapewright
