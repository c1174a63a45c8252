#include <fmt/core.h>

#include <array>
#include <cmath>

#include "viz/drawing/vector_page.hpp"

namespace setstress::viz {
namespace {

/// As text between tags, where quotes may stand.
std::string markup_text(const std::string& text) {
  std::string safe;
  for (const char c : text)
    safe += c == '<' ? "&lt;" : c == '>' ? "&gt;" : c == '&' ? "&amp;" : std::string(1, c);
  return safe;
}

/// Tenths of a pixel, finer than any screen shows, as pixels: "-.5", "12", "3.4".
std::string tenths_text(long tenths) {
  std::string text = fmt::format("{:g}", static_cast<double>(tenths) / 10);
  if (const std::size_t zero = text.find("0."); zero == 0 || (zero == 1 && text[0] == '-'))
    text.erase(zero, 1);
  return text;
}

/// SVG counts y from the top.
class SvgWriter {
 public:
  explicit SvgWriter(const VectorPage& page) : page_(page) {}

  void operator()(const VectorPage::Fill& fill) {
    text_ += fmt::format("<path fill=\"{}\" d=\"", hex(fill.colour));
    for (const auto& polygon : fill.polygons) add_points(polygon, "Z");
    text_ += "\"/>\n";
  }
  void operator()(const VectorPage::Stroke& stroke) {
    const std::string dashes =
        stroke.dashed ? fmt::format(" stroke-dasharray=\"{:.1f}\"", 4 * stroke.width) : std::string();
    text_ += fmt::format(
        "<path fill=\"none\" stroke=\"{}\" stroke-width=\"{:.2f}\" stroke-linejoin=\"round\" "
        "stroke-linecap=\"round\"{} d=\"",
        hex(stroke.colour), stroke.width, dashes);
    for (const auto& path : stroke.paths) add_points(path, "");
    text_ += "\"/>\n";
  }
  void operator()(const VectorPage::Text& text) {
    const TextStyle& style = text.style;
    if (style.plate) add_plate(text);
    const char* anchor = style.align == Align::left     ? "start"
                         : style.align == Align::centre ? "middle"
                                                        : "end";
    text_ += fmt::format(
        "<text x=\"{:.1f}\" y=\"{:.1f}\" font-size=\"{:.1f}\" text-anchor=\"{}\" fill=\"{}\"{}>{}</text>\n",
        text.x, page_.height() - text.y + 0.35 * style.size, style.size, anchor,
        hex(style.faint ? page_.faint_ink() : page_.ink()), style.bold ? " font-weight=\"bold\"" : "",
        markup_text(text.text));
  }
  std::string& text() { return text_; }

 private:
  /// Each corner from the one before it, which takes half the letters; on a grid, so that no error adds up.
  void add_points(const std::vector<FlatPoint>& points, const char* end) {
    std::array<long, 2> before{0, 0};
    for (std::size_t i = 0; i < points.size(); ++i) {
      const std::array<long, 2> here{std::lround(10 * points[i][0]),
                                     std::lround(10 * (page_.height() - points[i][1]))};
      const std::array<std::string, 2> step{tenths_text(here[0] - before[0]),
                                            tenths_text(here[1] - before[1])};
      const char* const before_x = i == 0 ? "M" : i == 1 ? "l" : step[0].front() == '-' ? "" : " ";
      text_ += fmt::format("{}{}{}{}", before_x, step[0], step[1].front() == '-' ? "" : " ", step[1]);
      before = here;
    }
    text_ += end;
  }
  void add_plate(const VectorPage::Text& text) {
    const double width = text_width(text.text, text.style) + 0.3 * text.style.size;
    const double left = text.style.align == Align::left     ? text.x
                        : text.style.align == Align::centre ? text.x - width / 2
                                                            : text.x - width;
    text_ += fmt::format(
        "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"{}\" opacity=\"0.75\"/>\n",
        left, page_.height() - text.y - 0.6 * text.style.size, width, 1.2 * text.style.size,
        hex(page_.paper()));
  }

  const VectorPage& page_;
  std::string text_;
};

}  // namespace

std::string VectorPage::svg() const {
  SvgWriter writer(*this);
  writer.text() = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {1}\" width=\"{0}\" height=\"{1}\" "
      "font-family=\"Helvetica, Arial, sans-serif\">\n",
      width(), height());
  if (background() != Background::transparent)
    writer.text() +=
        fmt::format("<rect width=\"{}\" height=\"{}\" fill=\"{}\"/>\n", width(), height(), hex(paper()));
  for (const Shape& shape : shapes_) std::visit(writer, shape);
  return writer.text() + "</svg>\n";
}

}  // namespace setstress::viz
