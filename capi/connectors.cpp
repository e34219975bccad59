// SPDX-License-Identifier: BSL-1.0
// C interface: connectors and their contacts.
#include "tapewright/sizing/connector_check.hpp"

#include "answer.hpp"
#include "columns.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/rules/contact_derating.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// Whether a rating can have been measured: two of a contact's figures tell.
constexpr bool is_rating(amps, celsius rating_ambient, celsius upper_limit, celsius, double) noexcept {
  return rating_ambient < upper_limit;
}

}  // namespace

tw_status tw_contact_current(double rated_a, double rating_ambient_c, double upper_limit_c, double ambient_c,
                             double curve_factor, double* allowed_a, tw_fault* why) {
  return answer(contact_current(amps{rated_a}, celsius{rating_ambient_c}, celsius{upper_limit_c},
                                celsius{ambient_c}, curve_factor),
                why, to(allowed_a));
}

tw_status tw_contact_utilisation(double current_a, double rated_a, double rating_ambient_c,
                                 double upper_limit_c, double ambient_c, double curve_factor,
                                 double* allowed_a, double* utilisation, tw_fault* why) {
  connector c;  // one contact: no more than its current is looked at
  c.code = "contact";
  c.rated = amps{rated_a};
  c.rated_voltage = volts{24};
  c.rating_ambient = celsius{rating_ambient_c};
  c.upper_limit = celsius{upper_limit_c};
  c.greatest = square_millimetres{1};
  connector_duty d;
  d.pole_current = amps{current_a};
  d.ambient = celsius{ambient_c};
  d.curve_factor = curve_factor;
  return answer(check_connector(c, d), why, to(allowed_a, &connector_check::allowed),
                to(utilisation, &connector_check::utilisation));
}

tw_status tw_check_connector(const tw_connector* connector, const tw_connector_duty* duty,
                             tw_connector_check* check, tw_fault* why) {
  const arrived<tw_connector, tapewright::connector> c{connector, 0};
  const arrived<tw_connector_duty, connector_duty> d{duty, 1};
  return answer(unless(first_fault(c.why, d.why), [&]() noexcept { return check_connector(c.row, d.row); }),
                why, to(check));
}

[[gnu::flatten]] tw_status tw_contact_current_n(const double* rated_a, int64_t rated_stride,
                                                const double* rating_ambient_c, int64_t rating_ambient_stride,
                                                const double* upper_limit_c, int64_t upper_limit_stride,
                                                const double* ambient_c, int64_t ambient_stride,
                                                const double* curve_factor, int64_t curve_factor_stride,
                                                int64_t rows, double* allowed_a, int64_t allowed_stride,
                                                tw_fault* why) {
  return each_row<amps, celsius, celsius, celsius, double>(
      by_formula<contact_current, formula::contact_current, is_rating>(ranges_of<5>("tw_contact_current")),
      rows, why,
      {{{rated_a, rated_stride},
        {rating_ambient_c, rating_ambient_stride},
        {upper_limit_c, upper_limit_stride},
        {ambient_c, ambient_stride},
        {curve_factor, curve_factor_stride}}},
      into(allowed_a, allowed_stride));
}
