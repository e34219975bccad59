// SPDX-License-Identifier: BSL-1.0
// Where the figures of dimmed feeders and of warm conductors come from, line by line.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/number_text.hpp"
#include "tapewright/network/pwm_timing.hpp"
#include "tapewright/network/warm_copper.hpp"
#include "tapewright/plan/explain.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/dimmed_cores.hpp"

namespace tapewright {

namespace detail {

/// "(2 A + 1.5 A)": what is on at a moment; nothing written and false where all is off.
constexpr bool put_lit(derivation& w, std::span<const amps> on, const pwm_timing& t, double moment) noexcept {
  bool any = false;
  for (std::size_t c = 0; c < on.size(); ++c) {
    if (!is_on(t, c, moment)) continue;
    w.piece(any ? std::string_view{" + "} : std::string_view{"("});
    w.piece(on[c]);
    any = true;
  }
  if (any) w.piece(")");
  return any;
}

}  // namespace detail

/// Derives what dimmed_cores tells: mean and r.m.s. current of each channel's core and of the common core.
///
/// @param on, t  as dimmed_cores takes them.
/// @param out    gets the text, in the form of `explain`.
/// @return       Faults of dimmed_cores.
constexpr fault explain_dimmed_cores(std::span<const amps> on, const pwm_timing& t, text_sink& out) noexcept {
  const outcome<core_currents> cores = dimmed_cores(on, t);
  if (!cores) return cores.why();
  detail::derivation w{out};
  w.heading("dimmed feeder");
  for (std::size_t c = 0; c < on.size(); ++c) {
    const auto number = static_cast<std::int32_t>(c + 1);
    w.figure("mean current of channel ", number)
        .formula("I D")
        .put(on[c], " * ", t.duty[c])
        .gives(cores->channel[c].mean, source::closed_form);
    w.figure("r.m.s. current of channel ", number)
        .formula("I sqrt(D)")
        .put(on[c], " * sqrt(", t.duty[c], ")")
        .gives(cores->channel[c].rms, source::closed_form);
  }
  w.figure("mean current of the common core")
      .formula("sum of I D")
      .put([&](detail::derivation& d) noexcept {
        for (std::size_t c = 0; c < on.size(); ++c) {
          if (c > 0) d.piece(" + ");
          d.piece(on[c]);
          d.piece(" * ");
          d.piece(t.duty[c]);
        }
      })
      .gives(cores->common.mean, source::closed_form);
  pwm_timing used;
  for (std::size_t c = 0; c < on.size(); ++c) {
    used.duty[c] = t.duty[c];
    used.phase[c] = t.phase[c];
  }
  w.figure("r.m.s. current of the common core")
      .formula("sqrt of the sum over the pieces of the period of share x (sum of what is on)^2")
      .put([&](detail::derivation& d) noexcept {
        d.piece("sqrt(0");
        const fault none = detail::each_interval({&used, 1}, [&](double share, double moment) noexcept {
          if (detail::on_at(used, moment) == 0) return fault{};
          d.piece(" + ");
          d.piece(share);
          d.piece(" * ");
          detail::put_lit(d, on, used, moment);
          d.piece(" * ");
          detail::put_lit(d, on, used, moment);
          return fault{};
        });
        if (!none) d.piece(")");
      })
      .gives(cores->common.rms, source::closed_form);
  return {};
}

/// Derives what warm_conductor tells.
///
/// @param current, rated, ambient  as warm_conductor takes them.
/// @param out                      gets the text, in the form of `explain`.
/// @return                         Faults of warm_conductor.
constexpr fault explain_warm_conductor(amps current, const conductor_rating& rated, celsius ambient,
                                       text_sink& out) noexcept {
  const outcome<celsius> warm = warm_conductor(current, rated, ambient);
  if (!warm) return warm.why();
  const double load = current / rated.current;
  const double k = (rated.limit - rated.ambient).v * load * load / detail::resistance_ratio(rated.limit);
  detail::derivation w{out};
  w.heading("warm conductor");
  w.figure("rise K at 20 degC copper")
      .formula("(Tc - T0) (I / I0)^2 / (1 + a (Tc - 20))")
      .put("(", rated.limit, " - ", rated.ambient, ") * ", current, " * ", current, " / (", rated.current,
           " * ", rated.current, ") / (1 + ", alpha_20, " * (", rated.limit, " - 20))")
      .gives(k, source::iec_60028);
  w.figure("temperature of the conductor")
      .formula("(Ta + K (1 - 20 a)) / (1 - K a)")
      .put("(", ambient, " + ", k, " * (1 - 20 * ", alpha_20, ")) / (1 - ", k, " * ", alpha_20, ")")
      .gives(*warm, source::closed_form);
  return {};
}

}  // namespace tapewright
