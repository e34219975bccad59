// SPDX-License-Identifier: BSL-1.0
// A plan through C is the plan through C++, field by field; its block, its lists and texts refuse what is wrong.
#include <doctest/doctest.h>

#include <cstring>
#include <memory>
#include <string>
#include <type_traits>
#include <vector>

#include "capi/struct_table.hpp"
#include "examples/order_sheet/input_folder.hpp"
#include "tapewright/plan/explain.hpp"
#include "tapewright/plan/names.hpp"
#include "tapewright/plan/run_profile.hpp"
#include "tests/support/plan_room.hpp"
#include "tests/support/random_job.hpp"
#include "tests/support/small_job.hpp"
#include "tests/unit/capi/c_rows.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/plan_calls.hpp"
#include "tests/unit/capi/same.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

using made_plan =
    plan_storage<40, 100'000>;  // the network of the longest run here: 92 segments of 5 channels

/// A run lamp by lamp; and what is refused of its room.
void check_profile(const tw_plan* c, const plan& p, const job& question, const catalogue& parts,
                   const run_plan& r) {
  CAPTURE(r.place);
  std::int64_t loads = -1, bytes = -1;
  REQUIRE(tw_plan_profile_room(c, r.place, &loads, &bytes, nullptr) == TW_OK);
  const tape& t = *tape_of(p, question, parts, r.place);
  REQUIRE(loads == r.cut.segments * static_cast<std::int64_t>(t.channels.size()));
  const auto count = static_cast<std::size_t>(loads);
  std::vector<double> v(count), a(count), block(static_cast<std::size_t>(bytes) / 8 + 1);
  const auto ask = [&](std::int64_t room, std::int64_t block_bytes) {
    return tw_plan_profile(c, r.place, v.data(), a.data(), room, block.data(), block_bytes, nullptr);
  };
  if (!r.solved) {
    CHECK(ask(loads, bytes) == TW_NOT_CONVERGED);
    CHECK(v[0] != v[0]);
    return;
  }
  const profile_room need = profile_room_of(r, t);
  std::vector<run_stretch> stretches(need.stretches);
  std::vector<feed_point> points(need.points);
  std::vector<double> doubles(need.doubles);
  std::vector<volts> want_v(count);
  std::vector<amps> want_a(count);
  REQUIRE(!solve_profile(p, question, parts, r.place, stretches, points, doubles, {want_v, want_a}));
  REQUIRE(ask(loads, bytes) == TW_OK);
  CHECK(same_list(v, want_v));
  CHECK(same_list(a, want_a));
  std::vector<double> alone(count);
  REQUIRE(tw_plan_profile(c, r.place, nullptr, alone.data(), loads, block.data(), bytes, nullptr) == TW_OK);
  CHECK(alone == a);
  if (loads > 1) {
    CHECK(ask(loads - 1, bytes) == TW_NO_ROOM);
    CHECK(a[0] != a[0]);
  }
  if (bytes > 0) CHECK(ask(loads, bytes - 1) == TW_NO_ROOM);
}

void check_same_plan(const tw_plan* c, const plan& p, const job& question, const catalogue& parts) {
  auto totals = empty_c<tw_plan_totals>();
  REQUIRE(tw_plan_summary(c, &totals, nullptr) == TW_OK);
  CHECK(same(totals, p));
  auto quote = empty_c<tw_quote>();
  REQUIRE(tw_plan_quote(c, &quote, nullptr) == TW_OK);
  CHECK(same(quote, p));
  check_list<tw_run_plan>(c, p.runs, tw_plan_run);
  check_list<tw_feed_plan>(c, p.feeds, tw_plan_feed);
  check_list<tw_stretch_plan>(c, p.stretches, tw_plan_stretch);
  check_list<tw_hub_plan>(c, p.hubs, tw_plan_hub);
  check_list<tw_output_plan>(c, p.outputs, tw_plan_output);
  check_list<tw_driver_plan>(c, p.drivers, tw_plan_driver);
  check_list<tw_order_line>(c, p.order, tw_plan_order_line);
  check_list<tw_cut_piece>(c, p.pieces, tw_plan_cut_piece);
  check_list<tw_cut_stock>(c, p.pieces, tw_plan_cut_stock);
  check_list<tw_connection>(c, p.connections, tw_plan_connection);
  check_list<tw_finding>(c, p.findings, tw_plan_finding);
  check_list<tw_reading>(c, p.readings, tw_plan_reading);
  check_list<tw_note>(c, p.notes, tw_plan_note);
  check_parts<tw_tape_load>(c, p.runs, tw_plan_run_load, [](auto& r) { return r.load; });
  check_parts<tw_feeder_check>(c, p.runs, tw_plan_run_feeder, [](auto& r) { return r.feeder.check; });
  check_parts<tw_connector_check>(c, p.runs, tw_plan_run_joint, [](auto& r) { return r.joint; });
  check_parts<tw_line_figures>(c, p.runs, tw_plan_run_line, [](auto& r) { return r.all_on; });
  check_parts<tw_feeder_check>(c, p.feeds, tw_plan_feed_feeder, [](auto& f) { return f.feeder.check; });
  check_parts<tw_connector_check>(c, p.feeds, tw_plan_feed_joint, [](auto& f) { return f.joint; });
  check_parts<tw_connector_check>(c, p.stretches, tw_plan_stretch_link, [](auto& w) { return w.link; });
  check_parts<tw_controller_check>(c, p.hubs, tw_plan_hub_check, [](auto& h) { return h.check; });
  check_parts<tw_feeder_check>(c, p.hubs, tw_plan_hub_supply, [](auto& h) { return h.supply.check; });
  check_parts<tw_connector_check>(c, p.hubs, tw_plan_hub_splice, [](auto& h) { return h.splice_check; });
  check_parts<tw_driver_check>(c, p.outputs, tw_plan_output_check, [](auto& o) { return o.check; });
  check_parts<tw_overcurrent_check>(c, p.outputs, tw_plan_output_protection,
                                    [](auto& o) { return o.protection; });
  check_parts<tw_connector_check>(c, p.outputs, tw_plan_output_plug, [](auto& o) { return o.plug_check; });

  for (const run_plan& r : p.runs) check_profile(c, p, question, parts, r);

  const auto text_of_plan = [](auto ask) {
    std::int64_t wanted = -1;
    REQUIRE(ask(nullptr, std::int64_t{0}, &wanted) == TW_NO_ROOM);
    std::vector<char> room(static_cast<std::size_t>(wanted) + 1, 'x');
    REQUIRE(ask(room.data(), wanted + 1, &wanted) == TW_OK);
    CHECK(room.back() == 0);
    return std::string{room.data()};
  };
  const auto text_of_cpp = [](auto write) {
    text_sink ruler{};
    write(ruler);
    std::string room(ruler.wanted(), ' ');
    text_sink out{std::span<char>{room.data(), room.size()}};
    write(out);
    return room;
  };
  for (std::size_t i = 0; i < p.runs.size(); ++i) {
    const auto run = static_cast<std::int32_t>(i);
    const std::string told = text_of_plan([&](char* room, std::int64_t capacity, std::int64_t* wanted) {
      return tw_plan_explain(c, run, room, capacity, wanted, nullptr);
    });
    CHECK(told == text_of_cpp([&](text_sink& out) { CHECK_FALSE(explain(p, question, parts, run, out)); }));
  }
  for (const finding& f : p.findings) {
    const std::string told = text_of_plan([&](char* room, std::int64_t capacity, std::int64_t* wanted) {
      return tw_plan_subject_name(c, static_cast<std::int32_t>(f.subject.kind), f.subject.index, room,
                                  capacity, wanted, nullptr);
    });
    CHECK(told == text_of_cpp([&](text_sink& out) { add_subject_name(out, p, question, f.subject); }));
  }
  for (const order_line& line : p.order) {
    if (line.part.kind == part_kind::service) continue;
    const std::string told = text_of_plan([&](char* room, std::int64_t capacity, std::int64_t* wanted) {
      return tw_plan_part_code(c, static_cast<std::int32_t>(line.part.kind), line.part.index, room, capacity,
                               wanted, nullptr);
    });
    CHECK(told == code_of(parts, line.part));
  }
  for (const connection& wire : p.connections)
    for (const terminal& t : {wire.from, wire.to}) {
      const std::string told = text_of_plan([&](char* room, std::int64_t capacity, std::int64_t* wanted) {
        if (t.feed > 0)
          return tw_plan_tape_terminal_name(c, t.owner, t.feed,
                                            t.kind == terminal_kind::tape_common ? -1 : t.channel, room,
                                            capacity, wanted, nullptr);
        return tw_plan_terminal_name(c, static_cast<std::int32_t>(t.kind), t.owner, t.channel, room, capacity,
                                     wanted, nullptr);
      });
      CHECK(told == text_of_cpp([&](text_sink& out) { add_terminal_name(out, p, question, parts, t); }));
    }
}

/// A job without the names that the C rows do not carry: explain() writes them.
template <class Row>
std::vector<Row> nameless(std::span<const Row> rows) {
  std::vector<Row> all(rows.begin(), rows.end());
  for (Row& r : all) r.name = {};
  return all;
}

void check_both_ways(const job& question, const catalogue& parts) {
  const std::vector<zone> zones = nameless(question.zones);
  const std::vector<run> runs = nameless(question.runs);
  const job asked{zones, runs, question.rules};
  auto storage = std::make_unique<made_plan>();
  const outcome<plan> wanted = make_plan(asked, parts, storage->space());
  REQUIRE(wanted.ok());
  auto rows = std::make_unique<c_question>(asked, parts);
  plan_block made{*rows};
  REQUIRE(made.status == TW_OK);
  rows.reset();  // job and catalogue may go once the plan is made
  check_same_plan(made.plan, *wanted, asked, parts);
}

TEST_CASE("a small job") { check_both_ways(small_job::question(), small_job::parts); }

TEST_CASE("the bookshop") {
  order_sheet::input_folder input;
  order_sheet::problem_list problems;
  order_sheet::read_folder(std::string{TAPEWRIGHT_SOURCE_DIR} + "/examples/order_sheet/bookshop", input,
                           problems);
  REQUIRE(problems.empty());
  check_both_ways(input.job(), input.parts());
}

TEST_CASE("without rules the defaults hold") {
  job question = small_job::question();
  question.rules = {};
  c_question rows{question, small_job::parts};
  rows.job.rules.at = nullptr;
  plan_block made{rows};
  REQUIRE(made.status == TW_OK);
  auto storage = std::make_unique<made_plan>();
  const outcome<plan> wanted = make_plan(question, small_job::parts, storage->space());
  auto totals = empty_c<tw_plan_totals>();
  REQUIRE(tw_plan_summary(made.plan, &totals, nullptr) == TW_OK);
  CHECK(same(totals, *wanted));
}

TEST_CASE("rooms with corners, far ends, sections and rings, through C and C++ alike") {
  random_source r{20261132};
  MESSAGE("seed " << r.seed());
  int feeds = 0, stretches = 0, sections = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 3, .zones = 2, .longest_m = round % 3 == 0 ? 30.0 : 12.0});
    bend_runs(r, o);
    for (run& u : o.runs) u.name = {};  // C rows carry no names: explain() writes them
    for (zone& z : o.zones) z.name = {};
    const job question = o.question();
    const catalogue parts = o.parts();
    c_question rows{question, parts};
    plan_block made{rows};
    REQUIRE(made.status == TW_OK);
    plan_room room{*space_for(question, parts), 100'000};
    const outcome<plan> wanted = make_plan(question, parts, room.space());
    REQUIRE(wanted.ok());
    check_same_plan(made.plan, *wanted, question, parts);
    feeds += static_cast<int>(wanted->feeds.size());
    stretches += static_cast<int>(wanted->stretches.size());
    for (const run_plan& u : wanted->runs) sections += u.sections > 1;
  }
  CHECK(feeds > 20);
  CHECK(stretches > 50);
  CHECK(sections > 2);

  run cove = small_job::runs[0];
  const stretch walls[] = {{metres{1}, {}}, {metres{1.33}, metres{0.02}}};
  cove.stretches = walls;
  c_question rows{{small_job::zones, {&cove, 1}, {}}, small_job::parts};
  const auto refused = [&] {
    plan_block made{rows};
    CHECK(made.plan == nullptr);
    return made.why;
  };
  rows.stretches[0][1].measured_m = 2;  // 3 m of stretches, 2.33 m measured
  CHECK(refused().field == TW_FIELD_MEASURED_LENGTH);
  rows.stretches[0][1].measured_m = 1.33;
  rows.stretches[0][1].gap_m = 1.5;
  CHECK(refused().field == TW_FIELD_LINK_GAP);
  rows.stretches[0][1].gap_m = 0.02;
  rows.runs[0].reach = 3;
  CHECK(refused().field == TW_FIELD_FEED_REACH);
  rows.runs[0].reach = 0;
  rows.runs[0].arrangements = 64;
  CHECK(refused().field == TW_FIELD_ARRANGEMENTS);
  rows.runs[0].arrangements = 0;  // as in an older structure: all
  rows.runs[0].spare = 1;
  CHECK(refused().code == TW_VERSION_MISMATCH);
  rows.runs[0].spare = 0;
  rows.runs[0].stretch.at = nullptr;
  CHECK(refused().code == TW_NULL_POINTER);
  rows.runs[0].stretch.at = rows.stretches[0].data();
  rows.runs[0].stretches = 101;
  CHECK(refused().field == TW_FIELD_STRETCH_COUNT);
  rows.runs[0].stretches = 2;
  plan_block good{rows};
  CHECK(good.status == TW_OK);
}

TEST_CASE("rows of an older and of a newer release") {
  c_question rows{small_job::question(), small_job::parts};
  plan_block plain{rows};
  REQUIRE(plain.status == TW_OK);
  auto totals = empty_c<tw_plan_totals>(), again = totals;
  REQUIRE(tw_plan_summary(plain.plan, &totals, nullptr) == TW_OK);
  // runs that are eight bytes longer than ours, zero there
  const std::size_t stride = sizeof(tw_run) + 8;
  std::vector<double> longer(rows.runs.size() * stride / 8, 0.0);
  auto* bytes = reinterpret_cast<unsigned char*>(longer.data());
  for (std::size_t i = 0; i < rows.runs.size(); ++i) {
    std::memcpy(bytes + i * stride, &rows.runs[i], sizeof(tw_run));
    const auto size = static_cast<std::uint32_t>(stride);
    std::memcpy(bytes + i * stride, &size, sizeof size);
  }
  rows.job.run.at = reinterpret_cast<const tw_run*>(bytes);
  plan_block made{rows};
  REQUIRE(made.status == TW_OK);
  REQUIRE(tw_plan_summary(made.plan, &again, nullptr) == TW_OK);
  CHECK(std::memcmp(&totals, &again, sizeof totals) == 0);
  bytes[stride - 1] = 1;
  plan_block refused{rows};
  CHECK(refused.status == TW_VERSION_MISMATCH);
  CHECK(refused.why.item == 0);
}

TEST_CASE("blocks: null, crooked, too small; their neighbours stay as they are") {
  const c_question q{small_job::question(), small_job::parts};
  std::int64_t bytes = 0;
  REQUIRE(tw_plan_bytes(&q.job, &q.catalogue, &bytes, nullptr) == TW_OK);
  CHECK(bytes > 0);
  constexpr double guard = 4711;
  std::vector<double> room(static_cast<std::size_t>(bytes) / 8 + 3, guard);
  tw_fault why = empty_fault();
  tw_plan* plan = reinterpret_cast<tw_plan*>(room.data());
  CHECK(tw_plan_make(&q.job, &q.catalogue, nullptr, bytes, &plan, &why) == TW_NULL_POINTER);
  CHECK(why.item == 2);
  CHECK(plan == nullptr);
  CHECK(tw_plan_make(&q.job, &q.catalogue, room.data(), bytes, nullptr, &why) == TW_NULL_POINTER);
  for (const std::int64_t few : {std::int64_t{-1}, std::int64_t{0}, std::int64_t{64}, bytes - 1}) {
    plan = reinterpret_cast<tw_plan*>(room.data());
    CHECK(tw_plan_make(&q.job, &q.catalogue, room.data(), few, &plan, &why) == TW_NO_ROOM);
    CHECK(why.given == static_cast<double>(few));
    CHECK(why.least == static_cast<double>(bytes));
    CHECK(plan == nullptr);
  }
  for (const std::size_t off : {1u, 2u, 4u}) {
    plan = reinterpret_cast<tw_plan*>(room.data());
    CHECK(tw_plan_make(&q.job, &q.catalogue, reinterpret_cast<char*>(room.data()) + off, bytes, &plan,
                       &why) == TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_ALIGNMENT);
    CHECK(why.given == static_cast<double>(off));
    CHECK(plan == nullptr);
  }
  room.assign(room.size(), guard);
  REQUIRE(tw_plan_make(&q.job, &q.catalogue, room.data() + 1, bytes, &plan, &why) == TW_OK);
  CHECK(room.front() == guard);
  CHECK(room[static_cast<std::size_t>(bytes) / 8 + 2] == guard);
}

TEST_CASE("jobs and catalogues: every list and reference is looked at") {
  tw_fault why = empty_fault();
  std::int64_t bytes = 7;
  tw_plan* plan = nullptr;
  double room[8] = {};
  const auto refused = [&](const tw_job* j, const tw_catalogue* c, tw_status status) {
    why = empty_fault();
    bytes = 7;
    CHECK(tw_plan_bytes(j, c, &bytes, &why) == status);
    CHECK(why.code == status);
    CHECK(bytes == 0);
    CHECK(tw_plan_make(j, c, room, sizeof room, &plan, nullptr) == status);
    CHECK(plan == nullptr);
  };
  const auto changed = [&](auto change, tw_status status) {
    c_question q{small_job::question(), small_job::parts};
    change(q);
    refused(&q.job, &q.catalogue, status);
  };
  const c_question good{small_job::question(), small_job::parts};
  refused(nullptr, &good.catalogue, TW_NULL_POINTER);
  CHECK(why.item == 0);
  refused(&good.job, nullptr, TW_NULL_POINTER);
  CHECK(why.item == 1);
  CHECK(tw_plan_bytes(&good.job, &good.catalogue, nullptr, &why) == TW_NULL_POINTER);
  changed([](auto& q) { q.job.struct_size = 4; }, TW_VERSION_MISMATCH);
  changed([](auto& q) { q.catalogue.struct_size = 4; }, TW_VERSION_MISMATCH);
  changed([](auto& q) { q.job.reserved = 1; }, TW_VERSION_MISMATCH);
  changed([](auto& q) { q.catalogue.reserved = 1; }, TW_VERSION_MISMATCH);
  changed([](auto& q) { q.rules.struct_size = 4; }, TW_VERSION_MISMATCH);
  changed([](auto& q) { q.runs[0].struct_size = 4; }, TW_VERSION_MISMATCH);
  changed([](auto& q) { q.tapes[0].struct_size = 4; }, TW_VERSION_MISMATCH);
  for (const std::int32_t count : {0, -1, 2001}) {
    changed([&](auto& q) { q.job.runs = count; }, TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_RUN_COUNT);
  }
  for (const std::int32_t count : {0, -1, 201}) {
    changed([&](auto& q) { q.job.zones = count; }, TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_ZONE_COUNT);
  }
  for (const std::int32_t count : {0, -1, 501}) {
    changed([&](auto& q) { q.catalogue.tapes = count; }, TW_OUT_OF_RANGE);
    CHECK(why.field == TW_FIELD_TAPE_COUNT);
  }
  for (std::int32_t tw_catalogue::*list :
       {&tw_catalogue::cables, &tw_catalogue::connectors, &tw_catalogue::controllers, &tw_catalogue::drivers,
        &tw_catalogue::overcurrent_devices})
    for (const std::int32_t count : {-1, 1'000'001}) {
      changed([&](auto& q) { q.catalogue.*list = count; }, TW_OUT_OF_RANGE);
      CHECK(why.field == TW_FIELD_ROW_COUNT);
    }
  changed([](auto& q) { q.job.zone.at = nullptr; }, TW_NULL_POINTER);
  changed([](auto& q) { q.job.run.at = nullptr; }, TW_NULL_POINTER);
  changed([](auto& q) { q.catalogue.tape.at = nullptr; }, TW_NULL_POINTER);
  changed([](auto& q) { q.catalogue.cable.at = nullptr; }, TW_NULL_POINTER);
  changed([](auto& q) { q.catalogue.connector.at = nullptr; }, TW_NULL_POINTER);
  changed([](auto& q) { q.catalogue.controller.at = nullptr; }, TW_NULL_POINTER);
  changed([](auto& q) { q.catalogue.driver.at = nullptr; }, TW_NULL_POINTER);
  changed([](auto& q) { q.catalogue.overcurrent_device.at = nullptr; }, TW_NULL_POINTER);
  for (const std::int32_t tape : {-1, 1000}) {
    changed([&](auto& q) { q.runs[1].tape = tape; }, TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_RUN_TAPE);
    CHECK(why.item == 1);
  }
  changed([](auto& q) { q.runs[2].measured_m = __builtin_nan(""); }, TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_MEASURED_LENGTH);
  CHECK(why.item == 2);
  changed([](auto& q) { q.tapes[0].cut_pitch_m = -1; }, TW_OUT_OF_RANGE);
  CHECK(why.field == TW_FIELD_CUT_PITCH);
}

TEST_CASE("rows and rules at fault are told with their list's place when the plan is made") {
  const auto told = [](auto change) {
    c_question q{small_job::question(), small_job::parts};
    std::int64_t bytes = 0;
    REQUIRE(tw_plan_bytes(&q.job, &q.catalogue, &bytes, nullptr) == TW_OK);
    std::vector<double> room(static_cast<std::size_t>(bytes) / 8 + 1);
    change(q);
    tw_plan* plan = nullptr;
    tw_fault why = empty_fault();
    CHECK(tw_plan_make(&q.job, &q.catalogue, room.data(), bytes, &plan, &why) != TW_OK);
    CHECK(plan == nullptr);
    return why;
  };
  constexpr double nan = __builtin_nan("");
  CHECK(told([](auto& q) { q.runs[1].zone = 99; }).code == TW_UNKNOWN_REFERENCE);
  CHECK(told([](auto& q) { q.runs[1].ambient_c = nan; }).item == 1);
  CHECK(told([](auto& q) { q.runs[1].code[0] = 0; }).field == TW_FIELD_NAME);
  CHECK(told([](auto& q) { q.zones[1].from_driver_m = -1; }).item == 1);
  CHECK(told([](auto& q) { q.zones[1].mount = 2; }).field == TW_FIELD_MOUNT_WISH);
  CHECK(told([](auto& q) { q.zones[1].features = 9; }).field == TW_FIELD_WORD_COUNT);
  CHECK(told([](auto& q) { q.zones[0].wants_controller = 2; }).field == TW_FIELD_YES_NO);
  CHECK(told([](auto& q) { q.cables[1].conductor_limit_c = nan; }).item == 1);
  CHECK(told([](auto& q) { q.cables[0].colours = 13; }).field == TW_FIELD_CORE_COUNT);
  CHECK(told([](auto& q) { q.connectors[0].use = 4; }).field == TW_FIELD_CONNECTOR_USE);
  CHECK(told([](auto& q) { q.controllers[0].is_repeater = -1; }).field == TW_FIELD_YES_NO);
  CHECK(told([](auto& q) { q.drivers[1].derating_points = 9; }).field == TW_FIELD_DERATING_POINT);
  CHECK(told([](auto& q) { q.drivers[1].efficiency = 2; }).item == 1);
  CHECK(told([](auto& q) { q.devices[0].family = 6; }).field == TW_FIELD_OVERCURRENT_FAMILY);
  CHECK(told([](auto& q) { q.tapes[1].channel[2].law = 3; }).field == TW_FIELD_LOAD_LAW);
  CHECK(told([](auto& q) { q.tapes[1].channel[2].reserved = 3; }).code == TW_VERSION_MISMATCH);
  CHECK(told([](auto& q) { q.tapes[1].polarity = 2; }).field == TW_FIELD_COMMON_POLARITY);
  CHECK(told([](auto& q) { q.rules.headroom = nan; }).field == TW_FIELD_HEADROOM);
  CHECK(told([](auto& q) { q.rules.join = 2; }).field == TW_FIELD_FEEDER_METHOD);
  CHECK(told([](auto& q) { q.rules.code_family = 2; }).field == TW_FIELD_CODE_FAMILY);
  CHECK(told([](auto& q) { q.zones[1].struct_size = 8; }).code == TW_VERSION_MISMATCH);
}

TEST_CASE("lists of a plan: places past their ends, nulls, what is no plan") {
  const c_question q{small_job::question(), small_job::parts};
  plan_block made{q};
  REQUIRE(made.status == TW_OK);
  const tw_plan* p = made.plan;
  auto t = empty_c<tw_plan_totals>();
  REQUIRE(tw_plan_summary(p, &t, nullptr) == TW_OK);
  check_refusals<tw_run_plan>(p, t.runs, tw_plan_run);
  check_refusals<tw_hub_plan>(p, t.hubs, tw_plan_hub);
  check_refusals<tw_output_plan>(p, t.outputs, tw_plan_output);
  check_refusals<tw_driver_plan>(p, t.drivers, tw_plan_driver);
  check_refusals<tw_order_line>(p, t.order_lines, tw_plan_order_line);
  check_refusals<tw_cut_piece>(p, t.cut_pieces, tw_plan_cut_piece);
  check_refusals<tw_cut_stock>(p, t.cut_pieces, tw_plan_cut_stock);
  check_refusals<tw_connection>(p, t.connections, tw_plan_connection);
  check_refusals<tw_finding>(p, t.findings, tw_plan_finding);
  check_refusals<tw_reading>(p, t.readings, tw_plan_reading);
  check_refusals<tw_feed_plan>(p, t.feeds, tw_plan_feed);
  check_refusals<tw_stretch_plan>(p, t.stretches, tw_plan_stretch);
  check_refusals<tw_note>(p, t.notes, tw_plan_note);
  check_refusals<tw_tape_load>(p, t.runs, tw_plan_run_load);
  check_refusals<tw_feeder_check>(p, t.runs, tw_plan_run_feeder);
  check_refusals<tw_connector_check>(p, t.runs, tw_plan_run_joint);
  check_refusals<tw_line_figures>(p, t.runs, tw_plan_run_line);
  check_refusals<tw_feeder_check>(p, t.feeds, tw_plan_feed_feeder);
  check_refusals<tw_connector_check>(p, t.feeds, tw_plan_feed_joint);
  check_refusals<tw_connector_check>(p, t.stretches, tw_plan_stretch_link);
  check_refusals<tw_controller_check>(p, t.hubs, tw_plan_hub_check);
  check_refusals<tw_feeder_check>(p, t.hubs, tw_plan_hub_supply);
  check_refusals<tw_connector_check>(p, t.hubs, tw_plan_hub_splice);
  check_refusals<tw_driver_check>(p, t.outputs, tw_plan_output_check);
  check_refusals<tw_overcurrent_check>(p, t.outputs, tw_plan_output_protection);
  check_refusals<tw_connector_check>(p, t.outputs, tw_plan_output_plug);
  double figure = 0, room[64];
  std::int64_t loads = 0, bytes = 0;
  for (const std::int32_t outside : {-1, t.runs}) {
    CHECK(tw_plan_profile_room(p, outside, &loads, &bytes, nullptr) == TW_UNKNOWN_REFERENCE);
    CHECK(tw_plan_profile(p, outside, &figure, nullptr, 1, room, sizeof room, nullptr) ==
          TW_UNKNOWN_REFERENCE);
    CHECK(figure != figure);
  }
  CHECK(tw_plan_profile_room(nullptr, 0, &loads, &bytes, nullptr) == TW_NULL_POINTER);
  CHECK(tw_plan_profile_room(p, 0, nullptr, &bytes, nullptr) == TW_NULL_POINTER);
  CHECK(tw_plan_profile(nullptr, 0, &figure, nullptr, 1, room, sizeof room, nullptr) == TW_NULL_POINTER);
  CHECK(tw_plan_profile(p, 0, &figure, nullptr, 0, room, sizeof room, nullptr) == TW_OUT_OF_RANGE);
  CHECK(tw_plan_profile(p, 0, nullptr, nullptr, 0, nullptr, 0, nullptr) == TW_NULL_POINTER);
  CHECK(tw_plan_summary(nullptr, &t, nullptr) == TW_NULL_POINTER);
  CHECK(t.fits == 0);
  CHECK(t.load_w != t.load_w);
  CHECK(tw_plan_summary(p, nullptr, nullptr) == TW_NULL_POINTER);
}

TEST_CASE("texts of a plan: cut with a zero at their end, and the room told") {
  const c_question q{small_job::question(), small_job::parts};
  plan_block made{q};
  REQUIRE(made.status == TW_OK);
  tw_fault why = empty_fault();
  char room[12];
  std::memset(room, 'x', sizeof room);
  std::int64_t wanted = -1;
  CHECK(tw_plan_explain(made.plan, 0, room, 10, &wanted, &why) == TW_NO_ROOM);
  CHECK(wanted > 100);
  CHECK(why.least == static_cast<double>(wanted + 1));
  CHECK(room[9] == 0);
  CHECK(room[10] == 'x');
  CHECK(std::strlen(room) == 9);
  std::vector<char> exact(static_cast<std::size_t>(wanted));
  CHECK(tw_plan_explain(made.plan, 0, exact.data(), wanted, &wanted, &why) ==
        TW_NO_ROOM);  // no room for the zero
  for (const std::int32_t outside : {-1, 3}) {
    room[0] = 'x';
    CHECK(tw_plan_explain(made.plan, outside, room, 10, &wanted, &why) == TW_UNKNOWN_REFERENCE);
    CHECK(wanted == 0);
    CHECK(room[0] == 0);
  }
  CHECK(tw_plan_explain(made.plan, 0, nullptr, 10, &wanted, &why) == TW_NULL_POINTER);
  CHECK(tw_plan_explain(made.plan, 0, room, 10, nullptr, &why) == TW_NULL_POINTER);
  CHECK(tw_plan_explain(made.plan, 0, room, -1, &wanted, &why) == TW_OUT_OF_RANGE);
  CHECK(tw_plan_explain(nullptr, 0, room, 10, &wanted, &why) == TW_NULL_POINTER);

  const auto subject = [&](std::int32_t kind, std::int32_t place) {
    return tw_plan_subject_name(made.plan, kind, place, room, sizeof room, &wanted, &why);
  };
  CHECK(subject(TW_SUBJECT_JOB, 0) == TW_OK);
  CHECK(std::string{room} == "job");
  CHECK(subject(TW_SUBJECT_DRIVER, 0) == TW_OK);
  CHECK(std::string{room} == "T1");
  CHECK(wanted == 2);
  for (const std::int32_t kind : {TW_SUBJECT_ZONE, TW_SUBJECT_RUN, TW_SUBJECT_HUB, TW_SUBJECT_DRIVER})
    for (const std::int32_t place : {-1, 1000}) {
      CHECK(subject(kind, place) == TW_UNKNOWN_REFERENCE);
      CHECK(room[0] == 0);
    }
  for (const std::int32_t kind : {-1, 5}) CHECK(subject(kind, 0) == TW_NOT_LISTED);
  CHECK(tw_plan_subject_name(nullptr, 0, 0, room, sizeof room, &wanted, &why) == TW_NULL_POINTER);

  const auto code = [&](std::int32_t kind, std::int32_t part) {
    return tw_plan_part_code(made.plan, kind, part, room, sizeof room, &wanted, &why);
  };
  for (std::int32_t kind = TW_PART_TAPE; kind <= TW_PART_OVERCURRENT_DEVICE; ++kind) {
    CHECK(code(kind, -1) == TW_UNKNOWN_REFERENCE);
    CHECK(code(kind, 1000) == TW_UNKNOWN_REFERENCE);
    CHECK(why.field == TW_FIELD_PLACE);
  }
  for (const std::int32_t kind : {-1, 0, TW_PART_SERVICE, 8}) CHECK(code(kind, 0) == TW_NOT_LISTED);
  CHECK(tw_plan_part_code(nullptr, TW_PART_TAPE, 0, room, sizeof room, &wanted, &why) == TW_NULL_POINTER);

  const auto name = [&](std::int32_t kind, std::int32_t owner, std::int32_t channel) {
    return tw_plan_terminal_name(made.plan, kind, owner, channel, room, sizeof room, &wanted, &why);
  };
  CHECK(name(TW_TERMINAL_DRIVER_POSITIVE, 0, 0) == TW_OK);
  CHECK(std::string{room}.back() == '+');
  for (std::int32_t kind = TW_TERMINAL_DRIVER_POSITIVE; kind <= TW_TERMINAL_TAPE_CHANNEL; ++kind) {
    CHECK(name(kind, -1, 0) == TW_UNKNOWN_REFERENCE);
    CHECK(name(kind, 1000, 0) == TW_UNKNOWN_REFERENCE);
    CHECK(name(kind, 0, -1) == TW_UNKNOWN_REFERENCE);
    CHECK(name(kind, 0, 6) == TW_UNKNOWN_REFERENCE);
  }
  for (const std::int32_t kind : {-1, 10}) CHECK(name(kind, 0, 0) == TW_NOT_LISTED);
  CHECK(tw_plan_terminal_name(nullptr, 0, 0, 0, room, sizeof room, &wanted, &why) == TW_NULL_POINTER);
}

}  // namespace
