// SPDX-License-Identifier: BSL-1.0
// From a folder of measured runs and a catalogue to the whole order, as text, CSV and a picture.
#include <iostream>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "input_folder.hpp"
#include "lists.hpp"
#include "network_questions.hpp"
#include "output_files.hpp"
#include "picture.hpp"
#include "planned.hpp"
#include "problem.hpp"
#include "questions.hpp"
#include "sheet.hpp"
#include "tapewright/parts/part_bans.hpp"
#include "tapewright/plan/explain.hpp"
#include "text.hpp"

namespace {

using namespace order_sheet;
using namespace tapewright;

constexpr int fits = 0, does_not_fit = 1, wrong_input = 2;

constexpr std::string_view help =
    R"(order_sheet FOLDER [--csv FOLDER] [--svg FILE] [--without PART]... [QUESTION]...

Plans the LED tape installation described by the CSV files in FOLDER and prints the order sheet: what
to order, where to cut, how to connect, what was checked, what a meter should show.

  --csv FOLDER    also write order.csv, cutting.csv, connections.csv, checks.csv, readings.csv, notes.csv
  --svg FILE      also draw one picture: volts and light along each run, and the block diagram
  --without PART  plan as if the catalogue had no part of this code; may be repeated

Questions, answered in place of the sheet:

  --explain RUN   where does each figure of this run come from, what moves its dimmest lamp and
                  its evenness, how far may its light stray, what would a thicker feeder do?
                  may be repeated
  --since FOLDER  what changed since the job in that folder was planned?
  --other-ways    which orders of another kind would do, and what do they cost?
  --conflict      what of that which is asked for does not go together, and what would help?

  --help          this text

FOLDER holds runs.csv, zones.csv, tapes.csv, tape_channels.csv, controllers.csv, drivers.csv, cables.csv,
connectors.csv, overcurrent.csv and rules.csv, and where they are wanted stretches.csv (corners) and pins.csv (parts
that the job insists on): RFC 4180, UTF-8, decimal dot, a unit in every column name.

Exit codes: 0 every rule holds; 1 a plan was made but a check FAILED; 2 the input or the call is wrong,
or an output file could not be written (nothing is written then).
)";

struct wishes {
  std::string folder, csv_folder, svg_file;
  std::vector<std::string> explain, without;
  std::string since_folder;
  bool other_ways = false, conflict = false;

  bool asks() const { return !explain.empty() || !since_folder.empty() || other_ways || conflict; }
};

/// The command line, or what is wrong with it.
std::optional<wishes> wishes_of(const std::vector<std::string>& words, std::string& wrong) {
  wishes w;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string& word = words[i];
    const bool takes_value =
        word == "--csv" || word == "--svg" || word == "--explain" || word == "--without" || word == "--since";
    if (takes_value && (i + 1 == words.size() || words[i + 1].empty())) {
      wrong = word + " needs a value";
      return {};
    }
    if (word == "--csv") w.csv_folder = words[++i];
    else if (word == "--svg") w.svg_file = words[++i];
    else if (word == "--explain") w.explain.push_back(words[++i]);
    else if (word == "--without") w.without.push_back(words[++i]);
    else if (word == "--since") w.since_folder = words[++i];
    else if (word == "--other-ways") w.other_ways = true;
    else if (word == "--conflict") w.conflict = true;
    else if (word.starts_with("--")) {
      wrong = "no such option: " + word;
      return {};
    } else if (!w.folder.empty()) {
      wrong = "more than one folder: " + word;
      return {};
    } else {
      w.folder = word;
    }
  }
  if (w.folder.empty()) {
    wrong = "no folder named";
    return {};
  }
  return w;
}

/// The place of a run in the plan by its code, or -1.
std::int32_t run_called(const planned& p, const std::string& code) {
  for (std::size_t i = 0; i < p.plan().runs.size(); ++i)
    if (p.run_name(static_cast<std::int32_t>(i)) == code) return static_cast<std::int32_t>(i);
  return -1;
}

int complain(const std::string& what) {
  std::cerr << "order_sheet: " << what << '\n';
  return wrong_input;
}

/// Reads a folder, or prints every problem of every file.
bool read_job(const std::string& folder, input_folder& input) {
  problem_list problems;
  read_folder(folder, input, problems);
  if (problems.empty()) return true;
  problems.print(std::cerr);
  std::cerr << problems.size() << (problems.size() == 1 ? " problem" : " problems")
            << "; nothing was planned and nothing was written\n";
  return false;
}

/// The catalogue's rows less those that --without names, and where they are kept.
struct stock {
  std::vector<cable> cables;
  std::vector<connector> connectors;
  std::vector<controller> controllers;
  std::vector<driver> drivers;
  std::vector<overcurrent_device> devices;
};

/// Every part of a code; a code may stand in several lists.
std::vector<part_ref> parts_called(const catalogue& all, const std::string& code) {
  std::vector<part_ref> found;
  const auto look = [&](part_kind kind, std::size_t rows) {
    for (std::size_t i = 0; i < rows; ++i)
      if (const part_ref p{kind, static_cast<std::int32_t>(i)}; code_of(all, p) == code) found.push_back(p);
  };
  look(part_kind::cable, all.cables.size());
  look(part_kind::connector, all.connectors.size());
  look(part_kind::controller, all.controllers.size());
  look(part_kind::driver, all.drivers.size());
  look(part_kind::overcurrent_device, all.overcurrent_devices.size());
  return found;
}

int answer(const wishes& w) {
  input_folder input;
  if (!read_job(w.folder, input)) return wrong_input;
  catalogue parts = input.parts();
  std::vector<part_ref> bans;
  for (const std::string& code : w.without) {
    const std::vector<part_ref> named = parts_called(parts, code);
    if (named.empty()) return complain("--without " + code + ": no such part; tapes are named by the runs");
    bans.insert(bans.end(), named.begin(), named.end());
  }
  stock kept{std::vector<cable>(parts.cables.size()), std::vector<connector>(parts.connectors.size()),
             std::vector<controller>(parts.controllers.size()), std::vector<driver>(parts.drivers.size()),
             std::vector<overcurrent_device>(parts.overcurrent_devices.size())};
  const auto rest = catalogue_without(
      parts, bans, {kept.cables, kept.connectors, kept.controllers, kept.drivers, kept.devices});
  if (!rest.ok()) return complain("--without: " + allowed_text(rest.why()));
  for (const part_ref& ban : bans)
    for (const zone& z : input.zones)
      if ((ban.kind == part_kind::driver && z.pinned_driver >= 0) ||
          (ban.kind == part_kind::controller && z.pinned_controller >= 0))
        return complain("--without does not go with a pinned part of zone " + std::string{z.code});

  const planned p{input.job(), *rest};
  if (p.why()) return complain("no plan: " + allowed_text(p.why()));

  std::string printed;
  for (const std::string& code : w.explain) {
    const std::int32_t at = run_called(p, code);
    if (at < 0) {
      std::string known;
      for (const tapewright::run& r : input.runs) known += (known.empty() ? "" : ", ") + std::string{r.code};
      return complain("--explain " + code + ": no such run; there are " + known);
    }
    printed += text_from(
        [&](tapewright::text_sink& out) { tapewright::explain(p.plan(), p.job(), p.parts(), at, out); });
    printed += network_text(p, at);
  }
  if (!w.since_folder.empty()) {
    input_folder earlier;
    if (!read_job(w.since_folder, earlier)) return wrong_input;
    const planned was{earlier.job(), earlier.parts()};
    if (was.why()) return complain("no plan of " + w.since_folder + ": " + allowed_text(was.why()));
    printed += changes_text(was, p);
  }
  fault why;
  if (w.other_ways) printed += alternatives_text(p, why);
  if (w.conflict && !why) printed += conflict_text(p, why);
  if (why) return complain("no answer: " + allowed_text(why));
  if (!w.asks()) printed = sheet_of(p);

  output_files files;
  if (!w.csv_folder.empty())
    for (const list& l :
         {order_list(p), cutting_list(p), connection_list(p), check_list(p), reading_list(p), note_list(p)})
      files.add(w.csv_folder + "/" + l.file, csv_of(l));
  if (!w.svg_file.empty()) files.add(w.svg_file, picture_of(p));
  if (const std::string wrong = files.write_all(); !wrong.empty()) return complain(wrong);

  std::cout << printed << std::flush;
  if (!std::cout) return complain("cannot write the sheet to the standard output");
  return p.plan().fits ? fits : does_not_fit;
}

}  // namespace

int main(int argc, char** argv) {
  const std::vector<std::string> words(argv + 1, argv + argc);
  for (const std::string& word : words)
    if (word == "--help") {
      std::cout << help;
      return fits;
    }
  std::string wrong;
  const std::optional<wishes> w = wishes_of(words, wrong);
  if (!w) return complain(wrong + "; see --help");
  return answer(*w);
}
