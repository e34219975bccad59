// SPDX-License-Identifier: BSL-1.0
// The bookshop's driver outputs as networks: what its plan chose, with every channel lit.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "examples/order_sheet/input_folder.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/planner.hpp"

namespace tapewright::test {

/// A network that owns its lists; every run of one stretch, fed at its near end.
struct output_network {
  std::vector<feed_hub> hubs;
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  std::vector<fed_run> runs;
  feed_network net;

  void close(volts source) {
    for (std::size_t r = 0; r < runs.size(); ++r) {
      runs[r].stretches = {&stretches[r], 1};
      runs[r].feeds = {&feeds[r], 1};
    }
    net.source = source;
    net.hubs = hubs;
    net.runs = runs;
  }
};

/// One network an output of the plan. Empty when the folder cannot be read or planned.
inline std::vector<std::unique_ptr<output_network>> bookshop_networks(const std::string& source_dir) {
  std::vector<std::unique_ptr<output_network>> all;
  order_sheet::input_folder input;
  order_sheet::problem_list problems;
  order_sheet::read_folder(source_dir + "/examples/order_sheet/bookshop", input, problems);
  if (!problems.empty()) return all;
  const job question = input.job();
  const catalogue parts = input.parts();
  const auto room = std::make_unique<plan_storage<40, 100'000>>();
  const outcome<plan> made = make_plan(question, parts, room->space());
  if (!made.ok()) return all;
  const auto contact = [&](std::int32_t connector) {
    return connector < 0 ? ohms{} : parts.connectors[static_cast<std::size_t>(connector)].contact;
  };
  for (std::size_t o = 0; o < made->outputs.size(); ++o) {
    auto out = std::make_unique<output_network>();
    volts source{};
    for (std::size_t h = 0; h < made->hubs.size(); ++h) {
      const hub_plan& hub = made->hubs[h];
      if (hub.output != static_cast<std::int32_t>(o)) continue;
      feed_hub shared{};
      shared.supply = 2 * core_of(hub.supply, metering_copper);
      if (hub.controller >= 0)
        for (ohms& each : shared.channel)
          each = parts.controllers[static_cast<std::size_t>(hub.controller)].switch_resistance;
      for (const run_plan& r : made->runs) {
        if (r.hub != static_cast<std::int32_t>(h) || is_fed_in_parts(r)) continue;
        const run& asked = question.runs[static_cast<std::size_t>(r.run)];
        const tape& t = parts.tapes[static_cast<std::size_t>(asked.tape)];
        const auto line = line_of(t, r.cut.segments, asked.ambient);
        if (!line.ok()) return {};
        source = t.nominal;
        run_stretch part;
        part.line = *line;
        out->stretches.push_back(part);
        feed_point point;
        point.common = core_of(r.feeder, metering_copper) + contact(hub.splice) + contact(r.connector);
        for (ohms& each : point.channel) each = point.common;
        out->feeds.push_back(point);
        fed_run run;
        run.hub = static_cast<std::int32_t>(out->hubs.size());
        out->runs.push_back(run);
      }
      out->hubs.push_back(shared);
    }
    if (out->runs.empty()) continue;
    out->close(source);
    all.push_back(std::move(out));
  }
  return all;
}

}  // namespace tapewright::test
