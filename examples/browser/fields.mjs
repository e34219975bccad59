// SPDX-License-Identifier: BSL-1.0
// What the page asks, and how it says it: label, unit, and what the library's figure is multiplied by to be shown.

export const rule_fields = [
  ['headroom', 'Spare driver capacity', '%', 100],
  ['least_evenness', 'Least evenness', '%', 100],
  ['drop_to_lamp', 'Most drop to the last lamp', '%', 100],
  ['slack_m', 'Spare cable at each end', 'm', 1],
  ['mains_v', 'Mains', 'V', 1],
];

export const term_fields = [
  ['discount_bp', 'Discount', '%', 0.01],
  ['tax_bp', 'Tax', '%', 0.01],
  ['cut_fee_minor', 'Fee for a piece cut', 'currency', 0.01],
  ['spare_driver_minor_per_100w', 'Worth of 100 W to spare', 'currency', 0.01],
  ['spare_controller_minor_per_a', 'Worth of an ampere to spare of a controller', 'currency', 0.01],
  ['spare_cable_minor_per_a', 'Worth of an ampere to spare of a cable', 'currency', 0.01],
];

// words of the job, and how the page says them
export const reaches = [['near_end', 'the near end'], ['ends', 'both ends'], ['anywhere', 'every cut mark']];
export const dark_ends = [['far_end', 'at the far end'], ['near_end', 'at the near end'], ['shared', 'at both ends']];
export const feeds = [['one_end', 'one end'], ['far_end', 'far end'], ['both_ends', 'both ends'], ['middle', 'middle'], ['points', 'several points'], ['ring', 'a ring']];
