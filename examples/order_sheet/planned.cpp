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
  const plan_counts& need = *counted;
  runs_.resize(need.runs);
  hubs_.resize(need.hubs);
  outputs_.resize(need.outputs);
  drivers_.resize(need.drivers);
  order_.resize(need.order);
  pieces_.resize(need.pieces);
  connections_.resize(need.connections);
  findings_.resize(need.findings);
  readings_.resize(need.readings);
  notes_.resize(need.notes);
  figures_.resize(need.figures);
  network_.resize(std::max(need.network, network_doubles(question, parts)));
  scratch_.resize(need.scratch);
  feeds_.resize(need.feeds);
  stretches_.resize(need.stretches);
  fed_stretches_.resize(need.fed_stretches);
  fed_points_.resize(need.fed_points);
  fed_currents_.resize(need.fed_points);
  fed_runs_.resize(need.fed_runs);
  fed_figures_.resize(need.fed_runs);
  fed_profiles_.resize(need.fed_runs);
  fed_feeds_.resize(need.fed_points);
  const cutting_counts& search = need.search.cutting;
  item_rows_.resize(search.packing.items);
  type_rows_.resize(search.packing.types);
  bin_rows_.resize(search.packing.bins);
  bin_of_.resize(search.packing.bin_of);
  packed_.resize(search.packing.packed);
  items_.resize(search.items);
  types_.resize(search.types);
  choices_.resize(search.choices);
  sold_.resize(search.sold);
  part_of_.resize(need.search.part_of);
  stock_pieces_.resize(need.search.pieces);
  piece_of_.resize(need.search.pieces);
  const outcome<tapewright::plan> made = make_plan(
      job_, parts_,
      {.runs = runs_,
       .hubs = hubs_,
       .outputs = outputs_,
       .drivers = drivers_,
       .order = order_,
       .pieces = pieces_,
       .connections = connections_,
       .findings = findings_,
       .readings = readings_,
       .notes = notes_,
       .figures = figures_,
       .network = network_,
       .scratch = scratch_,
       .feeds = feeds_,
       .stretches = stretches_,
       .fed = {fed_stretches_, fed_points_, fed_currents_, fed_runs_, fed_figures_, fed_profiles_,
               fed_feeds_},
       .search = {{{item_rows_, type_rows_, bin_rows_, bin_of_, packed_}, items_, types_, choices_, sold_},
                  part_of_,
                  stock_pieces_,
                  piece_of_}});
  plan_ = made.value();
  why_ = made.why();
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
