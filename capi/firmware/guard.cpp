// SPDX-License-Identifier: BSL-1.0
// The guard's C interface over include/tapewright/firmware: checks pointers, calls, converts. Needs the compiler alone.
#include "tapewright_guard.h"

#include <cstddef>
#include <cstdint>
#include <type_traits>

#include "tapewright/firmware/guarded_frame.hpp"
#include "tapewright/firmware/phase_plan.hpp"
#include "tapewright/firmware/pixel_budget.hpp"
#include "tapewright/firmware/startup_check.hpp"

using namespace tapewright;

namespace {

// ---- structures that are the same bytes on both sides --------------------------------------------------------

template <class C, class Cpp>
constexpr bool same_bytes =
    sizeof(C) == sizeof(Cpp) &&
    alignof(C) == alignof(Cpp) && std::is_trivially_copyable_v<Cpp>&& std::is_standard_layout_v<Cpp>;
static_assert(same_bytes<tw_guard_settings, guard_settings> && same_bytes<tw_guard_limits, guard_limits> &&
              same_bytes<tw_guard_state, guard_state> && same_bytes<tw_guard_pixels, pixel_settings> &&
              same_bytes<tw_guard_pixel_sum, pixel_sum> && same_bytes<tw_guard_pixel_scaler, pixel_scaler> &&
              same_bytes<tw_guard_phases, phase_question> && same_bytes<tw_guard_startup, startup_settings> &&
              same_bytes<tw_guard_startup_limits, startup_limits> &&
              same_bytes<tw_guard_startup_check, startup_check>);
static_assert(offsetof(tw_guard_settings, total_limit_ua) == offsetof(guard_settings, total_limit_ua) &&
              offsetof(tw_guard_settings, rise_ua) == offsetof(guard_settings, rise_ua) &&
              offsetof(tw_guard_pixels, limit_ua) == offsetof(pixel_settings, limit_ua) &&
              offsetof(tw_guard_phases, duty) == offsetof(phase_question, duty) &&
              offsetof(tw_guard_startup, steady_samples) == offsetof(startup_settings, steady_samples) &&
              offsetof(tw_guard_startup, supply_share) == offsetof(startup_settings, supply_share));
static_assert(most_guard_channels == TW_GUARD_CHANNELS);

/// Somebody's storage as ours. Writing it goes through memcpy first (`store`), which makes our object in it.
template <class Cpp, class C>
const Cpp& as(const C* theirs) noexcept {
  static_assert(same_bytes<C, Cpp>);
  return *__builtin_launder(reinterpret_cast<const Cpp*>(theirs));
}
template <class Cpp, class C>
Cpp& as(C* theirs) noexcept {
  static_assert(same_bytes<C, Cpp>);
  return *__builtin_launder(reinterpret_cast<Cpp*>(theirs));
}
template <class C, class Cpp>
void store(C* theirs, const Cpp& ours) noexcept {
  static_assert(same_bytes<C, Cpp>);
  __builtin_memcpy(theirs, &ours, sizeof ours);
}

// ---- faults ----------------------------------------------------------------------------------------------

tw_guard_status tell(tw_guard_fault* why, const whole_fault& f) noexcept {
  if (why != nullptr)
    *why = {static_cast<std::int32_t>(f.code),
            static_cast<std::int32_t>(f.field),
            f.item,
            f.given,
            f.least,
            f.most};
  return static_cast<tw_guard_status>(f.code);
}
constexpr whole_fault null_pointer(std::int32_t argument) noexcept {
  return {fault_code::null_pointer, field::pointer, argument, 0, 1, 1};
}
/// The fault of the first null among a call's pointers, counted from 0.
template <class... Pointers>
whole_fault refuse_null(const Pointers*... each) noexcept {
  whole_fault first;
  std::int32_t argument = 0;
  ((each == nullptr && !first ? void(first = null_pointer(argument)) : void(), ++argument), ...);
  return first;
}

static_assert(TW_GUARD_NULL_POINTER == static_cast<int>(fault_code::null_pointer) &&
              TW_GUARD_OUT_OF_RANGE == static_cast<int>(fault_code::out_of_range));
static_assert(TW_GUARD_FIELD_SHARE == static_cast<int>(field::share) &&
              TW_GUARD_FIELD_POINTER == static_cast<int>(field::pointer) &&
              TW_GUARD_FIELD_CHANNELS == static_cast<int>(field::guard_channels) &&
              TW_GUARD_FIELD_FULL == static_cast<int>(field::full_current) &&
              TW_GUARD_FIELD_CHANNEL_LIMIT == static_cast<int>(field::guard_channel_limit) &&
              TW_GUARD_FIELD_TOTAL_LIMIT == static_cast<int>(field::guard_total_limit) &&
              TW_GUARD_FIELD_SUSTAINED_LIMIT == static_cast<int>(field::guard_sustained_limit) &&
              TW_GUARD_FIELD_AVERAGE_SHIFT == static_cast<int>(field::average_shift) &&
              TW_GUARD_FIELD_SOFTNESS == static_cast<int>(field::softness) &&
              TW_GUARD_FIELD_PIXEL_BYTES == static_cast<int>(field::pixel_bytes) &&
              TW_GUARD_FIELD_COLOUR == static_cast<int>(field::colour_current) &&
              TW_GUARD_FIELD_PIXEL_IDLE == static_cast<int>(field::pixel_idle_current) &&
              TW_GUARD_FIELD_PHASE_CURRENT == static_cast<int>(field::phase_current) &&
              TW_GUARD_FIELD_COUNTS == static_cast<int>(field::counts) &&
              TW_GUARD_FIELD_STEADINESS == static_cast<int>(field::steadiness));
static_assert(TW_GUARD_SHARE(held_back::scaled_bit | 7u) == 7 && TW_GUARD_CLIPPED(held_back::clipped_bit) &&
              TW_GUARD_SCALED(held_back::scaled_bit) && TW_GUARD_MISUSED(held_back::misused_bit));
static_assert(TW_GUARD_KEEP_ALL == full_keep);
static_assert(TW_GUARD_FITS == static_cast<int>(startup_code::fits) &&
              TW_GUARD_OPEN == static_cast<int>(startup_code::open) &&
              TW_GUARD_UNDER_CURRENT == static_cast<int>(startup_code::under_current) &&
              TW_GUARD_OVER_CURRENT == static_cast<int>(startup_code::over_current) &&
              TW_GUARD_SHORTED == static_cast<int>(startup_code::shorted) &&
              TW_GUARD_SUPPLY_LOW == static_cast<int>(startup_code::supply_low) &&
              TW_GUARD_SUPPLY_HIGH == static_cast<int>(startup_code::supply_high));

}  // namespace

int32_t tw_guard_version(void) { return TW_GUARD_VERSION; }

// ---- limits and frames ---------------------------------------------------------------------------------------

tw_guard_status tw_guard_configure(const tw_guard_settings* settings, tw_guard_limits* limits,
                                   tw_guard_fault* why) {
  guard_limits made;
  whole_fault f = refuse_null(settings, limits);
  if (settings != nullptr && !f) f = configure(as<guard_settings>(settings), made);
  if (limits != nullptr) store(limits, made);
  return tell(why, f);
}

tw_guard_held tw_guard(const tw_guard_limits* limits, const uint16_t* in, uint16_t* out) {
  if (limits == nullptr) return 65535 | held_back::misused_bit;
  return guard(as<guard_limits>(limits), in, out).word;
}

void tw_guard_begin(tw_guard_state* state) {
  if (state != nullptr) store(state, guard_state{});
}

tw_guard_held tw_guard_frame(const tw_guard_limits* limits, tw_guard_state* state, const uint16_t* in,
                             uint16_t* out) {
  if (limits == nullptr) return 65535 | held_back::misused_bit;
  if (state == nullptr) return tapewright::detail::keep_dark(as<guard_limits>(limits), out).word;
  return guard_frame(as<guard_limits>(limits), as<guard_state>(state), in, out).word;
}

uint32_t tw_guard_limited_frames(const tw_guard_state* state) {
  return state == nullptr ? 0 : as<guard_state>(state).limited_frames;
}
tw_guard_held tw_guard_last(const tw_guard_state* state) {
  return state == nullptr ? 0 : as<guard_state>(state).last.word;
}

// ---- addressable tape ------------------------------------------------------------------------------------

tw_guard_status tw_guard_pixels_add(tw_guard_pixel_sum* sum, const uint8_t* from, uint32_t count,
                                    uint32_t bytes) {
  if (sum == nullptr || (from == nullptr && count != 0)) return TW_GUARD_NULL_POINTER;
  return as<pixel_sum>(sum).add(from, count, bytes) ? TW_GUARD_OK : TW_GUARD_OUT_OF_RANGE;
}

tw_guard_status tw_guard_pixels_load(const tw_guard_pixel_sum* sum, const tw_guard_pixels* pixels,
                                     tw_guard_pixel_load* load, tw_guard_fault* why) {
  whole_fault f = refuse_null(sum, pixels, load);
  if (pixels != nullptr && !f) f = check(as<pixel_settings>(pixels));
  pixel_load made;
  if (!f) made = load_of(as<pixel_sum>(sum), as<pixel_settings>(pixels));
  if (load != nullptr) *load = {made.lit, made.idle, made.keep, made.idle_above_limit ? 1u : 0u};
  return tell(why, f);
}

tw_guard_status tw_guard_pixels_scale(tw_guard_pixel_scaler* scaler, uint8_t* pixels, uint32_t count,
                                      uint32_t bytes, uint32_t keep) {
  if (scaler == nullptr || (pixels == nullptr && count != 0)) return TW_GUARD_NULL_POINTER;
  return as<pixel_scaler>(scaler).scale(pixels, count, bytes, keep) ? TW_GUARD_OK : TW_GUARD_OUT_OF_RANGE;
}

// ---- phases ----------------------------------------------------------------------------------------------

tw_guard_status tw_guard_plan_phases(const tw_guard_phases* phases, tw_guard_phase_plan* plan,
                                     tw_guard_fault* why) {
  whole_fault f = refuse_null(phases, plan);
  phase_plan made;
  if (phases != nullptr && !f) f = plan_phases(as<phase_question>(phases), made);
  if (plan != nullptr) {
    for (std::uint32_t c = 0; c < most_guard_channels; ++c) plan->offset[c] = made.offset[c];
    plan->peak_before = made.before.peak;
    plan->rms_before = made.before.rms();
    plan->peak_after = made.after.peak;
    plan->rms_after = made.after.rms();
    plan->proved = made.proved ? 1 : 0;
  }
  return tell(why, f);
}

// ---- checks at start-up --------------------------------------------------------------------------------------

tw_guard_status tw_guard_startup_configure(const tw_guard_startup* startup, tw_guard_startup_limits* limits,
                                           tw_guard_fault* why) {
  startup_limits made;
  whole_fault f = refuse_null(startup, limits);
  if (startup != nullptr && !f) f = configure(as<startup_settings>(startup), made);
  if (limits != nullptr) store(limits, made);
  return tell(why, f);
}

void tw_guard_startup_begin(tw_guard_startup_check* check) {
  if (check != nullptr) store(check, startup_check{});
}
void tw_guard_startup_supply(tw_guard_startup_check* check, const tw_guard_startup_limits* limits,
                             uint16_t counts) {
  if (check != nullptr && limits != nullptr)
    as<startup_check>(check).take_supply(as<startup_limits>(limits), counts);
}
void tw_guard_startup_channel(tw_guard_startup_check* check, const tw_guard_startup_limits* limits,
                              uint32_t channel, uint16_t counts) {
  if (check != nullptr && limits != nullptr)
    as<startup_check>(check).take_channel(as<startup_limits>(limits), channel, counts);
}
int32_t tw_guard_startup_settled(const tw_guard_startup_check* check, const tw_guard_startup_limits* limits) {
  if (check == nullptr || limits == nullptr) return 0;
  return as<startup_check>(check).settled(as<startup_limits>(limits)) ? 1 : 0;
}
uint32_t tw_guard_startup_findings(const tw_guard_startup_check* check, const tw_guard_startup_limits* limits,
                                   tw_guard_finding* findings, uint32_t room) {
  if (check == nullptr || limits == nullptr || (findings == nullptr && room != 0)) return 0;
  const startup_findings found = as<startup_check>(check).findings(as<startup_limits>(limits));
  std::uint32_t at = 0;
  for (const startup_finding& f : found) {
    if (at < room) findings[at] = {static_cast<std::int32_t>(f.code), f.channel, f.counts, f.least, f.most};
    ++at;
  }
  return at;
}
