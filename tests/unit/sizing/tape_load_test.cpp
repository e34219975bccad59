// SPDX-License-Identifier: BSL-1.0
// Loads and currents of a length of tape; when a maker's all-channels-on limit counts.
#include "tapewright/sizing/tape_load.hpp"

#include <doctest/doctest.h>

#include "tests/support/close.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double few_roundings = 16 * 0x1p-53;  // products, quotients and up to five sums of rounded inputs

static_assert(load_of(five_channel_tape(), metres{5}, false)->channels == 5);
static_assert(load_of(five_channel_tape(), metres{0}, false)->total_sized == amps{0});

TEST_CASE("load_of: five metres of a five-channel tape, by hand") {
  const auto load = load_of(five_channel_tape(), metres{5}, false);
  REQUIRE(load.ok());
  CHECK(load->channels == 5);
  for (int c = 0; c < 4; ++c) {
    CHECK(close_rel(load->channel_power[c].v, 24, few_roundings));   // 4.8 W/m x 5 m
    CHECK(close_rel(load->channel_current[c].v, 1, few_roundings));  // 24 W / 24 V
  }
  CHECK(close_rel(load->channel_power[4].v, 48, few_roundings));
  CHECK(close_rel(load->channel_current[4].v, 2, few_roundings));
  CHECK(close_rel(load->summed.v, 144, few_roundings));
  CHECK(close_rel(load->total_sized.v, 6, few_roundings));
  CHECK(load->from == source::closed_form);
  CHECK_FALSE(load->above_all_on_limit);
  CHECK(std::isnan(load->channel_power[5].v));  // a sixth channel was never asked about
}

TEST_CASE("load_of: a stated all-on limit sizes the supply only where something enforces it") {
  tape t = five_channel_tape();
  t.all_on_limit = watts_per_metre{19.2};  // below the 28.8 W/m of its channels
  const auto sum = load_of(t, metres{5}, false);
  REQUIRE(sum.ok());
  CHECK(sum->above_all_on_limit);
  CHECK(close_rel(sum->sized.v, 144, few_roundings));
  CHECK(sum->from == source::closed_form);

  const auto kept = load_of(t, metres{5}, true);
  REQUIRE(kept.ok());
  CHECK(close_rel(kept->sized.v, 96, few_roundings));
  CHECK(close_rel(kept->total_sized.v, 4, few_roundings));
  CHECK(close_rel(kept->summed.v, 144, few_roundings));            // still told
  CHECK(close_rel(kept->channel_current[4].v, 2, few_roundings));  // each may still be on alone
  CHECK(kept->from == source::maker_statement);

  t.all_on_limit = watts_per_metre{40};  // above the sum: nothing to enforce
  const auto idle = load_of(t, metres{5}, true);
  REQUIRE(idle.ok());
  CHECK_FALSE(idle->above_all_on_limit);
  CHECK(close_rel(idle->sized.v, 144, few_roundings));
  CHECK(idle->from == source::closed_form);
}

TEST_CASE("load_of: what is refused") {
  check_field_range(field::length,
                    [](double v) { return load_of(five_channel_tape(), metres{v}, false).why(); });
  tape t = five_channel_tape();
  t.channels[2].load = watts_per_metre{};
  CHECK(load_of(t, metres{1}, false).why().field == field::load_per_metre);
  CHECK(std::isnan(load_of(t, metres{1}, false)->sized.v));
  t = five_channel_tape();
  t.channels.count = 0;
  CHECK(load_of(t, metres{1}, false).why().field == field::channel_count);
}

TEST_CASE("common_current: the sum, or a lower total that something enforces") {
  bounded<amps, max_channels> i;
  i.push(amps{1});
  i.push(amps{2});
  i.push(amps{4});
  CHECK(*detail::common_current(i, amps{0}) == amps{7});
  CHECK(*detail::common_current(i, amps{5}) == amps{5});
  CHECK(*detail::common_current(i, amps{4}) == amps{4});  // never below the largest channel
  CHECK(detail::common_current(i, amps{3.9}).why() ==
        fault{fault_code::contradiction, field::current, 3.9, 4, 7, -1});
  CHECK(detail::common_current(i, amps{7.1}).why() ==
        fault{fault_code::contradiction, field::current, 7.1, 4, 7, -1});
  CHECK(detail::common_current({}, amps{0}).why().field == field::channel_count);
  check_field_range(field::current, [](double v) {
    bounded<amps, max_channels> one;
    one.push(amps{v});
    return detail::common_current(one, amps{}).why();
  });
}

TEST_CASE("law: load grows with length, channels add up, a limit only ever takes away") {
  auto random = law("load_of is linear in length", 20260301);
  for (int i = 0; i < law_cases; ++i) {
    tape t = five_channel_tape();
    t.channels.count = 0;
    const auto channels = random.integer(1, 6);
    for (std::int64_t c = 0; c < channels; ++c)
      t.channels.push({"X", watts_per_metre{random.log_uniform(0.01, 50)}, load_kind::regulated, volts{18},
                       ohms_per_metre{0.05}});
    t.all_on_limit = watts_per_metre{random.one_in(2) ? 0 : random.log_uniform(50, 400)};
    const metres length{random.log_uniform(0.05, 100)};
    CAPTURE(i);
    const auto one = load_of(t, length, false), two = load_of(t, 2 * length, false),
               kept = load_of(t, length, true);
    REQUIRE((one.ok() && two.ok() && kept.ok()));
    REQUIRE(two->sized.v == 2 * one->sized.v);  // a power of two: exact
    REQUIRE(kept->sized <= one->sized);
    REQUIRE(one->sized == one->summed);
    watts sum;
    for (std::int64_t c = 0; c < channels; ++c) sum += one->channel_power[c];
    REQUIRE(sum == one->summed);
    REQUIRE(close_rel((one->total_sized * t.nominal).v, one->sized.v, few_roundings));
    if (t.all_on_limit.v > 0) REQUIRE(kept->sized.v <= (t.all_on_limit * length).v * (1 + rounding_share));
  }
}

}  // namespace
