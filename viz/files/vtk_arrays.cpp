#include "viz/files/vtk_arrays.hpp"

#include <fmt/core.h>
#include <vtkDataArray.h>
#include <vtkDoubleArray.h>
#include <vtkInformation.h>
#include <vtkInformationStringKey.h>
#include <vtkNew.h>
#include <vtkStringArray.h>
#include <vtkUnsignedCharArray.h>
#include <vtkXMLPolyDataWriter.h>
#include <vtkXMLUnstructuredGridWriter.h>

#include <stdexcept>

#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress::viz {

std::string name_with_unit(const std::string& name, const std::string& unit) {
  return unit == "-" ? name : name + "_" + unit;
}

std::string name_without_unit(const std::string& name) {
  for (const std::string_view ending : {"_mm", "_MPa"})
    if (name.ends_with(ending)) return name.substr(0, name.size() - ending.size());
  return name;
}

vtkSmartPointer<vtkFloatArray> float_array(const char* name, const char* unit, int components,
                                           vtkIdType count) {
  auto array = vtkSmartPointer<vtkFloatArray>::New();
  array->SetName(name_with_unit(name, unit).c_str());
  array->SetNumberOfComponents(components);
  array->SetNumberOfTuples(count);
  array->Fill(0);
  array->GetInformation()->Set(vtkDataArray::UNITS_LABEL(), unit);
  return array;
}

vtkSmartPointer<vtkIntArray> int_array(const char* name, vtkIdType count) {
  auto array = vtkSmartPointer<vtkIntArray>::New();
  array->SetName(name);
  array->SetNumberOfTuples(count);
  array->Fill(0);
  return array;
}

void add_text(vtkFieldData* fields, const char* name, const std::vector<std::string>& lines) {
  vtkNew<vtkStringArray> array;
  array->SetName(name);
  for (const std::string& line : lines) array->InsertNextValue(line);
  fields->AddArray(array);
}

void add_text_as_bytes(vtkFieldData* fields, const char* name, const std::vector<std::string>& lines) {
  vtkNew<vtkUnsignedCharArray> array;
  array->SetName(name);
  for (std::size_t line = 0; line < lines.size(); ++line) {
    if (line > 0) array->InsertNextValue('\n');
    for (const char letter : lines[line]) array->InsertNextValue(static_cast<unsigned char>(letter));
  }
  fields->AddArray(array);
}

void add_time(vtkFieldData* fields, double time) {
  vtkNew<vtkDoubleArray> array;
  array->SetName("TimeValue");
  array->InsertNextValue(time);
  array->GetInformation()->Set(vtkDataArray::UNITS_LABEL(), "s");
  fields->AddArray(array);
}

namespace {

/// The file is composed in memory, so that one place finds out whether the disk took it.
template <typename Writer>
void write_with(vtkDataSet* dataset, const std::filesystem::path& path) {
  vtkNew<Writer> writer;
  writer->SetInputData(dataset);
  writer->SetDataModeToAppended();
  writer->EncodeAppendedDataOn();  // base64: the file stays valid XML
  writer->SetCompressorTypeToZLib();
  writer->SetCompressionLevel(1);  // level 5 takes half as long again for 2 % less
  writer->SetHeaderTypeToUInt32();
  writer->SetIdTypeToInt32();
  writer->WriteToOutputStringOn();
  if (writer->Write() != 1 || writer->GetErrorCode() != 0)
    throw std::runtime_error(fmt::format("cannot write {}: VTK could not compose the file", path.string()));
  std::string text = writer->GetOutputString();
  text.insert(text.find('\n') + 1,
              fmt::format("<!-- setstress. {} -->\n", caution_line));  // for who opens the file
  write_file(path, text);
}

}  // namespace

void write_dataset(vtkUnstructuredGrid* grid, const std::filesystem::path& path) {
  write_with<vtkXMLUnstructuredGridWriter>(grid, path);
}
void write_dataset(vtkPolyData* surface, const std::filesystem::path& path) {
  write_with<vtkXMLPolyDataWriter>(surface, path);
}

}  // namespace setstress::viz
