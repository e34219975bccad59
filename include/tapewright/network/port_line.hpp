// SPDX-License-Identifier: BSL-1.0
// A network seen from its terminals while every load is a straight line: currents of C channels by voltages.
#pragma once

namespace tapewright::detail {

/// Channel currents into a port as straight lines in its channel voltages: i = y u + s, y symmetric.
/// Shunting two ports adds their y and s.
template <int C>
struct port_line {
  double y[C][C] = {}, s[C] = {};
};

/// Puts a resistance in front of a port, in the path that the channels in `shared` have in common:
/// u = u' - r e (e' i), e the vector of ones of those channels, so that
/// y' = y - (y e)(y e)' r / d,  s' = s - (y e)(e' s) r / d,  d = 1 + r e' y e.
/// False when d is not positive: loads of falling current (constant power) have used up the stiffness
/// of the wiring. While every d is positive, 1 + y R has only positive eigenvalues (each d is a ratio of
/// two successive determinants).
template <int C, class Shared>
constexpr bool put_in_front(port_line<C>& p, double r, const Shared& shared) noexcept {
  double column[C] = {}, square = 0, bias = 0;
  for (int c = 0; c < C; ++c) {
    if (!shared(c)) continue;
    bias += p.s[c];
    for (int x = 0; x < C; ++x) column[x] += p.y[c][x];
  }
  for (int c = 0; c < C; ++c)
    if (shared(c)) square += column[c];
  const double d = 1 + r * square;
  if (!(d > 0)) return false;
  const double weight = r / d;
  for (int c = 0; c < C; ++c) {
    p.s[c] -= column[c] * (weight * bias);
    for (int x = 0; x < C; ++x) p.y[c][x] -= column[c] * (weight * column[x]);
  }
  return true;
}

/// The port behind a conductor that all channels share and one conductor of each channel's own.
template <int C>
constexpr bool put_behind(port_line<C>& p, double common, const double (&channel)[C]) noexcept {
  bool sound = put_in_front(p, common, [](int) { return true; });
  for (int own = 0; own < C && sound; ++own)
    sound = put_in_front(p, channel[own], [own](int c) { return c == own; });
  return sound;
}

}  // namespace tapewright::detail
