// SPDX-License-Identifier: BSL-1.0
// The one main function of every unit test program.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>
