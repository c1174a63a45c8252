#pragma once
// Private to viz/charts: the elements of a chart's SVG as they are drawn one after the other. Sizes and
// places in pixels from the upper left.

#include <fmt/format.h>

#include <iterator>
#include <string>

namespace setstress {

class ChartPen {
 public:
  static constexpr double letter = 5.6;  ///< mean width of a letter [px]
  static constexpr int palette = 6;      ///< how many colours, dashes and marks there are

  template <class... Values>
  void add(fmt::format_string<Values...> format, Values&&... values) {
    fmt::format_to(std::back_inserter(drawn_), format, std::forward<Values>(values)...);
  }
  /// One line of text of a `kind` that the style sheet knows; `anchor`: "start", "middle" or "end".
  void text(double x, double y, const char* kind, const std::string& content, const char* anchor = "start");
  /// Mark of a point in the shape and colour `colour` of the palette.
  void mark(double x, double y, int colour, const std::string& content);
  /// Element with the words shown when pointed at; nothing where there are none.
  static std::string says(const std::string& content);

  [[nodiscard]] const std::string& drawn() const { return drawn_; }

 private:
  std::string drawn_;
};

}  // namespace setstress
