// SPDX-License-Identifier: BSL-1.0
// The guard on the host: what a simulator or a gateway with many controllers pays.
#include <benchmark/benchmark.h>

#include <cstddef>
#include <cstdint>

#include "../examples/firmware/shop_window.hpp"
#include "tapewright/firmware/channel_guard.hpp"
#include "tapewright/firmware/guarded_frame.hpp"

namespace {

using namespace tapewright;

constexpr std::size_t frames = 256;

/// A second or two of frames: `least` to 65535 on every channel, none alike.
struct reel {
  std::uint16_t duty[frames][5];

  explicit reel(std::uint32_t least, std::uint32_t most) {
    std::uint32_t state = 1;
    for (auto& frame : duty)
      for (std::uint16_t& d : frame) {
        state = state * 1664525 + 1013904223;
        d = static_cast<std::uint16_t>(least + (state >> 16) % (most - least + 1));
      }
  }
};

template <class Frame>
void run(benchmark::State& state, const reel& in, const Frame& frame) {
  guard_limits limits = shop_window::limits;
  benchmark::DoNotOptimize(limits);
  std::uint16_t out[5] = {};
  std::size_t at = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(frame(limits, in.duty[at++ % frames], out).word);
    benchmark::ClobberMemory();
  }
  state.SetItemsProcessed(static_cast<std::int64_t>(state.iterations()) * 5);
}

void within(benchmark::State& state) {
  run(state, reel{0, 30000},
      [](const guard_limits& l, const std::uint16_t* in, std::uint16_t* out) { return guard(l, in, out); });
}
void limiting(benchmark::State& state) {
  run(state, reel{50000, 65535},
      [](const guard_limits& l, const std::uint16_t* in, std::uint16_t* out) { return guard(l, in, out); });
}
void whole_frame(benchmark::State& state) {
  guard_state memory;
  run(state, reel{50000, 65535},
      [&memory](const guard_limits& l, const std::uint16_t* in, std::uint16_t* out) {
        return guard_frame(l, memory, in, out);
      });
}

BENCHMARK(within)->Name("guard of 5 channels within limits");
BENCHMARK(limiting)->Name("guard of 5 channels limiting");
BENCHMARK(whole_frame)->Name("whole guarded frame of 5 channels limiting");

}  // namespace
