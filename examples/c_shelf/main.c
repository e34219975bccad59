/* SPDX-License-Identifier: BSL-1.0 */
/* One shelf, from the measured wall to cable and driver: 4.63 m of a 9.6 W/m tape at 24 V. Parts are invented. */
#include <stdio.h>

#include "tapewright.h"

/* clang-format off */
#define FLEXIBLE .struct_size = sizeof(tw_cable), .cores = 2, .conductor_system = TW_SYSTEM_CLASS_5, \
    .conductor_limit_c = 70, .sale_quantum_m = 1
#define HARDWIRED .struct_size = sizeof(tw_driver), .outputs = 1, .mount = TW_MOUNT_HARDWIRED, .output_v = 24, \
    .efficiency = 0.88, .power_factor = 0.95, .mains_low_v = 220, .mains_high_v = 240, .greatest_mm2 = 2.5, \
    .derating_points = 2, .derating_c = {40, 60}, .derating_share = {1, 0.5} /* half of it left at 60 degC */
static const tw_cable cables[] = {{FLEXIBLE, .code = "flex-0.5", .area_mm2 = 0.5, .price_minor = 45},
                                  {FLEXIBLE, .code = "flex-1", .area_mm2 = 1, .price_minor = 70}};
static const tw_driver drivers[] = {{HARDWIRED, .code = "hard-50", .rated_output_w = 50, .price_minor = 2500},
                                    {HARDWIRED, .code = "hard-75", .rated_output_w = 75, .price_minor = 3300}};
static const tw_feeder_question from_driver = {
    .struct_size = sizeof(tw_feeder_question), .channels = 1, .method = TW_METHOD_B2, .circuits_grouped = 1,
    .one_way_m = 3.4, .nominal_v = 24, .drop_limit = 0.03, .ambient_c = 30, .copper_c = 70};
static const tw_driver_duty in_a_cabinet = {.struct_size = sizeof(tw_driver_duty), .mount = TW_MOUNT_HARDWIRED,
                                            .headroom = 0.1, .ambient_c = 45, .nominal_v = 24, .mains_v = 230};
/* clang-format on */

int main(void) {
  static uint64_t room[8192]; /* tw_choice_bytes of it would do */
  tw_fault why = {.struct_size = sizeof why};
  tw_feeder_question feeder = from_driver;
  tw_driver_duty duty = in_a_cabinet;
  tw_feeder_choice cable = {.struct_size = sizeof cable};
  tw_feeder_check drop = {.struct_size = sizeof drop};
  tw_driver_choice supply = {.struct_size = sizeof supply};
  tw_driver_check use = {.struct_size = sizeof use};
  int64_t segments;
  double length_m, dark_m;

  tw_status s = tw_cut_length(4.63, 0.05, &segments, &length_m, &dark_m, &why);
  if (s == TW_OK) s = tw_channel_load(9.6, 24, length_m, &duty.load_w, &feeder.channel_a[0], &why);
  if (s == TW_OK) s = tw_choose_feeder(&feeder, cables, 2, room, sizeof room, &cable, &drop, &why);
  if (s == TW_OK) s = tw_choose_driver(&duty, drivers, 2, room, sizeof room, &supply, &use, &why);
  if (s != TW_OK) {
    fprintf(stderr, "%s: %s is %g; %g to %g is allowed\n", tw_status_text(s), tw_field_name(why.field),
            why.given, why.least, why.most);
    return 1;
  }
  if (cable.cable < 0 || supply.driver < 0) return puts("no part of the lists fits"), 2;
  printf("tape    %.3f m, %.0f mm stay dark, %.1f W\n", length_m, dark_m * 1000, duty.load_w);
  printf("cable   %s, %.3f V lost, %.0f %% of what is allowed\n", cables[cable.cable].code, drop.worst_drop_v,
         drop.drop_utilisation * 100);
  printf("driver  %s, %.0f %% of its capacity at %.0f degC, headroom counted\n", drivers[supply.driver].code,
         use.utilisation * 100, duty.ambient_c);
  puts("calculated, not approved: isolate first, fuse the output, local code comes before this");
  return 0;
}
