#include "tests/viz/box_result.hpp"

#include <vtkNew.h>
#include <vtkPNGReader.h>

#include <cmath>

namespace setstress {

Result write_box_result(const std::filesystem::path& folder, const FrameChange& change) {
  const Mesh mesh = box_mesh();
  std::vector<CollectionEntry> entries;
  for (int i = 0; i < 2; ++i) {
    Frame frame = blank_frame(mesh);
    frame.time = 300 + 20 * i;
    change(frame, mesh, i);
    write_volume(mesh, frame, box_labels(mesh), folder / ResultLayout::volume_file(i));
    write_bond(mesh, frame, box_labels(mesh), folder / ResultLayout::bond_file(i));
    entries.push_back({frame.time, ResultLayout::volume_file(i), 0});
    entries.push_back({frame.time, ResultLayout::bond_file(i), 1});
  }
  write_collection(entries, folder / ResultLayout::collection);
  return read_result(folder);
}

Result write_box_result(const std::filesystem::path& folder, const std::array<double, 4>& ratio_of_wall) {
  return write_box_result(folder, [&](Frame& frame, const Mesh& mesh, int instant) {
    for (std::size_t f = 0; f < mesh.bond.size(); ++f)
      for (BondPoint& point : frame.bond[f])
        point.ratio = ratio_of_wall[static_cast<std::size_t>(mesh.bond[f].wall)] * (instant == 0 ? 1 : 0.5);
  });
}

vtkSmartPointer<vtkImageData> read_png(const std::filesystem::path& file) {
  vtkNew<vtkPNGReader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  return reader->GetOutput();
}

int count_of(vtkImageData* image, const Colour& colour) {
  int count = 0;
  for (int y = 0; y < image->GetDimensions()[1]; ++y)
    for (int x = 0; x < image->GetDimensions()[0]; ++x) {
      bool same = true;
      for (int c = 0; c < 3; ++c)
        same = same && std::abs(image->GetScalarComponentAsDouble(x, y, 0, c) -
                                255 * colour[static_cast<std::size_t>(c)]) <= 2;
      count += same ? 1 : 0;
    }
  return count;
}

}  // namespace setstress
