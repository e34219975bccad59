// SPDX-License-Identifier: BSL-1.0
// Everything that can be bought, as spans over rows that somebody else owns.
#pragma once

#include <span>
#include <string_view>

#include "tapewright/core/outcome.hpp"
#include "tapewright/parts/cable.hpp"
#include "tapewright/parts/connector.hpp"
#include "tapewright/parts/controller.hpp"
#include "tapewright/parts/driver.hpp"
#include "tapewright/parts/overcurrent_device.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright {

/// Kinds of part, as order lines and checks name them.
enum class part_kind : std::int32_t {
  none = 0,
  tape = 1,
  cable = 2,
  connector = 3,
  controller = 4,
  driver = 5,
  overcurrent_device = 6,
  service = 7,
};

/// A row of the catalogue: the kind says which list, the index which row.
struct part_ref {
  part_kind kind = part_kind::none;
  std::int32_t index = -1;

  constexpr bool known() const noexcept { return kind != part_kind::none && index >= 0; }
  friend constexpr bool operator==(part_ref, part_ref) noexcept = default;
};

/// The lists a planner chooses from. Any of them may be empty; then nothing of that kind is chosen.
struct catalogue {
  std::span<const tape> tapes;
  std::span<const cable> cables;
  std::span<const connector> connectors;
  std::span<const controller> controllers;
  std::span<const driver> drivers;
  std::span<const overcurrent_device> overcurrent_devices;
};

namespace detail {
template <class Row>
constexpr fault check_rows(std::span<const Row> rows) noexcept {
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (const fault f = check(rows[i])) return at_item(f, i);
  return {};
}
}  // namespace detail

/// The first fault of any row; `item` is the row's place in its own list.
constexpr fault check(const catalogue& c) noexcept {
  return first_fault(detail::check_rows(c.tapes), detail::check_rows(c.cables),
                     detail::check_rows(c.connectors), detail::check_rows(c.controllers),
                     detail::check_rows(c.drivers), detail::check_rows(c.overcurrent_devices));
}

/// A part's code as the catalogue writes it, or an empty text for none.
constexpr std::string_view code_of(const catalogue& c, part_ref p) noexcept {
  const auto at = static_cast<std::size_t>(p.index);
  if (!p.known()) return {};
  switch (p.kind) {
    case part_kind::tape: return at < c.tapes.size() ? c.tapes[at].code : std::string_view{};
    case part_kind::cable: return at < c.cables.size() ? c.cables[at].code : std::string_view{};
    case part_kind::connector: return at < c.connectors.size() ? c.connectors[at].code : std::string_view{};
    case part_kind::controller:
      return at < c.controllers.size() ? c.controllers[at].code : std::string_view{};
    case part_kind::driver: return at < c.drivers.size() ? c.drivers[at].code : std::string_view{};
    case part_kind::overcurrent_device:
      return at < c.overcurrent_devices.size() ? c.overcurrent_devices[at].code : std::string_view{};
    default: return {};
  }
}

}  // namespace tapewright
