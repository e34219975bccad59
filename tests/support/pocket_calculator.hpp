// SPDX-License-Identifier: BSL-1.0
// Derivations recalculated from what they print.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

#include "tapewright/plan/explain.hpp"

namespace tapewright::test {

/// A pocket calculator: numbers with units that it passes over, + - * / ( ), and a few functions. What
/// it cannot read makes it NaN.
class calculator {
 public:
  static double result_of(std::string_view text) {
    calculator c{text};
    const double value = c.sum();
    c.skip();
    return c.text_.empty() ? value : std::nan("");
  }

 private:
  explicit calculator(std::string_view text) : text_{text} {}

  void skip() {
    while (!text_.empty() && text_.front() == ' ') text_.remove_prefix(1);
  }
  bool take(char wanted) {
    skip();
    if (text_.empty() || text_.front() != wanted) return false;
    text_.remove_prefix(1);
    return true;
  }
  static bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
  std::string word() {
    skip();
    std::string out;
    while (!text_.empty() &&
           (is_letter(text_.front()) || (!out.empty() && text_.front() >= '0' && text_.front() <= '9'))) {
      out += text_.front();
      text_.remove_prefix(1);
    }
    return out;
  }
  double sum() {
    double value = product();
    for (;;) {
      if (take('+')) value += product();
      else if (take('-')) value -= product();
      else return value;
    }
  }
  double product() {
    double value = factor();
    for (;;) {
      if (take('*')) value *= factor();
      else if (take('/')) value /= factor();
      else return value;
    }
  }
  double factor() {
    if (take('(')) {
      const double value = sum();
      return take(')') ? value : std::nan("");
    }
    if (const std::string name = word(); !name.empty()) return called(name);
    double value = std::nan("");
    const auto [end, error] = std::from_chars(text_.data(), text_.data() + text_.size(), value);
    if (error != std::errc{}) return std::nan("");
    text_.remove_prefix(static_cast<std::size_t>(end - text_.data()));
    unit();
    return value;
  }
  void unit() {
    constexpr std::string_view units[] = {" ohm/m", " ohm", " W/m", " W", " degC", " mm2", " m", " V", " A"};
    for (const std::string_view u : units)
      if (text_.starts_with(u) && (text_.size() == u.size() || !is_letter(text_[u.size()]))) {
        text_.remove_prefix(u.size());
        return;
      }
  }
  double called(const std::string& name) {
    if (!take('(')) return std::nan("");
    std::vector<double> given{sum()};
    while (take(',')) given.push_back(sum());
    if (!take(')')) return std::nan("");
    if (name == "min") return *std::min_element(given.begin(), given.end());
    if (name == "max") return *std::max_element(given.begin(), given.end());
    if (given.size() != 1) return std::nan("");
    if (name == "floor") return std::floor(given[0]);
    if (name == "ceil") return std::ceil(given[0]);
    if (name == "sqrt") return std::sqrt(given[0]);
    if (name == "cbrt") return std::cbrt(given[0]);
    if (name == "cosh") return std::cosh(given[0]);
    if (name == "tanh") return std::tanh(given[0]);
    if (name == "acosh") return std::acosh(given[0]);
    return std::nan("");
  }

  std::string_view text_;
};

/// Half a unit of the last of `digits` significant digits.
inline double half_a_digit(double value, int digits) {
  if (value == 0) return 0.5e-9;
  return 0.5 * std::pow(10.0, std::floor(std::log10(std::fabs(value))) - digits + 1);
}

inline std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return lines;
}

struct recalculation {
  int expressions = 0, figures = 0, sources = 0;
};

/// Recalculates every "= expression" against the "= result" under it.
inline recalculation recalculated(const std::string& text) {
  constexpr std::string_view equals = "    = ";
  recalculation seen;
  std::string figure;
  const std::vector<std::string> lines = lines_of(text);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (lines[i].starts_with("  ") && !lines[i].starts_with("   ")) {
      figure = lines[i];
      ++seen.figures;
    }
    seen.sources += lines[i].starts_with("    [") ? 1 : 0;
    if (i + 1 == lines.size() || !lines[i].starts_with(equals) || !lines[i + 1].starts_with(equals)) continue;
    CAPTURE(figure);
    CAPTURE(lines[i]);
    CAPTURE(lines[i + 1]);
    const double again = calculator::result_of(std::string_view{lines[i]}.substr(equals.size()));
    const double told = calculator::result_of(std::string_view{lines[i + 1]}.substr(equals.size()));
    // nine digits in, five out: the inputs' own rounding is at most a hundredth of the result's but for
    // differences of voltages that agree to four digits, where it is a tenth
    CHECK(std::fabs(again - told) <= 1.1 * half_a_digit(told, tapewright::detail::digits_out));
    ++seen.expressions;
    ++i;
  }
  return seen;
}

}  // namespace tapewright::test
