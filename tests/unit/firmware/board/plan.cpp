// SPDX-License-Identifier: BSL-1.0
// The whole plan of a job of three runs on a board with room for it: prints the order and one word for everything.
#include <cstdint>

#include "examples/firmware/console.hpp"
#include "tests/support/small_job.hpp"
#include "tests/unit/firmware/plan_fold.hpp"

namespace {
tapewright::plan_storage<3> storage;
}

int main() {
  using console::write;
  const auto made = tapewright::make_plan(small_job::question(), small_job::parts, storage.space());
  if (!made) return 1;
  for (const tapewright::order_line& line : made->order) {
    write("kind");
    console::write_number(static_cast<std::uint32_t>(line.part.kind), 2);
    write(", row");
    console::write_number(static_cast<std::uint32_t>(line.part.index), 2);
    write(":");
    console::write_number(static_cast<std::uint32_t>(line.quantity), 3);
    write("\n");
  }
  tapewright::test::wide_fold fold;
  tapewright::test::fold_plan(fold, *made);
  write("plan ");
  console::write_hex(static_cast<std::uint32_t>(fold.hash >> 32));
  console::write_hex(static_cast<std::uint32_t>(fold.hash));
  write("\n");
  return 0;
}
