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
#include "tapewright/sizing/feed_arrangement.hpp"
#include "tapewright/sizing/run_length.hpp"

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
  bool limited_energy = false;          ///< only drivers declared limited-energy
  std::int32_t ingress = 20;            ///< least IP code (IEC 60529) of the tape
  std::int32_t pinned_driver = -1;      ///< place in catalogue.drivers of the only one that may be used
  std::int32_t pinned_controller = -1;  ///< place in catalogue.controllers of the only one that may lead
};

/// Whether a part at a place of its list is ruled out by a pin on another one.
constexpr bool pinned_elsewhere(std::int32_t pin, std::size_t place) noexcept {
  return pin >= 0 && static_cast<std::size_t>(pin) != place;
}

/// A straight stretch of a run. Tape bends flat-wise only, so that a corner is a cut and a link.
struct stretch {
  metres measured{};  ///< on the wall, the gap included
  metres gap{};       ///< wall that the link at the corner before it leaves dark; 0 for the first stretch
};

/// Where cables reach a run.
enum class feed_reach : std::int32_t {
  near_end = 0,  ///< its near end only
  ends = 1,      ///< both ends
  anywhere = 2,  ///< both ends and every cut mark between
};

/// At which end of a stretch the wall stays dark that its cut marks leave over.
enum class dark_end : std::int32_t { far_end = 0, near_end = 1, shared = 2 };

/// One bit for each feed_arrangement.
inline constexpr std::uint32_t every_arrangement = 63;
constexpr std::uint32_t bit_of(feed_arrangement how) noexcept { return 1u << static_cast<std::int32_t>(how); }

/// One measured length of tape.
struct run {
  std::string_view code{}, name{};
  std::int32_t zone = 0;                 ///< place in job.zones
  std::int32_t tape = 0;                 ///< place in catalogue.tapes
  metres measured{};                     ///< on the wall
  metres from_controller{};              ///< cable route controller (or splice) -> near end, one way
  celsius ambient{25};                   ///< air at the tape
  celsius cable_ambient{30};             ///< air along the feeder
  std::span<const stretch> stretches{};  ///< from the near end on; empty = one; `measured` is their sum
  dark_end dark = dark_end::far_end;
  feed_reach reach = feed_reach::near_end;
  metres to_far_end{};     ///< cable route controller -> far end, one way, where cables reach it
  metres between_extra{};  ///< added to a route that ends between the ends; else it goes beside the tape
  bool closes = false;     ///< the far end lies at the near end: a ring can be closed there
  std::uint32_t arrangements = every_arrangement;  ///< bits of those that may be used
  std::int32_t pinned_feeder = -1;  ///< place in catalogue.cables of the only one that may feed it
};

/// Whether a run is fed and cut as the simplest are: one straight stretch, one cable to its near end.
constexpr bool is_plain(const run& r) noexcept {
  return r.stretches.empty() && r.reach == feed_reach::near_end && !r.closes;
}

struct job {
  std::span<const zone> zones{};
  std::span<const run> runs{};
  design_rules rules{};
};

/// The arrangements that cables can reach in a run, as bits.
constexpr std::uint32_t reached_arrangements(const run& r) noexcept {
  std::uint32_t bits = bit_of(feed_arrangement::one_end);
  if (r.reach != feed_reach::near_end)
    bits |= bit_of(feed_arrangement::far_end) | bit_of(feed_arrangement::both_ends);
  if (r.reach == feed_reach::anywhere)
    bits |= bit_of(feed_arrangement::middle) | bit_of(feed_arrangement::points);
  if (r.closes) bits |= bit_of(feed_arrangement::ring);
  return bits;
}

/// Refuses stretches and routes of a run that make no sense.
constexpr fault check(const run& r, metres pitch) noexcept {
  if (const fault f =
          first_fault(refuse(field::stretch_count, static_cast<double>(r.stretches.size())),
                      refuse(field::dark_end, static_cast<double>(r.dark)),
                      refuse(field::feed_reach, static_cast<double>(r.reach)),
                      refuse(field::to_far_end, r.to_far_end), refuse(field::between_extra, r.between_extra),
                      refuse_outside(field::arrangements, r.arrangements, 1, every_arrangement)))
    return f;
  if ((r.arrangements & reached_arrangements(r)) == 0)
    return contradiction(field::arrangements, static_cast<double>(r.arrangements), 1,
                         static_cast<double>(reached_arrangements(r)));
  metres sum;
  for (std::size_t s = 0; s < r.stretches.size(); ++s) {
    const stretch& part = r.stretches[s];
    if (const fault f =
            first_fault(refuse(field::measured_length, part.measured), refuse(field::link_gap, part.gap)))
      return f;
    const metres lit = part.measured - (s == 0 ? metres{} : part.gap);
    if (lit + length_noise(lit) < pitch)
      return refuse_outside(field::measured_length, lit.v, pitch.v, range_of(field::measured_length).most);
    sum += part.measured;
  }
  if (!r.stretches.empty() && absolute((sum - r.measured).v) > length_noise(sum).v)
    return contradiction(field::measured_length, r.measured.v, sum.v, sum.v);
  return {};
}

/// Refuses a pin that points at no row of its list.
constexpr fault refuse_pin(field what, std::int32_t pin, std::size_t rows) noexcept {
  if (pin >= -1 && pin < static_cast<std::int32_t>(rows)) return {};
  return {fault_code::unknown_reference, what, static_cast<double>(pin), -1,
          static_cast<double>(rows) - 1, -1};
}

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
    if (const fault f = refuse_nameless(z.code)) return at_item(f, i);
    if (const fault f =
            first_fault(refuse(field::from_driver, z.from_driver), refuse(field::ambient, z.driver_ambient),
                        refuse(field::ingress, z.ingress),
                        refuse_pin(field::pinned_driver, z.pinned_driver, parts.drivers.size()),
                        refuse_pin(field::pinned_controller, z.pinned_controller, parts.controllers.size())))
      return at_item(f, i);
  }
  for (std::size_t i = 0; i < j.runs.size(); ++i) {
    const run& r = j.runs[i];
    if (const fault f = refuse_nameless(r.code)) return at_item(f, i);
    if (const fault f = first_fault(refuse_place(field::run_zone, r.zone, j.zones.size()),
                                    refuse_place(field::run_tape, r.tape, parts.tapes.size())))
      return at_item(f, i);
    if (const fault f = first_fault(
            refuse(field::measured_length, r.measured), refuse(field::from_controller, r.from_controller),
            refuse(field::ambient, r.ambient), refuse(field::ambient, r.cable_ambient),
            refuse_pin(field::pinned_feeder, r.pinned_feeder, parts.cables.size())))
      return at_item(f, i);
    const metres pitch = parts.tapes[static_cast<std::size_t>(r.tape)].cut_pitch;
    if (r.measured + length_noise(r.measured) < pitch)
      return at_item(refuse_outside(field::measured_length, r.measured.v, pitch.v,
                                    range_of(field::measured_length).most),
                     i);
    if (const fault f = check(r, pitch)) return at_item(f, i);
  }
  return {};
}

}  // namespace tapewright
