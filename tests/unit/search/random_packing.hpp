// SPDX-License-Identifier: BSL-1.0
// Random packings for laws and oracles, and a search through all answers for the tiny ones.
#pragma once

#include <algorithm>
#include <cstdint>
#include <map>
#include <vector>

#include "tapewright/plan/search/packing.hpp"
#include "tests/support/random.hpp"

namespace tapewright::test {

struct packing_case {
  std::vector<packing_item> items;
  std::vector<packing_type> types;
  std::int32_t loads = 1, oversize_in = 0;
  bool one_leads = false;
  std::int64_t steps = default_search_steps;

  packing_question question() const {
    return {.items = items,
            .types = types,
            .loads = loads,
            .oversize_in = oversize_in,
            .one_leads = one_leads,
            .steps = steps};
  }
};

/// Storage of any size for programs that have a heap.
struct packing_heap {
  std::vector<tapewright::detail::packing_item_row> items;
  std::vector<tapewright::detail::packing_type_row> types;
  std::vector<tapewright::detail::packing_bin_row> bins;
  std::vector<std::int32_t> bin_of;
  std::vector<packed_bin> packed;

  packing_heap(std::size_t item_count, std::size_t type_count) {
    const packing_counts counts = packing_room(item_count, type_count);
    items.resize(counts.items);
    types.resize(counts.types);
    bins.resize(counts.bins);
    bin_of.resize(counts.bin_of);
    packed.resize(counts.packed);
  }
  packing_space space() { return {items, types, bins, bin_of, packed}; }
};

/// Which of the rules a family uses.
struct packing_family {
  std::int64_t most_items = 6, most_types = 4;
  std::int32_t loads = 1;
  bool shared_parts = false, leaders = false, lone_items = false, least_loads = false, unpriced = false;
};

/// Controllers over drivers in decawatts, as rough as catalogues are: dearer is larger as a rule, not always.
inline packing_case random_packing(random_source& random, const packing_family& family) {
  packing_case c;
  c.loads = family.loads;
  c.one_leads = family.leaders;
  c.oversize_in = static_cast<std::int32_t>(random.integer(0, family.loads - 1));
  const std::int64_t items = random.integer(1, family.most_items);
  const std::int64_t types = random.integer(1, family.most_types);
  const std::int64_t greatest = random.integer(5, 60);
  const std::int64_t price_step = random.one_in(2) ? 1 : 50;
  for (std::int64_t i = 0; i < items; ++i) {
    packing_item item{.rank = i};
    for (std::int32_t d = 0; d < family.loads; ++d) item.load[d] = random.integer(d == 0 ? 1 : 0, greatest);
    if (!c.items.empty() && random.one_in(4)) std::copy_n(c.items.back().load, packing_loads, item.load);
    c.items.push_back(item);
  }
  for (std::int64_t t = 0; t < types; ++t) {
    packing_type type{.rank = t};
    const std::int64_t size = random.integer(greatest / 2, 3 * greatest);
    for (std::int32_t d = 0; d < family.loads; ++d)
      type.capacity[d] = size + random.integer(-greatest / 4, greatest / 4);
    type.price.minor = (size * random.integer(6, 10) + 3 * greatest) / price_step * price_step;
    if (family.shared_parts && random.one_in(2)) {
      type.outputs = static_cast<std::int32_t>(random.integer(2, 4));
      type.price.minor *= type.outputs - 1;
    }
    if (type.price.minor <= 0) type.price.minor = 1;
    if (family.unpriced && random.one_in(3)) type.price.minor = 0;
    if (family.lone_items && random.one_in(2))
      type.most_items = static_cast<std::int32_t>(random.integer(1, 2));
    if (family.least_loads && random.one_in(2)) type.least = random.integer(0, size);
    if (family.leaders) {
      type.may_lead = random.one_in(2);
      type.may_follow = !type.may_lead || random.one_in(2);
      if (type.may_lead) type.outputs = 1;
    }
    c.types.push_back(type);
  }
  return c;
}

/// The family of the benchmarks: controllers of 9..99 W over eight drivers of 30..480 W, prices as
/// catalogues have them, invented; loads in milliwatts.
inline packing_case street_of_shops(random_source& random, std::size_t controllers) {
  constexpr std::int64_t rated_w[] = {30, 60, 100, 150, 200, 240, 320, 480};
  constexpr long long price[] = {2450, 3100, 4200, 5300, 6400, 7100, 8900, 12400};
  packing_case c;
  for (std::size_t i = 0; i < controllers; ++i)
    c.items.push_back({.load = {random.integer(9000, 99000)}, .rank = static_cast<std::int64_t>(i)});
  for (std::size_t t = 0; t < std::size(rated_w); ++t)
    c.types.push_back(
        {.capacity = {rated_w[t] * 1000}, .price = {price[t]}, .rank = static_cast<std::int64_t>(t)});
  return c;
}

/// What one bin of an answer carries.
struct packing_bin_totals {
  std::int64_t load[packing_loads] = {};
  std::int64_t items = 0;
};

/// What an answer is compared by: parts of unknown price, price, parts, capacity.
struct packing_price {
  std::int64_t unpriced = INT64_MAX, price = 0, parts = 0, capacity = 0;
  friend auto operator<=>(const packing_price&, const packing_price&) = default;
};

/// The best of all answers, by trying every way to share the items out and every type for every bin.
class every_packing {
 public:
  explicit every_packing(const packing_case& c) : c_{c} {
    bin_.resize(c.items.size());
    share(0, 0);
  }
  const packing_price& best() const { return best_; }
  bool fits() const { return best_.unpriced != INT64_MAX; }

 private:
  void share(std::size_t item, int bins) {
    if (item == c_.items.size()) return choose(0, bins, -1);
    for (int b = 0; b <= bins; ++b) {
      bin_[item] = b;
      share(item + 1, std::max(bins, b + 1));
    }
  }
  bool carries(std::size_t t, int bin) const {
    const packing_type& type = c_.types[t];
    std::int64_t count = 0, load[packing_loads] = {};
    for (std::size_t i = 0; i < bin_.size(); ++i) {
      if (bin_[i] != bin) continue;
      ++count;
      for (int d = 0; d < c_.loads; ++d) load[d] += c_.items[i].load[d];
    }
    for (int d = 0; d < c_.loads; ++d)
      if (load[d] > type.capacity[d]) return false;
    return (type.most_items == 0 || count <= type.most_items) && load[c_.oversize_in] >= type.least;
  }
  void choose(int bin, int bins, int leader) {
    if (bin == bins) {
      if (!c_.one_leads || leader >= 0) weigh();
      return;
    }
    for (std::size_t t = 0; t < c_.types.size(); ++t) {
      if (!carries(t, bin)) continue;
      type_.push_back(t);
      if (!c_.one_leads || c_.types[t].may_follow) choose(bin + 1, bins, leader);
      if (c_.one_leads && c_.types[t].may_lead && leader < 0) choose(bin + 1, bins, bin);
      type_.pop_back();
    }
  }
  void weigh() {
    std::map<std::size_t, int> count;
    for (const std::size_t t : type_) ++count[t];
    packing_price p{0, 0, 0, 0};
    for (const auto& [t, bins] : count) {
      const packing_type& type = c_.types[t];
      const int parts = (bins + type.outputs - 1) / type.outputs;
      if (type.price.minor == 0) p.unpriced += parts;
      p.price += parts * type.price.minor;
      p.parts += parts;
      p.capacity += parts * type.outputs * type.capacity[c_.oversize_in];
    }
    best_ = std::min(best_, p);
  }

  const packing_case& c_;
  std::vector<int> bin_;
  std::vector<std::size_t> type_;
  packing_price best_;
};

}  // namespace tapewright::test
