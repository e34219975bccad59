// SPDX-License-Identifier: BSL-1.0
// The words that JSON and CSV use where the C interface has numbers. tests/clients/javascript_test.mjs holds them to the
// constants of capi/functions.json: the number of 'plug_in' is TW_MOUNT_PLUG_IN.
export const words = {
  law: { prefix: 'TW_LAW_', resistor_limited: 0, regulated: 1, constant_power: 2 },
  polarity: { prefix: 'TW_COMMON_', positive: 0, negative: 1 },
  mount: { prefix: 'TW_MOUNT_', any: -1, plug_in: 0, hardwired: 1 },
  use: { prefix: 'TW_USE_', tape_to_cable: 0, cable_to_cable: 1, tape_to_tape: 2, driver_plug: 3 },
  family: { prefix: 'TW_FAMILY_', fuse_gg: 0, breaker_b: 1, breaker_c: 2, breaker_d: 3, blade_fuse: 4, cartridge_fuse: 5 },
  conductor_system: { prefix: 'TW_SYSTEM_', class_1: 1, class_2: 2, class_5: 5, awg: 10 },
  code_family: { prefix: 'TW_CODE_', iec: 0, nec: 1 },
  method: { prefix: 'TW_METHOD_', a1: 0, a2: 1, b1: 2, b2: 3, c: 4, d1: 5, e: 6, flexible_cord: 7 },
  grouping: { prefix: 'TW_GROUPING_', bunched: 0, single_layer_wall: 1, under_ceiling: 2, perforated_tray: 3, ladder: 4 },
  breaker_family: { prefix: 'TW_FAMILY_', breaker_b: 1, breaker_c: 2, breaker_d: 3 },
  join: { prefix: '', connector_first: 0, soldered_tail_first: 1 },
  reach: { prefix: 'TW_REACH_', near_end: 0, ends: 1, anywhere: 2 },
  dark: { prefix: 'TW_DARK_', far_end: 0, near_end: 1, shared: 2 },
  rounding: { prefix: 'TW_ROUNDING_', each_line: 0, total: 1 },
  arrangements: { prefix: 'TW_FEED_', one_end: 0, far_end: 1, both_ends: 2, middle: 3, points: 4, ring: 5 },
  part_kind: {
    prefix: 'TW_PART_', none: 0, tape: 1, cable: 2, connector: 3, controller: 4, driver: 5, overcurrent_device: 6, service: 7,
  },
  service: { prefix: 'TW_SERVICE_', none: 0, soldered_tail: 1, soldered_link: 2, cut_piece: 3 },
  subject_kind: { prefix: 'TW_SUBJECT_', job: 0, zone: 1, run: 2, hub: 3, driver: 4 },
  severity: { prefix: 'TW_SEVERITY_', ok: 0, note: 1, strained: 2, failed: 3 },
  reading: { prefix: 'TW_READING_', driver_output: 0, hub_input: 1, feed_point: 2, far_end: 3, channel_current: 4 },
  change: {
    prefix: 'TW_CHANGE_', order_line: 1, run_added: 2, run_removed: 3, run_length: 4, run_tape: 5, run_feeder: 6, run_joint: 7, run_controller: 8,
    run_driver: 9, run_verdict: 10,
  },
  alternative: {
    prefix: 'TW_ALTERNATIVE_', fewer_drivers: 1, thinner_cable: 2, plug_in: 3, hardwired: 4, soldered_tails: 5, connectors: 6,
  },
  demand: {
    prefix: 'TW_DEMAND_', run: 0, rule: 1, mount: 2, limited_energy: 3, ingress: 4, features: 5, driver: 6, controller: 7, feeder: 8,
  },
  reader: { prefix: 'TW_READER_', everyone: 0, electrician: 1 },
  joint: { prefix: 'TW_JOIN_', free_tail: 0, connector: 1, soldered_tail: 2 },
};

export const names_of = (list) => Object.keys(words[list]).filter((word) => word !== 'prefix');
export const number_of = (list, word) => words[list][word];
export const word_of = (list, number) => names_of(list).find((word) => words[list][word] === number) ?? String(number);
