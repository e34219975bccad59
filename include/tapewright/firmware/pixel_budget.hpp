// SPDX-License-Identifier: BSL-1.0
// The load of a frame for addressable tape, and the factor that keeps it within its limit.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/firmware/whole_fault.hpp"
#include "tapewright/firmware/whole_numbers.hpp"

namespace tapewright {

inline constexpr std::uint32_t most_pixel_bytes = 4;
inline constexpr std::uint32_t full_keep = 65536;  ///< nothing held back

/// What one pixel draws. A byte of 255 is full; current is taken to follow the byte in proportion.
struct pixel_settings {
  std::uint32_t bytes = 3;  ///< of a pixel: 3 or 4
  std::uint32_t colour_ua[most_pixel_bytes] =
      {};                      ///< of each byte at 255, in the order of the buffer; 0..65535
  std::uint32_t idle_ua = 0;   ///< of a dark pixel, which its chip draws always; 0..65535
  std::uint32_t limit_ua = 0;  ///< of all pixels together; 0 keeps all dark
};

constexpr whole_fault check(const pixel_settings& s) noexcept {
  if (const auto f = refuse_whole<field::pixel_bytes>(s.bytes)) return f;
  for (std::uint32_t c = 0; c < s.bytes; ++c)
    if (const auto f = refuse_whole<field::colour_current>(s.colour_ua[c], static_cast<std::int32_t>(c)))
      return f;
  return refuse_whole<field::pixel_idle_current>(s.idle_ua);
}

namespace detail {

/// sum * current below 2^64, without a 64-bit product: the high word is (sum >> 32) * current and a carry.
constexpr std::uint64_t times(std::uint64_t sum, std::uint32_t current) noexcept {
  const whole::wide low = whole::product(static_cast<std::uint32_t>(sum), current);
  const std::uint32_t high = static_cast<std::uint32_t>(sum >> 32) * current + low.high;
  return std::uint64_t{high} << 32 | low.low;
}

/// Bytes of each place in a pixel, summed over at most 2^24 pixels: 255 * 2^24 < 2^32. By itself, so that every sum has
/// a register.
template <std::uint32_t Bytes>
[[gnu::noinline]] constexpr void sum_pixels(const std::uint8_t* pixels, std::uint32_t count,
                                            std::uint64_t* colour) noexcept {
  std::uint32_t a = 0, b = 0, c = 0, d = 0;
  const std::uint8_t* const end = pixels + Bytes * std::size_t{count};
  do {
    a += pixels[0];
    b += pixels[1];
    c += pixels[2];
    if constexpr (Bytes == 4) d += pixels[3];
    pixels += Bytes;
  } while (pixels != end);
  colour[0] += a;
  colour[1] += b;
  colour[2] += c;
  if constexpr (Bytes == 4) colour[3] += d;
}

}  // namespace detail

/// The bytes of a frame, summed as they come: begin with a new one, `add` piece after piece in any lengths.
/// Exact for fewer than 2^37 pixels, which is days of them.
struct pixel_sum {
  std::uint64_t colour[most_pixel_bytes] = {};
  std::uint64_t pixels = 0;

  /// Adds `count` pixels of `bytes` bytes each. Null, or a pixel of other than 3 or 4 bytes, adds nothing and
  /// gives false.
  constexpr bool add(const std::uint8_t* from, std::uint32_t count, std::uint32_t bytes) noexcept {
    if ((from == nullptr && count != 0) || (bytes != 3 && bytes != 4)) return false;
    pixels += count;
    constexpr std::uint32_t piece = 1u << 24;
    while (count != 0) {
      const std::uint32_t now = count < piece ? count : piece;
      if (bytes == 3) detail::sum_pixels<3>(from, now, colour);
      else detail::sum_pixels<4>(from, now, colour);
      from += bytes * std::size_t{now};
      count -= now;
    }
    return true;
  }
};

/// What a frame of pixels asks for. Currents in microamperes times 255, which is exact.
struct pixel_load {
  std::uint64_t lit = 0;          ///< what the bytes add
  std::uint64_t idle = 0;         ///< what the chips draw with all bytes 0
  std::uint32_t keep = 0;         ///< share of every byte that may stay, in 1/65536; full_keep = all
  bool idle_above_limit = false;  ///< the chips alone are above the limit: no byte can help; keep is 0
};

/// The load of a frame and the factor for it.
/// @param settings  as `check` accepts them; otherwise keep is 0.
/// Formula  lit = sum of colour_ua * bytes; idle = 255 idle_ua * pixels; room = 255 limit - idle
///          keep = 2^16 where lit <= room, otherwise floor(2^16 room / lit)
/// Bounds   with fewer than 2^37 pixels a sum of bytes is below 2^45, and lit below 4 * 2^16 * 2^45 = 2^63
constexpr pixel_load load_of(const pixel_sum& sum, const pixel_settings& settings) noexcept {
  pixel_load load;
  if (check(settings)) return load;
  for (std::uint32_t c = 0; c < settings.bytes; ++c)
    load.lit += detail::times(sum.colour[c], settings.colour_ua[c]);
  load.idle = detail::times(sum.pixels, 255 * settings.idle_ua);
  const std::uint64_t limit = detail::times(settings.limit_ua, 255);
  if (load.idle > limit) {
    load.idle_above_limit = true;
    return load;
  }
  std::uint64_t rest = limit - load.idle;
  if (load.lit <= rest) {
    load.keep = full_keep;
    return load;
  }
  for (int digit = 0; digit < 16; ++digit) {  // rest < lit < 2^63: twice the rest fits
    rest += rest;
    load.keep += load.keep;
    if (rest >= load.lit) {
      rest -= load.lit;
      ++load.keep;
    }
  }
  return load;
}

/// Scales the bytes of a frame by `keep`, piece after piece like the sum. What rounding takes from one pixel goes to
/// the next one lit in the same colour, so that the sum of a colour is floor(keep * sum / 2^16) exactly: never above
/// its share, and below it by less than one byte step in the whole frame. A byte of 0 stays 0.
struct pixel_scaler {
  std::uint32_t carry[most_pixel_bytes] = {};  ///< below 2^16

  /// keep at most 65536: byte * keep + carry <= 255 * 2^16 + 2^16 - 1, whose high part is at most 255.
  constexpr bool scale(std::uint8_t* pixels, std::uint32_t count, std::uint32_t bytes,
                       std::uint32_t keep) noexcept {
    if ((pixels == nullptr && count != 0) || (bytes != 3 && bytes != 4) || keep > full_keep) return false;
    for (; count != 0; --count)
      for (std::uint32_t c = 0; c < bytes; ++c, ++pixels) {
        const std::uint32_t exact = *pixels * keep + (*pixels != 0 ? carry[c] : 0);
        if (*pixels != 0) carry[c] = exact & 0xffff;
        *pixels = static_cast<std::uint8_t>(exact >> 16);
      }
    return true;
  }
};

}  // namespace tapewright
