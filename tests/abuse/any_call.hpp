// SPDX-License-Identifier: BSL-1.0
// Any function of the C interface called with arguments made of bytes: figures inside and outside their ranges,
// structures of every size, lists, blocks, plans and what is none. What a caller owes to a C function is kept (memory
// that is as long as he says, exactly so that a sanitizer sees one byte more); everything else is tried. After each call
// the promises of tapewright.h are held: poison on refusal, the fault told, the same answer when asked again.
#pragma once

#include <bit>
#include <cfenv>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <memory>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <vector>

#include "capi/function_table.hpp"
#include "capi/struct_table.hpp"
#include "tapewright.h"
#include "tests/support/small_job.hpp"
#include "tests/unit/capi/c_rows.hpp"

namespace tapewright::abuse {

[[noreturn]] inline void broken(const char* function, const char* promise) {
  std::fprintf(stderr, "%s: broken promise: %s\n", function, promise);
  std::abort();
}

/// Bytes that decide; zeros when they are used up.
struct choices {
  const std::uint8_t* at = nullptr;
  const std::uint8_t* end = nullptr;

  std::uint8_t byte() { return at == end ? std::uint8_t{0} : *at++; }
  std::uint64_t word(int bytes) {
    std::uint64_t w = 0;
    for (int i = 0; i < bytes; ++i) w = w << 8 | byte();
    return w;
  }
  std::uint32_t below(std::uint32_t n) { return static_cast<std::uint32_t>(word(2) % n); }
  bool one_in(std::uint32_t n) { return below(n) == n - 1; }
};

/// A figure: mostly inside its range, often on its edge, sometimes what no range allows.
inline double figure(choices& c, double least, double most) {
  const bool ranged = least <= most;
  switch (c.below(20)) {
    case 0: {
      const auto any = std::bit_cast<double>(c.word(8));
      return any != any ? std::numeric_limits<double>::quiet_NaN() : any;  // one that signals may signal
    }
    case 1: {
      constexpr double odd[] = {std::numeric_limits<double>::quiet_NaN(),
                                std::numeric_limits<double>::infinity(),
                                -std::numeric_limits<double>::infinity(),
                                -0.0,
                                5e-324,
                                -5e-324,
                                1.7976931348623157e308,
                                -1};
      return odd[c.below(8)];
    }
    case 2: return ranged ? std::nextafter(least, -1e308) : -1;
    case 3: return ranged ? std::nextafter(most, 1e308) : 1;
    case 4: return ranged ? least : 0;
    case 5: return ranged ? most : 1;
    case 6:
    case 7:
    case 8:
    case 9: return ranged ? std::fmin(most, std::fmax(least, 0.25 * c.below(256))) : 0.25 * c.below(256);
    case 10:
    case 11:
    case 12:  // small figures of a wide range
      return ranged ? least + (most - least) *
                                  std::ldexp(1.0 + c.below(256) / 256.0, -1 - static_cast<int>(c.below(30)))
                    : 1;
    default:
      return ranged ? least + (most - least) * (static_cast<double>(c.word(2)) / 65536) : c.below(1000);
  }
}
inline std::int64_t whole(choices& c, double least, double most) {
  const bool ranged = least <= most;
  switch (c.below(16)) {
    case 0: return static_cast<std::int64_t>(c.word(8));
    case 1: return ranged ? static_cast<std::int64_t>(least) - 1 : -1;
    case 2: return ranged ? static_cast<std::int64_t>(most) + 1 : 1000;
    case 3: return ranged ? static_cast<std::int64_t>(most) : 10;
    default: {
      const double span = ranged ? std::fmin(most - least, 300) : 150;
      return (ranged ? static_cast<std::int64_t>(least) : 0) + c.below(static_cast<std::uint32_t>(span) + 1);
    }
  }
}

/// The job that structures are taken from, so that many of them make sense; and its plan.
inline const test::c_question& small_question() {
  static const test::c_question q{small_job::question(), small_job::parts};
  return q;
}
struct made_plan {
  std::vector<double> room;
  tw_plan* plan = nullptr;

  made_plan() {
    std::int64_t bytes = 0;
    if (tw_plan_bytes(&small_question().job, &small_question().catalogue, &bytes, nullptr) != TW_OK)
      broken("tw_plan_bytes", "the small job is planned");
    room.resize(static_cast<std::size_t>(bytes) / 8 + 1);
    if (tw_plan_make(&small_question().job, &small_question().catalogue, room.data(), bytes, &plan,
                     nullptr) != TW_OK)
      broken("tw_plan_make", "the small job is planned");
  }
};
inline const tw_plan* small_plan() {
  static const made_plan made;
  return made.plan;
}

/// What came of what-if questions about the small job, and about one with a longer run that no wiring can feed.
struct made_what_if {
  std::vector<double> other_room, changes_room, alternatives_room, conflict_room;
  tw_changes* changes = nullptr;
  tw_alternatives* alternatives = nullptr;
  tw_conflict* conflict = nullptr;

  explicit made_what_if(const tw_plan* plan) {
    const test::c_question& q = small_question();
    test::c_question other{small_job::question(), small_job::parts};
    other.runs[0].measured_m += 0.8, other.rules.drop_to_lamp = 0.001;
    tw_plan* after = nullptr;
    std::int64_t bytes = 0;
    std::int32_t count = 0;
    const auto room = [&](std::vector<double>& block) {
      block.resize(static_cast<std::size_t>(bytes) / 8 + 1);
      return static_cast<void*>(block.data());
    };
    bool made = tw_plan_bytes(&other.job, &other.catalogue, &bytes, nullptr) == TW_OK;
    made =
        made && tw_plan_make(&other.job, &other.catalogue, room(other_room), bytes, &after, nullptr) == TW_OK;
    made = made && tw_changes_bytes(plan, after, &bytes, nullptr) == TW_OK;
    made =
        made && tw_changes_make(plan, after, room(changes_room), bytes, &changes, &count, nullptr) == TW_OK;
    made = made && tw_alternatives_bytes(&q.job, &q.catalogue, nullptr, &bytes, nullptr) == TW_OK;
    made = made && tw_alternatives_make(&q.job, &q.catalogue, nullptr, room(alternatives_room), bytes,
                                        &alternatives, &count, nullptr) == TW_OK;
    made = made && tw_conflict_bytes(&other.job, &other.catalogue, nullptr, &bytes, nullptr) == TW_OK;
    made = made && tw_conflict_make(&other.job, &other.catalogue, nullptr, room(conflict_room), bytes,
                                    &conflict, nullptr) == TW_OK;
    if (!made) broken("tw_changes_make", "what-if questions about the small job are answered");
  }
};
/// A thread's own: a plan in full is written into the block of its alternatives.
inline const made_what_if& small_what_if() {
  thread_local const made_what_if made{small_plan()};
  return made;
}

/// A network of two hubs and two runs, one of two stretches, as lists that one call may spoil.
struct small_network {
  std::vector<tw_tape> tapes;
  std::vector<tw_network_hub> hubs;
  std::vector<tw_network_run> runs;
  std::vector<tw_network_stretch> stretches;
  std::vector<tw_network_feed> feeds;
  tw_network all{};

  small_network() {
    tapes = small_question().tapes;
    hubs.resize(2), runs.resize(2), stretches.resize(3), feeds.resize(3);
    for (tw_network_hub& h : hubs)
      h.struct_size = sizeof h, h.supply_ohm = 0.05, h.duty[0] = 0.5, h.duty[1] = 0.3;
    for (tw_network_run& r : runs) {
      r.struct_size = sizeof r, r.stretches = 1, r.feeds = 1, r.lit = TW_ALL_LIT, r.common_ohm = 0.02;
      r.ambient_c = 25, r.warming_k_m_per_w = 2;
    }
    for (tw_network_stretch& s : stretches)
      s.struct_size = sizeof s, s.tape = 1, s.segments = 6, s.trace_c = 30;
    for (tw_network_feed& f : feeds) f.struct_size = sizeof f;
    runs[0].stretches = 2, runs[0].feeds = 2, runs[1].hub = 1, stretches[2].tape = 0, feeds[1].place = 12;
    all.struct_size = sizeof all, all.source_v = 24, all.lead_ohm = 0.01;
    point();
  }
  small_network(const small_network& other)
      : tapes{other.tapes},
        hubs{other.hubs},
        runs{other.runs},
        stretches{other.stretches},
        feeds{other.feeds},
        all{other.all} {
    point();
  }
  small_network& operator=(const small_network& other) {
    tapes = other.tapes, hubs = other.hubs, runs = other.runs, stretches = other.stretches,
    feeds = other.feeds;
    all = other.all;
    point();
    return *this;
  }

 private:
  void point() {
    all.tapes = static_cast<std::int32_t>(tapes.size()), all.tape.at = tapes.data();
    all.hubs = static_cast<std::int32_t>(hubs.size()), all.hub.at = hubs.data();
    all.runs = static_cast<std::int32_t>(runs.size()), all.run.at = runs.data();
    all.stretches = static_cast<std::int32_t>(stretches.size()), all.stretch.at = stretches.data();
    all.feeds = static_cast<std::int32_t>(feeds.size()), all.feed.at = feeds.data();
  }
};
template <class C>
void change(C& structure, choices& c);
/// The network with up to three members of its rows changed; it stays until the thread's next one.
inline const tw_network& spoilt_network(choices& c) {
  static const small_network sound;
  thread_local small_network one;
  one = sound;
  const auto spoil = [&](auto& rows) { change(rows[c.below(static_cast<std::uint32_t>(rows.size()))], c); };
  for (std::uint32_t changes = c.below(4); changes > 0; --changes) switch (c.below(5)) {
      case 0: spoil(one.tapes); break;
      case 1: spoil(one.hubs); break;
      case 2: spoil(one.runs); break;
      case 3: spoil(one.stretches); break;
      default: spoil(one.feeds);
    }
  return one.all;
}
inline tw_tolerances small_tolerances() {
  tw_tolerances t{};
  t.struct_size = sizeof t;
  t.source_least = 0.98, t.source_most = 1.02, t.load_least = t.trace_least = 0.95,
  t.load_most = t.trace_most = 1.05, t.length_least = t.length_most = 1;
  t.cable_least = 0.9, t.cable_most = 1.1, t.contact_least = 0.8, t.contact_most = 1.25;
  return t;
}
struct made_network {
  std::vector<double> room, dimmed_room, slopes_room, bounds_room;
  tw_solved* solved = nullptr;
  tw_dimmed* dimmed = nullptr;
  tw_sensitivity* sensitivity = nullptr;
  tw_bounds* bounds = nullptr;

  made_network() {
    const small_network n;
    std::int64_t bytes = 0;
    tw_network_figures figures{};
    tw_dimmed_figures dimmed_figures{};
    figures.struct_size = sizeof figures, dimmed_figures.struct_size = sizeof dimmed_figures;
    if (tw_network_workspace(&n.all, &bytes, nullptr) != TW_OK)
      broken("tw_network_workspace", "the small network is measured");
    room.resize(static_cast<std::size_t>(bytes) / 8 + 1);
    dimmed_room.resize(room.size());
    if (tw_solve_network(&n.all, room.data(), bytes, &solved, &figures, nullptr) != TW_OK ||
        tw_solve_dimmed_network(&n.all, dimmed_room.data(), bytes, &dimmed, &dimmed_figures, nullptr) !=
            TW_OK)
      broken("tw_solve_network", "the small network is solved");
    if (tw_question_workspace(&n.all, &bytes, nullptr) != TW_OK)
      broken("tw_question_workspace", "the small network is measured");
    slopes_room.resize(static_cast<std::size_t>(bytes) / 8 + 1);
    tw_load_sensitivity load{};
    load.struct_size = sizeof load;
    if (tw_network_sensitivity(&n.all, 0, 0, -1, slopes_room.data(), bytes, &sensitivity, &load, nullptr) !=
        TW_OK)
      broken("tw_network_sensitivity", "the small network has derivatives");
    small_network one_feed;
    one_feed.runs[0].feeds = 1, one_feed.feeds.erase(one_feed.feeds.begin() + 1), one_feed.all.feeds = 2;
    bounds_room.resize(slopes_room.size());
    const tw_tolerances t = small_tolerances();
    if (tw_network_bounds(&one_feed.all, &t, bounds_room.data(), bytes, &bounds, nullptr) != TW_OK)
      broken("tw_network_bounds", "the small network has bounds");
  }
};
inline const made_network& small_solved() {
  static const made_network made;
  return made;
}

inline tw_terms some_terms() {
  tw_terms terms{};
  terms.struct_size = sizeof terms, terms.discount_bp = 500, terms.tax_bp = 2000;
  terms.rounding = TW_ROUNDING_TOTAL, terms.cut_fee_minor = 120, terms.search_steps = 5000;
  return terms;
}

/// A structure that makes sense, to start from; false where there is none.
template <class C>
bool example(C& into, choices& c) {
  const test::c_question& q = small_question();
  const auto pick = [&](const auto& rows) { into = rows[c.below(static_cast<std::uint32_t>(rows.size()))]; };
  if constexpr (std::is_same_v<C, tw_tape>) pick(q.tapes);
  else if constexpr (std::is_same_v<C, tw_cable>) pick(q.cables);
  else if constexpr (std::is_same_v<C, tw_connector>) pick(q.connectors);
  else if constexpr (std::is_same_v<C, tw_controller>) pick(q.controllers);
  else if constexpr (std::is_same_v<C, tw_driver>) pick(q.drivers);
  else if constexpr (std::is_same_v<C, tw_overcurrent_device>) pick(q.devices);
  else if constexpr (std::is_same_v<C, tw_job>) into = q.job;
  else if constexpr (std::is_same_v<C, tw_catalogue>) into = q.catalogue;
  else if constexpr (std::is_same_v<C, tw_terms>) into = some_terms();
  else if constexpr (std::is_same_v<C, tw_network>) into = spoilt_network(c);
  else if constexpr (std::is_same_v<C, tw_dimmed_question>) {
    into.channels = 2, into.on_a[0] = 1.5, into.on_a[1] = 2, into.duty[0] = 0.5, into.duty[1] = 0.25;
    into.phase[1] = 0.4;
  } else if constexpr (std::is_same_v<C, tw_tolerances>) {
    into = small_tolerances();
  } else if constexpr (std::is_same_v<C, tw_feeder_question>) {
    into.channels = 2, into.method = TW_METHOD_B2, into.circuits_grouped = 1;
    into.channel_a[0] = 1.5, into.channel_a[1] = 2, into.one_way_m = 4, into.nominal_v = 24,
    into.drop_limit = 0.03;
    into.ambient_c = 35, into.copper_c = 70;
  } else if constexpr (std::is_same_v<C, tw_line_question>) {
    into.lit = TW_ALL_LIT, into.segments = 1 + c.below(100), into.trace_c = 40, into.source_v = 24,
    into.feed_common_ohm = 0.05;
  } else if constexpr (std::is_same_v<C, tw_driver_duty>) {
    into.mount = TW_MOUNT_ANY, into.load_w = 40, into.headroom = 0.1, into.ambient_c = 35,
    into.nominal_v = 24, into.mains_v = 230;
  } else if constexpr (std::is_same_v<C, tw_controller_duty>) {
    into.channels = 1, into.channel_a[0] = 2, into.input_v = 24, into.ambient_c = 30;
  } else if constexpr (std::is_same_v<C, tw_connector_duty>) {
    into.poles = 2, into.ways = 2, into.pole_a = 2, into.voltage_v = 24, into.ambient_c = 35,
    into.conductor_mm2 = 1, into.curve_factor = 0.8;
  } else if constexpr (std::is_same_v<C, tw_overcurrent_duty>) {
    into.load_a = 4, into.ampacity_a = 14, into.voltage_v = 24, into.fault_loop_ohm = 0.2,
    into.load_factor = 1;
  } else if constexpr (std::is_same_v<C, tw_ampacity_question>) {
    into.method = TW_METHOD_B2, into.conductor_system = TW_SYSTEM_CLASS_5, into.loaded_conductors = 2,
    into.circuits_grouped = 1;
    into.area_mm2 = 1.5, into.conductor_limit_c = 70, into.ambient_c = 35;
  } else return false;
  return true;
}

/// Another value in one member of a structure. Pointers stay, and so do counts of rows behind them.
inline void change_member(unsigned char* structure, const capi::member& m, choices& c) {
  const field_facts f = facts_of(m.range);
  const bool ranged = m.range != field::none && m.what != capi::shape::text;
  const double least = ranged ? f.least : 1, most = ranged ? f.most : 0;
  const std::string_view name = m.name;
  switch (m.what) {
    case capi::shape::struct_size:
    case capi::shape::pointer: return;
    case capi::shape::number: {
      const double v = figure(c, least, most);
      std::memcpy(structure + m.offset + 8 * c.below(m.count), &v, 8);
      return;
    }
    case capi::shape::large: {
      // as many segments as are solved in a moment
      const std::int64_t v = name == "segments" ? whole(c, 1, 200) % 1000 : whole(c, least, most);
      std::memcpy(structure + m.offset, &v, 8);
      return;
    }
    case capi::shape::text:
      for (std::uint32_t i = 0; i < 1 + c.below(4); ++i) structure[m.offset + c.below(m.bytes)] = c.byte();
      return;
    case capi::shape::nested: return;  // changed by the caller, who knows its members
    case capi::shape::whole:
    case capi::shape::place:
    case capi::shape::reserved: {
      if (m.range == field::row_count || m.range == field::tape_count || m.range == field::zone_count ||
          m.range == field::run_count)
        return;
      auto v = static_cast<std::int32_t>(whole(c, least, most));
      if (name == "most_solves") v %= 50;
      std::memcpy(structure + m.offset, &v, 4);
      return;
    }
  }
}
template <class C>
void change(C& structure, choices& c) {
  const capi::member& m =
      capi::layout<C>::members[c.below(static_cast<std::uint32_t>(capi::layout<C>::count))];
  if constexpr (std::is_same_v<C, tw_tape>) {
    if (m.what == capi::shape::nested) {
      using channel = capi::layout<tw_tape_channel>;
      change_member(reinterpret_cast<unsigned char*>(&structure.channel[c.below(TW_MOST_CHANNELS)]),
                    channel::members[c.below(static_cast<std::uint32_t>(channel::count))], c);
      return;
    }
  }
  change_member(reinterpret_cast<unsigned char*>(&structure), m, c);
}

// ---- one call -----------------------------------------------------------------------------------------

/// The arguments of one call, in order, and what they point at, as long as it is used.
class arguments_of_call {
 public:
  arguments_of_call(choices& c, std::string_view function, const capi::entry* first)
      : c_{c}, columns_{function.ends_with("_n")}, entry_{first} {}

  template <class T>
  T next() {
    const capi::entry& e = *entry_++;
    const std::string_view name = e.name;
    if constexpr (std::is_same_v<T, double>) return figure(c_, e.least, e.most);
    else if constexpr (std::is_same_v<T, std::int32_t>)
      return static_cast<std::int32_t>(next_count(e, rows_));
    else if constexpr (std::is_same_v<T, std::int64_t>) {
      if (name.ends_with("stride")) return c_.below(4);
      if (name == "rows") return c_.one_in(20) ? (c_.one_in(2) ? -1 : 2'000'000'000) : c_.below(17);
      return next_count(e, bytes_);
    } else if constexpr (std::is_same_v<T, tw_fault*>) {
      if (c_.one_in(4)) return nullptr;
      why_ = static_cast<tw_fault*>(made(sizeof(tw_fault)));
      std::memset(static_cast<void*>(why_), 0xee, sizeof *why_);
      why_->struct_size =
          c_.one_in(20) ? static_cast<std::uint32_t>(c_.word(4)) : std::uint32_t{sizeof *why_};
      if (why_->struct_size > sizeof *why_ && why_->struct_size <= sizeof *why_ + 4096)
        why_->struct_size = sizeof *why_;
      return why_;
    } else if constexpr (std::is_same_v<T, const tw_plan*>) {
      if (c_.one_in(30)) return nullptr;
      if (!c_.one_in(30)) return small_plan();
      return static_cast<const tw_plan*>(made(4096));  // zeros: no plan
    } else if constexpr (std::is_same_v<T, const tw_solved*> || std::is_same_v<T, const tw_dimmed*> ||
                         std::is_same_v<T, const tw_sensitivity*> || std::is_same_v<T, const tw_bounds*>) {
      if (c_.one_in(30)) return nullptr;
      if (c_.one_in(30)) return static_cast<T>(made(4096));  // zeros: nothing solved
      if constexpr (std::is_same_v<T, const tw_solved*>) return small_solved().solved;
      else if constexpr (std::is_same_v<T, const tw_dimmed*>) return small_solved().dimmed;
      else if constexpr (std::is_same_v<T, const tw_sensitivity*>) return small_solved().sensitivity;
      else return small_solved().bounds;
    } else if constexpr (std::is_same_v<T, const tw_changes*> || std::is_same_v<T, const tw_alternatives*> ||
                         std::is_same_v<T, tw_alternatives*> || std::is_same_v<T, const tw_conflict*>) {
      if (c_.one_in(30)) return nullptr;
      if (c_.one_in(30)) return static_cast<T>(made(4096));  // zeros: nothing finished
      if constexpr (std::is_same_v<T, const tw_changes*>) return small_what_if().changes;
      else if constexpr (std::is_same_v<T, const tw_conflict*>) return small_what_if().conflict;
      else return small_what_if().alternatives;
    } else if constexpr (std::is_same_v<T, tw_changes**> || std::is_same_v<T, tw_alternatives**> ||
                         std::is_same_v<T, tw_conflict**> || std::is_same_v<T, tw_plan**> ||
                         std::is_same_v<T, tw_solved**> || std::is_same_v<T, tw_dimmed**> ||
                         std::is_same_v<T, tw_sensitivity**> || std::is_same_v<T, tw_bounds**>) {
      if (!std::is_same_v<T, tw_plan**> && c_.one_in(40)) return nullptr;
      auto** handle = static_cast<void**>(made(sizeof(void*)));
      *handle = handle;
      handle_ = handle;
      return reinterpret_cast<T>(handle);
    } else if constexpr (std::is_same_v<T, void*> || std::is_same_v<T, char*>) {
      return static_cast<T>(room(1));
    } else {
      return pointer<std::remove_pointer_t<T>>(e, name);
    }
  }

  /// Poison where there is no answer; the fault told.
  void hold(const char* function, tw_status status) const {
    if (status < TW_OK || status > TW_UNREACHABLE) broken(function, "a status is one of the list");
    const bool told = why_ != nullptr && why_->struct_size == sizeof *why_;
    if (told && why_->code != status) broken(function, "the fault has the status returned");
    if (status == TW_OK) return;
    if (handle_ != nullptr && *handle_ != nullptr) broken(function, "no handle without TW_OK");
    for (const output& o : outputs_) {
      if (o.structure == nullptr) {
        if (o.stays || columns_) continue;
        if (!is_poison(o.at, o.bytes, o.number)) broken(function, "a figure is poisoned when it is refused");
      } else {
        hold_structure(function, o);
      }
    }
  }

 private:
  struct output {
    const unsigned char* at;
    std::size_t bytes;
    bool number, stays;  ///< `wanted` is told all the same
    const capi::structure_facts* structure;
  };

  void* made(std::size_t bytes) {
    owned_.push_back(std::make_unique<unsigned char[]>(bytes + (bytes == 0)));
    return owned_.back().get();
  }
  /// Room of a length that the next count tells.
  void* room(std::int64_t unit) {
    if (c_.one_in(20)) return bytes_ = 0, nullptr;
    constexpr std::int64_t lengths[] = {0, 1, 7, 64, 500, 4000, 30'000, 200'000};
    const std::int64_t length = lengths[c_.below(8)];
    bytes_ = length;
    void* block = made(static_cast<std::size_t>(length * unit) + 4);
    return c_.one_in(30) ? static_cast<unsigned char*>(block) + 4 : block;
  }
  /// A count: what is there, fewer, or nothing that a count may be; a plain figure where nothing waits for one.
  std::int64_t next_count(const capi::entry& e, std::int64_t& waiting) {
    if (e.answers_to == field::place && !c_.one_in(4)) return c_.below(5);  // lists are short
    if (waiting < 0)
      return e.answers_to == field::segment_count ? whole(c_, 1, 300) % 2000 : whole(c_, e.least, e.most);
    const std::int64_t there = waiting;
    waiting = -1;
    return c_.one_in(10) ? (c_.one_in(2) ? -1 : there / 2) : there;
  }

  template <class P>
  P* pointer(const capi::entry& e, std::string_view name) {
    using value = std::remove_const_t<P>;
    const bool list = list_follows(name);
    if (c_.one_in(40)) {
      if (list) rows_ = 0;
      return nullptr;
    }
    if constexpr (std::is_same_v<P, double> || std::is_same_v<P, std::int32_t> ||
                  std::is_same_v<P, std::int64_t>) {
      if constexpr (std::is_same_v<P, double>) {
        if (std::string_view{e.text}.find("room for six") != std::string_view::npos)
          return static_cast<double*>(made(TW_MOST_CHANNELS * sizeof(double)));
        if (std::string_view{e.text}.find("may be null") != std::string_view::npos || name == "workspace" ||
            name == "light") {
          const bool second = name == "load_a";  // both have room for `loads`
          if (second && bytes_ >= 0) return static_cast<double*>(made(static_cast<std::size_t>(bytes_) * 8));
          return static_cast<double*>(room_of_doubles());
        }
      }
      auto* at = static_cast<value*>(made(sizeof(value) * (columns_ ? 64 : 1)));
      outputs_.push_back({reinterpret_cast<const unsigned char*>(at), sizeof(value),
                          std::is_same_v<value, double>, name == "wanted", nullptr});
      std::memset(at, 0x11, sizeof(value));
      return at;
    } else if constexpr (std::is_same_v<P, const double> || std::is_same_v<P, const std::int64_t> ||
                         std::is_same_v<P, const std::int32_t>) {
      const field_facts f = facts_of(e.answers_to);
      const bool ranged = e.answers_to != field::none;
      auto* at = static_cast<value*>(made(sizeof(value) * 64));
      for (int i = 0; i < 8; ++i)
        at[i] = static_cast<value>(ranged ? figure_or_zero<value>(f.least, f.most)
                                          : figure_or_zero<value>(0, 100));
      return at;
    } else if constexpr (std::is_const_v<P>) {
      return structures<value>(list);
    } else {
      return out_structure<value>();
    }
  }
  template <class T>
  double figure_or_zero(double least, double most) {
    const double v = figure(c_, least, most);
    return std::is_same_v<T, double> || (v > -1e9 && v < 1e9) ? v : 0;
  }
  void* room_of_doubles() {
    void* at = room(8);
    // an address that a double may have
    return reinterpret_cast<std::uintptr_t>(at) % 8 == 0 ? at : (bytes_ = 0, nullptr);
  }
  /// "cable" followed by "cables": a list and its count.
  bool list_follows(std::string_view name) const {
    return std::string_view{entry_->name} == std::string{name} + "s";
  }

  template <class C>
  std::uint32_t some_size() {
    if (!c_.one_in(12)) return sizeof(C);
    const std::uint32_t sizes[] = {0,
                                   4,
                                   capi::layout<C>::first_release - 1,
                                   capi::layout<C>::first_release,
                                   sizeof(C) + 8,
                                   sizeof(C) + 4096,
                                   sizeof(C) + 4097,
                                   0xffffffffu};
    return sizes[c_.below(8)];
  }
  static bool is_taken(std::uint32_t size, std::uint32_t first, std::size_t known) {
    return size >= first && size <= known + 4096;
  }

  template <class C>
  C* structures(bool list) {
    const std::uint32_t size = some_size<C>();
    const std::size_t room = is_taken(size, capi::layout<C>::first_release, sizeof(C)) ? size : sizeof(C);
    const std::size_t rows = list ? c_.below(4) : 1;
    auto* at = static_cast<unsigned char*>(made(room * rows));
    for (std::size_t i = 0; i < rows; ++i) {
      C one{};
      if (!example(one, c_) || c_.one_in(8))
        for (std::size_t m = 0; m < capi::layout<C>::count; ++m)
          change_member(reinterpret_cast<unsigned char*>(&one), capi::layout<C>::members[m], c_);
      for (std::uint32_t changes = c_.below(4); changes > 0; --changes) change(one, c_);
      if constexpr (requires { one.struct_size; }) one.struct_size = size;
      std::memcpy(at + i * room, &one, room < sizeof one ? room : sizeof one);
    }
    if (room > sizeof(C) && rows > 0 && c_.one_in(3)) at[room - 1] = 1;  // a newer member that is not 0
    if (list) rows_ = static_cast<std::int64_t>(rows);
    return reinterpret_cast<C*>(at);
  }
  template <class C>
  C* out_structure() {
    const std::uint32_t size = some_size<C>();
    const bool taken = is_taken(size, capi::layout<C>::first_release, sizeof(C));
    const std::size_t room = taken ? size : sizeof(C);
    auto* at = static_cast<unsigned char*>(made(room));
    std::memset(at, 0x11, room);
    std::memcpy(at, &size, sizeof size);
    static constexpr capi::structure_facts facts{capi::layout<C>::name, sizeof(C),
                                                 capi::layout<C>::first_release, capi::layout<C>::members,
                                                 capi::layout<C>::count};
    if (taken) outputs_.push_back({at, room, false, false, &facts});
    return reinterpret_cast<C*>(at);
  }

  static bool is_poison(const unsigned char* at, std::size_t bytes, bool number) {
    if (number) {
      double v = 0;
      std::memcpy(&v, at, sizeof v);
      return v != v;
    }
    for (std::size_t i = 0; i < bytes; ++i)
      if (at[i] != 0) return false;
    return true;
  }
  static void hold_structure(const char* function, const output& o) {
    for (std::size_t i = 0; i < o.structure->count; ++i) {
      const capi::member& m = o.structure->members[i];
      if (m.what == capi::shape::struct_size || m.offset + m.bytes > o.bytes) continue;
      if (m.what == capi::shape::place) {
        std::int32_t v = 0;
        std::memcpy(&v, o.at + m.offset, sizeof v);
        if (v != -1) broken(function, "a place is -1 when it is refused");
        continue;
      }
      const bool number = m.what == capi::shape::number;
      const std::size_t step = number ? 8 : m.bytes;
      for (std::size_t at = 0; at < m.bytes; at += step)
        if (!is_poison(o.at + m.offset + at, step, number))
          broken(function, "a structure is poisoned when it is refused");
    }
  }

  choices& c_;
  bool columns_;
  const capi::entry* entry_;
  std::vector<std::unique_ptr<unsigned char[]>> owned_;
  std::vector<output> outputs_;
  std::int64_t bytes_ = -1, rows_ = -1;
  tw_fault* why_ = nullptr;
  void** handle_ = nullptr;
};

/// What is done about floating-point flags in a call: nothing, reading them, or ending the program at the first.
enum class watch { nothing, flags, trap };
inline watch watched = watch::nothing;
inline int flags_of_call = 0;
inline int forbidden_flags = FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW;

template <class Call>
auto watching(Call call) {
  if (watched == watch::nothing) return call();
  std::feclearexcept(FE_ALL_EXCEPT);
#if defined(__GLIBC__)
  if (watched == watch::trap) feenableexcept(forbidden_flags);
#endif
  const auto result = call();
#if defined(__GLIBC__)
  fedisableexcept(forbidden_flags);
#endif
  flags_of_call = std::fetestexcept(forbidden_flags);
  return result;
}

template <auto Function>
struct caller;
template <class Result, class... Arguments, Result (*Function)(Arguments...)>
struct caller<Function> {
  static int call(choices& c, const char* name, const capi::entry* first) {
    arguments_of_call made{c, name, first};
    std::tuple<Arguments...> arguments{made.template next<Arguments>()...};  // braces: from left to right
    const Result result = watching([&] { return std::apply(Function, arguments); });
    if constexpr (std::is_same_v<Result, const char*>) {
      if (result == nullptr || std::strlen(result) > 1000) broken(name, "a text is always there");
      return TW_OK;
    } else if constexpr (sizeof...(Arguments) == 0) {
      return TW_OK;  // a count of the library's own
    } else {
      made.hold(name, result);
      return result;
    }
  }
};

struct callable {
  const char* name;
  int (*call)(choices&, const char*, const capi::entry*);
  const capi::entry* arguments;  ///< the first of them in the table
};

inline const capi::entry* arguments_of(std::string_view function) {
  for (const capi::entry& e : capi::function_table)
    if (e.is_function && function == e.name) return &e + 1;
  broken(std::string{function}.c_str(), "every function is in the table");
}

/// Every function that the library shows; functions.inc is written out of capi/symbols.txt by the steps.
inline const std::vector<callable>& callables() {
  static const std::vector<callable> all{
#define TW_CALLABLE(NAME) {#NAME, &caller<NAME>::call, arguments_of(#NAME)},
#include "functions.inc"
#undef TW_CALLABLE
  };
  return all;
}

/// Calls the function that the first byte names; its status.
inline int call_any(choices& c) {
  const callable& f = callables()[c.byte() % callables().size()];
  return f.call(c, f.name, f.arguments);
}

}  // namespace tapewright::abuse
