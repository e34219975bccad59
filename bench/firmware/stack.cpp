// SPDX-License-Identifier: BSL-1.0
// Deepest stack of a call: paints the memory below, calls, and looks how far the paint is gone.
#include <cstdint>

#include "examples/firmware/console.hpp"
#include "examples/firmware/shop_window.hpp"
#include "run_sizing.hpp"
#include "scalar_sizing.hpp"
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

// in flash or static memory, so that the parts themselves are not on the stack that is measured
const firmware_bench::run_question question{
    shop_window::colours,
    metres{4.6},
    metres{4},
    {.code = "K-6x1.5",
     .name = "six core 1.5 mm2",
     .cores = 6,
     .conductor = {conductor_system::metric_class_5, square_millimetres{1.5}, 0},
     .conductor_limit = celsius{70},
     .rating = {},
     .core_colours = {},
     .sale_quantum = metres{1},
     .stock = {},
     .price = {}},
    shop_window::feed,
    shop_window::supply,
    {"F-5", "5 A blade", overcurrent_family::blade_fuse, amps{5}, volts{32}, {}},
    celsius{30}};
const firmware_bench::scalar_question scalars{
    amps{4},      amps{1},       metres{4},  volts{24},
    0.03,         0.1,           watts{100}, shop_window::supply.derating,
    watts{200},   celsius{40},   amps{10},   celsius{20},
    celsius{105}, question.fuse, amps{10},   amps{8}};
double evenness;
firmware_bench::run_answer run;
firmware_bench::scalar_answer scalar;
bool good = true;

}  // namespace

int main() {
  print("scalar-sizing", depth_of([] { good = good && firmware_bench::size_scalars(scalars, scalar); }));
  print("run-checked", depth_of([] { good = good && firmware_bench::size_run(question, run); }));
  print("run-solved-10", depth_of([] { good = good && solve_run(10, evenness); }));
  print("run-solved-100", depth_of([] { good = good && solve_run(100, evenness); }));
  print("run-solved-1000", depth_of([] { good = good && solve_run(1000, evenness); }));
  return good ? 0 : 1;
}
