// SPDX-License-Identifier: BSL-1.0
// Room for a plan on the heap, as large as its job asks for.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/sections.hpp"

namespace order_sheet {

class plan_room {
 public:
  /// @param spare  doubles for lines that need some where no run is fed in parts.
  explicit plan_room(const tapewright::plan_counts& n, std::size_t spare = 4000)
      : runs_(n.runs),
        hubs_(n.hubs),
        outputs_(n.outputs),
        drivers_(n.drivers),
        order_(n.order),
        pieces_(n.pieces),
        connections_(n.connections),
        findings_(n.findings),
        readings_(n.readings),
        notes_(n.notes),
        figures_(n.figures),
        network_(n.network > spare ? n.network : spare),
        scratch_(n.scratch),
        feeds_(n.feeds),
        stretches_(n.stretches),
        fed_stretches_(n.fed_stretches),
        fed_points_(n.fed_points),
        fed_currents_(n.fed_points),
        fed_runs_(n.fed_runs),
        fed_figures_(n.fed_runs),
        fed_profiles_(n.fed_runs),
        fed_feeds_(n.fed_points),
        item_rows_(n.search.cutting.packing.items),
        type_rows_(n.search.cutting.packing.types),
        bin_rows_(n.search.cutting.packing.bins),
        bin_of_(n.search.cutting.packing.bin_of),
        packed_(n.search.cutting.packing.packed),
        items_(n.search.cutting.items),
        types_(n.search.cutting.types),
        choices_(n.search.cutting.choices),
        sold_(n.search.cutting.sold),
        part_of_(n.search.part_of),
        pieces_of_parts_(n.search.pieces),
        piece_of_(n.search.pieces) {}

  tapewright::plan_space space() {
    return {runs_,
            hubs_,
            outputs_,
            drivers_,
            order_,
            pieces_,
            connections_,
            findings_,
            readings_,
            notes_,
            figures_,
            network_,
            scratch_,
            feeds_,
            stretches_,
            {fed_stretches_, fed_points_, fed_currents_, fed_runs_, fed_figures_, fed_profiles_, fed_feeds_},
            {{{item_rows_, type_rows_, bin_rows_, bin_of_, packed_}, items_, types_, choices_, sold_},
             part_of_,
             pieces_of_parts_,
             piece_of_}};
  }

 private:
  std::vector<tapewright::run_plan> runs_;
  std::vector<tapewright::hub_plan> hubs_;
  std::vector<tapewright::output_plan> outputs_;
  std::vector<tapewright::driver_plan> drivers_;
  std::vector<tapewright::order_line> order_;
  std::vector<tapewright::cut_piece> pieces_;
  std::vector<tapewright::connection> connections_;
  std::vector<tapewright::finding> findings_;
  std::vector<tapewright::reading> readings_;
  std::vector<tapewright::note> notes_;
  std::vector<tapewright::line_figures> figures_;
  std::vector<double> network_;
  std::vector<std::int32_t> scratch_;
  std::vector<tapewright::tape_feed> feeds_;
  std::vector<tapewright::stretch_plan> stretches_;
  std::vector<tapewright::run_stretch> fed_stretches_;
  std::vector<tapewright::feed_point> fed_points_;
  std::vector<tapewright::feed_current> fed_currents_;
  std::vector<tapewright::fed_run> fed_runs_;
  std::vector<tapewright::fed_run_figures> fed_figures_;
  std::vector<tapewright::fed_run_profile> fed_profiles_;
  std::vector<tapewright::fed_point> fed_feeds_;
  std::vector<tapewright::detail::packing_item_row> item_rows_;
  std::vector<tapewright::detail::packing_type_row> type_rows_;
  std::vector<tapewright::detail::packing_bin_row> bin_rows_;
  std::vector<std::int32_t> bin_of_;
  std::vector<tapewright::packed_bin> packed_;
  std::vector<tapewright::packing_item> items_;
  std::vector<tapewright::packing_type> types_;
  std::vector<tapewright::sold_length> choices_, sold_;
  std::vector<std::int32_t> part_of_;
  std::vector<tapewright::stock_piece> pieces_of_parts_;
  std::vector<std::int32_t> piece_of_;
};

}  // namespace order_sheet
