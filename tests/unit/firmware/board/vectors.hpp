// SPDX-License-Identifier: BSL-1.0
// Test vectors of the guard, made and folded in 32-bit arithmetic so that the smallest board makes them too: one word
// for each subject, equal on every processor.
#pragma once

#include <cstdint>

#include "tapewright/firmware/guarded_frame.hpp"
#include "tapewright/firmware/phase_plan.hpp"
#include "tapewright/firmware/pixel_budget.hpp"
#include "tapewright/firmware/startup_check.hpp"
#include "tapewright_guard.h"

namespace tapewright::test {

/// xorshift32. Source: G. Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003), triple 13, 17, 5.
struct small_random {
  std::uint32_t state;

  constexpr std::uint32_t word() noexcept {
    state ^= state << 13;
    state ^= state >> 17;
    state ^= state << 5;
    return state;
  }
  /// 0..most; the bias is below 2^-32 (most + 1).
  constexpr std::uint32_t upto(std::uint32_t most) noexcept {
    return most == 0xffffffff ? word() : whole::product(word(), most + 1).high;
  }
};

/// FNV-1a over words, byte by byte of their value: G. Fowler, L. C. Noll, K.-P. Vo; 32-bit offset and prime.
struct fold {
  std::uint32_t hash = 2166136261u;

  constexpr void take(std::uint32_t word) noexcept {
    for (int shift = 0; shift < 32; shift += 8) {
      const std::uint32_t mixed = hash ^ (word >> shift & 255);
      hash = whole::product(mixed, 16777619u).low;  // modulo 2^32 as it is meant, without wrapping
    }
  }
  constexpr void take64(std::uint64_t word) noexcept {
    take(static_cast<std::uint32_t>(word));
    take(static_cast<std::uint32_t>(word >> 32));
  }
};

/// The word of each subject, and whether C and C++ gave the same everywhere.
struct vector_words {
  fold limits, frames, states, pixels, phases, startup;
  bool c_agrees = true;
};

inline guard_settings settings_from(small_random& random) noexcept {
  guard_settings s;
  s.channels = random.upto(7) + 1;
  std::uint32_t full = 0;
  const std::uint32_t most = 1000u << random.upto(17);  // 1 mA to 131 A
  for (std::uint32_t c = 0; c < s.channels; ++c) {
    s.full_ua[c] = random.upto(15) == 0 ? 0 : random.upto(most);
    s.channel_limit_ua[c] = random.upto(1) == 0 ? most : random.upto(most);
    full += s.full_ua[c];
  }
  s.total_limit_ua = random.upto(full + (full >> 3));
  s.sustained_limit_ua = random.upto(s.total_limit_ua);
  s.average_shift = random.upto(15) + 1;
  s.softness = random.upto(s.average_shift - 1);
  s.rise_ua = random.upto(1) == 0 ? 0 : random.upto(full);
  return s;
}

inline bool same_words(const void* a, const void* b, std::uint32_t bytes) noexcept {
  const auto* x = static_cast<const unsigned char*>(a);
  const auto* y = static_cast<const unsigned char*>(b);
  for (std::uint32_t i = 0; i < bytes; ++i)
    if (x[i] != y[i]) return false;
  return true;
}

inline void frame_vectors(vector_words& words, small_random& random) noexcept {
  const guard_settings s = settings_from(random);
  guard_limits l;
  const whole_fault f = configure(s, l);
  words.limits.take(static_cast<std::uint32_t>(f.code));
  words.limits.take(static_cast<std::uint32_t>(f.field));
  words.limits.take(f.given);
  words.limits.take(f.least);
  words.limits.take(f.most);
  words.limits.take(l.peak);
  words.limits.take(l.sustained);
  words.limits.take(l.soft_zone);
  words.limits.take(l.rise);
  for (std::uint32_t c = 0; c < most_guard_channels; ++c)
    words.limits.take(std::uint32_t{l.weight[c]} << 16 | l.most_duty[c]);

  tw_guard_settings cs;
  static_assert(sizeof cs == sizeof s);
  __builtin_memcpy(&cs, &s, sizeof cs);
  tw_guard_limits cl;
  words.c_agrees = words.c_agrees &&
                   tw_guard_configure(&cs, &cl, nullptr) == static_cast<std::int32_t>(f.code) &&
                   same_words(&cl, &l, sizeof l);
  guard_state state;
  tw_guard_state c_state;
  tw_guard_begin(&c_state);
  for (int frame = 0; frame < 32; ++frame) {
    std::uint16_t in[16] = {}, plain[8] = {}, out[8] = {}, c_out[8] = {};
    for (std::uint16_t& d : in)
      d = static_cast<std::uint16_t>(random.upto(7) == 0 ? 65535 : random.upto(65535));
    const held_back taken = guard(l, in, plain);
    words.frames.take(taken.word);
    for (const std::uint16_t d : plain) words.frames.take(d);
    words.c_agrees =
        words.c_agrees && tw_guard(&cl, in, c_out) == taken.word && same_words(plain, c_out, sizeof plain);

    const held_back framed = guard_frame(l, state, in, out);
    words.states.take(framed.word);
    for (const std::uint16_t d : out) words.states.take(d);
    words.states.take(state.budget);
    words.states.take(state.average.average);
    words.states.take(state.average.rest);
    words.states.take(state.limited_frames);
    words.c_agrees = words.c_agrees && tw_guard_frame(&cl, &c_state, in, c_out) == framed.word &&
                     same_words(out, c_out, sizeof out) &&
                     tw_guard_limited_frames(&c_state) == state.limited_frames;

    // in place, and shifted over itself either way
    std::uint16_t* const at = in + random.upto(8);
    guard(l, in, at);
    for (const std::uint16_t d : in) words.frames.take(d);
  }
}

inline void pixel_vectors(vector_words& words, small_random& random) noexcept {
  std::uint8_t buffer[96];
  for (std::uint8_t& b : buffer) b = static_cast<std::uint8_t>(random.upto(255));
  pixel_settings s;
  s.bytes = 3 + random.upto(1);
  for (std::uint32_t& ua : s.colour_ua) ua = random.upto(20'000);
  s.idle_ua = random.upto(1000);
  s.limit_ua = random.upto(1'500'000);
  pixel_sum sum;
  const std::uint32_t first = random.upto(24);
  sum.add(buffer, first, s.bytes);
  sum.add(buffer + first * s.bytes, 24 - first, s.bytes);
  const pixel_load load = load_of(sum, s);
  pixel_scaler scaler;
  scaler.scale(buffer, 24, s.bytes, load.keep);
  words.pixels.take64(load.lit);
  words.pixels.take64(load.idle);
  words.pixels.take(load.keep);
  for (const std::uint8_t b : buffer) words.pixels.take(b);
}

inline void phase_vectors(vector_words& words, small_random& random) noexcept {
  phase_question q;
  q.channels = random.upto(3) + 2;
  for (std::uint32_t c = 0; c < q.channels; ++c) {
    q.current[c] = random.upto(4000);
    q.duty[c] = static_cast<std::uint16_t>(random.upto(65535));
  }
  phase_plan plan;
  words.phases.take(static_cast<std::uint32_t>(plan_phases(q, plan).code));
  for (const std::uint16_t o : plan.offset) words.phases.take(o);
  words.phases.take64(plan.before.square);
  words.phases.take64(plan.after.square);
  words.phases.take(plan.after.peak);
  words.phases.take(plan.after.rms());
}

inline void startup_vectors(vector_words& words, small_random& random) noexcept {
  startup_settings s;
  s.channels = random.upto(7) + 1;
  s.supply_counts = random.upto(4000) + 1;
  for (std::uint32_t& counts : s.channel_counts) counts = random.upto(4000);
  s.steady_samples = random.upto(3) + 1;
  startup_limits l;
  words.startup.take(static_cast<std::uint32_t>(configure(s, l).code));
  startup_check check;
  for (int sample = 0; sample < 12; ++sample) {
    check.take_supply(l, static_cast<std::uint16_t>(s.supply_counts + random.upto(s.supply_counts >> 3)));
    for (std::uint32_t c = 0; c < s.channels; ++c)
      check.take_channel(l, c, static_cast<std::uint16_t>(random.upto(2 * s.channel_counts[c])));
    for (const startup_finding& f : check.findings(l)) {
      words.startup.take(static_cast<std::uint32_t>(f.code) << 16 | f.counts);
      words.startup.take(std::uint32_t{f.least} << 16 | f.most);
    }
  }
}

/// All vectors; `sets` sets of limits with 32 frames each.
inline vector_words make_vectors(int sets) noexcept {
  vector_words words;
  small_random random{20260201};
  for (int set = 0; set < sets; ++set) {
    frame_vectors(words, random);
    pixel_vectors(words, random);
    if (set % 8 == 0) phase_vectors(words, random);
    startup_vectors(words, random);
  }
  return words;
}

inline constexpr int board_sets = 1000;

}  // namespace tapewright::test
