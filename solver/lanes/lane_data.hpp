#pragma once
// What the lanes of one mesh share, and what each brings, as plain arrays.

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace setstress {

/// Rows of 3 x 3 blocks, row-major, in the order in which they are swept. Of each row: its couplings to
/// others, ascending, from `later` on those that come after it.
struct LaneRows {
  std::vector<std::int32_t> start;   ///< rows + 1 entries
  std::vector<std::int32_t> later;   ///< by row
  std::vector<std::int32_t> column;  ///< by coupling
};

/// The preconditioner's coarse level: corners, and the nodes that each has a share in.
struct LaneCorners {
  std::vector<std::int32_t> node;                  ///< by corner: that it stands for
  std::vector<std::int32_t> child_start, child;    ///< by corner: nodes
  std::vector<float> weight;                       ///< by child [-]
  std::vector<std::int32_t> parent_start, parent;  ///< the same by node: corners
  std::vector<float> parent_weight;
};

/// Of an element, by lane: shear moduli of its four points, then Lame's constants, then the bulk modulus
/// against its mean change of volume [MPa].
inline constexpr std::size_t numbers_of_element = 9;

/// A node is known by its place in the order of the sweeps.
struct LaneMesh {
  std::int32_t nodes = 0;
  LaneRows rows;  ///< of the preconditioner
  std::vector<std::int32_t>
      run_start{};  ///< runs of rows that do not couple, for those who sweep them at once
  LaneCorners corners;
  LaneRows tissue;  ///< of what all lanes have in common; couplings to themselves are among the later ones
  std::vector<std::array<std::int32_t, 10>> element;  ///< of the filling: nodes
  std::vector<std::array<float, 13>>
      element_shape;  ///< gradients of barycentric coordinates [1/mm], quarter volume
  std::vector<std::array<std::int32_t, 12>> facet;  ///< of the bond: nodes on the tooth, on the filling
  std::vector<std::array<float, 4>> facet_shape;    ///< normal [-], area [mm2]
  std::array<float, 36> facet_mass{};               ///< mean product of two shape functions on a facet [-]
};

/// A Cholesky factor L of S A S by supernodes, panels column by column; position i in L is unknown
/// `unknown[i]`.
struct LaneFactor {
  std::vector<std::int64_t> first_column, row_start, value_start;  ///< supernodes + 1 entries
  std::vector<std::int32_t> row;  ///< of each panel row, its own columns first
  std::vector<std::int32_t> unknown;
  std::vector<float> scale, value;
};

}  // namespace setstress
