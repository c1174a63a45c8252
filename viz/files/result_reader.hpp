#pragma once
// A result folder read back from its files: what pictures, pages and studies start from.

#include <Eigen/Core>
#include <array>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace setstress {

/// Names inside a result folder.
struct ResultLayout {
  static constexpr const char* summary = "summary.json";
  static constexpr const char* walls = "walls.csv";
  static constexpr const char* energies = "energies.csv";
  static constexpr const char* holds = "holds.csv";
  static constexpr const char* manifest = "manifest.json";
  static constexpr const char* case_file =
      "case.toml";  ///< all of the case in one file, to run again anywhere
  static constexpr const char* collection = "frames.pvd";
  static constexpr const char* frames = "frames";
  static constexpr const char* bond_picture = "bond.png";
  /// "frames/volume_0007.vtu" and "frames/bond_0007.vtp" for frame 7.
  static std::filesystem::path volume_file(int frame);
  static std::filesystem::path bond_file(int frame);
};

/// One instant of a result.
struct ResultFrame {
  double time = 0;               ///< [s]
  std::filesystem::path volume;  ///< empty where not written
  std::filesystem::path bond;    ///< empty where not written
};
struct Result {
  std::filesystem::path folder;
  std::vector<ResultFrame> frames;  ///< by time
};
/// Reads frames.pvd. Throws std::runtime_error naming the file when it is missing or damaged.
Result read_result(const std::filesystem::path& folder);

/// Named arrays, one row an item, one column a component; units as in vtk_files.hpp.
using Fields = std::map<std::string, Eigen::MatrixXd>;

/// The bond as written by write_bond.
struct BondSurface {
  double time = 0;                             ///< [s]
  std::string title;                           ///< of the case
  std::string event;                           ///< "light off", ... or empty
  std::vector<Eigen::Vector3d> points;         ///< tooth side, undeformed [mm]
  std::vector<std::array<int, 3>> triangles;   ///< normals point from the tooth into the filling
  std::vector<std::string> walls, substrates;  ///< names for the cell arrays `wall` and `substrate`
  Fields at_points, of_cells;
  /// Array by name; throws std::runtime_error naming what there is.
  [[nodiscard]] const Eigen::MatrixXd& point_field(const std::string& name) const;
  [[nodiscard]] const Eigen::MatrixXd& cell_field(const std::string& name) const;
  [[nodiscard]] double area(std::size_t triangle) const;  ///< [mm2]
};
/// Throws std::runtime_error naming the file when it is missing, damaged or lacks an array.
BondSurface read_bond(const std::filesystem::path& file);
/// The same with these cell arrays alone, and no point arrays.
BondSurface read_bond(const std::filesystem::path& file, const std::vector<std::string>& cell_arrays);

/// The volume as written by write_volume.
struct VolumeCells {
  double time = 0;
  std::string title;
  std::vector<Eigen::Vector3d> points;  ///< undeformed [mm]
  std::vector<std::array<int, 10>> tetrahedra;
  std::vector<std::string> regions, materials;
  Fields at_points, of_cells;
};
VolumeCells read_volume(const std::filesystem::path& file);

}  // namespace setstress
