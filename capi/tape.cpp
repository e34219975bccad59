// SPDX-License-Identifier: BSL-1.0
// C interface: loads of tape, and a tape fed at one end.
#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "arrays.hpp"
#include "columns.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/network/closed_line.hpp"
#include "tapewright/network/load_law.hpp"
#include "tapewright/network/longest_run.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/plan/explain_network.hpp"
#include "tapewright/sizing/feed_arrangement.hpp"
#include "tapewright/sizing/run_length.hpp"
#include "tapewright/sizing/tape_load.hpp"
#include "text_answer.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// A tape of one channel, of which only the electrical side is looked at.
tape one_channel_tape(load_kind law, double load_w_per_m, double nominal_v, double knee_v,
                      double common_ohm_per_m, double return_ohm_per_m, double cut_pitch_m) noexcept {
  tape t;
  t.code = "tape";
  t.nominal = t.highest = volts{nominal_v};
  t.channels.push({.code = "W",
                   .load = watts_per_metre{load_w_per_m},
                   .law = law,
                   .knee = volts{knee_v},
                   .return_trace = ohms_per_metre{return_ohm_per_m}});
  t.common_trace = ohms_per_metre{common_ohm_per_m};
  t.cut_pitch = metres{cut_pitch_m};
  t.longest_piece = metres{5};
  t.sale_quantum = metres{1};
  t.highest_ambient = celsius{40};
  return t;
}

struct channel_figures {
  watts power = unset;
  amps current = unset;
};
outcome<channel_figures> channel_load(watts_per_metre load, volts nominal, metres length) noexcept {
  const outcome<tape_load> whole = load_of(
      one_channel_tape(load_kind::resistor_limited, load.v, nominal.v, 0, 0, 0, 0.001), length, false);
  if (!whole) return whole.why();
  return channel_figures{whole->channel_power[0], whole->channel_current[0]};
}
constexpr channel_figures channel_figures_of(watts_per_metre load, volts nominal, metres length) noexcept {
  const watts power = load * length;
  return {power, power / nominal};
}

struct first_channel {
  template <std::size_t N, class T>
  static constexpr double of(const T (&figures)[N]) noexcept {
    return number_of<double>(figures[0]);
  }
};

outcome<amps> load_current(std::int32_t law, double power_w, double nominal_v, double knee_v,
                           double voltage_v) noexcept {
  load_kind kind{};
  if (const fault f = first_fault(set(kind, field::load_law, law), refuse(field::voltage, voltage_v)))
    return f;
  const outcome<load_law> fitted = fitted_law(kind, watts{power_w}, volts{nominal_v}, volts{knee_v});
  if (!fitted) return fitted.why();
  return at(*fitted, volts{voltage_v}).current;
}

line_feed feed_of(const tw_line_question& q) noexcept {
  line_feed feed{.source = volts{q.source_v}, .common = ohms{q.feed_common_ohm}, .channel = {}};
  for (std::size_t c = 0; c < max_channels; ++c) feed.channel[c] = ohms{q.feed_channel_ohm[c]};
  return feed;
}

/// The whole loop before the feed point of a one-channel tape stands in its channel's resistance.
line_feed plain_feed(double source_v, double feed_ohm) noexcept {
  return {.source = volts{source_v}, .common = {}, .channel = {ohms{feed_ohm}}};
}

outcome<line_figures> solve(const tape& t, const tw_line_question& q, line_profile profile,
                            std::span<double> workspace) noexcept {
  const outcome<tape_line> line = line_of(t, q.segments, celsius{q.trace_c}, q.lit);
  if (!line) return line.why();
  return solve_line(*line, feed_of(q), profile, workspace);
}

/// A question about a line as it comes in; there is nothing to convert before the tape is known.
struct arrived_line {
  tw_line_question c{};
  fault why;

  arrived_line(const tw_line_question* from, std::int32_t place) noexcept
      : why{read_argument(c, from, place)} {}
};

/// A question about feed points as it comes in, and as C++ asks it.
struct arrived_feeds {
  tw_feed_question c{};
  fault why;
  feed_arrangement how{};
  feed_leads by;
  feed_wishes wishes;

  arrived_feeds(const tw_feed_question* from, const tw_line_question& line, std::int32_t place) noexcept
      : why{read_argument(c, from, place)} {
    by.shared = feed_of(line);
    by.near_end = ohms{c.near_end_ohm};
    by.far_end = ohms{c.far_end_ohm};
    by.along = ohms_per_metre{c.along_ohm_per_m};
    wishes = {c.least_evenness, c.drop_limit, celsius{line.trace_c}, line.lit};
    why = first_fault(
        why, set(how, field::feed_arrangement, c.arrangement), refuse(field::feed_points, c.points),
        set(by.far_along, field::yes_no, c.far_along), set(by.near_closed, field::yes_no, c.near_closed),
        set(by.far_closed, field::yes_no, c.far_closed),
        set(by.between_closed, field::yes_no, c.between_closed), refuse(field::step_budget, c.most_solves));
  }
};

std::span<double> room_of(double* workspace, std::int64_t doubles) noexcept {
  return {workspace, static_cast<std::size_t>(workspace == nullptr ? 0 : doubles)};
}

}  // namespace

tw_status tw_channel_load(double load_w_per_m, double nominal_v, double length_m, double* power_w,
                          double* current_a, tw_fault* why) {
  return answer(channel_load(watts_per_metre{load_w_per_m}, volts{nominal_v}, metres{length_m}), why,
                to(power_w, &channel_figures::power), to(current_a, &channel_figures::current));
}

[[gnu::flatten]] tw_status tw_channel_load_n(const double* load_w_per_m, int64_t load_stride,
                                             const double* nominal_v, int64_t nominal_stride,
                                             const double* length_m, int64_t length_stride, int64_t rows,
                                             double* power_w, int64_t power_stride, double* current_a,
                                             int64_t current_stride, tw_fault* why) {
  return each_row<watts_per_metre, volts, metres>(
      by_formula<channel_load, channel_figures_of>(ranges_of<3>("tw_channel_load")), rows, why,
      {{{load_w_per_m, load_stride}, {nominal_v, nominal_stride}, {length_m, length_stride}}},
      into(power_w, power_stride, &channel_figures::power),
      into(current_a, current_stride, &channel_figures::current));
}

tw_status tw_load_current(int32_t law, double power_w, double nominal_v, double knee_v, double voltage_v,
                          double* current_a, tw_fault* why) {
  return answer(load_current(law, power_w, nominal_v, knee_v, voltage_v), why, to(current_a));
}

tw_status tw_load_of_tape(const tw_tape* tape, double lit_length_m, int32_t limit_enforced,
                          tw_tape_load* load, tw_fault* why) {
  const arrived<tw_tape, tapewright::tape> t{tape, 0};
  bool enforced = false;
  const fault f = first_fault(t.why, set(enforced, field::yes_no, limit_enforced));
  return answer(unless(f, [&]() noexcept { return load_of(t.row, metres{lit_length_m}, enforced); }), why,
                to(load));
}

tw_status tw_solve_line(const tw_tape* tape, const tw_line_question* question, tw_line_figures* figures,
                        double* load_v, double* load_a, int64_t loads, double* workspace, int64_t doubles,
                        tw_fault* why) {
  const arrived<tw_tape, tapewright::tape> t{tape, 0};
  const arrived_line q{question, 1};
  const fault f = first_fault(t.why, q.why, refuse_room(load_v, loads), refuse_room(load_a, loads),
                              refuse_room(workspace, doubles));
  const outcome<line_figures> solved = unless(f, [&]() noexcept {
    return solve(t.row, q.c, {as<volts>(load_v, loads), as<amps>(load_a, loads)},
                 room_of(workspace, doubles));
  });
  const tw_status status = answer(solved, why, to(figures));
  if (status != TW_OK) {
    poison(load_v, loads);
    poison(load_a, loads);
  }
  return status;
}

tw_status tw_closed_line(const tw_tape* tape, const tw_line_question* question, tw_line_figures* figures,
                         double* workspace, int64_t doubles, tw_fault* why) {
  const arrived<tw_tape, tapewright::tape> t{tape, 0};
  const arrived_line q{question, 1};
  const auto closed = [&]() noexcept -> outcome<line_figures> {
    const outcome<tape_line> line = line_of(t.row, q.c.segments, celsius{q.c.trace_c}, q.c.lit);
    if (!line) return line.why();
    return closed_line(*line, feed_of(q.c), room_of(workspace, doubles));
  };
  return answer(unless(first_fault(t.why, q.why, refuse_room(workspace, doubles)), closed), why, to(figures));
}

tw_status tw_explain_closed_line(const tw_tape* tape, const tw_line_question* question, char* buffer,
                                 int64_t capacity, int64_t* wanted, tw_fault* why) {
  const arrived<tw_tape, tapewright::tape> t{tape, 0};
  const arrived_line q{question, 1};
  return answer_text(first_fault(t.why, q.why), buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    const outcome<tape_line> line = line_of(t.row, q.c.segments, celsius{q.c.trace_c}, q.c.lit);
    return line ? explain_closed_line(*line, feed_of(q.c), out) : line.why();
  });
}

tw_status tw_line_workspace(int64_t segments, int32_t channels, int64_t* doubles, tw_fault* why) {
  const fault f = first_fault(refuse(field::segment_count, static_cast<double>(segments)),
                              refuse(field::channel_count, channels));
  return answer(
      unless(f, [&]() noexcept { return outcome<std::size_t>{line_workspace(segments, channels)}; }), why,
      to(doubles));
}

tw_status tw_longest_run(const tw_tape* tape, const tw_line_question* question, double least_evenness,
                         double drop_limit, tw_longest* longest, tw_line_figures* figures, tw_fault* why) {
  const arrived<tw_tape, tapewright::tape> t{tape, 0};
  const arrived_line q{question, 1};
  return answer(unless(first_fault(t.why, q.why),
                       [&]() noexcept {
                         return longest_even_run(t.row, feed_of(q.c), least_evenness, celsius{q.c.trace_c},
                                                 q.c.lit, drop_limit);
                       }),
                why, to(longest), to(figures, &longest_run::figures));
}

tw_status tw_longest_fed_run(const tw_tape* tape, const tw_line_question* question,
                             const tw_feed_question* feeds, tw_feed_places* places, double* workspace,
                             int64_t doubles, tw_fault* why) {
  const arrived<tw_tape, tapewright::tape> t{tape, 0};
  const arrived_line q{question, 1};
  const arrived_feeds f{feeds, q.c, 2};
  return answer(unless(first_fault(t.why, q.why, f.why, refuse_room(workspace, doubles)),
                       [&]() noexcept {
                         return longest_fed_run(t.row, f.how, f.c.points, f.by, f.wishes,
                                                room_of(workspace, doubles));
                       }),
                why, to(places));
}

tw_status tw_fewest_feeds(const tw_tape* tape, const tw_line_question* question,
                          const tw_feed_question* feeds, tw_feed_places* places, double* workspace,
                          int64_t doubles, tw_fault* why) {
  const arrived<tw_tape, tapewright::tape> t{tape, 0};
  const arrived_line q{question, 1};
  const arrived_feeds f{feeds, q.c, 2};
  return answer(unless(first_fault(t.why, q.why, f.why, refuse_room(workspace, doubles)),
                       [&]() noexcept {
                         return fewest_feed_points(t.row, q.c.segments, f.by, f.wishes, f.c.points,
                                                   f.c.most_solves, room_of(workspace, doubles));
                       }),
                why, to(places));
}

tw_status tw_feed_workspace(int64_t segments, int32_t channels, int32_t points, int64_t* doubles,
                            tw_fault* why) {
  const fault f = first_fault(refuse(field::segment_count, static_cast<double>(segments)),
                              refuse(field::channel_count, channels), refuse(field::feed_points, points));
  return answer(unless(f,
                       [&]() noexcept {
                         return outcome<std::size_t>{
                             arrangement_workspace(segments, channels, static_cast<std::size_t>(points))};
                       }),
                why, to(doubles));
}

tw_status tw_single_line(int32_t law, double load_w_per_m, double nominal_v, double knee_v,
                         double common_ohm_per_m, double return_ohm_per_m, double cut_pitch_m,
                         double measured_m, double trace_c, double source_v, double feed_ohm, double* last_v,
                         double* evenness, double* lightness_step, double* current_a, tw_fault* why) {
  load_kind kind{};
  const outcome<cut_length> cut = cut_to_pitch(metres{measured_m}, metres{cut_pitch_m});
  const fault f = first_fault(set(kind, field::load_law, law), cut.why());
  const auto solved = [&]() noexcept -> outcome<line_figures> {
    const tape t = one_channel_tape(kind, load_w_per_m, nominal_v, knee_v, common_ohm_per_m, return_ohm_per_m,
                                    cut_pitch_m);
    const outcome<tape_line> line = line_of(t, cut->segments, celsius{trace_c});
    if (!line) return line.why();
    return solve_line(*line, plain_feed(source_v, feed_ohm));
  };
  return answer(unless(f, solved), why,
                to(last_v, [](const line_figures& l) noexcept { return first_channel::of(l.last_load); }),
                to(evenness, &line_figures::least_evenness),
                to(lightness_step, &line_figures::lightness_step), to(current_a, &line_figures::total));
}

tw_status tw_single_longest(int32_t law, double load_w_per_m, double nominal_v, double knee_v,
                            double common_ohm_per_m, double return_ohm_per_m, double cut_pitch_m,
                            double trace_c, double source_v, double feed_ohm, double least_evenness,
                            int64_t* segments, double* length_m, tw_fault* why) {
  load_kind kind{};
  const fault f = set(kind, field::load_law, law);
  const auto found = [&]() noexcept {
    const tape t = one_channel_tape(kind, load_w_per_m, nominal_v, knee_v, common_ohm_per_m, return_ohm_per_m,
                                    cut_pitch_m);
    return longest_even_run(t, plain_feed(source_v, feed_ohm), least_evenness, celsius{trace_c});
  };
  return answer(unless(f, found), why, to(segments, &longest_run::segments),
                to(length_m, &longest_run::length));
}
