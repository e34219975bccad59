// SPDX-License-Identifier: BSL-1.0
// The order as one text to read and print.
#pragma once

#include <string>

#include "planned.hpp"

namespace order_sheet {

/// Summary, order lines, cutting list, connection schedule, checks, readings, cautions, tasks.
std::string sheet_of(const planned& p);

}  // namespace order_sheet
