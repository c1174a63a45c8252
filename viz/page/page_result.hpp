#pragma once
// Private to viz/: what a page needs of one result, gathered from its files.

#include <cstdint>
#include <string>
#include <vector>

#include "viz/files/result_reader.hpp"

namespace setstress::viz {

/// A quantity on the points of the body or of the bond over time.
struct Series {
  std::string name;  ///< "body.displacement", "bond.ratio", ...
  std::string unit;
  int components = 1;
  int levels = 4095;                         ///< steps between its lowest and its highest value in the page
  std::vector<std::vector<float>> by_frame;  ///< components of point 0, of point 1, ...
};

struct PageInstant {
  double time;  ///< [s]
  std::string event;
  std::vector<char> placed;         ///< by region
  std::vector<std::uint8_t> looks;  ///< by bond triangle, see Looks
};

/// Straight-sided and coarser than the files: corner nodes only. A node where regions meet is one point for
/// each, so that stress may jump between them.
struct PageResult {
  std::string title;
  std::vector<std::string> regions, materials;
  std::vector<int> increment_of_region;  ///< 1, 2, ...; 0 for tooth and fixtures
  std::vector<Eigen::Vector3d> points;   ///< of the body, undeformed [mm]
  std::vector<std::uint8_t> region_of_point;
  std::vector<std::array<int, 3>>
      triangles;  ///< surface of tooth and fixtures together, and of each increment
  std::vector<std::array<int, 4>> tetrahedra;  ///< empty where the interior was left out
  std::vector<Eigen::Vector3d> bond_points;    ///< tooth side, undeformed [mm]
  std::vector<std::array<int, 3>>
      bond_triangles;  ///< of each facet: 035, 314, 542, 345 of its six nodes, or 012
  int triangles_a_facet = 4;
  std::vector<std::uint8_t> wall_of_triangle, increment_of_triangle;
  std::vector<std::string> walls;
  std::vector<Series> series;
  std::vector<PageInstant> instants;
  std::vector<std::string> left_out;  ///< sentences for the page
};

/// `most_values`: how many numbers over all instants may go into the page; beyond, the interior of the body
/// is left out, then the middle nodes of the bond, then every other instant without an event. Throws
/// std::runtime_error naming the file where frames are missing, damaged or do not belong together.
PageResult gather(const Result& result, std::size_t most_values);

}  // namespace setstress::viz
