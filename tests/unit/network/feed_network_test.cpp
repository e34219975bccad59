// SPDX-License-Identifier: BSL-1.0
// Whole installations against an independent nodal solve, textbook distributors, and the tape line.
#include "tapewright/network/feed_network.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"
#include "support/reference_csv.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

constexpr double agreement_v = 1e-9;  // bound of the design; the oracle itself is good to 1e-12
const std::vector<feeding> every_way = {feeding::one_end, feeding::both_ends, feeding::middle,
                                        feeding::points, feeding::ring};

double worst_difference(const oracle_network& o, const solved_network& got) {
  double worst = 0;
  for (std::size_t r = 0; r < o.load.size(); ++r)
    for (std::size_t k = 0; k < o.load[r].size(); ++k) {
      const double want = o.load[r][k] < 0 ? 0.0 : static_cast<double>(o.net.load_voltage(o.load[r][k]));
      if (std::isnan(got.v[r][k].v)) return got.v[r][k].v;
      worst = std::max(worst, std::fabs(want - got.v[r][k].v));
    }
  return worst;
}

/// A one-channel distributor of constant-current consumers at places along a line, each piece of line
/// between them a stretch of one segment whose trace has no resistance, joined by a link that has.
struct distributor {
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  fed_run run;
  feed_hub hub;
  feed_network net;

  void consumer(double ohm_before, double load_a) {
    run_stretch s;
    s.link_common = ohms{ohm_before};
    s.line.law[0] =
        load_a > 0 ? load_law{load_kind::regulated, volts{0}, siemens{load_a / 1e-3}, amps{load_a}, {}, {}}
                   : load_law{};
    stretches.push_back(s);
  }
  void feed(std::int64_t at, double ohm) { feeds.push_back({at, ohms{ohm}, {}}); }
  void close(double source_v) {
    run.stretches = stretches;
    run.feeds = feeds;
    net.source = volts{source_v};
    net.hubs = {&hub, 1};
    net.runs = {&run, 1};
  }
};

}  // namespace

TEST_CASE("solve_network: random installations agree with a dense nodal solve") {
  constexpr law_mix mixes[] = {law_mix::resistor_limited, law_mix::regulated, law_mix::constant_power,
                               law_mix::monotone, law_mix::any};
  random_source r{20261126};
  MESSAGE("seed " << r.seed());
  int solved = 0, collapsed = 0;
  double worst = 0;
  for (int round = 0; round < cases(360); ++round) {
    CAPTURE(round);
    const law_mix mix = mixes[round % 5];
    const std::int64_t most = !every_case                                        ? 60
                              : mix == law_mix::constant_power && round % 3 == 0 ? 700
                              : round % 20 == 0                                  ? 300
                                                                                 : 60;
    const owned_network n = random_network(r, mix, 1 + round / 5 % 6, 4, most, every_way);
    oracle_network o = oracle_of(n);
    const bool operates = o.net.solve();
    const solved_network got{n.net};
    if (!operates) {
      CHECK((mix == law_mix::constant_power || mix == law_mix::any));
      CHECK(got.all.why().code == fault_code::no_operating_point);
      ++collapsed;
      continue;
    }
    REQUIRE(got.all.ok());
    ++solved;
    const double difference = worst_difference(o, got);
    CHECK(difference <= agreement_v);
    worst = std::max(worst, difference);
    CHECK(close_rel(got.all->total.v, static_cast<double>(o.net.current_from(o.source)), 1e-9));
    for (std::size_t k = 0; k < n.runs.size(); ++k)
      for (std::size_t f = 0; f < n.runs[k].feeds.size(); ++f) {
        const double lead = n.runs[k].feeds[f].common.v;
        if (lead == 0) continue;
        const auto [behind, at_tape] = o.lead[k][f];
        const auto want = static_cast<double>((o.net.voltage(behind) - o.net.voltage(at_tape)) / wide(lead));
        CHECK(close_abs(got.feed[k][f].common.v, want, agreement_v / lead));
      }
  }
  MESSAGE(solved << " solved, " << collapsed << " collapsed, worst difference " << worst << " V");
  CHECK(solved >= cases(250));
  CHECK(collapsed >= cases(3));
}

TEST_CASE("solve_network: one run from one end is the tape line") {
  random_source r{51};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < cases(2000); ++round) {
    const std::int64_t channels = r.integer(1, 6);
    const tape t = random_tape(r, channels, law_mix::monotone);
    const auto n = static_cast<std::int64_t>(r.log_uniform(1, 100));
    const line_feed feed = random_feed(r, t);
    const tape_line line = *line_of(t, n, celsius{30});
    std::vector<double> room(line_workspace(n, static_cast<std::int32_t>(channels)));
    const auto want = solve_line(line, feed, {}, room);
    REQUIRE(want.ok());
    const run_stretch stretch{line, {}, {}};
    feed_point point;
    point.at = r.one_in(2) ? 0 : n;
    point.common = feed.common;
    std::copy(std::begin(feed.channel), std::end(feed.channel), std::begin(point.channel));
    fed_run run;
    run.stretches = {&stretch, 1};
    run.feeds = {&point, 1};
    const feed_hub hub{};
    const solved_network got{feed_network{feed.source, {}, {&hub, 1}, {&run, 1}}};
    REQUIRE(got.all.ok());
    // both are settled to 5e-13 of the source
    for (std::size_t c = 0; c < t.channels.size(); ++c) {
      REQUIRE(close_abs(got.figures[0].lowest_load[c].v, want->last_load[c].v, 2e-12 * feed.source.v));
      REQUIRE(close_abs(got.figures[0].highest_load[c].v, want->first_load[c].v, 2e-12 * feed.source.v));
    }
    // powers are sums over all segments; the copper's is the smaller of the two and misses by more of itself
    REQUIRE(close_rel(got.all->lamps.v, want->lamps.v, 1e-10));
    REQUIRE(close_rel(got.all->trace_loss.v, want->trace_loss.v, 1e-9));
  }
}

TEST_CASE("law: power in = lamps + copper + switches, in any installation") {
  random_source r{52};
  MESSAGE("seed " << r.seed());
  int balanced = 0;
  for (int round = 0; round < cases(10500); ++round) {
    CAPTURE(round);
    const owned_network n = random_network(r, law_mix::monotone, r.integer(1, 6), 3, 30, every_way);
    const solved_network got{n.net};
    REQUIRE(got.all.ok());
    const network_figures& f = *got.all;
    const double out = (f.lamps + f.trace_loss + f.feeder_loss + f.switch_loss + f.supply_loss).v;
    REQUIRE(close_rel(out, (n.net.source * f.total).v, 1e-12));  // bound of the design
    ++balanced;
    for (std::size_t k = 0; k < n.runs.size(); ++k) {
      double fed = 0;
      for (const feed_current& x : got.feed[k]) fed += x.common.v;
      REQUIRE(close_abs(fed, got.figures[k].total.v, 1e-11 * (1 + got.figures[k].total.v)));
    }
  }
  CHECK(balanced >= cases(10000));
}

TEST_CASE("law: one more feed point never dims the dimmest lamp of one channel; both ends beat one") {
  random_source r{53};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < cases(10000); ++round) {
    owned_network one = random_network(r, law_mix::monotone, 1, 1, 80, {feeding::one_end});
    for (std::size_t h = 0; h < one.hubs.size(); ++h) one.hubs[h].supply = ohms{0};  // nothing upstream
    for (feed_hub& h : one.hubs)
      for (ohms& o : h.channel) o = ohms{0};
    one.net.lead = ohms{0};
    one.runs[0].run.common = ohms{0};
    for (ohms& o : one.runs[0].run.channel) o = ohms{0};
    one.close();
    owned_network two = one;
    const std::int64_t segments = segments_of(one.plain[0]);
    feed_point other = one.runs[0].feeds[0];
    other.at = other.at == 0 ? segments : 0;
    two.runs[0].feeds.push_back(other);
    std::sort(two.runs[0].feeds.begin(), two.runs[0].feeds.end(),
              [](const feed_point& a, const feed_point& b) { return a.at < b.at; });
    two.close();
    const solved_network a{one.net}, b{two.net};
    REQUIRE(a.all.ok());
    REQUIRE(b.all.ok());
    REQUIRE(b.figures[0].lowest_load[0].v >= a.figures[0].lowest_load[0].v - 1e-11 * one.net.source.v);
  }
}

TEST_CASE("solve_network: textbook distributors, concentrated loads, to the printed precision") {
  // The books' voltages are above extra-low voltage: the drop from 120 V is compared, and VA less it.
  const auto table = reference_table::load("worked_dc_distributor.csv");
  int compared = 0;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const std::string& feed = table.cell(row, "feed");
    const std::string& quantity = table.cell(row, "quantity");
    const bool ends = feed == "both_equal" || feed == "ring (A=B)";
    if (!(feed == "one_end" || ends) || table.cell(row, "use_printed") != "yes") continue;
    if (table.number(row, "uniform_A_per_unit") != 0 || table.cell(row, "r_loop_ohm_per_unit") == "find")
      continue;
    CAPTURE(table.cell(row, "id"));
    CAPTURE(quantity);
    CAPTURE(table.cell(row, "source"));
    const double r = table.number(row, "r_loop_ohm_per_unit"), length = table.number(row, "length");
    distributor d;
    std::vector<double> place;
    std::string loads = table.cell(row, "loads_pos:I");
    d.consumer(0, 0);  // the near end itself
    place.push_back(0);
    for (std::size_t from = 0; from < loads.size();) {
      const std::size_t end = std::min(loads.find(';', from), loads.size()), colon = loads.find(':', from);
      const double x = std::stod(loads.substr(from, colon - from)),
                   i = std::stod(loads.substr(colon + 1, end - colon - 1));
      d.consumer((x - place.back()) * r, i);
      place.push_back(x);
      from = end + 1;
    }
    if (ends) {
      d.consumer((length - place.back()) * r, 0);
      place.push_back(length);
    }
    d.feed(0, 0);
    if (ends) d.feed(static_cast<std::int64_t>(place.size()), 0);
    d.close(120);
    const solved_network got{d.net};
    REQUIRE(got.all.ok());
    const double va = table.blank(row, "VA_V") ? 0 : table.number(row, "VA_V");
    const auto drop_at = [&](double x) {
      for (std::size_t k = 0; k < place.size(); ++k)
        if (place[k] == x) return 120 - got.v[0][k].v;
      return not_a_number;
    };
    double figure = not_a_number;
    const std::string tail = quantity.substr(quantity.rfind('_') + 1);
    std::size_t lowest = 0;
    for (std::size_t k = 0; k < place.size(); ++k)
      if (got.v[0][k] < got.v[0][lowest]) lowest = k;
    if (quantity == "I_A" || quantity == "I_AB") figure = got.feed[0][0].common.v;
    else if (quantity == "V_min") figure = va - (120 - got.v[0][lowest].v);
    else if (quantity == "x_min") figure = place[lowest];
    else if (quantity == "V_B" || quantity == "V_C" || quantity == "V_D")
      figure = va - (120 - got.v[0][static_cast<std::size_t>(quantity[2] - 'A')].v);
    else if (quantity.starts_with("V_at_")) figure = va - drop_at(std::stod(tail));
    else if (quantity.starts_with("drop_section_")) {
      const auto k = static_cast<std::size_t>(std::stoi(tail));
      figure = got.v[0][k - 1].v - got.v[0][k].v;
    }
    if (std::isnan(figure)) continue;
    const std::string& printed = table.cell(row, "printed");
    const auto dot = printed.find('.');
    const double half_digit =
        0.5 * std::pow(10.0, dot == std::string::npos ? 0.0 : -static_cast<double>(printed.size() - dot - 1));
    CHECK(close_abs(figure, table.number(row, "printed"), half_digit * (1 + 1e-9)));
    ++compared;
  }
  MESSAGE(compared << " printed answers");
  CHECK(compared >= 18);
}

TEST_CASE(
    "solve_network: fed in the middle is two lines of half the length, both ends are that turned inside "
    "out") {
  // constant currents, closed form: r i L^2 / 2 from one end, r i L^2 / 8 from both ends or the middle
  run_stretch s;
  s.line.segments = 100;
  s.line.common = 0.01_ohm;
  s.line.law[0] = {load_kind::regulated, 0_V, siemens{100}, 0.1_A, {}, {}};
  const feed_hub hub{};
  const auto lowest = [&](std::vector<feed_point> feeds) {
    fed_run run;
    run.stretches = {&s, 1};
    run.feeds = feeds;
    const solved_network got{feed_network{48_V, {}, {&hub, 1}, {&run, 1}}};
    REQUIRE(got.all.ok());
    return 48 - got.figures[0].lowest_load[0].v;
  };
  const double whole = 0.01 * 0.1 * 100 * 100 / 2;
  // settled to 5e-13 of 48 V, beside drops of 5 and 1.25 V
  CHECK(close_rel(lowest({{0, {}, {}}}), whole, 1e-12));
  CHECK(close_rel(lowest({{100, {}, {}}}), whole, 1e-12));
  CHECK(close_rel(lowest({{50, {}, {}}}), whole / 4, 1e-11));
  // the lowest lamps stand half a pitch beside the middle: r i / 8 less than the continuous r i L^2 / 8
  CHECK(close_rel(lowest({{0, {}, {}}, {100, {}, {}}}), whole / 4, 1e-11));
}

TEST_CASE("solve_network: collapse is told, an unlit run draws nothing, an empty network is nothing") {
  run_stretch s;
  s.line.law[0] = *fitted_law(load_kind::constant_power, 10_W, 24_V, 2_V);
  feed_point point{0, 1_ohm, {}};
  fed_run run;
  run.stretches = {&s, 1};
  run.feeds = {&point, 1};
  const feed_hub hub{};
  const feed_network n{24_V, {}, {&hub, 1}, {&run, 1}};
  for (const double share : {0.5, 0.99, 0.9999}) {  // V^2 / 4R = 144 W is the most
    s.line.law[0].power = watts{144 * share};
    const solved_network got{n};
    REQUIRE(got.all.ok());
    CHECK(close_rel(got.v[0][0].v, 12 * (1 + std::sqrt(1 - share)), 1e-12 / std::sqrt(1 - share)));
  }
  s.line.law[0].power = 144.01_W;
  CHECK(solved_network{n}.all.why().code == fault_code::no_operating_point);
  s.line.lit = 0;
  const solved_network dark{n};
  REQUIRE(dark.all.ok());
  CHECK(dark.all->total == 0_A);
  CHECK(dark.figures[0].least_evenness == 1);
  CHECK(solve_network({24_V, {}, {}, {}}, {}, {})->total == 0_A);
}

TEST_CASE("solve_network: a whole installation in a constant") {
  static constexpr double lamps = [] {
    run_stretch s[2];
    for (run_stretch& each : s) {
      each.line.segments = 6;
      each.line.channels = 2;
      each.line.common = ohms{0.002};
      each.line.channel[0] = each.line.channel[1] = ohms{0.005};
      each.line.law[0] = *fitted_law(load_kind::resistor_limited, watts{1.5}, volts{24}, volts{18});
      each.line.law[1] = *fitted_law(load_kind::regulated, watts{2.5}, volts{24}, volts{23.5});
    }
    const feed_point points[] = {{0, ohms{0.1}, {ohms{0.2}, ohms{0.2}}},
                                 {12, ohms{0.1}, {ohms{0.2}, ohms{0.2}}}};
    fed_run run;
    run.stretches = s;
    run.feeds = points;
    const feed_hub hub{ohms{0.05}, {ohms{0.01}, ohms{0.01}}};
    fed_run_figures figures[1];
    double room[2000] = {};
    return solve_network({volts{24}, {}, {&hub, 1}, {&run, 1}}, room, figures)->lamps.v;
  }();
  static_assert(lamps > 40 && lamps < 48);
}

TEST_CASE("solve_network: refusals") {
  const double nan = not_a_number;
  run_stretch s[2];
  feed_point points[] = {{0, {}, {}}, {2, {}, {}}};
  s[0].line.law[0] = s[1].line.law[0] = *fitted_law(load_kind::regulated, 10_W, 24_V, 2_V);
  fed_run run;
  feed_hub hub;
  feed_network n{24_V, {}, {&hub, 1}, {&run, 1}};
  const auto why = [&] {
    std::vector<double> room(10000);
    fed_run_figures figures[1];
    return solve_network(n, room, figures).why();
  };
  const auto whole = [&] {
    run.stretches = s;
    run.feeds = points;
  };
  CHECK(why().field == field::segment_count);  // no stretch
  whole();
  CHECK_FALSE(why());
  for (const double v : {0.0, -1.0, 120.1, nan, infinity}) {
    n.source = volts{v};
    CHECK(why().field == field::voltage);
  }
  n.source = 24_V;
  for (const double bad : {-1e-9, 1.0000001e6, nan, infinity}) {
    const auto refused = [&](ohms& which) {
      which = ohms{bad};
      CHECK(why().code == fault_code::out_of_range);
      CHECK(why().field == field::resistance);
      which = 0_ohm;
      CHECK_FALSE(why());
    };
    refused(n.lead);
    refused(hub.supply);
    refused(hub.channel[5]);
    refused(run.common);
    refused(run.channel[0]);
    refused(points[1].common);
    refused(points[0].channel[0]);
    refused(s[1].link_common);
    refused(s[1].link_channel[3]);
    refused(s[1].line.common);
  }
  points[1].at = 0;  // must rise
  CHECK(why() == fault{fault_code::out_of_range, field::place, 0, 1, 2, 0});
  points[1].at = 3;  // beyond the end
  CHECK(why() == fault{fault_code::out_of_range, field::place, 3, 1, 2, 0});
  points[1].at = 2;
  points[0].at = -1;
  CHECK(why().field == field::place);
  points[0].at = 0;
  run.feeds = {};
  CHECK(why().field == field::place);
  whole();
  s[1].line.channels = 2;
  CHECK(why().code == fault_code::contradiction);
  s[1].line.channels = 1;
  run.hub = 1;
  CHECK(why().code == fault_code::unknown_reference);
  run.hub = -1;
  CHECK(why().code == fault_code::unknown_reference);
  run.hub = 0;
  std::vector<double> room(network_workspace(n) - 1);
  fed_run_figures figures[1];
  CHECK(solve_network(n, room, figures).why().code == fault_code::no_room);
  CHECK(solve_network(n, room, figures).why().least == static_cast<double>(room.size() + 1));
  room.resize(room.size() + 1);
  CHECK(solve_network(n, room, figures).ok());
  CHECK(solve_network(n, room, {}).why().code == fault_code::no_room);
  std::vector<volts> short_profile(1);
  const fed_run_profile profile{short_profile, {}, {}};
  CHECK(solve_network(n, room, figures, {&profile, 1}).why().code == fault_code::no_room);
}
