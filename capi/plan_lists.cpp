// SPDX-License-Identifier: BSL-1.0
// C interface: what stands in a plan, row by row.
#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "figures.hpp"
#include "plan_block.hpp"
#include "tapewright.h"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// Row `place` of a list of the plan.
template <class Row, class... Outputs>
tw_status answer_plan(const tw_plan* p, std::span<const Row> plan::*list, std::int32_t place, tw_fault* why,
                      const Outputs&... outputs) noexcept {
  const auto listed = [=](const tw_plan& of) noexcept { return of.plan.*list; };
  return answer_row(p, listed, place, why, outputs...);
}

}  // namespace

tw_status tw_plan_summary(const tw_plan* plan, tw_plan_totals* totals, tw_fault* why) {
  return answer(refuse_handle(plan), plan, why, to(totals, &tw_plan::plan));
}

tw_status tw_plan_quote(const tw_plan* plan, tw_quote* quote, tw_fault* why) {
  return answer(refuse_handle(plan), plan, why, to(quote, &tw_plan::plan));
}

tw_status tw_plan_run(const tw_plan* plan, int32_t place, tw_run_plan* run, tw_fault* why) {
  return answer_plan(plan, &plan::runs, place, why, to(run));
}
tw_status tw_plan_feed(const tw_plan* plan, int32_t place, tw_feed_plan* feed, tw_fault* why) {
  return answer_plan(plan, &plan::feeds, place, why, to(feed));
}
tw_status tw_plan_stretch(const tw_plan* plan, int32_t place, tw_stretch_plan* stretch, tw_fault* why) {
  return answer_plan(plan, &plan::stretches, place, why, to(stretch));
}
tw_status tw_plan_hub(const tw_plan* plan, int32_t place, tw_hub_plan* hub, tw_fault* why) {
  return answer_plan(plan, &plan::hubs, place, why, to(hub));
}
tw_status tw_plan_output(const tw_plan* plan, int32_t place, tw_output_plan* output, tw_fault* why) {
  return answer_plan(plan, &plan::outputs, place, why, to(output));
}
tw_status tw_plan_driver(const tw_plan* plan, int32_t place, tw_driver_plan* driver, tw_fault* why) {
  return answer_plan(plan, &plan::drivers, place, why, to(driver));
}
tw_status tw_plan_order_line(const tw_plan* plan, int32_t place, tw_order_line* line, tw_fault* why) {
  return answer_plan(plan, &plan::order, place, why, to(line));
}
tw_status tw_plan_cut_piece(const tw_plan* plan, int32_t place, tw_cut_piece* piece, tw_fault* why) {
  return answer_plan(plan, &plan::pieces, place, why, to(piece));
}
tw_status tw_plan_cut_stock(const tw_plan* plan, int32_t place, tw_cut_stock* stock, tw_fault* why) {
  return answer_plan(plan, &plan::pieces, place, why, to(stock));
}
tw_status tw_plan_connection(const tw_plan* plan, int32_t place, tw_connection* connection, tw_fault* why) {
  return answer_plan(plan, &plan::connections, place, why, to(connection));
}
tw_status tw_plan_finding(const tw_plan* plan, int32_t place, tw_finding* finding, tw_fault* why) {
  return answer_plan(plan, &plan::findings, place, why, to(finding));
}
tw_status tw_plan_reading(const tw_plan* plan, int32_t place, tw_reading* reading, tw_fault* why) {
  return answer_plan(plan, &plan::readings, place, why, to(reading));
}
tw_status tw_plan_note(const tw_plan* plan, int32_t place, tw_note* note, tw_fault* why) {
  return answer_plan(plan, &plan::notes, place, why, to(note));
}

tw_status tw_plan_run_load(const tw_plan* plan, int32_t run, tw_tape_load* load, tw_fault* why) {
  return answer_plan(plan, &plan::runs, run, why, to(load, &run_plan::load));
}
tw_status tw_plan_run_feeder(const tw_plan* plan, int32_t run, tw_feeder_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::runs, run, why,
                     to(check, [](const run_plan& r) noexcept { return r.feeder.check; }));
}
tw_status tw_plan_run_joint(const tw_plan* plan, int32_t run, tw_connector_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::runs, run, why, to(check, &run_plan::joint));
}
tw_status tw_plan_run_line(const tw_plan* plan, int32_t run, tw_line_figures* figures, tw_fault* why) {
  return answer_plan(plan, &plan::runs, run, why, to(figures, &run_plan::all_on));
}
tw_status tw_plan_feed_feeder(const tw_plan* plan, int32_t feed, tw_feeder_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::feeds, feed, why,
                     to(check, [](const tape_feed& f) noexcept { return f.feeder.check; }));
}
tw_status tw_plan_feed_joint(const tw_plan* plan, int32_t feed, tw_connector_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::feeds, feed, why, to(check, &tape_feed::joint));
}
tw_status tw_plan_stretch_link(const tw_plan* plan, int32_t stretch, tw_connector_check* check,
                               tw_fault* why) {
  return answer_plan(plan, &plan::stretches, stretch, why, to(check, &stretch_plan::link));
}
tw_status tw_plan_hub_check(const tw_plan* plan, int32_t hub, tw_controller_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::hubs, hub, why, to(check, &hub_plan::check));
}
tw_status tw_plan_hub_supply(const tw_plan* plan, int32_t hub, tw_feeder_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::hubs, hub, why,
                     to(check, [](const hub_plan& h) noexcept { return h.supply.check; }));
}
tw_status tw_plan_hub_splice(const tw_plan* plan, int32_t hub, tw_connector_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::hubs, hub, why, to(check, &hub_plan::splice_check));
}
tw_status tw_plan_output_check(const tw_plan* plan, int32_t output, tw_driver_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::outputs, output, why, to(check, &output_plan::check));
}
tw_status tw_plan_output_protection(const tw_plan* plan, int32_t output, tw_overcurrent_check* check,
                                    tw_fault* why) {
  return answer_plan(plan, &plan::outputs, output, why, to(check, &output_plan::protection));
}
tw_status tw_plan_output_plug(const tw_plan* plan, int32_t output, tw_connector_check* check, tw_fault* why) {
  return answer_plan(plan, &plan::outputs, output, why, to(check, &output_plan::plug_check));
}
