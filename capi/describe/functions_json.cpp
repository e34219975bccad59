// SPDX-License-Identifier: BSL-1.0
// Writes capi/functions.json: the C interface for programs that bind it, out of the function table, the structure
// table, the fields, and the comments of tapewright.h. Run by capi/record_abi with the path of the header.
#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "capi/function_table.hpp"
#include "capi/struct_table.hpp"
#include "tapewright.h"
#include "tapewright/core/field.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/plan/finding.hpp"
#include "tapewright/plan/notes.hpp"
#include "tapewright/sizing/governing.hpp"

using namespace tapewright;

namespace {

using texts = std::vector<std::string>;

bool begins(std::string_view text, std::string_view with) { return text.substr(0, with.size()) == with; }
bool ends(std::string_view text, std::string_view with) {
  return text.size() >= with.size() && text.substr(text.size() - with.size()) == with;
}
std::string trimmed(std::string_view text) {
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.front()))) text.remove_prefix(1);
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.back()))) text.remove_suffix(1);
  return std::string{text};
}
texts split(const std::string& text, char at) {
  texts parts(1);
  for (const char c : text) {
    if (c == at) parts.emplace_back();
    else parts.back() += c;
  }
  return parts;
}

// ---- tapewright.h, as far as its own layout goes ----------------------------------------------------

/// The words of a comment: stars and line ends taken out, sentences kept on one line.
std::string words_of_comment(std::string_view comment) {
  std::string flat;
  for (const std::string& line : split(std::string{comment}, '\n')) {
    std::string_view words = line;
    const std::string cut = trimmed(words);
    words = cut;
    if (begins(words, "*")) words.remove_prefix(1);
    const std::string kept = trimmed(words);
    if (kept.empty()) continue;
    flat += (flat.empty() ? "" : " ") + kept;
  }
  return flat;
}

/// One thing that the header declares, with the comment above it and the one behind it.
struct declared {
  std::string code, above, behind;
};

/// Cuts the header into declarations. A comment belongs to all declarations below it down to the next blank line;
/// one that stands behind a declaration belongs to that alone.
std::vector<declared> declarations_of(const std::string& text) {
  std::vector<declared> all;
  std::string code, above, line_so_far;
  int braces = 0;
  const auto finish = [&] {
    all.push_back({trimmed(code), above, ""});
    code.clear();
  };
  bool blank_line = true, line_has_code = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (text.compare(i, 2, "/*") == 0) {
      const std::size_t end = text.find("*/", i);
      const std::string comment = words_of_comment(text.substr(i + 2, end - i - 2));
      if (braces > 0) code += "/*" + comment + "*/";
      else if (line_has_code && !all.empty()) all.back().behind += comment;
      else above = comment;
      i = end + 1;
      blank_line = false;
      continue;
    }
    if (c == '\n') {
      if (blank_line && braces == 0) above.clear();
      if (begins(trimmed(code), "#") && !ends(trimmed(code), "\\")) finish();
      blank_line = true;
      line_has_code = false;
      code += ' ';
      continue;
    }
    if (!std::isspace(static_cast<unsigned char>(c))) blank_line = false, line_has_code = true;
    code += c;
    if (begins(trimmed(code), "#")) {
      // a directive whose comment stands behind it is finished there
      if (text.compare(i + 1, 2, "/*") == 0 || text.compare(i + 1, 3, " /*") == 0) {
        if (!ends(trimmed(code), "\\") && begins(trimmed(code), "#define TW_")) finish();
      }
      continue;
    }
    if (trimmed(code) == "extern \"C\" {") {
      finish();
      continue;
    }
    if (c == '{') ++braces;
    if (c == '}') --braces;
    if (c == ';' && braces == 0) finish();
  }
  return all;
}

/// What the header says of its functions, structures and constants, by name.
struct header_texts {
  std::map<std::string, std::string> function;  ///< comment
  std::map<std::string, std::map<std::string, texts>>
      members;                   ///< structure -> member -> type, sizes, comment
  std::vector<texts> constants;  ///< name, value, comment
};

bool is_name(char c) { return std::isalnum(static_cast<unsigned char>(c)) || c == '_'; }

/// `double least, most; /*what is allowed*/`, `char code[32];`, `TW_ROWS(tw_tape) tape;`
void read_members(const std::string& body, std::map<std::string, texts>& into) {
  std::string code;
  texts waiting;  // names whose comment may still come
  for (std::size_t i = 0; i < body.size(); ++i) {
    if (body.compare(i, 2, "/*") == 0) {
      const std::size_t end = body.find("*/", i);
      for (const std::string& name : waiting) into[name][2] = body.substr(i + 2, end - i - 2);
      i = end + 1;
      continue;
    }
    if (body[i] != ';') {
      code += body[i];
      continue;
    }
    waiting.clear();
    const std::string line = trimmed(code);
    code.clear();
    std::size_t at = line.find(begins(line, "TW_ROWS") ? ')' : ' ');
    std::string type = trimmed(line.substr(0, at + 1));
    if (begins(type, "TW_ROWS")) type = "const " + type.substr(8, type.size() - 9) + " *";
    for (const std::string& each : split(line.substr(at + 1), ',')) {
      const std::string whole = trimmed(each);
      const std::size_t bracket = whole.find('[');
      const std::string name = whole.substr(0, bracket);
      into[name] = {type, bracket == std::string::npos ? "" : whole.substr(bracket), ""};
      waiting.push_back(name);
    }
  }
}

header_texts read_header(const std::string& text) {
  header_texts read;
  for (const declared& d : declarations_of(text)) {
    if (begins(d.code, "TW_API")) {
      const std::size_t open = d.code.find('(');
      std::size_t at = open;
      while (is_name(d.code[at - 1])) --at;
      read.function[d.code.substr(at, open - at)] = d.behind.empty() ? d.above : d.behind;
    } else if (begins(d.code, "typedef struct") && d.code.find('{') != std::string::npos) {
      const std::size_t open = d.code.find('{'), close = d.code.rfind('}');
      const std::string name = trimmed(d.code.substr(close + 1, d.code.size() - close - 2));
      read_members(d.code.substr(open + 1, close - open - 1), read.members[name]);
    } else if (begins(d.code, "#define TW_")) {
      const std::string rest = d.code.substr(8);
      const std::size_t space = rest.find(' ');
      if (space == std::string::npos || rest.substr(0, space).find('(') != std::string::npos) continue;
      const std::string name = rest.substr(0, space);
      if (name == "TW_API") continue;
      read.constants.push_back({name, trimmed(rest.substr(space)), d.behind});
    }
  }
  return read;
}

// ---- units, kinds, directions -----------------------------------------------------------------------

/// The unit that a name carries as its last part, as field.hpp spells it; "" for shares, counts and places.
std::string unit_in(const std::string& name) {
  static const std::vector<std::pair<const char*, const char*>> units{{"_ohm_mm2_per_m", "ohm mm2/m"},
                                                                      {"_ohm_per_m", "ohm/m"},
                                                                      {"_w_per_m", "W/m"},
                                                                      {"_minor_per_kwh", "minor units/kWh"},
                                                                      {"_minor", "minor units"},
                                                                      {"_kwh", "kWh"},
                                                                      {"_mm2", "mm2"},
                                                                      {"_ohm", "ohm"},
                                                                      {"_va", "VA"},
                                                                      {"_hz", "Hz"},
                                                                      {"_v", "V"},
                                                                      {"_a", "A"},
                                                                      {"_w", "W"},
                                                                      {"_m", "m"},
                                                                      {"_c", "degC"},
                                                                      {"_s", "s"}};
  for (const auto& [suffix, unit] : units)
    if (ends(name, suffix)) return unit;
  return "";
}
std::string unit_of(field f, const std::string& name) {
  return f != field::none ? std::string{facts_of(f).unit} : unit_in(name);
}

bool is_figure(const capi::entry& e) {
  const std::string_view type = e.type;
  return type == "double" || type == "int32_t" || type == "int64_t";
}
bool is_figure_output(const capi::entry& e) {
  const std::string_view type = e.type;
  return type == "double *" || type == "int32_t *" || type == "int64_t *";
}
/// A number out of a list that stands in no field: the library is asked about itself.
bool is_code(const capi::entry& e) {
  return is_figure(e) && e.answers_to == field::none && !ends(e.name, "stride");
}

/// in: figures, arrays, structures; out: figures, structures, text; room: a block of the caller's; why: the fault.
const char* direction_of(const capi::entry& e) {
  const std::string_view type = e.type;
  if (type == "tw_fault *") return "why";
  if (type == "void *" || std::string_view{e.name} == "workspace") return "room";
  return is_figure(e) || begins(type, "const ") ? "in" : "out";
}

/// scalar: figures in, figures out, what a cell of a sheet can ask. array: the same with arrays in front of their
/// count. columns: row by row. structure, plan: what takes or gives one. text: the library about itself.
const char* kind_of(const std::string& name, const std::string& returns,
                    const std::vector<capi::entry>& arguments) {
  if (returns != "tw_status" || name == "tw_field_range") return "text";
  for (const char* of_plans : {"tw_plan_", "tw_changes_", "tw_alternatives_", "tw_conflict_"})
    if (begins(name, of_plans)) return "plan";
  if (ends(name, "_n")) return "columns";
  bool plain = true, arrays = false;
  for (const capi::entry& e : arguments) {
    const std::string_view type = e.type;
    if (type == "const double *") arrays = true;
    else if (type != "tw_fault *" && !is_figure(e) && !is_figure_output(e)) plain = false;
    if (is_code(e)) plain = false;
  }
  return !plain ? "structure" : arrays ? "array" : "scalar";
}

// ---- JSON -------------------------------------------------------------------------------------------

std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (static_cast<unsigned char>(c) < 0x20) throw std::runtime_error{"a control character in a text"};
    out += c;
  }
  return out + '"';
}
std::string number(double v) {
  if (!std::isfinite(v)) return "null";
  char room[32];
  const auto end = std::to_chars(room, room + sizeof room, v).ptr;
  return {room, end};
}
std::string pair(std::string_view key, const std::string& value) { return quoted(key) + ": " + value; }
std::string object(const texts& pairs) {
  std::string out = "{";
  for (const std::string& p : pairs) out += (out.size() > 1 ? ", " : "") + p;
  return out + "}";
}
std::string list(const texts& items, const std::string& indent) {
  if (items.empty()) return "[]";
  std::string out = "[";
  for (const std::string& i : items) out += (out.size() > 1 ? ",\n" : "\n") + indent + "  " + i;
  return out + "\n" + indent + "]";
}

// ---- the parts of the file --------------------------------------------------------------------------

std::string text_of_constant(const std::string& name, int value) {
  if (begins(name, "TW_FIELD_")) return std::string{facts_of(static_cast<field>(value)).meaning};
  if (begins(name, "TW_LIMIT_")) return std::string{text_of(static_cast<governed>(value))};
  if (begins(name, "TW_FINDING_")) return std::string{facts_of(static_cast<finding_code>(value)).text};
  if (begins(name, "TW_ADVICE_")) return std::string{text_of(static_cast<advice>(value))};
  if (begins(name, "TW_NOTE_")) return std::string{text_of(static_cast<note_code>(value))};
  return "";
}

bool is_status(const std::string& value) { return begins(value, "((tw_status)"); }
int whole(std::string value) {
  value.erase(
      std::remove_if(value.begin(), value.end(), [](char c) { return c == '(' || c == ')' || c == 'u'; }),
      value.end());
  std::size_t used = 0;
  const int v = std::stoi(value, &used);
  if (used != value.size()) throw std::runtime_error{"not a whole number: " + value};
  return v;
}

texts statuses_of(const header_texts& header) {
  texts all;
  for (const texts& c : header.constants) {
    if (!is_status(c[1])) continue;
    const int value = whole(c[1].substr(12));
    all.push_back(object({pair("number", std::to_string(value)), pair("name", quoted(c[0])),
                          pair("text", quoted(text_of(static_cast<fault_code>(value))))}));
  }
  return all;
}
texts constants_of(const header_texts& header) {
  texts all;
  for (const texts& c : header.constants) {
    if (is_status(c[1]) || c[1][0] == '"') continue;
    const int value = whole(c[1]);
    std::string text = text_of_constant(c[0], value);
    if (text.empty()) text = c[2];
    all.push_back(object(
        {pair("name", quoted(c[0])), pair("value", std::to_string(value)), pair("text", quoted(text))}));
  }
  return all;
}
texts fields_of() {
  texts all;
  for (const field_facts& f : field_table)
    all.push_back(
        object({pair("number", std::to_string(static_cast<int>(f.id))), pair("name", quoted(f.name)),
                pair("unit", quoted(f.unit)), pair("least", number(f.least)), pair("most", number(f.most)),
                pair("text", quoted(f.meaning))}));
  return all;
}

/// "[TW_MOST_CORES][TW_COLOUR_BYTES]" in numbers.
texts sizes_of(const std::string& brackets, const header_texts& header) {
  texts sizes;
  for (std::size_t at = 0; at < brackets.size();) {
    const std::size_t end = brackets.find(']', at);
    const std::string inside = brackets.substr(at + 1, end - at - 1);
    std::string value;
    for (const texts& c : header.constants)
      if (c[0] == inside) value = c[1];
    sizes.push_back(value.empty() ? inside : value);
    at = end + 1;
  }
  return sizes;
}

/// What a member is called, for one of which nothing else is said: "worst drop" of worst_drop_v.
std::string words_of_name(std::string name) {
  for (const char* suffix :
       {"_ohm_per_m", "_w_per_m", "_ohm", "_minor", "_kwh", "_mm2", "_va", "_v", "_a", "_w", "_m", "_c"})
    if (ends(name, suffix)) {
      name.resize(name.size() - std::string_view{suffix}.size());
      break;
    }
  std::replace(name.begin(), name.end(), '_', ' ');
  return name == "reserved" ? "0" : name;
}

std::string member_of(const std::string& structure, const capi::member& m, const header_texts& header) {
  const auto found = header.members.find(structure);
  if (found == header.members.end() || found->second.count(m.name) == 0)
    throw std::runtime_error{"not in the header: " + structure + '.' + m.name};
  const texts& said = found->second.at(m.name);
  std::string dimensions;
  for (const std::string& s : sizes_of(said[1], header)) dimensions += (dimensions.empty() ? "" : ", ") + s;
  const field_facts facts = facts_of(m.range);
  const bool ranged =
      m.range != field::none && m.what != capi::shape::struct_size && m.what != capi::shape::text;
  return object(
      {pair("name", quoted(m.name)), pair("type", quoted(m.type)), pair("count", std::to_string(m.count)),
       pair("dimensions", "[" + dimensions + "]"), pair("offset", std::to_string(m.offset)),
       pair("bytes", std::to_string(m.bytes)), pair("field", std::to_string(static_cast<int>(m.range))),
       pair("unit", quoted(unit_of(m.range, m.name))), pair("least", ranged ? number(facts.least) : "null"),
       pair("most", ranged ? number(facts.most) : "null"),
       pair("text", quoted(!said[2].empty()        ? said[2]
                           : facts.meaning.empty() ? words_of_name(m.name)
                                                   : std::string{facts.meaning}))});
}

std::string structure_of(const capi::structure_facts& s, const header_texts& header) {
  texts members;
  for (std::size_t i = 0; i < s.count; ++i) members.push_back(member_of(s.name, s.members[i], header));
  return "{" + pair("name", quoted(s.name)) + ", " + pair("size", std::to_string(s.bytes)) + ", " +
         pair("first_release", std::to_string(s.first_release)) + ",\n     " +
         pair("members", list(members, "    ")) + "}";
}

texts structures_of(const header_texts& header) {
  texts all;
  for (const capi::structure_facts& s : capi::structure_table) all.push_back(structure_of(s, header));
  return all;
}

std::string argument_of(const capi::entry& e) {
  const field_facts facts = facts_of(e.answers_to);
  // one row of a column has the range of its field
  const bool column = std::string_view{e.type} == "const double *" && e.answers_to != field::none;
  return object({pair("name", quoted(e.name)), pair("type", quoted(e.type)),
                 pair("direction", quoted(direction_of(e))),
                 pair("field", std::to_string(static_cast<int>(e.answers_to))),
                 pair("unit", quoted(unit_of(e.answers_to, e.name))),
                 pair("least", number(column ? facts.least : e.least)),
                 pair("most", number(column ? facts.most : e.most)),
                 pair("text", quoted(e.text[0] == 0 ? facts.meaning : std::string_view{e.text}))});
}

texts functions_of(const header_texts& header) {
  texts all;
  const std::size_t entries = std::size(capi::function_table);
  for (std::size_t i = 0; i < entries;) {
    const capi::entry& f = capi::function_table[i];
    std::vector<capi::entry> arguments;
    for (++i; i < entries && !capi::function_table[i].is_function; ++i)
      arguments.push_back(capi::function_table[i]);
    texts described;
    for (const capi::entry& a : arguments) described.push_back(argument_of(a));
    const auto doc = header.function.find(f.name);
    if (doc == header.function.end()) throw std::runtime_error{std::string{"not in the header: "} + f.name};
    all.push_back("{" + pair("name", quoted(f.name)) + ", " + pair("returns", quoted(f.type)) + ", " +
                  pair("kind", quoted(kind_of(f.name, f.type, arguments))) + ", " +
                  pair("text", quoted(f.text)) + ",\n     " + pair("doc", quoted(doc->second)) + ",\n     " +
                  pair("arguments", list(described, "    ")) + "}");
  }
  return all;
}

}  // namespace

int main(int argc, char** argv) try {
  if (argc != 2) throw std::runtime_error{"usage: functions_json TAPEWRIGHT_H"};
  std::ifstream file{argv[1], std::ios::binary};
  if (!file) throw std::runtime_error{std::string{"cannot read "} + argv[1]};
  const header_texts header = read_header({std::istreambuf_iterator<char>{file}, {}});
  std::cout << "{\n  " << pair("library", quoted("tapewright")) << ",\n  "
            << pair("version", quoted(TW_VERSION_TEXT)) << ",\n  "
            << pair("abi", std::to_string(TW_ABI_VERSION)) << ",\n  "
            << pair("statuses", list(statuses_of(header), "  ")) << ",\n  "
            << pair("constants", list(constants_of(header), "  ")) << ",\n  "
            << pair("fields", list(fields_of(), "  ")) << ",\n  "
            << pair("structs", list(structures_of(header), "  ")) << ",\n  "
            << pair("functions", list(functions_of(header), "  ")) << "\n}\n";
} catch (const std::exception& e) {
  std::cerr << e.what() << '\n';
  return 1;
}
