#pragma once
// Private to viz/: a drawing kept as shapes, written as SVG or PDF.

#include <filesystem>
#include <variant>

#include "viz/drawing/drawing.hpp"

namespace setstress::viz {

class VectorPage : public Drawing {
 public:
  /// One pixel is a point of the PDF.
  using Drawing::Drawing;

  void add_text(double x, double y, const std::string& text, const TextStyle& style) override;
  void add_polygon(const std::vector<FlatPoint>& corners, const Colour& colour) override;
  void add_path(const std::vector<FlatPoint>& points, double line_width, const Colour& colour,
                bool dashed = false) override;
  /// Many polygons in one colour, or many lines: one element of the file.
  void add_polygons(std::vector<std::vector<FlatPoint>> polygons, const Colour& colour);
  void add_paths(std::vector<std::vector<FlatPoint>> paths, double line_width, const Colour& colour);

  [[nodiscard]] std::string svg() const;
  [[nodiscard]] std::string pdf() const;

  struct Fill {
    std::vector<std::vector<FlatPoint>> polygons;
    Colour colour;
  };
  struct Stroke {
    std::vector<std::vector<FlatPoint>> paths;
    double width;
    Colour colour;
    bool dashed;
  };
  struct Text {
    double x, y;
    std::string text;
    TextStyle style;
  };
  using Shape = std::variant<Fill, Stroke, Text>;

 private:
  std::vector<Shape> shapes_;
};

}  // namespace setstress::viz
