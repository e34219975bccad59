// SPDX-License-Identifier: BSL-1.0
// One run checked whole: tape, cable, driver, connector, fuse, as structures.
#include "run_sizing.hpp"

using namespace tapewright;

bool firmware_bench::size_run(const run_question& q, run_answer& a) noexcept {
  const auto load = load_of(q.tape, q.length, false);
  if (!load) return false;

  feeder_question feeder;
  feeder.one_way = q.route;
  for (std::int32_t c = 0; c < load->channels; ++c) feeder.channel_current.push(load->channel_current[c]);
  feeder.nominal = q.tape.nominal;
  feeder.ambient = q.ambient;
  const auto cable = check_feeder(feeder, q.cable);
  if (!cable) return false;
  const auto drop = feeder_drop(cable->common_current, load->channel_current[0], cable->resistance, q.route);
  const auto area = least_area(load->total_sized, q.route, feeder.drop_limit * q.tape.nominal, rho_20);
  if (!drop || !area) return false;

  driver_duty supply;
  supply.load = load->sized;
  supply.nominal = q.tape.nominal;
  supply.ambient = q.ambient;
  const auto driver = check_driver(q.driver, supply);
  if (!driver) return false;

  connector_duty contact;
  contact.poles = load->channels + 1;
  contact.pole_current = load->total_sized;
  contact.voltage = q.tape.nominal;
  contact.ambient = q.ambient;
  contact.conductor = cable->conductor.area;
  const auto feed = check_connector(q.feed, contact);
  if (!feed) return false;

  overcurrent_duty protection;
  protection.load = load->total_sized;
  protection.ampacity = cable->ampacity.allowed;
  protection.voltage = q.tape.nominal;
  protection.fault_loop = 2 * cable->core_resistance;
  protection.source_limit = q.driver.overload_limit;
  const auto fuse = check_overcurrent(q.fuse, protection);
  if (!fuse) return false;

  a.drop = cable->worst_drop;
  a.least_drop = *drop;
  a.area = *area;
  a.cable_use = cable->ampacity_utilisation;
  a.driver_use = driver->utilisation;
  a.connector_use = feed->utilisation;
  a.fuse_use = fuse->load_utilisation;
  a.fits = cable->fits && driver->fits && feed->fits && fuse->fits;
  return true;
}
