// SPDX-License-Identifier: BSL-1.0
// Ramps five channels through the guard of a shop window and prints what happened; the exit code is 0 if no limit was
// ever passed. The same source runs on the boards and on a computer.
#include <cstdint>

#include "console.hpp"
#include "shop_window.hpp"
#include "tapewright/firmware/guarded_frame.hpp"
#include "tapewright/firmware/phase_plan.hpp"
#include "tapewright/firmware/startup_check.hpp"

using namespace tapewright;
using console::write;
using console::write_number;

namespace {

constexpr guard_limits limits = shop_window::limits;
constexpr guard_settings settings = shop_window::basis.settings;

/// Milliamperes of a frame, from the stated currents, rounded up: not the guard's own arithmetic.
std::uint32_t milliamps(const std::uint16_t* duty) noexcept {
  std::uint64_t sum = 0;
  for (std::uint32_t c = 0; c < settings.channels; ++c) sum += whole::product64(settings.full_ua[c], duty[c]);
  return whole::divided(sum, 65'535'000) + 1;
}

bool within_limits(const std::uint16_t* duty) noexcept {
  std::uint64_t sum = 0;
  for (std::uint32_t c = 0; c < settings.channels; ++c) {
    const std::uint64_t own = whole::product64(settings.full_ua[c], duty[c]);
    if (own > whole::product64(settings.channel_limit_ua[c], full_duty)) return false;
    sum += own;
  }
  return sum <= whole::product64(settings.total_limit_ua, full_duty);
}

void write_frame(const char* what, std::uint32_t number, const std::uint16_t* in, const std::uint16_t* out,
                 held_back taken) noexcept {
  write(what);
  write_number(number, 5);
  write("  asked");
  write_number(milliamps(in), 6);
  write(" mA  given");
  write_number(milliamps(out), 6);
  write(" mA  R G B CW WW");
  for (std::uint32_t c = 0; c < settings.channels; ++c) write_number(out[c], 6);
  write(taken.clipped() ? "  channel limit" : "");
  write(taken.scaled() ? "  all held back, 1/1000:" : "");
  if (taken.scaled()) write_number(taken.share() * 1000 >> 16, 4);
  write("\n");
}

/// All channels from dark to full in 20 steps, blue a little ahead.
bool ramp() noexcept {
  bool fits = true;
  for (std::uint32_t step = 0; step <= 20; ++step) {
    const auto duty = static_cast<std::uint16_t>(step * 3276);
    const auto blue = static_cast<std::uint16_t>(step > 17 ? 65535 : step * 3800);
    const std::uint16_t in[5] = {duty, duty, blue, duty, duty};
    std::uint16_t out[5] = {};
    const held_back taken = guard(limits, in, out);
    fits = fits && within_limits(out);
    write_frame("step ", step, in, out, taken);
  }
  return fits;
}

/// 30 s of everything at full: the ramp of the start, the short peak, and the way down to what may last.
bool stay() noexcept {
  bool fits = true;
  guard_state state;
  const std::uint16_t in[5] = {65535, 65535, 65535, 65535, 65535};
  for (std::uint32_t frame = 0; frame < 3000; ++frame) {
    std::uint16_t out[5] = {};
    const held_back taken = guard_frame(limits, state, in, out);
    fits = fits && within_limits(out) && state.average.average <= limits.sustained;
    if (frame % 300 == 10 || frame == 0 || frame == 2999) write_frame("frame", frame, in, out, taken);
  }
  write("limited frames: ");
  write_number(state.limited_frames);
  write("\n");
  return fits && state.limited_frames > 0;
}

/// Before all that: what the converter reads. Green is not connected today.
bool start_up() noexcept {
  constexpr startup_settings expected =
      *startup_settings_of(shop_window::colours, shop_window::supply, shop_window::site.length, 1000, 100);
  startup_limits bands;
  if (configure(expected, bands)) return false;
  startup_check check;
  for (int sample = 0; sample < 4; ++sample) {
    check.take_supply(bands, 2412);
    for (std::uint32_t c = 0; c < expected.channels; ++c)
      check.take_channel(bands, c, static_cast<std::uint16_t>(c == 1 ? 3 : expected.channel_counts[c]));
  }
  for (const startup_finding& f : check.findings(bands)) {
    write("start-up: channel ");
    write_number(static_cast<std::uint32_t>(f.channel));
    write(": ");
    write(text_of(f.code).data());  // a literal: ends with a zero byte
    write("; reads ");
    write_number(f.counts);
    write(", should read ");
    write_number(f.least);
    write(" to ");
    write_number(f.most - 1u);
    write("\n");
  }
  return check.settled(bands) && check.findings(bands).size() == 1;
}

/// A warm white scene: when should each channel switch on?
bool phases() noexcept {
  phase_question q{.channels = 5, .current = {}, .duty = {20000, 15000, 5000, 24000, 52000}};
  for (std::uint32_t c = 0; c < 5; ++c) q.current[c] = whole::divided(settings.full_ua[c], 1000);
  phase_plan plan;
  if (plan_phases(q, plan)) return false;
  write("common core, mA: peak");
  write_number(plan.before.peak, 6);
  write(" ->");
  write_number(plan.after.peak, 6);
  write(", r.m.s.");
  write_number(plan.before.rms(), 6);
  write(" ->");
  write_number(plan.after.rms(), 6);
  write("; switch on at");
  for (std::uint32_t c = 0; c < 5; ++c) write_number(plan.offset[c], 6);
  write(" of 65535\n");
  return plan.proved;
}

}  // namespace

int main() {
  write("limits, mA: at any moment");
  write_number(whole::divided(settings.total_limit_ua, 1000), 6);
  write(", on average");
  write_number(whole::divided(settings.sustained_limit_ua, 1000), 6);
  write(", a channel");
  write_number(whole::divided(settings.channel_limit_ua[0], 1000), 6);
  write("\n");
  const bool started = start_up();
  const bool ramped = ramp();
  const bool stayed = stay();
  const bool planned = phases();
  const bool fits = started && ramped && stayed && planned;
  write(fits ? "no limit was passed\n" : "A LIMIT WAS PASSED\n");
  return fits ? 0 : 1;
}
