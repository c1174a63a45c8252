#pragma once
// A result folder of the box with known fields, and pictures read back.

#include <vtkImageData.h>
#include <vtkSmartPointer.h>

#include <array>
#include <filesystem>
#include <functional>

#include "tests/viz/box_mesh.hpp"
#include "viz/drawing/colours.hpp"
#include "viz/files/result_reader.hpp"

namespace setstress {

/// Changes a frame of the box before it is written; `instant` is 0 or 1.
using FrameChange = std::function<void(Frame& frame, const Mesh& mesh, int instant)>;

/// Two instants of the box (300 s and 320 s) as `change` makes them.
Result write_box_result(const std::filesystem::path& folder, const FrameChange& change);
/// Each wall at one stress-to-strength ratio; the second instant is loaded half as much.
Result write_box_result(const std::filesystem::path& folder, const std::array<double, 4>& ratio_of_wall);

vtkSmartPointer<vtkImageData> read_png(const std::filesystem::path& file);
/// Pixels within two steps of 255 of a colour.
int count_of(vtkImageData* image, const Colour& colour);

}  // namespace setstress
