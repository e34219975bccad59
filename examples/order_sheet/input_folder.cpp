// SPDX-License-Identifier: BSL-1.0
// The tables of the folder, each described once, and what binds them together.
#include "input_folder.hpp"

#include <algorithm>

#include "tapewright/rules/conductor_sizes.hpp"
#include "text.hpp"

namespace order_sheet {
namespace {

using namespace tapewright;

// Rows as they stand in the files, where a file says more, or otherwise, than the library's row.
struct run_row : run {
  std::string_view zone_code, tape_code;
};
struct stretch_row : stretch {
  std::string_view run_code;
};
struct channel_row : tape_channel {
  std::string_view tape_code;
};
struct cable_row : cable {
  std::optional<double> iec_class, area, gauge;
};
struct pin_row {
  part_kind what = part_kind::none;
  std::string_view of, part;
};
struct rule_row {
  std::string_view name, value;
};

std::string listed(const std::vector<std::string_view>& names) {
  std::string out;
  for (const std::string_view n : names) out += (out.empty() ? "" : ", ") + std::string{n};
  return out;
}

template <class Row>
std::vector<std::string_view> codes_of(const std::vector<Row>& rows) {
  std::vector<std::string_view> codes;
  for (const Row& r : rows)
    if (!r.code.empty()) codes.push_back(r.code);
  return codes;
}

/// The place of a code among rows, or -1, told with the codes there are.
template <class Row>
std::int32_t place_of(std::string_view code, const std::vector<Row>& rows, table_reading& reading,
                      std::size_t row, std::string_view column) {
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (rows[i].code == code) return static_cast<std::int32_t>(i);
  if (!code.empty() && !rows.empty())  // without rows the other file is at fault, and told
    reading.tell(
        row, column,
        "a " + std::string{column} + " of " + std::string{column} + "s.csv: " + listed(codes_of(rows)));
  return -1;
}

/// The same for a column that is not called after the file it points into.
template <class Row>
std::int32_t named(std::string_view code, const std::vector<Row>& rows, table_reading& reading,
                   std::size_t row, std::string_view column) {
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (rows[i].code == code) return static_cast<std::int32_t>(i);
  if (!code.empty() && !rows.empty()) reading.tell(row, column, "one of " + listed(codes_of(rows)));
  return -1;
}

class folder_reader {
 public:
  folder_reader(const std::string& folder, input_folder& input, problem_list& problems)
      : folder_{folder}, in_{input}, problems_{problems} {}

  void read_all() {
    read_zones();
    read_tapes();
    read_runs();
    read_controllers();
    read_drivers();
    read_cables();
    read_connectors();
    read_overcurrent_devices();
    read_rules();
    read_pins();
  }

 private:
  template <class Row>
  table<Row> described(std::string file) {
    return {std::move(file), in_.texts};
  }

  /// Reads, refuses repeated codes, and asks the library about each row that is good cell by cell.
  template <class Row>
  table_reading read_checked(const table<Row>& t, std::string_view code_column, std::vector<Row>& rows) {
    table_reading reading = t.read(folder_, rows, problems_);
    reading.refuse_repeats(code_column);
    for (std::size_t r = 0; r < rows.size(); ++r) t.tell_fault(reading, r, rows[r]);
    return reading;
  }

  void read_zones() {
    table_reading reading = described<zone>("zones.csv")
                                .code("zone", &zone::code)
                                .text("name", &zone::name)
                                .words("features", &zone::features)
                                .yes_or_no("wants_controller", &zone::wants_controller)
                                .code("driver_place", &zone::driver_place)
                                .number(field::from_driver, &zone::from_driver)
                                .number("driver_ambient_c", field::ambient, &zone::driver_ambient)
                                .choice<zone, fitting_wish>("mount", &zone::mount,
                                                            {{"any", fitting_wish::any},
                                                             {"plug_in", fitting_wish::plug_in},
                                                             {"hardwired", fitting_wish::hardwired}})
                                .yes_or_no("limited_energy", &zone::limited_energy)
                                .number("least_ingress_ip", field::ingress, &zone::ingress)
                                .read(folder_, in_.zones, problems_);
    reading.refuse_repeats("zone");
  }

  void read_runs() {
    const table<run_row> t = described<run_row>("runs.csv")
                                 .code("run", &run_row::code)
                                 .text("name", &run_row::name)
                                 .code("zone", &run_row::zone_code)
                                 .code("tape", &run_row::tape_code)
                                 .number(field::measured_length, &run_row::measured)
                                 .number(field::from_controller, &run_row::from_controller)
                                 .number("ambient_c", field::ambient, &run_row::ambient)
                                 .number("cable_ambient_c", field::ambient, &run_row::cable_ambient)
                                 .choice<run_row, feed_reach>("reach", &run_row::reach,
                                                              {{"near_end", feed_reach::near_end},
                                                               {"ends", feed_reach::ends},
                                                               {"anywhere", feed_reach::anywhere}})
                                 .optional()
                                 .number(field::to_far_end, &run_row::to_far_end)
                                 .optional()
                                 .number(field::between_extra, &run_row::between_extra)
                                 .optional()
                                 .yes_or_no("closes", &run_row::closes)
                                 .optional()
                                 .choice<run_row, dark_end>("dark", &run_row::dark,
                                                            {{"far_end", dark_end::far_end},
                                                             {"near_end", dark_end::near_end},
                                                             {"shared", dark_end::shared}})
                                 .optional()
                                 .column("arrangements", arrangement_setter(), field::arrangements)
                                 .optional();
    std::vector<run_row> rows;
    table_reading reading = t.read(folder_, rows, problems_);
    reading.refuse_repeats("run");
    read_stretches(rows);
    for (std::size_t r = 0; r < rows.size(); ++r) {
      rows[r].zone = place_of(rows[r].zone_code, in_.zones, reading, r, "zone");
      rows[r].tape = place_of(rows[r].tape_code, in_.tapes, reading, r, "tape");
      if (rows[r].tape >= 0 && reading.is_clean(r)) {
        const metres pitch = in_.tapes[static_cast<std::size_t>(rows[r].tape)].cut_pitch;
        if (rows[r].measured < pitch)
          reading.tell(r, "measured_m", "at least one cut of the tape, " + plain(pitch.v) + " m");
        else if (const fault found = check(static_cast<const run&>(rows[r]), pitch))
          t.tell_fault(reading, r, found);
      }
      in_.runs.push_back(rows[r]);
    }
  }

  static table<run_row>::setter arrangement_setter() {
    return [](run_row& row, std::string_view cell) -> std::string {
      constexpr std::string_view names[] = {"one_end", "far_end", "both_ends", "middle", "points", "ring"};
      const auto words = words_in(cell);
      bool good = words && !words->empty();
      row.arrangements = 0;
      for (std::size_t i = 0; good && i < words->size(); ++i) {
        const auto at = std::find(std::begin(names), std::end(names), (*words)[i]);
        good = at != std::end(names);
        if (good) row.arrangements |= 1u << (at - std::begin(names));
      }
      return good ? std::string{}
                  : "words of one_end far_end both_ends middle points ring, one space between them";
    };
  }

  // The straight stretches of runs with corners, in the order of the file; without the file none has any.
  void read_stretches(std::vector<run_row>& runs) {
    if (!has_file(folder_, "stretches.csv")) return;
    std::vector<stretch_row> rows;
    table_reading reading = described<stretch_row>("stretches.csv")
                                .code("run", &stretch_row::run_code)
                                .number(field::measured_length, &stretch_row::measured)
                                .number_if_stated(field::link_gap, &stretch_row::gap)
                                .read(folder_, rows, problems_);
    for (run_row& run : runs) {
      std::vector<stretch> found;
      for (const stretch_row& row : rows)
        if (row.run_code == run.code && !run.code.empty()) found.push_back(row);
      if (!found.empty()) run.stretches = in_.stretches.emplace_back(std::move(found));
    }
    for (std::size_t r = 0; r < rows.size(); ++r) place_of(rows[r].run_code, runs, reading, r, "run");
  }

  // The parts that the job insists on; without the file it insists on none.
  void read_pins() {
    if (!has_file(folder_, "pins.csv")) return;
    std::vector<pin_row> rows;
    table_reading reading = described<pin_row>("pins.csv")
                                .choice<pin_row, part_kind>("pinned", &pin_row::what,
                                                            {{"driver", part_kind::driver},
                                                             {"controller", part_kind::controller},
                                                             {"feeder", part_kind::cable}})
                                .code("of", &pin_row::of)
                                .code("part", &pin_row::part)
                                .read(folder_, rows, problems_);
    const auto pin = [&](std::size_t row, const auto& parts, auto& owners, auto member) {
      const std::int32_t part = named(rows[row].part, parts, reading, row, "part");
      const std::int32_t owner = named(rows[row].of, owners, reading, row, "of");
      if (owner >= 0) owners[static_cast<std::size_t>(owner)].*member = part;
    };
    for (std::size_t r = 0; r < rows.size(); ++r) {
      if (rows[r].what == part_kind::driver) pin(r, in_.drivers, in_.zones, &zone::pinned_driver);
      if (rows[r].what == part_kind::controller) pin(r, in_.controllers, in_.zones, &zone::pinned_controller);
      if (rows[r].what == part_kind::cable) pin(r, in_.cables, in_.runs, &run::pinned_feeder);
    }
  }

  void read_tapes() {
    const table<tape> t = described<tape>("tapes.csv")
                              .code("tape", &tape::code)
                              .text("name", &tape::name)
                              .number(field::nominal_voltage, &tape::nominal)
                              .number(field::highest_voltage, &tape::highest)
                              .number(field::common_resistance, &tape::common_trace)
                              .choice<tape, polarity>("common", &tape::common,
                                                      {{"positive", polarity::common_positive},
                                                       {"negative", polarity::common_negative}})
                              .number(field::cut_pitch, &tape::cut_pitch)
                              .number(field::longest_piece, &tape::longest_piece)
                              .number_if_stated(field::feed_point_limit, &tape::feed_point_limit)
                              .number_if_stated(field::single_feed_limit, &tape::single_feed_limit)
                              .number_if_stated(field::all_on_limit, &tape::all_on_limit)
                              .number(field::free_tail, &tape::free_tail)
                              .number(field::sale_quantum, &tape::sale_quantum)
                              .number_if_stated(field::reel_length, &tape::reel)
                              .number_if_stated(field::price, &tape::price)
                              .number(field::lowest_ambient, &tape::lowest_ambient)
                              .number(field::highest_ambient, &tape::highest_ambient)
                              .number("ingress_ip", field::ingress, &tape::ingress);
    table_reading reading = t.read(folder_, in_.tapes, problems_);
    reading.refuse_repeats("tape");
    const bool channels_good = read_channels();
    for (std::size_t i = 0; i < in_.tapes.size(); ++i) {
      if (channels_good && reading.is_clean(i) && in_.tapes[i].channels.empty())
        reading.tell(i, "tape", "a tape with at least one row in tape_channels.csv");
      if (channels_good) t.tell_fault(reading, i, in_.tapes[i]);
    }
  }

  bool read_channels() {
    const table<channel_row> t =
        described<channel_row>("tape_channels.csv")
            .code("tape", &channel_row::tape_code)
            .code("channel", &channel_row::code)
            .number(field::load_per_metre, &channel_row::load)
            .choice<channel_row, load_kind>("law", &channel_row::law,
                                            {{"resistor", load_kind::resistor_limited},
                                             {"regulated", load_kind::regulated},
                                             {"constant_power", load_kind::constant_power}})
            .number(field::knee_voltage, &channel_row::knee)
            .number(field::return_resistance, &channel_row::return_trace);
    const std::size_t before = problems_.size();
    std::vector<channel_row> rows;
    table_reading reading = t.read(folder_, rows, problems_);
    for (std::size_t r = 0; r < rows.size(); ++r) {
      const std::int32_t place = place_of(rows[r].tape_code, in_.tapes, reading, r, "tape");
      if (place < 0) continue;
      tape& owner = in_.tapes[static_cast<std::size_t>(place)];
      for (const tape_channel& c : owner.channels)
        if (c.code == rows[r].code && !c.code.empty())
          reading.tell(r, "channel", "each channel of a tape once");
      if (reading.is_clean(r) && owner.nominal.v > 0 && !(rows[r].knee < owner.nominal))
        reading.tell(r, "knee_v", "a number below the tape's nominal " + plain(owner.nominal.v) + " V");
      if (!owner.channels.push(rows[r])) reading.tell(r, "tape", "at most 6 channels a tape");
    }
    return problems_.size() == before;
  }

  void read_controllers() {
    read_checked(described<controller>("controllers.csv")
                     .code("controller", &controller::code)
                     .text("name", &controller::name)
                     .number(field::channel_count, &controller::channels)
                     .number(field::channel_limit, &controller::channel_limit)
                     .number(field::total_limit, &controller::total_limit)
                     .number(field::lowest_input, &controller::lowest_input)
                     .number(field::highest_input, &controller::highest_input)
                     .choice<controller, polarity>(
                         "common", &controller::common,
                         {{"positive", polarity::common_positive}, {"negative", polarity::common_negative}})
                     .number(field::least_terminal, &controller::least_terminal)
                     .number(field::greatest_terminal, &controller::greatest_terminal)
                     .number(field::terminal_current, &controller::terminal)
                     .number(field::switch_resistance, &controller::switch_resistance, 1000)
                     .number_if_stated(field::pwm_frequency, &controller::pwm)
                     .yes_or_no("is_repeater", &controller::is_repeater)
                     .yes_or_no("enforces_all_on_limit", &controller::enforces_all_on_limit)
                     .number(field::highest_ambient, &controller::highest_ambient)
                     .words("features", &controller::features)
                     .number_if_stated(field::price, &controller::price),
                 "controller", in_.controllers);
  }

  void read_drivers() {
    read_checked(
        described<driver>("drivers.csv")
            .code("driver", &driver::code)
            .text("name", &driver::name)
            .number(field::output_voltage, &driver::output)
            .number_if_stated(field::trim_low, &driver::trim_low)
            .number_if_stated(field::trim_high, &driver::trim_high)
            .number(field::rated_output, &driver::rated)
            .number_if_stated(field::output_current_limit, &driver::output_limit)
            .number_if_stated(field::overload_limit, &driver::overload_limit)
            .number(field::output_count, &driver::outputs)
            .number(field::least_load, &driver::least_load)
            .number(field::efficiency, &driver::efficiency)
            .number(field::power_factor, &driver::power_factor)
            .number("mains_low_v", field::mains_voltage, &driver::mains_low)
            .number("mains_high_v", field::mains_voltage, &driver::mains_high)
            .number_if_stated(field::inrush_peak, &driver::inrush_peak)
            .number_if_stated(field::inrush_duration, &driver::inrush_duration, 1e6)
            .number_if_stated(field::leakage, &driver::leakage, 1000)
            .choice<driver, fitting>("mount", &driver::mount,
                                     {{"plug_in", fitting::plug_in}, {"hardwired", fitting::hardwired}})
            .yes_or_no("limited_energy", &driver::limited_energy)
            .column("derating_c_share", derating_setter(), field::derating_point)
            .number_if_stated(field::least_terminal, &driver::least_terminal)
            .number_if_stated("greatest_mm2", field::least_terminal, &driver::greatest_terminal)
            .number_if_stated("output_connector_a", field::current, &driver::output_connector)
            .number_if_stated("plug_fuse_a", field::current, &driver::plug_fuse)
            .number("ingress_ip", field::ingress, &driver::ingress)
            .number_if_stated(field::price, &driver::price),
        "driver", in_.drivers);
  }

  // Pairs of ambient and share: "40:1 60:0.5" is all of it up to 40 degC and half of it at 60 degC.
  static table<driver>::setter derating_setter() {
    return [](driver& row, std::string_view cell) -> std::string {
      const number_range ambient = number_range_of(field::ambient),
                         share = number_range_of(field::derating_point);
      const auto pairs = words_in(cell);
      bool good = pairs && !pairs->empty() && pairs->size() <= derating_curve::capacity();
      for (std::size_t i = 0; good && i < pairs->size(); ++i) {
        const std::string_view pair = (*pairs)[i];
        const std::size_t colon = pair.find(':');
        const auto at = number_in(pair.substr(0, colon), ambient);
        const auto left = colon == pair.npos ? std::nullopt : number_in(pair.substr(colon + 1), share);
        good = at && left;
        if (good) row.derating.push({celsius{*at}, *left});
      }
      if (good) return {};
      return "1 to 8 pairs of ambient in degC (-40 to 120) and share of the rated output (0 to 1.5), as 40:1 "
             "60:0.5";
    };
  }

  void read_cables() {
    const table<cable_row> t =
        described<cable_row>("cables.csv")
            .code("cable", &cable_row::code)
            .text("name", &cable_row::name)
            .number(field::core_count, &cable_row::cores)
            .number_or_none("conductor_class", field::conductor_class, &cable_row::iec_class, true)
            .number_or_none("conductor_mm2", field::area, &cable_row::area)
            .number_or_none("conductor_awg", field::gauge, &cable_row::gauge, true)
            .number(field::conductor_limit, &cable_row::conductor_limit)
            .number_if_stated(field::cable_rating, &cable_row::rating)
            .words("core_colours", &cable_row::core_colours)
            .number(field::sale_quantum, &cable_row::sale_quantum)
            .number_if_stated(field::stock_length, &cable_row::stock)
            .number_if_stated(field::price, &cable_row::price);
    std::vector<cable_row> rows;
    table_reading reading = t.read(folder_, rows, problems_);
    reading.refuse_repeats("cable");
    for (std::size_t r = 0; r < rows.size(); ++r) {
      if (reading.is_clean(r)) set_conductor(rows[r], reading, r);
      t.tell_fault(reading, r, static_cast<const cable&>(rows[r]));
      in_.cables.push_back(rows[r]);
    }
  }

  // A conductor is metric (class and mm2) or American (gauge), never both and never neither.
  static void set_conductor(cable_row& row, table_reading& reading, std::size_t r) {
    const bool metric = row.iec_class && row.area && !row.gauge;
    const bool american = row.gauge && !row.area && !row.iec_class;
    if (!metric && !american) {
      reading.tell(r, "conductor_mm2", "either conductor_class and conductor_mm2, or conductor_awg alone");
      return;
    }
    if (metric && *row.iec_class != 1 && *row.iec_class != 2 && *row.iec_class != 5) {
      reading.tell(r, "conductor_class", "class 1, 2 or 5 of IEC 60228");
      return;
    }
    const outcome<conductor_size> size =
        metric ? metric_conductor(static_cast<conductor_system>(static_cast<int>(*row.iec_class)),
                                  square_millimetres{*row.area})
               : awg_conductor(static_cast<int>(*row.gauge));
    if (size.ok()) row.conductor = *size;
    else
      reading.tell(r, metric ? "conductor_mm2" : "conductor_awg",
                   metric ? "a size of the table in IEC 60228 for this class" : allowed_text(size.why()));
  }

  void read_connectors() {
    read_checked(described<connector>("connectors.csv")
                     .code("connector", &connector::code)
                     .text("name", &connector::name)
                     .choice<connector, connector_use>("use", &connector::use,
                                                       {{"tape_to_cable", connector_use::tape_to_cable},
                                                        {"cable_to_cable", connector_use::cable_to_cable},
                                                        {"tape_to_tape", connector_use::tape_to_tape},
                                                        {"driver_plug", connector_use::driver_plug}})
                     .number(field::poles, &connector::poles)
                     .number("ways", field::poles, &connector::ways)
                     .number(field::rated_current, &connector::rated)
                     .number(field::rated_voltage, &connector::rated_voltage)
                     .number(field::rating_ambient, &connector::rating_ambient)
                     .number(field::upper_limit, &connector::upper_limit)
                     .number(field::least_terminal, &connector::least)
                     .number("greatest_mm2", field::least_terminal, &connector::greatest)
                     .number("contact_mohm", field::switch_resistance, &connector::contact, 1000)
                     .number_if_stated(field::price, &connector::price),
                 "connector", in_.connectors);
  }

  void read_overcurrent_devices() {
    read_checked(described<overcurrent_device>("overcurrent.csv")
                     .code("device", &overcurrent_device::code)
                     .text("name", &overcurrent_device::name)
                     .choice<overcurrent_device, overcurrent_family>(
                         "family", &overcurrent_device::family,
                         {{"fuse_gg", overcurrent_family::fuse_gg},
                          {"breaker_b", overcurrent_family::breaker_b},
                          {"breaker_c", overcurrent_family::breaker_c},
                          {"breaker_d", overcurrent_family::breaker_d},
                          {"blade_fuse", overcurrent_family::blade_fuse},
                          {"cartridge_fuse", overcurrent_family::cartridge_fuse}})
                     .number("rated_a", field::fuse_rating, &overcurrent_device::rated)
                     .number(field::rated_voltage, &overcurrent_device::rated_voltage)
                     .number_if_stated(field::price, &overcurrent_device::price),
                 "device", in_.overcurrent_devices);
  }

  void read_rules() {
    std::vector<rule_row> rows;
    table_reading reading = described<rule_row>("rules.csv")
                                .code("rule", &rule_row::name)
                                .code("value", &rule_row::value)
                                .read(folder_, rows, problems_);
    reading.refuse_repeats("rule");
    for (std::size_t r = 0; r < rows.size(); ++r) {
      if (rows[r].name.empty()) continue;
      const rule_facts* rule = rule_named(rows[r].name);
      if (rule == nullptr) {
        std::vector<std::string_view> names;
        for (const rule_facts& known : rule_table) names.push_back(known.name);
        reading.tell(r, "rule", "one of " + listed(names));
        continue;
      }
      const number_range range{rule->least, rule->most, facts_of(rule->range).unit, is_whole(*rule), false};
      if (const auto value = number_in(rows[r].value, range)) rule->set(in_.rules, *value);
      else if (!rows[r].value.empty())
        reading.tell(r, "value", allowed_text(range) + ": " + std::string{rule->meaning});
    }
  }

  const std::string& folder_;
  input_folder& in_;
  problem_list& problems_;
};

}  // namespace

void read_folder(const std::string& folder, input_folder& input, problem_list& problems) {
  folder_reader{folder, input, problems}.read_all();
}

}  // namespace order_sheet
