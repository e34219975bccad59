// SPDX-License-Identifier: BSL-1.0
// libFuzzer's entry: the small job with some members changed is planned in a block of exactly the room that is asked for;
// what was planned is read whole, and every promise about it is held.
#include "tests/abuse/any_call.hpp"

using namespace tapewright;
using namespace tapewright::abuse;

namespace {

struct question {
  std::vector<tw_zone> zones = small_question().zones;
  std::vector<tw_run> runs = small_question().runs;
  std::vector<tw_tape> tapes = small_question().tapes;
  std::vector<tw_cable> cables = small_question().cables;
  std::vector<tw_connector> connectors = small_question().connectors;
  std::vector<tw_controller> controllers = small_question().controllers;
  std::vector<tw_driver> drivers = small_question().drivers;
  std::vector<tw_overcurrent_device> devices = small_question().devices;
  std::vector<tw_pin> pins;
  tw_rules rules = small_question().rules;
  tw_terms terms = some_terms();
  tw_job job = small_question().job;
  tw_catalogue catalogue = small_question().catalogue;

  explicit question(choices& c) {
    for (std::uint32_t changes = c.below(12); changes > 0; --changes) change_one(c);
    connect(zones, job.zone, job.zones);
    connect(runs, job.run, job.runs);
    if (job.rules.at != nullptr) job.rules.at = &rules;
    connect(pins, terms.pin, terms.pins);
    connect(tapes, catalogue.tape, catalogue.tapes);
    connect(cables, catalogue.cable, catalogue.cables);
    connect(connectors, catalogue.connector, catalogue.connectors);
    connect(controllers, catalogue.controller, catalogue.controllers);
    connect(drivers, catalogue.driver, catalogue.drivers);
    connect(devices, catalogue.overcurrent_device, catalogue.overcurrent_devices);
  }

 private:
  template <class Rows, class Pointer>
  static void connect(Rows& rows, Pointer& pointer, std::int32_t& count) {
    rows.shrink_to_fit();  // a sanitizer sees one row more
    pointer.at = rows.empty() ? nullptr : rows.data();
    count = static_cast<std::int32_t>(rows.size());
  }
  template <class Rows>
  static void change_rows(Rows& rows, choices& c) {
    switch (c.below(10)) {
      case 0:
        if (!rows.empty()) rows.pop_back();
        return;
      case 1:
        if (!rows.empty() && rows.size() < 6)
          rows.push_back(rows[c.below(static_cast<std::uint32_t>(rows.size()))]);
        return;
      default:
        if (!rows.empty()) change(rows[c.below(static_cast<std::uint32_t>(rows.size()))], c);
    }
  }
  void change_one(choices& c) {
    switch (c.below(12)) {
      case 0: return change_rows(zones, c);
      case 1:
      case 2: return change_rows(runs, c);
      case 3: return change_rows(tapes, c);
      case 4: return change_rows(cables, c);
      case 5: return change_rows(connectors, c);
      case 6: return change_rows(controllers, c);
      case 7: return change_rows(drivers, c);
      case 8: return change_rows(devices, c);
      case 9: return c.one_in(2) ? change(terms, c) : change(rules, c);
      case 10:
        if (c.one_in(2))
          return pins.push_back({sizeof(tw_pin), static_cast<std::int32_t>(c.below(4)),
                                 static_cast<std::int32_t>(c.below(4)),
                                 static_cast<std::int32_t>(c.below(4))});
        if (c.one_in(4)) job.rules.at = nullptr;
        return change(job, c);
      default: return change(catalogue, c);
    }
  }
};

/// A run of tens of thousands of segments is a good question, but not a quick one.
bool is_quick(const question& q) {
  double most_m = 0, least_pitch = 1e9;
  for (const tw_run& r : q.runs)
    if (r.measured_m > most_m && r.measured_m < 1e9) most_m = r.measured_m;
  for (const tw_tape& t : q.tapes)
    if (t.cut_pitch_m > 0 && t.cut_pitch_m < least_pitch) least_pitch = t.cut_pitch_m;
  return most_m / least_pitch < 3000;
}

template <class C, class Get>
void read_list(const tw_plan* plan, std::int32_t count, Get get, const char* name) {
  for (std::int32_t i = 0; i <= count; ++i) {
    C row = test::empty_c<C>();
    const tw_status status = get(plan, i, &row, nullptr);
    if (status != (i < count ? TW_OK : TW_UNKNOWN_REFERENCE))
      broken(name, "a list is as long as its plan says");
  }
}
template <class Ask>
void read_text(const char* name, Ask ask) {
  std::int64_t wanted = -1;
  const tw_status status = ask(nullptr, std::int64_t{0}, &wanted);
  if (status != TW_OK && status != TW_NO_ROOM) return;
  if (wanted < 0) broken(name, "a text has a length");
  std::vector<char> room(static_cast<std::size_t>(wanted) + 1, 'x');
  std::int64_t again = -1;
  if (ask(room.data(), wanted + 1, &again) != TW_OK || again != wanted || room.back() != 0 ||
      std::strlen(room.data()) != static_cast<std::size_t>(wanted))
    broken(name, "a text is as long as it says");
}

void read_whole(const tw_plan* plan) {
  tw_plan_totals t = test::empty_c<tw_plan_totals>();
  if (tw_plan_summary(plan, &t, nullptr) != TW_OK) broken("tw_plan_summary", "a plan has totals");
  read_list<tw_run_plan>(plan, t.runs, tw_plan_run, "tw_plan_run");
  read_list<tw_hub_plan>(plan, t.hubs, tw_plan_hub, "tw_plan_hub");
  read_list<tw_output_plan>(plan, t.outputs, tw_plan_output, "tw_plan_output");
  read_list<tw_driver_plan>(plan, t.drivers, tw_plan_driver, "tw_plan_driver");
  read_list<tw_order_line>(plan, t.order_lines, tw_plan_order_line, "tw_plan_order_line");
  read_list<tw_cut_piece>(plan, t.cut_pieces, tw_plan_cut_piece, "tw_plan_cut_piece");
  read_list<tw_cut_stock>(plan, t.cut_pieces, tw_plan_cut_stock, "tw_plan_cut_stock");
  read_list<tw_feed_plan>(plan, t.feeds, tw_plan_feed, "tw_plan_feed");
  read_list<tw_feeder_check>(plan, t.feeds, tw_plan_feed_feeder, "tw_plan_feed_feeder");
  read_list<tw_stretch_plan>(plan, t.stretches, tw_plan_stretch, "tw_plan_stretch");
  read_list<tw_connector_check>(plan, t.stretches, tw_plan_stretch_link, "tw_plan_stretch_link");
  tw_quote quote = test::empty_c<tw_quote>();
  if (tw_plan_quote(plan, &quote, nullptr) != TW_OK ||
      quote.gross_minor != quote.net_minor - quote.discount_minor + quote.tax_minor)
    broken("tw_plan_quote", "gross is net less discount and with tax");
  read_list<tw_connection>(plan, t.connections, tw_plan_connection, "tw_plan_connection");
  read_list<tw_finding>(plan, t.findings, tw_plan_finding, "tw_plan_finding");
  read_list<tw_reading>(plan, t.readings, tw_plan_reading, "tw_plan_reading");
  read_list<tw_note>(plan, t.notes, tw_plan_note, "tw_plan_note");
  std::int32_t failed = 0;
  for (std::int32_t i = 0; i < t.findings; ++i) {
    tw_finding f = test::empty_c<tw_finding>();
    tw_plan_finding(plan, i, &f, nullptr);
    failed += f.severity == TW_SEVERITY_FAILED;
    read_text("tw_plan_subject_name", [&](char* room, std::int64_t capacity, std::int64_t* wanted) {
      return tw_plan_subject_name(plan, f.subject_kind, f.subject, room, capacity, wanted, nullptr);
    });
  }
  if ((t.fits != 0) != (failed == 0)) broken("tw_plan_summary", "a plan fits exactly when no check failed");
  for (std::int32_t i = 0; i < t.runs; ++i)
    read_text("tw_plan_explain", [&](char* room, std::int64_t capacity, std::int64_t* wanted) {
      return tw_plan_explain(plan, i, room, capacity, wanted, nullptr);
    });
  for (std::int32_t i = 0; i < t.connections; ++i) {
    tw_connection k = test::empty_c<tw_connection>();
    tw_plan_connection(plan, i, &k, nullptr);
    read_text("tw_plan_terminal_name", [&](char* room, std::int64_t capacity, std::int64_t* wanted) {
      return tw_plan_terminal_name(plan, k.from_kind, k.from_owner, k.from_channel < 0 ? 0 : k.from_channel,
                                   room, capacity, wanted, nullptr);
    });
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  choices c{data, data + size};
  const question q{c};
  if (!is_quick(q)) return 0;
  std::int64_t bytes = -7;
  if (tw_plan_bytes_by(&q.job, &q.catalogue, &q.terms, &bytes, nullptr) != TW_OK) {
    if (bytes != 0) broken("tw_plan_bytes_by", "no room without TW_OK");
    return 0;
  }
  if (bytes <= 0 || bytes > 100'000'000) broken("tw_plan_bytes_by", "the room of a small job is small");
  const std::int64_t given = c.one_in(20) ? bytes - 1 : bytes;
  auto block = std::make_unique<unsigned char[]>(static_cast<std::size_t>(given));
  std::memset(block.get(), 0xee, static_cast<std::size_t>(given));
  tw_plan* plan = nullptr;
  const tw_status status =
      tw_plan_make_by(&q.job, &q.catalogue, &q.terms, block.get(), given, &plan, nullptr);
  if ((status == TW_OK) != (plan != nullptr)) broken("tw_plan_make_by", "a plan exactly with TW_OK");
  if (given < bytes && status == TW_OK) broken("tw_plan_make_by", "no plan in too small a room");
  if (status == TW_OK) read_whole(plan);
  return 0;
}
