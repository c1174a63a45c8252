#include <fmt/core.h>

#include "viz/files/vtk_files.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

void write_collection(const std::vector<CollectionEntry>& entries, const std::filesystem::path& path) {
  std::string text =
      "<?xml version=\"1.0\"?>\n<VTKFile type=\"Collection\" version=\"0.1\" byte_order=\"LittleEndian\">\n  "
      "<Collection>\n";
  for (const CollectionEntry& entry : entries)
    text += fmt::format("    <DataSet timestep=\"{}\" part=\"{}\" file=\"{}\"/>\n", entry.time, entry.part,
                        entry.file.generic_string());
  text += "  </Collection>\n</VTKFile>\n";
  write_file(path, text);
}

}  // namespace setstress
