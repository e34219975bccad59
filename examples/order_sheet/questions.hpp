// SPDX-License-Identifier: BSL-1.0
// What is asked about an order besides the order itself: what changed, what else would do, what stands in the way.
#pragma once

#include <string>

#include "planned.hpp"

namespace order_sheet {

/// What is different in `after`: order lines with quantity and price, then the runs.
std::string changes_text(const planned& before, const planned& after);

/// The next best orders that differ in kind, with their prices. The fault, if it cannot be asked, goes to `why`.
std::string alternatives_text(const planned& p, tapewright::fault& why);

/// The smallest set of demands that do not go together, and what would help; or that all go together.
std::string conflict_text(const planned& p, tapewright::fault& why);

}  // namespace order_sheet
