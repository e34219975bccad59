// SPDX-License-Identifier: BSL-1.0
// What a length of tape asks for: power and current of each channel and of all together.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/parts/tape.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"

namespace tapewright {

/// The nominal load of a length of tape. Entries past `channels` stay unset.
struct tape_load {
  std::int32_t channels = 0;
  watts channel_power[max_channels] = {unset, unset, unset, unset, unset, unset};
  amps channel_current[max_channels] = {unset, unset, unset, unset, unset, unset};
  watts summed = unset;             ///< plain sum of the channels
  watts all_on_limit = unset;       ///< the maker's limit for this length; 0 = none stated
  watts sized = unset;              ///< what the supply is sized for: the sum, or the enforced limit
  amps total_sized = unset;         ///< sized / nominal; what the common conductor carries
  bool above_all_on_limit = false;  ///< the channels together ask for more than the maker allows
  source from = source::none;       ///< closed_form, or maker_statement where the limit was applied
};

/// Load and currents of a lit length of tape at its nominal voltage.
///
/// @param t              the tape; refused where check(t) refuses it.
/// @param lit_length     m; 0..10000.
/// @param limit_enforced true where the controller is said to keep the channels together within the
///                       tape's all-channels-on limit. Only then is the limit taken for sizing: a
///                       figure on a data sheet does not stop anyone from switching all channels on.
/// @return               each channel at its own full power (it may be on alone), and the total.
/// Formula  P_c = p_c L;  I_c = P_c / U;  sized = sum, or min(sum, limit L) when enforced
/// Source   closed form.
constexpr outcome<tape_load> load_of(const tape& t, metres lit_length, bool limit_enforced) noexcept {
  if (const fault f = first_fault(refuse(field::length, lit_length), check(t))) return f;
  tape_load load;
  load.channels = static_cast<std::int32_t>(t.channels.size());
  load.summed = watts{};
  for (std::size_t c = 0; c < t.channels.size(); ++c) {
    load.channel_power[c] = t.channels[c].load * lit_length;
    load.channel_current[c] = load.channel_power[c] / t.nominal;
    load.summed += load.channel_power[c];
  }
  load.all_on_limit = t.all_on_limit * lit_length;
  load.above_all_on_limit =
      t.all_on_limit.v > 0 && load.summed.v > load.all_on_limit.v * (1 + rounding_share);
  const bool limited = limit_enforced && load.above_all_on_limit;
  load.sized = limited ? load.all_on_limit : load.summed;
  load.total_sized = load.sized / t.nominal;
  load.from = limited ? source::maker_statement : source::closed_form;
  return load;
}

namespace detail {
/// The sum of the channels, or the lower total that a limit enforces. A total below the largest
/// channel or above the sum is a contradiction.
constexpr outcome<amps> common_current(const bounded<amps, max_channels>& channels, amps total) noexcept {
  if (const fault f = first_fault(refuse(field::channel_count, static_cast<double>(channels.size())),
                                  refuse(field::current, total)))
    return f;
  amps sum, largest;
  for (const amps i : channels) {
    if (const fault f = refuse(field::current, i)) return f;
    sum += i;
    if (i > largest) largest = i;
  }
  if (total.v == 0) return sum;
  if (total.v < largest.v * (1 - rounding_share) || total.v > sum.v * (1 + rounding_share))
    return contradiction(field::current, total.v, largest.v, sum.v);
  return total;
}
}  // namespace detail

}  // namespace tapewright
