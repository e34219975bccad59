// SPDX-License-Identifier: BSL-1.0
// Sizing figure by figure.
#include "scalar_sizing.hpp"

#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/contact_derating.hpp"
#include "tapewright/rules/copper.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/feeder_size.hpp"
#include "tapewright/sizing/overcurrent_choice.hpp"

using namespace tapewright;

namespace {
/// The thinnest metric conductor of class 5 that is not below a section.
const metric_size* next_made(square_millimetres exact) noexcept {
  for (const metric_size& m : metric_sizes)
    if (m.area_mm2 >= exact.v) return &m;
  return nullptr;
}
}  // namespace

bool firmware_bench::size_scalars(const scalar_question& q, scalar_answer& a) noexcept {
  const auto exact = least_area(q.common, q.one_way, q.drop_limit * q.nominal, rho_20);
  if (!exact) return false;
  const metric_size* const made = next_made(*exact);
  if (made == nullptr) return false;
  const ohms_per_metre r{made->flexible_ohm_per_km / 1000};
  const auto drop = feeder_drop(q.common, q.own, r, q.one_way);
  const auto share = derated_share(q.derating, q.ambient);
  const auto needed = least_capacity(q.load, q.headroom);
  const auto contact = contact_current(q.contact, q.contact_ambient, q.contact_limit, q.ambient, 0.8);
  overcurrent_duty duty;
  duty.load = q.common;
  duty.ampacity = q.ampacity;
  duty.voltage = q.nominal;
  duty.fault_loop = 2 * (r * q.one_way);
  duty.source_limit = q.source_limit;
  const auto fuse = check_overcurrent(q.fuse, duty);
  if (!drop || !share || !needed || !contact || !fuse) return false;

  a.exact = *exact;
  a.made = square_millimetres{made->area_mm2};
  a.drop = *drop;
  a.needed = *needed;
  a.available = *share * q.rated;
  a.contact = *contact;
  a.fuse_use = fuse->load_utilisation;
  a.fits =
      a.needed <= a.available && q.common <= a.contact && fuse->fits && *drop <= q.drop_limit * q.nominal;
  return true;
}
