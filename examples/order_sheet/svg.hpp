// SPDX-License-Identifier: BSL-1.0
// The few shapes the picture is drawn with.
#pragma once

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "text.hpp"
#include "utf8.hpp"

namespace order_sheet {

struct point {
  double x = 0, y = 0;
};

enum class anchor { start, middle, end };

/// Collects shapes; coordinates are those of the drawing, downwards y.
class svg_drawing {
 public:
  void box(double x, double y, double width, double height, std::string_view style) {
    body_ += "<rect x=\"" + n(x) + "\" y=\"" + n(y) + "\" width=\"" + n(width) + "\" height=\"" + n(height) +
             "\" class=\"" + std::string{style} + "\"/>\n";
  }
  void line(point a, point b, std::string_view style) { polyline({a, b}, style); }
  void polyline(const std::vector<point>& points, std::string_view style, std::string_view colour = {}) {
    body_ += "<polyline class=\"" + std::string{style} + "\"";
    if (!colour.empty()) body_ += " stroke=\"" + std::string{colour} + "\"";
    body_ += " points=\"";
    for (const point& p : points) body_ += n(p.x) + "," + n(p.y) + " ";
    body_.back() = '"';
    body_ += "/>\n";
  }
  void text(point at, std::string_view words, std::string_view style, anchor a = anchor::start,
            std::string_view colour = {}) {
    if (words.empty()) return;
    body_ += "<text x=\"" + n(at.x) + "\" y=\"" + n(at.y) + "\" class=\"" + std::string{style} + "\"";
    if (a != anchor::start) body_ += a == anchor::middle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
    if (!colour.empty()) body_ += " style=\"fill:" + std::string{colour} + "\"";
    body_ += ">" + escaped(words) + "</text>\n";
  }

  /// The document, as wide as an A4 page, with a style sheet.
  std::string document(double width, double height, std::string_view title,
                       std::string_view style_sheet) const {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" "
           "version=\"1.1\" width=\"" +
           n(210) + "mm\" height=\"" + n(210 * height / width) + "mm\" viewBox=\"0 0 " + n(width) + " " +
           n(height) + "\">\n<title>" + escaped(title) + "</title>\n<style>\n" + std::string{style_sheet} +
           "</style>\n" + "<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n" + body_ + "</svg>\n";
  }

  static std::string escaped(std::string_view words) {
    std::string out;
    for (const char c : words) {
      if (c == '&') out += "&amp;";
      else if (c == '<') out += "&lt;";
      else if (c == '>') out += "&gt;";
      else if (c == '"') out += "&quot;";
      else out += c;
    }
    return out;
  }

 private:
  static std::string n(double v) { return plain(v, 5); }
  std::string body_;
};

/// Text cut to what fits a width, with three dots; a character of a sans-serif face is taken to be at
/// most 0.60 of the size wide on average (DejaVu Sans, the widest of the faces asked for).
inline std::string fitting_text(std::string_view words, double width, double size) {
  const auto room = static_cast<std::size_t>(width / (0.60 * size));
  if (characters_in(words) <= room) return std::string{words};
  std::string out;
  for (std::size_t i = 0; i + 1 < room && !words.empty(); ++i) {
    const std::size_t length = std::max<std::size_t>(1, utf8_length(words));
    out += words.substr(0, length);
    words.remove_prefix(length);
  }
  return out + "…";
}

}  // namespace order_sheet
