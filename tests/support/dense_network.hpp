// SPDX-License-Identifier: BSL-1.0
// An oracle for networks: any nodes, resistors, fixed potentials and loads, by nodal analysis.
//
// It shares nothing with the library: node potentials instead of load voltages, its own load laws from
// the formulas of the trade, long double throughout, Gaussian elimination with row pivoting over the
// whole matrix (rows keep only the window between their first and last nonzero).
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <utility>
#include <vector>

namespace tapewright::test {

/// A double as the oracle takes it, exactly.
constexpr long double wide(double x) noexcept { return static_cast<long double>(x); }

/// A load's law from its nominal point and knee.
struct nodal_load {
  enum class law { resistor_limited, regulated, constant_power } kind = law::resistor_limited;
  long double nominal_w = 0, nominal_v = 24, knee_v = 0;

  struct point {
    long double current, slope;
  };
  point at(long double v) const noexcept {
    const long double i_n = nominal_w / nominal_v;
    switch (kind) {
      case law::resistor_limited:
        return v > knee_v ? point{i_n * (v - knee_v) / (nominal_v - knee_v), i_n / (nominal_v - knee_v)}
                          : point{0, 0};
      case law::regulated: {
        const long double dropout = knee_v < 1e-3L ? 1e-3L : knee_v;
        return v >= dropout ? point{i_n, 0} : v > 0 ? point{i_n * v / dropout, i_n / dropout} : point{0, 0};
      }
      case law::constant_power:
        return v > 0 && v >= knee_v ? point{nominal_w / v, -nominal_w / (v * v)} : point{0, 0};
    }
    return {0, 0};
  }
};

class dense_network {
 public:
  using real = long double;

  /// Node 0 is there from the start and stays at 0 V.
  dense_network() { fix(node(), 0); }

  int node() {
    fixed_.push_back(false);
    potential_.push_back(0);
    same_as_.push_back(static_cast<int>(same_as_.size()));
    return static_cast<int>(same_as_.size()) - 1;
  }
  void fix(int n, real volts) {
    fixed_[at(n)] = true;
    potential_[at(n)] = volts;
  }
  /// A resistor; one of 0 ohm makes its two nodes one (the second must not be fixed).
  void resistor(int a, int b, real ohms) {
    if (ohms < 0) throw std::invalid_argument("negative resistance");
    if (ohms > 0) resistors_.push_back({a, b, 1 / ohms});
    else if (root(a) != root(b)) {
      if (fixed_[at(root(b))] && fixed_[at(root(a))])
        throw std::invalid_argument("a short between two sources");
      if (fixed_[at(root(b))]) std::swap(a, b);
      same_as_[at(root(b))] = root(a);
    }
  }
  int load(int from, int to, nodal_load law) {
    loads_.push_back({from, to, law});
    return static_cast<int>(loads_.size()) - 1;
  }
  std::size_t load_count() const noexcept { return loads_.size(); }

  /// The parts by merged nodes, for other oracles: visit(a, b, siemens), visit(from, to, law), visit(node, volts).
  template <class Visit>
  void each_resistor(const Visit& visit) const {
    for (const branch& r : resistors_)
      if (root(r.a) != root(r.b)) visit(root(r.a), root(r.b), r.siemens);
  }
  template <class Visit>
  void each_load(const Visit& visit) const {
    for (const consumer& l : loads_) visit(root(l.from), root(l.to), l.law);
  }
  template <class Visit>
  void each_fixed(const Visit& visit) const {
    for (int n = 1; n < static_cast<int>(same_as_.size()); ++n)
      if (root(n) == n && fixed_[at(n)]) visit(n, potential_[at(n)]);
  }
  int merged(int n) const { return root(n); }
  std::pair<int, int> load_nodes(int l) const { return {root(loads_[at(l)].from), root(loads_[at(l)].to)}; }

  real voltage(int n) const { return potential_[at(root(n))]; }
  real load_voltage(int l) const { return voltage(loads_[at(l)].from) - voltage(loads_[at(l)].to); }
  real load_current(int l) const { return loads_[at(l)].law.at(load_voltage(l)).current; }
  /// Current out of a fixed node into the network.
  real current_from(int n) const {
    real sum = 0;
    for (const branch& r : resistors_) {
      if (root(r.a) == root(n)) sum += r.siemens * (voltage(r.a) - voltage(r.b));
      if (root(r.b) == root(n)) sum += r.siemens * (voltage(r.b) - voltage(r.a));
    }
    for (const consumer& l : loads_) {
      const real i = l.law.at(voltage(l.from) - voltage(l.to)).current;
      if (root(l.from) == root(n)) sum += i;
      if (root(l.to) == root(n)) sum -= i;
    }
    return sum;
  }

  /// Settles all potentials. False when there is no operating point with every constant-power load
  /// above its limit (or none at all was found, which the caller should treat as a failure for
  /// networks without such loads). Newton from the network without its loads; each step is cut back
  /// until the energy falls along it.
  bool solve() {
    number();
    const std::size_t n = unknowns_.size();
    bool power = false;
    for (const consumer& l : loads_) power = power || l.law.kind == nodal_load::law::constant_power;
    std::vector<real> step(n);
    if (!newton_step(step, false)) return false;
    for (std::size_t i = 0; i < n; ++i) potential_[at(unknowns_[i])] += step[i];
    for (int round = 0; round < 400; ++round) {
      if (!newton_step(step, true)) return false;
      real longest = 0;
      for (const real s : step) longest = std::fmax(longest, std::fabs(s));
      if (!(longest < 1e6L)) return false;
      real share = 1;
      if (power) {
        for (int tries = 0; !above_limits(step, share); share /= 2)
          if (++tries > 60) return false;
      } else if (longest > 1e-12L) {
        const real start = slope(step, 0);
        for (int tries = 0; tries < 60 && slope(step, share) > 1e-6L * -start; ++tries) share /= 2;
      }
      move(step, share);
      if (longest < 1e-12L && share == 1) return true;  // the next step would be smaller still
    }
    return false;
  }

 private:
  struct branch {
    int a, b;
    real siemens;
  };
  struct consumer {
    int from, to;
    nodal_load law;
  };
  struct window {
    std::size_t first = 0;
    std::vector<real> v;
  };

  static std::size_t at(int i) { return static_cast<std::size_t>(i); }
  int root(int n) const {
    while (same_as_[at(n)] != n) n = same_as_[at(n)];
    return n;
  }

  void number() {
    // in the order of the last node merged into each, so that a conductor without resistance, which
    // touches everything, comes last and fills nothing in
    unknowns_.clear();
    index_.assign(same_as_.size(), -1);
    for (int n = static_cast<int>(same_as_.size()); n-- > 0;) {
      const int r = root(n);
      if (fixed_[at(r)] || index_[at(r)] >= 0) continue;
      index_[at(r)] = 0;
      unknowns_.push_back(r);
    }
    std::reverse(unknowns_.begin(), unknowns_.end());
    for (std::size_t i = 0; i < unknowns_.size(); ++i) index_[at(unknowns_[i])] = static_cast<int>(i);
  }
  int index(int n) const { return index_[at(root(n))]; }

  /// Currents that leave each unknown node, at the potentials moved by `share` of a step.
  std::vector<real> imbalance(bool with_loads) const {
    std::vector<real> out(unknowns_.size());
    const auto add = [&](int n, real i) {
      if (index(n) >= 0) out[at(index(n))] += i;
    };
    for (const branch& r : resistors_) {
      const real i = r.siemens * (voltage(r.a) - voltage(r.b));
      add(r.a, i);
      add(r.b, -i);
    }
    if (with_loads)
      for (const consumer& l : loads_) {
        const real i = l.law.at(voltage(l.from) - voltage(l.to)).current;
        add(l.from, i);
        add(l.to, -i);
      }
    return out;
  }
  void move(const std::vector<real>& step, real share) {
    for (std::size_t i = 0; i < step.size(); ++i) potential_[at(unknowns_[i])] += share * step[i];
  }
  real slope(const std::vector<real>& step, real share) {
    const std::vector<real> before = potential_;
    move(step, share);
    const std::vector<real> f = imbalance(true);
    real s = 0;
    for (std::size_t i = 0; i < step.size(); ++i) s += f[i] * step[i];
    potential_ = before;
    return s;
  }
  bool above_limits(const std::vector<real>& step, real share) {
    const std::vector<real> before = potential_;
    move(step, share);
    bool above = true;
    for (const consumer& l : loads_)
      if (l.law.kind == nodal_load::law::constant_power && l.law.nominal_w > 0)
        above = above && l.law.at(voltage(l.from) - voltage(l.to)).current > 0;
    potential_ = before;
    return above;
  }

  bool newton_step(std::vector<real>& step, bool with_loads) {
    const std::size_t n = unknowns_.size();
    std::vector<window> row(n);
    const auto entry = [&](int a, int b) -> real& {
      window& w = row[at(a)];
      const std::size_t c = at(b);
      if (w.v.empty()) w.first = c, w.v.assign(1, 0);
      if (c < w.first) w.v.insert(w.v.begin(), w.first - c, 0), w.first = c;
      if (c >= w.first + w.v.size()) w.v.resize(c - w.first + 1, 0);
      return w.v[c - w.first];
    };
    const auto conductance = [&](int p, int q, real g) {
      const int a = index(p), b = index(q);
      if (a == b) return;
      if (a >= 0) entry(a, a) += g;
      if (b >= 0) entry(b, b) += g;
      if (a >= 0 && b >= 0) entry(a, b) -= g, entry(b, a) -= g;
    };
    for (std::size_t i = 0; i < n; ++i) entry(static_cast<int>(i), static_cast<int>(i)) += 0;
    for (const branch& r : resistors_) conductance(r.a, r.b, r.siemens);
    if (with_loads)
      for (const consumer& l : loads_)
        conductance(l.from, l.to, l.law.at(voltage(l.from) - voltage(l.to)).slope);
    std::vector<real> b = imbalance(with_loads);
    for (real& x : b) x = -x;
    // elimination; `alive` holds the rows that begin at or before column k and were no pivot yet
    std::vector<std::vector<std::size_t>> begins(n);
    for (std::size_t i = 0; i < n; ++i) begins[row[i].first].push_back(i);
    std::vector<std::size_t> alive, pivot_row(n);
    for (std::size_t k = 0; k < n; ++k) {
      alive.insert(alive.end(), begins[k].begin(), begins[k].end());
      const auto value = [&](std::size_t i) {
        return k >= row[i].first + row[i].v.size() ? real{0} : row[i].v[k - row[i].first];
      };
      std::size_t best = 0;
      for (std::size_t a = 1; a < alive.size(); ++a)
        if (std::fabs(value(alive[a])) > std::fabs(value(alive[best]))) best = a;
      if (alive.empty() || !(std::fabs(value(alive[best])) > 0)) return false;
      const std::size_t p = pivot_row[k] = alive[best];
      alive[best] = alive.back();
      alive.pop_back();
      const std::size_t end = row[p].first + row[p].v.size();
      for (const std::size_t i : alive) {
        const real m = value(i) / value(p);
        if (m == 0) continue;
        if (row[i].first + row[i].v.size() < end) row[i].v.resize(end - row[i].first, 0);
        for (std::size_t c = k + 1; c < end; ++c)
          row[i].v[c - row[i].first] -= m * row[p].v[c - row[p].first];
        b[i] -= m * b[p];
      }
    }
    for (std::size_t k = n; k-- > 0;) {
      const window& w = row[pivot_row[k]];
      real x = b[pivot_row[k]];
      for (std::size_t c = k + 1; c < w.first + w.v.size(); ++c) x -= w.v[c - w.first] * step[c];
      step[k] = x / w.v[k - w.first];
    }
    return true;
  }

  std::vector<bool> fixed_;
  std::vector<real> potential_;
  std::vector<int> same_as_;
  std::vector<branch> resistors_;
  std::vector<consumer> loads_;
  std::vector<int> unknowns_, index_;
};

}  // namespace tapewright::test
