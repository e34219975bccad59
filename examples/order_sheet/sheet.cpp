// SPDX-License-Identifier: BSL-1.0
// The text sheet: a summary on top, then every list under its heading.
#include "sheet.hpp"

#include <algorithm>

#include "lists.hpp"
#include "tapewright/plan/notes.hpp"
#include "text.hpp"
#include "utf8.hpp"

namespace order_sheet {
namespace {

using namespace tapewright;

constexpr std::size_t page_width = 118;
constexpr double told_from = 0.75;  // checks that use less of their limit are counted, not listed

std::string heading(const std::string& title) {
  return "\n" + title + "\n" + std::string(characters_in(title), '=') + "\n";
}

std::string line(const std::string& label, const std::string& value) {
  std::string out = "  " + label;
  out.resize(std::max<std::size_t>(out.size() + 1, 22), ' ');
  return out + wrapped(value, page_width - 22, 22) + "\n";
}

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

std::string summary(const planned& p) {
  const plan& made = p.plan();
  metres tape;
  for (const run_plan& r : made.runs) tape += r.cut.length;
  std::size_t controllers = 0, failed = 0, strained = 0;
  for (const hub_plan& h : made.hubs) controllers += h.controller >= 0;
  for (const finding& f : made.findings) {
    failed += f.level == severity::failed;
    strained += f.level == severity::strained;
  }
  std::string verdict =
      made.fits ? "FITS: every rule holds"
                : "DOES NOT FIT: " + counted(failed, "check", "checks") + " FAILED, do not build it so";
  if (strained > 0)
    verdict += "; " +
               counted(strained, "wish of a maker or of the job is", "wishes of makers or of the job are") +
               " strained";

  std::string out = heading("Order sheet");
  out += line("verdict", verdict);
  out += line("job", counted(made.runs.size(), "run", "runs") + " in " +
                         counted(p.job().zones.size(), "zone", "zones") + ", " + fixed(tape.v, 2) +
                         " m of tape, " + fixed(made.load.v, 0) + " W of light");
  out += line("parts", counted(made.drivers.size(), "driver", "drivers") + ", " +
                           counted(controllers, "controller", "controllers") + ", " +
                           counted(made.order.size(), "order line", "order lines"));
  out += line("mains", fixed(made.mains.steady.v, 2) + " A in all, at least " +
                           counted(static_cast<std::size_t>(made.mains.breakers), "circuit", "circuits") +
                           ", protective-conductor current " + fixed(made.mains.leakage.v * 1000, 2) + " mA");
  std::string energy = fixed(made.mains.yearly.v, 0) + " kWh a year at full light for " +
                       plain(p.job().rules.yearly_hours.v) + " h";
  if (made.mains.yearly_cost.minor > 0) energy += ", costing " + amount(made.mains.yearly_cost);
  out += line("energy", energy);
  out += line("price",
              amount(made.price) + (made.every_price_known ? "" : " and more: not every price is known"));
  const price_sum& pay = made.to_pay;
  if (pay.discount.minor > 0)
    out += line("less discount", amount(pay.discount) + " leaves " + amount(pay.taxable));
  if (pay.tax.minor > 0) out += line("with tax", amount(pay.tax) + " makes " + amount(pay.gross));
  const bool counted_less = made.capacity_credit.minor > 0;
  if (counted_less) {
    const spare_capacity& spare = made.spare;
    out += line("to spare", fixed(spare.drivers.v, 0) + " W of drivers, " + fixed(spare.controllers.v, 1) +
                                " A of controllers, " + fixed(spare.cables.v, 1) + " A of cables");
    out += line("counts", amount(made.price - made.capacity_credit) + ", the price less " +
                              amount(made.capacity_credit) + " that capacity is worth by the rules");
  }
  // with weights the proof speaks of less
  const std::string others = counted_less ? "controllers, drivers or stock lengths count" : "orders cost";
  out += line("cheapest", made.proven
                              ? "proven: no other " + others + " less"
                              : "not proven: other " + others + " at least " + amount(made.price_at_least));
  return out;
}

constexpr std::size_t of_column = 2;  // of check_list: what a check is of

/// Whether a check that holds is worth a line: near its limit, and of a kind that can be nearer or further.
/// The dark remainder of each run stands in the cutting list.
bool is_told(const finding& f) {
  if (f.code == finding_code::dark_remainder) return f.level > severity::note;
  if (f.level != severity::ok) return true;
  if (f.code == finding_code::tape_ingress || f.code == finding_code::feeder_conductor) return false;
  return f.utilisation >= told_from;
}

/// Puts checks that read the same, but for what they are of, on one line.
void tell(list& told, std::vector<list_cell> row) {
  const auto shown = [&](std::size_t c) { return c != of_column && !told.columns[c].title.empty(); };
  if (!told.rows.empty()) {
    std::vector<list_cell>& last = told.rows.back();
    bool same = true;
    for (std::size_t c = 0; c < row.size(); ++c) same = same && (!shown(c) || row[c] == last[c]);
    if (same) {
      std::get<std::string>(last[of_column]) += ", " + std::get<std::string>(row[of_column]);
      return;
    }
  }
  told.rows.push_back(std::move(row));
}

std::string checks(const planned& p) {
  list all = check_list(p);
  list told = all;
  told.rows.clear();
  std::size_t quiet = 0;
  for (std::size_t i = 0; i < all.rows.size(); ++i) {
    const finding& f = p.plan().findings[i];
    if (is_told(f)) tell(told, std::move(all.rows[i]));
    else ++quiet;
  }
  std::string out = heading(told.title) + text_of(told);
  if (quiet > 0)
    out += "  and " + counted(quiet, "more that holds", "more that hold") + ", most with less than " +
           fixed(100 * told_from, 0) + " % of the limit used (--csv writes all)\n";
  return out;
}

/// Where several feeders go to one terminal they meet in splices.
std::string splices(const planned& p) {
  std::string out;
  for (std::size_t h = 0; h < p.plan().hubs.size(); ++h) {
    const hub_plan& hub = p.plan().hubs[h];
    if (hub.splices <= 0) continue;
    out += "  " + p.hub_name(static_cast<std::int32_t>(h)) + ": its feeders meet in " +
           std::to_string(hub.splices) + " x " +
           std::string{code_of(p.parts(), {part_kind::connector, hub.splice})} + "\n";
  }
  return out;
}

/// Notes for one reader; those with the same text are told once, with all they are about.
std::string notes(const planned& p, note_reader reader, const std::string& title) {
  std::string out;
  std::vector<note_code> told;
  for (const note& n : p.plan().notes) {
    if (reader_of(n.code) != reader || std::find(told.begin(), told.end(), n.code) != told.end()) continue;
    told.push_back(n.code);
    std::string about;
    for (const note& other : p.plan().notes)
      if (other.code == n.code && other.about.kind != subject_kind::job)
        about += (about.empty() ? "" : ", ") + p.subject_name(other.about);
    out += "  - " +
           wrapped((about.empty() ? "" : about + ": ") + std::string{text_of(n.code)}, page_width - 4, 4) +
           "\n";
  }
  return out.empty() ? out : heading(title) + out;
}

}  // namespace

std::string sheet_of(const planned& p) {
  std::string out = summary(p);
  const auto section = [&](const list& shown) {
    if (!shown.rows.empty()) out += heading(shown.title) + text_of(shown);
  };
  section(order_list(p));
  out += "  " + std::string(p.plan().every_price_known ? "total " : "total of the known prices ") +
         amount(p.plan().price) + "\n";
  section(cutting_list(p));
  section(connection_list(p));
  out += splices(p);
  out += checks(p);
  section(reading_list(p));
  out += notes(p, note_reader::everyone, "Cautions");
  out += notes(p, note_reader::electrician, "For the electrician");
  return out;
}

}  // namespace order_sheet
