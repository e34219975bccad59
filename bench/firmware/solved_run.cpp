// SPDX-License-Identifier: BSL-1.0
// One run of the shop window's tape, solved exactly: the line is a constant in flash, the answer the caller's.
#include "examples/firmware/shop_window.hpp"
#include "subjects.hpp"
#include "tapewright/network/frugal_line.hpp"

using namespace tapewright;

namespace {
constexpr tape_line line_of_100 = *line_of(shop_window::colours, 100, celsius{40});
constexpr line_feed feed{
    volts{24}, ohms{0.05}, {ohms{0.05}, ohms{0.05}, ohms{0.05}, ohms{0.05}, ohms{0.05}, ohms{0.05}}};
tape_line line;
line_figures figures;
}  // namespace

bool solve_run(std::uint32_t segments, double& least_evenness) noexcept {
  line = line_of_100;
  line.segments = segments;
  const bool solved = !solve_line_frugally<5>(line, feed, figures);
  least_evenness = figures.least_evenness;
  return solved;
}
