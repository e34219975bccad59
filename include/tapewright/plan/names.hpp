// SPDX-License-Identifier: BSL-1.0
// What things are called in every list and on every drawing: T1, K2, F1, W3, K2:CW.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "tapewright/core/number_text.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright {

// Letter codes of IEC 81346-2 (from memory): F protecting, K processing signals, T transforming
// energy, W guiding energy from place to place, X connecting. The number counts from 1 in the plan's
// own list of drivers, hubs and outputs; cables have their number in the plan. A run is called by the
// job's own code: that is what the people on the site say.

/// T1: a driver, by its place in plan.drivers.
constexpr text_sink& add_driver_name(text_sink& out, std::int32_t driver) noexcept {
  return add_integer(out.add('T'), driver + 1);
}

/// F1: the protective device of an output, by the output's place in plan.outputs.
constexpr text_sink& add_fuse_name(text_sink& out, std::int32_t output) noexcept {
  return add_integer(out.add('F'), output + 1);
}

/// W1: a cable, by its number.
constexpr text_sink& add_cable_name(text_sink& out, std::int32_t number) noexcept {
  return add_integer(out.add('W'), number);
}

/// K1 where the hub is a controller, X1 where it is a splice or a driver's own terminals.
constexpr text_sink& add_hub_name(text_sink& out, const plan& p, std::int32_t hub) noexcept {
  const auto at = static_cast<std::size_t>(hub);
  const bool controlled = at < p.hubs.size() && p.hubs[at].controller >= 0;
  return add_integer(out.add(controlled ? 'K' : 'X'), hub + 1);
}

/// A driver output: T1, or T1.2 for the second output of a driver of which several are in use.
constexpr text_sink& add_output_name(text_sink& out, const plan& p, std::int32_t output) noexcept {
  const auto at = static_cast<std::size_t>(output);
  if (at >= p.outputs.size()) return out.add("T?");
  const output_plan& o = p.outputs[at];
  add_driver_name(out, o.driver);
  const auto owner = static_cast<std::size_t>(o.driver);
  if (owner < p.drivers.size() && p.drivers[owner].outputs > 1) add_integer(out.add('.'), o.number);
  return out;
}

/// The run's code in the job.
constexpr std::string_view run_name(const job& j, const plan& p, std::int32_t run) noexcept {
  const auto at = static_cast<std::size_t>(run);
  if (at >= p.runs.size()) return "?";
  const auto asked = static_cast<std::size_t>(p.runs[at].run);
  return asked < j.runs.size() ? j.runs[asked].code : std::string_view{"?"};
}

/// A run as a list calls it: the job's code, and .2 for the second section of a run that has several.
constexpr text_sink& add_run_name(text_sink& out, const plan& p, const job& j, std::int32_t run) noexcept {
  out.add(run_name(j, p, run));
  const auto at = static_cast<std::size_t>(run);
  if (at < p.runs.size() && p.runs[at].sections > 1) add_integer(out.add('.'), p.runs[at].section + 1);
  return out;
}
/// The same with its feed point: (2) for the second of a run that has several.
constexpr text_sink& add_feed_name(text_sink& out, const plan& p, const job& j, std::int32_t run,
                                   std::int32_t feed) noexcept {
  add_run_name(out, p, j, run);
  const auto at = static_cast<std::size_t>(run);
  if (at < p.runs.size() && p.runs[at].more_feeds > 0) add_integer(out.add('('), feed + 1).add(')');
  return out;
}

/// A piece of a run that has several, by its place in plan.stretches: A/2 for the second.
constexpr text_sink& add_piece_name(text_sink& out, const plan& p, const job& j,
                                    std::int32_t stretch) noexcept {
  const auto at = static_cast<std::size_t>(stretch);
  if (at >= p.stretches.size()) return out.add('?');
  const std::int32_t run = p.stretches[at].run;
  const auto of = static_cast<std::size_t>(run);
  add_run_name(out, p, j, run);
  return add_integer(out.add('/'), of < p.runs.size() ? stretch - p.runs[of].stretches_from + 1 : 1);
}

/// The tape of a run of the plan, or nullptr.
constexpr const tape* tape_of(const plan& p, const job& j, const catalogue& parts,
                              std::int32_t run) noexcept {
  const auto at = static_cast<std::size_t>(run);
  if (at >= p.runs.size()) return nullptr;
  const auto asked = static_cast<std::size_t>(p.runs[at].run);
  if (asked >= j.runs.size()) return nullptr;
  const auto t = static_cast<std::size_t>(j.runs[asked].tape);
  return t < parts.tapes.size() ? &parts.tapes[t] : nullptr;
}

/// The tape of a hub's first run, or nullptr: runs of one hub have the same channels.
constexpr const tape* tape_of_hub(const plan& p, const job& j, const catalogue& parts,
                                  std::int32_t hub) noexcept {
  for (std::size_t r = 0; r < p.runs.size(); ++r)
    if (p.runs[r].hub == hub) return tape_of(p, j, parts, static_cast<std::int32_t>(r));
  return nullptr;
}

/// What a finding, reading or note is about: the zone's or run's code, T1, K1, or "job".
constexpr text_sink& add_subject_name(text_sink& out, const plan& p, const job& j, subject about) noexcept {
  switch (about.kind) {
    case subject_kind::job: return out.add("job");
    case subject_kind::zone: {
      const auto at = static_cast<std::size_t>(about.index);
      return out.add(at < j.zones.size() ? j.zones[at].code : std::string_view{"?"});
    }
    case subject_kind::run: return add_run_name(out, p, j, about.index);
    case subject_kind::hub: return add_hub_name(out, p, about.index);
    case subject_kind::driver: return add_driver_name(out, about.index);
  }
  return out;
}

/// A terminal: its owner, a colon, its mark. Marks: + and - on the supply side; on the lighting side
/// common+ (or common-, by the tape's polarity) and the channel's code; in and out on a fuse.
constexpr text_sink& add_terminal_name(text_sink& out, const plan& p, const job& j, const catalogue& parts,
                                       const terminal& t) noexcept {
  const auto common = [&](const tape* of) noexcept {
    out.add(of != nullptr && of->common == polarity::common_negative ? std::string_view{"common-"}
                                                                     : std::string_view{"common+"});
  };
  const auto channel = [&](const tape* of) noexcept {
    const auto at = static_cast<std::size_t>(t.channel);
    if (of != nullptr && at < of->channels.size()) out.add(of->channels[at].code);
    else add_integer(out, t.channel + 1);
  };
  switch (t.kind) {
    case terminal_kind::driver_positive: add_output_name(out, p, t.owner).add(":+"); break;
    case terminal_kind::driver_negative: add_output_name(out, p, t.owner).add(":-"); break;
    case terminal_kind::fuse_in: add_fuse_name(out, t.owner).add(":in"); break;
    case terminal_kind::fuse_out: add_fuse_name(out, t.owner).add(":out"); break;
    case terminal_kind::hub_positive: add_hub_name(out, p, t.owner).add(":+"); break;
    case terminal_kind::hub_negative: add_hub_name(out, p, t.owner).add(":-"); break;
    case terminal_kind::hub_common:
      add_hub_name(out, p, t.owner).add(':');
      common(tape_of_hub(p, j, parts, t.owner));
      break;
    case terminal_kind::hub_channel:
      add_hub_name(out, p, t.owner).add(':');
      channel(tape_of_hub(p, j, parts, t.owner));
      break;
    case terminal_kind::tape_common:
      add_feed_name(out, p, j, t.owner, t.feed).add(':');
      common(tape_of(p, j, parts, t.owner));
      break;
    case terminal_kind::tape_channel:
      add_feed_name(out, p, j, t.owner, t.feed).add(':');
      channel(tape_of(p, j, parts, t.owner));
      break;
  }
  return out;
}

/// The colour of a core by the catalogue's cable row, in IEC 60757 letters; empty where the maker
/// states none. `core` counts from 1.
constexpr std::string_view core_colour(const catalogue& parts, std::int32_t cable,
                                       std::int32_t core) noexcept {
  const auto at = static_cast<std::size_t>(cable);
  if (cable < 0 || at >= parts.cables.size() || core < 1) return {};
  const auto& colours = parts.cables[at].core_colours;
  const auto place = static_cast<std::size_t>(core - 1);
  return place < colours.size() ? colours[place] : std::string_view{};
}

}  // namespace tapewright
