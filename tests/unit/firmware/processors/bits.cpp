// SPDX-License-Identifier: BSL-1.0
// Prints one word for each subject of the library and for the bookshop's plan, and one for all of them together: equal on
// every processor and compiler. Includes the job that print_job.cpp wrote.
#include <cstdint>

#include "bookshop.hpp"
#include "examples/firmware/console.hpp"
#include "tests/unit/firmware/processors/reference_fold.hpp"

using namespace tapewright;

namespace {

// room for the longest run's network as well, as the order sheet has it
constinit plan_storage<printed::runs_count, 65'536> storage;

void print(const char* what, const test::wide_fold& f, test::wide_fold& all) {
  console::write(what);
  console::write_hex(static_cast<std::uint32_t>(f.hash >> 32));
  console::write_hex(static_cast<std::uint32_t>(f.hash));
  console::write("\n");
  all.take(f.hash);
}

template <class Row, std::size_t N>
std::span<const Row> all_but_the_last(const Row (&rows)[N]) {
  return std::span<const Row>{rows}.first(N - 1);
}

}  // namespace

extern "C" int print_bits() {
  test::wide_fold all;
  print("scalar math ", test::fold_scalar_math(), all);
  print("rules       ", test::fold_rules(), all);
  print("sizing      ", test::fold_sizing(), all);
  print("network     ", test::fold_network(), all);

  job question{
      .zones = all_but_the_last(printed::zones), .runs = all_but_the_last(printed::runs), .rules = {}};
  std::size_t rule = 0;
  for (const rule_facts& r : rule_table) r.set(question.rules, printed::rules[rule++]);
  const catalogue parts{
      all_but_the_last(printed::tapes),      all_but_the_last(printed::cables),
      all_but_the_last(printed::connectors), all_but_the_last(printed::controllers),
      all_but_the_last(printed::drivers),    all_but_the_last(printed::overcurrent_devices)};
  const outcome<plan> made = make_plan(question, parts, storage.space());
  test::wide_fold plan;
  if (made) test::fold_plan(plan, *made);
  else plan.take(made.why());
  print("bookshop    ", plan, all);
  print("all         ", all, all);
  return made && plan.hash == printed::plan_word ? 0 : 1;
}

#if !defined(__wasm__)
int main() { return print_bits(); }
#endif
