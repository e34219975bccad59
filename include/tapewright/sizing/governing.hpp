// SPDX-License-Identifier: BSL-1.0
// How a value is held against its limit, and which of several limits governs a choice.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/core/text.hpp"

namespace tapewright {

// One line a limit: number (append-only), enumerator, text.
#define TAPEWRIGHT_LIMITS(X)                                                          \
  X(1, drop, "voltage drop")                                                          \
  X(2, ampacity, "current-carrying capacity of the conductor")                        \
  X(3, terminal, "conductor range of the terminal")                                   \
  X(4, code_minimum, "smallest section the code allows")                              \
  X(5, cores, "number of cores")                                                      \
  X(6, price, "price")                                                                \
  X(7, ampacity_unknown, "no published current and none stated by the maker")         \
  X(8, stock, "longest piece in stock")                                               \
  X(9, channel_current, "current of one channel")                                     \
  X(10, total_current, "current of all channels together")                            \
  X(11, terminal_current, "rated current of the terminal")                            \
  X(12, input_voltage, "input voltage range")                                         \
  X(13, polarity, "polarity of the common conductor")                                 \
  X(14, channels, "number of channels")                                               \
  X(15, ambient, "ambient temperature")                                               \
  X(16, capacity, "output power left at this ambient")                                \
  X(17, output_current, "output current left at this ambient")                        \
  X(18, least_load, "smallest load the maker allows")                                 \
  X(19, output_voltage, "output voltage")                                             \
  X(20, mains_voltage, "mains voltage range")                                         \
  X(21, limited_energy, "limited-energy class")                                       \
  X(22, mount, "plug-in or hardwired")                                                \
  X(23, ingress, "ingress protection")                                                \
  X(24, own_connector, "the driver's own output connector")                           \
  X(25, poles, "number of poles")                                                     \
  X(26, ways, "number of cables that meet")                                           \
  X(27, rated_voltage, "rated voltage")                                               \
  X(28, contact_current, "current of one contact at this ambient")                    \
  X(29, load_current, "load current against the rating (Ib <= In)")                   \
  X(30, cable_protection, "rating against the conductor (In <= Iz)")                  \
  X(31, operating_current, "operating current against the conductor (I2 <= 1.45 Iz)") \
  X(32, fault_current, "short-circuit current against the operating current")         \
  X(33, steady_current, "steady mains current")                                       \
  X(34, inrush, "inrush peak")                                                        \
  X(35, makers_count, "the maker's own count of drivers per breaker")                 \
  X(36, features, "control features wanted")                                          \
  X(37, code_maximum, "largest device the code allows on the conductor")

/// What decided: the limit that failed, or the one that is nearest to failing. Numbers never change.
enum class governed : std::int16_t {
  none = 0,
#define TAPEWRIGHT_ENUMERATOR(NUMBER, NAME, TEXT) NAME = NUMBER,
  TAPEWRIGHT_LIMITS(TAPEWRIGHT_ENUMERATOR)
#undef TAPEWRIGHT_ENUMERATOR
};

constexpr std::string_view text_of(governed g) noexcept {
  switch (g) {
    case governed::none: return "nothing";
#define TAPEWRIGHT_CASE(NUMBER, NAME, TEXT) \
  case governed::NAME: return TEXT;
      TAPEWRIGHT_LIMITS(TAPEWRIGHT_CASE)
#undef TAPEWRIGHT_CASE
  }
  return "unknown limit";
}

/// The rounding of binary fractions, as a share of a limit, that is not held against a design:
/// 100 W with a tenth of headroom are 110.00000000000001 W and still fit a driver of 110 W.
/// A billionth is far below the last digit of any data sheet. Source: design rule.
inline constexpr double rounding_share = 1e-9;

/// What utilisation() gives where something is asked of a limit of zero; the largest it ever gives.
inline constexpr double boundless_utilisation = 1e9;

/// value / limit, both >= 0. Nothing asked of nothing is 0; something asked of nothing, more than
/// boundless_utilisation, or a figure that was never found (NaN) is boundless_utilisation: what is not known
/// holds no limit. Above 1 the limit is broken (see `within`).
constexpr double utilisation(double value, double limit) noexcept {
  if (value <= 0 && !is_nan(limit)) return 0.0;
  if (!(value < limit * boundless_utilisation)) return boundless_utilisation;
  return value / limit;
}
template <class Unit>
constexpr double utilisation(quantity<Unit> value, quantity<Unit> limit) noexcept {
  return utilisation(value.v, limit.v);
}

/// True when a utilisation holds its limit, rounding aside.
constexpr bool within(double used) noexcept { return used <= 1 + rounding_share; }

/// True when a conductor fits a terminal that takes `least` to `greatest`; a terminal with both zero
/// is not one to fit (a soldered pad, a connector of its own) and takes anything.
/// Sections are compared as they are: an 18 AWG conductor (0.82 mm2) does not fit a terminal for up
/// to 0.75 mm2, although trade lists pair the two. Only the maker can say so.
constexpr bool takes(square_millimetres least, square_millimetres greatest,
                     square_millimetres conductor) noexcept {
  if (least.v == 0 && greatest.v == 0) return true;
  return least.v <= conductor.v * (1 + rounding_share) && conductor.v <= greatest.v * (1 + rounding_share);
}

namespace detail {

/// Gathers the limits of one decision, in the order in which a fitter would look at them. The first
/// broken yes-or-no limit governs; without one, the limit that is used most.
struct verdict {
  bool fits = true;
  governed by = governed::none;
  double greatest = 0;      ///< greatest utilisation seen
  std::int32_t broken = 0;  ///< yes-or-no limits that are broken

  constexpr void must(governed limit, bool held) noexcept {
    if (held) return;
    if (broken == 0) by = limit;
    ++broken;
    fits = false;
  }
  constexpr void use(governed limit, double used) noexcept {
    if (!within(used)) fits = false;
    if (broken == 0 && used > greatest) by = limit;
    if (used > greatest) greatest = used;
  }
};

/// The place of one candidate among others. Those that fit come first, by known price, then by size,
/// then by code; those that do not come by how little they miss, so that the first is the nearest.
struct standing {
  bool fits = false;
  std::int32_t broken = 0;  ///< yes-or-no limits that are broken
  double greatest = 0;      ///< greatest utilisation
  long long price = 0;      ///< 0 = not known
  double size = 0;
  std::string_view code;
};

constexpr bool before(const standing& a, const standing& b) noexcept {
  if (a.fits != b.fits) return a.fits;
  if (!a.fits && a.broken != b.broken) return a.broken < b.broken;
  if (!a.fits && a.greatest != b.greatest) return a.greatest < b.greatest;
  if ((a.price > 0) != (b.price > 0)) return a.price > 0;
  if (a.price != b.price) return a.price < b.price;
  if (a.size != b.size) return a.size < b.size;
  return text_before(a.code, b.code);
}

/// True where a caller's exclusion list strikes row `i`; an empty or shorter list strikes nothing there.
constexpr bool struck(std::span<const std::uint8_t> banned, std::size_t i) noexcept {
  return i < banned.size() && banned[i] != 0;
}

}  // namespace detail

static_assert(within(utilisation(100 * 1.1, 110.0)));  // 100 W and a tenth, on a 110 W driver
static_assert(!within(utilisation(110.001, 110.0)));
static_assert(utilisation(0.0, 0.0) == 0 && utilisation(1.0, 0.0) == boundless_utilisation);
static_assert(takes(square_millimetres{0.5}, square_millimetres{2.5}, square_millimetres{2.5}));
static_assert(takes(square_millimetres{}, square_millimetres{}, square_millimetres{35}));

}  // namespace tapewright
