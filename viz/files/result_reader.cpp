#include "viz/files/result_reader.hpp"

#include <fmt/core.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkDataArray.h>
#include <vtkDataArraySelection.h>
#include <vtkFieldData.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPolyData.h>
#include <vtkStringArray.h>
#include <vtkUnsignedCharArray.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLPolyDataReader.h>
#include <vtkXMLUnstructuredGridReader.h>
#include <vtkXMLUtilities.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <sstream>
#include <stdexcept>

#include "viz/files/vtk_arrays.hpp"

namespace setstress {
namespace {

[[noreturn]] void refuse(const std::filesystem::path& file, const std::string& reason) {
  throw std::runtime_error(fmt::format("cannot read {}: {}", file.string(), reason));
}

void require_readable(const std::filesystem::path& file) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(file, error)) refuse(file, "there is no such file");
}

Fields read_fields(vtkDataSetAttributes* attributes) {
  Fields fields;
  for (int a = 0; a < attributes->GetNumberOfArrays(); ++a) {
    vtkDataArray* array = attributes->GetArray(a);
    if (array == nullptr || array->GetName() == nullptr) continue;
    Eigen::MatrixXd& values = fields[viz::name_without_unit(array->GetName())];
    values.resize(array->GetNumberOfTuples(), array->GetNumberOfComponents());
    for (Eigen::Index row = 0; row < values.rows(); ++row)
      for (Eigen::Index column = 0; column < values.cols(); ++column)
        values(row, column) = array->GetComponent(row, static_cast<int>(column));
  }
  return fields;
}

/// Words, or the bytes of words (see add_text_as_bytes).
std::vector<std::string> read_text(vtkFieldData* fields, const char* name) {
  std::vector<std::string> lines;
  if (const auto* array = vtkStringArray::SafeDownCast(fields->GetAbstractArray(name)))
    for (vtkIdType line = 0; line < array->GetNumberOfValues(); ++line)
      lines.push_back(const_cast<vtkStringArray*>(array)->GetValue(line));
  if (auto* bytes = vtkUnsignedCharArray::SafeDownCast(fields->GetAbstractArray(name))) {
    std::string text;
    for (vtkIdType at = 0; at < bytes->GetNumberOfValues(); ++at)
      text += static_cast<char>(bytes->GetValue(at));
    std::stringstream parted(text);
    for (std::string line; std::getline(parted, line);) lines.push_back(line);
  }
  return lines;
}

std::string read_line(vtkFieldData* fields, const char* name) {
  const std::vector<std::string> lines = read_text(fields, name);
  return lines.empty() ? std::string() : lines.front();
}

double read_time(vtkFieldData* fields, const std::filesystem::path& file) {
  vtkDataArray* time = fields->GetArray("TimeValue");
  if (time == nullptr || time->GetNumberOfTuples() < 1)
    refuse(file, "it does not say at what time it was written");
  return time->GetComponent(0, 0);
}

std::vector<Eigen::Vector3d> read_points(vtkPointSet* dataset) {
  std::vector<Eigen::Vector3d> points(static_cast<std::size_t>(dataset->GetNumberOfPoints()));
  for (std::size_t p = 0; p < points.size(); ++p)
    dataset->GetPoint(static_cast<vtkIdType>(p), points[p].data());
  return points;
}

template <std::size_t Corners>
std::vector<std::array<int, Corners>> read_cells(vtkCellArray* from, const std::filesystem::path& file) {
  std::vector<std::array<int, Corners>> cells(static_cast<std::size_t>(from->GetNumberOfCells()));
  const vtkNew<vtkIdList> ids;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    from->GetCellAtId(static_cast<vtkIdType>(c), ids);
    if (ids->GetNumberOfIds() != static_cast<vtkIdType>(Corners))
      refuse(file, fmt::format("cell {} has {} nodes; expected {}", c, ids->GetNumberOfIds(), Corners));
    for (std::size_t n = 0; n < Corners; ++n)
      cells[c][n] = static_cast<int>(ids->GetId(static_cast<vtkIdType>(n)));
  }
  return cells;
}

/// Keeps VTK from printing its own messages: what went wrong is told once, in our sentence.
class QuietVtk {
 public:
  QuietVtk() : before_(vtkObject::GetGlobalWarningDisplay()) { vtkObject::GlobalWarningDisplayOff(); }
  QuietVtk(const QuietVtk&) = delete;
  QuietVtk& operator=(const QuietVtk&) = delete;
  ~QuietVtk() { vtkObject::SetGlobalWarningDisplay(before_); }

 private:
  int before_;
};

/// Finds out what the file holds.
template <typename Reader>
void open(Reader* reader, const std::filesystem::path& file) {
  require_readable(file);
  const QuietVtk quiet;
  if (!reader->CanReadFile(file.c_str()))
    refuse(file, "it is not a VTK XML file of the expected kind, or it is cut short");
  reader->SetFileName(file.c_str());
  reader->UpdateInformation();
}

template <typename Reader>
void load(Reader* reader, const std::filesystem::path& file) {
  const QuietVtk quiet;
  reader->Update();
  if (reader->GetErrorCode() != 0 || reader->GetOutput()->GetNumberOfCells() == 0)
    refuse(file, "it is damaged, or holds no cells");
}

const Eigen::MatrixXd& field(const Fields& fields, const std::string& name) {
  const auto found = fields.find(name);
  if (found != fields.end()) return found->second;
  std::string there;
  for (const auto& [each, values] : fields) there += (there.empty() ? "" : ", ") + each;
  throw std::runtime_error(fmt::format("there is no field \"{}\"; there are: {}", name, there));
}

std::filesystem::path numbered(const char* kind, int frame, const char* ending) {
  return std::filesystem::path(ResultLayout::frames) / fmt::format("{}_{:04}{}", kind, frame, ending);
}

BondSurface load_bond(vtkXMLPolyDataReader* reader, const std::filesystem::path& file) {
  load(reader, file);
  vtkPolyData* data = reader->GetOutput();
  BondSurface bond;
  bond.time = read_time(data->GetFieldData(), file);
  bond.title = read_line(data->GetFieldData(), "title");
  bond.event = read_line(data->GetFieldData(), "event");
  bond.points = read_points(data);
  bond.triangles = read_cells<3>(data->GetPolys(), file);
  bond.walls = read_text(data->GetFieldData(), "walls");
  bond.substrates = read_text(data->GetFieldData(), "substrates");
  bond.at_points = read_fields(data->GetPointData());
  bond.of_cells = read_fields(data->GetCellData());
  return bond;
}

}  // namespace

std::filesystem::path ResultLayout::volume_file(int frame) {
  return numbered("volume", frame, ".vtu");
}
std::filesystem::path ResultLayout::bond_file(int frame) {
  return numbered("bond", frame, ".vtp");
}

const Eigen::MatrixXd& BondSurface::point_field(const std::string& name) const {
  return field(at_points, name);
}
const Eigen::MatrixXd& BondSurface::cell_field(const std::string& name) const {
  return field(of_cells, name);
}

double BondSurface::area(std::size_t triangle) const {
  const auto corner = [&](std::size_t c) { return points[static_cast<std::size_t>(triangles[triangle][c])]; };
  return 0.5 * (corner(1) - corner(0)).cross(corner(2) - corner(0)).norm();
}

Result read_result(const std::filesystem::path& folder) {
  const std::filesystem::path file = folder / ResultLayout::collection;
  require_readable(file);
  const QuietVtk quiet;
  const auto root =
      vtkSmartPointer<vtkXMLDataElement>::Take(vtkXMLUtilities::ReadElementFromFile(file.c_str()));
  vtkXMLDataElement* list = root == nullptr ? nullptr : root->FindNestedElementWithName("Collection");
  if (list == nullptr) refuse(file, "it is not a list of VTK files over time");
  std::map<double, ResultFrame> frames;
  for (int e = 0; e < list->GetNumberOfNestedElements(); ++e) {
    vtkXMLDataElement* entry = list->GetNestedElement(e);
    double time = 0;
    const char* name = entry->GetAttribute("file");
    if (name == nullptr || entry->GetScalarAttribute("timestep", time) != 1)
      refuse(file, fmt::format("entry {} lacks a file or a time", e + 1));
    ResultFrame& frame = frames[time];
    frame.time = time;
    const std::filesystem::path path = folder / name;
    (path.extension() == ".vtp" ? frame.bond : frame.volume) = path;
  }
  if (frames.empty()) refuse(file, "it lists no files");
  Result result{.folder = folder, .frames = {}};
  for (auto& [time, frame] : frames) result.frames.push_back(std::move(frame));
  return result;
}

BondSurface read_bond(const std::filesystem::path& file) {
  const vtkNew<vtkXMLPolyDataReader> reader;
  open(reader.Get(), file);
  return load_bond(reader, file);
}

BondSurface read_bond(const std::filesystem::path& file, const std::vector<std::string>& cell_arrays) {
  const vtkNew<vtkXMLPolyDataReader> reader;
  open(reader.Get(), file);
  reader->GetPointDataArraySelection()->DisableAllArrays();
  reader->GetCellDataArraySelection()->DisableAllArrays();
  vtkDataArraySelection* const selection = reader->GetCellDataArraySelection();
  for (int a = 0; a < selection->GetNumberOfArrays(); ++a)
    if (std::ranges::count(cell_arrays, viz::name_without_unit(selection->GetArrayName(a))) > 0)
      selection->EnableArray(selection->GetArrayName(a));
  return load_bond(reader, file);
}

VolumeCells read_volume(const std::filesystem::path& file) {
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  open(reader.Get(), file);
  load(reader.Get(), file);
  vtkUnstructuredGrid* data = reader->GetOutput();
  VolumeCells volume;
  volume.time = read_time(data->GetFieldData(), file);
  volume.title = read_line(data->GetFieldData(), "title");
  volume.points = read_points(data);
  volume.tetrahedra = read_cells<10>(data->GetCells(), file);
  volume.regions = read_text(data->GetFieldData(), "regions");
  volume.materials = read_text(data->GetFieldData(), "materials");
  volume.at_points = read_fields(data->GetPointData());
  volume.of_cells = read_fields(data->GetCellData());
  return volume;
}

}  // namespace setstress
