// SPDX-License-Identifier: BSL-1.0
// A folder of CSV files as a job and a catalogue: runs, zones, rules and everything that can be bought.
#pragma once

#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "problem.hpp"
#include "table.hpp"
#include "tapewright/parts/catalogue.hpp"
#include "tapewright/plan/design_rules.hpp"
#include "tapewright/plan/job.hpp"

namespace order_sheet {

/// Everything read, owned here: the job and the catalogue are views of it and live as long.
struct input_folder {
  text_store texts;
  std::vector<tapewright::zone> zones;
  std::vector<tapewright::run> runs;
  std::deque<std::vector<tapewright::stretch>> stretches;  ///< of the runs that have corners
  std::vector<tapewright::tape> tapes;
  std::vector<tapewright::cable> cables;
  std::vector<tapewright::connector> connectors;
  std::vector<tapewright::controller> controllers;
  std::vector<tapewright::driver> drivers;
  std::vector<tapewright::overcurrent_device> overcurrent_devices;
  tapewright::design_rules rules;

  tapewright::job job() const { return {zones, runs, rules}; }
  tapewright::catalogue parts() const {
    return {tapes, cables, connectors, controllers, drivers, overcurrent_devices};
  }
};

/// Reads all files of the folder to their ends; every problem of every file goes to `problems`. What
/// comes back may be planned only if there are none.
void read_folder(const std::string& folder, input_folder& input, problem_list& problems);

}  // namespace order_sheet
