// SPDX-License-Identifier: BSL-1.0
// libFuzzer's entry: every function of the C interface, with arguments made of its bytes.
#include "tests/abuse/any_call.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  tapewright::abuse::choices c{data, data + size};
  tapewright::abuse::call_any(c);
  return 0;
}
