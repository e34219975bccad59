// SPDX-License-Identifier: BSL-1.0
// Room for a plan on the heap, as large as its job asks for: the order sheet's own.
#pragma once

#include "examples/order_sheet/plan_room.hpp"

namespace tapewright::test {
using order_sheet::plan_room;
}
