// SPDX-License-Identifier: BSL-1.0
// The picture: a row a run, blocks on the left, curves on the right.
#include "picture.hpp"

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "svg.hpp"
#include "tapewright/plan/run_profile.hpp"
#include "text.hpp"

namespace order_sheet {
namespace {

using namespace tapewright;

// Columns and rows of the page, in the drawing's own units; the page is as wide as A4 is.
constexpr double page_width = 1092, margin = 20, header = 128, row_height = 92, row_gap = 14, footer = 50;
constexpr double driver_x = margin, driver_w = 152;
constexpr double supply_x = driver_x + driver_w, supply_w = 92;
constexpr double hub_x = supply_x + supply_w, hub_w = 124;
constexpr double feeder_x = hub_x + hub_w, feeder_w = 82;
constexpr double run_x = feeder_x + feeder_w, run_w = 150;
constexpr double volts_x = run_x + run_w + 44, chart_w = 126;
constexpr double light_x = volts_x + chart_w + 100;
constexpr double label_gap = 6;

constexpr std::string_view style_sheet =
    "text{font-family:'DejaVu Sans',Arial,Helvetica,sans-serif;font-size:12px;fill:#222}\n"
    ".title{font-size:21px;font-weight:bold}\n.head{font-size:12px;font-weight:bold}\n.name{font-size:13px;"
    "font-weight:bold}\n"
    ".small{font-size:10.5px}\n.mark{font-size:10.5px;fill:#555}\n"
    ".block{fill:#f4f1ea;stroke:#444;stroke-width:1.2}\n.fuse{fill:#ffffff;stroke:#444;stroke-width:1.2}\n"
    ".run{fill:#fff8d8;stroke:#8a7a2a;stroke-width:1.2}\n"
    ".wire{fill:none;stroke:#444;stroke-width:1.6}\n.frame{fill:#ffffff;stroke:#bbb;stroke-width:0.8}\n"
    ".limit{fill:none;stroke:#b03030;stroke-width:1;stroke-dasharray:5 3}\n"
    ".curve{fill:none;stroke-width:1.8}\n.rule{fill:none;stroke:#ddd;stroke-width:0.8}\n";

/// The colour a channel's curve is drawn in: that of its light where the code tells it.
std::string_view colour_of(std::string_view code, std::size_t place) {
  if (code == "R") return "#c62828";
  if (code == "G") return "#2e7d32";
  if (code == "B") return "#1f4fbf";
  if (code == "CW") return "#3a8fb7";
  if (code == "WW") return "#d07a00";
  if (code == "W") return "#6b5b2a";
  constexpr std::string_view others[] = {"#6a3d9a", "#00796b", "#8d5524", "#37474f", "#ad1457", "#558b2f"};
  return others[place % 6];
}

/// Where lamps' volts and light were, lamp by lamp, all channels on.
struct profile {
  std::size_t channels = 0;
  std::vector<double> volts, light;  // lamp-major
};

/// The run solved again, now lamp by lamp.
std::optional<profile> profile_of(const planned& p, const run_plan& r) {
  if (!r.solved) return {};
  const tape& t = p.tape_of(r);
  const auto line = line_of(t, 1, p.asked(r).ambient);
  if (!line.ok()) return {};
  profile out{t.channels.size(), {}, {}};
  const std::size_t lamps = static_cast<std::size_t>(r.cut.segments) * out.channels;
  std::vector<volts> load_voltage(lamps);
  std::vector<amps> load_current(lamps);
  const profile_room need = profile_room_of(r, t);
  std::vector<run_stretch> stretches(need.stretches);
  std::vector<feed_point> points(need.points);
  std::vector<double> workspace(need.doubles);
  if (solve_profile(p.plan(), p.job(), p.parts(), r.place, stretches, points, workspace,
                    {load_voltage, load_current}))
    return {};
  std::vector<double> brightest(out.channels, 0.0);
  for (std::size_t i = 0; i < lamps; ++i) {
    const std::size_t c = i % out.channels;
    out.volts.push_back(load_voltage[i].v);
    out.light.push_back(light_of(line->law[c], {load_current[i], {}}));
    brightest[c] = std::max(brightest[c], out.light.back());
  }
  for (std::size_t i = 0; i < lamps; ++i) {
    const double most = brightest[i % out.channels];
    out.light[i] = most > 0 ? out.light[i] / most : 0;
  }
  return out;
}

/// Moves labels apart so that none lies over another, keeping their order and their place if it can.
std::vector<double> apart(const std::vector<double>& wanted, double least_gap, double top, double bottom) {
  std::vector<std::size_t> order(wanted.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
  std::vector<double> at(wanted.size());
  double next = top;
  for (const std::size_t i : order) {
    at[i] = std::max(wanted[i], next);
    next = at[i] + least_gap;
  }
  double last = bottom;
  for (std::size_t k = order.size(); k-- > 0;) {
    at[order[k]] = std::min(at[order[k]], last);
    last = at[order[k]] - least_gap;
  }
  return at;
}

class picture {
 public:
  explicit picture(const planned& p) : p_{p}, made_{p.plan()} {}

  std::string drawn() {
    order_rows();
    draw_header();
    for (std::size_t o = 0; o < made_.outputs.size(); ++o) draw_output(static_cast<std::int32_t>(o));
    draw_drivers();
    for (std::size_t h = 0; h < made_.hubs.size(); ++h) draw_hub(static_cast<std::int32_t>(h));
    for (std::size_t row = 0; row < rows_.size(); ++row) draw_run(row);
    const double height = header + static_cast<double>(rows_.size()) * row_height + footer;
    draw_footer(height);
    return svg_.document(page_width, height, "Plan of the installation", style_sheet);
  }

 private:
  // Rows in the order of the connection schedule: output by output, hub by hub; the unsupplied last.
  void order_rows() {
    const auto add_hub = [&](std::size_t h) {
      for (std::size_t r = 0; r < made_.runs.size(); ++r)
        if (made_.runs[r].hub == static_cast<std::int32_t>(h)) rows_.push_back(static_cast<std::int32_t>(r));
    };
    for (std::size_t o = 0; o < made_.outputs.size(); ++o)
      for (std::size_t h = 0; h < made_.hubs.size(); ++h)
        if (made_.hubs[h].output == static_cast<std::int32_t>(o)) add_hub(h);
    for (std::size_t h = 0; h < made_.hubs.size(); ++h)
      if (made_.hubs[h].output < 0) add_hub(h);
  }

  struct extent {
    double top = 0, bottom = 0;
    bool empty = true;
    double middle() const { return (top + bottom) / 2; }
  };
  static double top_of(std::size_t row) { return header + static_cast<double>(row) * row_height; }
  static double middle_of(std::size_t row) { return top_of(row) + (row_height - row_gap) / 2; }

  /// From the first to the last row whose run satisfies `mine`.
  template <class Mine>
  extent extent_of(Mine mine) const {
    extent e;
    for (std::size_t row = 0; row < rows_.size(); ++row) {
      if (!mine(made_.runs[planned::place(rows_[row])])) continue;
      if (e.empty) e.top = top_of(row);
      e.bottom = top_of(row) + row_height - row_gap;
      e.empty = false;
    }
    return e;
  }
  const hub_plan& hub_of(const run_plan& r) const { return made_.hubs[planned::place(r.hub)]; }
  extent extent_of_hub(std::int32_t hub) const {
    return extent_of([&](const run_plan& r) { return r.hub == hub; });
  }
  /// A run that hangs straight on its driver has no block in the middle.
  static bool drawn_as_block(const hub_plan& h) { return h.controller >= 0 || h.supply.cable >= 0; }

  void draw_header() {
    svg_.text({margin, 36}, "What feeds what, and how evenly it lights", "title");
    svg_.text({margin, 60},
              counted(made_.runs.size(), "run") + ", " + fixed(made_.load.v, 0) +
                  " W of light. Currents in the cables are those of full light.",
              "text");
    svg_.text({margin, 78},
              "Curves from near end to far end: all channels on, nominal supply, cables warm; dashed: the "
              "limit of the rules.",
              "text");
    const auto column = [&](double x, const char* words) { svg_.text({x, 108}, words, "head"); };
    column(driver_x, "driver");
    column(supply_x + 5, "supply");
    column(hub_x, "controller, splice");
    column(feeder_x + 8, "feeder");
    column(run_x, "run");
    column(volts_x, "volts at the lamps");
    column(light_x, "light, % of brightest");
    svg_.line({margin, 117}, {page_width - margin, 117}, "rule");
  }

  void draw_footer(double height) {
    svg_.text(
        {margin, height - 30},
        "T driver, F protective device, K controller, X splice, W cable: the designations of the lists.",
        "mark");
    svg_.text({margin, height - 14},
              "The extra-low-voltage side only. Everything on the mains side is work for a qualified person.",
              "mark");
  }

  /// From a driver's output, through its protective device, to the hubs on it: several share one line
  /// that branches behind the device.
  void draw_output(std::int32_t output) {
    const output_plan& o = made_.outputs[planned::place(output)];
    std::vector<std::size_t> hubs;
    for (std::size_t h = 0; h < made_.hubs.size(); ++h)
      if (made_.hubs[h].output == output) hubs.push_back(h);
    if (hubs.empty()) return;
    const auto y_of = [&](std::size_t h) { return extent_of_hub(static_cast<std::int32_t>(h)).middle(); };
    const double first_y = y_of(hubs.front()), branch_x = supply_x + 37;
    const bool branches = hubs.size() > 1;
    if (branches) svg_.line({branch_x, first_y}, {branch_x, y_of(hubs.back())}, "wire");
    for (const std::size_t h : hubs) {
      const hub_plan& hub = made_.hubs[h];
      const double y = y_of(h);
      const bool block = drawn_as_block(hub);
      svg_.line({h == hubs.front() ? supply_x : branch_x, y}, {block ? hub_x : run_x, y}, "wire");
      if (!block) continue;
      const double x = o.device >= 0 || branches ? branch_x + 4 : supply_x + 8;
      if (hub.supply.number > 0) svg_.text({x, y - label_gap}, p_.cable_name(hub.supply.number), "small");
      svg_.text({x, y + 14}, fixed(hub.total.v, 2) + " A", "small");
    }
    if (o.device >= 0) {
      const double rated = p_.parts().overcurrent_devices[planned::place(o.device)].rated.v;
      svg_.box(supply_x + 5, first_y - 7, 28, 14, "fuse");
      svg_.line({supply_x + 5, first_y}, {supply_x + 33, first_y}, "wire");
      svg_.text({supply_x + 5, first_y - 12}, p_.fuse_name(output), "small");
      svg_.text({supply_x + 5, first_y + 20}, plain(rated) + " A", "small");
    }
    if (made_.drivers[planned::place(o.driver)].outputs > 1)
      svg_.text({supply_x - 6, first_y - 4}, "." + std::to_string(o.number), "small", anchor::end);
  }

  void draw_drivers() {
    for (std::size_t d = 0; d < made_.drivers.size(); ++d) {
      const driver_plan& driver = made_.drivers[d];
      const auto mine = [&](const run_plan& r) {
        const std::int32_t output = hub_of(r).output;
        return output >= 0 && made_.outputs[planned::place(output)].driver == static_cast<std::int32_t>(d);
      };
      const extent e = extent_of(mine);
      if (e.empty) continue;
      const tapewright::driver& part = p_.parts().drivers[planned::place(driver.part)];
      svg_.box(driver_x, e.top, driver_w, e.bottom - e.top, "block");
      const double y = e.middle();
      svg_.text({driver_x + 8, y - 16}, p_.driver_name(static_cast<std::int32_t>(d)), "name");
      svg_.text({driver_x + 8, y + 1}, fitting_text(part.code, driver_w - 16, 12), "text");
      svg_.text({driver_x + 8, y + 17},
                fixed(driver.load.v, 0) + " W of " +
                    fixed(part.rated.v * static_cast<double>(part.outputs), 0) + " W",
                "small");
      svg_.text({driver_x + 8, y + 31}, part.mount == fitting::plug_in ? "plug-in" : "hardwired", "small");
    }
  }

  void draw_hub(std::int32_t at) {
    const hub_plan& hub = made_.hubs[planned::place(at)];
    const extent e = extent_of_hub(at);
    if (e.empty || !drawn_as_block(hub)) return;
    const double y = e.middle();
    svg_.box(hub_x, e.top, hub_w, e.bottom - e.top, "block");
    svg_.text({hub_x + 8, y - 12}, p_.hub_name(at), "name");
    const std::string_view part = hub.controller >= 0
                                      ? p_.parts().controllers[planned::place(hub.controller)].code
                                  : hub.splice >= 0 ? p_.parts().connectors[planned::place(hub.splice)].code
                                                    : std::string_view{"terminals"};
    svg_.text({hub_x + 8, y + 3}, fitting_text(part, hub_w - 16, 12), "text");
    svg_.text({hub_x + 8, y + 17},
              fitting_text("zone " + std::string{p_.zone_of(hub).code}, hub_w - 16, 10.5), "small");
  }

  void draw_run(std::size_t row) {
    const std::int32_t at = rows_[row];
    const run_plan& r = made_.runs[planned::place(at)];
    const double top = top_of(row), middle = middle_of(row), height = row_height - row_gap;
    svg_.box(run_x, top, run_w, height, "run");
    const std::string name = p_.run_name(at);
    const bool short_name = fitting_text(name, run_w - 14, 14) == name;
    svg_.text({run_x + 8, top + 24}, short_name ? name : fitting_text(name, run_w - 14, 10.5),
              short_name ? "name" : "small");
    svg_.text({run_x + 8, top + 43}, fitting_text(p_.tape_of(r).code, run_w - 16, 12), "text");
    svg_.text({run_x + 8, top + 61}, fixed(r.cut.length.v, 3) + " m, " + fixed(r.load.sized.v, 1) + " W",
              "small");
    if (drawn_as_block(hub_of(r))) svg_.line({feeder_x, middle}, {run_x, middle}, "wire");
    const double label_x = feeder_x + 8;
    if (r.more_feeds > 0) {
      label_feeds(r, label_x, middle);
      draw_curves(r, top, height);
      return;
    }
    const std::string cable = r.feeder.number > 0 ? p_.cable_name(r.feeder.number) : std::string{"tail"};
    svg_.text({label_x, middle - label_gap}, cable, "small");
    svg_.text({label_x, middle + 14}, fixed(r.load.total_sized.v, 2) + " A", "small");
    draw_curves(r, top, height);
  }

  /// The cables of a run with several feed points, from its near end on, two above the line and two below it.
  void label_feeds(const run_plan& r, double x, double middle) {
    const std::int32_t shown = r.more_feeds < 4 ? r.more_feeds + 1 : 3;
    for (std::int32_t k = 0; k < shown; ++k) {
      const tape_feed& f = p_.feed_of(r, k);
      const double y = k < 2 ? middle - label_gap - 12 * static_cast<double>(1 - k)
                             : middle + 14 + 12 * static_cast<double>(k - 2);
      svg_.text({x, y},
                (f.feeder.number > 0 ? p_.cable_name(f.feeder.number) : std::string{"tail"}) + " " +
                    fixed(f.current.v, 2) + " A",
                "small");
    }
    if (shown <= r.more_feeds)
      svg_.text({x, middle + 26}, "to " + p_.cable_name(p_.feed_of(r, r.more_feeds).feeder.number), "small");
  }

  void draw_curves(const run_plan& r, double top, double height) {
    const std::optional<profile> found = profile_of(p_, r);
    if (!found) {
      svg_.text({volts_x, top + height / 2}, "no steady state: see the checks", "text");
      return;
    }
    const tape& t = p_.tape_of(r);
    const design_rules& rules = p_.job().rules;
    draw_chart(volts_x, top, height, r, *found, found->volts, t.nominal.v,
               t.nominal.v * (1 - rules.drop_to_lamp), 2, " V", 1);
    draw_chart(light_x, top, height, r, *found, found->light, 1, rules.least_evenness, 1, " %", 100);
  }

  /// One chart: `whole` is the top of its scale, `limit` the dashed line, both in the values' unit.
  void draw_chart(double x, double top, double height, const run_plan& r, const profile& of,
                  const std::vector<double>& values, double whole, double limit, int decimals,
                  const char* unit, double shown_times) {
    const double lowest = *std::min_element(values.begin(), values.end());
    const double floor = std::min(limit, lowest) - 0.12 * (whole - std::min(limit, lowest));
    const double plot_top = top + 4, plot_height = height - 19;
    const auto y_of = [&](double v) { return plot_top + (whole - v) / (whole - floor) * plot_height; };
    svg_.box(x, plot_top, chart_w, plot_height, "frame");
    svg_.line({x, y_of(limit)}, {x + chart_w, y_of(limit)}, "limit");
    svg_.text({x - 4, plot_top + 8}, plain(whole * shown_times, 4), "mark", anchor::end);
    svg_.text({x - 4, y_of(limit) + 4}, plain(limit * shown_times, 4), "mark", anchor::end);
    svg_.text({x, top + height}, "0", "mark");
    if (is_fed_in_parts(r)) {  // where cables meet the tape; a ring's far end too
      const auto tick = [&](std::int64_t at) {
        const double along = static_cast<double>(at) / static_cast<double>(r.cut.segments);
        const double at_x = x + along * chart_w, foot = plot_top + plot_height;
        svg_.line({at_x, foot - 7}, {at_x, foot}, "wire");
      };
      for (std::int32_t k = 0; k <= r.more_feeds; ++k) tick(p_.feed_of(r, k).at);
      if (r.arrangement == feed_arrangement::ring) tick(r.cut.segments);
    }
    svg_.text({x + chart_w, top + height}, fixed(r.cut.length.v, 2) + " m", "mark", anchor::end);

    const std::size_t lamps = values.size() / of.channels;
    const tape& t = p_.tape_of(r);
    std::vector<double> ends;
    for (std::size_t c = 0; c < of.channels; ++c) {
      std::vector<point> points;
      for (std::size_t k = 0; k < lamps; ++k) {
        const double along =
            (static_cast<double>(k) + 0.5) / static_cast<double>(lamps);  // a lamp sits mid-segment
        points.push_back({x + along * chart_w, y_of(values[k * of.channels + c])});
      }
      if (lamps == 1) points.push_back({points[0].x + 2, points[0].y});
      svg_.polyline(points, "curve", colour_of(t.channels[c].code, c));
      ends.push_back(points.back().y + 3);
    }
    const std::vector<double> at = apart(ends, 12, plot_top + 8, top + height + 2);
    for (std::size_t c = 0; c < of.channels; ++c)
      svg_.text({x + chart_w + 4, at[c]},
                fitting_text(t.channels[c].code, 20, 10.5) + " " +
                    fixed(values[(lamps - 1) * of.channels + c] * shown_times, decimals) + unit,
                "small", anchor::start, colour_of(t.channels[c].code, c));
  }

  static std::string counted(std::size_t count, const std::string& one) {
    return std::to_string(count) + " " + one + (count == 1 ? "" : "s");
  }

  const planned& p_;
  const plan& made_;
  svg_drawing svg_;
  std::vector<std::int32_t> rows_;
};

}  // namespace

std::string picture_of(const planned& p) { return picture{p}.drawn(); }

}  // namespace order_sheet
