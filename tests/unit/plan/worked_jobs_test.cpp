// SPDX-License-Identifier: BSL-1.0
// Three jobs worked out by hand, with the reasoning; published figures come from tests/reference.
#include <doctest/doctest.h>

#include <cmath>
#include <string_view>
#include <vector>

#include "support/close.hpp"
#include "support/plan_room.hpp"
#include "support/reference_csv.hpp"
#include "tapewright/plan/names.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

// ---- published figures --------------------------------------------------------------------------

double published_ohm_per_m(double mm2) {
  const auto rows = reference_table::load("iec60228_conductor_resistance_20C.csv");
  for (std::size_t i = 0; i < rows.rows(); ++i)
    if (rows.number(i, "size_mm2") == mm2) return rows.number(i, "class5_plain_ohm_per_km") / 1000;
  return not_a_number;
}
double published_ampacity(double mm2) {
  const auto rows = reference_table::load("iec60364_5_52_ampacity_copper.csv");
  for (std::size_t i = 0; i < rows.rows(); ++i)
    if (rows.cell(i, "insulation") == "PVC" && rows.cell(i, "method") == "B2" &&
        rows.number(i, "loaded_conductors") == 2 && rows.number(i, "size_mm2") == mm2)
      return rows.number(i, "ampacity_A");
  return not_a_number;
}
/// IEC 60028: copper at a temperature over copper at 20 degC.
constexpr double warm(double celsius) { return 1 + 0.00393 * (celsius - 20); }

// ---- an invented catalogue of round figures -----------------------------------------------------

/// Regulated: the same current at every voltage above 18 V, so that all can be added up by hand.
constexpr tape line_tape{.code = "T-L",
                         .name = "regulated white, 24 V",
                         .nominal = 24_V,
                         .highest = 26_V,
                         .channels = {{{"W", 9.6_W_per_m, load_kind::regulated, 18_V, 0.02_ohm_per_m}}, 1},
                         .common_trace = 0.02_ohm_per_m,
                         .common = polarity::common_positive,
                         .cut_pitch = 0.05_m,
                         .longest_piece = 5_m,
                         .feed_point_limit = 5_A,
                         .single_feed_limit = 5_m,
                         .all_on_limit = {},
                         .free_tail = {},
                         .sale_quantum = 1_m,
                         .reel = 5_m,
                         .price = {700},
                         .lowest_ambient = celsius{-20},
                         .highest_ambient = 50_degC,
                         .ingress = 20};

constexpr tape two_white{.code = "T-2",
                         .name = "two whites, 24 V",
                         .nominal = 24_V,
                         .highest = 26_V,
                         .channels = {{{"CW", 7.2_W_per_m, load_kind::regulated, 18_V, 0.02_ohm_per_m},
                                       {"WW", 7.2_W_per_m, load_kind::regulated, 18_V, 0.02_ohm_per_m}},
                                      2},
                         .common_trace = 0.02_ohm_per_m,
                         .common = polarity::common_positive,
                         .cut_pitch = 0.1_m,
                         .longest_piece = 5_m,
                         .feed_point_limit = 5_A,
                         .single_feed_limit = 5_m,
                         .all_on_limit = {},
                         .free_tail = {},
                         .sale_quantum = 1_m,
                         .reel = 5_m,
                         .price = {1200},
                         .lowest_ambient = celsius{-20},
                         .highest_ambient = 50_degC,
                         .ingress = 20};

constexpr cable flexible(std::string_view code, std::int32_t cores, double mm2, long long price) {
  cable k;
  k.code = k.name = code;
  k.cores = cores;
  k.conductor = {conductor_system::metric_class_5, square_millimetres{mm2}, 0};
  k.conductor_limit = 70_degC;
  k.sale_quantum = 1_m;
  k.price = {price};
  return k;
}
constexpr connector contact_part(std::string_view code, connector_use use, std::int32_t poles,
                                 std::int32_t ways, double rated, double contact_ohm, long long price) {
  connector c;
  c.code = c.name = code;
  c.use = use;
  c.poles = poles;
  c.ways = ways;
  c.rated = amps{rated};
  c.rated_voltage = 60_V;
  c.rating_ambient = 20_degC;
  c.upper_limit = 105_degC;
  c.least = 0.5_mm2;
  c.greatest = 4_mm2;
  c.contact = ohms{contact_ohm};
  c.price = {price};
  return c;
}
constexpr driver supply_of(std::string_view code, double watts_rated, fitting mount, long long price) {
  driver s;
  s.code = s.name = code;
  s.output = 24_V;
  s.rated = watts{watts_rated};
  s.overload_limit = amps{watts_rated / 24 * 1.25};
  s.outputs = 1;
  s.efficiency = 0.9;
  s.power_factor = 0.95;
  s.mains_low = 100_V;
  s.mains_high = 264_V;
  s.inrush_peak = 30_A;
  s.inrush_duration = seconds{300e-6};
  s.mount = mount;
  s.derating.push({celsius{-20}, 1.0});
  s.derating.push({celsius{50}, 1.0});
  s.least_terminal = 0.5_mm2;
  s.greatest_terminal = 4_mm2;
  s.price = {price};
  return s;
}
constexpr controller dimmer(std::string_view code, std::int32_t channels, double channel_a, bool repeater,
                            long long price) {
  controller c;
  c.code = c.name = code;
  c.channels = channels;
  c.channel_limit = amps{channel_a};
  c.total_limit = amps{channel_a * channels};
  c.lowest_input = 12_V;
  c.highest_input = 24_V;
  c.least_terminal = 0.5_mm2;
  c.greatest_terminal = 4_mm2;
  c.terminal = 16_A;
  c.switch_resistance = 0.01_ohm;
  c.pwm = 1000_Hz;
  c.is_repeater = repeater;
  c.highest_ambient = 50_degC;
  if (!repeater) c.features.push("wall-panel");
  c.price = {price};
  return c;
}

const tape tapes[] = {line_tape, two_white};
const cable cables[] = {flexible("K-2x1.5", 2, 1.5, 100), flexible("K-2x2.5", 2, 2.5, 150),
                        flexible("K-2x4", 2, 4, 230), flexible("K-3x1.5", 3, 1.5, 140),
                        flexible("K-3x2.5", 3, 2.5, 210)};
const connector connectors[] = {contact_part("J-2", connector_use::tape_to_cable, 2, 2, 8, 0.005, 180),
                                contact_part("J-3", connector_use::tape_to_cable, 3, 2, 8, 0.005, 240),
                                contact_part("X-3", connector_use::cable_to_cable, 1, 3, 24, 0.001, 40),
                                contact_part("L-2", connector_use::tape_to_tape, 2, 2, 8, 0.005, 120)};
const controller controllers[] = {dimmer("C-2", 2, 8, false, 4500), dimmer("C-R", 2, 8, true, 2000)};
const driver drivers[] = {
    supply_of("P-36", 36, fitting::plug_in, 1900),     supply_of("P-60", 60, fitting::plug_in, 2600),
    supply_of("P-90", 90, fitting::plug_in, 3500),     supply_of("H-60", 60, fitting::hardwired, 2200),
    supply_of("H-100", 100, fitting::hardwired, 3000), supply_of("H-150", 150, fitting::hardwired, 4200)};
const overcurrent_device devices[] = {{.code = "F-7.5",
                                       .name = "blade fuse 7.5 A",
                                       .family = overcurrent_family::blade_fuse,
                                       .rated = amps{7.5},
                                       .rated_voltage = 32_V,
                                       .price = {150}}};
const catalogue parts{tapes, cables, connectors, controllers, drivers, devices};

std::string_view code_of(const order_line& line) {
  const auto at = static_cast<std::size_t>(line.part.index);
  switch (line.part.kind) {
    case part_kind::tape: return tapes[at].code;
    case part_kind::cable: return cables[at].code;
    case part_kind::connector: return connectors[at].code;
    case part_kind::controller: return controllers[at].code;
    case part_kind::driver: return drivers[at].code;
    case part_kind::overcurrent_device: return devices[at].code;
    default: return "service";
  }
}
struct bought {
  std::string_view code;
  std::int64_t quantity;
  long long price;
};
void check_order(const plan& p, const std::vector<bought>& wanted) {
  REQUIRE(p.order.size() == wanted.size());
  long long sum = 0;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    CAPTURE(wanted[i].code);
    CHECK(code_of(p.order[i]) == wanted[i].code);
    CHECK(p.order[i].quantity == wanted[i].quantity);
    CHECK(p.order[i].total.minor == wanted[i].price);
    sum += wanted[i].price;
  }
  CHECK(p.price.minor == sum);
  CHECK(p.every_price_known);
}
const finding& finding_of(const plan& p, finding_code code, std::int32_t subject) {
  for (const finding& f : p.findings)
    if (f.code == code && f.subject.index == subject) return f;
  static const finding none;
  return none;
}

// figures of the hand: sums and products of a dozen doubles; the network settles to 5e-13 of 24 V
constexpr double by_hand = 1e-10;

}  // namespace

TEST_CASE("worked job 1: one run on a plug-in driver") {
  // A shelf of 5.02 m: 100 cuts of 50 mm, 20 mm stay dark. 5 m x 9.6 W/m = 48 W, 2 A.
  const zone zones[] = {{.code = "Z",
                         .name = "shelf",
                         .from_driver = 1_m,
                         .driver_ambient = 25_degC,
                         .mount = fitting_wish::plug_in}};
  const run runs[] = {
      {.code = "A", .name = "shelf", .zone = 0, .tape = 0, .measured = 5.02_m, .from_controller = 2_m}};
  const job j{.zones = zones, .runs = runs};
  plan_room room{*space_for(j, parts)};
  const auto p = make_plan(j, parts, room.space());
  REQUIRE(p.ok());
  CHECK(p->fits);
  const run_plan& r = p->runs[0];
  CHECK(r.cut.segments == 100);
  CHECK(close_abs(r.cut.dark.v, 0.02, 1e-12));
  CHECK(close_rel(r.load.total_sized.v, 2, by_hand));

  // Driver: 48 W with a tenth to spare are 52.8 W. P-36 is too small; H-60 is cheaper than P-60 but hardwired.
  CHECK(drivers[p->drivers[0].part].code == "P-60");
  CHECK(close_rel(p->outputs[0].check.needed.v, 52.8, by_hand));

  // One run without a controller hangs straight on the driver: a route of 3 m and 0.3 m of slack at each end. The
  // thinnest conductor allowed, 1.5 mm2 (IEC 60364-7-715), carries 16.5 A and loses less than the 3 %: it is taken.
  CHECK(cables[r.feeder.cable].code == "K-2x1.5");
  CHECK(close_rel(r.feeder.cut.v, 3.6, by_hand));
  const double core = published_ohm_per_m(1.5) * warm(70) * 3.6;
  CHECK(close_rel(r.feeder.check.core_resistance.v, core, by_hand));
  CHECK(r.feeder.check.ampacity.allowed.v == published_ampacity(1.5));

  // The driver gives 3.125 A at most, into a short circuit too: below 16.5 A, so that no fuse is needed.
  CHECK(p->outputs[0].device == -1);
  CHECK(finding_of(*p, finding_code::source_limited, 0).level == severity::ok);

  // Volts: both cores and both contacts carry 2 A; the tape loses r i L^2 / 2 with both conductors at 25 degC.
  const double at_feed = 24 - 2 * 2 * (core + 0.005);
  const double tape_drop = (0.02 + 0.02) * warm(25) * 0.4 * 5 * 5 / 2;
  CHECK(close_rel(r.all_on.at_feed[0].v, at_feed, by_hand));
  CHECK(close_rel(r.all_on.last_load[0].v, at_feed - tape_drop, by_hand));
  CHECK(r.all_on.least_evenness == 1);  // regulated, and nowhere below 18 V
  CHECK(
      close_rel(finding_of(*p, finding_code::drop_to_lamp, 0).value, (24 - at_feed + tape_drop) / 24, 1e-9));

  // Order: 5 whole metres of tape; 3.6 m of cable are 4; one joint.
  check_order(*p, {{"T-L", 5, 3500}, {"K-2x1.5", 4, 400}, {"J-2", 1, 180}, {"P-60", 1, 2600}});

  // Mains: 48 W / (0.9 x 0.95 x 230 V)
  CHECK(close_rel(p->mains.steady.v, 48 / (0.9 * 0.95 * 230), by_hand));
}

TEST_CASE("worked job 2: three runs in two zones, hardwired") {
  // A plain shelf, and a counter of two runs of two whites that dim together from a wall panel.
  const zone zones[] = {{.code = "S",
                         .name = "shelf",
                         .driver_place = "store",
                         .from_driver = 2_m,
                         .driver_ambient = 30_degC,
                         .mount = fitting_wish::hardwired},
                        {.code = "C",
                         .name = "counter",
                         .features = {{"wall-panel"}, 1},
                         .driver_place = "store",
                         .from_driver = 1_m,
                         .driver_ambient = 30_degC,
                         .mount = fitting_wish::hardwired}};
  const run runs[] = {
      {.code = "A", .name = "shelf", .zone = 0, .tape = 0, .measured = 2.5_m, .from_controller = 3_m},
      {.code = "B", .name = "counter left", .zone = 1, .tape = 1, .measured = 2_m, .from_controller = 2_m},
      {.code = "C",
       .name = "counter right",
       .zone = 1,
       .tape = 1,
       .measured = 1.5_m,
       .from_controller = 4_m}};
  const job j{.zones = zones, .runs = runs};
  plan_room room{*space_for(j, parts)};
  const auto p = make_plan(j, parts, room.space());
  REQUIRE(p.ok());
  CHECK(p->fits);

  // Loads: A 24 W, 1 A. B 28.8 W, 0.6 A a channel; C 21.6 W, 0.45 A a channel: 2.1 A on one controller, of 8 A a
  // channel 1.05 A. Only C-2 has the wall panel; one carries both runs.
  REQUIRE(p->hubs.size() == 2);
  const hub_plan& counter = p->hubs[static_cast<std::size_t>(p->runs[1].hub)];
  CHECK(p->runs[1].hub == p->runs[2].hub);
  CHECK(controllers[counter.controller].code == "C-2");
  CHECK(close_rel(counter.total.v, 2.1, by_hand));
  CHECK(close_rel(counter.channel_current[0].v, 1.05, by_hand));

  // Both zones name the store and ask the same of a driver: 74.4 W with a tenth are 81.84 W. One H-100 (30.00) is
  // cheaper than two H-60 (44.00); H-60 alone is too small.
  REQUIRE(p->drivers.size() == 1);
  CHECK(drivers[p->drivers[0].part].code == "H-100");
  CHECK(close_rel(p->outputs[0].load.v, 74.4, by_hand));
  CHECK(close_rel(p->outputs[0].check.needed.v, 81.84, by_hand));

  // Two feeders meet at the controller: three conductors, a splice of three ways each. The shelf needs none.
  CHECK(counter.splices == 3);
  const hub_plan& shelf = p->hubs[static_cast<std::size_t>(p->runs[0].hub)];
  CHECK(shelf.splices == 0);

  // The driver gives 5.21 A at most; the weakest cable, three cores of 1.5 mm2, carries more: no fuse.
  CHECK(p->outputs[0].device == -1);

  // Volts of B: the supply cable of 1 m + 0.6 m carries 2.1 A out and back; its own three cores of 2.6 m carry 1.2 A in
  // the common and 0.6 A in each channel, through splice and joint; the switch of a channel 1.05 A.
  const double r15 = published_ohm_per_m(1.5) * warm(70);
  const double supply = 2 * 2.1 * r15 * 1.6;
  const double core = r15 * 2.6 + 0.001 + 0.005;
  const double at_feed = 24 - supply - 1.05 * 0.01 - core * (1.2 + 0.6);
  CHECK(close_rel(p->runs[1].all_on.at_feed[0].v, at_feed, by_hand));
  // The tape: r L^2 / 2 with the common under both channels' current, each channel's own under its own
  const double tape_drop = warm(25) * (0.02 * 0.6 + 0.02 * 0.3) * 2 * 2 / 2;
  CHECK(close_rel(p->runs[1].all_on.last_load[0].v, at_feed - tape_drop, by_hand));

  // Order. Tape: 2.5 m -> 3; 2 m and 1.5 m -> 4. Cable, two cores: shelf 2 + 3 + 0.6 = 5.6 m and supply 1.6 m: 7.2
  // -> 8; three cores: 2.6 m and 4.6 m: 7.2 -> 8.
  check_order(*p, {{"T-L", 3, 2100},
                   {"T-2", 4, 4800},
                   {"K-2x1.5", 8, 800},
                   {"K-3x1.5", 8, 1120},
                   {"J-2", 1, 180},
                   {"J-3", 2, 480},
                   {"X-3", 3, 120},
                   {"C-2", 1, 4500},
                   {"H-100", 1, 3000}});
}

TEST_CASE("worked job 3: a line of 22 m with a repeater") {
  // 22 m x 9.6 W/m = 211.2 W, 8.8 A: more than the 8 A of a channel and than the largest driver, 150 W / 1.1 =
  // 136.4 W. Two sections of 11 m (105.6 W, 4.4 A) are the fewest that can be carried.
  const zone zones[] = {{.code = "L",
                         .name = "line",
                         .features = {{"wall-panel"}, 1},
                         .driver_place = "plant",
                         .from_driver = 1_m,
                         .driver_ambient = 30_degC,
                         .mount = fitting_wish::hardwired}};
  run line{.code = "L", .name = "line", .zone = 0, .tape = 0, .measured = 22_m, .from_controller = 1_m};
  line.reach = feed_reach::anywhere;
  line.to_far_end = 23_m;
  const job j{.zones = zones, .runs = {&line, 1}};
  plan_room room{*space_for(j, parts)};
  const auto p = make_plan(j, parts, room.space());
  REQUIRE(p.ok());
  REQUIRE(p->runs.size() == 2);
  for (const run_plan& r : p->runs) {
    CHECK(r.sections == 2);
    CHECK(r.cut.segments == 220);
    CHECK(close_rel(r.load.total_sized.v, 4.4, by_hand));
  }
  // The leading controller has the wall panel; what follows it may be the cheaper repeater.
  REQUIRE(p->hubs.size() == 2);
  int leads = 0, follows = 0;
  for (const hub_plan& h : p->hubs) {
    leads += controllers[h.controller].code == "C-2" && h.follows < 0;
    follows += controllers[h.controller].code == "C-R" && h.follows >= 0;
  }
  CHECK(leads == 1);
  CHECK(follows == 1);
  // 105.6 W with a tenth are 116.16 W: H-150 for each; no output of the catalogue carries both.
  REQUIRE(p->drivers.size() == 2);
  for (const driver_plan& d : p->drivers) CHECK(drivers[d.part].code == "H-150");

  // Feed points: the maker lights 5 m one way. One end would light 11 m, the middle 5.5 m: too long. Two points in
  // equal parts light 2.75 m each way; both ends 5.5 m again. So two points, at 2.75 m and 8.25 m of each section.
  for (const run_plan& r : p->runs) {
    CHECK(r.arrangement == feed_arrangement::points);
    REQUIRE(r.more_feeds == 1);
    CHECK(r.at == 55);
    CHECK(p->feeds[static_cast<std::size_t>(r.feeds_from)].at == 165);
  }
  // Routes of the first section: 1 m to the near end and 2.75 m or 8.25 m beside the tape. Of the second: 11 m more,
  // or 23 m to the far end and back from there: 13.75 m and 19.25 m from the near end are 14.75 m and 20.25 m.
  const auto route = [&](std::size_t section, std::int32_t k) {
    const run_plan& r = p->runs[section];
    return (k == 0 ? r.feeder : p->feeds[static_cast<std::size_t>(r.feeds_from)].feeder).route.v;
  };
  CHECK(close_rel(route(0, 0), 3.75, by_hand));
  CHECK(close_rel(route(0, 1), 9.25, by_hand));
  CHECK(close_rel(route(1, 0), 14.75, by_hand));
  CHECK(close_rel(route(1, 1), 20.25, by_hand));

  // Pieces: 22 m of at most 5 m each are five of 4.4 m; the middle one is cut in two where the sections part. Each
  // section has three pieces and two links.
  REQUIRE(p->stretches.size() == 6);
  const std::int64_t segments[] = {88, 88, 44, 44, 88, 88};
  int links = 0;
  for (std::size_t s = 0; s < 6; ++s) {
    CHECK(p->stretches[s].cut.segments == segments[s]);
    links += p->stretches[s].linked;
  }
  CHECK(links == 4);

  // Volts at the near feed point of the first section by Kirchhoff's law from the solved currents: supply cable, switch,
  // own cable with splice and joint.
  const run_plan& r = p->runs[0];
  const hub_plan& h = p->hubs[static_cast<std::size_t>(r.hub)];
  CHECK(close_rel(r.all_on.total.v, 4.4, by_hand));  // regulated, nowhere below 18 V
  const double supply =
      2 * 4.4 * published_ohm_per_m(cables[h.supply.cable].conductor.area.v) * warm(70) * 1.6;
  CHECK(close_rel(r.at_hub[0].v, 24 - supply - 4.4 * 0.01, by_hand));
  CHECK(r.all_on.least_evenness == 1);
  // The furthest feed point, 20.25 m + 0.6 m away, carries about half of 4.4 A. 2.5 mm2 would lose 2 x 2.2 A x 20.85 m x
  // 0.00955 ohm/m = 0.88 V, more than the whole 3 % of 24 V, 0.72 V: 4 mm2 it is, with 0.54 V. That leaves 0.18 V, so
  // that the supply cable must be thick too: 4 mm2 and the switch take 0.13 V of it.
  CHECK(published_ohm_per_m(2.5) * warm(70) * 2 * 2.2 * 20.85 > 0.72);
  const tape_feed& far = p->feeds[static_cast<std::size_t>(p->runs[1].feeds_from)];
  CHECK(cables[far.feeder.cable].code == "K-2x4");
  CHECK(cables[p->hubs[static_cast<std::size_t>(p->runs[1].hub)].supply.cable].code == "K-2x4");
  CHECK(p->fits);
}

TEST_CASE("worked job 4: a facade line of 32 m round a courtyard") {
  // Four sides of 8 m, outdoors; both ends come back to the wall where the drivers hang behind, so that cables reach the
  // line from either. 6 W/m: 192 W. The largest driver carries 150 W / 1.1 = 136.4 W: two sections of 16 m (96 W, 4 A).
  tape outdoors = line_tape;
  outdoors.code = "T-65";
  outdoors.ingress = 65;
  outdoors.channels[0].load = 6_W_per_m;
  const tape all_tapes[] = {line_tape, two_white, outdoors};
  catalogue with_outdoors = parts;
  with_outdoors.tapes = all_tapes;
  const zone zones[] = {{.code = "F",
                         .name = "facade",
                         .driver_place = "plant",
                         .from_driver = 1_m,
                         .driver_ambient = 30_degC,
                         .mount = fitting_wish::hardwired,
                         .ingress = 65}};
  // a link takes 2 cm at each corner, which stay dark: 8.02 m of wall for the 8 m that are lit
  const stretch sides[] = {{8_m, {}}, {8.02_m, 0.02_m}, {8.02_m, 0.02_m}, {8.02_m, 0.02_m}};
  run line{.code = "F", .name = "facade", .zone = 0, .tape = 2, .measured = 32.06_m, .from_controller = 2_m};
  line.stretches = sides;
  line.reach = feed_reach::anywhere;
  line.to_far_end = 2_m;
  const job j{.zones = zones, .runs = {&line, 1}};
  plan_room room{*space_for(j, with_outdoors)};
  const auto p = make_plan(j, with_outdoors, room.space());
  REQUIRE(p.ok());
  CHECK(p->fits);
  REQUIRE(p->runs.size() == 2);
  REQUIRE(p->hubs.size() == 2);
  REQUIRE(p->drivers.size() == 2);
  for (const driver_plan& d : p->drivers) CHECK(drivers[d.part].code == "H-150");

  // Feed points: one end lights 16 m one way, both ends or the middle 8 m; the maker allows 5 m. Two points in equal
  // parts light 4 m each way, 2 A at each of the 5 A allowed: at 4 m and 12 m of each section.
  for (const run_plan& r : p->runs) {
    CHECK(r.cut.segments == 320);
    CHECK(close_rel(r.load.total_sized.v, 4, by_hand));
    CHECK(r.arrangement == feed_arrangement::points);
    REQUIRE(r.more_feeds == 1);
    CHECK(r.at == 80);
    CHECK(p->feeds[static_cast<std::size_t>(r.feeds_from)].at == 240);
  }
  // Routes: 2 m and 4 m or 12 m beside the tape; the second section's 20 m and 28 m are nearer from the far end.
  const auto feeder = [&](std::size_t section, std::int32_t k) -> const laid_cable& {
    const run_plan& r = p->runs[section];
    return k == 0 ? r.feeder : p->feeds[static_cast<std::size_t>(r.feeds_from)].feeder;
  };
  CHECK(close_rel(feeder(0, 0).route.v, 6, by_hand));
  CHECK(close_rel(feeder(0, 1).route.v, 14, by_hand));
  CHECK(close_rel(feeder(1, 0).route.v, 14, by_hand));
  CHECK(close_rel(feeder(1, 1).route.v, 6, by_hand));

  // Pieces: 8 m of at most 5 m each are two of 4 m, so eight; in each section three links, one at the corner.
  REQUIRE(p->stretches.size() == 8);
  int links = 0;
  for (const stretch_plan& s : p->stretches) {
    CHECK(s.cut.segments == 80);
    links += s.linked;
  }
  CHECK(links == 6);

  // Cables: to the far point 14.6 m with 2 A; of the 0.72 V that are 3 % of 24 V splice and joint take 4 A x 6 mohm.
  // 1.5 mm2 loses 0.93 V, 2.5 mm2 0.558 V, which leaves 0.138 V: a supply cable of 1.6 m with 4 A loses 0.204 V in
  // 1.5 mm2 and 0.122 V in 2.5 mm2. To the near point 1.5 mm2 does. (Thinner supply, thicker feeder: 4 mm2 costs more.)
  const auto lost = [](double mm2, double m, double a) {
    return 2 * a * m * published_ohm_per_m(mm2) * warm(70);
  };
  const double left = 0.03 * 24 - 4 * 0.006;
  CHECK(lost(1.5, 14.6, 2) > left);
  CHECK(lost(2.5, 14.6, 2) + lost(1.5, 1.6, 4) > left);
  CHECK(lost(2.5, 14.6, 2) + lost(2.5, 1.6, 4) <= left);
  for (const hub_plan& h : p->hubs) CHECK(cables[h.supply.cable].code == "K-2x2.5");
  CHECK(cables[feeder(0, 0).cable].code == "K-2x1.5");
  CHECK(cables[feeder(0, 1).cable].code == "K-2x2.5");

  // Protection: the driver gives at most 150 W / 24 V x 1.25 = 7.8 A, below the ampacity of the thinnest cable.
  CHECK(published_ampacity(1.5) > 7.8125);
  for (const output_plan& o : p->outputs) CHECK(o.protection.source_protects);

  // Volts: the tape keeps its 4 A wherever it stands above 18 V, and each hub starts 4 A of supply cable below 24 V.
  for (const run_plan& r : p->runs) {
    CHECK(close_rel(r.all_on.total.v, 4, by_hand));
    CHECK(close_rel(r.at_hub[0].v, 24 - lost(2.5, 1.6, 4), by_hand));
    CHECK(r.all_on.least_evenness == 1);
  }
  // What it costs: 32 m of tape; cable from one length, 2 x (14.6 + 1.6) = 32.4 m and 2 x 6.6 = 13.2 m.
  const long long price = 32 * 700 + 33 * 150 + 14 * 100 + 4 * 180 + 6 * 120 + 4 * 40 + 2 * 4200;
  CHECK(p->price.minor == price);
}
