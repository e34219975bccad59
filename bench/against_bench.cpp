// SPDX-License-Identifier: BSL-1.0
// A tape solved by the library, by a circuit simulator and by a sparse Newton solver, side by side in one run.
#include <benchmark/benchmark.h>

#include <Eigen/SparseLU>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "bench/tape_cases.hpp"
#include "support/spice.hpp"
#include "tapewright/network/closed_line.hpp"
#include "tapewright/network/tape_line.hpp"

namespace {

using namespace tapewright;
using namespace tapewright::bench;
using test::dense_network;

/// The question that all are asked: a tape of equal segments, fed at some points through equal leads.
struct question {
  tape t;
  std::int64_t segments;
  std::vector<std::int64_t> at;
  tape_line line;
  line_feed feed = bench_feed();

  question(std::size_t channels, std::int64_t n, std::vector<std::int64_t> places)
      : t{bench_tape(channels, load_kind::resistor_limited)},
        segments{n},
        at{std::move(places)},
        line{*line_of(t, n, celsius{40})} {}
};
const question& one_end() {
  static const question q{1, 200, {0}};
  return q;
}
const question& three_feeds() {
  static const question q{5, 200, {0, 100, 200}};
  return q;
}

/// The same by nodes, and by as few as there can be: the two of each load, and those of a feed point. What stands
/// in series between two of them is one resistor.
struct by_nodes {
  dense_network net;
  std::vector<int> loads;
  int source = net.node();

  explicit by_nodes(const question& q) {
    const auto channels = static_cast<std::size_t>(q.line.channels);
    net.fix(source, test::wide(q.feed.source.v));
    std::vector<int> before;  // nodes left of here, common first; none at the near end
    double pitches = 0;       // of trace since
    std::size_t next = 0;
    const auto conductor = [&](std::size_t m) {
      return test::wide(m == 0 ? q.line.common.v : q.line.channel[m - 1].v);
    };
    const auto connect = [&](const std::vector<int>& here) {
      for (std::size_t m = 0; m < here.size() && !before.empty(); ++m)
        net.resistor(before[m], here[m], conductor(m) * test::wide(pitches));
      before = here;
      pitches = 0;
    };
    const auto fresh = [&] {
      std::vector<int> nodes(channels + 1);
      for (int& n : nodes) n = net.node();
      return nodes;
    };
    for (std::int64_t k = 0; k <= q.segments; ++k) {
      if (next < q.at.size() && q.at[next] == k) {
        const std::vector<int> point = fresh();
        for (std::size_t m = 0; m <= channels; ++m)
          net.resistor(m == 0 ? source : 0, point[m],
                       test::wide(m == 0 ? q.feed.common.v : q.feed.channel[m - 1].v));
        connect(point);
        ++next;
      }
      if (k == q.segments) break;
      pitches += 0.5;
      const std::vector<int> here = fresh();
      connect(here);
      for (std::size_t c = 0; c < channels; ++c)
        loads.push_back(net.load(here[0], here[1 + c], oracle_law_of(q.t, c)));
      pitches += 0.5;
    }
  }

 private:
  static test::nodal_load oracle_law_of(const tape& t, std::size_t c) {
    return {test::nodal_load::law::resistor_limited,
            test::wide(t.channels[c].load.v) * test::wide(t.cut_pitch.v), test::wide(t.nominal.v),
            test::wide(t.channels[c].knee.v)};
  }
};

/// Newton's method by nodes with Eigen's SparseLU: the pattern is analysed once, the values are written in
/// place, a step starts at the source voltage and the last step is below the library's own tolerance.
class sparse_newton {
 public:
  explicit sparse_newton(const question& q) : nodes_{q} {
    const dense_network& net = nodes_.net;
    net.each_resistor([&](int a, int b, long double) { number(a), number(b); });
    std::vector<Eigen::Triplet<double>> entries;
    const auto stamp = [&](int a, int b, double g) {
      const int i = number(a), j = number(b);
      if (i >= 0) entries.emplace_back(i, i, g);
      if (j >= 0) entries.emplace_back(j, j, g);
      if (i >= 0 && j >= 0) entries.emplace_back(i, j, -g), entries.emplace_back(j, i, -g);
    };
    wiring_b_ = Eigen::VectorXd::Zero(size());
    net.each_resistor([&](int a, int b, long double siemens) {
      const auto g = static_cast<double>(siemens);
      stamp(a, b, g);
      if (a == nodes_.source && number(b) >= 0) wiring_b_[number(b)] += g * q.feed.source.v;
      if (b == nodes_.source && number(a) >= 0) wiring_b_[number(a)] += g * q.feed.source.v;
    });
    net.each_load([&](int a, int b, const test::nodal_load&) { stamp(a, b, 0); });
    matrix_.resize(size(), size());
    matrix_.setFromTriplets(entries.begin(), entries.end());
    matrix_.makeCompressed();
    wiring_.assign(matrix_.valuePtr(), matrix_.valuePtr() + matrix_.nonZeros());
    net.each_load([&](int a, int b, const test::nodal_load& l) {
      const auto place = [&](int i, int j) { return &matrix_.coeffRef(i, j) - matrix_.valuePtr(); };
      const int i = number(a), j = number(b);
      const auto low = static_cast<double>(l.knee_v);
      loads_.push_back({i,
                        j,
                        {place(i, i), place(j, j), place(i, j), place(j, i)},
                        low,
                        static_cast<double>(l.nominal_w / l.nominal_v / (l.nominal_v - l.knee_v))});
      starts_at_source_.push_back(i);
    });
    solver_.analyzePattern(matrix_);
    source_ = q.feed.source.v;
    tolerance_ = 5e-13 * source_;
  }

  /// Steps taken; 0 when it fails.
  int solve() {
    potential_.setZero(size());
    for (const int i : starts_at_source_) potential_[i] = source_;
    for (int step = 1; step < 50; ++step) {
      double* values = matrix_.valuePtr();
      std::copy(wiring_.begin(), wiring_.end(), values);
      b_ = wiring_b_;
      for (const load& l : loads_) {
        const double v = potential_[l.from] - potential_[l.to];
        const double g = v > l.dark_below ? l.slope : 0, s = -g * l.dark_below;
        values[l.place[0]] += g;
        values[l.place[1]] += g;
        values[l.place[2]] -= g;
        values[l.place[3]] -= g;
        b_[l.from] -= s;
        b_[l.to] += s;
      }
      solver_.factorize(matrix_);
      if (solver_.info() != Eigen::Success) return 0;
      next_ = solver_.solve(b_);
      const double longest = (next_ - potential_).lpNorm<Eigen::Infinity>();
      potential_.swap(next_);
      if (longest <= tolerance_) return step;
    }
    return 0;
  }
  double load_voltage(std::size_t l) const { return potential_[loads_[l].from] - potential_[loads_[l].to]; }

 private:
  struct load {
    int from, to;
    std::ptrdiff_t place[4];
    double dark_below, slope;
  };
  int number(int node) {
    if (node == 0 || node == nodes_.source) return -1;
    const auto at = static_cast<std::size_t>(node);
    if (index_.size() <= at) index_.resize(at + 1, -1);
    if (index_[at] < 0) index_[at] = count_++;
    return index_[at];
  }
  int size() const { return count_; }

  by_nodes nodes_;
  std::vector<int> index_, starts_at_source_;
  int count_ = 0;
  Eigen::SparseMatrix<double> matrix_;
  Eigen::SparseLU<Eigen::SparseMatrix<double>> solver_;
  std::vector<double> wiring_;
  Eigen::VectorXd wiring_b_, b_, potential_, next_;
  std::vector<load> loads_;
  double source_ = 0, tolerance_ = 0;
};

/// What the library says of the voltages, for the others to be held to.
std::vector<volts> library_voltages(const question& q) {
  fed_tape f{q.line, q.feed, q.at};
  std::vector<volts> v(static_cast<std::size_t>(q.segments * q.line.channels));
  const fed_run_profile profile{v, {}, {}};
  if (!solve_network(f.net, f.room, {&f.figures, 1}, {&profile, 1}).ok()) v.clear();
  return v;
}
constexpr double agreement_v = 1e-9;  // of voltages; nobody is timed while wrong

void line_here(benchmark::State& state) {
  tape_line line = one_end().line;
  line_feed feed = one_end().feed;
  for (auto _ : state) {
    benchmark::DoNotOptimize(line);
    benchmark::DoNotOptimize(feed);
    auto got = solve_line(line, feed);
    benchmark::DoNotOptimize(got);
    if (!got.ok()) state.SkipWithError("no solution");
  }
}
BENCHMARK(line_here)->Name("1 channel of 200 segments, one end, marched");

void closed_here(benchmark::State& state) {
  tape_line line = one_end().line;
  line_feed feed = one_end().feed;
  for (auto _ : state) {
    benchmark::DoNotOptimize(line);
    benchmark::DoNotOptimize(feed);
    auto got = closed_line(line, feed);
    benchmark::DoNotOptimize(got);
    if (!got.ok() || got->steps != 0) state.SkipWithError("no closed form");
  }
}
BENCHMARK(closed_here)->Name("1 channel of 200 segments, one end, closed form");

void network_here(benchmark::State& state) {
  fed_tape f{three_feeds().line, three_feeds().feed, three_feeds().at};
  for (auto _ : state) {
    benchmark::DoNotOptimize(f.stretch);
    auto got = f.solve();
    benchmark::DoNotOptimize(got);
    if (!got.ok()) state.SkipWithError("no solution");
  }
}
BENCHMARK(network_here)->Name("5 channels of 200 segments, three feeds");

void check_spice(benchmark::State& state, const by_nodes& nodes, const question& q) {
  const std::vector<volts> want = library_voltages(q);
  for (std::size_t l = 0; l < nodes.loads.size(); ++l) {
    const auto [a, b] = nodes.net.load_nodes(nodes.loads[l]);
    const double got = test::spice::the().voltage(a) - test::spice::the().voltage(b);
    if (l >= want.size() || !(std::fabs(got - want[l].v) <= agreement_v))
      state.SkipWithError("ngspice says otherwise");
  }
}

void solved_by_spice(benchmark::State& state, const question& (*asked)()) {
  const by_nodes nodes{asked()};
  std::vector<std::string> lines = test::spice::netlist(nodes.net);
  test::spice& ng = test::spice::the();
  ng.load(lines);
  ng.run();
  check_spice(state, nodes, asked());
  for (auto _ : state) {
    ng.run();
    state.PauseTiming();
    ng.drop_results();
    state.ResumeTiming();
  }
  ng.forget();
}
void handed_to_spice(benchmark::State& state, const question& (*asked)()) {
  const by_nodes nodes{asked()};
  const std::vector<std::string> netlist = test::spice::netlist(nodes.net);
  for (auto _ : state) {
    std::vector<std::string> lines = netlist;  // it may write into them
    test::spice& ng = test::spice::the();
    ng.load(lines);
    ng.run();
    ng.forget();
  }
}
BENCHMARK_CAPTURE(solved_by_spice, one_end, &one_end)
    ->Name("1 channel of 200 segments, one end, ngspice, parsed already")
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(handed_to_spice, one_end, &one_end)
    ->Name("1 channel of 200 segments, one end, ngspice with the netlist")
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(solved_by_spice, three_feeds, &three_feeds)
    ->Name("5 channels of 200 segments, three feeds, ngspice, parsed already")
    ->Unit(benchmark::kMillisecond);

void solved_sparsely(benchmark::State& state) {
  sparse_newton newton{three_feeds()};
  if (newton.solve() == 0) state.SkipWithError("no solution");
  const std::vector<volts> want = library_voltages(three_feeds());
  for (std::size_t l = 0; l < want.size(); ++l)
    if (!(std::fabs(newton.load_voltage(l) - want[l].v) <= agreement_v))
      state.SkipWithError("another solution");
  for (auto _ : state) {
    int steps = newton.solve();
    benchmark::DoNotOptimize(steps);
    if (steps == 0) state.SkipWithError("no solution");
    state.counters["steps"] = steps;
  }
}
BENCHMARK(solved_sparsely)
    ->Name("5 channels of 200 segments, three feeds, Newton with Eigen SparseLU")
    ->Unit(benchmark::kMillisecond);

}  // namespace
