// SPDX-License-Identifier: BSL-1.0
// Floating-point flags: no call of the C interface divides by zero, overflows or does what has no value, on good questions
// or bad ones. Where the machine can trap, the first such operation ends the program at its place; the flags are read too.
#ifndef _GNU_SOURCE
#define _GNU_SOURCE
#endif
#include <cfenv>
#include <cstdio>
#include <random>

#include "tests/abuse/any_call.hpp"

using namespace tapewright::abuse;

namespace {

/// What this test would say of a call that does divide by zero: it must see that.
bool sees_a_flag() {
  std::feclearexcept(FE_ALL_EXCEPT);
  volatile double zero = 0;
  volatile double made = 1 / zero;
  (void)made;
  return std::fetestexcept(FE_ALL_EXCEPT) == FE_DIVBYZERO;
}

/// The functions that solve networks may run off on absurd resistances: a march is then given up, and the line is solved in
/// another way. tapewright.h says so.
int forbidden_in(std::string_view function) {
  constexpr std::string_view solvers[] = {"tw_solve_line",
                                          "tw_longest_run",
                                          "tw_longest_fed_run",
                                          "tw_fewest_feeds",
                                          "tw_single_line",
                                          "tw_single_longest",
                                          "tw_plan_make",
                                          "tw_plan_make_by",
                                          "tw_alternatives_make",
                                          "tw_alternatives_plan",
                                          "tw_conflict_make",
                                          "tw_solve_network",
                                          "tw_solve_warm_network",
                                          "tw_solve_dimmed_network",
                                          "tw_closed_line",
                                          "tw_network_sensitivity",
                                          "tw_network_bounds",
                                          "tw_swap_feeder",
                                          "tw_collapse_factor",
                                          "tw_plan_solve_output",
                                          "tw_explain_sensitivity",
                                          "tw_explain_bounds",
                                          "tw_explain_feeder_swap",
                                          "tw_explain_collapse",
                                          "tw_network_light_sensitivity",
                                          "tw_explain_light_sensitivity"};
  for (const std::string_view s : solvers)
    if (function == s) return FE_DIVBYZERO;
  return FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW;
}

/// A whole job and a line that a fitter could ask raise nothing at all.
bool ordinary_questions_raise_nothing() {
  std::feclearexcept(FE_ALL_EXCEPT);
  small_plan();
  double last_v = 0, evenness = 0, step = 0, current_a = 0;
  if (tw_single_line(0, 9.6, 24, 19.2, 0.024, 0.024, 0.05, 4.6, 30, 24, 0.1, &last_v, &evenness, &step,
                     &current_a, nullptr) != TW_OK)
    return false;
  return std::fetestexcept(FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW) == 0;
}

}  // namespace

int main(int argc, char** argv) {
  constexpr std::uint32_t seed = 20261127;
  const int calls = argc > 1 ? std::atoi(argv[1]) : 300'000;
  const bool trap = argc > 2 && std::strcmp(argv[2], "trap") == 0;
  if (!sees_a_flag()) return std::puts("a division by zero raises no flag here: nothing can be tested"), 1;
  if (!ordinary_questions_raise_nothing()) return std::puts("a plan or a line raises a flag"), 1;
  std::mt19937 random{seed};
  std::vector<std::uint8_t> bytes(700);
  std::vector<int> answered(callables().size()), raised(callables().size());
  for (int n = 0; n < calls; ++n) {
    for (std::uint8_t& b : bytes) b = static_cast<std::uint8_t>(random());
    const std::size_t which = static_cast<std::size_t>(n) % callables().size();
    const callable& f = callables()[which];
    choices c{bytes.data(), bytes.data() + bytes.size()};
    flags_of_call = 0;
    forbidden_flags = forbidden_in(f.name);
    watched = trap ? watch::trap : watch::flags;
    const int status = f.call(c, f.name, f.arguments);
    if (status == TW_OK) ++answered[which];
    if ((flags_of_call & forbidden_flags) != 0 && raised[which]++ == 0)
      std::printf("%s: call %d of seed %u raises%s%s%s, status %d\n", f.name, n, seed,
                  flags_of_call & FE_INVALID ? " invalid" : "",
                  flags_of_call & FE_DIVBYZERO ? " divide-by-zero" : "",
                  flags_of_call & FE_OVERFLOW ? " overflow" : "", status);
  }
  int bad = 0, idle = 0;
  for (std::size_t i = 0; i < callables().size(); ++i) {
    bad += raised[i] > 0;
    if (answered[i] == 0)
      std::printf("%s: never answered in %d calls\n", callables()[i].name,
                  calls / static_cast<int>(callables().size())),
          ++idle;
  }
  std::printf("%d calls of %zu functions, seed %u: %d functions raise a flag, %d never answered\n", calls,
              callables().size(), seed, bad, idle);
  // a list that the small job's plan has nothing in never answers; when many functions do not, little was tested
  return bad > 0 || static_cast<std::size_t>(idle) * 20 > callables().size() ? 1 : 0;
}
