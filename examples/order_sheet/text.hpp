// SPDX-License-Identifier: BSL-1.0
// The library's number texts as strings.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "tapewright/core/number_text.hpp"

namespace order_sheet {

/// What `write` writes into a sink, as a string of whatever length that takes.
template <class Write>
std::string text_from(Write write) {
  std::string room(128, '\0');
  for (;;) {
    tapewright::text_sink out{room};
    write(out);
    const std::size_t wanted = out.wanted();
    const bool cut = out.cut();
    room.resize(wanted);
    if (!cut) return room;
  }
}

/// 4.60 for fixed(4.6, 2).
inline std::string fixed(double value, int decimals) {
  return text_from([&](tapewright::text_sink& out) { tapewright::add_fixed(out, value, decimals); });
}
/// 4.6 for plain(4.6): six significant digits, no zeros that say nothing.
inline std::string plain(double value, int digits = 6) {
  return text_from([&](tapewright::text_sink& out) { tapewright::add_plain(out, value, digits); });
}
/// 1234.56
inline std::string amount(tapewright::money value) {
  return text_from([&](tapewright::text_sink& out) { tapewright::add_money(out, value); });
}

}  // namespace order_sheet
