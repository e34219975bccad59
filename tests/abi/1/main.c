/* SPDX-License-Identifier: BSL-1.0 */
/* A program of the first release: compiled against its header, the one in this folder, and run with today's library. It
 * uses figures, columns, structures, lists, a whole plan and the texts; it ends with 0 when all of it works as it did. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "tapewright.h"

static int failures;
#define HOLDS(condition)                                                             \
  do {                                                                               \
    if (!(condition)) printf("line %d: not %s\n", __LINE__, #condition), ++failures; \
  } while (0)

static double absolute(double v) { return v < 0 ? -v : v; }
static int near_to(double a, double b) { return absolute(a - b) <= 1e-12 * absolute(b); } /* roundings only */

static const tw_tape tape = {
    .struct_size = sizeof(tw_tape),
    .channels = 1,
    .ingress = 20,
    .code = "white-24",
    .channel = {{.code = "W", .load_w_per_m = 9.6, .knee_v = 19.2, .return_ohm_per_m = 0.024}},
    .price_minor = 890,
    .nominal_v = 24,
    .highest_v = 25.2,
    .common_ohm_per_m = 0.024,
    .cut_pitch_m = 0.05,
    .longest_piece_m = 20,
    .feed_point_limit_a = 5,
    .free_tail_m = 0.5,
    .sale_quantum_m = 1,
    .lowest_ambient_c = -20,
    .highest_ambient_c = 50};
static const tw_cable cables[] = {{.struct_size = sizeof(tw_cable),
                                   .cores = 2,
                                   .conductor_system = TW_SYSTEM_CLASS_5,
                                   .colours = 2,
                                   .code = "flex-0.75",
                                   .core_colour = {"BN", "BU"},
                                   .price_minor = 60,
                                   .area_mm2 = 0.75,
                                   .conductor_limit_c = 70,
                                   .sale_quantum_m = 1},
                                  {.struct_size = sizeof(tw_cable),
                                   .cores = 2,
                                   .conductor_system = TW_SYSTEM_CLASS_5,
                                   .colours = 2,
                                   .code = "flex-1.5",
                                   .core_colour = {"BN", "BU"},
                                   .price_minor = 95,
                                   .area_mm2 = 1.5,
                                   .conductor_limit_c = 70,
                                   .sale_quantum_m = 1}};
static const tw_connector joint = {.struct_size = sizeof(tw_connector),
                                   .use = TW_USE_TAPE_TO_CABLE,
                                   .poles = 2,
                                   .ways = 2,
                                   .code = "join-2",
                                   .price_minor = 140,
                                   .rated_a = 8,
                                   .rated_v = 60,
                                   .rating_ambient_c = 25,
                                   .upper_limit_c = 105,
                                   .least_mm2 = 0.5,
                                   .greatest_mm2 = 1.5,
                                   .contact_ohm = 0.008};
static const tw_driver driver = {.struct_size = sizeof(tw_driver),
                                 .outputs = 1,
                                 .mount = TW_MOUNT_HARDWIRED,
                                 .ingress = 20,
                                 .derating_points = 2,
                                 .code = "hard-75",
                                 .price_minor = 3300,
                                 .output_v = 24,
                                 .rated_output_w = 75,
                                 .efficiency = 0.88,
                                 .power_factor = 0.95,
                                 .mains_low_v = 220,
                                 .mains_high_v = 240,
                                 .inrush_a = 40,
                                 .inrush_s = 0.0002,
                                 .least_mm2 = 0.5,
                                 .greatest_mm2 = 2.5,
                                 .derating_c = {40, 60},
                                 .derating_share = {1, 0.5}};
static const tw_overcurrent_device fuse = {.struct_size = sizeof(tw_overcurrent_device),
                                           .family = TW_FAMILY_BLADE_FUSE,
                                           .code = "blade-3",
                                           .price_minor = 150,
                                           .fuse_a = 3,
                                           .rated_v = 58};
static const tw_zone zone = {.struct_size = sizeof(tw_zone),
                             .mount = TW_MOUNT_ANY,
                             .code = "shelves",
                             .driver_place = "office",
                             .from_driver_m = 3.4,
                             .driver_ambient_c = 28};
static const tw_run run = {.struct_size = sizeof(tw_run),
                           .code = "novels",
                           .measured_m = 4.63,
                           .from_controller_m = 1.2,
                           .ambient_c = 30,
                           .cable_ambient_c = 30};

static void figures(void) {
  tw_fault why = {.struct_size = sizeof why};
  int64_t segments = 0, units = 0;
  double length_m = 0, dark_m = 0, drop_v = 0, ohm_per_m = 0, allowed_a = 0, lightness = 0, least = 0,
         most = 0;
  HOLDS(tw_abi_version() >= TW_ABI_VERSION);
  HOLDS(tw_cut_length(4.63, 0.05, &segments, &length_m, &dark_m, &why) == TW_OK && segments == 92);
  HOLDS(tw_sale_units(4.6, 1, &units, 0) == TW_OK && units == 5);
  HOLDS(tw_two_wire_drop(2.5, 0.0210, 4, &drop_v, &why) == TW_OK && near_to(drop_v, 0.42));
  HOLDS(tw_metric_resistance(5, 1.5, 20, &ohm_per_m, 0) == TW_OK &&
        near_to(ohm_per_m, 0.0133)); /* IEC 60228 */
  HOLDS(tw_metric_ampacity(TW_CODE_IEC, TW_METHOD_B2, 2.5, 70, 2, 30, 1, 0, &allowed_a, 0) == TW_OK &&
        allowed_a == 23); /* B.52.2 */
  HOLDS(tw_lightness(1, &lightness, 0) == TW_OK && lightness == 100);
  HOLDS(tw_two_wire_drop(2.5, 0.0210, -4, &drop_v, &why) == TW_OUT_OF_RANGE && drop_v != drop_v);
  HOLDS(why.code == TW_OUT_OF_RANGE && why.field == TW_FIELD_ONE_WAY && why.given == -4 && why.least == 0 &&
        why.most == 10000);
  HOLDS(tw_field_range(TW_FIELD_ONE_WAY, &least, &most, 0) == TW_OK && most == 10000);
  HOLDS(strcmp(tw_field_name(TW_FIELD_ONE_WAY), "one_way_m") == 0 &&
        strcmp(tw_field_unit(TW_FIELD_ONE_WAY), "m") == 0);
  HOLDS(*tw_status_text(TW_NO_ROOM) && *tw_finding_text(TW_FINDING_EVENNESS) &&
        *tw_note_text(TW_NOTE_ISOLATE_FIRST));
  HOLDS(*tw_limit_text(TW_LIMIT_DROP) && *tw_advice_text(TW_ADVICE_SHORTEN_RUN) &&
        *tw_severity_text(TW_SEVERITY_FAILED));
}

static void columns(void) {
  const double current_a[] = {1, 2, 3}, one_way_m[] = {4, 5, 6}, ohm_per_m = 0.021;
  double drop_v[3] = {0};
  tw_fault why = {.struct_size = sizeof why};
  HOLDS(tw_two_wire_drop_n(current_a, 1, &ohm_per_m, 0, one_way_m, 1, 3, drop_v, 1, &why) == TW_OK);
  HOLDS(near_to(drop_v[0], 0.168) && near_to(drop_v[2], 0.756));
}

static void structures(void) {
  const tw_feeder_question question = {.struct_size = sizeof question,
                                       .channels = 1,
                                       .method = TW_METHOD_B2,
                                       .circuits_grouped = 1,
                                       .channel_a = {1.84},
                                       .one_way_m = 3.4,
                                       .nominal_v = 24,
                                       .drop_limit = 0.03,
                                       .ambient_c = 30,
                                       .copper_c = 70};
  const tw_driver_duty duty = {.struct_size = sizeof duty,
                               .mount = TW_MOUNT_ANY,
                               .load_w = 44.16,
                               .headroom = 0.1,
                               .ambient_c = 45,
                               .nominal_v = 24,
                               .mains_v = 230};
  const tw_line_question line = {
      .struct_size = sizeof line, .lit = TW_ALL_LIT, .segments = 92, .trace_c = 20, .source_v = 24};
  tw_feeder_choice choice = {.struct_size = sizeof choice};
  tw_feeder_check feeder = {.struct_size = sizeof feeder};
  tw_driver_check supply = {.struct_size = sizeof supply};
  tw_line_figures solved = {.struct_size = sizeof solved};
  tw_tape_load load = {.struct_size = sizeof load};
  int64_t bytes = 0;
  void* block;
  HOLDS(tw_choice_bytes(TW_PART_CABLE, 2, &bytes, 0) == TW_OK && bytes > 0);
  block = malloc((size_t)bytes);
  HOLDS(tw_choose_feeder(&question, cables, 2, block, bytes, &choice, &feeder, 0) == TW_OK &&
        choice.cable == 0 && feeder.fits);
  free(block);
  HOLDS(tw_check_driver(&driver, &duty, &supply, 0) == TW_OK && supply.fits &&
        near_to(supply.capacity_w, 65.625));
  HOLDS(tw_load_of_tape(&tape, 4.6, 0, &load, 0) == TW_OK && near_to(load.sized_w, 44.16));
  HOLDS(tw_solve_line(&tape, &line, &solved, 0, 0, 0, 0, 0, 0) == TW_OK && solved.total_a > 1.5 &&
        solved.total_a < 1.84);
  HOLDS(solved.channel_a[1] != solved.channel_a[1]); /* past the channels: NaN */
}

static void plan(void) {
  tw_rules rules = {.struct_size = sizeof rules};
  tw_job job = {
      .struct_size = sizeof job, .zones = 1, .runs = 1, .zone = {&zone}, .run = {&run}, .rules = {&rules}};
  tw_catalogue parts = {.struct_size = sizeof parts,
                        .tapes = 1,
                        .cables = 2,
                        .connectors = 1,
                        .drivers = 1,
                        .overcurrent_devices = 1,
                        .tape = {&tape},
                        .cable = {cables},
                        .connector = {&joint},
                        .driver = {&driver},
                        .overcurrent_device = {&fuse}};
  tw_plan_totals totals = {.struct_size = sizeof totals};
  tw_order_line line = {.struct_size = sizeof line};
  tw_run_plan planned = {.struct_size = sizeof planned};
  tw_plan* made = 0;
  int64_t bytes = 0, wanted = 0, sum = 0;
  char text[4096];
  void* block;
  HOLDS(tw_rules_default(&rules, 0) == TW_OK && rules.headroom == 0.10);
  HOLDS(tw_plan_bytes(&job, &parts, &bytes, 0) == TW_OK);
  block = malloc((size_t)bytes);
  HOLDS(tw_plan_make(&job, &parts, block, bytes, &made, 0) == TW_OK);
  HOLDS(tw_plan_summary(made, &totals, 0) == TW_OK && totals.runs == 1 && totals.drivers == 1 && totals.fits);
  for (int32_t i = 0; i < totals.order_lines; ++i)
    if (tw_plan_order_line(made, i, &line, 0) == TW_OK) sum += line.total_minor;
  HOLDS(sum == totals.price_minor && sum > 0);
  HOLDS(tw_plan_run(made, 0, &planned, 0) == TW_OK && planned.segments == 92 &&
        near_to(planned.length_m, 4.6));
  HOLDS(tw_plan_explain(made, 0, text, sizeof text, &wanted, 0) == TW_NO_ROOM || wanted > 0);
  HOLDS(tw_plan_subject_name(made, TW_SUBJECT_RUN, 0, text, sizeof text, &wanted, 0) == TW_OK &&
        strcmp(text, "novels") == 0);
  HOLDS(tw_plan_run(made, 1, &planned, 0) == TW_UNKNOWN_REFERENCE && planned.run == -1);
  free(block);
}

int main(void) {
  figures();
  columns();
  structures();
  plan();
  printf("a program of interface %d on interface %d: %d failures\n", TW_ABI_VERSION, (int)tw_abi_version(),
         failures);
  return failures != 0;
}
