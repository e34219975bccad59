// SPDX-License-Identifier: BSL-1.0
// Questions about networks through the C interface: the bits of C++, every refusal, poison, room.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "capi/answer.hpp"
#include "tapewright.h"
#include "tapewright/network/closed_line.hpp"
#include "tapewright/network/collapse.hpp"
#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tolerance.hpp"
#include "tapewright/plan/explain_conditions.hpp"
#include "tapewright/plan/explain_network.hpp"
#include "tapewright/sizing/feeder_swap.hpp"
#include "tests/support/random_tape.hpp"
#include "tests/support/swap_room.hpp"
#include "tests/unit/capi/c_network.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/same.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

constexpr double no_figure = std::numeric_limits<double>::quiet_NaN();

template <class Share, class PerOhm>
bool same(const tw_run_sensitivity& c, const run_influence<Share, PerOhm>& a) {
  using test::same;
  return same(c.trace_common_v, a.trace_common) && same(c.trace_channel_v, a.trace_channel) &&
         same(c.load_v, a.load) && same(c.length_v, a.length) && same(c.copper_v, a.copper) &&
         same(c.link_common_v_per_ohm, a.link_common) && same(c.link_channel_v_per_ohm, a.link_channel) &&
         same(c.feeder_common_v_per_ohm, a.feeder_common) &&
         same(c.feeder_channel_v_per_ohm, a.feeder_channel);
}
bool same(const tw_bound& c, const one_bound& a) {
  bool all = test::same(c.value, a.value) && c.by == static_cast<std::int32_t>(a.by);
  for (std::size_t p = 0; p < most_factors; ++p)
    all = all && (c.high[p / 32] >> p % 32 & 1u) == (a.corner.is_high(p) ? 1u : 0u) &&
          (c.free[p / 32] >> p % 32 & 1u) == (a.corner.is_free(p) ? 1u : 0u);
  return all;
}

template <class Share, class PerOhm>
void check_rows(const tw_sensitivity* got, const std::vector<run_influence<Share, PerOhm>>& runs,
                const std::vector<hub_influence<PerOhm>>& hubs,
                const std::vector<lead_influence<PerOhm>>& leads) {
  for (std::size_t k = 0; k < runs.size(); ++k) {
    auto slopes = empty_c<tw_run_sensitivity>();
    REQUIRE(tw_sensitivity_run(got, static_cast<std::int32_t>(k), &slopes, nullptr) == TW_OK);
    CHECK(same(slopes, runs[k]));
  }
  for (std::size_t k = 0; k < hubs.size(); ++k) {
    auto slopes = empty_c<tw_hub_sensitivity>();
    REQUIRE(tw_sensitivity_hub(got, static_cast<std::int32_t>(k), &slopes, nullptr) == TW_OK);
    CHECK(test::same(slopes.supply_v_per_ohm, hubs[k].supply));
    CHECK(test::same(slopes.channel_v_per_ohm, hubs[k].channel));
  }
  for (std::size_t k = 0; k < leads.size(); ++k) {
    auto slopes = empty_c<tw_feed_sensitivity>();
    REQUIRE(tw_sensitivity_feed(got, static_cast<std::int32_t>(k), &slopes, nullptr) == TW_OK);
    CHECK(test::same(slopes.common_v_per_ohm, leads[k].common));
    CHECK(test::same(slopes.channel_v_per_ohm, leads[k].channel));
  }
}

struct cpp_slopes {
  std::vector<run_sensitivity> runs;
  std::vector<hub_sensitivity> hubs;
  std::vector<lead_sensitivity> leads;
  std::vector<double> room;
  outcome<load_sensitivity> load{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  cpp_slopes(const feed_network& n, const solved_network& s, load_place asked)
      : runs(n.runs.size()), hubs(n.hubs.size()), room(sensitivity_workspace(n)) {
    leads.resize(tapewright::detail::feeds_before(n, n.runs.size()));
    load = sensitivity_of(n, s.profiles, asked, room, runs, hubs, leads);
  }
};

struct cpp_light {
  std::vector<run_light_sensitivity> runs;
  std::vector<hub_light_sensitivity> hubs;
  std::vector<lead_light_sensitivity> leads;
  std::vector<double> room;
  outcome<light_sensitivity> light{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  cpp_light(const feed_network& n, const solved_network& s, std::int32_t run, std::int32_t channel,
            light_share which)
      : runs(n.runs.size()), hubs(n.hubs.size()), room(sensitivity_workspace(n)) {
    leads.resize(tapewright::detail::feeds_before(n, n.runs.size()));
    light = light_sensitivity_of(n, s.profiles, run, channel, which, room, runs, hubs, leads);
  }
};

std::int32_t runs_of(const conditions& q) { return static_cast<std::int32_t>(q.n.runs.size()); }

}  // namespace

TEST_CASE("tw_network_sensitivity: the bits of C++, of dimmest lamps and of any") {
  random_source r{71101};
  MESSAGE("seed " << r.seed());
  int told = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const conditions q{r, round % 4 == 0 ? law_mix::any : law_mix::monotone, 1 + round % 6, 30};
    const c_network c = q.as_c();
    block room{c.all, tw_question_workspace};
    const solved_network solved{q.n.net};
    const auto at = static_cast<std::size_t>(r.integer(0, runs_of(q) - 1));
    const fed_run& run = q.n.net.runs[at];
    const bool dimmest = round % 2 == 0;
    load_place asked;
    if (dimmest && solved.all.ok()) asked = dimmest_load(run, solved.figures[at], solved.profiles[at]);
    if (!dimmest) {
      asked.segment = r.integer(0, segments_of(run) - 1);
      asked.channel = static_cast<std::int32_t>(r.integer(0, run.stretches[0].line.channels - 1));
    }
    asked.run = static_cast<std::int32_t>(at);
    tw_sensitivity* got = nullptr;
    auto load = empty_c<tw_load_sensitivity>();
    tw_fault why = empty_fault();
    const tw_status status =
        tw_network_sensitivity(&c.all, asked.run, dimmest ? 99 : asked.channel, dimmest ? -1 : asked.segment,
                               room.at(), room.bytes, &got, &load, &why);
    CHECK(room.guard_holds());
    CHECK(status == why.code);
    if (!solved.all.ok()) {
      CHECK(status == static_cast<tw_status>(solved.all.why().code));
      continue;
    }
    const cpp_slopes want{q.n.net, solved, asked};
    CHECK(status == static_cast<tw_status>(want.load.why().code));  // unlit channels are refused by both
    if (!want.load.ok()) continue;
    ++told;
    CHECK(load.run == asked.run);
    CHECK(load.channel == asked.channel);
    CHECK(load.segment == asked.segment);
    CHECK(test::same(load.at_kink, want.load->at_kink));
    CHECK(test::same(load.voltage_v, want.load->voltage));
    CHECK(test::same(load.current_a, want.load->current));
    CHECK(test::same(load.slope_a_per_v, want.load->slope));
    CHECK(test::same(load.source_v_per_v, want.load->source));
    CHECK(test::same(load.lead_v_per_ohm, want.load->lead));
    CHECK(test::same(load.own_v_per_a, want.load->own));
    CHECK(test::same(load.to_kink_v, want.load->to_kink));
    check_rows(got, want.runs, want.hubs, want.leads);
  }
  CHECK(told > 40);
}

TEST_CASE("tw_network_light_sensitivity: the bits of C++, of both shares") {
  random_source r{71110};
  MESSAGE("seed " << r.seed());
  int told = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const conditions q{r, round % 4 == 0 ? law_mix::any : law_mix::monotone, 1 + round % 6, 30};
    const c_network c = q.as_c();
    block room{c.all, tw_question_workspace};
    const solved_network solved{q.n.net};
    const auto run = static_cast<std::int32_t>(r.integer(0, runs_of(q) - 1));
    const std::int32_t channels = q.n.net.runs[static_cast<std::size_t>(run)].stretches[0].line.channels;
    const auto channel = static_cast<std::int32_t>(r.integer(0, channels - 1));
    const light_share which = round % 2 == 0 ? light_share::dimmest : light_share::mean;
    tw_sensitivity* got = nullptr;
    auto light = empty_c<tw_light_sensitivity>();
    tw_fault why = empty_fault();
    const tw_status status = tw_network_light_sensitivity(
        &c.all, run, channel, static_cast<std::int32_t>(which), room.at(), room.bytes, &got, &light, &why);
    CHECK(room.guard_holds());
    CHECK(status == why.code);
    if (!solved.all.ok()) {
      CHECK(status == static_cast<tw_status>(solved.all.why().code));
      continue;
    }
    const cpp_light want{q.n.net, solved, run, channel, which};
    CHECK(status == static_cast<tw_status>(want.light.why().code));  // unlit channels are refused by both
    if (!want.light.ok()) continue;
    ++told;
    CHECK(test::same(light.at_kink, want.light->at_kink));
    CHECK(light.dimmest == want.light->dimmest);
    CHECK(light.brightest == want.light->brightest);
    CHECK(test::same(light.share, want.light->share));
    CHECK(test::same(light.source_per_v, want.light->per_volt));
    CHECK(test::same(light.lead_per_ohm, want.light->lead));
    CHECK(test::same(light.to_kink_v, want.light->to_kink));
    check_rows(got, want.runs, want.hubs, want.leads);
  }
  CHECK(told > 30);
}

namespace {

/// Random tolerances as C and C++ have them.
struct tolerances {
  network_tolerances t;
  tw_tolerances c = empty_c<tw_tolerances>();

  explicit tolerances(random_source& r) {
    const auto draw = [&](factor_range& f, double most) {
      f = {1 - r.uniform(0, most), 1 + r.uniform(0, most)};
    };
    draw(t.source, 0.05);
    draw(t.load, 0.1);
    draw(t.trace, 0.15);
    draw(t.length, 0.01);
    draw(t.cable, 0.2);
    draw(t.contact, 0.25);
    c.source_least = t.source.least, c.source_most = t.source.most;
    c.load_least = t.load.least, c.load_most = t.load.most;
    c.trace_least = t.trace.least, c.trace_most = t.trace.most;
    c.length_least = t.length.least, c.length_most = t.length.most;
    c.cable_least = t.cable.least, c.cable_most = t.cable.most;
    c.contact_least = t.contact.least, c.contact_most = t.contact.most;
  }
};

struct cpp_bounds {
  std::vector<feed_hub> hubs;
  std::vector<fed_run> runs;
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  std::vector<fed_run_figures> figures;
  std::vector<fed_run_profile> profiles;
  std::vector<volts> voltages;
  std::vector<double> doubles;
  std::vector<run_bounds> told;
  outcome<network_bounds> all{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  cpp_bounds(const feed_network& n, const network_tolerances& t) : told(n.runs.size()) {
    const tolerance_needs need = tolerance_space_for(n);
    hubs.resize(need.hubs), runs.resize(need.runs), stretches.resize(need.stretches);
    feeds.resize(need.feeds), figures.resize(need.runs), profiles.resize(need.runs);
    voltages.resize(need.loads), doubles.resize(need.doubles);
    all = bounds_of(n, t, {hubs, runs, stretches, feeds, figures, profiles, voltages, doubles}, told);
  }
};

void check_bound(const tw_bounds* b, std::int32_t figure, std::int32_t run, std::int32_t channel,
                 const two_bounds& want) {
  CAPTURE(figure);
  CAPTURE(run);
  CAPTURE(channel);
  auto least = empty_c<tw_bound>(), most = empty_c<tw_bound>();
  REQUIRE(tw_bound_of(b, figure, run, channel, &least, &most, nullptr) == TW_OK);
  CHECK(same(least, want.least));
  CHECK(same(most, want.most));
}

}  // namespace

TEST_CASE("tw_network_bounds: the bits of C++, figure by figure, corners and all") {
  random_source r{71102};
  MESSAGE("seed " << r.seed());
  int told = 0;
  for (int round = 0; round < 24; ++round) {
    CAPTURE(round);
    const law_mix mix = round % 4 == 0 ? law_mix::constant_power : law_mix::monotone;
    const auto kinds = round % 3 == 0 ? std::vector<feeding>{feeding::both_ends, feeding::points}
                                      : std::vector<feeding>{feeding::one_end, feeding::middle};
    const conditions q{r, mix, 1 + round % 3, 15, kinds};
    const tolerances t{r};
    const c_network c = q.as_c();
    block room{c.all, tw_question_workspace};
    const cpp_bounds want{q.n.net, t.t};
    tw_bounds* got = nullptr;
    tw_fault why = empty_fault();
    const tw_status status = tw_network_bounds(&c.all, &t.c, room.at(), room.bytes, &got, &why);
    CHECK(room.guard_holds());
    CHECK(status == static_cast<tw_status>(want.all.why().code));
    if (!want.all.ok()) {
      CHECK(got == nullptr);
      CHECK(why.field == static_cast<std::int32_t>(want.all.why().field));
      continue;
    }
    ++told;
    check_bound(got, TW_BOUND_TOTAL, -1, 0, want.all->total);
    check_bound(got, TW_BOUND_LAMPS, -1, 0, want.all->lamps);
    check_bound(got, TW_BOUND_LOSS, -1, 0, want.all->loss);
    for (std::int32_t k = 0; k < runs_of(q); ++k) {
      const run_bounds& run = want.told[static_cast<std::size_t>(k)];
      check_bound(got, TW_BOUND_TOTAL, k, 0, run.total);
      check_bound(got, TW_BOUND_LAMPS, k, 0, run.lamps);
      check_bound(got, TW_BOUND_LOSS, k, 0, run.loss);
      check_bound(got, TW_BOUND_FEED_CURRENT, k, 0, run.greatest_feed_current);
      check_bound(got, TW_BOUND_LINK_CURRENT, k, 0, run.greatest_link_current);
      check_bound(got, TW_BOUND_LIGHTNESS_STEP, k, 0, run.lightness_step);
      check_bound(got, TW_BOUND_COLOUR_SHIFT, k, 0, run.colour_shift);
      const std::int32_t channels = q.n.net.runs[static_cast<std::size_t>(k)].stretches[0].line.channels;
      for (std::int32_t x = 0; x < channels; ++x) {
        check_bound(got, TW_BOUND_LOWEST_LOAD, k, x, run.lowest_load[x]);
        check_bound(got, TW_BOUND_HIGHEST_LOAD, k, x, run.highest_load[x]);
        check_bound(got, TW_BOUND_CHANNEL_CURRENT, k, x, run.channel_current[x]);
        check_bound(got, TW_BOUND_EVENNESS, k, x, run.evenness[x]);
      }
    }
  }
  CHECK(told >= 10);
}

TEST_CASE("tw_swap_feeder: the bits of C++") {
  random_source r{71103};
  MESSAGE("seed " << r.seed());
  int swapped = 0;
  for (int round = 0; round < 40; ++round) {
    CAPTURE(round);
    const conditions q{r, law_mix::monotone, 1 + round % 5, 30};
    const c_network c = q.as_c();
    block room{c.all, tw_question_workspace};
    const feed_network& n = q.n.net;
    feeder_swap swap;
    swap.run = static_cast<std::int32_t>(r.integer(0, runs_of(q) - 1));
    const auto points = static_cast<std::int64_t>(n.runs[static_cast<std::size_t>(swap.run)].feeds.size());
    swap.feed = static_cast<std::int32_t>(r.integer(-1, points - 1));
    swap.core = ohms{r.uniform(-0.001, 0.05)};  // a core below 0 is refused by both
    swap_room swaps{n};
    const outcome<swap_effect> want = swap_feeder(n, swap, swaps.space());
    auto effect = empty_c<tw_swap_effect>();
    auto was = empty_c<tw_network_figures>(), is = empty_c<tw_network_figures>();
    tw_fault why = empty_fault();
    const tw_status status = tw_swap_feeder(&c.all, swap.run, swap.feed, swap.core.v, room.at(), room.bytes,
                                            &effect, &was, &is, &why);
    CHECK(room.guard_holds());
    CHECK(status == static_cast<tw_status>(want.why().code));
    CHECK(status == why.code);
    if (!want.ok()) {
      CHECK(effect.before_v != effect.before_v);
      CHECK(is.total_a != is.total_a);
      continue;
    }
    ++swapped;
    CHECK(effect.run == want->dimmest.run);
    CHECK(effect.channel == want->dimmest.channel);
    CHECK(effect.segment == want->dimmest.segment);
    CHECK(test::same(effect.before_v, want->before));
    CHECK(test::same(effect.after_v, want->after));
    CHECK(test::same(effect.first_order_v, want->first_order));
    CHECK(test::same(was, want->network_before));
    CHECK(test::same(is, want->network_after));
    CHECK(is.warming_rounds == 0);
    CHECK(is.residual_k == 0);
  }
  CHECK(swapped > 25);
}

TEST_CASE("tw_collapse_factor: the bits of C++, and no collapse without constant power") {
  random_source r{71104};
  MESSAGE("seed " << r.seed());
  int finite = 0;
  for (int round = 0; round < 24; ++round) {
    CAPTURE(round);
    const conditions q{r, round % 6 == 0 ? law_mix::monotone : law_mix::constant_power, 1 + round % 3, 15};
    const c_network c = q.as_c();
    block room{c.all, tw_question_workspace};
    std::vector<double> workspace(network_workspace(q.n.net));
    const auto want = collapse_factor(q.n.net, workspace);
    double factor = 0;
    CHECK(tw_collapse_factor(&c.all, room.at(), room.bytes, &factor, nullptr) ==
          static_cast<tw_status>(want.why().code));
    CHECK(room.guard_holds());
    REQUIRE(want.ok());
    CHECK(test::same(factor, *want));
    if (factor < infinity) ++finite;
  }
  CHECK(finite > 15);
}

TEST_CASE("tw_closed_line: the bits of C++, closed and marched") {
  random_source r{71105};
  MESSAGE("seed " << r.seed());
  int closed = 0;
  for (int round = 0; round < 200; ++round) {
    CAPTURE(round);
    tape t = random_tape(r, round % 4 == 0 ? 3 : 1, law_mix::any);
    t.longest_piece = metres{100};
    t.sale_quantum = metres{1};
    const line_feed feed = random_feed(r, t);
    const tw_tape tape_c = c_of(t);
    auto q = empty_c<tw_line_question>();
    q.lit = static_cast<std::uint32_t>(r.integer(1, 7));
    q.segments = r.integer(1, 300);
    q.trace_c = 30;
    q.source_v = feed.source.v;
    q.feed_common_ohm = feed.common.v;
    put_ohms(q.feed_channel_ohm, feed.channel);
    const auto channels = static_cast<std::int32_t>(t.channels.size());
    std::vector<double> workspace(line_workspace(q.segments, channels));
    const auto line = line_of(t, q.segments, 30_degC, q.lit);
    const auto want =
        line.ok() ? closed_line(*line, feed, workspace) : outcome<line_figures>{fault{line.why()}};
    auto figures = empty_c<tw_line_figures>();
    const tw_status status = tw_closed_line(&tape_c, &q, &figures, workspace.data(),
                                            static_cast<std::int64_t>(workspace.size()), nullptr);
    CHECK(status == static_cast<tw_status>(want.why().code));
    if (!want.ok()) {
      CHECK(figures.total_a != figures.total_a);
      continue;
    }
    CHECK(test::same(figures, *want));
    if (want->steps == 0) ++closed;
  }
  CHECK(closed > 50);
}

namespace {

/// The questions that take a network, told apart by number; what goes out is poisoned unless one is answered.
constexpr int questions = 5;
tw_status ask(int which, const tw_network* n, void* at, std::int64_t bytes, tw_fault* why) {
  auto load = empty_c<tw_load_sensitivity>();
  auto light = empty_c<tw_light_sensitivity>();
  auto effect = empty_c<tw_swap_effect>();
  auto before = empty_c<tw_network_figures>(), after = empty_c<tw_network_figures>();
  auto t = empty_c<tw_tolerances>();
  t.source_least = t.load_least = t.trace_least = t.length_least = t.cable_least = t.contact_least = 0.98;
  t.source_most = t.load_most = t.trace_most = t.length_most = t.cable_most = t.contact_most = 1.02;
  auto* sensitivity = reinterpret_cast<tw_sensitivity*>(&load);
  auto* bounds = reinterpret_cast<tw_bounds*>(&load);
  double factor = 5;
  tw_status status = -1;
  if (which == 0) status = tw_network_sensitivity(n, 0, 0, -1, at, bytes, &sensitivity, &load, why);
  if (which == 1) status = tw_network_bounds(n, &t, at, bytes, &bounds, why);
  if (which == 2) status = tw_swap_feeder(n, 0, 0, 0.01, at, bytes, &effect, &before, &after, why);
  if (which == 3) status = tw_collapse_factor(n, at, bytes, &factor, why);
  if (which == 4)
    status = tw_network_light_sensitivity(n, 0, 0, TW_LIGHT_OF_MEAN, at, bytes, &sensitivity, &light, why);
  if (status != TW_OK) {
    const bool poisoned =
        which == 0   ? sensitivity == nullptr && load.run == -1 && load.own_v_per_a != load.own_v_per_a
        : which == 1 ? bounds == nullptr
        : which == 2 ? effect.run == -1 && effect.after_v != effect.after_v &&
                           before.total_a != before.total_a && after.lamps_w != after.lamps_w
        : which == 3 ? factor != factor
                     : sensitivity == nullptr && light.share != light.share && light.dimmest == 0;
    CHECK(poisoned);
  }
  return status;
}
constexpr std::int32_t block_place[questions] = {4, 2, 4, 1, 4};  // of the block among the arguments

}  // namespace

TEST_CASE("questions about networks: networks, blocks and outputs at fault") {
  random_source r{71106};
  MESSAGE("seed " << r.seed());
  const conditions q{r, law_mix::monotone, 2, 12, {feeding::one_end}};
  for (int which = 0; which < questions; ++which) {
    CAPTURE(which);
    const auto told = [&](auto&& spoil) {
      c_network c = q.as_c();
      for (tw_network_run& run : c.runs) run.lit = TW_ALL_LIT;
      block room{c.all, tw_question_workspace};
      spoil(c);
      tw_fault why = empty_fault();
      const tw_status status = ask(which, &c.all, room.at(), room.bytes, &why);
      CHECK(status == why.code);
      CHECK(room.guard_holds());
      return why;
    };
    CHECK(told([](auto&) {}).code == TW_OK);
    CHECK(told([](auto& c) { c.all.run.at = nullptr; }).code == TW_NULL_POINTER);
    CHECK(told([](auto& c) { c.all.stretches -= 1; }).field == TW_FIELD_ROW_COUNT);
    CHECK(told([](auto& c) { c.all.feeds = -1; }).field == TW_FIELD_ROW_COUNT);
    CHECK(told([](auto& c) { c.stretches[0].tape = 99; }).field == TW_FIELD_RUN_TAPE);
    CHECK(told([](auto& c) { c.runs[0].hub = 9; }).code == TW_UNKNOWN_REFERENCE);
    CHECK(told([](auto& c) { c.stretches[0].trace_c = no_figure; }).field == TW_FIELD_TEMPERATURE);
    CHECK(told([](auto& c) { c.all.source_v = no_figure; }).field == TW_FIELD_VOLTAGE);
    CHECK(told([](auto& c) { c.feeds[0].reserved = 1; }).code == TW_VERSION_MISMATCH);

    const c_network c = q.as_c();
    block room{c.all, tw_question_workspace};
    tw_fault why = empty_fault();
    CHECK(ask(which, nullptr, room.at(), room.bytes, &why) == TW_NULL_POINTER);
    CHECK(why.item == 0);
    CHECK(ask(which, &c.all, nullptr, room.bytes, &why) == TW_NULL_POINTER);
    CHECK(why.item == block_place[which]);
    CHECK(ask(which, &c.all, static_cast<char*>(room.at()) + 4, room.bytes, &why) == TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_ALIGNMENT);
    for (const std::int64_t bytes : {room.bytes - 1, std::int64_t{0}, std::int64_t{-1}}) {
      CHECK(ask(which, &c.all, room.at(), bytes, &why) == TW_NO_ROOM);
      CHECK(why.least == static_cast<double>(room.bytes));
    }
    tw_fault bad = empty_fault();
    bad.struct_size = 4;
    CHECK(ask(which, &c.all, room.at(), room.bytes, &bad) == TW_VERSION_MISMATCH);
  }
  std::int64_t bytes = 5;
  CHECK(tw_question_workspace(nullptr, &bytes, nullptr) == TW_NULL_POINTER);
  CHECK(bytes == 0);
}

TEST_CASE("questions about networks: places, tolerances, cores and handles at fault") {
  random_source r{71107};
  conditions q{r, law_mix::monotone, 2, 12, {feeding::one_end}};
  while (q.n.runs.size() < 2) q = conditions{r, law_mix::monotone, 2, 12, {feeding::one_end}};
  c_network c = q.as_c();
  for (tw_network_run& run : c.runs) run.lit = 1;
  block room{c.all, tw_question_workspace}, bounds_room{c.all, tw_question_workspace};
  tw_sensitivity* slopes = nullptr;
  auto load = empty_c<tw_load_sensitivity>();
  tw_fault why = empty_fault();
  const auto sensitivity = [&](std::int32_t run, std::int32_t channel, std::int64_t segment) {
    return tw_network_sensitivity(&c.all, run, channel, segment, room.at(), room.bytes, &slopes, &load, &why);
  };
  for (const std::int32_t run : {-1, runs_of(q), 2147483647}) {
    CHECK(sensitivity(run, 0, -1) == TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
    CHECK(why.given == run);
    CHECK(why.most == runs_of(q) - 1);
  }
  CHECK(sensitivity(0, 0, 1'000'000) == TW_UNKNOWN_REFERENCE);
  CHECK(sensitivity(0, 0, -2) == TW_UNKNOWN_REFERENCE);
  CHECK(sensitivity(0, 1, 0) == TW_UNKNOWN_REFERENCE);  // not lit
  CHECK(sensitivity(0, 6, 0) == TW_UNKNOWN_REFERENCE);
  CHECK(sensitivity(0, -1, 0) == TW_UNKNOWN_REFERENCE);
  CHECK(slopes == nullptr);
  auto light = empty_c<tw_light_sensitivity>();
  const auto share = [&](std::int32_t run, std::int32_t channel, std::int32_t which) {
    return tw_network_light_sensitivity(&c.all, run, channel, which, room.at(), room.bytes, &slopes, &light,
                                        &why);
  };
  for (const std::int32_t run : {-1, runs_of(q), 2147483647}) {
    CHECK(share(run, 0, TW_LIGHT_OF_MEAN) == TW_UNKNOWN_REFERENCE);
    CHECK(why.given == run);
    CHECK(why.most == runs_of(q) - 1);
  }
  for (const std::int32_t channel : {-1, 1, 6})  // 1 is not lit
    CHECK(share(0, channel, TW_LIGHT_OF_DIMMEST) == TW_UNKNOWN_REFERENCE);
  for (const std::int32_t which : {-1, 2, 2147483647}) {
    CHECK(share(0, 0, which) == TW_NOT_LISTED);
    CHECK(why.given == which);
    CHECK(why.most == TW_LIGHT_OF_MEAN);
  }
  CHECK(slopes == nullptr);
  CHECK(light.share != light.share);
  REQUIRE(share(1, 0, TW_LIGHT_OF_DIMMEST) == TW_OK);
  auto of_light = empty_c<tw_run_sensitivity>();
  CHECK(tw_sensitivity_run(slopes, runs_of(q), &of_light, &why) == TW_UNKNOWN_REFERENCE);
  CHECK(why.most == runs_of(q) - 1);
  CHECK(tw_network_light_sensitivity(&c.all, 0, 0, 0, room.at(), room.bytes, nullptr, &light, nullptr) ==
        TW_NULL_POINTER);
  CHECK(tw_network_light_sensitivity(&c.all, 0, 0, 0, room.at(), room.bytes, &slopes, nullptr, nullptr) ==
        TW_NULL_POINTER);
  REQUIRE(sensitivity(1, 0, 0) == TW_OK);

  auto run = empty_c<tw_run_sensitivity>();
  auto hub = empty_c<tw_hub_sensitivity>();
  auto feed = empty_c<tw_feed_sensitivity>();
  const auto hubs = static_cast<std::int32_t>(c.hubs.size()),
             feeds = static_cast<std::int32_t>(c.feeds.size());
  for (const std::int32_t outside : {-1, 100'000}) {
    CHECK(tw_sensitivity_run(slopes, outside, &run, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(why.most == runs_of(q) - 1);
    CHECK(run.length_v != run.length_v);
    CHECK(tw_sensitivity_hub(slopes, outside, &hub, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(why.most == hubs - 1);
    CHECK(hub.supply_v_per_ohm != hub.supply_v_per_ohm);
    CHECK(tw_sensitivity_feed(slopes, outside, &feed, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(why.most == feeds - 1);
    CHECK(feed.common_v_per_ohm != feed.common_v_per_ohm);
  }
  const double nothing[64] = {};
  const auto* no_slopes = reinterpret_cast<const tw_sensitivity*>(nothing);
  CHECK(tw_sensitivity_run(no_slopes, 0, &run, nullptr) == TW_VERSION_MISMATCH);
  CHECK(tw_sensitivity_run(nullptr, 0, &run, nullptr) == TW_NULL_POINTER);
  CHECK(tw_sensitivity_hub(slopes, 0, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_sensitivity_feed(slopes, 0, nullptr, nullptr) == TW_NULL_POINTER);
  CHECK(tw_network_sensitivity(&c.all, 0, 0, -1, room.at(), room.bytes, nullptr, &load, nullptr) ==
        TW_NULL_POINTER);
  CHECK(tw_network_sensitivity(&c.all, 0, 0, -1, room.at(), room.bytes, &slopes, nullptr, nullptr) ==
        TW_NULL_POINTER);

  tolerances t{r};
  tw_bounds* bounds = nullptr;
  const auto bounded = [&](const tw_tolerances* of) {
    return tw_network_bounds(&c.all, of, bounds_room.at(), bounds_room.bytes, &bounds, &why);
  };
  CHECK(bounded(nullptr) == TW_NULL_POINTER);
  CHECK(why.item == 1);
  for (double tw_tolerances::*side : {&tw_tolerances::source_least, &tw_tolerances::load_most,
                                      &tw_tolerances::trace_least, &tw_tolerances::contact_most})
    for (const double wrong : {no_figure, 0.0, 3.0}) {
      tw_tolerances spoilt = t.c;
      spoilt.*side = wrong;
      CHECK(bounded(&spoilt) == TW_OUT_OF_RANGE);
      CHECK(why.field == TW_FIELD_SHARE);
      CHECK(bounds == nullptr);
    }
  tw_tolerances reserved = t.c;
  reserved.reserved = 1;
  CHECK(bounded(&reserved) == TW_VERSION_MISMATCH);
  REQUIRE(bounded(&t.c) == TW_OK);
  auto least = empty_c<tw_bound>(), most = empty_c<tw_bound>();
  const auto bound = [&](std::int32_t figure, std::int32_t of, std::int32_t channel) {
    const tw_status status = tw_bound_of(bounds, figure, of, channel, &least, &most, &why);
    if (status != TW_OK) CHECK((least.value != least.value && most.value != most.value && most.high[0] == 0));
    return status;
  };
  CHECK(bound(-1, 0, 0) == TW_NOT_LISTED);
  CHECK(bound(11, 0, 0) == TW_NOT_LISTED);
  CHECK(why.most == TW_BOUND_COLOUR_SHIFT);
  CHECK(bound(TW_BOUND_TOTAL, -2, 0) == TW_UNKNOWN_REFERENCE);
  CHECK(bound(TW_BOUND_TOTAL, runs_of(q), 0) == TW_UNKNOWN_REFERENCE);
  CHECK(bound(TW_BOUND_LOSS, runs_of(q), 0) == TW_UNKNOWN_REFERENCE);
  CHECK(bound(TW_BOUND_FEED_CURRENT, -1, 0) == TW_UNKNOWN_REFERENCE);
  CHECK(bound(TW_BOUND_EVENNESS, -1, 0) == TW_UNKNOWN_REFERENCE);
  CHECK(bound(TW_BOUND_EVENNESS, 0, 6) == TW_UNKNOWN_REFERENCE);
  CHECK(bound(TW_BOUND_EVENNESS, 0, -1) == TW_UNKNOWN_REFERENCE);
  CHECK(bound(TW_BOUND_LAMPS, 0, 99) == TW_OK);  // has no channel
  CHECK(bound(TW_BOUND_LOWEST_LOAD, 0, 1) == TW_OK);
  CHECK(least.value != least.value);  // not lit
  CHECK(tw_bound_of(nullptr, 0, 0, 0, &least, &most, nullptr) == TW_NULL_POINTER);
  CHECK(tw_bound_of(reinterpret_cast<const tw_bounds*>(nothing), 0, 0, 0, &least, &most, nullptr) ==
        TW_VERSION_MISMATCH);
  CHECK(tw_bound_of(bounds, 0, 0, 0, nullptr, &most, nullptr) == TW_NULL_POINTER);
  CHECK(tw_bound_of(bounds, 0, 0, 0, &least, nullptr, nullptr) == TW_NULL_POINTER);

  auto effect = empty_c<tw_swap_effect>();
  auto before = empty_c<tw_network_figures>(), after = empty_c<tw_network_figures>();
  const auto swapped = [&](std::int32_t of, std::int32_t at, double core) {
    return tw_swap_feeder(&c.all, of, at, core, room.at(), room.bytes, &effect, &before, &after, &why);
  };
  CHECK(swapped(-1, 0, 0.01) == TW_UNKNOWN_REFERENCE);
  CHECK(swapped(runs_of(q), 0, 0.01) == TW_UNKNOWN_REFERENCE);
  CHECK(swapped(0, -2, 0.01) == TW_UNKNOWN_REFERENCE);
  CHECK(swapped(0, 1, 0.01) == TW_UNKNOWN_REFERENCE);
  CHECK(swapped(0, 0, -1000) == TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_RESISTANCE);
  CHECK(swapped(0, 0, no_figure) == TW_OUT_OF_RANGE);
  CHECK(swapped(0, -1, 0.01) == TW_OK);
}

namespace {

/// A text of the C interface: asked for its length first, then written.
template <class Ask>
std::string text_of(const Ask& ask) {
  std::int64_t wanted = -1;
  REQUIRE(ask(nullptr, 0, &wanted, nullptr) == TW_NO_ROOM);
  std::string text(static_cast<std::size_t>(wanted) + 1, 'x');
  REQUIRE(ask(text.data(), wanted + 1, &wanted, nullptr) == TW_OK);
  CHECK(text.back() == 0);
  text.pop_back();
  tw_fault why = empty_fault();
  char few[8];
  CHECK(ask(few, 8, &wanted, &why) == TW_NO_ROOM);
  CHECK(why.least == static_cast<double>(text.size() + 1));
  CHECK(std::string{few} == text.substr(0, 7));
  CHECK(ask(few, -1, &wanted, &why) == TW_OUT_OF_RANGE);
  CHECK(ask(nullptr, 8, &wanted, &why) == TW_NULL_POINTER);
  CHECK(ask(few, 8, nullptr, &why) == TW_NULL_POINTER);
  return text;
}
template <class Explain>
std::string text_of_cpp(const Explain& explain) {
  std::vector<char> room(200'000);
  text_sink out{room};
  explain(out);
  return {room.data(), out.wanted()};
}

}  // namespace

TEST_CASE("tw_explain_...: the texts of C++") {
  random_source r{71108};
  MESSAGE("seed " << r.seed());
  int solved_ones = 0, bounded = 0;
  for (int round = 0; round < 6; ++round) {
    CAPTURE(round);
    const conditions q{r,
                       round % 2 == 0 ? law_mix::monotone : law_mix::constant_power,
                       1 + round % 3,
                       12,
                       {feeding::one_end}};
    const c_network c = q.as_c();
    block room{c.all, tw_question_workspace};
    const feed_network& n = q.n.net;
    const solved_network solved{n};
    if (!solved.all.ok()) continue;
    ++solved_ones;
    load_place lamp = dimmest_load(n.runs[0], solved.figures[0], solved.profiles[0]);
    const cpp_slopes slopes{n, solved, lamp};
    REQUIRE(slopes.load.ok());
    CHECK(text_of([&](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
            return tw_explain_sensitivity(&c.all, 0, 0, -1, room.at(), room.bytes, buffer, capacity, wanted,
                                          why);
          }) == text_of_cpp([&](text_sink& out) {
            explain_sensitivity(n, solved.profiles, lamp, *slopes.load, slopes.runs, slopes.hubs,
                                slopes.leads, out);
          }));

    for (const light_share which : {light_share::dimmest, light_share::mean}) {
      const cpp_light told{n, solved, 0, lamp.channel, which};
      REQUIRE(told.light.ok());
      CHECK(text_of([&](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
              return tw_explain_light_sensitivity(&c.all, 0, lamp.channel, static_cast<std::int32_t>(which),
                                                  room.at(), room.bytes, buffer, capacity, wanted, why);
            }) == text_of_cpp([&](text_sink& out) {
              explain_light_sensitivity(n, solved.profiles, 0, lamp.channel, which, *told.light, told.runs,
                                        told.hubs, told.leads, out);
            }));
    }

    const tolerances t{r};
    const cpp_bounds bounds{n, t.t};
    if (bounds.all.ok()) {
      ++bounded;
      CHECK(text_of([&](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
              return tw_explain_bounds(&c.all, &t.c, 0, room.at(), room.bytes, buffer, capacity, wanted, why);
            }) == text_of_cpp([&](text_sink& out) { explain_bounds(n, t.t, 0, bounds.told[0], out); }));
    }

    std::vector<double> workspace(network_workspace(n));
    const auto factor = collapse_factor(n, workspace);
    REQUIRE(factor.ok());
    CHECK(text_of([&](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
            return tw_explain_collapse(&c.all, room.at(), room.bytes, buffer, capacity, wanted, why);
          }) == text_of_cpp([&](text_sink& out) { explain_collapse(n, *factor, out); }));

    const feeder_swap swap{0, -1, ohms{0.001}};
    swap_room swaps{n};
    const outcome<swap_effect> effect = swap_feeder(n, swap, swaps.space());
    REQUIRE(effect.ok());
    CHECK(text_of([&](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
            return tw_explain_feeder_swap(&c.all, 0, -1, 0.001, room.at(), room.bytes, buffer, capacity,
                                          wanted, why);
          }) == text_of_cpp([&](text_sink& out) { explain_feeder_swap(swap, *effect, out); }));
    CHECK(room.guard_holds());
  }
  MESSAGE(solved_ones << " networks told, bounds of " << bounded);
  CHECK(solved_ones == 6);
  CHECK(bounded == 6);
  const tape t = [&] {
    tape made = random_tape(r, 1, law_mix::monotone);
    made.longest_piece = metres{100};
    made.sale_quantum = metres{1};
    return made;
  }();
  const tw_tape tape_c = c_of(t);
  auto q = empty_c<tw_line_question>();
  q.lit = TW_ALL_LIT, q.segments = 50, q.trace_c = 30, q.source_v = t.nominal.v, q.feed_common_ohm = 0.05;
  CHECK(text_of([&](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
          return tw_explain_closed_line(&tape_c, &q, buffer, capacity, wanted, why);
        }) == text_of_cpp([&](text_sink& out) {
          const auto line = line_of(t, 50, 30_degC);
          REQUIRE(line.ok());
          CHECK_FALSE(explain_closed_line(*line, {t.nominal, ohms{0.05}, {}}, out));
        }));
}

TEST_CASE("tw_explain_...: what is at fault is told, and no text is written") {
  random_source r{71109};
  const conditions q{r, law_mix::monotone, 2, 12, {feeding::one_end}};
  const c_network c = q.as_c();
  block room{c.all, tw_question_workspace};
  const tolerances t{r};
  tw_fault why = empty_fault();
  char text[16] = "x";
  std::int64_t wanted = 9;
  const auto refused = [&](tw_status status, tw_status expected) {
    CHECK(status == expected);
    CHECK(why.code == expected);
    CHECK(text[0] == 0);
    CHECK(wanted == 0);
    text[0] = 'x';
    wanted = 9;
  };
  const std::int32_t outside = runs_of(q);
  refused(tw_explain_sensitivity(nullptr, 0, 0, -1, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_NULL_POINTER);
  refused(tw_explain_sensitivity(&c.all, outside, 0, -1, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_UNKNOWN_REFERENCE);
  refused(tw_explain_sensitivity(&c.all, 0, 0, -1, nullptr, 0, text, 16, &wanted, &why), TW_NULL_POINTER);
  CHECK(why.item == 4);
  refused(tw_explain_light_sensitivity(nullptr, 0, 0, 0, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_NULL_POINTER);
  refused(tw_explain_light_sensitivity(&c.all, outside, 0, 0, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_UNKNOWN_REFERENCE);
  refused(tw_explain_light_sensitivity(&c.all, 0, 0, 2, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_NOT_LISTED);
  refused(tw_explain_light_sensitivity(&c.all, 0, 0, 0, nullptr, 0, text, 16, &wanted, &why),
          TW_NULL_POINTER);
  CHECK(why.item == 4);
  refused(tw_explain_bounds(&c.all, &t.c, outside, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_UNKNOWN_REFERENCE);
  refused(tw_explain_bounds(&c.all, nullptr, 0, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_NULL_POINTER);
  CHECK(why.item == 1);
  refused(tw_explain_bounds(&c.all, &t.c, 0, nullptr, 0, text, 16, &wanted, &why), TW_NULL_POINTER);
  CHECK(why.item == 3);
  refused(tw_explain_feeder_swap(&c.all, 0, 7, 0.1, room.at(), room.bytes, text, 16, &wanted, &why),
          TW_UNKNOWN_REFERENCE);
  refused(tw_explain_collapse(&c.all, room.at(), room.bytes - 1, text, 16, &wanted, &why), TW_NO_ROOM);
  refused(tw_explain_closed_line(nullptr, nullptr, text, 16, &wanted, &why), TW_NULL_POINTER);
}

TEST_CASE("tw_explain_dimmed_cores, tw_explain_warm_conductor: the texts of C++, and refusals without one") {
  auto q = empty_c<tw_dimmed_question>();
  q.channels = 2;
  q.on_a[0] = 2, q.on_a[1] = 1.5, q.duty[0] = 0.5, q.duty[1] = 0.25, q.phase[1] = 0.5;
  const amps on[] = {2_A, 1.5_A};
  CHECK(text_of([&](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
          return tw_explain_dimmed_cores(&q, buffer, capacity, wanted, why);
        }) == text_of_cpp([&](text_sink& out) {
          CHECK_FALSE(explain_dimmed_cores(on, {.duty = {0.5, 0.25}, .phase = {0, 0.5}}, out));
        }));
  CHECK(text_of([](char* buffer, std::int64_t capacity, std::int64_t* wanted, tw_fault* why) {
          return tw_explain_warm_conductor(12, 16, 30, 70, 35, buffer, capacity, wanted, why);
        }) == text_of_cpp([](text_sink& out) {
          CHECK_FALSE(explain_warm_conductor(12_A, {16_A, 30_degC, 70_degC}, 35_degC, out));
        }));

  tw_fault why = empty_fault();
  char text[16] = "x";
  std::int64_t wanted = 9;
  const auto refused = [&](tw_status status, tw_status expected, std::int32_t at) {
    CHECK(status == expected);
    CHECK(why.code == expected);
    CHECK(why.field == at);
    CHECK(text[0] == 0);
    CHECK(wanted == 0);
    text[0] = 'x';
    wanted = 9;
  };
  refused(tw_explain_dimmed_cores(nullptr, text, 16, &wanted, &why), TW_NULL_POINTER, TW_FIELD_POINTER);
  tw_dimmed_question spoilt = q;
  spoilt.channels = 7;
  refused(tw_explain_dimmed_cores(&spoilt, text, 16, &wanted, &why), TW_OUT_OF_RANGE, TW_FIELD_CHANNEL_COUNT);
  spoilt = q;
  spoilt.duty[1] = 1.5;
  refused(tw_explain_dimmed_cores(&spoilt, text, 16, &wanted, &why), TW_OUT_OF_RANGE, TW_FIELD_DUTY);
  refused(tw_explain_warm_conductor(no_figure, 16, 30, 70, 35, text, 16, &wanted, &why), TW_OUT_OF_RANGE,
          TW_FIELD_CURRENT);
  refused(tw_explain_warm_conductor(100, 10, 30, 70, 30, text, 16, &wanted, &why), TW_OUT_OF_RANGE,
          TW_FIELD_TEMPERATURE);
}
