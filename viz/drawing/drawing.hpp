#pragma once
// Private to viz/: a page to draw flat shapes and text on, whatever it becomes: pixels, SVG or PDF.

#include <array>
#include <string>
#include <vector>

#include "viz/drawing/background.hpp"
#include "viz/drawing/colours.hpp"

namespace setstress::viz {

/// Pixels, origin at the lower left.
struct Box {
  double left, bottom, width, height;
  [[nodiscard]] double right() const { return left + width; }
  [[nodiscard]] double top() const { return bottom + height; }
  [[nodiscard]] double middle_x() const { return left + width / 2; }
};

enum class Align { left, centre, right };
struct TextStyle {
  double size = 18;  ///< pixels
  Align align = Align::left;
  bool bold = false;
  bool faint = false;
  bool plate = false;  ///< on a plate of the background's colour, for text over a view
};

/// Width of a line of text in Helvetica [pixels] (Adobe core font metrics; others as wide as a digit).
double text_width(const std::string& text, const TextStyle& style);
/// The style, of smaller letters where the line would be wider than `width` [pixels].
TextStyle fitted(const std::string& text, TextStyle style, double width);
/// At most so many letters, then "...".
std::string shortened(const std::string& text, std::size_t letters);

using FlatPoint = std::array<double, 2>;

class Drawing {
 public:
  Drawing(int width, int height, Background background)
      : width_(width), height_(height), background_(background) {}
  Drawing(const Drawing&) = delete;
  Drawing& operator=(const Drawing&) = delete;
  virtual ~Drawing() = default;

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  [[nodiscard]] Background background() const { return background_; }
  /// Text and lines.
  [[nodiscard]] Colour ink() const;
  [[nodiscard]] Colour faint_ink() const;
  [[nodiscard]] Colour paper() const;
  /// Of rims that are seen both on pale surfaces and on the page.
  [[nodiscard]] Colour outline() const;

  /// One line of text, vertically centred on `y`.
  virtual void add_text(double x, double y, const std::string& text, const TextStyle& style) = 0;
  virtual void add_polygon(const std::vector<FlatPoint>& corners, const Colour& colour) = 0;
  /// Through all points; drawn as dashes where asked.
  virtual void add_path(const std::vector<FlatPoint>& points, double line_width, const Colour& colour,
                        bool dashed = false) = 0;

  void add_line(double x0, double y0, double x1, double y1, double line_width, const Colour& colour);
  void add_box(const Box& box, const Colour& colour);
  void add_frame(const Box& box, double line_width, const Colour& colour);
  /// Slanting lines inside a rectangle.
  void add_hatched(const Box& box, double spacing);

 private:
  int width_, height_;
  Background background_;
};

}  // namespace setstress::viz
