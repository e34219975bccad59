// SPDX-License-Identifier: BSL-1.0
// Deepest stack of a call: paints the memory below, calls, and looks how far the paint is gone.
#include <cstdint>

#include "examples/firmware/console.hpp"
#include "questions.hpp"
#include "subjects.hpp"

using namespace tapewright;

namespace {

constexpr std::uint32_t paint = 0xa5a5a5a5, words = 2048;  // 8 KiB

/// Bytes below the caller's frame that `call` used.
template <class Call>
[[gnu::noinline]] std::uint32_t depth_of(Call call) {
  std::uint32_t here;
  __asm__ volatile("mov %0, sp" : "=r"(here));
  auto* const top = reinterpret_cast<volatile std::uint32_t*>(here);
  for (std::uint32_t i = 1; i <= words; ++i) top[-static_cast<std::int32_t>(i)] = paint;
  call();
  std::uint32_t untouched = words;
  while (untouched > 0 && top[-static_cast<std::int32_t>(untouched)] == paint) --untouched;
  return 4 * untouched;
}

void print(const char* what, std::uint32_t bytes) {
  console::write(what);
  console::write(" ");
  console::write_number(bytes);
  console::write("\n");
}

// static, so that the parts themselves are not on the stack that is measured
double evenness;
firmware_bench::run_answer run;
firmware_bench::scalar_answer scalar;
bool good = true;

}  // namespace

int main() {
  print("scalar-sizing",
        depth_of([] { good = good && firmware_bench::size_scalars(firmware_bench::scalars, scalar); }));
  print("run-checked",
        depth_of([] { good = good && firmware_bench::size_run(firmware_bench::question, run); }));
  print("run-solved-10", depth_of([] { good = good && solve_run(10, evenness); }));
  print("run-solved-100", depth_of([] { good = good && solve_run(100, evenness); }));
  print("run-solved-1000", depth_of([] { good = good && solve_run(1000, evenness); }));
  return good ? 0 : 1;
}
