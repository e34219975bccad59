// SPDX-License-Identifier: BSL-1.0
// One run's cable, driver and tape checked in double on any board: prints the bits of every figure.
#include <bit>
#include <cstdint>

#include "bench/firmware/questions.hpp"
#include "bench/firmware/subjects.hpp"
#include "examples/firmware/console.hpp"

namespace {

void print(const char* what, double figure) {
  const auto bits = std::bit_cast<std::uint64_t>(figure);
  console::write(what);
  console::write_hex(static_cast<std::uint32_t>(bits >> 32));
  console::write_hex(static_cast<std::uint32_t>(bits));
  console::write("\n");
}

}  // namespace

int main() {
  using namespace firmware_bench;
  scalar_answer s;
  run_answer r;
  double evenness = 0;
  if (!size_scalars(scalars, s) || !size_run(question, r) || !solve_run(46, evenness)) return 1;
  print("exact area      ", s.exact.v);
  print("made            ", s.made.v);
  print("drop            ", s.drop.v);
  print("driver needed   ", s.needed.v);
  print("driver available", s.available.v);
  print("contact         ", s.contact.v);
  print("fuse            ", s.fuse_use);
  print("run: drop       ", r.drop.v);
  print("run: one channel", r.least_drop.v);
  print("run: area       ", r.area.v);
  print("run: cable      ", r.cable_use);
  print("run: driver     ", r.driver_use);
  print("run: connector  ", r.connector_use);
  print("run: fuse       ", r.fuse_use);
  print("run: evenness   ", evenness);
  console::write(s.fits ? "scalars fit\n" : "scalars do not fit\n");
  console::write(r.fits ? "run fits\n" : "run does not fit\n");
  return 0;
}
