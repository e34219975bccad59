/* SPDX-License-Identifier: BSL-1.0 */
/* Plans the lighting of two shelves and a shop window in plain C99, and prints what to order, how to connect it and
 * which checks are nearest to their limits. All data is invented: the refit of a bookshop that does not exist. */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

#include "tapewright.h"

#define COUNT(list) ((int32_t)(sizeof(list) / sizeof(list)[0]))

/* ---- the catalogue ---- */

static const tw_tape tapes[] = {
    {.struct_size = sizeof(tw_tape),
     .channels = 1,
     .polarity = TW_COMMON_POSITIVE,
     .ingress = 20,
     .code = "white-24",
     .channel = {{.code = "W",
                  .law = TW_LAW_RESISTOR_LIMITED,
                  .load_w_per_m = 9.6,
                  .knee_v = 19.2,
                  .return_ohm_per_m = 0.024}},
     .price_minor = 890,
     .nominal_v = 24,
     .highest_v = 25.2,
     .common_ohm_per_m = 0.024,
     .cut_pitch_m = 0.05,
     .longest_piece_m = 20,
     .feed_point_limit_a = 5,
     .free_tail_m = 0.5,
     .sale_quantum_m = 1,
     .reel_m = 20,
     .lowest_ambient_c = -20,
     .highest_ambient_c = 50},
    {.struct_size = sizeof(tw_tape),
     .channels = 2,
     .polarity = TW_COMMON_POSITIVE,
     .ingress = 20,
     .code = "two-white-24",
     .channel = {{.code = "CW", .load_w_per_m = 9.6, .knee_v = 19.4, .return_ohm_per_m = 0.036},
                 {.code = "WW", .load_w_per_m = 9.6, .knee_v = 19.1, .return_ohm_per_m = 0.036}},
     .price_minor = 1680,
     .nominal_v = 24,
     .highest_v = 25.2,
     .common_ohm_per_m = 0.026,
     .cut_pitch_m = 0.1,
     .longest_piece_m = 10,
     .free_tail_m = 0.5,
     .sale_quantum_m = 1,
     .reel_m = 10,
     .lowest_ambient_c = -20,
     .highest_ambient_c = 50},
};

static const tw_cable cables[] = {
    {.struct_size = sizeof(tw_cable),
     .cores = 2,
     .conductor_system = TW_SYSTEM_CLASS_5,
     .colours = 2,
     .code = "flex-2x1.5",
     .core_colour = {"BN", "BU"},
     .price_minor = 95,
     .area_mm2 = 1.5,
     .conductor_limit_c = 70,
     .sale_quantum_m = 1},
    {.struct_size = sizeof(tw_cable),
     .cores = 2,
     .conductor_system = TW_SYSTEM_CLASS_5,
     .colours = 2,
     .code = "flex-2x2.5",
     .core_colour = {"BN", "BU"},
     .price_minor = 150,
     .area_mm2 = 2.5,
     .conductor_limit_c = 70,
     .sale_quantum_m = 1},
    {.struct_size = sizeof(tw_cable),
     .cores = 3,
     .conductor_system = TW_SYSTEM_CLASS_5,
     .colours = 3,
     .code = "flex-3x1.5",
     .core_colour = {"BN", "BK", "GY"},
     .price_minor = 130,
     .area_mm2 = 1.5,
     .conductor_limit_c = 70,
     .sale_quantum_m = 1},
};

static const tw_connector connectors[] = {
    {.struct_size = sizeof(tw_connector),
     .use = TW_USE_TAPE_TO_CABLE,
     .poles = 3,
     .ways = 2,
     .code = "join-3",
     .price_minor = 190,
     .rated_a = 10,
     .rated_v = 60,
     .rating_ambient_c = 25,
     .upper_limit_c = 105,
     .least_mm2 = 0.5,
     .greatest_mm2 = 2.5,
     .contact_ohm = 0.008},
    {.struct_size = sizeof(tw_connector),
     .use = TW_USE_CABLE_TO_CABLE,
     .poles = 1,
     .ways = 3,
     .code = "splice-3",
     .price_minor = 60,
     .rated_a = 16,
     .rated_v = 250,
     .rating_ambient_c = 40,
     .upper_limit_c = 105,
     .least_mm2 = 0.5,
     .greatest_mm2 = 4,
     .contact_ohm = 0.002},
};

static const tw_controller controllers[] = {
    {.struct_size = sizeof(tw_controller),
     .channels = 2,
     .polarity = TW_COMMON_POSITIVE,
     .features = 1,
     .code = "dim-2",
     .feature = {"wall_panel"},
     .price_minor = 4900,
     .channel_limit_a = 8,
     .total_limit_a = 12,
     .lowest_input_v = 12,
     .highest_input_v = 24,
     .least_mm2 = 0.5,
     .greatest_mm2 = 2.5,
     .terminal_a = 12,
     .switch_ohm = 0.012,
     .pwm_hz = 2000,
     .highest_ambient_c = 50},
};

static const tw_driver drivers[] = {
    {.struct_size = sizeof(tw_driver),
     .outputs = 1,
     .mount = TW_MOUNT_HARDWIRED,
     .ingress = 20,
     .derating_points = 2,
     .code = "fixed-24-75",
     .price_minor = 4300,
     .output_v = 24,
     .rated_output_w = 75,
     .overload_limit_a = 4.1,
     .efficiency = 0.90,
     .power_factor = 0.95,
     .mains_low_v = 220,
     .mains_high_v = 240,
     .inrush_a = 40,
     .inrush_s = 2.5e-4,
     .leakage_a = 5e-4,
     .least_mm2 = 0.5,
     .greatest_mm2 = 2.5,
     .derating_c = {45, 60},
     .derating_share = {1, 0.6}},
    {.struct_size = sizeof(tw_driver),
     .outputs = 1,
     .mount = TW_MOUNT_HARDWIRED,
     .ingress = 20,
     .derating_points = 2,
     .code = "fixed-24-150",
     .price_minor = 6900,
     .output_v = 24,
     .rated_output_w = 150,
     .overload_limit_a = 8.2,
     .efficiency = 0.92,
     .power_factor = 0.97,
     .mains_low_v = 220,
     .mains_high_v = 240,
     .inrush_a = 55,
     .inrush_s = 3e-4,
     .leakage_a = 7.5e-4,
     .least_mm2 = 0.5,
     .greatest_mm2 = 4,
     .derating_c = {45, 60},
     .derating_share = {1, 0.6}},
};

static const tw_overcurrent_device devices[] = {
    {.struct_size = sizeof(tw_overcurrent_device),
     .family = TW_FAMILY_BLADE_FUSE,
     .code = "blade-4",
     .price_minor = 310,
     .fuse_a = 4,
     .rated_v = 58},
    {.struct_size = sizeof(tw_overcurrent_device),
     .family = TW_FAMILY_BLADE_FUSE,
     .code = "blade-7.5",
     .price_minor = 310,
     .fuse_a = 7.5,
     .rated_v = 58},
};

/* ---- the job ---- */

static const tw_zone zones[] = {
    {.struct_size = sizeof(tw_zone),
     .mount = TW_MOUNT_ANY,
     .ingress = 20,
     .code = "shelves",
     .driver_place = "back_office",
     .from_driver_m = 3.4,
     .driver_ambient_c = 28},
    {.struct_size = sizeof(tw_zone),
     .wants_controller = 1,
     .mount = TW_MOUNT_HARDWIRED,
     .ingress = 20,
     .features = 1,
     .code = "window",
     .driver_place = "window_head",
     .feature = {"wall_panel"},
     .from_driver_m = 1.6,
     .driver_ambient_c = 45},
};

static const tw_run runs[] = {
    {.struct_size = sizeof(tw_run),
     .zone = 0,
     .tape = 0,
     .code = "shelf-novels",
     .measured_m = 4.60,
     .from_controller_m = 3.9,
     .ambient_c = 26,
     .cable_ambient_c = 30},
    {.struct_size = sizeof(tw_run),
     .zone = 0,
     .tape = 0,
     .code = "shelf-poetry",
     .measured_m = 2.38,
     .from_controller_m = 3.2,
     .ambient_c = 26,
     .cable_ambient_c = 30},
    {.struct_size = sizeof(tw_run),
     .zone = 1,
     .tape = 1,
     .code = "window-left",
     .measured_m = 3.72,
     .from_controller_m = 2.4,
     .ambient_c = 42,
     .cable_ambient_c = 40},
};

/* ---- telling what went wrong, and names ---- */

static int refused(const tw_fault* why) {
  double least = 0, most = 0;
  fprintf(stderr, "refused: %s: %s = %g; allowed %g to %g (row %" PRId32 ")\n", tw_status_text(why->code),
          tw_field_name(why->field), why->given, why->least, why->most, why->item);
  if (tw_field_range(why->field, &least, &most, NULL) == TW_OK)
    fprintf(stderr, "%s: %s, %g to %g %s\n", tw_field_name(why->field), tw_field_text(why->field), least,
            most, tw_field_unit(why->field));
  return EXIT_FAILURE;
}

static const char* part_code(int32_t kind, int32_t part) {
  switch (kind) {
    case TW_PART_TAPE: return tapes[part].code;
    case TW_PART_CABLE: return cables[part].code;
    case TW_PART_CONNECTOR: return connectors[part].code;
    case TW_PART_CONTROLLER: return controllers[part].code;
    case TW_PART_DRIVER: return drivers[part].code;
    case TW_PART_OVERCURRENT_DEVICE: return devices[part].code;
    default: return "soldered tail";
  }
}

static const char* name_of_terminal(const tw_plan* plan, int32_t kind, int32_t owner, int32_t channel,
                                    char* room, int64_t capacity) {
  int64_t wanted = 0;
  return tw_plan_terminal_name(plan, kind, owner, channel, room, capacity, &wanted, NULL) == TW_OK ? room
                                                                                                   : "?";
}

/* ---- what to print ---- */

static void print_order(const tw_plan* plan, const tw_plan_totals* totals) {
  int32_t i;
  puts("Order");
  for (i = 0; i < totals->order_lines; ++i) {
    tw_order_line line = {.struct_size = sizeof line};
    if (tw_plan_order_line(plan, i, &line, NULL) != TW_OK) continue;
    printf("  %4" PRId64 " x %-14s", line.quantity, part_code(line.part_kind, line.part));
    if (line.length_m > 0) printf(" %6.2f m", line.length_m);
    else printf("         ");
    if (line.price_known) printf(" %8" PRId64, line.total_minor);
    putchar('\n');
  }
  printf("  together %s%" PRId64 " minor units\n\n", totals->every_price_known ? "" : "at least ",
         totals->price_minor);
}

static void print_connections(const tw_plan* plan, const tw_plan_totals* totals) {
  int32_t i;
  puts("Connections");
  for (i = 0; i < totals->connections; ++i) {
    tw_connection wire = {.struct_size = sizeof wire};
    char from[64], to[64];
    if (tw_plan_connection(plan, i, &wire, NULL) != TW_OK) continue;
    name_of_terminal(plan, wire.from_kind, wire.from_owner, wire.from_channel, from, sizeof from);
    name_of_terminal(plan, wire.to_kind, wire.to_owner, wire.to_channel, to, sizeof to);
    if (wire.number > 0)
      printf("  W%" PRId32 ".%" PRId32 " %-2s", wire.number, wire.core,
             wire.cable >= 0 && wire.core >= 1 ? cables[wire.cable].core_colour[wire.core - 1] : "");
    else printf("  bridge ");
    printf("  %-20s -> %-20s %4.2f mm2 %5.2f m %6.3f A\n", from, to, wire.area_mm2, wire.length_m,
           wire.current_a);
  }
  putchar('\n');
}

static void print_checks(const tw_plan* plan, const tw_plan_totals* totals) {
  int32_t i;
  puts("Checks, worst first");
  for (i = 0; i < totals->findings && i < 10; ++i) {
    tw_finding check = {.struct_size = sizeof check};
    char about[64] = "?";
    int64_t wanted = 0;
    if (tw_plan_finding(plan, i, &check, NULL) != TW_OK) continue;
    (void)tw_plan_subject_name(plan, check.subject_kind, check.subject, about, sizeof about, &wanted, NULL);
    printf("  %-8s %-14s %s: %.4g, limit %.4g %s (%.0f %%)\n", tw_severity_text(check.severity), about,
           tw_finding_text(check.finding), check.value, check.limit, tw_finding_unit(check.finding),
           100 * check.utilisation);
    if (check.advice != 0) printf("           what helps: %s\n", tw_advice_text(check.advice));
  }
  printf("  %s\n\n", totals->fits ? "no rule is broken" : "a rule is broken: do not build it so");
}

static void print_cautions(const tw_plan* plan, const tw_plan_totals* totals) {
  int32_t i, last = 0;
  puts("Cautions and the electrician's tasks");
  for (i = 0; i < totals->notes; ++i) {
    tw_note note = {.struct_size = sizeof note};
    if (tw_plan_note(plan, i, &note, NULL) != TW_OK || note.note == last) continue;
    last = note.note;
    printf("  %s\n", tw_note_text(note.note));
  }
}

int main(void) {
  tw_job job = {.struct_size = sizeof job, .zones = COUNT(zones), .runs = COUNT(runs)};
  tw_catalogue catalogue = {.struct_size = sizeof catalogue,
                            .tapes = COUNT(tapes),
                            .cables = COUNT(cables),
                            .connectors = COUNT(connectors),
                            .controllers = COUNT(controllers),
                            .drivers = COUNT(drivers),
                            .overcurrent_devices = COUNT(devices)};
  tw_rules rules = {.struct_size = sizeof rules};
  tw_fault why = {.struct_size = sizeof why};
  tw_plan_totals totals = {.struct_size = sizeof totals};
  tw_plan* plan = NULL;
  void* block = NULL;
  int64_t bytes = 0;

  if (tw_abi_version() < TW_ABI_VERSION) {
    fprintf(stderr, "tapewright %s is older than the header this was compiled with\n", tw_version_text());
    return EXIT_FAILURE;
  }
  if (tw_rules_default(&rules, &why) != TW_OK) return refused(&why);
  rules.solder_fee_minor = 650;
  job.zone.at = zones;
  job.run.at = runs;
  job.rules.at = &rules;
  catalogue.tape.at = tapes;
  catalogue.cable.at = cables;
  catalogue.connector.at = connectors;
  catalogue.controller.at = controllers;
  catalogue.driver.at = drivers;
  catalogue.overcurrent_device.at = devices;

  if (tw_plan_bytes(&job, &catalogue, &bytes, &why) != TW_OK) return refused(&why);
  block = malloc((size_t)bytes);
  if (block == NULL) return EXIT_FAILURE;
  if (tw_plan_make(&job, &catalogue, block, bytes, &plan, &why) != TW_OK ||
      tw_plan_summary(plan, &totals, &why) != TW_OK) {
    free(block);
    return refused(&why);
  }
  print_order(plan, &totals);
  print_connections(plan, &totals);
  print_checks(plan, &totals);
  print_cautions(plan, &totals);
  free(block);
  return totals.fits ? EXIT_SUCCESS : EXIT_FAILURE;
}
