// SPDX-License-Identifier: BSL-1.0
// Room for a plan, and the names of what stands in it.
#include "planned.hpp"

#include <algorithm>

#include "tapewright/plan/names.hpp"
#include "text.hpp"

namespace order_sheet {

using namespace tapewright;

namespace {

/// Workspace that is enough for the longest run of the job, whatever its loads do.
std::size_t network_doubles(const job& question, const catalogue& parts) {
  std::size_t most = 0;
  for (const run& r : question.runs) {
    const tape& t = parts.tapes[static_cast<std::size_t>(r.tape)];
    const auto segments = static_cast<std::int64_t>(r.measured.v / t.cut_pitch.v) + 1;
    most = std::max(most, line_workspace(segments, static_cast<std::int32_t>(t.channels.size())));
  }
  return most;
}

}  // namespace

planned::planned(const tapewright::job& question, const catalogue& parts) : job_{question}, parts_{parts} {
  const outcome<plan_counts> counted = space_for(question, parts);
  if (!counted) {
    why_ = counted.why();
    return;
  }
  room_.emplace(*counted, network_doubles(question, parts));
  const outcome<tapewright::plan> made = make_plan(job_, parts_, room_->space());
  plan_ = made.value();
  why_ = made.why();
}

plan_room planned::another_room() const {
  return plan_room{*space_for(job_, parts_), network_doubles(job_, parts_)};
}

std::string planned::hub_name(std::int32_t hub) const {
  return text_from([&](text_sink& out) { add_hub_name(out, plan_, hub); });
}
std::string planned::driver_name(std::int32_t driver) const {
  return text_from([&](text_sink& out) { add_driver_name(out, driver); });
}
std::string planned::output_name(std::int32_t output) const {
  return text_from([&](text_sink& out) { add_output_name(out, plan_, output); });
}
std::string planned::fuse_name(std::int32_t output) const {
  return text_from([&](text_sink& out) { add_fuse_name(out, output); });
}
std::string planned::cable_name(std::int32_t number) const {
  return text_from([&](text_sink& out) { add_cable_name(out, number); });
}
std::string planned::run_name(std::int32_t run) const {
  return text_from([&](text_sink& out) { add_run_name(out, plan_, job_, run); });
}
std::string planned::piece_name(std::int32_t stretch) const {
  return text_from([&](text_sink& out) { add_piece_name(out, plan_, job_, stretch); });
}
std::string planned::feed_name(std::int32_t run, std::int32_t feed) const {
  return text_from([&](text_sink& out) { add_feed_name(out, plan_, job_, run, feed); });
}
std::string planned::terminal_name(const terminal& t) const {
  return text_from([&](text_sink& out) { add_terminal_name(out, plan_, job_, parts_, t); });
}
std::string planned::subject_name(subject about) const {
  return text_from([&](text_sink& out) { add_subject_name(out, plan_, job_, about); });
}

}  // namespace order_sheet
