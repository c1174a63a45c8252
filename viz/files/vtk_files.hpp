#pragma once
// Frames as VTK XML files, readable by any VTK-based viewer: the volume (.vtu), the bond (.vtp), the list
// over time
// (.pvd). Single precision, compressed. Every array carries its unit; the caution line is in every file.

#include <filesystem>
#include <string>
#include <vector>

#include "materials/tissue.hpp"
#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// What the files say besides numbers.
struct FileLabels {
  std::string title;                   ///< of the case
  std::vector<std::string> materials;  ///< name of the material by region
  std::vector<Substrate> substrates;   ///< by bond facet
};

/// Quadratic tetrahedra of the regions placed by now, as `path` (.vtu).
/// Point data: displacement [mm]. Cell data: region (index into the field data `regions` and
/// `materials`), increment (0 for tooth and fixtures, 1, 2, ... in the order of placing), stress (xx yy zz yz
/// xz xy) and principal_stress (largest first) [MPa], both of the mean over the four stress points,
/// conversion (relative, mean) [-]. Throws std::invalid_argument when sizes disagree, std::runtime_error when
/// the file cannot be written.
void write_volume(const Mesh& mesh, const Frame& frame, const FileLabels& labels,
                  const std::filesystem::path& path);

/// The bond as `path` (.vtp), each facet as four flat triangles, placed or not (`active` tells).
/// Cell data are facet means over the six facet points: wall and substrate (indices into the field data
/// `walls` and `substrates`), facet, increment (1, 2, ...), active (0/1), traction (vector, on the tooth),
/// normal_traction, shear_traction, tensile_strength, shear_strength [MPa], stress_to_strength_ratio,
/// maturity, strength_lost [-], opening, slip, gap [mm] (the opening where debonded, else 0), and the shares
/// of the facet's area that share_reached (ratio >= 1, or some strength lost) and share_debonded hold [-].
/// Point data carry normal_traction, shear_traction, stress_to_strength_ratio, strength_lost, opening, slip,
/// gap: the straight-line least-squares fit to a facet's six values, kept within their range, then averaged
/// by area over the facets of one wall, substrate and increment that meet at the node; and displacement (of
/// the tooth side) [mm]. Where `gap_of_facet` is given (by bond facet, 0 for none), cell data gap_number
/// holds the gap's number in gaps.csv. Throws as write_volume.
void write_bond(const Mesh& mesh, const Frame& frame, const FileLabels& labels,
                const std::filesystem::path& path, const std::vector<int>& gap_of_facet = {});

/// One file of a time series.
struct CollectionEntry {
  double time;                 ///< [s]
  std::filesystem::path file;  ///< relative to the collection
  int part;                    ///< 0 volume, 1 bond
};
/// The list of files over time as `path` (.pvd). Rewrite it after every frame: an interrupted run stays
/// readable.
void write_collection(const std::vector<CollectionEntry>& entries, const std::filesystem::path& path);

/// The bare mesh as `path`: .vtu (regions, increments) or .msh (Gmsh 2.2 ASCII; regions, walls, surfaces as
/// physical groups). Throws std::invalid_argument for another ending.
void write_mesh(const Mesh& mesh, const std::filesystem::path& path);

}  // namespace setstress
