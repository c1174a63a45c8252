#pragma once
// Private to viz/: a page of pixels with views into space, flat shapes and text on it, saved as PNG.

#include <vtkNew.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkSmartPointer.h>

#include <filesystem>
#include <string>
#include <vector>

#include "viz/colours.hpp"
#include "viz/display.hpp"
#include "viz/pictures.hpp"

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

class Canvas {
 public:
  Canvas(int width, int height, Background background);

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  /// Text and lines.
  [[nodiscard]] Colour ink() const;
  [[nodiscard]] Colour faint_ink() const;
  [[nodiscard]] Colour paper() const;

  /// A view into space; the page's background shows through.
  vtkRenderer* add_view(const Box& box);
  /// One line of text, vertically centred on `y`.
  void add_text(double x, double y, const std::string& text, const TextStyle& style);
  void add_polygon(const std::vector<std::array<double, 2>>& corners, const Colour& colour);
  void add_line(double x0, double y0, double x1, double y1, double line_width, const Colour& colour);
  /// Rectangle outline with slanting lines inside.
  void add_hatched(const Box& box, double spacing);
  void add_frame(const Box& box, double line_width, const Colour& colour);

  /// Draws everything; three bytes a pixel (four when transparent), rows from the bottom.
  std::vector<unsigned char> pixels();
  /// Draws everything into a PNG file.
  void save(const std::filesystem::path& path);

 private:
  int width_, height_;
  Background background_;
  Display display_;  // outlives the window
  vtkNew<vtkRenderWindow> window_;
  vtkNew<vtkRenderer> overlay_;
};

}  // namespace setstress::viz
