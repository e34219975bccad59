// SPDX-License-Identifier: BSL-1.0
// The lists of an order: what to buy, to cut, to connect, to check, to measure and to mind.
#pragma once

#include "list.hpp"
#include "planned.hpp"

namespace order_sheet {

list order_list(const planned& p);
list cutting_list(const planned& p);
list connection_list(const planned& p);
list check_list(const planned& p);
list reading_list(const planned& p);
list note_list(const planned& p);

}  // namespace order_sheet
