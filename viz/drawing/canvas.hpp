#pragma once
// Private to viz/: a page of pixels with views into space, flat shapes and text on it, saved as PNG.

#include <vtkNew.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkSmartPointer.h>

#include <filesystem>
#include <string>
#include <vector>

#include "viz/drawing/display.hpp"
#include "viz/drawing/drawing.hpp"

namespace setstress::viz {

class Canvas : public Drawing {
 public:
  Canvas(int width, int height, Background background);

  /// A view into space; the page's background shows through.
  vtkRenderer* add_view(const Box& box);
  void add_text(double x, double y, const std::string& text, const TextStyle& style) override;
  void add_polygon(const std::vector<FlatPoint>& corners, const Colour& colour) override;
  void add_path(const std::vector<FlatPoint>& points, double line_width, const Colour& colour,
                bool dashed = false) override;

  /// Draws everything; three bytes a pixel (four when transparent), rows from the bottom.
  std::vector<unsigned char> pixels();
  /// Draws everything into a PNG file.
  void save(const std::filesystem::path& path);

 private:
  Display display_;  // outlives the window
  vtkNew<vtkRenderWindow> window_;
  vtkNew<vtkRenderer> overlay_;
};

}  // namespace setstress::viz
