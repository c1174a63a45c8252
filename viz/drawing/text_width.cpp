#include <algorithm>
#include <array>

#include "viz/drawing/drawing.hpp"

namespace setstress::viz {
namespace {

/// Thousandths of the size, from space to tilde: Adobe core 14 font metrics, Helvetica.
constexpr std::array<int, 95> helvetica{
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333,  278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667,  611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278,  556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500,  500, 334, 260, 334, 584};
constexpr double bold_is_wider = 1.06;
/// The typeface of pixel pages is a little wider than Helvetica (measured on headings).
constexpr double other_faces = 1.12;

/// Whether a byte of UTF-8 goes on with the letter before it.
bool continues(char byte) {
  return (static_cast<unsigned char>(byte) & 0xC0) == 0x80;
}

}  // namespace

double text_width(const std::string& text, const TextStyle& style) {
  double thousandths = 0;
  for (const char c : text)
    if (!continues(c))
      thousandths += c >= ' ' && c <= '~' ? helvetica[static_cast<std::size_t>(c - ' ')] : 556;
  return 1e-3 * style.size * thousandths * (style.bold ? bold_is_wider : 1);
}

TextStyle fitted(const std::string& text, TextStyle style, double width) {
  const double natural = other_faces * text_width(text, style);
  if (natural > width) style.size *= std::max(width, 0.0) / natural;
  return style;
}

std::string shortened(const std::string& text, std::size_t letters) {
  std::string kept;
  std::size_t count = 0;
  for (const char c : text) {
    if (!continues(c) && ++count > letters) return kept + "...";
    kept += c;
  }
  return kept;
}

}  // namespace setstress::viz
