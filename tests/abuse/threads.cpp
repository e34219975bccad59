// SPDX-License-Identifier: BSL-1.0
// Eight threads call every function of the C interface at once, on the same structures and the same plan, under the thread
// sanitizer: there is no state to race for. Each thread's answers are folded into one word, and all words are the same.
#include <cstdio>
#include <random>
#include <thread>

#include "tests/abuse/any_call.hpp"

using namespace tapewright::abuse;

namespace {

/// The statuses of `calls` calls, as one word.
std::uint64_t hammer(std::uint32_t seed, int calls) {
  std::mt19937 random{seed};
  std::vector<std::uint8_t> bytes(300);
  std::uint64_t word = 0;
  for (int n = 0; n < calls; ++n) {
    for (std::uint8_t& b : bytes) b = static_cast<std::uint8_t>(random());
    const callable& f = callables()[static_cast<std::size_t>(n) % callables().size()];
    choices c{bytes.data(), bytes.data() + bytes.size()};
    word = word * 1'000'003 + static_cast<std::uint64_t>(f.call(c, f.name, f.arguments));
  }
  return word;
}

}  // namespace

int main(int argc, char** argv) {
  constexpr std::uint32_t seed = 20261127;
  const int calls = argc > 1 ? std::atoi(argv[1]) : 20'000;
  callables();
  small_plan();
  std::uint64_t words[8] = {};
  std::vector<std::thread> threads;
  for (std::uint64_t& word : words) threads.emplace_back([&word, calls] { word = hammer(seed, calls); });
  for (std::thread& t : threads) t.join();
  for (const std::uint64_t word : words)
    if (word != words[0]) return std::puts("threads answered otherwise than one another"), 1;
  std::printf("8 threads, %d calls each of %zu functions, seed %u: one word, %016llx\n", calls,
              callables().size(), seed, static_cast<unsigned long long>(words[0]));
}
