// SPDX-License-Identifier: BSL-1.0
// The guard of one frame: duties in, duties out, and never more load than the limits allow.
#pragma once

#include <cstdint>

#include "tapewright/firmware/guard_settings.hpp"
#include "tapewright/firmware/whole_numbers.hpp"

namespace tapewright {

/// What a guard took from a frame, in one word so that it comes back in one register.
struct held_back {
  std::uint32_t word = 0;  ///< bits 0..15: share; 16: clipped; 17: scaled; 18: misused

  static constexpr std::uint32_t clipped_bit = 1u << 16, scaled_bit = 1u << 17, misused_bit = 1u << 18;

  /// Taken from every channel alike, in 1/65536, rounded down; 65535 = all of it.
  constexpr std::uint32_t share() const noexcept { return word & 0xffff; }
  /// A channel met its own limit.
  constexpr bool clipped() const noexcept { return (word & clipped_bit) != 0; }
  /// All together met the budget.
  constexpr bool scaled() const noexcept { return (word & scaled_bit) != 0; }
  /// Nothing could be let through: all channels were kept dark.
  constexpr bool misused() const noexcept { return (word & misused_bit) != 0; }
  constexpr bool limited() const noexcept { return word != 0; }

  friend constexpr bool operator==(held_back, held_back) noexcept = default;
};

namespace detail {

/// A frame under way: what the channels ask for after their own limits.
struct asked_load {
  std::uint32_t load = 0;
  std::uint32_t clipped = 0;  ///< held_back::clipped_bit, or 0
};

/// Keeps a rare case a branch: done as conditional instructions it would cost every channel of every frame.
[[gnu::always_inline]] constexpr void stay_a_branch() noexcept {
  if (!__builtin_is_constant_evaluated()) __asm__("");
}

// A caller's array may hold fewer than 8 duties. What follows never goes past limits.channels, but where that is
// a run-time figure GCC sees only that it might, and warns.
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Warray-bounds"
#pragma GCC diagnostic ignored "-Wstringop-overflow"
#endif
/// One channel: its own limit, its part of the load. weight * duty <= 32767 * 65535 < 2^31, and so is the sum.
[[gnu::always_inline]] constexpr void take_channel(const guard_limits& limits, const std::uint16_t* in,
                                                   std::uint16_t* out, std::uint32_t c,
                                                   asked_load& asked) noexcept {
  std::uint16_t duty = in[c];
  const std::uint16_t most = limits.most_duty[c];
  if (duty > most) [[unlikely]] {
    duty = most;
    asked.clipped = held_back::clipped_bit;
    stay_a_branch();
  }
  out[c] = duty;
  asked.load += std::uint32_t{limits.weight[c]} * duty;
}

/// Brings a load above the budget down to it: every duty becomes floor(duty * budget / load), exactly.
///
/// With f = floor(2^16 budget / load), g = floor(duty * f / 2^16) is that figure or one less, since
/// duty * budget / load - g < duty / 2^16 + 1 < 2. The rest duty * budget - g * load is therefore in
/// [0, 2 load), below 2^32: its low word is all of it, for which 32-bit products do. It tells which.
/// Bounds: budget < load < 2^31; f <= 65535; duty * f <= 65535^2 < 2^32.
[[gnu::noinline]] constexpr std::uint32_t scale_to(std::uint32_t budget, std::uint32_t load,
                                                   std::uint16_t* duty, std::uint32_t channels) noexcept {
  const std::uint32_t factor = whole::factor(budget, load);
  do {
    const std::uint32_t d = *duty;
    const std::uint32_t g = d * factor >> 16;
    const auto rest = static_cast<std::uint32_t>(std::uint64_t{d} * budget - std::uint64_t{g} * load);
    *duty++ = static_cast<std::uint16_t>(g + (rest >= load ? 1 : 0));
  } while (--channels != 0);
  return factor;
}

/// True where writing out[c] from the last channel to the first could overwrite an in[c] still to be read: `out`
/// begins up to 15 duties before `in`. Also true, to no harm, where two arrays only come that close.
[[gnu::always_inline]] inline bool lies_before(const std::uint16_t* out, const std::uint16_t* in) noexcept {
  const auto read = reinterpret_cast<std::uintptr_t>(in), written = reinterpret_cast<std::uintptr_t>(out);
  return written < read && read - written < sizeof(std::uint16_t) * most_guard_channels;
}

/// Copies the duties from the first to the last: safe where `out` lies before `in`.
[[gnu::noinline]] constexpr void bring_down(const guard_limits& limits, const std::uint16_t* in,
                                            std::uint16_t* out) noexcept {
  for (std::uint32_t c = 0; c < limits.channels && c < most_guard_channels; ++c) out[c] = in[c];
}

constexpr held_back keep_dark(const guard_limits& limits, std::uint16_t* out) noexcept {
  if (out != nullptr)
    for (std::uint32_t c = 0; c < limits.channels && c < most_guard_channels; ++c) out[c] = 0;
  return {65535 | held_back::misused_bit};
}

#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic pop
#endif

/// All channels have been taken; what they ask for together is let through or scaled.
[[gnu::always_inline]] constexpr held_back settle(const guard_limits& limits, std::uint32_t budget,
                                                  std::uint16_t* out, const asked_load& asked) noexcept {
  if (asked.load <= budget) return {asked.clipped};
  const std::uint32_t factor = scale_to(budget, asked.load, out, limits.channels);
  return {(65535 - factor) | asked.clipped | held_back::scaled_bit};
}

[[gnu::always_inline]] constexpr held_back pass_through(const guard_limits& limits, std::uint32_t budget,
                                                        const std::uint16_t* in, std::uint16_t* out,
                                                        asked_load& asked) noexcept {
  switch (limits.channels) {  // from the last channel to the first, without a loop to count
    case 8: take_channel(limits, in, out, 7, asked); [[fallthrough]];
    case 7: take_channel(limits, in, out, 6, asked); [[fallthrough]];
    case 6: take_channel(limits, in, out, 5, asked); [[fallthrough]];
    case 5: take_channel(limits, in, out, 4, asked); [[fallthrough]];
    case 4: take_channel(limits, in, out, 3, asked); [[fallthrough]];
    case 3: take_channel(limits, in, out, 2, asked); [[fallthrough]];
    case 2: take_channel(limits, in, out, 1, asked); [[fallthrough]];
    case 1: take_channel(limits, in, out, 0, asked); break;
    default: return keep_dark(limits, out);
  }
  return settle(limits, budget, out, asked);
}

/// The guard with any budget. `asked` comes back with the load before scaling; 0 where nothing is let through.
[[gnu::always_inline]] constexpr held_back let_through(const guard_limits& limits, std::uint32_t budget,
                                                       const std::uint16_t* in, std::uint16_t* out,
                                                       asked_load& asked) noexcept {
  if (in == nullptr || out == nullptr) [[unlikely]]
    return keep_dark(limits, out);
  if (__builtin_is_constant_evaluated()) {  // the compiler compares no unrelated pointers, so it always copies
    std::uint16_t copy[most_guard_channels] = {};
    bring_down(limits, in, copy);
    return pass_through(limits, budget, copy, out, asked);
  }
  if (lies_before(out, in)) [[unlikely]] {
    bring_down(limits, in, out);
    in = out;  // in place now
  }
  return pass_through(limits, budget, in, out, asked);
}

}  // namespace detail

/// Lets a frame of duties through as far as the limits allow.
///
/// @param limits  made by `configure`.
/// @param in      `limits.channels` duties, 65535 = always on. Null counts as misuse.
/// @param out     as many, written whole. May be `in` itself, or overlap it in any way: as if `in` had been
///                copied first. Null counts as misuse.
/// @return        what was held back. Limits that were never configured (0 channels), more than 8 channels, and
///                null pointers are misuse: every channel that there is goes dark, and the answer says so.
/// Formula  d = min(in, most_duty) for each channel; load = sum of weight * d;
///          out = d where load <= peak, otherwise floor(d * peak / load) for all channels alike
/// Laws     never above a limit: sum weight floor(d peak / load) <= peak. A frame within the limits leaves as it
///          came. One factor for all channels: colour is kept but for whole steps, unless a channel is at its
///          own limit. More asked of a channel never gives it less, since d / (rest + weight d) rises with d, and
///          floor keeps the order; a higher limit never gives less.
/// Exact    the same words on every processor: the quotients are exact, by whichever way they are found.
[[gnu::always_inline]] constexpr held_back guard(const guard_limits& limits, const std::uint16_t* in,
                                                 std::uint16_t* out) noexcept {
  detail::asked_load asked;
  return detail::let_through(limits, limits.peak, in, out, asked);
}

}  // namespace tapewright
