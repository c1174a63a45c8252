// Files written by viz/ read back with VTK's own readers, and refusals to write.

#include <sys/stat.h>

#include <vtkCellData.h>
#include <vtkCellSizeFilter.h>
#include <vtkDataArray.h>
#include <vtkFieldData.h>
#include <vtkInformation.h>
#include <vtkInformationStringKey.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPolyData.h>
#include <vtkStringArray.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLPolyDataReader.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>

#include "tests/scratch_folder.hpp"
#include "tests/viz/box_mesh.hpp"
#include "viz/files/facet_fit.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"
#include "viz/surface/surface_lines.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

vtkSmartPointer<vtkUnstructuredGrid> read_vtu(const std::filesystem::path& file) {
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  return reader->GetOutput();
}

vtkSmartPointer<vtkPolyData> read_vtp(const std::filesystem::path& file) {
  vtkNew<vtkXMLPolyDataReader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  return reader->GetOutput();
}

std::string unit_of(vtkDataArray* array) {
  return array->GetInformation()->Get(vtkDataArray::UNITS_LABEL());
}

double total(vtkDataSet* data, const char* measure) {
  vtkNew<vtkCellSizeFilter> sizes;
  sizes->SetInputData(data);
  sizes->ComputeSumOn();
  sizes->Update();
  return sizes->GetOutput()->GetFieldData()->GetArray(measure)->GetComponent(0, 0);
}

std::string text_of(const std::filesystem::path& file) {
  std::ifstream stream(file);
  return {std::istreambuf_iterator<char>(stream), {}};
}

/// Facet point values that follow a function of position.
template <typename Function>
void set_ratio(const Mesh& mesh, Frame& frame, const Function& ratio_at) {
  for (std::size_t f = 0; f < mesh.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p) {
      Eigen::Vector3d position = Eigen::Vector3d::Zero();
      for (std::size_t c = 0; c < 3; ++c)
        position +=
            facet_points()[p].barycentric[c] * mesh.nodes[static_cast<std::size_t>(mesh.bond[f].tooth[c])];
      frame.bond[f][p].ratio = ratio_at(position);
    }
}

}  // namespace

TEST_CASE("the volume file holds the placed regions, their fields and units", "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  Frame frame = blank_frame(mesh);
  frame.time = 301.5;
  frame.placed[2] = 0;  // increment 2, 16 cubes of the 96
  for (std::size_t n = 0; n < mesh.nodes.size(); ++n)
    frame.displacement.segment<3>(3 * static_cast<Eigen::Index>(n)) = 1e-3 * mesh.nodes[n];
  Vector6d stress;
  stress << 1, 2, 3, 0, 0, 4;
  for (auto& points : frame.stress) points = {stress, 2 * stress, 3 * stress, 2 * stress};
  for (auto& points : frame.conversion) points = {0.2, 0.4, 0.6, 0.8};
  write_volume(mesh, frame, box_labels(mesh), scratch / "volume.vtu");

  const auto grid = read_vtu(scratch / "volume.vtu");
  REQUIRE(grid->GetNumberOfCells() == 6 * 80);
  CHECK(grid->GetCellType(0) == 24);                       // VTK_QUADRATIC_TETRA
  CHECK_THAT(total(grid, "Volume"), WithinAbs(80, 1e-4));  // single precision
  vtkDataArray* displacement = grid->GetPointData()->GetArray("displacement_mm");
  REQUIRE(displacement != nullptr);
  CHECK(unit_of(displacement) == "mm");
  for (vtkIdType p = 0; p < grid->GetNumberOfPoints(); ++p)
    CHECK_THAT(displacement->GetComponent(p, 1), WithinAbs(1e-3 * grid->GetPoint(p)[1], 1e-9));
  vtkDataArray* mean = grid->GetCellData()->GetArray("stress_MPa");
  CHECK(unit_of(mean) == "MPa");
  CHECK_THAT(mean->GetComponent(7, 5), WithinAbs(8, 1e-6));
  // In-plane principal values of xx = 2, yy = 4, xy = 8: 3 +- sqrt(1 + 64); zz = 6 is one itself.
  vtkDataArray* principal = grid->GetCellData()->GetArray("principal_stress_MPa");
  CHECK_THAT(principal->GetComponent(7, 0), WithinAbs(3 + std::sqrt(65.0), 1e-5));
  CHECK_THAT(principal->GetComponent(7, 1), WithinAbs(6, 1e-5));
  CHECK_THAT(principal->GetComponent(7, 2), WithinAbs(3 - std::sqrt(65.0), 1e-5));
  CHECK_THAT(grid->GetCellData()->GetArray("conversion")->GetComponent(0, 0), WithinAbs(0.5, 1e-6));
  CHECK(grid->GetCellData()->GetArray("increment")->GetRange()[1] == 1);
  CHECK(grid->GetFieldData()->GetArray("TimeValue")->GetComponent(0, 0) == 301.5);
  CHECK(text_of(scratch / "volume.vtu").find("<AppendedData encoding=\"base64\">") != std::string::npos);
}

TEST_CASE("the bond file keeps areas, indices and facet means", "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  Frame frame = blank_frame(mesh);
  frame.bond[5][0].ratio = 1.5;  // one of six points of one facet
  frame.bond[5][0].strength_lost = 1;
  frame.bond[5][0].opening = 0.01;
  frame.bond[5][1].opening = 0.02;  // open but not debonded: no gap
  frame.bond[6][2].active = false;
  write_bond(mesh, frame, box_labels(mesh), scratch / "bond.vtp");

  const auto surface = read_vtp(scratch / "bond.vtp");
  REQUIRE(surface->GetNumberOfCells() == 4 * 64);  // 32 mm2 in facets of 0.5 mm2
  CHECK_THAT(total(surface, "Area"), WithinAbs(32, 1e-4));
  const auto at = [&](const char* name, vtkIdType cell) {
    return surface->GetCellData()->GetArray(name)->GetComponent(cell, 0);
  };
  const double weight = facet_points()[0].weight;
  CHECK_THAT(at("stress_to_strength_ratio", 20), WithinAbs(1.5 * weight, 1e-6));
  CHECK_THAT(at("share_reached", 23), WithinAbs(weight, 1e-6));
  CHECK_THAT(at("share_debonded", 24), WithinAbs(0, 0));
  CHECK_THAT(at("gap_mm", 20), WithinAbs(0.01 * weight, 1e-8));
  CHECK_THAT(at("opening_mm", 20), WithinAbs(0.01 * weight + 0.02 * facet_points()[1].weight, 1e-8));
  CHECK(at("active", 23) == 1);
  CHECK(at("active", 24) == 0);
  CHECK(at("facet", 20) == 5);
  CHECK(surface->GetCellData()->GetArray("gap_number") == nullptr);
  CHECK(unit_of(surface->GetCellData()->GetArray("gap_mm")) == "mm");
  CHECK(unit_of(surface->GetPointData()->GetArray("normal_traction_MPa")) == "MPa");
}

TEST_CASE("a bond file numbers gaps where they are followed, and pictures draw their rims", "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  std::vector<int> gaps(mesh.bond.size(), 0);
  gaps[5] = 2;
  write_bond(mesh, blank_frame(mesh), box_labels(mesh), scratch / "bond.vtp", gaps);
  const auto surface = read_vtp(scratch / "bond.vtp");
  CHECK(surface->GetCellData()->GetArray("gap_number")->GetComponent(20, 0) == 2);
  CHECK(surface->GetCellData()->GetArray("gap_number")->GetComponent(24, 0) == 0);
  // A facet is four flat triangles, two of their sides along each of its three.
  const std::size_t rims = gap_rims(read_bond(scratch / "bond.vtp")).size();
  CHECK((rims == 6 || rims == 4 || rims == 2));  // a side on the rim of the wall is not drawn again
  gaps.pop_back();
  CHECK_THROWS_AS(write_bond(mesh, blank_frame(mesh), box_labels(mesh), scratch / "bond.vtp", gaps),
                  std::out_of_range);
}

TEST_CASE("node values of the bond reproduce a straight-line field and keep its range otherwise",
          "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  Frame frame = blank_frame(mesh);
  set_ratio(mesh, frame,
            [](const Eigen::Vector3d& at) { return 2 + 0.3 * at.x() - 0.2 * at.y() + 0.1 * at.z(); });
  write_bond(mesh, frame, box_labels(mesh), scratch / "bond.vtp");
  const BondSurface bond = read_bond(scratch / "bond.vtp");
  const Eigen::MatrixXd& ratio = bond.point_field("stress_to_strength_ratio");
  for (std::size_t p = 0; p < bond.points.size(); ++p) {
    const Eigen::Vector3d& at = bond.points[p];
    // A straight-line field is fitted exactly; keeping the range then pulls facet corners in, by less than
    // the distance from corner to facet point (0.1 mm) times the slope (0.4 / mm).
    CHECK_THAT(ratio(static_cast<Eigen::Index>(p), 0),
               WithinAbs(2 + 0.3 * at.x() - 0.2 * at.y() + 0.1 * at.z(), 0.1));
  }
  const std::array<double, 6> step{0, 0, 1, 0, 1, 1};
  for (const double value : viz::at_nodes(step)) {
    CHECK(value >= 0);
    CHECK(value <= 1);
  }
}

TEST_CASE("a result folder is read back in the order of time", "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  Frame frame = blank_frame(mesh);
  frame.event = "light off";
  std::vector<CollectionEntry> entries;
  for (int i = 0; i < 2; ++i) {
    frame.time = 320.0 - 20 * i;
    write_volume(mesh, frame, box_labels(mesh), scratch / ResultLayout::volume_file(i));
    write_bond(mesh, frame, box_labels(mesh), scratch / ResultLayout::bond_file(i));
    entries.push_back({frame.time, ResultLayout::volume_file(i), 0});
    entries.push_back({frame.time, ResultLayout::bond_file(i), 1});
    write_collection(entries, scratch / ResultLayout::collection);
  }
  const Result result = read_result(scratch.path());
  REQUIRE(result.frames.size() == 2);
  CHECK(result.frames[0].time == 300);
  CHECK(result.frames[0].bond.filename() == "bond_0001.vtp");
  const BondSurface bond = read_bond(result.frames[1].bond);
  CHECK(bond.time == 320);
  CHECK(bond.event == "light off");
  CHECK(bond.walls == mesh.walls);
  CHECK(bond.substrates.at(static_cast<std::size_t>(bond.cell_field("substrate")(0, 0))) == "middle dentin");
  CHECK_THROWS_WITH(bond.cell_field("ratio"),
                    Contains("no field \"ratio\"") && Contains("stress_to_strength_ratio"));
  for (const char* quantity :
       {"gap", "traction", "tensile_strength"})  // the unit is in the file's name alone
    CHECK(bond.of_cells.contains(quantity));
  CHECK(read_bond(result.frames[1].bond, {"gap"}).of_cells.size() == 1);
  const VolumeCells volume = read_volume(result.frames[1].volume);
  CHECK(volume.tetrahedra.size() == mesh.tetrahedra.size());
  CHECK(volume.regions[1] == "increment 1");
  CHECK(volume.materials[1] == "universal composite");
}

TEST_CASE("files that are not there or cut short are named", "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  CHECK_THROWS_WITH(read_result(scratch / "nowhere"),
                    Contains("nowhere/frames.pvd") && Contains("no such file"));
  write_bond(mesh, blank_frame(mesh), box_labels(mesh), scratch / "bond.vtp");
  const std::string whole = text_of(scratch / "bond.vtp");
  write_file(scratch / "cut.vtp", whole.substr(0, whole.size() / 3));
  CHECK_THROWS_WITH(read_bond(scratch / "cut.vtp"), Contains("cannot read") && Contains("cut.vtp"));
  write_file(scratch / "frames.pvd", "not XML");
  CHECK_THROWS_WITH(read_result(scratch.path()), Contains("frames.pvd"));
}

TEST_CASE("what cannot be written is refused in a sentence and leaves nothing behind", "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  write_file(scratch / "in the way", "a file");
  CHECK_THROWS_WITH(
      write_bond(mesh, blank_frame(mesh), box_labels(mesh), scratch / "in the way" / "bond.vtp"),
      Contains("cannot write") && Contains("in the way/bond.vtp"));
  // /dev/full behaves like a full disk; writing beside it is not possible, so the link stands in for the file
  // beside.
  std::filesystem::create_symlink("/dev/full", scratch / "bond.vtp.part");
  CHECK_THROWS_WITH(write_bond(mesh, blank_frame(mesh), box_labels(mesh), scratch / "bond.vtp"),
                    Contains("bond.vtp: No space left on device"));
  CHECK_FALSE(std::filesystem::exists(scratch / "bond.vtp"));
  CHECK_FALSE(std::filesystem::is_symlink(scratch / "bond.vtp.part"));
  Frame short_frame = blank_frame(mesh);
  short_frame.bond.pop_back();
  CHECK_THROWS_WITH(write_bond(mesh, short_frame, box_labels(mesh), scratch / "bond.vtp"),
                    Contains("63 facets") && Contains("the mesh has 64"));
}

TEST_CASE("a device, a link to itself and a folder are not replaced by a file", "[viz][files]") {
  const ScratchFolder scratch;
  REQUIRE(mkfifo((scratch / "pipe").c_str(), 0600) == 0);
  std::filesystem::create_symlink("loop", scratch / "loop");
  CHECK_THROWS_WITH(write_file(scratch / "pipe", "a"), Contains("is no ordinary file"));
  CHECK(std::filesystem::is_fifo(scratch / "pipe"));
  CHECK_THROWS_WITH(write_file(scratch / "loop", "a"), Contains("cannot write") && Contains("loop: "));
  CHECK_THROWS_WITH(write_file(scratch.path(), "a"), Contains("a folder has that name"));
  CHECK_THROWS_WITH(write_file(scratch / std::string(300, 'x'), "a"), Contains("File name too long"));
  write_file(scratch / "100 %s\nof it", "a");
  CHECK(text_of(scratch / "100 %s\nof it") == "a");
  write_file(scratch / "file", "a");
  CHECK_THROWS_WITH(make_folders(scratch / "file"), Contains("the folder") && Contains("cannot be made"));
  CHECK_THROWS_WITH(make_folders(scratch / "file" / "inside"), Contains("cannot be made"));
}

TEST_CASE("the bare mesh is written as .vtu and as .msh with physical names", "[viz][files]") {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  write_mesh(mesh, scratch / "mesh.vtu");
  CHECK_THAT(total(read_vtu(scratch / "mesh.vtu"), "Volume"), WithinAbs(96, 1e-4));
  write_mesh(mesh, scratch / "mesh.msh");
  const std::string text = text_of(scratch / "mesh.msh");
  CHECK_THAT(text, Contains("$MeshFormat\n2.2 0 8\n") && Contains("3 2 \"increment 1\"\n") &&
                       Contains("2 4 \"floor (tooth side)\"\n") &&
                       Contains("2 8 \"floor (filling side)\"\n"));
  CHECK_THAT(text, Contains("$Elements\n704\n"));  // 576 tetrahedra, 64 facets of either side
  CHECK_THROWS_WITH(write_mesh(mesh, scratch / "mesh.stl"), Contains("\"mesh.stl\" ends in neither"));
}
