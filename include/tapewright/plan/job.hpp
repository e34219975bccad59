// SPDX-License-Identifier: BSL-1.0
// The question: rooms as they were measured.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/parts/catalogue.hpp"
#include "tapewright/plan/design_rules.hpp"

namespace tapewright {

/// How a zone's drivers shall meet the mains.
enum class fitting_wish : std::int32_t { any = -1, plug_in = 0, hardwired = 1 };

/// Runs that dim and colour together, and where their driver stands.
struct zone {
  std::string_view code{}, name{};
  tag_set features{};               ///< control features wanted; a controller must carry them all
  bool wants_controller = false;    ///< true: even a single-colour zone gets a controller
  std::string_view driver_place{};  ///< zones that name the same place may share a driver
  metres from_driver{};             ///< cable route driver -> controller (or splice), one way
  celsius driver_ambient{};         ///< air at that place
  fitting_wish mount = fitting_wish::any;
  bool limited_energy = false;  ///< only drivers declared limited-energy
  std::int32_t ingress = 20;    ///< least IP code (IEC 60529) of the tape
};

/// One measured length of tape.
struct run {
  std::string_view code{}, name{};
  std::int32_t zone = 0;      ///< place in job.zones
  std::int32_t tape = 0;      ///< place in catalogue.tapes
  metres measured{};          ///< on the wall
  metres from_controller{};   ///< cable route controller (or splice) -> near end, one way
  celsius ambient{25};        ///< air at the tape
  celsius cable_ambient{30};  ///< air along the feeder
};

struct job {
  std::span<const zone> zones{};
  std::span<const run> runs{};
  design_rules rules{};
};

/// Refuses a job that makes no sense, catalogue rows included. The fault names the field; `item` is
/// the place of the run, zone, rule or catalogue row in its list.
constexpr fault check(const job& j, const catalogue& parts) noexcept {
  if (const fault f = first_fault(refuse(field::run_count, static_cast<double>(j.runs.size())),
                                  refuse(field::zone_count, static_cast<double>(j.zones.size())),
                                  refuse(field::tape_count, static_cast<double>(parts.tapes.size())),
                                  check(j.rules), check(parts)))
    return f;
  for (std::size_t i = 0; i < j.zones.size(); ++i) {
    const zone& z = j.zones[i];
    if (z.code.empty()) return {fault_code::out_of_range, field::name, 0, 1, 1, static_cast<std::int32_t>(i)};
    if (const fault f =
            first_fault(refuse(field::from_driver, z.from_driver), refuse(field::ambient, z.driver_ambient),
                        refuse(field::ingress, z.ingress)))
      return at_item(f, i);
  }
  for (std::size_t i = 0; i < j.runs.size(); ++i) {
    const run& r = j.runs[i];
    if (r.code.empty()) return {fault_code::out_of_range, field::name, 0, 1, 1, static_cast<std::int32_t>(i)};
    if (r.zone < 0 || static_cast<std::size_t>(r.zone) >= j.zones.size())
      return {fault_code::unknown_reference,
              field::run_zone,
              static_cast<double>(r.zone),
              0,
              static_cast<double>(j.zones.size()) - 1,
              static_cast<std::int32_t>(i)};
    if (r.tape < 0 || static_cast<std::size_t>(r.tape) >= parts.tapes.size())
      return {fault_code::unknown_reference,
              field::run_tape,
              static_cast<double>(r.tape),
              0,
              static_cast<double>(parts.tapes.size()) - 1,
              static_cast<std::int32_t>(i)};
    if (const fault f = first_fault(
            refuse(field::measured_length, r.measured), refuse(field::from_controller, r.from_controller),
            refuse(field::ambient, r.ambient), refuse(field::ambient, r.cable_ambient)))
      return at_item(f, i);
    if (const metres pitch = parts.tapes[static_cast<std::size_t>(r.tape)].cut_pitch; r.measured < pitch)
      return {fault_code::out_of_range,    field::measured_length, r.measured.v, pitch.v, 1000,
              static_cast<std::int32_t>(i)};
  }
  return {};
}

}  // namespace tapewright
