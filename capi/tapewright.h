/* SPDX-License-Identifier: BSL-1.0 */
/* Sizes extra-low-voltage LED tape installations: the C interface, C99 and C++, without state. */
#ifndef TAPEWRIGHT_H
#define TAPEWRIGHT_H

#include <stdint.h>

/* How every function here behaves
 *
 * Status     Every function that can refuse returns a tw_status; 0 (TW_OK) means done. Figures go out through
 *            pointers. On any other status every output is NaN, 0 or, for a place in a list, -1, so that a
 *            status that goes unread cannot show a plausible figure.
 * Faults     The last argument, tw_fault *why, may be NULL. Otherwise set why->struct_size first. It tells which
 *            figure was at fault, what came in and what is allowed; after TW_OK it is cleared.
 * Questions  A fault means that the question makes no sense. A design that breaks a rule is an answer: it shows
 *            in utilisations above 1, in `fits`, and in the findings of a plan.
 * Units      stand last in every name: _m metre, _mm2 square millimetre, _v volt, _a ampere, _w watt, _ohm, _c
 *            degree Celsius, _minor whole minor units of the catalogue's currency. Names without one are shares,
 *            factors, counts, places or numbers out of a list. Voltages and currents are DC but for the mains.
 * Ranges     `one_way_m 0..10000` means both ends are allowed and anything else, NaN too, is TW_OUT_OF_RANGE.
 *            Where a range is not told, tw_field_range tells it; tw_describe_argument tells all of them.
 * Pointers   must not be NULL unless the text says so: TW_NULL_POINTER, and `item` counts which one, from 0,
 *            among the outputs of the call or, for a structure or array that comes in, among the arguments.
 * Structures start with struct_size: set it to sizeof. A shorter structure of an older release keeps working:
 *            what it lacks counts as 0. A longer one of a newer release works while what this library does not
 *            know is 0. Anything else is TW_VERSION_MISMATCH. Set all you do not use, `reserved` too, to 0.
 *            Layout is the same on 32-bit and 64-bit machines; there is no hidden padding.
 * Threads    No function keeps state, allocates, or touches anything but its arguments: call from any thread.
 * Bits       The same question has the same 64-bit answer on every processor, and the same as the C++ headers give.
 * Flags      As GCC builds it, no call divides by zero, overflows or does what has no value, whatever it is asked, so
 *            that a host may trap such operations (a signalling NaN that comes in may signal). Where networks are solved
 *            that holds for lines that can be built; on absurd resistances a march may run off before it is given up,
 *            which raises overflow and invalid. Do not trap these two around them. Clang promises nothing of flags.
 * Since      1.0 for all of it, unless told otherwise.
 *
 * A calculation is no approval: local code, the makers' instructions and, on the mains side, a qualified person
 * come before it. Isolate before any work; fuse every output; never join two outputs. */

#if defined(_WIN32)
#if defined(TW_BUILDING_SHARED)
#define TW_API __declspec(dllexport)
#else
#define TW_API
#endif
#elif defined(__GNUC__)
#define TW_API __attribute__((visibility("default")))
#else
#define TW_API
#endif

#define TW_VERSION_TEXT "1.0.0"
/* Grows whenever something is added; what was compiled against an older number keeps working. */
#define TW_ABI_VERSION 2

#ifdef __cplusplus
extern "C" {
#endif

/* ---- status, faults, texts ------------------------------------------------------------------------- */

typedef int32_t tw_status; /* numbers are never changed or used again */
#define TW_OK                 ((tw_status)0)
#define TW_OUT_OF_RANGE       ((tw_status)1) /* outside the allowed range, or not a number */
#define TW_NOT_LISTED         ((tw_status)2) /* no such row in a published table */
#define TW_CONTRADICTION      ((tw_status)3) /* two figures that cannot both hold */
#define TW_NO_ROOM            ((tw_status)4) /* room given too small; `least` is what is needed */
#define TW_NOT_CONVERGED      ((tw_status)5) /* the network did not settle; `given` is the residual */
#define TW_UNKNOWN_REFERENCE  ((tw_status)6) /* a place or number that points at nothing */
#define TW_NULL_POINTER       ((tw_status)7)
#define TW_VERSION_MISMATCH   ((tw_status)8)  /* a structure of a size this library does not know */
#define TW_NO_OPERATING_POINT ((tw_status)9)  /* the loads ask for more than the wiring can deliver */
#define TW_UNREACHABLE        ((tw_status)10) /* no value of the unknown meets the wish */

/* Why there is no answer. */
typedef struct tw_fault {
  uint32_t struct_size;
  int32_t code;       /* the status returned */
  int32_t field;      /* which figure: tw_field_name, tw_field_range; 0 = none */
  int32_t item;       /* place of the row in its list, or of a null pointer; -1 = none */
  double given;       /* what came in */
  double least, most; /* what is allowed */
} tw_fault;

/* Eight bytes that hold a pointer on any machine, so that structures look alike on all of them. */
#define TW_ROWS(type) \
  union {             \
    const type* at;   \
    uint64_t bytes;   \
  }

/* Release of the interface at run time: TW_ABI_VERSION of the library. It is at least that of the header a
 * program was compiled with, or the program needs a newer library. */
TW_API int32_t tw_abi_version(void);
/* Release of the library as text, "1.0.0". */
TW_API const char* tw_version_text(void);

/* Texts of the numbers of this interface, in English, one line, UTF-8. They belong to the library and stay.
 * A number that is not known gives "", never NULL. */
TW_API const char* tw_status_text(int32_t status);
TW_API const char* tw_field_name(int32_t field);     /* "one_way_m": as arguments are called here */
TW_API const char* tw_field_unit(int32_t field);     /* "m" */
TW_API const char* tw_field_text(int32_t field);     /* its meaning */
TW_API const char* tw_finding_text(int32_t finding); /* what a check is about */
TW_API const char* tw_finding_unit(int32_t finding); /* unit of its value and limit */
TW_API const char* tw_severity_text(int32_t severity);
TW_API const char* tw_advice_text(int32_t advice);  /* what would help */
TW_API const char* tw_limit_text(int32_t limit);    /* which limit governs: TW_LIMIT_... */
TW_API const char* tw_note_text(int32_t note);      /* a caution or an electrician's task */
TW_API const char* tw_source_text(int32_t source);  /* title of a published source, "" for 0 */
TW_API const char* tw_source_place(int32_t source); /* its clause or table */

/* Range of a field, both ends allowed. TW_UNKNOWN_REFERENCE for a number that is no field. */
TW_API tw_status tw_field_range(int32_t field, double* least, double* most, tw_fault* why);

/* ---- what there is: for hosts that list functions, arguments and fields ------------------------------- */

typedef struct tw_function_facts {
  uint32_t struct_size;
  int32_t arguments;
  TW_ROWS(char) name;    /* "tw_two_wire_drop" */
  TW_ROWS(char) returns; /* "tw_status" */
  TW_ROWS(char) text;    /* one line */
} tw_function_facts;

typedef struct tw_argument_facts {
  uint32_t struct_size;
  int32_t field;      /* gives unit and meaning; 0 = none */
  TW_ROWS(char) type; /* as in C: "double", "const tw_tape *" */
  TW_ROWS(char) name;
  TW_ROWS(char) text; /* one line */
  double least, most; /* allowed range of a number that comes in; NaN for anything else */
} tw_argument_facts;

typedef struct tw_field_facts {
  uint32_t struct_size;
  int32_t field;
  TW_ROWS(char) name;
  TW_ROWS(char) unit;
  TW_ROWS(char) text;
  double least, most;
} tw_field_facts;

typedef struct tw_structure_facts {
  uint32_t struct_size;
  int32_t members;
  int32_t bytes;         /* what struct_size is set to */
  int32_t first_release; /* the shortest one that is still taken */
  TW_ROWS(char) name;    /* "tw_cable" */
} tw_structure_facts;

typedef struct tw_member_facts {
  uint32_t struct_size;
  int32_t field;      /* gives unit and meaning of a figure that comes in; 0 = none */
  int32_t offset;     /* bytes from the start of the structure */
  int32_t bytes;      /* of all of them */
  int32_t count;      /* how many figures, characters or structures stand there */
  int32_t text_bytes; /* room of one text; 0 = no text */
  TW_ROWS(char) type; /* as in C, of one of them: "double", "char", "tw_tape_channel", "const tw_tape *" */
  TW_ROWS(char) name;
  double least, most; /* allowed range of a figure that comes in; NaN for anything else */
} tw_member_facts;

/* Number of functions of this interface, and facts of the function and argument at a place from 0. */
TW_API int32_t tw_describe_count(void);
TW_API tw_status tw_describe_function(int32_t function, tw_function_facts* facts, tw_fault* why);
TW_API tw_status tw_describe_argument(int32_t function, int32_t argument, tw_argument_facts* facts,
                                      tw_fault* why);
/* Number of fields, which are numbered from 1 without a gap, and the facts of one. */
TW_API int32_t tw_describe_field_count(void);
TW_API tw_status tw_describe_field(int32_t field, tw_field_facts* facts, tw_fault* why);
/* Number of structures of this interface, and facts of the structure and member at a place from 0. Since 2. */
TW_API int32_t tw_describe_structure_count(void);
TW_API tw_status tw_describe_structure(int32_t structure, tw_structure_facts* facts, tw_fault* why);
TW_API tw_status tw_describe_member(int32_t structure, int32_t member, tw_member_facts* facts, tw_fault* why);

/* ---- cutting and selling ------------------------------------------------------------------------------ */

/* Whole cut segments that a wall takes, their length, and what stays dark.
 * measured_m 0.001..1000, at least one pitch; cut_pitch_m 0.001..5.
 * Formula: floor((measured + 1 um) / pitch). Source: common practice, none published. */
TW_API tw_status tw_cut_length(double measured_m, double cut_pitch_m, int64_t* segments, double* length_m,
                               double* dark_m, tw_fault* why);

/* Whole sale quanta that cover a need: 4.6 m sold by whole metres are 5, and so are 5.000000001 m.
 * need_m 0..10000; sale_quantum_m 0.001..1000. Source: common practice, none published. */
TW_API tw_status tw_sale_units(double need_m, double sale_quantum_m, int64_t* units, tw_fault* why);

/* A need as it is sold, as much of it as possible on full reels.
 * reel_m 0..1000, a whole number of quanta (else TW_CONTRADICTION); 0 = not sold by the reel.
 * Others as tw_sale_units. */
TW_API tw_status tw_sale(double need_m, double sale_quantum_m, double reel_m, int64_t* units, int64_t* reels,
                         double* sold_m, double* spare_m, tw_fault* why);

/* What is paid for a net price, in whole minor units: discount and tax each rounded half up, gross = taxable + tax exactly.
 * net_minor 0..4e15; discount_bp 0..10000 and tax_bp 0..100000, hundredths of a per cent.
 * Formula: discount = net d, taxable = net - discount, tax = taxable t. Source: common practice, none published. Since 2. */
TW_API tw_status tw_price_to_pay(int64_t net_minor, int32_t discount_bp, int32_t tax_bp,
                                 int64_t* discount_minor, int64_t* taxable_minor, int64_t* tax_minor,
                                 int64_t* gross_minor, tw_fault* why);

/* ---- loads -------------------------------------------------------------------------------------------- */

#define TW_LAW_RESISTOR_LIMITED 0 /* linear above the knee, dark below it */
#define TW_LAW_REGULATED        1 /* constant above the knee, linear below it */
#define TW_LAW_CONSTANT_POWER   2 /* P / v above the knee, off below it */

/* Power and current of one channel of a length of tape, at its nominal voltage.
 * load_w_per_m 0.001..200; nominal_v 3..60; length_m 0..10000. Formula: P = p L, I = P / U. */
TW_API tw_status tw_channel_load(double load_w_per_m, double nominal_v, double length_m, double* power_w,
                                 double* current_a, tw_fault* why);

/* Current of a load at another voltage than its nominal one.
 * law TW_LAW_...; power_w 0..1e6 at nominal; nominal_v 3..60; knee_v 0..60, below nominal (else
 * TW_CONTRADICTION); voltage_v 0.1..120. Formula: see TW_LAW_... Source: closed form. */
TW_API tw_status tw_load_current(int32_t law, double power_w, double nominal_v, double knee_v,
                                 double voltage_v, double* current_a, tw_fault* why);

/* ---- conductors --------------------------------------------------------------------------------------- */

#define TW_SYSTEM_CLASS_1 1  /* IEC 60228 solid */
#define TW_SYSTEM_CLASS_2 2  /* IEC 60228 stranded */
#define TW_SYSTEM_CLASS_5 5  /* IEC 60228 flexible */
#define TW_SYSTEM_AWG     10 /* ASTM B258 */

#define TW_CODE_IEC 0
#define TW_CODE_NEC 1

#define TW_METHOD_A1            0 /* IEC 60364-5-52 reference methods; the NEC-based family does not use them */
#define TW_METHOD_A2            1
#define TW_METHOD_B1            2
#define TW_METHOD_B2            3
#define TW_METHOD_C             4
#define TW_METHOD_D1            5
#define TW_METHOD_E             6
#define TW_METHOD_FLEXIBLE_CORD 7

#define TW_GROUPING_BUNCHED           0
#define TW_GROUPING_SINGLE_LAYER_WALL 1
#define TW_GROUPING_UNDER_CEILING     2
#define TW_GROUPING_PERFORATED_TRAY   3
#define TW_GROUPING_LADDER            4

/* Resistance of copper at a temperature, from that at 20 degC.
 * resistance_20_ohm_per_m 0..1000; temperature_c -60..200.
 * Formula: r = r20 (1 + 0.00393 (T - 20)). Source: IEC 60028. */
TW_API tw_status tw_copper_resistance(double resistance_20_ohm_per_m, double temperature_c,
                                      double* resistance_ohm_per_m, tw_fault* why);

/* Resistance of ONE plain copper conductor of a metric size, the greatest the standard allows.
 * conductor_class 1, 2 or 5; area_mm2 a size of the standard (else TW_NOT_LISTED); temperature_c -60..200.
 * Source: IEC 60228; small flexible sizes as tw_source_text tells. */
TW_API tw_status tw_metric_resistance(int32_t conductor_class, double area_mm2, double temperature_c,
                                      double* resistance_ohm_per_m, tw_fault* why);

/* Resistance of ONE solid conductor of an American gauge. awg -3 (4/0) .. 40; temperature_c -60..200.
 * Source: ASTM B258 for the diameter, IEC 60028 for copper. */
TW_API tw_status tw_awg_resistance(int32_t awg, double temperature_c, double* resistance_ohm_per_m,
                                   tw_fault* why);

/* Section of an American gauge. awg -3 (4/0) .. 40. Source: ASTM B258. */
TW_API tw_status tw_awg_area(int32_t awg, double* area_mm2, tw_fault* why);

/* Continuous current of a conductor where it lies; tw_ampacity tells the factors and sources too.
 * code_family TW_CODE_...; method TW_METHOD_...; area_mm2 a size of IEC 60228, or awg; conductor_limit_c 70 for
 * PVC, 90 for XLPE and EPR; loaded_conductors 1..200 in the one cable; ambient_c -40..120; circuits_grouped 1..20
 * laid together by TW_GROUPING_... TW_NOT_LISTED where no table has the size. */
TW_API tw_status tw_metric_ampacity(int32_t code_family, int32_t method, double area_mm2,
                                    double conductor_limit_c, int32_t loaded_conductors, double ambient_c,
                                    int32_t circuits_grouped, int32_t grouping, double* allowed_a,
                                    tw_fault* why);
TW_API tw_status tw_awg_ampacity(int32_t code_family, int32_t method, int32_t awg, double conductor_limit_c,
                                 int32_t loaded_conductors, double ambient_c, int32_t circuits_grouped,
                                 int32_t grouping, double* allowed_a, tw_fault* why);

typedef struct tw_ampacity_question {
  uint32_t struct_size;
  int32_t code_family;       /* TW_CODE_... */
  int32_t method;            /* TW_METHOD_... */
  int32_t conductor_system;  /* TW_SYSTEM_... */
  int32_t awg;               /* used with TW_SYSTEM_AWG */
  int32_t loaded_conductors; /* 1..200, in the one cable */
  int32_t circuits_grouped;  /* 1..20, this one included */
  int32_t grouping;          /* TW_GROUPING_... */
  double area_mm2;           /* used with the metric systems */
  double conductor_limit_c;
  double ambient_c;
  double cable_rating_a; /* maker's own at 30 degC; 0 = take the table's */
} tw_ampacity_question;

typedef struct tw_ampacity_answer {
  uint32_t struct_size;
  int32_t base_source, ambient_source, grouping_source, count_source; /* tw_source_text; count: 0 where
                                                                         the table's own number is loaded */
  int32_t reserved;
  double base_a;
  double ambient_factor, grouping_factor, count_factor;
  double allowed_a;
  double row_mm2;        /* section of the table's row taken: that asked for, or the next below */
  double column_limit_c; /* conductor temperature of the column taken */
} tw_ampacity_answer;

TW_API tw_status tw_ampacity(const tw_ampacity_question* question, tw_ampacity_answer* answer, tw_fault* why);

/* ---- feeders ------------------------------------------------------------------------------------------ */

/* Voltage lost out and back in a two-conductor feeder with one load at its end.
 * current_a 0..10000; resistance_ohm_per_m 0..1000 of ONE conductor at working temperature; one_way_m 0..10000,
 * the return leg is added here. Formula: 2 I r L. Source: closed form. */
TW_API tw_status tw_two_wire_drop(double current_a, double resistance_ohm_per_m, double one_way_m,
                                  double* drop_v, tw_fault* why);

/* Voltage lost by one channel of a cable whose common core carries all channels.
 * common_a, own_a 0..10000; others as tw_two_wire_drop. Formula: (I_common + I_own) r L. Source: closed form. */
TW_API tw_status tw_feeder_drop(double common_a, double own_a, double resistance_ohm_per_m, double one_way_m,
                                double* drop_v, tw_fault* why);

/* Smallest section that keeps a two-conductor feeder within a drop; not a size that is made.
 * current_a 0..10000; one_way_m 0..10000; allowed_v 0.0001..120; resistivity_ohm_mm2_per_m 0.01..0.1 at working
 * temperature (copper at 20 degC: 1/58). Formula: 2 rho I L / U. Source: IEC 60364-5-52 Annex G, for DC. */
TW_API tw_status tw_least_area(double current_a, double one_way_m, double allowed_v,
                               double resistivity_ohm_mm2_per_m, double* area_mm2, tw_fault* why);

/* Longest route of a two-conductor feeder within a drop; at most 10000 m, which is also the answer for no current.
 * current_a 0..10000; nominal_v 3..60; drop_limit 0..0.5 as a share of nominal; conductor_class, area_mm2 and
 * temperature_c as tw_metric_resistance. Formula: L = limit U / (2 I r). Source: closed form. */
TW_API tw_status tw_longest_two_wire(double current_a, double nominal_v, double drop_limit,
                                     int32_t conductor_class, double area_mm2, double temperature_c,
                                     double* one_way_m, tw_fault* why);

#define TW_MOST_CHANNELS    6
#define TW_MOST_CORES       12
#define TW_MOST_POINTS      8
#define TW_MOST_WORDS       8
#define TW_CODE_BYTES       32 /* texts end at the first zero byte or at the end of their room; UTF-8 */
#define TW_SHORT_CODE_BYTES 16
#define TW_COLOUR_BYTES     8

/* One cable of a catalogue. */
typedef struct tw_cable {
  uint32_t struct_size;
  int32_t cores;            /* 1..12 */
  int32_t conductor_system; /* TW_SYSTEM_... */
  int32_t awg;              /* used with TW_SYSTEM_AWG */
  int32_t colours;          /* how many core colours are given: 0, or `cores` */
  int32_t reserved;
  char code[TW_CODE_BYTES];                         /* not empty */
  char core_colour[TW_MOST_CORES][TW_COLOUR_BYTES]; /* IEC 60757 letters, core 1 first */
  int64_t price_minor;                              /* of one sale quantum; 0 = not known */
  double area_mm2;                                  /* used with the metric systems */
  double conductor_limit_c;                         /* 70 PVC, 90 XLPE and EPR */
  double cable_rating_a;                            /* maker's own at 30 degC; 0 = take the code's table */
  double sale_quantum_m;
  double stock_m; /* longest piece in stock; 0 = any length */
} tw_cable;

/* What is asked of one feeder. A two-core supply cable is a feeder of one channel. */
typedef struct tw_feeder_question {
  uint32_t struct_size;
  int32_t channels;                   /* 1..6 */
  int32_t code_family;                /* TW_CODE_... */
  int32_t method;                     /* TW_METHOD_... */
  int32_t grouping;                   /* TW_GROUPING_... */
  int32_t circuits_grouped;           /* 1..20, this one included */
  double channel_a[TW_MOST_CHANNELS]; /* each at its own full load */
  double common_a;                    /* 0 = the sum of the channels */
  double one_way_m;                   /* 0..10000 */
  double nominal_v;                   /* the drop is a share of this */
  double drop_limit;                  /* 0..0.5 */
  double ambient_c;                   /* air around the cable */
  double copper_c;                /* working temperature for the resistance; the insulation's limit is safe */
  double least_mm2, greatest_mm2; /* terminals of the narrower end; 0 and 0 = not looked at */
  double least_area_mm2;          /* smallest section the code allows; 0 = none */
} tw_feeder_question;

/* How one cable answers. `governed` is the first yes-or-no limit broken, else the limit used more. */
typedef struct tw_feeder_check {
  uint32_t struct_size;
  int32_t fits;
  int32_t governed; /* TW_LIMIT_... */
  int32_t conductor_system, awg;
  int32_t cores_needed, loaded_cores;
  int32_t worst_channel;
  int32_t ampacity_known; /* 0: no published figure; the ampacity figures are NaN */
  int32_t cores_fit, terminal_fits, area_fits, piece_fits;
  int32_t base_source, ambient_source, grouping_source, count_source, resistance_source, drop_source;
  int32_t reserved;
  double area_mm2;
  double common_a;
  double resistance_ohm_per_m; /* of one core at working temperature */
  double core_ohm;             /* of one core over the one-way length */
  double drop_v[TW_MOST_CHANNELS];
  double worst_drop_v;
  double drop_share; /* of nominal */
  double loss_w;
  double heat_share; /* of the heat of two cores that both carry the common current */
  double base_a, ambient_factor, grouping_factor, count_factor, allowed_a;
  double expected_copper_c; /* temperature the busiest core settles at */
  double drop_utilisation, ampacity_utilisation;
  double utilisation; /* the greater of the two */
} tw_feeder_check;

typedef struct tw_feeder_choice {
  uint32_t struct_size;
  int32_t cable;    /* place in the list; -1 = none fits */
  int32_t governed; /* what ruled out the next thinner one, or what stops the nearest */
  int32_t thinner;  /* that next thinner cable; -1 = none */
  int32_t nearest;  /* where none fits: the one that misses by least; -1 = empty list */
  int32_t reserved;
  int64_t cost_minor; /* of the chosen one for the length; 0 = not known */
  int64_t units;      /* sale quanta of it */
} tw_feeder_choice;

/* Holds one cable against drop, ampacity, terminals, cores, stock and code minimum. */
TW_API tw_status tw_check_feeder(const tw_feeder_question* question, const tw_cable* cable,
                                 tw_feeder_check* check, tw_fault* why);
/* The cheapest of `cables` cables that fits; without prices, or among equals, the thinnest; then by code. `check` is
 * that of the chosen one, or of the nearest where none fits. block: room for the rows, tw_choice_bytes of it, its
 * address divisible by 8; free it afterwards. Faults of a row tell its place in `item`. */
TW_API tw_status tw_choose_feeder(const tw_feeder_question* question, const tw_cable* cable, int32_t cables,
                                  void* block, int64_t bytes, tw_feeder_choice* choice,
                                  tw_feeder_check* check, tw_fault* why);
/* Longest route over which a cable keeps the drop; at most 10000 m. question->one_way_m is not used. */
TW_API tw_status tw_longest_feeder(const tw_feeder_question* question, const tw_cable* cable,
                                   double* one_way_m, tw_fault* why);

/* Room that tw_choose_feeder and tw_choose_driver need. part_kind TW_PART_CABLE or TW_PART_DRIVER; rows 0..1e6. */
TW_API tw_status tw_choice_bytes(int32_t part_kind, int32_t rows, int64_t* bytes, tw_fault* why);

/* ---- connectors --------------------------------------------------------------------------------------- */

/* Current that one contact carries at an ambient.
 * rated_a 0.001..10000 at rating_ambient_c -20..120; upper_limit_c 30..250, where nothing is left; ambient_c
 * -40..120; curve_factor 0.1..1: 0.8 on a base curve, 1 on a figure already derated.
 * Formula: factor rated sqrt((T_limit - T_ambient) / (T_limit - T_rating)). Source: IEC 60512-5-2. */
TW_API tw_status tw_contact_current(double rated_a, double rating_ambient_c, double upper_limit_c,
                                    double ambient_c, double curve_factor, double* allowed_a, tw_fault* why);

/* Use of one contact: current over what it carries there. current_a 0..10000; others as tw_contact_current. */
TW_API tw_status tw_contact_utilisation(double current_a, double rated_a, double rating_ambient_c,
                                        double upper_limit_c, double ambient_c, double curve_factor,
                                        double* allowed_a, double* utilisation, tw_fault* why);

#define TW_USE_TAPE_TO_CABLE  0
#define TW_USE_CABLE_TO_CABLE 1
#define TW_USE_TAPE_TO_TAPE   2
#define TW_USE_DRIVER_PLUG    3

typedef struct tw_connector {
  uint32_t struct_size;
  int32_t use;   /* TW_USE_... */
  int32_t poles; /* 1..24 */
  int32_t ways;  /* cables that meet in it, 1..24 */
  char code[TW_CODE_BYTES];
  int64_t price_minor; /* 0 = not known */
  double rated_a;      /* per pole, at rating_ambient_c */
  double rated_v;
  double rating_ambient_c;
  double upper_limit_c;
  double least_mm2, greatest_mm2; /* conductors it takes; both may be 0 between tapes */
  double contact_ohm;             /* of one pole, both contacts */
} tw_connector;

typedef struct tw_connector_duty {
  uint32_t struct_size;
  int32_t poles; /* 1..24 */
  int32_t ways;  /* 2..24 */
  int32_t reserved;
  double pole_a; /* of the busiest pole */
  double voltage_v;
  double ambient_c;
  double conductor_mm2; /* 0 = none */
  double curve_factor;  /* 0.1..1 */
} tw_connector_duty;

typedef struct tw_connector_check {
  uint32_t struct_size;
  int32_t fits;
  int32_t governed; /* TW_LIMIT_... */
  int32_t poles_fit, ways_fit, voltage_fits, conductor_fits, ambient_fits;
  int32_t source;
  int32_t reserved;
  double allowed_a; /* per pole; 0 at and above the upper limit */
  double utilisation;
} tw_connector_check;

TW_API tw_status tw_check_connector(const tw_connector* connector, const tw_connector_duty* duty,
                                    tw_connector_check* check, tw_fault* why);

/* ---- controllers -------------------------------------------------------------------------------------- */

/* Use of a controller's limits: of its busiest channel, of all channels, of its supply terminal.
 * channel_a: `channels` figures 0..10000, 1..6 of them; total_a 0 = their sum, else between the greatest and the sum;
 * channel_limit_a 0.001..1000; total_limit_a and terminal_a 0.001..10000. Source: maker's statement. */
TW_API tw_status tw_controller_utilisation(const double* channel_a, int32_t channels, double total_a,
                                           double channel_limit_a, double total_limit_a, double terminal_a,
                                           double* channel_utilisation, double* total_utilisation,
                                           double* terminal_utilisation, tw_fault* why);

/* Fewest controllers that could share a load, as if it could be shared out to the last segment; whole runs may need
 * more. Arguments as tw_controller_utilisation. governed: which limit asks for that many; 0 where one would do. */
TW_API tw_status tw_controllers_needed(const double* channel_a, int32_t channels, double total_a,
                                       double channel_limit_a, double total_limit_a, double terminal_a,
                                       int32_t* needed, int32_t* governed, tw_fault* why);

#define TW_COMMON_POSITIVE 0
#define TW_COMMON_NEGATIVE 1

typedef struct tw_controller {
  uint32_t struct_size;
  int32_t channels;              /* 1..6 */
  int32_t polarity;              /* TW_COMMON_... */
  int32_t is_repeater;           /* 0 or 1 */
  int32_t enforces_all_on_limit; /* 0 or 1: keeps the channels together within a tape's all-on limit */
  int32_t features;              /* how many words are given, 0..8 */
  char code[TW_CODE_BYTES];
  char feature[TW_MOST_WORDS][TW_CODE_BYTES]; /* free words for what it can do */
  int64_t price_minor;                        /* 0 = not known */
  double channel_limit_a, total_limit_a;
  double lowest_input_v, highest_input_v;
  double least_mm2, greatest_mm2;
  double terminal_a; /* rated current of one terminal */
  double switch_ohm; /* of one channel's switch, hot */
  double pwm_hz;     /* 0 = not stated */
  double highest_ambient_c;
} tw_controller;

typedef struct tw_controller_duty {
  uint32_t struct_size;
  int32_t channels; /* 1..6 */
  int32_t polarity; /* TW_COMMON_... of the tape */
  int32_t reserved;
  double channel_a[TW_MOST_CHANNELS];
  double total_a; /* 0 = their sum */
  double input_v;
  double ambient_c;
  double conductor_mm2; /* 0 = not decided yet */
} tw_controller_duty;

typedef struct tw_controller_check {
  uint32_t struct_size;
  int32_t fits;
  int32_t governed; /* TW_LIMIT_... */
  int32_t worst_channel;
  int32_t channels_fit, voltage_fits, polarity_fits, ambient_fits, terminal_fits;
  int32_t reserved;
  double total_a;
  double channel_utilisation, total_utilisation, terminal_utilisation;
  double utilisation; /* the greatest of the three */
} tw_controller_check;

TW_API tw_status tw_check_controller(const tw_controller* controller, const tw_controller_duty* duty,
                                     tw_controller_check* check, tw_fault* why);

/* ---- drivers ------------------------------------------------------------------------------------------ */

/* Headroom is a share of the LOAD, a loading limit a share of the CAPACITY: a tenth of headroom is a loading limit of
 * 1/1.1 = 0.909, not of 0.9. */

/* Capacity that a load asks for: load (1 + headroom). load_w 0..1e6; headroom 0..2. */
TW_API tw_status tw_least_capacity(double load_w, double headroom, double* capacity_w, tw_fault* why);
/* Load that a capacity allows: capacity / (1 + headroom). capacity_w 0..1e6; headroom 0..2. */
TW_API tw_status tw_greatest_load(double capacity_w, double headroom, double* load_w, tw_fault* why);
/* Loading limit that says the same as a headroom: 1 / (1 + headroom). headroom 0..2. */
TW_API tw_status tw_loading_limit(double headroom, double* loading_limit, tw_fault* why);
/* Headroom that says the same as a loading limit: 1 / limit - 1. loading_limit 0.1..1. */
TW_API tw_status tw_headroom(double loading_limit, double* headroom, tw_fault* why);

/* Share of the rated output left at an ambient, by the maker's curve: the first point's share up to the first point,
 * straight lines between points, 0 above the last. curve_c rising, -40..120; curve_share not rising, 0..1.5; 1..8
 * points; ambient_c -40..120. A row at fault is told in `item`. */
TW_API tw_status tw_derated_share(const double* curve_c, const double* curve_share, int32_t points,
                                  double ambient_c, double* share, tw_fault* why);
/* The same for the usual curve: all of it up to full_to_c, then a straight line to last_share at last_c. */
TW_API tw_status tw_two_point_share(double full_to_c, double last_c, double last_share, double ambient_c,
                                    double* share, tw_fault* why);

/* Use of one output of a driver: load with headroom over what is left of its output at an ambient.
 * load_w 0.001..1e6; headroom 0..2; output_v 3..60; rated_output_w 0.1..1e5; the curve as tw_two_point_share.
 * headroom_left = capacity / load - 1, a share of the LOAD. */
TW_API tw_status tw_driver_utilisation(double load_w, double headroom, double output_v, double rated_output_w,
                                       double full_to_c, double last_c, double last_share, double ambient_c,
                                       double* capacity_w, double* needed_w, double* utilisation,
                                       double* headroom_left, tw_fault* why);

/* Greatest rated current and power of a limited-energy (class 2) output. output_v 0.1..120, TW_NOT_LISTED above what
 * the class covers. Source: NEC Chapter 9 Table 11(B). */
TW_API tw_status tw_class2_limit(double output_v, double* rated_a, double* rated_va, tw_fault* why);

#define TW_MOUNT_ANY       (-1)
#define TW_MOUNT_PLUG_IN   0
#define TW_MOUNT_HARDWIRED 1

typedef struct tw_driver {
  uint32_t struct_size;
  int32_t outputs;         /* 1..16 independent ones; never joined */
  int32_t mount;           /* TW_MOUNT_PLUG_IN or TW_MOUNT_HARDWIRED */
  int32_t limited_energy;  /* 1: its maker declares a limited-energy (class 2, LPS) output */
  int32_t ingress;         /* IP code of IEC 60529 */
  int32_t derating_points; /* 1..8 */
  char code[TW_CODE_BYTES];
  int64_t price_minor; /* 0 = not known */
  double output_v;
  double trim_low_v, trim_high_v; /* both 0 = no trim */
  double rated_output_w;          /* of ONE output */
  double output_limit_a;          /* greatest continuous; 0 = rated power over voltage */
  double overload_limit_a;        /* greatest at all, into a short circuit too; 0 = not stated */
  double least_load_w;
  double efficiency;   /* 0.05..1 at full load */
  double power_factor; /* 0.05..1 at full load */
  double mains_low_v, mains_high_v;
  double inrush_a;                       /* peak; 0 = not stated */
  double inrush_s;                       /* at half the peak; 0 = not stated */
  double leakage_a;                      /* protective-conductor current; 0 = class II or not stated */
  double least_mm2, greatest_mm2;        /* output terminals; 0 and 0 = own connector */
  double output_connector_a;             /* rating of its own output connector; 0 = terminals */
  double plug_fuse_a;                    /* fuse in its mains plug; 0 = none */
  double derating_c[TW_MOST_POINTS];     /* rising */
  double derating_share[TW_MOST_POINTS]; /* not rising */
} tw_driver;

typedef struct tw_driver_duty {
  uint32_t struct_size;
  int32_t limited_energy; /* 1: a limited-energy output is wanted */
  int32_t mount;          /* TW_MOUNT_... */
  int32_t ingress;        /* least IP code, both digits */
  double load_w;          /* 0.001..1e6 */
  double current_a;       /* 0 = load over nominal */
  double headroom;        /* 0..2, a share of the LOAD */
  double ambient_c;
  double nominal_v;
  double mains_v;
  double conductor_mm2; /* 0 = not decided yet */
} tw_driver_duty;

typedef struct tw_driver_check {
  uint32_t struct_size;
  int32_t fits;
  int32_t governed; /* TW_LIMIT_... */
  int32_t ambient_fits, voltage_fits, mains_fits, mount_fits, ingress_fits, terminal_fits, connector_fits;
  int32_t least_load_met;
  int32_t limited_energy_fits, limited_energy_claim_holds;
  int32_t derating_source, headroom_source, class_source;
  double share; /* of the rated output left */
  double capacity_w;
  double limit_a, current_a;
  double needed_w; /* load (1 + headroom) */
  double utilisation, current_utilisation, connector_utilisation;
  double headroom_left;     /* capacity / load - 1: a share of the LOAD */
  double loading;           /* load / capacity: a share of the CAPACITY */
  double class_a, class_va; /* greatest ratings of the limited-energy class; NaN outside it */
} tw_driver_check;

typedef struct tw_driver_choice {
  uint32_t struct_size;
  int32_t driver;     /* place in the list; -1 = none fits */
  int32_t nearest;    /* where none fits: the one that misses by least; -1 = empty list */
  int32_t stopped_by; /* TW_LIMIT_...: what stops the nearest */
} tw_driver_choice;

TW_API tw_status tw_check_driver(const tw_driver* driver, const tw_driver_duty* duty, tw_driver_check* check,
                                 tw_fault* why);
/* The cheapest of `drivers` drivers one output of which fits; without prices, or among equals, the one with the least
 * capacity there; then by code. block as tw_choose_feeder. */
TW_API tw_status tw_choose_driver(const tw_driver_duty* duty, const tw_driver* driver, int32_t drivers,
                                  void* block, int64_t bytes, tw_driver_choice* choice,
                                  tw_driver_check* check, tw_fault* why);

/* ---- overcurrent protection --------------------------------------------------------------------------- */

#define TW_FAMILY_FUSE_GG        0 /* IEC 60269-1 */
#define TW_FAMILY_BREAKER_B      1 /* IEC 60898-1 */
#define TW_FAMILY_BREAKER_C      2
#define TW_FAMILY_BREAKER_D      3
#define TW_FAMILY_BLADE_FUSE     4 /* ISO 8820-3 */
#define TW_FAMILY_CARTRIDGE_FUSE 5 /* IEC 60127-2 */

/* Conventional operating current I2 of a device, and as a multiple of its rating.
 * overcurrent_family TW_FAMILY_...; fuse_a 0.01..400. Source: the family's standard. */
TW_API tw_status tw_operating_current(int32_t overcurrent_family, double fuse_a, double* factor,
                                      double* operating_a, tw_fault* why);

/* Short-circuit current at the far end of a cable. voltage_v 0.1..120; fault_loop_ohm 0..1e6 out and back, hot;
 * source_limit_a 0..10000, the greatest the driver can give, 0 = not known. Formula: min(U / R, I_source). */
TW_API tw_status tw_far_end_fault(double voltage_v, double fault_loop_ohm, double source_limit_a,
                                  double* fault_a, tw_fault* why);

/* Overload and short-circuit protection of a cable as four utilisations: Ib / In, In / Iz, I2 / (1.45 Iz), and I2 over
 * the far-end short-circuit current. load_a and ampacity_a 0..10000; others as above.
 * Source: IEC 60364-4-43. */
TW_API tw_status tw_overcurrent_utilisation(int32_t overcurrent_family, double fuse_a, double load_a,
                                            double ampacity_a, double voltage_v, double fault_loop_ohm,
                                            double source_limit_a, double* load_utilisation,
                                            double* cable_utilisation, double* operating_utilisation,
                                            double* fault_utilisation, tw_fault* why);

typedef struct tw_overcurrent_device {
  uint32_t struct_size;
  int32_t family; /* TW_FAMILY_... */
  char code[TW_CODE_BYTES];
  int64_t price_minor; /* 0 = not known */
  double fuse_a;       /* rated current, 0.01..400 */
  double rated_v;      /* direct voltage it may interrupt */
} tw_overcurrent_device;

typedef struct tw_overcurrent_duty {
  uint32_t struct_size;
  int32_t reserved;
  double load_a;     /* Ib */
  double ampacity_a; /* Iz of the thinnest conductor behind it */
  double voltage_v;
  double fault_loop_ohm;
  double source_limit_a; /* 0 = not known */
  double load_factor;    /* 1..2: 1.25 where the code counts continuous loads so */
  double device_limit_a; /* largest device the code allows on the conductor whatever its ampacity; 0 = none */
} tw_overcurrent_duty;

typedef struct tw_overcurrent_check {
  uint32_t struct_size;
  int32_t fits;
  int32_t governed;        /* TW_LIMIT_... */
  int32_t source_protects; /* 1: the driver cannot give more than Iz; the cable needs no device */
  int32_t opens;           /* 1: a short circuit at the far end operates it */
  int32_t voltage_fits;
  int32_t rule_source;
  int32_t reserved;
  double fault_a;
  double operating_factor;
  double operating_a;
  double load_utilisation, cable_utilisation;
  double device_utilisation; /* rating over the code's largest device; 0 without one */
  double operating_utilisation, fault_utilisation;
} tw_overcurrent_check;

TW_API tw_status tw_check_overcurrent(const tw_overcurrent_device* device, const tw_overcurrent_duty* duty,
                                      tw_overcurrent_check* check, tw_fault* why);

/* ---- the mains side ----------------------------------------------------------------------------------- */

/* What a driver takes from the mains. output_w 0..1e6, all its outputs; efficiency and power_factor 0.05..1; mains_v
 * 90..440, r.m.s. Formula: P = P_out / eta, S = P / lambda, I = S / U. Source: closed form. */
TW_API tw_status tw_mains_current(double output_w, double efficiency, double power_factor, double mains_v,
                                  double* input_w, double* apparent_va, double* current_a, tw_fault* why);

/* Equal drivers on one breaker, by steady current and by inrush. output_w 0.001..1e6; inrush_a 0..10000, 0 = not
 * stated, by_inrush is then -1; breaker_a 0.5..125; breaker_family TW_FAMILY_BREAKER_...; breaker_share 0.1..1.
 * count is the least of those that are known. Source: IEC 60898-1; the share is common practice. */
TW_API tw_status tw_drivers_per_breaker(double output_w, double efficiency, double power_factor,
                                        double mains_v, double inrush_a, double breaker_a,
                                        int32_t breaker_family, double breaker_share, int32_t* by_steady,
                                        int32_t* by_inrush, int32_t* count, tw_fault* why);

/* Use of one breaker by all its drivers: sums of their r.m.s. currents and of their inrush peaks, A, 0..10000. */
TW_API tw_status tw_breaker_utilisation(double steady_a, double inrush_a, double breaker_a,
                                        int32_t breaker_family, double breaker_share,
                                        double* steady_utilisation, double* inrush_utilisation,
                                        tw_fault* why);

/* Use of a residual current device by protective-conductor currents. leakage_sum_a 0..10000; residual_a 0.001..10;
 * share 0.01..1 of it that may be used. Source: IEC 60364-5-53. */
TW_API tw_status tw_leakage_utilisation(double leakage_sum_a, double residual_a, double share,
                                        double* limit_a, double* utilisation, tw_fault* why);

/* Energy of a year. input_w 0..1e6 from the mains; hours_per_year 0..8784 of full light. */
TW_API tw_status tw_yearly_energy(double input_w, double hours_per_year, double* energy_kwh, tw_fault* why);

/* What energy costs, half a minor unit rounded up. energy_kwh 0..1e7; tariff_minor_per_kwh 0..1e6. */
TW_API tw_status tw_energy_cost(double energy_kwh, double tariff_minor_per_kwh, int64_t* cost_minor,
                                tw_fault* why);

/* ---- light -------------------------------------------------------------------------------------------- */

/* CIE 1976 lightness, 0..100, of a luminance over that of the reference white, 0..1. Source: CIE 1976 L*. */
TW_API tw_status tw_lightness(double luminance_ratio, double* lightness, tw_fault* why);
/* The inverse: lightness 0..100. */
TW_API tw_status tw_luminance_ratio(double lightness, double* luminance_ratio, tw_fault* why);

/* ---- tape --------------------------------------------------------------------------------------------- */

typedef struct tw_tape_channel {
  char code[TW_SHORT_CODE_BYTES]; /* W, CW, WW, R, G, B or free text; not empty */
  int32_t law;                    /* TW_LAW_... */
  int32_t reserved;
  double load_w_per_m;     /* nominal, 0.001..200 */
  double knee_v;           /* below nominal */
  double return_ohm_per_m; /* this channel's own conductor, 20 degC */
} tw_tape_channel;

typedef struct tw_tape {
  uint32_t struct_size;
  int32_t channels; /* 1..6 */
  int32_t polarity; /* TW_COMMON_... */
  int32_t ingress;  /* IP code of IEC 60529 */
  char code[TW_CODE_BYTES];
  tw_tape_channel channel[TW_MOST_CHANNELS];
  int64_t price_minor; /* of one sale quantum; 0 = not known */
  double nominal_v, highest_v;
  double common_ohm_per_m; /* the shared conductor, 20 degC */
  double cut_pitch_m;
  double longest_piece_m;
  double feed_point_limit_a;   /* 0 = not stated */
  double single_feed_limit_m;  /* maker's longest run from one feed; 0 = not stated */
  double all_on_limit_w_per_m; /* 0 = not stated */
  double free_tail_m;
  double sale_quantum_m;
  double reel_m; /* 0 = not sold by the reel */
  double lowest_ambient_c, highest_ambient_c;
} tw_tape;

typedef struct tw_tape_load {
  uint32_t struct_size;
  int32_t channels;
  int32_t above_all_on_limit; /* the channels together ask for more than the maker allows */
  int32_t source;             /* a maker's statement where that limit was applied */
  double channel_w[TW_MOST_CHANNELS];
  double channel_a[TW_MOST_CHANNELS];
  double summed_w;       /* plain sum of the channels */
  double all_on_limit_w; /* 0 = none stated */
  double sized_w;        /* what the supply is sized for */
  double total_sized_a;
} tw_tape_load;

/* Load and currents of a length of tape. lit_length_m 0..10000; limit_enforced 1 where the controller is said to keep
 * the channels together within the tape's limit, else 0: then the sum counts. */
TW_API tw_status tw_load_of_tape(const tw_tape* tape, double lit_length_m, int32_t limit_enforced,
                                 tw_tape_load* load, tw_fault* why);

#define TW_ALL_LIT 63u

/* A piece of tape fed at one end. */
typedef struct tw_line_question {
  uint32_t struct_size;
  uint32_t lit;                              /* bit c set = channel c is on; TW_ALL_LIT */
  int64_t segments;                          /* 1..100000; tw_longest_run does not use it */
  double trace_c;                            /* of the tape's copper */
  double source_v;                           /* 0.1..120 */
  double feed_common_ohm;                    /* before the feed point, carrying all channels */
  double feed_channel_ohm[TW_MOST_CHANNELS]; /* before the feed point, carrying that channel */
} tw_line_question;

/* What it does. An unlit channel has current 0 and evenness 1. Entries past `channels` are NaN. */
typedef struct tw_line_figures {
  uint32_t struct_size;
  int32_t channels;
  int32_t steps; /* of the solver */
  int32_t reserved;
  double at_feed_v[TW_MOST_CHANNELS];
  double first_load_v[TW_MOST_CHANNELS];
  double last_load_v[TW_MOST_CHANNELS];
  double channel_a[TW_MOST_CHANNELS];
  double evenness[TW_MOST_CHANNELS]; /* least over greatest light along the run */
  double total_a;                    /* in the common conductor at the feed point: the greatest of the line */
  double least_evenness;
  double lightness_step; /* CIE 1976 L*, between the brightest and the dimmest lamp */
  double colour_shift;   /* 0..1 */
  double lamps_w, trace_loss_w, feeder_loss_w;
  double residual_v;
} tw_line_figures;

#define TW_RUN_LIMIT_NONE         0
#define TW_RUN_LIMIT_EVENNESS     1
#define TW_RUN_LIMIT_DROP         2
#define TW_RUN_LIMIT_FEED_CURRENT 3
#define TW_RUN_LIMIT_MAKER_LENGTH 4
#define TW_RUN_LIMIT_WIRING       5

typedef struct tw_longest {
  uint32_t struct_size;
  int32_t limited_by; /* TW_RUN_LIMIT_... */
  int64_t segments;
  double length_m;
} tw_longest;

/* Solves a tape fed at one end, exactly: each load on its own voltage, channels coupled through the common trace.
 * load_v, load_a: NULL, or room for `loads` figures each, at least segments x channels; the load of channel c in
 * segment k stands at k channels + c. workspace: NULL, or `doubles` of room; few lines need it, and then TW_NO_ROOM
 * tells how many; tw_line_workspace of it is always enough. TW_NO_OPERATING_POINT where constant-power loads ask for
 * more than the wiring can deliver. Source: closed form, Kirchhoff's laws; residual <= 1e-12 of the source voltage. */
TW_API tw_status tw_solve_line(const tw_tape* tape, const tw_line_question* question,
                               tw_line_figures* figures, double* load_v, double* load_a, int64_t loads,
                               double* workspace, int64_t doubles, tw_fault* why);
/* The same question without a profile, in closed form where one applies: one lit channel, all loads on the same straight
 * piece of their law. The time does not depend on the length then, and `steps` is 0; elsewhere it is tw_solve_line's
 * answer. Voltages within 1e-12 and powers within 1e-11 of its, relative. Source: closed form, the ladder of equal rungs.
 * Since 2. */
TW_API tw_status tw_closed_line(const tw_tape* tape, const tw_line_question* question,
                                tw_line_figures* figures, double* workspace, int64_t doubles, tw_fault* why);
/* segments 1..100000; channels 1..6. */
TW_API tw_status tw_line_workspace(int64_t segments, int32_t channels, int64_t* doubles, tw_fault* why);

/* Longest run from one feed that keeps an evenness (0..1), a drop from source to last lamp (0..0.5 of nominal; 0 = no
 * wish) and the tape's own limits. TW_UNREACHABLE where one segment breaks a wish already. */
TW_API tw_status tw_longest_run(const tw_tape* tape, const tw_line_question* question, double least_evenness,
                                double drop_limit, tw_longest* longest, tw_line_figures* figures,
                                tw_fault* why);

#define TW_FEED_ONE_END   0
#define TW_FEED_FAR_END   1
#define TW_FEED_BOTH_ENDS 2
#define TW_FEED_MIDDLE    3
#define TW_FEED_POINTS    4 /* k points, each in the middle of one of k equal parts */
#define TW_FEED_RING      5 /* both ends brought together at one feed */

#define TW_MOST_FEED_POINTS 8

/* Cables to the feed points of a run, behind what a tw_line_question calls `feed`, and what the run shall keep. All
 * cores of a lead are alike. A point at x from the near end has the shorter of two leads: near_end_ohm +
 * along_ohm_per_m x, or from the far end far_end_ohm + along_ohm_per_m (length - x). Since 2. */
typedef struct tw_feed_question {
  uint32_t struct_size;
  int32_t arrangement;    /* TW_FEED_...; tw_fewest_feeds does not use it */
  int32_t points;         /* 1..8: of TW_FEED_POINTS, and the most that tw_fewest_feeds looks at */
  int32_t far_along;      /* 1: the far end is reached beside the tape only, far_end_ohm is not used */
  int32_t near_closed;    /* 1: no cable reaches the near end; these three for tw_fewest_feeds */
  int32_t far_closed;     /* 1: no cable reaches the far end */
  int32_t between_closed; /* 1: no cable reaches a cut mark between the ends */
  int32_t most_solves;    /* 1..1000000000: most networks that tw_fewest_feeds solves */
  double near_end_ohm;    /* one core of the lead to the near end */
  double far_end_ohm;     /* one core of the lead to the far end */
  double along_ohm_per_m; /* one core beside the tape */
  double least_evenness;  /* 0..1 */
  double drop_limit;      /* source to the lowest lamp, share of nominal, 0..0.5; 0 = no wish */
} tw_feed_question;

/* Where a run is fed, and what it does. Entries of `place` past `points` are 0. Since 2. */
typedef struct tw_feed_places {
  uint32_t struct_size;
  int32_t points;
  int32_t limited_by;    /* TW_RUN_LIMIT_...: what one segment more breaks; NONE of tw_fewest_feeds */
  int32_t fewest_proven; /* 1: no smaller number of points would do; 0 of tw_longest_fed_run */
  int32_t best_proven;   /* 1: no other places of that number are more even; 0 of tw_longest_fed_run */
  int32_t reserved;
  int64_t solves; /* networks solved; 0 of tw_longest_fed_run */
  int64_t segments;
  int64_t place[TW_MOST_FEED_POINTS]; /* cut marks, counted from the near end */
  double length_m;
  double utilisation; /* of the wish that is nearest to its limit */
  double least_evenness;
  double lightness_step; /* CIE 1976 L* */
  double total_a;
  double greatest_feed_a; /* common of the most loaded feed point */
} tw_feed_places;

/* Longest run of an arrangement, and the fewest feed points of a run of question->segments with their best places: a
 * search with proof while all places fit into most_solves, else from equal parts by moves. tw_longest_fed_run takes no
 * longer run than `workspace` has room for (tw_feed_workspace). TW_UNREACHABLE where nothing keeps the wishes.
 * Source: closed form, Kirchhoff's laws. Since 2. */
TW_API tw_status tw_longest_fed_run(const tw_tape* tape, const tw_line_question* question,
                                    const tw_feed_question* feeds, tw_feed_places* places, double* workspace,
                                    int64_t doubles, tw_fault* why);
TW_API tw_status tw_fewest_feeds(const tw_tape* tape, const tw_line_question* question,
                                 const tw_feed_question* feeds, tw_feed_places* places, double* workspace,
                                 int64_t doubles, tw_fault* why);
/* segments 1..100000; channels 1..6; points 1..8. Since 2. */
TW_API tw_status tw_feed_workspace(int64_t segments, int32_t channels, int32_t points, int64_t* doubles,
                                   tw_fault* why);

/* ---- A whole installation: everything on one driver output, solved at once. Since 2. ---- */

/* A straight piece of a run of tape, and the joint before it (not looked at for a run's first piece). */
typedef struct tw_network_stretch {
  uint32_t struct_size;
  int32_t tape;     /* place in tw_network.tape */
  int64_t segments; /* 1..100000, those of a run together too */
  double trace_c;   /* of the tape's copper; tw_solve_warm_network finds its own */
  double link_common_ohm;
  double link_channel_ohm[TW_MOST_CHANNELS];
} tw_network_stretch;

/* Where a cable meets a run's tape, and its cores from the run's terminals to there. */
typedef struct tw_network_feed {
  uint32_t struct_size;
  int32_t reserved;
  int64_t place; /* cut mark counted over all stretches of the run, rising from feed to feed; 0 = near end */
  double common_ohm;
  double channel_ohm[TW_MOST_CHANNELS];
} tw_network_feed;

/* A run: its stretches and feed points, and a feeder that they share. Fed at one end it has one feed point at 0; a ring
 * has two, at 0 and at its far end, without resistance behind one shared feeder. */
typedef struct tw_network_run {
  uint32_t struct_size;
  int32_t hub;       /* place in tw_network.hub */
  int32_t stretches; /* how many of tw_network.stretch are this run's, following those of the run before */
  int32_t feeds;     /* how many of tw_network.feed, likewise */
  uint32_t lit;      /* bit c set = channel c is on; TW_ALL_LIT */
  int32_t reserved;
  double common_ohm; /* of the shared feeder */
  double channel_ohm[TW_MOST_CHANNELS];
  double ambient_c;         /* at the tape; this and the next two for tw_solve_warm_network */
  double warming_k_m_per_w; /* warming of the tape above ambient for each W/m of heat; 0..100 */
  double lamp_share;        /* 0..1 of the lamps' power that warms the tape too */
} tw_network_run;

/* A controller, or a splice without one, and the cable to it. Duty and phase for tw_solve_dimmed_network: channel c is
 * on from phase[c] for duty[c] of each period. */
typedef struct tw_network_hub {
  uint32_t struct_size;
  int32_t reserved;
  double supply_ohm;                    /* both cores of the supply cable together */
  double channel_ohm[TW_MOST_CHANNELS]; /* the switch of each channel */
  double duty[TW_MOST_CHANNELS];        /* 0..1 */
  double phase[TW_MOST_CHANNELS];       /* 0..1 */
} tw_network_hub;

/* Everything on one driver output. Lists as in tw_catalogue. */
typedef struct tw_network {
  uint32_t struct_size;
  int32_t tapes, hubs, runs, stretches, feeds;
  double source_v; /* 0.1..120, of the driver, stiff */
  double lead_ohm; /* both poles together of what all hubs share */
  TW_ROWS(tw_tape) tape;
  TW_ROWS(tw_network_hub) hub;
  TW_ROWS(tw_network_run) run;
  TW_ROWS(tw_network_stretch) stretch; /* of all runs, run after run */
  TW_ROWS(tw_network_feed) feed;       /* likewise */
} tw_network;

/* The whole of it. Power from the source = lamps + all losses, to 1e-12. */
typedef struct tw_network_figures {
  uint32_t struct_size;
  int32_t sweeps;         /* of the solver */
  int32_t warming_rounds; /* 0 of tw_solve_network */
  int32_t reserved;
  double total_a;
  double lamps_w, trace_loss_w, feeder_loss_w, switch_loss_w, supply_loss_w;
  double residual_v;
  double residual_k; /* a tape's temperature against its heat; 0 of tw_solve_network */
} tw_network_figures;

/* What one run does. An unlit channel has current 0 and evenness 1. Entries past `channels` are NaN. */
typedef struct tw_fed_run_figures {
  uint32_t struct_size;
  int32_t channels;
  int64_t dimmest;                         /* segment where a channel is furthest below its brightest */
  double at_terminals_v[TW_MOST_CHANNELS]; /* of the controller */
  double highest_load_v[TW_MOST_CHANNELS];
  double lowest_load_v[TW_MOST_CHANNELS];
  double channel_a[TW_MOST_CHANNELS];
  double evenness[TW_MOST_CHANNELS]; /* least over greatest light along the run */
  double total_a;
  double greatest_feed_a; /* common of the most loaded feed point */
  double greatest_link_a; /* common of the most loaded joint */
  double least_evenness;
  double lightness_step; /* CIE 1976 L* */
  double colour_shift;   /* 0..1 */
  double lamps_w, trace_loss_w, feeder_loss_w;
} tw_fed_run_figures;

typedef struct tw_solved tw_solved;
typedef struct tw_dimmed tw_dimmed;

/* Room that any solve of this network needs. */
TW_API tw_status tw_network_workspace(const tw_network* network, int64_t* bytes, tw_fault* why);

/* Solves a network in a block of the caller's, exactly. block: at least tw_network_workspace, its address divisible by
 * 8; it must stay where it is while *solved is used. The network is copied and may go. *solved is NULL unless the status
 * is TW_OK. TW_NO_OPERATING_POINT where constant-power loads ask for more than the wiring can deliver. Source: closed
 * form, Kirchhoff's laws; residual <= 5e-13 of the source voltage. */
TW_API tw_status tw_solve_network(const tw_network* network, void* block, int64_t bytes, tw_solved** solved,
                                  tw_network_figures* figures, tw_fault* why);
/* The same with each run's tape as warm as its heat makes it: ambient + warming x (copper loss + share x lamps) / length,
 * to 1e-10 K. TW_OUT_OF_RANGE of temperature, with the run, where a tape comes to more than 200 degC. */
TW_API tw_status tw_solve_warm_network(const tw_network* network, void* block, int64_t bytes,
                                       tw_solved** solved, tw_network_figures* figures, tw_fault* why);

/* A run of a solved network; trace_c: the temperature of its copper, of its first stretch after tw_solve_network. */
TW_API tw_status tw_solved_run(const tw_solved* solved, int32_t run, tw_fed_run_figures* figures,
                               double* trace_c, tw_fault* why);
/* Every load of a run: room for `loads` figures each, at least segments x channels; channel c of segment k stands at
 * k channels + c. */
TW_API tw_status tw_solved_profile(const tw_solved* solved, int32_t run, double* load_v, double* load_a,
                                   int64_t loads, tw_fault* why);
/* Currents of a feed point's lead (its place in tw_network.feed), towards the tape in the common core and back in the
 * channels': channel_a has room for TW_MOST_CHANNELS. Negative where it takes what another one gave. */
TW_API tw_status tw_solved_feed(const tw_solved* solved, int32_t feed, double* common_a, double* channel_a,
                                tw_fault* why);

/* Where a run of a solved network stands: in the plan that tw_plan_solve_output solved, and in the network's own lists. */
typedef struct tw_solved_place {
  uint32_t struct_size;
  int32_t plan_run; /* -1 of a network that came in as tw_network, as plan_hub */
  int32_t plan_hub;
  int32_t channels;
  int32_t first_feed; /* its feed points stand from here on in the list of all of them */
  int32_t feeds;
  int64_t segments;
} tw_solved_place;

/* How many runs a solved network has, and where one of them stands. */
TW_API tw_status tw_solved_runs(const tw_solved* solved, int32_t* runs, tw_fault* why);
TW_API tw_status tw_solved_place_of(const tw_solved* solved, int32_t run, tw_solved_place* place,
                                    tw_fault* why);

/* Currents that come in pulses. The mean carries light and charge, the r.m.s. value heats copper. */
typedef struct tw_core_currents {
  uint32_t struct_size;
  int32_t reserved;
  double common_mean_a, common_rms_a, common_peak_a;
  double channel_mean_a[TW_MOST_CHANNELS];
  double channel_rms_a[TW_MOST_CHANNELS];
  double channel_peak_a[TW_MOST_CHANNELS];
} tw_core_currents;

/* A dimmed network over a period; powers are means. */
typedef struct tw_dimmed_figures {
  uint32_t struct_size;
  int32_t intervals;            /* pieces of the period in which the same channels are on */
  double mean_a, rms_a, peak_a; /* from the driver */
  double lamps_w, trace_loss_w, feeder_loss_w, switch_loss_w, supply_loss_w;
  double residual_v;
} tw_dimmed_figures;

/* A run of it. Light 1 is a lamp that is always on at the source's own voltage. */
typedef struct tw_dimmed_run_figures {
  uint32_t struct_size;
  int32_t channels;
  double brightest[TW_MOST_CHANNELS]; /* mean light of each channel's brightest lamp; 0 past `channels` */
  double dimmest[TW_MOST_CHANNELS];
  double evenness[TW_MOST_CHANNELS]; /* dimmest over brightest */
  double least_evenness;
  double lamps_w, trace_loss_w, feeder_loss_w;
} tw_dimmed_run_figures;

/* Solves a network whose channels are dimmed as its hubs say, each set of lit channels as a network of its own. Block as
 * for tw_solve_network. Source: closed form. */
TW_API tw_status tw_solve_dimmed_network(const tw_network* network, void* block, int64_t bytes,
                                         tw_dimmed** dimmed, tw_dimmed_figures* figures, tw_fault* why);
/* A run: its light, and the cores of its shared feeder. */
TW_API tw_status tw_dimmed_run(const tw_dimmed* dimmed, int32_t run, tw_dimmed_run_figures* figures,
                               tw_core_currents* feeder, tw_fault* why);
/* A hub: its supply cable as common, its switches as channels. */
TW_API tw_status tw_dimmed_hub(const tw_dimmed* dimmed, int32_t hub, tw_core_currents* currents,
                               tw_fault* why);
/* The lead of a feed point, by its place in tw_network.feed. */
TW_API tw_status tw_dimmed_feed(const tw_dimmed* dimmed, int32_t feed, tw_core_currents* currents,
                                tw_fault* why);
/* Mean light of every load of a run, as tw_solved_profile lists them. */
TW_API tw_status tw_dimmed_light(const tw_dimmed* dimmed, int32_t run, double* light, int64_t loads,
                                 tw_fault* why);

/* A feeder whose channels draw on_a while they are on. */
typedef struct tw_dimmed_question {
  uint32_t struct_size;
  int32_t channels; /* 1..6 */
  double on_a[TW_MOST_CHANNELS];
  double duty[TW_MOST_CHANNELS];  /* 0..1 */
  double phase[TW_MOST_CHANNELS]; /* 0..1: when it switches on */
} tw_dimmed_question;

/* What its cores carry: a channel's mean is I D, its r.m.s. I sqrt(D); the common's r.m.s.^2 is the sum over pairs of
 * channels of I I' times the share in which both are on. Source: closed form. */
TW_API tw_status tw_dimmed_cores(const tw_dimmed_question* question, tw_core_currents* currents,
                                 tw_fault* why);

/* Temperature of a conductor, from a current that is known to bring it from an ambient to a limit (an ampacity). Formula:
 * T - Ta = (Tc - T0) (I / I0)^2 r(T) / r(Tc), linear in T. TW_OUT_OF_RANGE of temperature beyond 200 degC. Source:
 * closed form; copper by IEC 60028. */
TW_API tw_status tw_warm_conductor(double current_a, double rated_a, double rated_ambient_c, double limit_c,
                                   double ambient_c, double* conductor_c, tw_fault* why);

/* Both as text: formula, numbers put in, figure, source, line by line; buffer, capacity and wanted as for
 * tw_plan_explain, everything else as for the question. */
TW_API tw_status tw_explain_dimmed_cores(const tw_dimmed_question* question, char* buffer, int64_t capacity,
                                         int64_t* wanted, tw_fault* why);
TW_API tw_status tw_explain_warm_conductor(double current_a, double rated_a, double rated_ambient_c,
                                           double limit_c, double ambient_c, char* buffer, int64_t capacity,
                                           int64_t* wanted, tw_fault* why);

/* ---- Questions about a network: what moves it, what it may do, how far it is from collapse. Since 2. ---- */

typedef struct tw_sensitivity tw_sensitivity;
typedef struct tw_bounds tw_bounds;

/* Room that any of these questions needs for this network; the block as for tw_solve_network. */
TW_API tw_status tw_question_workspace(const tw_network* network, int64_t* bytes, tw_fault* why);

/* One load of a network, and how its voltage follows what all hubs share. Everything that is called a sensitivity here is
 * dU, of that load's voltage, by another input; tw_network_light_sensitivity tells dS of a share of light in the same
 * structures, and then their members have 1 in place of V: 1 for those in _v, 1/ohm for those in _v_per_ohm. "Of itself"
 * is a relative change: 0.01 times that figure is what one per cent more does. */
typedef struct tw_load_sensitivity {
  uint32_t struct_size;
  int32_t run, channel;
  int32_t at_kink; /* 1: a load stands at a corner of its law, and these are the derivatives of one side */
  int64_t segment;
  double voltage_v, current_a;
  double slope_a_per_v; /* of the load itself: dI = slope dU, + I x the change of its own W/m, of itself */
  double source_v_per_v;
  double lead_v_per_ohm; /* of what all hubs share */
  double own_v_per_a;    /* one ampere more drawn there takes so many volts: how soft its feed is */
  double to_kink_v;      /* nearest that any load comes to a corner of its law; infinite without corners */
} tw_load_sensitivity;

#define TW_LIGHT_OF_DIMMEST 0 /* light of the dimmest lamp over that of the brightest: the evenness */
#define TW_LIGHT_OF_MEAN    1 /* mean light of all lamps over that of the brightest */

/* A share of light of one channel of a run, and how it follows what all hubs share. */
typedef struct tw_light_sensitivity {
  uint32_t struct_size;
  int32_t at_kink;            /* as of tw_load_sensitivity */
  int64_t dimmest, brightest; /* segments; the first of several that are alike */
  double share;               /* 0..1 */
  double source_per_v;        /* for each volt more of the source */
  double lead_per_ohm;        /* of what all hubs share */
  double to_kink_v;           /* as of tw_load_sensitivity */
} tw_light_sensitivity;

/* By the inputs of one run; 0 for what is unlit. */
typedef struct tw_run_sensitivity {
  uint32_t struct_size;
  int32_t reserved;
  double trace_common_v;                    /* common trace of all stretches, of itself */
  double trace_channel_v[TW_MOST_CHANNELS]; /* likewise */
  double load_v[TW_MOST_CHANNELS];          /* nominal W/m, of itself */
  double length_v;                          /* pitch of itself: more trace and more load, as many segments */
  double copper_v;              /* all conductors of its feeders of itself: shared feeder and leads */
  double link_common_v_per_ohm; /* more in the common of each joint */
  double link_channel_v_per_ohm[TW_MOST_CHANNELS];
  double feeder_common_v_per_ohm; /* the shared feeder */
  double feeder_channel_v_per_ohm[TW_MOST_CHANNELS];
} tw_run_sensitivity;

/* By what the runs of a hub share. */
typedef struct tw_hub_sensitivity {
  uint32_t struct_size;
  int32_t reserved;
  double supply_v_per_ohm;
  double channel_v_per_ohm[TW_MOST_CHANNELS]; /* its switches */
} tw_hub_sensitivity;

/* By the lead of a feed point. */
typedef struct tw_feed_sensitivity {
  uint32_t struct_size;
  int32_t reserved;
  double common_v_per_ohm;
  double channel_v_per_ohm[TW_MOST_CHANNELS];
} tw_feed_sensitivity;

/* Exact derivatives of one load's voltage by every input. run: place in tw_network.run; segment counted over all its
 * stretches; segment -1 asks for the run's dimmest lamp, of whichever channel (`channel` is not looked at then).
 * TW_UNKNOWN_REFERENCE for a load that is not there or not lit; TW_NO_OPERATING_POINT on the brink of collapse, where they
 * have no bound. Formula: dU/dR = -I I' (the current in R, and what of one ampere more drawn at that load flows there);
 * dU/d(ln P) = sum of i u'. Source: closed form, the adjoint network (S. W. Director, R. A. Rohrer, 1969). */
TW_API tw_status tw_network_sensitivity(const tw_network* network, int32_t run, int32_t channel,
                                        int64_t segment, void* block, int64_t bytes,
                                        tw_sensitivity** sensitivity, tw_load_sensitivity* load,
                                        tw_fault* why);
/* Exact derivatives of a share of light, TW_LIGHT_OF_..., of a lit channel of a run; everything else as for
 * tw_network_sensitivity. TW_NOT_LISTED for another share. A channel without light has share 0, and no derivatives but 0.
 * Where two lamps are equally bright or dim the share has a corner, and the derivatives are those of the first of them.
 * Formula: S = L / Lb, dS = sum of dL / (n Lb) - S dLb / Lb, each dL = (dL/du) du: these are the amperes that are drawn in
 * the adjoint network. Source: as of tw_network_sensitivity. */
TW_API tw_status tw_network_light_sensitivity(const tw_network* network, int32_t run, int32_t channel,
                                              int32_t which, void* block, int64_t bytes,
                                              tw_sensitivity** sensitivity, tw_light_sensitivity* light,
                                              tw_fault* why);
/* By the inputs of a run, a hub, a feed point: answers of either. */
TW_API tw_status tw_sensitivity_run(const tw_sensitivity* sensitivity, int32_t run,
                                    tw_run_sensitivity* slopes, tw_fault* why);
TW_API tw_status tw_sensitivity_hub(const tw_sensitivity* sensitivity, int32_t hub,
                                    tw_hub_sensitivity* slopes, tw_fault* why);
/* By its place in tw_network.feed. */
TW_API tw_status tw_sensitivity_feed(const tw_sensitivity* sensitivity, int32_t feed,
                                     tw_feed_sensitivity* slopes, tw_fault* why);
/* What a kelvin more in a conductor's copper does, from what it does of itself. of_itself_v -1e6..1e6 V: such as trace_common_v
 * of a run. copper_c -60..200: at which its resistance was taken. Formula: dU/dT = dU/d(ln R) a / (1 + a (T - 20)), a = 0.00393.
 * Source: IEC 60028. */
TW_API tw_status tw_per_kelvin(double of_itself_v, double copper_c, double* v_per_k, tw_fault* why);

/* By what an input may be multiplied, 0.5 <= least <= 1 <= most <= 2; 1 and 1 is exact. Each run, channel and hub has a
 * factor of its own within the range of its kind. */
typedef struct tw_tolerances {
  uint32_t struct_size;
  int32_t reserved;
  double source_least, source_most;   /* the driver's output voltage */
  double load_least, load_most;       /* W/m */
  double trace_least, trace_most;     /* trace resistance, temperature included: tw_copper_range */
  double length_least, length_most;   /* pitch, and with it trace and load */
  double cable_least, cable_most;     /* lead, supplies, feeders and their leads, temperature included */
  double contact_least, contact_most; /* switches, joints */
} tw_tolerances;

/* How a bound was found. */
#define TW_BOUND_BY_NONE       0 /* nothing is told */
#define TW_BOUND_BY_MONOTONE   1 /* every input has one direction: attained at the corner told */
#define TW_BOUND_BY_MEAN_VALUE 2 /* the corner of those with one, the steepest slope of the others */
#define TW_BOUND_BY_ENCLOSURE  3 /* from the currents that are possible at most and at least */

#define TW_CORNER_WORDS 8 /* of 32 bits: 256 inputs */

/* One side of a bound. The corner: bit p % 32 of word p / 32 for input p. Inputs are numbered 0 source, 1 lead, then for each
 * hub its supply and its switches, then for each run trace, length, feeder with leads, joints, and the load of each
 * channel. An input whose bit is set in neither stands at its least. */
typedef struct tw_bound {
  uint32_t struct_size;
  int32_t by;                     /* TW_BOUND_BY_... */
  double value;                   /* in the unit of its figure */
  uint32_t high[TW_CORNER_WORDS]; /* inputs at their greatest */
  uint32_t free[TW_CORNER_WORDS]; /* inputs without a direction, at 1 */
} tw_bound;

#define TW_BOUND_TOTAL           0 /* A */
#define TW_BOUND_LAMPS           1 /* W */
#define TW_BOUND_LOSS            2 /* W: all that does not reach the lamps; of a run: beyond its controller */
#define TW_BOUND_LOWEST_LOAD     3 /* V; this and the next three of a channel of a run */
#define TW_BOUND_HIGHEST_LOAD    4 /* V */
#define TW_BOUND_CHANNEL_CURRENT 5 /* A */
#define TW_BOUND_EVENNESS        6 /* 0..1 */
#define TW_BOUND_FEED_CURRENT    7 /* A, of the most loaded feed point; this and the next three of a run */
#define TW_BOUND_LINK_CURRENT    8 /* A, of its most loaded joint */
#define TW_BOUND_LIGHTNESS_STEP  9 /* L*, 0..100 */
#define TW_BOUND_COLOUR_SHIFT    10 /* 0..1; loose: at most what the least even channel loses */

/* Bounds that no network within the tolerances leaves. TW_NOT_LISTED for more than 256 inputs; TW_NO_OPERATING_POINT where
 * constant-power loads collapse anywhere within the tolerances, or where that cannot be excluded. Formula: where a figure has one direction in every input its value at that corner, else
 * mean value theorem or the interval of the currents. Source: closed form; interval arithmetic. Bounds are widened by
 * 1e-11 of the figure for rounding, currents of feed points and joints by 1e-9 A. */
TW_API tw_status tw_network_bounds(const tw_network* network, const tw_tolerances* tolerances, void* block,
                                   int64_t bytes, tw_bounds** bounds, tw_fault* why);
/* Both sides of one figure, TW_BOUND_...; run -1: the whole network's; channel is looked at where the figure has one. NaN
 * for a channel that is not lit. */
TW_API tw_status tw_bound_of(const tw_bounds* bounds, int32_t figure, int32_t run, int32_t channel,
                             tw_bound* least, tw_bound* most, tw_fault* why);
/* Range of a copper's resistance from its tolerance (0..0.2 either way) and the temperatures that it may have, least_c <=
 * at_c <= most_c, -60..200. Formula: (1 -+ share) (1 + a (T - 20)) / (1 + a (at_c - 20)). Source: IEC 60028. */
TW_API tw_status tw_copper_range(double at_c, double least_c, double most_c, double share, double* least,
                                 double* most, tw_fault* why);

/* What another size of one cable does: the run's dimmest lamp, before and after. */
typedef struct tw_swap_effect {
  uint32_t struct_size;
  int32_t run, channel;
  int32_t reserved;
  int64_t segment;
  double before_v, after_v;
  double first_order_v; /* by its derivatives alone: before + dU/dR x change */
} tw_swap_effect;

/* Solves a network as it is and with one cable of another size. feed: the lead of this feed point of the run, counted from
 * 0, or -1: the feeder that all of its leads share. core_ohm -1e6..1e6: a core of the new cable less one of the old; no core may
 * come out below 0. Source: closed form. */
TW_API tw_status tw_swap_feeder(const tw_network* network, int32_t run, int32_t feed, double core_ohm,
                                void* block, int64_t bytes, tw_swap_effect* effect,
                                tw_network_figures* before, tw_network_figures* after, tw_fault* why);

/* The factor on the power of all constant-power loads at which a network stops to operate: 1.25 says that a quarter more
 * power would be one too much, less than 1 that it does not operate now. Infinite without such loads. Formula: doubled or
 * halved until the answer turns, then halved to 1e-9. Source: closed form for one load behind R: V^2 / (4 R P). */
TW_API tw_status tw_collapse_factor(const tw_network* network, void* block, int64_t bytes, double* factor,
                                    tw_fault* why);

/* Answers to the questions above as text: formula, numbers put in, figure, source, line by line; buffer, capacity and wanted as for
 * tw_plan_explain, everything else as for the question. Runs, hubs, channels and segments are counted from 1 in the text.
 * tw_explain_bounds tells the bounds of one run and at which corners they stand: run from 0, not the whole network's -1.
 * tw_explain_closed_line tells where no closed form applies. */
TW_API tw_status tw_explain_sensitivity(const tw_network* network, int32_t run, int32_t channel,
                                        int64_t segment, void* block, int64_t bytes, char* buffer,
                                        int64_t capacity, int64_t* wanted, tw_fault* why);
TW_API tw_status tw_explain_light_sensitivity(const tw_network* network, int32_t run, int32_t channel,
                                              int32_t which, void* block, int64_t bytes, char* buffer,
                                              int64_t capacity, int64_t* wanted, tw_fault* why);
TW_API tw_status tw_explain_bounds(const tw_network* network, const tw_tolerances* tolerances, int32_t run,
                                   void* block, int64_t bytes, char* buffer, int64_t capacity,
                                   int64_t* wanted, tw_fault* why);
TW_API tw_status tw_explain_feeder_swap(const tw_network* network, int32_t run, int32_t feed, double core_ohm,
                                        void* block, int64_t bytes, char* buffer, int64_t capacity,
                                        int64_t* wanted, tw_fault* why);
TW_API tw_status tw_explain_collapse(const tw_network* network, void* block, int64_t bytes, char* buffer,
                                     int64_t capacity, int64_t* wanted, tw_fault* why);
TW_API tw_status tw_explain_closed_line(const tw_tape* tape, const tw_line_question* question, char* buffer,
                                        int64_t capacity, int64_t* wanted, tw_fault* why);

/* A tape of one channel fed at one end, by plain numbers. law TW_LAW_...; load_w_per_m 0.001..200; nominal_v 3..60;
 * knee_v 0..60, below nominal; common_ohm_per_m and return_ohm_per_m 0..10 at 20 degC; cut_pitch_m 0.001..5;
 * measured_m 0.001..1000; trace_c -60..200; source_v 0.1..120; feed_ohm 0..1e6, out and back before the feed point. */
TW_API tw_status tw_single_line(int32_t law, double load_w_per_m, double nominal_v, double knee_v,
                                double common_ohm_per_m, double return_ohm_per_m, double cut_pitch_m,
                                double measured_m, double trace_c, double source_v, double feed_ohm,
                                double* last_v, double* evenness, double* lightness_step, double* current_a,
                                tw_fault* why);
TW_API tw_status tw_single_longest(int32_t law, double load_w_per_m, double nominal_v, double knee_v,
                                   double common_ohm_per_m, double return_ohm_per_m, double cut_pitch_m,
                                   double trace_c, double source_v, double feed_ohm, double least_evenness,
                                   int64_t* segments, double* length_m, tw_fault* why);

/* ---- columns ------------------------------------------------------------------------------------------ */

/* The functions of the same name, row by row. Each column is a pointer and a stride in ELEMENTS; a stride of 0 gives
 * every row the same figure. rows 0..1e9. Every row is computed; a row at fault has NaN, and the first such row is
 * returned and told in `item`. Columns that come in and go out must not overlap. */
TW_API tw_status tw_cut_length_n(const double* measured_m, int64_t measured_stride, const double* cut_pitch_m,
                                 int64_t cut_pitch_stride, int64_t rows, int64_t* segments,
                                 int64_t segments_stride, double* length_m, int64_t length_stride,
                                 double* dark_m, int64_t dark_stride, tw_fault* why);
TW_API tw_status tw_sale_units_n(const double* need_m, int64_t need_stride, const double* sale_quantum_m,
                                 int64_t sale_quantum_stride, int64_t rows, int64_t* units,
                                 int64_t units_stride, tw_fault* why);
TW_API tw_status tw_channel_load_n(const double* load_w_per_m, int64_t load_stride, const double* nominal_v,
                                   int64_t nominal_stride, const double* length_m, int64_t length_stride,
                                   int64_t rows, double* power_w, int64_t power_stride, double* current_a,
                                   int64_t current_stride, tw_fault* why);
TW_API tw_status tw_copper_resistance_n(const double* resistance_20_ohm_per_m, int64_t resistance_20_stride,
                                        const double* temperature_c, int64_t temperature_stride, int64_t rows,
                                        double* resistance_ohm_per_m, int64_t resistance_stride,
                                        tw_fault* why);
TW_API tw_status tw_two_wire_drop_n(const double* current_a, int64_t current_stride,
                                    const double* resistance_ohm_per_m, int64_t resistance_stride,
                                    const double* one_way_m, int64_t one_way_stride, int64_t rows,
                                    double* drop_v, int64_t drop_stride, tw_fault* why);
TW_API tw_status tw_feeder_drop_n(const double* common_a, int64_t common_stride, const double* own_a,
                                  int64_t own_stride, const double* resistance_ohm_per_m,
                                  int64_t resistance_stride, const double* one_way_m, int64_t one_way_stride,
                                  int64_t rows, double* drop_v, int64_t drop_stride, tw_fault* why);
TW_API tw_status tw_least_area_n(const double* current_a, int64_t current_stride, const double* one_way_m,
                                 int64_t one_way_stride, const double* allowed_v, int64_t allowed_stride,
                                 const double* resistivity_ohm_mm2_per_m, int64_t resistivity_stride,
                                 int64_t rows, double* area_mm2, int64_t area_stride, tw_fault* why);
TW_API tw_status tw_contact_current_n(const double* rated_a, int64_t rated_stride,
                                      const double* rating_ambient_c, int64_t rating_ambient_stride,
                                      const double* upper_limit_c, int64_t upper_limit_stride,
                                      const double* ambient_c, int64_t ambient_stride,
                                      const double* curve_factor, int64_t curve_factor_stride, int64_t rows,
                                      double* allowed_a, int64_t allowed_stride, tw_fault* why);
TW_API tw_status tw_least_capacity_n(const double* load_w, int64_t load_stride, const double* headroom,
                                     int64_t headroom_stride, int64_t rows, double* capacity_w,
                                     int64_t capacity_stride, tw_fault* why);
TW_API tw_status tw_yearly_energy_n(const double* input_w, int64_t input_stride, const double* hours_per_year,
                                    int64_t hours_per_year_stride, int64_t rows, double* energy_kwh,
                                    int64_t energy_stride, tw_fault* why);
TW_API tw_status tw_lightness_n(const double* luminance_ratio, int64_t luminance_ratio_stride, int64_t rows,
                                double* lightness, int64_t lightness_stride, tw_fault* why);

/* ---- the whole plan ----------------------------------------------------------------------------------- */

#define TW_PART_NONE               0
#define TW_PART_TAPE               1
#define TW_PART_CABLE              2
#define TW_PART_CONNECTOR          3
#define TW_PART_CONTROLLER         4
#define TW_PART_DRIVER             5
#define TW_PART_OVERCURRENT_DEVICE 6
#define TW_PART_SERVICE            7

/* Everything that can be bought. A list with a count of 0 may have a null pointer. All rows of one list have the same
 * struct_size, which is also their distance in bytes. */
typedef struct tw_catalogue {
  uint32_t struct_size;
  int32_t tapes, cables, connectors, controllers, drivers, overcurrent_devices;
  int32_t reserved;
  TW_ROWS(tw_tape) tape;
  TW_ROWS(tw_cable) cable;
  TW_ROWS(tw_connector) connector;
  TW_ROWS(tw_controller) controller;
  TW_ROWS(tw_driver) driver;
  TW_ROWS(tw_overcurrent_device) overcurrent_device;
} tw_catalogue;

/* Runs that dim and colour together, and where their driver stands. */
typedef struct tw_zone {
  uint32_t struct_size;
  int32_t wants_controller; /* 1: even a single-colour zone gets one */
  int32_t mount;            /* TW_MOUNT_... */
  int32_t limited_energy;   /* 1: only drivers declared limited-energy */
  int32_t ingress;          /* least IP code of the tape */
  int32_t features;         /* how many words are given, 0..8 */
  char code[TW_CODE_BYTES];
  char driver_place[TW_CODE_BYTES]; /* zones that name the same place may share a driver; may be empty */
  char feature[TW_MOST_WORDS][TW_CODE_BYTES]; /* what a controller must carry */
  double from_driver_m;                       /* cable route driver -> controller (or splice), one way */
  double driver_ambient_c;
} tw_zone;

/* A straight stretch of a run with corners. Since 2. */
typedef struct tw_stretch {
  uint32_t struct_size;
  int32_t reserved;
  double measured_m; /* on the wall, the gap included */
  double gap_m;      /* left dark by the link at the corner before it, 0..1; not of the first stretch */
} tw_stretch;

#define TW_REACH_NEAR_END 0 /* cables reach the near end only */
#define TW_REACH_ENDS     1
#define TW_REACH_ANYWHERE 2 /* both ends and every cut mark between */

#define TW_DARK_FAR_END  0 /* where a stretch stays dark past its last cut mark */
#define TW_DARK_NEAR_END 1
#define TW_DARK_SHARED   2

/* One measured length of tape. */
typedef struct tw_run {
  uint32_t struct_size;
  int32_t zone; /* place in the job's zones */
  int32_t tape; /* place in the catalogue's tapes */
  int32_t reserved;
  char code[TW_CODE_BYTES];
  double measured_m;        /* 0.001..1000, at least one pitch of the tape */
  double from_controller_m; /* cable route controller (or splice) -> near end, one way */
  double ambient_c;         /* air at the tape */
  double cable_ambient_c;   /* air along the feeder */
  int32_t reach;            /* TW_REACH_...; this and all below since 2, and 0 in an older structure */
  int32_t dark;             /* TW_DARK_... */
  int32_t closes;           /* 1: the far end lies at the near end, a ring can be closed there */
  int32_t arrangements;     /* bit a set = TW_FEED_ a may be used; 0 = all */
  double to_far_end_m;      /* cable route controller -> far end, one way, where cables reach it */
  double between_extra_m;   /* added to a route that ends between the ends */
  int32_t stretches;        /* 0 = one of measured_m, else 1..100 that add up to it */
  int32_t spare;            /* 0 */
  TW_ROWS(tw_stretch) stretch;
} tw_run;

/* The rules of a plan; tw_rules_default fills in the defaults. */
typedef struct tw_rules {
  uint32_t struct_size;
  int32_t code_family;      /* TW_CODE_... */
  int32_t method;           /* TW_METHOD_... */
  int32_t grouping;         /* TW_GROUPING_... */
  int32_t circuits_grouped; /* 1..20 */
  int32_t join;             /* 0 = connector first, 1 = soldered tail first */
  int32_t breaker_family;   /* TW_FAMILY_BREAKER_... */
  int32_t reserved;
  int64_t solder_fee_minor; /* for a tail soldered on */
  int64_t tariff_minor_per_kwh;
  double headroom;     /* spare driver capacity as a share of the LOAD */
  double drop_to_feed; /* driver -> feed point, share of nominal */
  double drop_to_lamp; /* driver -> furthest lamp, share of nominal */
  double least_evenness;
  double supply_tolerance; /* of a driver's output, either way */
  double cable_ambient_c;
  double driver_ambient_c;
  double least_conductor_mm2;
  double contact_factor; /* working current of a connector over its base curve */
  double slack_m;        /* spare cable at each end */
  double mains_v;
  double breaker_a;
  double breaker_share; /* steady current over breaker rating */
  double residual_a;    /* rated residual current of the circuit's device */
  double leakage_share; /* of it that the drivers may leak together */
  double hours_per_year;
} tw_rules;

typedef struct tw_job {
  uint32_t struct_size;
  int32_t zones; /* 1..200 */
  int32_t runs;  /* 1..2000 */
  int32_t reserved;
  TW_ROWS(tw_zone) zone;
  TW_ROWS(tw_run) run;
  TW_ROWS(tw_rules) rules; /* NULL = the defaults */
} tw_job;

#define TW_PIN_ZONE_DRIVER     0 /* place: zone; part: the only driver that may supply it */
#define TW_PIN_ZONE_CONTROLLER 1 /* place: zone; part: the only controller that may lead it */
#define TW_PIN_RUN_FEEDER      2 /* place: run; part: the only cable that may feed it */

/* A part that a job insists on. Since 2. */
typedef struct tw_pin {
  uint32_t struct_size;
  int32_t pin;   /* TW_PIN_... */
  int32_t place; /* of the zone or run in the job */
  int32_t part;  /* place in that list of the catalogue */
} tw_pin;

#define TW_ROUNDING_EACH_LINE 0 /* discount and tax of each line, so that the sum is what the lines show */
#define TW_ROUNDING_TOTAL     1 /* discount of the net total, tax of what is left */

/* How an order is priced and searched for, and what it must keep to; tw_terms_default fills in the defaults. Since 2. */
typedef struct tw_terms {
  uint32_t struct_size;
  int32_t discount_bp;   /* of the net price, hundredths of a per cent, 0..10000 */
  int32_t tax_bp;        /* of what is left, hundredths of a per cent, 0..100000 */
  int32_t rounding;      /* TW_ROUNDING_..., half up to a whole minor unit */
  int64_t cut_fee_minor; /* for a piece of tape cut to length, 0..1e12; 0 = not charged */
  int64_t search_steps;  /* 1..1e9, of all searches together: a budget that no machine's speed changes */
  /* What spare capacity is worth, 0..1e9 each; 0 = nothing. Parts are chosen by their price less what their capacity is
   * worth, rounded down to a minor unit. A load is the same whatever part carries it, so that of two orders the one with
   * more capacity has as much more to spare; what controllers that keep a tape's all-on limit take off the load of a
   * driver is not counted. Among parts of which one is chosen a weight counts no more than by which each of them still
   * counts a minor unit. From a part without a price nothing is taken off. */
  int64_t spare_driver_minor_per_100w;  /* of all outputs of a driver, derated, headroom kept */
  int64_t spare_controller_minor_per_a; /* of a controller's total, or its terminal's where that takes less */
  int64_t spare_cable_minor_per_a;      /* of the ampacity of each feeder and supply cable, however long */
  int32_t pins;                         /* number of rows of the list, 0..1000000 */
  int32_t reserved;
  TW_ROWS(tw_pin) pin; /* in any order; the same zone or run twice, to different parts, is TW_CONTRADICTION */
} tw_terms;

typedef struct tw_plan tw_plan;

TW_API tw_status tw_rules_default(tw_rules* rules, tw_fault* why);
/* No discount, no tax, no fee, rounded on the total, 200000 steps, nothing for spare capacity, no pins. Since 2. */
TW_API tw_status tw_terms_default(tw_terms* terms, tw_fault* why);

/* Room that tw_plan_make needs for a job: up to 8 KiB a run that is one straight stretch fed at its near end, and some
 * more for corners and further feed points. */
TW_API tw_status tw_plan_bytes(const tw_job* job, const tw_catalogue* catalogue, int64_t* bytes,
                               tw_fault* why);

/* Plans a job in a block of the caller's: cuts, feeds, switches, supplies, protects, verifies, orders.
 * block: at least tw_plan_bytes, its address divisible by 8; it must stay where it is while the plan is used, and the
 * plan ends with it. Job and catalogue are copied into it and may go. *plan is NULL unless the status is TW_OK. A
 * design that breaks a rule is a plan all the same: see tw_plan_summary.fits and the findings, worst first. */
TW_API tw_status tw_plan_make(const tw_job* job, const tw_catalogue* catalogue, void* block, int64_t bytes,
                              tw_plan** plan, tw_fault* why);

/* The same by terms, which may be NULL: then tw_terms_default holds. A pin that points at nothing is
 * TW_UNKNOWN_REFERENCE, and `item` tells which. A pinned part that does not fit is a plan that does not. Since 2. */
TW_API tw_status tw_plan_bytes_by(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                                  int64_t* bytes, tw_fault* why);
TW_API tw_status tw_plan_make_by(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                                 void* block, int64_t bytes, tw_plan** plan, tw_fault* why);

/* Totals, and how long each list is. */
typedef struct tw_plan_totals {
  uint32_t struct_size;
  int32_t fits;              /* 1: no rule is broken */
  int32_t every_price_known; /* 0: the price is a lower bound */
  int32_t runs, hubs, outputs, drivers, order_lines, cut_pieces, connections, findings, readings, notes;
  int32_t breakers;     /* circuits of the given breaker, each with a residual current device of its own */
  int32_t drivers_each; /* most drivers on one of them */
  int32_t feeds;        /* further feed points; since 2 */
  int64_t price_minor;
  int64_t yearly_cost_minor;
  double load_w;
  double mains_a;
  double leakage_a;
  double yearly_kwh;
  int32_t stretches; /* pieces of runs that have several; since 2 */
  int32_t reserved;
} tw_plan_totals;

/* What is paid for an order, in whole minor units: gross = net - discount + tax, exactly; and what it costs at least.
 * Since 2. */
typedef struct tw_quote {
  uint32_t struct_size;
  int32_t proven;            /* 1: it holds every rule, and no order that does is cheaper */
  int32_t every_price_known; /* 0: net is a lower bound */
  int32_t reserved;
  int64_t net_minor; /* sum of the lines whose price is known; above 4e15 all five are 0 */
  int64_t discount_minor;
  int64_t taxable_minor; /* net - discount */
  int64_t tax_minor;
  int64_t gross_minor;
  /* What the net price of any order for this job is at least that holds every rule: whatever controllers carry the
   * runs, whatever drivers carry these, whatever cables, joints and protection follow, and however tape and cable are
   * cut from what is sold. 0 = no bound, for want of prices. Where spare capacity is worth something, what the net price
   * less capacity_credit_minor is at least, cables, joints and protection as they are; below 0 too. */
  int64_t price_at_least_minor;
  int64_t gap_minor;    /* net price, less that credit, above that bound */
  int64_t search_steps; /* that the searches took */
  int64_t
      capacity_credit_minor; /* what the terms' weights take off for the capacity bought; net is what is paid */
  double spare_drivers_w;    /* what all outputs may carry beyond the load, headroom kept */
  double spare_controllers_a; /* what the controllers' totals may carry beyond theirs */
  double spare_cables_a;      /* what the cables' common cores may carry beyond their currents */
} tw_quote;

#define TW_JOIN_FREE_TAIL     0 /* the tail that comes with the tape reaches */
#define TW_JOIN_CONNECTOR     1
#define TW_JOIN_SOLDERED_TAIL 2

/* One run of the job in the job's order, or a section of one. Its first feed point stands here, further ones are
 * more_feeds rows of tw_plan_feed from feeds_from on; its pieces, where it has several, are `stretches` rows of
 * tw_plan_stretch from stretches_from on. */
typedef struct tw_run_plan {
  uint32_t struct_size;
  int32_t run;
  int32_t hub;             /* place in the plan's hubs */
  int32_t join;            /* TW_JOIN_... */
  int32_t connector;       /* place in the catalogue; -1 = none */
  int32_t feeder_number;   /* W1, W2 ...; 0 = no cable needed */
  int32_t feeder_cable;    /* place in the catalogue; -1 = none */
  int32_t feeder_ruled_by; /* TW_LIMIT_...: what ruled out the next cheaper cable */
  int32_t solved;          /* 1: the network of this run has a steady state */
  int32_t section;         /* from 0; since 2 */
  int64_t segments;
  int64_t units; /* sale quanta of tape */
  int64_t reels;
  double length_m, dark_m;
  double sold_m, spare_m, from_reels_m;
  double route_m, cut_m;                /* of the feeder: one way, and with its slack */
  double feed_least_v, feed_greatest_v; /* all on, supply at either end of its tolerance */
  double end_least_v, end_greatest_v;   /* the furthest lamp's dimmest channel, likewise */
  int32_t sections;                     /* of its run; this and all below since 2 */
  int32_t arrangement;                  /* TW_FEED_... */
  int32_t more_feeds, feeds_from;
  int32_t stretches, stretches_from;
  int64_t first; /* cut mark of the whole run where it begins */
  int64_t at;    /* cut mark of its first feed point, from its near end */
  double feed_a; /* common of that feed point */
  double link_a; /* common of its busiest link */
} tw_run_plan;

/* A further feed point of a run. Since 2. */
typedef struct tw_feed_plan {
  uint32_t struct_size;
  int32_t join;            /* TW_JOIN_... */
  int32_t connector;       /* place in the catalogue; -1 = none */
  int32_t feeder_number;   /* W1, W2 ...; 0 = no cable needed */
  int32_t feeder_cable;    /* place in the catalogue; -1 = none */
  int32_t feeder_ruled_by; /* TW_LIMIT_... */
  int64_t at;              /* cut mark of its run, from the near end */
  double route_m, cut_m;   /* of the feeder: one way, and with its slack */
  double feed_a;           /* in its common */
  double feed_least_v, feed_greatest_v;
} tw_feed_plan;

/* A piece of tape of a run that has several, and the link before it. Since 2. */
typedef struct tw_stretch_plan {
  uint32_t struct_size;
  int32_t run;       /* place in the plan */
  int32_t linked;    /* 1: a link joins it to what comes before; of a ring's first piece, to its last */
  int32_t connector; /* place in the catalogue; -1 = a soldered bridge, or no link */
  int64_t segments;
  double length_m;
  double dark_m, dark_near_m; /* wall left dark at both its ends, and at its near end */
  double gap_m;               /* the link's share of it */
} tw_stretch_plan;

/* Where feeders come together: a controller, or (-1) a splice or the driver's own terminals. */
typedef struct tw_hub_plan {
  uint32_t struct_size;
  int32_t zone;
  int32_t controller; /* place in the catalogue; -1 = none */
  int32_t follows;    /* hub whose signal a repeater follows; -1 = none */
  int32_t output;     /* place in the plan's outputs */
  int32_t runs;
  int32_t splice; /* place in the catalogue's connectors; -1 = none */
  int32_t splices;
  int32_t supply_number;   /* W1, W2 ...; 0 = no cable needed */
  int32_t supply_cable;    /* place in the catalogue; -1 = none */
  int32_t supply_ruled_by; /* TW_LIMIT_... */
  int32_t channels;
  double channel_a[TW_MOST_CHANNELS];
  double total_a;
  double load_w;
  double route_m, cut_m; /* of the supply cable */
  double input_v;        /* solved, nominal supply, everything on */
} tw_hub_plan;

/* One output of a driver. */
typedef struct tw_output_plan {
  uint32_t struct_size;
  int32_t driver; /* place in the plan's drivers */
  int32_t number; /* of that driver's outputs, from 1 */
  int32_t device; /* overcurrent device, place in the catalogue; -1 = none */
  int32_t plug;   /* mating connector, place in the catalogue; -1 = none */
  int32_t reserved;
  double load_w;
  double current_a;
} tw_output_plan;

typedef struct tw_driver_plan {
  uint32_t struct_size;
  int32_t driver;  /* place in the catalogue */
  int32_t zone;    /* the first zone it serves */
  int32_t outputs; /* how many are used */
  double load_w;
  double mains_a;
} tw_driver_plan;

#define TW_SERVICE_NONE          0
#define TW_SERVICE_SOLDERED_TAIL 1
#define TW_SERVICE_SOLDERED_LINK 2 /* a bridge between two pieces of tape */
#define TW_SERVICE_CUT_PIECE     3 /* a piece of tape cut to length */

/* A line of the order. quantity counts sale units: quanta of tape and cable, pieces otherwise. */
typedef struct tw_order_line {
  uint32_t struct_size;
  int32_t part_kind; /* TW_PART_... */
  int32_t part;      /* place in that list of the catalogue */
  int32_t service;   /* TW_SERVICE_... */
  int32_t price_known;
  int32_t reserved;
  int64_t quantity;
  int64_t unit_price_minor, total_minor;
  double length_m; /* for tape and cable, else 0 */
} tw_order_line;

#define TW_SUBJECT_JOB    0
#define TW_SUBJECT_ZONE   1 /* place in the job */
#define TW_SUBJECT_RUN    2 /* place in the plan, as all below */
#define TW_SUBJECT_HUB    3
#define TW_SUBJECT_DRIVER 4

typedef struct tw_cut_piece {
  uint32_t struct_size;
  int32_t part_kind, part;
  int32_t subject_kind, subject;
  int32_t number;   /* W-number of a cable */
  int64_t segments; /* of tape */
  double length_m;
  double dark_m;      /* wall left dark at both ends of the piece */
  double dark_near_m; /* at its near end; since 2 */
} tw_cut_piece;

/* What a piece is cut from. Since 2. */
typedef struct tw_cut_stock {
  uint32_t struct_size;
  int32_t stock;  /* which of the lengths bought of its part, from 1 */
  double stock_m; /* how long that one is */
} tw_cut_stock;

#define TW_TERMINAL_DRIVER_POSITIVE 0 /* owner: output, as for the three below */
#define TW_TERMINAL_DRIVER_NEGATIVE 1
#define TW_TERMINAL_FUSE_IN         2
#define TW_TERMINAL_FUSE_OUT        3
#define TW_TERMINAL_HUB_POSITIVE    4 /* owner: hub */
#define TW_TERMINAL_HUB_NEGATIVE    5
#define TW_TERMINAL_HUB_COMMON      6
#define TW_TERMINAL_HUB_CHANNEL     7
#define TW_TERMINAL_TAPE_COMMON     8 /* owner: run */
#define TW_TERMINAL_TAPE_CHANNEL    9

/* One conductor of the connection schedule. */
typedef struct tw_connection {
  uint32_t struct_size;
  int32_t number;                              /* W-number of its cable; 0 = a bridge inside an enclosure */
  int32_t cable;                               /* place in the catalogue; -1 = none */
  int32_t core;                                /* from 1 within the cable */
  int32_t from_kind, from_owner, from_channel; /* TW_TERMINAL_... */
  int32_t to_kind, to_owner, to_channel;
  double area_mm2;
  double length_m;
  double current_a; /* all channels on */
  int32_t to_feed;  /* which of a run's feed points, from 0; since 2 */
  int32_t reserved;
} tw_connection;

#define TW_SEVERITY_OK       0
#define TW_SEVERITY_NOTE     1
#define TW_SEVERITY_STRAINED 2 /* works, but a wish or a maker's advice is not met */
#define TW_SEVERITY_FAILED   3 /* a rule is broken: do not build it so */

/* One check. value and limit have the unit that tw_finding_unit tells; utilisation above 1: not held. */
typedef struct tw_finding {
  uint32_t struct_size;
  int32_t finding;  /* TW_FINDING_... */
  int32_t severity; /* TW_SEVERITY_... */
  int32_t subject_kind, subject;
  int32_t source;
  int32_t advice;     /* TW_ADVICE_... */
  int32_t stopped_by; /* TW_LIMIT_...: for "no ... fits", what the nearest candidate broke */
  double value, limit;
  double utilisation;
} tw_finding;

#define TW_READING_DRIVER_OUTPUT   0
#define TW_READING_HUB_INPUT       1
#define TW_READING_FEED_POINT      2
#define TW_READING_FAR_END         3
#define TW_READING_CHANNEL_CURRENT 4 /* in amperes, the others in volts */

/* What a meter should show. */
typedef struct tw_reading {
  uint32_t struct_size;
  int32_t kind; /* TW_READING_... */
  int32_t subject_kind, subject;
  int32_t channel; /* lit alone; -1 = all on, reading on the lowest */
  int32_t feed;    /* which of a run's feed points, from 0; since 2 */
  double expected_v_or_a;
  double least_v_or_a, most_v_or_a;
} tw_reading;

#define TW_READER_EVERYONE    0 /* a caution */
#define TW_READER_ELECTRICIAN 1 /* a task for a qualified person */

typedef struct tw_note {
  uint32_t struct_size;
  int32_t note; /* TW_NOTE_..., tw_note_text */
  int32_t subject_kind, subject;
  int32_t reader; /* TW_READER_... */
  int32_t reserved;
} tw_note;

/* Lists of a plan by place, from 0; TW_UNKNOWN_REFERENCE past their end. A plan that is not one is
 * TW_VERSION_MISMATCH. */
TW_API tw_status tw_plan_summary(const tw_plan* plan, tw_plan_totals* totals, tw_fault* why);
TW_API tw_status tw_plan_quote(const tw_plan* plan, tw_quote* quote, tw_fault* why); /* since 2 */
TW_API tw_status tw_plan_run(const tw_plan* plan, int32_t place, tw_run_plan* run, tw_fault* why);
TW_API tw_status tw_plan_feed(const tw_plan* plan, int32_t place, tw_feed_plan* feed, tw_fault* why);
TW_API tw_status tw_plan_stretch(const tw_plan* plan, int32_t place, tw_stretch_plan* stretch, tw_fault* why);
TW_API tw_status tw_plan_hub(const tw_plan* plan, int32_t place, tw_hub_plan* hub, tw_fault* why);
TW_API tw_status tw_plan_output(const tw_plan* plan, int32_t place, tw_output_plan* output, tw_fault* why);
TW_API tw_status tw_plan_driver(const tw_plan* plan, int32_t place, tw_driver_plan* driver, tw_fault* why);
TW_API tw_status tw_plan_order_line(const tw_plan* plan, int32_t place, tw_order_line* line, tw_fault* why);
TW_API tw_status tw_plan_cut_piece(const tw_plan* plan, int32_t place, tw_cut_piece* piece, tw_fault* why);
/* What the piece at a place of that list is cut from. Since 2. */
TW_API tw_status tw_plan_cut_stock(const tw_plan* plan, int32_t place, tw_cut_stock* stock, tw_fault* why);
TW_API tw_status tw_plan_connection(const tw_plan* plan, int32_t place, tw_connection* connection,
                                    tw_fault* why);
TW_API tw_status tw_plan_finding(const tw_plan* plan, int32_t place, tw_finding* finding, tw_fault* why);
TW_API tw_status tw_plan_reading(const tw_plan* plan, int32_t place, tw_reading* reading, tw_fault* why);
TW_API tw_status tw_plan_note(const tw_plan* plan, int32_t place, tw_note* note, tw_fault* why);

/* What was decided on, figure by figure: a run's load, feeder, joint and solved line; a hub's controller, supply
 * cable and splice; an output's driver, protection and plug. Figures of what is not there (no cable, no controller) are NaN or 0. */
TW_API tw_status tw_plan_run_load(const tw_plan* plan, int32_t run, tw_tape_load* load, tw_fault* why);
TW_API tw_status tw_plan_run_feeder(const tw_plan* plan, int32_t run, tw_feeder_check* check, tw_fault* why);
TW_API tw_status tw_plan_run_joint(const tw_plan* plan, int32_t run, tw_connector_check* check,
                                   tw_fault* why);
TW_API tw_status tw_plan_run_line(const tw_plan* plan, int32_t run, tw_line_figures* figures, tw_fault* why);
/* Feeder and joint of a further feed point, and the link before a piece. Since 2. */
TW_API tw_status tw_plan_feed_feeder(const tw_plan* plan, int32_t feed, tw_feeder_check* check,
                                     tw_fault* why);
TW_API tw_status tw_plan_feed_joint(const tw_plan* plan, int32_t feed, tw_connector_check* check,
                                    tw_fault* why);
TW_API tw_status tw_plan_stretch_link(const tw_plan* plan, int32_t stretch, tw_connector_check* check,
                                      tw_fault* why);
/* A run lamp by lamp, everything lit, nominal supply, hot cables: volts and amperes of every load. loads: how many it
 * has, segments x channels; bytes: the room that tw_plan_profile works in. Since 2. */
TW_API tw_status tw_plan_profile_room(const tw_plan* plan, int32_t run, int64_t* loads, int64_t* bytes,
                                      tw_fault* why);
/* load_v, load_a: NULL, or room for `loads` figures each, at least as many as the run has; channel c of segment k stands
 * at k channels + c. block: at least the bytes above, its address divisible by 8. TW_NOT_CONVERGED where the plan has no
 * solution for the run. Source: closed form, Kirchhoff's laws; the currents of the plan to 1e-9 A. Since 2. */
TW_API tw_status tw_plan_profile(const tw_plan* plan, int32_t run, double* load_v, double* load_a,
                                 int64_t loads, void* block, int64_t bytes, tw_fault* why);
TW_API tw_status tw_plan_hub_check(const tw_plan* plan, int32_t hub, tw_controller_check* check,
                                   tw_fault* why);
TW_API tw_status tw_plan_hub_supply(const tw_plan* plan, int32_t hub, tw_feeder_check* check, tw_fault* why);
TW_API tw_status tw_plan_hub_splice(const tw_plan* plan, int32_t hub, tw_connector_check* check,
                                    tw_fault* why);
TW_API tw_status tw_plan_output_check(const tw_plan* plan, int32_t output, tw_driver_check* check,
                                      tw_fault* why);
TW_API tw_status tw_plan_output_protection(const tw_plan* plan, int32_t output, tw_overcurrent_check* check,
                                           tw_fault* why);
TW_API tw_status tw_plan_output_plug(const tw_plan* plan, int32_t output, tw_connector_check* check,
                                     tw_fault* why);

/* Everything on one driver output of a plan, as laid, solved at once: supply cables, controllers, feeders and tapes together.
 * output: place among the plan's outputs; source_v 0.1..120 at the driver; copper_c -60..200 of all cables (traces are at the
 * runs' ambients); lit: bit c set = channel c is on, TW_ALL_LIT. The block as for tw_solve_network, the answer read by
 * tw_solved_run, _profile, _feed; tw_solved_place_of tells which run of the plan is which. With the tapes' nominal voltage and
 * 70 degC it gives, to 1e-9, what tw_plan_run_line tells; with (1 - supply_tolerance) of it end_least_v of tw_run_plan, with
 * (1 + supply_tolerance) and 20 degC end_greatest_v. Source: closed form, Kirchhoff's laws. Since 2. */
TW_API tw_status tw_plan_output_workspace(const tw_plan* plan, int32_t output, int64_t* bytes, tw_fault* why);
TW_API tw_status tw_plan_solve_output(const tw_plan* plan, int32_t output, double source_v, double copper_c,
                                      int32_t lit, void* block, int64_t bytes, tw_solved** solved,
                                      tw_network_figures* figures, tw_fault* why);

/* Text written for a plan, into a buffer of the caller's, with a zero byte at its end. `wanted` is the number of bytes
 * of the whole text without that zero. Where capacity is not above it the text is cut there, and TW_NO_ROOM tells the
 * capacity needed; wanted is set all the same. capacity 0 with a null buffer asks for wanted alone.
 * tw_plan_explain: how each figure of a run came about: formula, numbers, source.
 * tw_plan_subject_name: what a finding, reading or note is about: "T1", "K2", a run's own code.
 * tw_plan_terminal_name: a terminal of the connection schedule: "K1:CW". */
TW_API tw_status tw_plan_explain(const tw_plan* plan, int32_t run, char* buffer, int64_t capacity,
                                 int64_t* wanted, tw_fault* why);
TW_API tw_status tw_plan_subject_name(const tw_plan* plan, int32_t subject_kind, int32_t subject,
                                      char* buffer, int64_t capacity, int64_t* wanted, tw_fault* why);
TW_API tw_status tw_plan_terminal_name(const tw_plan* plan, int32_t terminal_kind, int32_t owner,
                                       int32_t channel, char* buffer, int64_t capacity, int64_t* wanted,
                                       tw_fault* why);
/* Terminal of a run's feed point, where it has several: channel -1 for the common, feed from 0. Since 2. */
TW_API tw_status tw_plan_tape_terminal_name(const tw_plan* plan, int32_t run, int32_t feed, int32_t channel,
                                            char* buffer, int64_t capacity, int64_t* wanted, tw_fault* why);
/* Code of a part, as the plan's own catalogue has it. part_kind TW_PART_TAPE..TW_PART_OVERCURRENT_DEVICE. Since 2. */
TW_API tw_status tw_plan_part_code(const tw_plan* plan, int32_t part_kind, int32_t part, char* buffer,
                                   int64_t capacity, int64_t* wanted, tw_fault* why);

/* ---- what if ------------------------------------------------------------------------------------------ */
/* All of it since 2. Blocks as in tw_plan_make: the caller's, of the size that ..._bytes tells, address divisible by 8;
 * a handle into one ends with it. terms may be NULL. */

/* A part out of stock, not wanted, or not allowed. */
typedef struct tw_ban {
  uint32_t struct_size;
  int32_t part_kind; /* TW_PART_CABLE..TW_PART_OVERCURRENT_DEVICE; tapes stay, since runs name theirs */
  int32_t part;      /* place in that list of the catalogue */
  int32_t reserved;
} tw_ban;

/* A catalogue without some parts, in a block of the caller's: `rest` points into it, whoever plans with `rest` must keep
 * it. Places of a list that loses a row move up, so that a plan made with `rest`, and its pins, refer to `rest`. A ban of
 * what is not there is TW_UNKNOWN_REFERENCE, of another kind TW_NOT_LISTED (`given` the kind, which is no field: 0);
 * `item` tells which. */
TW_API tw_status tw_catalogue_bytes(const tw_catalogue* catalogue, const tw_ban* ban, int32_t bans,
                                    int64_t* bytes, tw_fault* why);
TW_API tw_status tw_catalogue_without(const tw_catalogue* catalogue, const tw_ban* ban, int32_t bans,
                                      void* block, int64_t bytes, tw_catalogue* rest, tw_fault* why);

#define TW_CHANGE_ORDER_LINE     1 /* quantity, length or price of a part or service; 0 where it was not there */
#define TW_CHANGE_RUN_ADDED      2  /* only the second job has it; lengths are the lit ones */
#define TW_CHANGE_RUN_REMOVED    3  /* only the first job has it */
#define TW_CHANGE_RUN_LENGTH     4  /* lit length; quantities are cut segments */
#define TW_CHANGE_RUN_TAPE       5  /* another tape */
#define TW_CHANGE_RUN_FEEDER     6  /* another cable, or none */
#define TW_CHANGE_RUN_JOINT      7  /* another connector at the tape, or none */
#define TW_CHANGE_RUN_CONTROLLER 8  /* another kind of controller, or none */
#define TW_CHANGE_RUN_DRIVER     9  /* another kind of driver, or none */
#define TW_CHANGE_RUN_VERDICT    10 /* whether all checks of the run hold: quantities 1 and 0 */

/* What became different from one plan to another. A run is known by its code, a part by its kind and code. */
typedef struct tw_plan_change {
  uint32_t struct_size;
  int32_t kind;    /* TW_CHANGE_... */
  int32_t run;     /* place in the second job, in the first where it was removed; -1 = none */
  int32_t service; /* TW_SERVICE_... of an order line */
  int32_t kind_before, part_before; /* TW_PART_... and place, as the first plan has it; -1 = none */
  int32_t kind_after, part_after;   /* as the second has it */
  int64_t quantity_before, quantity_after;
  int64_t price_before_minor, price_after_minor;
  double length_before_m, length_after_m;
} tw_plan_change;

typedef struct tw_changes tw_changes;

/* Lines of the order first, then run by run of the second job, then the runs that are gone. Both plans stay where they
 * are for this call. count 0 = nothing is different. */
TW_API tw_status tw_changes_bytes(const tw_plan* before, const tw_plan* after, int64_t* bytes, tw_fault* why);
TW_API tw_status tw_changes_make(const tw_plan* before, const tw_plan* after, void* block, int64_t bytes,
                                 tw_changes** changes, int32_t* count, tw_fault* why);
TW_API tw_status tw_changes_row(const tw_changes* changes, int32_t place, tw_plan_change* change,
                                tw_fault* why);

#define TW_ALTERNATIVE_FEWER_DRIVERS  1 /* as few drivers as the limits allow, whatever they cost */
#define TW_ALTERNATIVE_THINNER_CABLE  2 /* nothing as thick as the thickest conductor of the cheapest order */
#define TW_ALTERNATIVE_PLUG_IN        3 /* plug-in drivers wherever the job leaves it open */
#define TW_ALTERNATIVE_HARDWIRED      4 /* hardwired drivers wherever the job leaves it open */
#define TW_ALTERNATIVE_SOLDERED_TAILS 5 /* the feeders soldered on instead of plugged */
#define TW_ALTERNATIVE_CONNECTORS     6 /* connectors at the tapes instead of soldered tails */

/* An order that fits and differs in kind from the one that tw_plan_make gives. */
typedef struct tw_alternative {
  uint32_t struct_size;
  int32_t kind; /* TW_ALTERNATIVE_... */
  int32_t every_price_known;
  int32_t drivers;
  int32_t plug_in;               /* of them */
  int32_t soldered;              /* tails soldered on */
  int64_t price_minor;           /* net */
  int64_t capacity_credit_minor; /* what the terms' weights take off it, see tw_quote */
  double thickest_mm2;           /* conductor of any cable laid; 0 = none */
} tw_alternative;

typedef struct tw_alternatives tw_alternatives;

/* The next best orders, cheapest first (by price less credit), up to one of each kind; none where the job itself does not fit. They take the
 * time of seven plans. */
TW_API tw_status tw_alternatives_bytes(const tw_job* job, const tw_catalogue* catalogue,
                                       const tw_terms* terms, int64_t* bytes, tw_fault* why);
TW_API tw_status tw_alternatives_make(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                                      void* block, int64_t bytes, tw_alternatives** alternatives,
                                      int32_t* count, tw_fault* why);
TW_API tw_status tw_alternatives_row(const tw_alternatives* alternatives, int32_t place,
                                     tw_alternative* alternative, tw_fault* why);
/* One of them in full. The plan stands in the same block, until the next one is asked for. Its cables are those of a
 * shorter list where the kind is TW_ALTERNATIVE_THINNER_CABLE: tw_plan_part_code names them. */
TW_API tw_status tw_alternatives_plan(tw_alternatives* alternatives, int32_t place, tw_plan** plan,
                                      tw_fault* why);
TW_API const char* tw_alternative_text(int32_t alternative); /* "fewer drivers"; "" for what is not known */

#define TW_DEMAND_RUN            0 /* that a run is lit at its length, in metres */
#define TW_DEMAND_RULE           1 /* a design rule at its value */
#define TW_DEMAND_MOUNT          2 /* a zone's wish for plug-in or hardwired drivers, as all below but the last */
#define TW_DEMAND_LIMITED_ENERGY 3
#define TW_DEMAND_INGRESS        4 /* least IP code */
#define TW_DEMAND_FEATURES       5 /* how many */
#define TW_DEMAND_DRIVER         6 /* the pinned part's place, as the two below */
#define TW_DEMAND_CONTROLLER     7
#define TW_DEMAND_FEEDER         8 /* of a run */

/* Whether a job can be done as asked, and how much is told of what is in the way. */
typedef struct tw_conflict_facts {
  uint32_t struct_size;
  int32_t conflicting; /* 0: the job fits, and nothing else is told */
  int32_t smallest;    /* 1: one run and at most two other demands, and no run that fails has fewer */
  int32_t demands;     /* that do not go together; without any of them the rest would fit */
  int32_t relaxations; /* each of which would help, given up alone; 0 = none of them does */
  int32_t plans;       /* made on the way */
} tw_conflict_facts;

/* What a job asks for, one thing at a time. */
typedef struct tw_demand {
  uint32_t struct_size;
  int32_t kind;  /* TW_DEMAND_... */
  int32_t place; /* of the run or zone in the job, of the rule: tw_rule_name */
  int32_t reserved;
  double value;
} tw_demand;

/* One demand given up, or given up as far as it must be, all others as they were. */
typedef struct tw_relaxation {
  uint32_t struct_size;
  int32_t kind, place; /* as in tw_demand */
  int32_t every_price_known;
  int32_t whole_job_fits; /* 1: the rest of the job has no conflict of its own */
  int32_t reserved;
  double from;
  double to;           /* the nearest value that works; NaN where the wish must go altogether */
  int64_t price_minor; /* net, of the order of the runs in conflict, then */
} tw_relaxation;

typedef struct tw_conflict tw_conflict;

/* The smallest set of runs, rules, wishes and pins that do not go together, and what would help, cheapest first. Hundreds
 * of plans may be made on the way. tw_conflict_finding: what fails where only these are asked; a run is told by its
 * place in the job. */
TW_API tw_status tw_conflict_bytes(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                                   int64_t* bytes, tw_fault* why);
TW_API tw_status tw_conflict_make(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                                  void* block, int64_t bytes, tw_conflict** conflict, tw_fault* why);
TW_API tw_status tw_conflict_summary(const tw_conflict* conflict, tw_conflict_facts* facts, tw_fault* why);
TW_API tw_status tw_conflict_finding(const tw_conflict* conflict, tw_finding* finding, tw_fault* why);
TW_API tw_status tw_conflict_demand(const tw_conflict* conflict, int32_t place, tw_demand* demand,
                                    tw_fault* why);
TW_API tw_status tw_conflict_relaxation(const tw_conflict* conflict, int32_t place, tw_relaxation* relaxation,
                                        tw_fault* why);
/* Name and meaning of a design rule by its number, from 0: "drop_to_lamp". "" past the last one. */
TW_API const char* tw_rule_name(int32_t rule);
TW_API const char* tw_rule_text(int32_t rule);

/* ---- numbers of the tables ---------------------------------------------------------------------------- */

/* Each has its text: tw_field_text, tw_limit_text, tw_finding_text, tw_advice_text, tw_note_text. A test compares
 * them with the library's tables. */
/* Fields */
#define TW_FIELD_CURRENT               1
#define TW_FIELD_VOLTAGE               2
#define TW_FIELD_POWER                 3
#define TW_FIELD_LENGTH                4
#define TW_FIELD_ONE_WAY               5
#define TW_FIELD_RESISTANCE_PER_METRE  6
#define TW_FIELD_RESISTANCE            7
#define TW_FIELD_AREA                  8
#define TW_FIELD_TEMPERATURE           9
#define TW_FIELD_AMBIENT               10
#define TW_FIELD_CONDUCTOR_LIMIT       11
#define TW_FIELD_LOAD_PER_METRE        12
#define TW_FIELD_NOMINAL_VOLTAGE       13
#define TW_FIELD_HIGHEST_VOLTAGE       14
#define TW_FIELD_KNEE_VOLTAGE          15
#define TW_FIELD_COMMON_RESISTANCE     16
#define TW_FIELD_RETURN_RESISTANCE     17
#define TW_FIELD_CUT_PITCH             18
#define TW_FIELD_LONGEST_PIECE         19
#define TW_FIELD_FEED_POINT_LIMIT      20
#define TW_FIELD_SINGLE_FEED_LIMIT     21
#define TW_FIELD_ALL_ON_LIMIT          22
#define TW_FIELD_FREE_TAIL             23
#define TW_FIELD_SALE_QUANTUM          24
#define TW_FIELD_REEL_LENGTH           25
#define TW_FIELD_PRICE                 26
#define TW_FIELD_LOWEST_AMBIENT        27
#define TW_FIELD_HIGHEST_AMBIENT       28
#define TW_FIELD_CHANNEL_COUNT         29
#define TW_FIELD_SEGMENT_COUNT         30
#define TW_FIELD_MEASURED_LENGTH       31
#define TW_FIELD_FROM_CONTROLLER       32
#define TW_FIELD_FROM_DRIVER           33
#define TW_FIELD_RATED_CURRENT         34
#define TW_FIELD_CHANNEL_LIMIT         35
#define TW_FIELD_TOTAL_LIMIT           36
#define TW_FIELD_LOWEST_INPUT          37
#define TW_FIELD_HIGHEST_INPUT         38
#define TW_FIELD_LEAST_TERMINAL        39
#define TW_FIELD_GREATEST_TERMINAL     40
#define TW_FIELD_TERMINAL_CURRENT      41
#define TW_FIELD_SWITCH_RESISTANCE     42
#define TW_FIELD_PWM_FREQUENCY         43
#define TW_FIELD_POLES                 44
#define TW_FIELD_RATED_VOLTAGE         45
#define TW_FIELD_RATING_AMBIENT        46
#define TW_FIELD_UPPER_LIMIT           47
#define TW_FIELD_RATED_OUTPUT          48
#define TW_FIELD_OUTPUT_CURRENT_LIMIT  49
#define TW_FIELD_LEAST_LOAD            50
#define TW_FIELD_EFFICIENCY            51
#define TW_FIELD_POWER_FACTOR          52
#define TW_FIELD_INRUSH_PEAK           53
#define TW_FIELD_INRUSH_DURATION       54
#define TW_FIELD_LEAKAGE               55
#define TW_FIELD_SHARE                 56
#define TW_FIELD_HEADROOM              57
#define TW_FIELD_LOADING_LIMIT         58
#define TW_FIELD_DROP_LIMIT            59
#define TW_FIELD_LEAST_EVENNESS        60
#define TW_FIELD_SUPPLY_TOLERANCE      61
#define TW_FIELD_LOADED_CONDUCTORS     62
#define TW_FIELD_CIRCUITS_GROUPED      63
#define TW_FIELD_CONDUCTOR_CLASS       64
#define TW_FIELD_GAUGE                 65
#define TW_FIELD_CORE_COUNT            66
#define TW_FIELD_MAINS_VOLTAGE         67
#define TW_FIELD_BREAKER_RATING        68
#define TW_FIELD_FAULT_CURRENT         69
#define TW_FIELD_HOURS_PER_YEAR        70
#define TW_FIELD_DUTY                  71
#define TW_FIELD_LUMINANCE_RATIO       72
#define TW_FIELD_CABLE_OUTSIDE         73
#define TW_FIELD_CABLE_RATING          74
#define TW_FIELD_RUN_TAPE              75
#define TW_FIELD_RUN_ZONE              76
#define TW_FIELD_RUN_COUNT             77
#define TW_FIELD_ZONE_COUNT            78
#define TW_FIELD_TAPE_COUNT            79
#define TW_FIELD_SPACE                 80
#define TW_FIELD_INGRESS               81
#define TW_FIELD_FUSE_RATING           82
#define TW_FIELD_AMPACITY              83
#define TW_FIELD_SLACK                 84
#define TW_FIELD_TARIFF                85
#define TW_FIELD_THERMAL_RESISTANCE    86
#define TW_FIELD_OUTPUT_COUNT          87
#define TW_FIELD_OUTPUT_VOLTAGE        88
#define TW_FIELD_TRIM_LOW              89
#define TW_FIELD_TRIM_HIGH             90
#define TW_FIELD_FUSE_FACTOR           91
#define TW_FIELD_DERATING_POINT        92
#define TW_FIELD_FEEDER_METHOD         93
#define TW_FIELD_CODE_FAMILY           94
#define TW_FIELD_FEE                   95
#define TW_FIELD_STRUCT_SIZE           96
#define TW_FIELD_POINTER               97
#define TW_FIELD_NAME                  98
#define TW_FIELD_STOCK_LENGTH          99
#define TW_FIELD_RESISTIVITY           100
#define TW_FIELD_RESIDUAL_RATING       101
#define TW_FIELD_ENERGY                102
#define TW_FIELD_OVERLOAD_LIMIT        103
#define TW_FIELD_COMMON_POLARITY       104
#define TW_FIELD_LOAD_LAW              105
#define TW_FIELD_CONNECTOR_USE         106
#define TW_FIELD_MOUNT                 107
#define TW_FIELD_MOUNT_WISH            108
#define TW_FIELD_OVERCURRENT_FAMILY    109
#define TW_FIELD_YES_NO                110
#define TW_FIELD_CONDUCTOR_SYSTEM      111
#define TW_FIELD_ALIGNMENT             112
#define TW_FIELD_PLACE                 113
#define TW_FIELD_ROW_COUNT             114
#define TW_FIELD_WORD_COUNT            115
#define TW_FIELD_GROUPING              116
#define TW_FIELD_BATH_ZONE             117
#define TW_FIELD_LIGHTNESS             118
#define TW_FIELD_GUARD_CHANNELS        119
#define TW_FIELD_FULL_CURRENT          120
#define TW_FIELD_GUARD_CHANNEL_LIMIT   121
#define TW_FIELD_GUARD_TOTAL_LIMIT     122
#define TW_FIELD_GUARD_SUSTAINED_LIMIT 123
#define TW_FIELD_AVERAGE_SHIFT         124
#define TW_FIELD_SOFTNESS              125
#define TW_FIELD_BUDGET_RISE           126
#define TW_FIELD_FRAME_RATE            127
#define TW_FIELD_TIME_CONSTANT         128
#define TW_FIELD_PEAK_SHARE            129
#define TW_FIELD_PIXEL_BYTES           130
#define TW_FIELD_COLOUR_CURRENT        131
#define TW_FIELD_PIXEL_IDLE_CURRENT    132
#define TW_FIELD_PHASE_CURRENT         133
#define TW_FIELD_COUNTS                134
#define TW_FIELD_STEADINESS            135
#define TW_FIELD_LOAD_UNITS            136
#define TW_FIELD_LOAD_COUNT            137
#define TW_FIELD_FEED_POINTS           138
#define TW_FIELD_FEED_ARRANGEMENT      139
#define TW_FIELD_STEP_BUDGET           140
#define TW_FIELD_TO_FAR_END            141
#define TW_FIELD_BETWEEN_EXTRA         142
#define TW_FIELD_FEED_REACH            143
#define TW_FIELD_DARK_END              144
#define TW_FIELD_ARRANGEMENTS          145
#define TW_FIELD_LINK_GAP              146
#define TW_FIELD_STRETCH_COUNT         147
#define TW_FIELD_PWM_PHASE             148
#define TW_FIELD_WARMING_PER_LOAD      149
#define TW_FIELD_PINNED_DRIVER         150
#define TW_FIELD_PINNED_CONTROLLER     151
#define TW_FIELD_PINNED_FEEDER         152
#define TW_FIELD_BASIS_POINTS          153
#define TW_FIELD_OF_ITSELF             154
#define TW_FIELD_SPARE_WATTS           155
#define TW_FIELD_SPARE_AMPERES         156

/* Limits that govern */
#define TW_LIMIT_DROP              1
#define TW_LIMIT_AMPACITY          2
#define TW_LIMIT_TERMINAL          3
#define TW_LIMIT_CODE_MINIMUM      4
#define TW_LIMIT_CORES             5
#define TW_LIMIT_PRICE             6
#define TW_LIMIT_AMPACITY_UNKNOWN  7
#define TW_LIMIT_STOCK             8
#define TW_LIMIT_CHANNEL_CURRENT   9
#define TW_LIMIT_TOTAL_CURRENT     10
#define TW_LIMIT_TERMINAL_CURRENT  11
#define TW_LIMIT_INPUT_VOLTAGE     12
#define TW_LIMIT_POLARITY          13
#define TW_LIMIT_CHANNELS          14
#define TW_LIMIT_AMBIENT           15
#define TW_LIMIT_CAPACITY          16
#define TW_LIMIT_OUTPUT_CURRENT    17
#define TW_LIMIT_LEAST_LOAD        18
#define TW_LIMIT_OUTPUT_VOLTAGE    19
#define TW_LIMIT_MAINS_VOLTAGE     20
#define TW_LIMIT_LIMITED_ENERGY    21
#define TW_LIMIT_MOUNT             22
#define TW_LIMIT_INGRESS           23
#define TW_LIMIT_OWN_CONNECTOR     24
#define TW_LIMIT_POLES             25
#define TW_LIMIT_WAYS              26
#define TW_LIMIT_RATED_VOLTAGE     27
#define TW_LIMIT_CONTACT_CURRENT   28
#define TW_LIMIT_LOAD_CURRENT      29
#define TW_LIMIT_CABLE_PROTECTION  30
#define TW_LIMIT_OPERATING_CURRENT 31
#define TW_LIMIT_FAULT_CURRENT     32
#define TW_LIMIT_STEADY_CURRENT    33
#define TW_LIMIT_INRUSH            34
#define TW_LIMIT_MAKERS_COUNT      35
#define TW_LIMIT_FEATURES          36
#define TW_LIMIT_CODE_MAXIMUM      37

/* Findings */
#define TW_FINDING_DARK_REMAINDER        1
#define TW_FINDING_TAPE_HEAT             2
#define TW_FINDING_TAPE_COLD             3
#define TW_FINDING_TAPE_INGRESS          4
#define TW_FINDING_TAPE_PIECE            5
#define TW_FINDING_TAPE_SINGLE_FEED      6
#define TW_FINDING_TAPE_FEED_POINT       7
#define TW_FINDING_TAPE_VOLTAGE          8
#define TW_FINDING_TAPE_ALL_ON           9
#define TW_FINDING_DROP_TO_FEED          10
#define TW_FINDING_DROP_TO_LAMP          11
#define TW_FINDING_EVENNESS              12
#define TW_FINDING_COLOUR_SHIFT          13
#define TW_FINDING_FEEDER_AMPACITY       14
#define TW_FINDING_FEEDER_CONDUCTOR      15
#define TW_FINDING_FEED_CONNECTOR        16
#define TW_FINDING_CONTROLLER_CHANNEL    17
#define TW_FINDING_CONTROLLER_TOTAL      18
#define TW_FINDING_CONTROLLER_TERMINAL   19
#define TW_FINDING_CONTROLLER_HEAT       20
#define TW_FINDING_SUPPLY_AMPACITY       21
#define TW_FINDING_DRIVER_CAPACITY       22
#define TW_FINDING_DRIVER_CURRENT        23
#define TW_FINDING_DRIVER_LEAST_LOAD     24
#define TW_FINDING_DRIVER_CONNECTOR      25
#define TW_FINDING_LIMITED_ENERGY        26
#define TW_FINDING_OVERCURRENT_LOAD      27
#define TW_FINDING_OVERCURRENT_RATING    28
#define TW_FINDING_OVERCURRENT_OPERATING 29
#define TW_FINDING_FAR_END_FAULT         30
#define TW_FINDING_SOURCE_LIMITED        31
#define TW_FINDING_BREAKER_STEADY        32
#define TW_FINDING_BREAKER_INRUSH        33
#define TW_FINDING_LEAKAGE_SUM           34
#define TW_FINDING_NO_CONTROLLER         35
#define TW_FINDING_NO_FEEDER             36
#define TW_FINDING_NO_SUPPLY_CABLE       37
#define TW_FINDING_NO_DRIVER             38
#define TW_FINDING_NO_OVERCURRENT_DEVICE 39
#define TW_FINDING_NO_CONNECTOR          40
#define TW_FINDING_PRICE_UNKNOWN         41
#define TW_FINDING_LIGHTNESS_STEP        42
#define TW_FINDING_INRUSH_UNKNOWN        43
#define TW_FINDING_UNSOLVED_NETWORK      44
#define TW_FINDING_EXTRA_LOW_VOLTAGE     45
#define TW_FINDING_CABLE_PIECE           46
#define TW_FINDING_SPLICE_CURRENT        47
#define TW_FINDING_PLUG_CURRENT          48
#define TW_FINDING_LINK_CURRENT          49

/* Advice */
#define TW_ADVICE_SHORTEN_RUN           1
#define TW_ADVICE_THICKER_FEEDER        2
#define TW_ADVICE_SHORTER_FEEDER        3
#define TW_ADVICE_LARGER_CONTROLLER     4
#define TW_ADVICE_MORE_CONTROLLERS      5
#define TW_ADVICE_LARGER_DRIVER         6
#define TW_ADVICE_COOLER_PLACE          7
#define TW_ADVICE_HIGHER_VOLTAGE_TAPE   8
#define TW_ADVICE_FEED_MORE_POINTS      9
#define TW_ADVICE_WIDEN_CATALOGUE       10
#define TW_ADVICE_OTHER_CONNECTOR       11
#define TW_ADVICE_SMALLER_BREAKER_GROUP 12
#define TW_ADVICE_OTHER_TAPE            13
#define TW_ADVICE_ASK_MAKER             14
#define TW_ADVICE_LARGER_BREAKER        15
#define TW_ADVICE_LOWER_OUTPUT_VOLTAGE  16
#define TW_ADVICE_ENFORCING_CONTROLLER  17
#define TW_ADVICE_SPLIT_FEED            18

/* Notes */
#define TW_NOTE_ISOLATE_FIRST               1
#define TW_NOTE_FUSE_EVERY_OUTPUT           2
#define TW_NOTE_NEVER_PARALLEL_OUTPUTS      3
#define TW_NOTE_VENTILATE_DRIVERS           4
#define TW_NOTE_KEEP_INGRESS                5
#define TW_NOTE_MAINS_BY_QUALIFIED_PERSON   6
#define TW_NOTE_DEFER_TO_LOCAL_CODE         7
#define TW_NOTE_TAPE_ON_COOLING_SURFACE     8
#define TW_NOTE_POLARITY_BEFORE_POWER       9
#define TW_NOTE_MEASURE_BEFORE_LIGHT        10
#define TW_NOTE_FIT_SOCKET_OUTLET           20
#define TW_NOTE_FIT_FUSED_CONNECTION        21
#define TW_NOTE_RESERVE_BREAKER             22
#define TW_NOTE_FIT_RESIDUAL_CURRENT_DEVICE 23
#define TW_NOTE_ROUTE_APART_FROM_MAINS      24
#define TW_NOTE_NO_MAINS_IN_SAME_ENCLOSURE  25
#define TW_NOTE_ASK_INRUSH                  26
#define TW_NOTE_SET_TRIM                    27

#ifdef __cplusplus
}
#endif

#endif
