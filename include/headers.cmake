# SPDX-License-Identifier: BSL-1.0
# Every public header, in the order of the layers. Listed by hand: a test compares this with the tree.
set(public_headers
  include/tapewright/core/bounded.hpp
  include/tapewright/core/field.hpp
  include/tapewright/core/number_text.hpp
  include/tapewright/core/outcome.hpp
  include/tapewright/core/quantity.hpp
  include/tapewright/core/scalar_math.hpp
  include/tapewright/parts/cable.hpp
  include/tapewright/parts/catalogue.hpp
  include/tapewright/parts/connector.hpp
  include/tapewright/parts/controller.hpp
  include/tapewright/parts/driver.hpp
  include/tapewright/parts/overcurrent_device.hpp
  include/tapewright/parts/tape.hpp
  include/tapewright/plan/cost.hpp
  include/tapewright/plan/design_rules.hpp
  include/tapewright/plan/finding.hpp
  include/tapewright/plan/job.hpp
  include/tapewright/plan/plan.hpp
  include/tapewright/plan/stage/cutting.hpp
)
