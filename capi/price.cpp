// SPDX-License-Identifier: BSL-1.0
// C interface: from a net price to what is paid.
#include "tapewright/plan/search/price_sum.hpp"

#include "answer.hpp"
#include "tapewright.h"

using namespace tapewright;
using namespace tapewright::capi;

tw_status tw_price_to_pay(int64_t net_minor, int32_t discount_bp, int32_t tax_bp, int64_t* discount_minor,
                          int64_t* taxable_minor, int64_t* tax_minor, int64_t* gross_minor, tw_fault* why) {
  const fault f = first_fault(refuse_outside(field::price, static_cast<double>(net_minor), 0,
                                             static_cast<double>(greatest_price_sum)),
                              refuse_outside(field::basis_points, discount_bp, 0, 10'000),
                              refuse(field::basis_points, tax_bp));
  const price_terms terms{.discount = {discount_bp, 10'000}, .tax = {tax_bp, 10'000}};
  return answer(unless(f, [&]() noexcept { return price_of(money{net_minor}, terms); }), why,
                to(discount_minor, &price_sum::discount), to(taxable_minor, &price_sum::taxable),
                to(tax_minor, &price_sum::tax), to(gross_minor, &price_sum::gross));
}
