// SPDX-License-Identifier: BSL-1.0
// Where every figure comes from: the one list of standards, tables and other grounds.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace tapewright {

/// How a source is known to us. Rows of a published table that differ from the rest of it are marked
/// one by one in tests/reference.
enum class known : std::int32_t {
  looked_up = 0,    ///< read in the published text or in a reprint of it
  from_memory = 1,  ///< not looked up
  in_part = 2,      ///< some rows looked up, the others from memory and cross-checked
  closed_form = 3,  ///< follows from a formula; nothing to look up
  practice = 4,     ///< custom of the trade; no publication
  stated = 5,       ///< told by the caller: a maker's figure, a rule of the job
};

// One line a source: number (append-only, never reused), enumerator, title with edition, clause or
// table, how it is known.
#define TAPEWRIGHT_SOURCES(X)                                                                               \
  X(1, closed_form, "closed form", "circuit laws and geometry", closed_form)                                \
  X(2, common_practice, "common practice, no source", "", practice)                                         \
  X(3, maker_statement, "maker's statement", "catalogue row", stated)                                       \
  X(4, design_rule, "design rule of the job", "", stated)                                                   \
  X(5, iec_60028, "IEC 60028:1925", "standard annealed copper", looked_up)                                  \
  X(6, iec_60228, "IEC 60228:2004", "Tables 1 to 3, greatest resistance of plain conductors at 20 degC",    \
    in_part)                                                                                                \
  X(7, small_flexible, "DIN VDE 0295 practice", "flexible conductors below the IEC 60228 sizes", looked_up) \
  X(8, astm_b258, "ASTM B258-02", "clause on the gauge series; solid round copper", looked_up)              \
  X(9, iec_60364_5_52_b52_2, "IEC 60364-5-52:2009", "Table B.52.2, PVC, two loaded conductors", in_part)    \
  X(10, iec_60364_5_52_b52_3, "IEC 60364-5-52:2009", "Table B.52.3, XLPE or EPR, two loaded conductors",    \
    in_part)                                                                                                \
  X(11, iec_60364_5_52_b52_4, "IEC 60364-5-52:2009", "Table B.52.4, PVC, three loaded conductors", in_part) \
  X(12, iec_60364_5_52_b52_5, "IEC 60364-5-52:2009", "Table B.52.5, XLPE or EPR, three loaded conductors",  \
    from_memory)                                                                                            \
  X(13, iec_60364_5_52_b52_10, "IEC 60364-5-52:2009", "Table B.52.10, PVC in free air", in_part)            \
  X(14, iec_60364_5_52_b52_12, "IEC 60364-5-52:2009", "Table B.52.12, XLPE or EPR in free air", in_part)    \
  X(15, iec_60364_5_52_b52_14, "IEC 60364-5-52:2009", "Table B.52.14, ambient air, by its formula",         \
    looked_up)                                                                                              \
  X(16, iec_60364_5_52_b52_15, "IEC 60364-5-52:2009", "Table B.52.15, ground temperature, by its formula",  \
    from_memory)                                                                                            \
  X(17, iec_60364_5_52_b52_17, "IEC 60364-5-52:2009", "Table B.52.17, circuits and cables in groups",       \
    in_part)                                                                                                \
  X(18, iec_60364_5_52_annex_g, "IEC 60364-5-52:2009", "Annex G, voltage drop and Table G.52.1", in_part)   \
  X(19, bs_7671_4f3a, "BS 7671:2018", "Table 4F3A, flexible cords and their ambient factors", in_part)      \
  X(20, nec_310_16, "NFPA 70 (NEC) 2020", "Table 310.16, copper", in_part)                                  \
  X(21, nec_400_5, "NFPA 70 (NEC) 2020", "Table 400.5(A)(1), flexible cords", in_part)                      \
  X(22, nec_310_15_b1, "NFPA 70 (NEC) 2020", "Table 310.15(B)(1) and its equation, ambient temperature",    \
    in_part)                                                                                                \
  X(23, nec_310_15_c1, "NFPA 70 (NEC) 2020", "Table 310.15(C)(1), more than three conductors", in_part)     \
  X(24, nec_240_4_d, "NFPA 70 (NEC) 2020", "240.4(D), small conductors", in_part)                           \
  X(25, nec_210_20, "NFPA 70 (NEC) 2020", "210.19(A) and 210.20(A), continuous loads", looked_up)           \
  X(26, nec_chapter_9_table_11, "NFPA 70 (NEC) 2020", "Chapter 9 Tables 11(A) and 11(B), Class 2",          \
    from_memory)                                                                                            \
  X(27, nec_drop_note, "NFPA 70 (NEC) 2020", "210.19(A) and 215.2, informational notes on voltage drop",    \
    looked_up)                                                                                              \
  X(28, iec_60364_4_41, "IEC 60364-4-41:2005", "414.4.5, basic protection of SELV and PELV", in_part)       \
  X(29, iec_60364_4_43, "IEC 60364-4-43:2008",                                                              \
    "433.1 overload, 434 short circuit, 436 limitation by the source", in_part)                             \
  X(30, iec_60364_5_53, "IEC 60364-5-53:2001", "531.3, residual current devices", from_memory)              \
  X(31, iec_60364_7_701, "IEC 60364-7-701:2006", "701.414 and 701.512, zones of a bathroom", in_part)       \
  X(32, iec_60364_7_715, "IEC 60364-7-715:2011", "715.524 sections, 715.525 voltage drop", from_memory)     \
  X(33, iec_61140, "IEC 61140:2016", "ceilings of extra-low voltage", looked_up)                            \
  X(34, iec_60512_5_2, "IEC 60512-5-2:2002", "test 5b, current-temperature derating", in_part)              \
  X(35, iec_60269_1, "IEC 60269-1:2006", "gG fuses: preferred ratings, conventional currents", from_memory) \
  X(36, iec_60898_1, "IEC 60898-1:2015", "ratings, conventional currents, instantaneous tripping", in_part) \
  X(37, iso_8820_3, "ISO 8820-3:2015", "blade fuses: ratings, operating times", in_part)                    \
  X(38, iec_60127_1, "IEC 60127-1:2006", "miniature fuses: rated currents", in_part)                        \
  X(39, iec_60127_2, "IEC 60127-2:2014", "cartridge fuse-links: operating times", from_memory)              \
  X(40, bs_1362, "BS 1362:1973", "fuse-links for plugs", looked_up)                                         \
  X(41, cie_1976, "ISO/CIE 11664-4:2019", "CIE 1976 lightness L*", looked_up)                               \
  X(42, iec_60529, "IEC 60529:1989+A2:2013", "IP code", from_memory)                                        \
  X(43, iec_60757, "IEC 60757:2021", "colour letters", looked_up)

/// Names a source in answers, findings and lists. The numbers never change.
enum class source : std::int16_t {
  none = 0,
#define TAPEWRIGHT_ENUMERATOR(NUMBER, NAME, TITLE, PLACE, HOW) NAME = NUMBER,
  TAPEWRIGHT_SOURCES(TAPEWRIGHT_ENUMERATOR)
#undef TAPEWRIGHT_ENUMERATOR
};

/// What is known of a source: title with edition, the place in it, how we know it.
struct source_facts {
  source id;
  std::string_view title, place;
  known how;
};

inline constexpr source_facts source_table[] = {
#define TAPEWRIGHT_ROW(NUMBER, NAME, TITLE, PLACE, HOW) {source::NAME, TITLE, PLACE, known::HOW},
    TAPEWRIGHT_SOURCES(TAPEWRIGHT_ROW)
#undef TAPEWRIGHT_ROW
};
inline constexpr std::size_t source_table_size = sizeof source_table / sizeof source_table[0];

/// The facts of a source; those of none and of an unknown number are empty.
constexpr source_facts facts_of(source s) noexcept {
  const auto at = static_cast<std::int64_t>(s) - 1;  // numbers count up from 1 without a gap
  if (at < 0 || at >= static_cast<std::int64_t>(source_table_size))
    return {source::none, "", "", known::stated};
  return source_table[static_cast<std::size_t>(at)];
}

constexpr std::string_view text_of(known how) noexcept {
  switch (how) {
    case known::looked_up: return "looked up";
    case known::from_memory: return "from memory";
    case known::in_part: return "in part from memory";
    case known::closed_form: return "closed form";
    case known::practice: return "common practice";
    case known::stated: return "stated";
  }
  return "";
}

namespace detail {
constexpr bool source_numbers_have_no_gap() noexcept {
  for (std::size_t i = 0; i < source_table_size; ++i)
    if (static_cast<std::size_t>(source_table[i].id) != i + 1) return false;
  return true;
}
static_assert(source_numbers_have_no_gap());
}  // namespace detail

}  // namespace tapewright
