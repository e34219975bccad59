/* SPDX-License-Identifier: BSL-1.0 */
/* Keeps a controller's channels within the limits that the job was sized for: C99 and C++, whole numbers only. */
#ifndef TAPEWRIGHT_GUARD_H
#define TAPEWRIGHT_GUARD_H

#include <stdint.h>

/* How every function here behaves
 *
 * Stands alone  This header and libtapewright_guard.a are all that a C project needs. The archive asks for memset,
 *               memcpy and memmove at most; no heap, no floating point, no division, no state of its own.
 * Linked in     The archive becomes part of the program, so that structures carry no size: header and archive of one
 *               release belong together. tw_guard_version() tells the archive's.
 * Duties        16 bits: 0 dark, 65535 always on.
 * Currents      in microamperes (_ua). Ranges stand beside each figure, both ends allowed.
 * Status        0 is done; otherwise the reason, as in tapewright.h, with figure and range in *why (which may be NULL).
 *               What is made is then unusable in a safe way: a guard made so lets nothing through.
 * Misuse        NULL, no channels, wrong counts: every function has a defined answer, told beside it.
 * Threads       Functions touch their arguments only. Call them from an interrupt, if that interrupt owns the state.
 *
 * A guard is no protective device: fuses and the driver's own protection stay. */

#ifdef __cplusplus
extern "C" {
#endif

#define TW_GUARD_VERSION  1
#define TW_GUARD_CHANNELS 8 /* most channels of one guard */

int32_t tw_guard_version(void); /* TW_GUARD_VERSION of the archive */

typedef int32_t tw_guard_status; /* the numbers of TW_OK, TW_OUT_OF_RANGE ... in tapewright.h */
#define TW_GUARD_OK           ((tw_guard_status)0)
#define TW_GUARD_OUT_OF_RANGE ((tw_guard_status)1)
#define TW_GUARD_NULL_POINTER ((tw_guard_status)7)

/* Figures that a fault can name: the numbers of TW_FIELD_... in tapewright.h. */
#define TW_GUARD_FIELD_SHARE           56
#define TW_GUARD_FIELD_POINTER         97
#define TW_GUARD_FIELD_CHANNELS        119
#define TW_GUARD_FIELD_FULL            120
#define TW_GUARD_FIELD_CHANNEL_LIMIT   121
#define TW_GUARD_FIELD_TOTAL_LIMIT     122
#define TW_GUARD_FIELD_SUSTAINED_LIMIT 123
#define TW_GUARD_FIELD_AVERAGE_SHIFT   124
#define TW_GUARD_FIELD_SOFTNESS        125
#define TW_GUARD_FIELD_PIXEL_BYTES     130
#define TW_GUARD_FIELD_COLOUR          131
#define TW_GUARD_FIELD_PIXEL_IDLE      132
#define TW_GUARD_FIELD_PHASE_CURRENT   133
#define TW_GUARD_FIELD_COUNTS          134
#define TW_GUARD_FIELD_STEADINESS      135

typedef struct tw_guard_fault {
  int32_t code;  /* the status returned */
  int32_t field; /* which figure; 0 = none */
  int32_t item;  /* channel or colour, or which argument is NULL, from 0; -1 = none */
  uint32_t given, least, most;
} tw_guard_fault;

/* ---- limits ---------------------------------------------------------------------------------------- */

/* A limit of 0 keeps what it limits dark; one at or above what is connected never bites. */
typedef struct tw_guard_settings {
  uint32_t channels;                            /* 1..8 */
  uint32_t full_ua[TW_GUARD_CHANNELS];          /* of each channel at full duty; all together 1..2000000000 */
  uint32_t channel_limit_ua[TW_GUARD_CHANNELS]; /* at any moment */
  uint32_t total_limit_ua;     /* of all together, at any moment: 0, or not too low for whole numbers */
  uint32_t sustained_limit_ua; /* of all together, on average; at or above the total = none */
  uint32_t average_shift;      /* time constant of the average: 2^this frames; 1..16 */
  uint32_t
      softness; /* 0..average_shift-1: microamperes of peak given up for each that the average comes closer, 2^this */
  uint32_t rise_ua; /* most by which all together may rise from frame to frame; 0 = at once */
} tw_guard_settings;

/* Made by tw_guard_configure and no one else. Plain words: it may be copied, or kept in flash for the same processor. */
typedef struct tw_guard_limits {
  uint32_t word[13];
} tw_guard_limits;

/* Checks settings and turns them into limits. On a fault the limits let nothing through.
 * A total or sustained limit that is not 0 but so low that whole numbers would lose more than 0.1 % of it is out of
 * range: below 1/8192 of the full load, or below 1/16 of it for each channel that is itself below 1/16, where one is
 * below 1/32. */
tw_guard_status tw_guard_configure(const tw_guard_settings* settings, tw_guard_limits* limits,
                                   tw_guard_fault* why);

/* ---- frames ---------------------------------------------------------------------------------------- */

/* What was held back of a frame, in one word; 0 = nothing. */
typedef uint32_t tw_guard_held;
#define TW_GUARD_SHARE(held)   ((held)&0xffffu)           /* of all channels alike, in 1/65536; 65535 = all */
#define TW_GUARD_CLIPPED(held) (((held) >> 16 & 1u) != 0) /* a channel met its own limit */
#define TW_GUARD_SCALED(held)  (((held) >> 17 & 1u) != 0) /* all together met theirs */
#define TW_GUARD_MISUSED(held) (((held) >> 18 & 1u) != 0) /* NULL or limits never configured: kept dark */

/* Lets a frame through as far as the limits of the moment allow: as many duties as the limits have channels. One factor
 * for all channels, unless one is at its own limit; never above a limit; untouched where nothing bites. `out` may be
 * `in`, or overlap it in any way. NULL for in, out or limits is misuse: what can be written is written dark. */
tw_guard_held tw_guard(const tw_guard_limits* limits, const uint16_t* in, uint16_t* out);

/* What a guard remembers from frame to frame. */
typedef struct tw_guard_state {
  uint32_t word[5];
} tw_guard_state;

/* As after a long time of darkness. NULL is ignored. */
void tw_guard_begin(tw_guard_state* state);

/* As tw_guard, and within the sustained limit and the ramp. NULL for state is misuse as well. */
tw_guard_held tw_guard_frame(const tw_guard_limits* limits, tw_guard_state* state, const uint16_t* in,
                             uint16_t* out);

/* Frames of which something was held back; stays at its end, 4294967295. NULL: 0. */
uint32_t tw_guard_limited_frames(const tw_guard_state* state);
/* What tw_guard_frame returned last. NULL: 0. */
tw_guard_held tw_guard_last(const tw_guard_state* state);

/* ---- addressable tape ------------------------------------------------------------------------------ */

#define TW_GUARD_KEEP_ALL 65536u

typedef struct tw_guard_pixels {
  uint32_t bytes;        /* of a pixel: 3 or 4 */
  uint32_t colour_ua[4]; /* of each byte at 255, in the order of the buffer; 0..65535 */
  uint32_t idle_ua;      /* of a dark pixel; 0..65535 */
  uint32_t limit_ua;     /* of all pixels together */
} tw_guard_pixels;

typedef struct tw_guard_pixel_sum { /* all 0 to begin with */
  uint64_t colour[4];
  uint64_t pixels;
} tw_guard_pixel_sum;

typedef struct tw_guard_pixel_load {
  uint64_t lit;              /* what the bytes add, in uA * 255 */
  uint64_t idle;             /* what the chips draw when dark, in uA * 255 */
  uint32_t keep;             /* share of every byte that may stay, in 1/65536 */
  uint32_t idle_above_limit; /* 1 = the dark chips alone are above the limit; keep is 0 */
} tw_guard_pixel_load;

typedef struct tw_guard_pixel_scaler { /* all 0 to begin a frame with */
  uint32_t carry[4];
} tw_guard_pixel_scaler;

/* Adds `count` pixels; call it piece after piece. NULL, or other than 3 or 4 bytes: a fault, and nothing is added. */
tw_guard_status tw_guard_pixels_add(tw_guard_pixel_sum* sum, const uint8_t* from, uint32_t count,
                                    uint32_t bytes);
/* The load of what was added, and the factor for it. On a fault `keep` is 0. */
tw_guard_status tw_guard_pixels_load(const tw_guard_pixel_sum* sum, const tw_guard_pixels* pixels,
                                     tw_guard_pixel_load* load, tw_guard_fault* why);
/* Scales pixels in place, piece after piece; what rounding takes from one goes to the next. On a fault (NULL, other than
 * 3 or 4 bytes, keep above 65536) nothing is changed. */
tw_guard_status tw_guard_pixels_scale(tw_guard_pixel_scaler* scaler, uint8_t* pixels, uint32_t count,
                                      uint32_t bytes, uint32_t keep);

/* ---- phases ---------------------------------------------------------------------------------------- */

typedef struct tw_guard_phases {
  uint32_t channels;                   /* 1..8 */
  uint32_t current[TW_GUARD_CHANNELS]; /* while on, in any one unit; all together at most 32767 */
  uint16_t duty[TW_GUARD_CHANNELS];
} tw_guard_phases;

typedef struct tw_guard_phase_plan {
  uint16_t offset[TW_GUARD_CHANNELS]; /* tick out of 65535 at which the channel switches on */
  uint32_t peak_before, rms_before;   /* on the shared core, all switched on together */
  uint32_t peak_after, rms_after;     /* with the offsets; r.m.s. rounded down */
  uint32_t proved;                    /* 1 = no arrangement is better; always so for up to 5 channels */
} tw_guard_phase_plan;

tw_guard_status tw_guard_plan_phases(const tw_guard_phases* phases, tw_guard_phase_plan* plan,
                                     tw_guard_fault* why);

/* ---- checks at start-up ---------------------------------------------------------------------------- */

#define TW_GUARD_FITS          0
#define TW_GUARD_OPEN          1 /* next to nothing flows */
#define TW_GUARD_UNDER_CURRENT 2
#define TW_GUARD_OVER_CURRENT  3
#define TW_GUARD_SHORTED       4 /* switch off */
#define TW_GUARD_SUPPLY_LOW    5
#define TW_GUARD_SUPPLY_HIGH   6 /* switch off */

/* What a converter should read with each channel on by itself. Shares are in 1/65536 of the expected reading. */
typedef struct tw_guard_startup {
  uint32_t channels;                          /* 1..8 */
  uint32_t supply_counts;                     /* 1..65535 */
  uint32_t channel_counts[TW_GUARD_CHANNELS]; /* 0..65535; 0 = nothing is connected there */
  uint32_t supply_share;                      /* allowed either way; 3277 = 5 % */
  uint32_t current_share;                     /* the same for currents; 9830 = 15 % */
  uint32_t open_share;                        /* open below; 6554 = 10 %; at most 65536 - current_share */
  uint32_t short_share;      /* shorted from here on; 131072 = 200 %; 65536 + current_share .. 262144 */
  uint32_t hysteresis_share; /* beyond an edge before it is crossed; 1311 = 2 %; 0..32768 */
  uint32_t noise_counts;     /* what an unconnected channel may read; 0..65535 */
  uint32_t steady_samples;   /* readings in a row that a change needs; 1..255 */
} tw_guard_startup;

typedef struct tw_guard_startup_limits {
  uint16_t half[46];
} tw_guard_startup_limits;

typedef struct tw_guard_startup_check { /* filled by tw_guard_startup_begin */
  uint16_t half[27];
} tw_guard_startup_check;

typedef struct tw_guard_finding {
  int32_t code;         /* TW_GUARD_OPEN ... */
  int32_t channel;      /* -1 = the supply */
  uint32_t counts;      /* last reading */
  uint32_t least, most; /* where it should be: least <= counts < most */
} tw_guard_finding;

tw_guard_status tw_guard_startup_configure(const tw_guard_startup* startup, tw_guard_startup_limits* limits,
                                           tw_guard_fault* why);
/* NULL is ignored by these three, and so is a channel that there is not. */
void tw_guard_startup_begin(tw_guard_startup_check* check);
void tw_guard_startup_supply(tw_guard_startup_check* check, const tw_guard_startup_limits* limits,
                             uint16_t counts);
void tw_guard_startup_channel(tw_guard_startup_check* check, const tw_guard_startup_limits* limits,
                              uint32_t channel, uint16_t counts);
/* 1 when everything has been read often enough. NULL: 0. */
int32_t tw_guard_startup_settled(const tw_guard_startup_check* check, const tw_guard_startup_limits* limits);
/* How many findings there are; the first `room` of them go to `findings` (NULL with room 0 only counts), the supply
 * first. Other NULLs: 0. */
uint32_t tw_guard_startup_findings(const tw_guard_startup_check* check, const tw_guard_startup_limits* limits,
                                   tw_guard_finding* findings, uint32_t room);

#ifdef __cplusplus
}
#endif

#endif
