// SPDX-License-Identifier: BSL-1.0
// What whoever builds a plan must know: cautions, and the work that is an electrician's.
#pragma once

#include <string_view>

#include "tapewright/plan/plan.hpp"

namespace tapewright {

/// Who a note speaks to.
enum class note_reader : std::int32_t {
  everyone = 0,     ///< a caution
  electrician = 1,  ///< a task for a qualified person
};

constexpr note_reader reader_of(note_code code) noexcept {
  return static_cast<std::int32_t>(code) >= 20 ? note_reader::electrician : note_reader::everyone;
}

/// The text of a note, one paragraph without line breaks. It is advice in general terms: local code and
/// the makers' instructions come before it, and one of the notes says so.
constexpr std::string_view text_of(note_code code) noexcept {
  switch (code) {
    case note_code::none: return "";
    case note_code::isolate_first:
      return "Isolate the mains, lock it off and prove it dead before any work; pull the plug of a plug-in "
             "driver.";
    case note_code::fuse_every_output:
      return "Fit the protective devices of this plan, with these ratings, close to the driver's output; "
             "replace a blown one only by the same rating, and only after its cause was found.";
    case note_code::never_parallel_outputs:
      return "Never join two driver outputs, not even of the same driver: each output feeds its own loads "
             "only.";
    case note_code::ventilate_drivers:
      return "Give drivers and controllers free air on all sides as their makers ask; the ambient "
             "temperatures of this plan are those at their place when everything is warm.";
    case note_code::keep_ingress:
      return "Where protection against dust or water is asked for, cut ends, joints and cable entries need "
             "the same protection as the tape; a cut tape has lost it there.";
    case note_code::mains_by_qualified_person:
      return "Everything on the mains side is work for a qualified person.";
    case note_code::defer_to_local_code:
      return "This plan is a calculation, not an approval: local code, licensed practice and the makers' "
             "instructions come before it.";
    case note_code::tape_on_cooling_surface:
      return "Fix the tape to a surface that takes its heat away, aluminium profile for strong tapes, and "
             "never light it on the reel.";
    case note_code::polarity_before_power:
      return "Measure the driver's voltage before tape is connected to it; where this plan does not set its "
             "trim and somebody has moved it, set it back to the driver's nominal voltage. Check polarity "
             "and continuity of every core against the connection schedule before power is switched on: "
             "tape that is reversed or on a higher voltage can fail at once.";
    case note_code::measure_before_light:
      return "Measure before handing over: full light on, warmed up, against the readings of this plan; a "
             "reading outside its band has a cause to be found.";
    case note_code::fit_socket_outlet:
      return "Provide a socket outlet within reach of the plug-in driver's mains lead; no extension lead "
             "in its place.";
    case note_code::fit_fused_connection:
      return "Connect the hardwired driver permanently, with a means of isolation and the protection that "
             "local code asks for.";
    case note_code::reserve_breaker:
      return "Reserve circuit breakers as this plan counts them, for these drivers alone, or count again "
             "with everything else on the circuit.";
    case note_code::fit_residual_current_device:
      return "Protect each circuit by a residual current device of its own, as local code asks: behind one "
             "device the protective-conductor currents of all drivers add up.";
    case note_code::route_apart_from_mains:
      return "Route extra-low-voltage cables apart from mains cables, or use cables insulated for the "
             "highest voltage present.";
    case note_code::no_mains_in_same_enclosure:
      return "Keep mains terminals and extra-low-voltage terminals in separate enclosures, or apart by a "
             "partition, so that no loose conductor can bridge them.";
    case note_code::ask_inrush:
      return "Ask the driver's maker for the inrush current, or for the number of drivers that one breaker "
             "takes: it is not stated in the catalogue.";
    case note_code::set_trim:
      return "With nothing on the driver's output, set its voltage with a meter to this plan's reading of "
             "that output; switch off before the tape is connected. Never set it above the reading, and "
             "never by eye: a dark tape sees all of the voltage.";
  }
  return "";
}

}  // namespace tapewright
