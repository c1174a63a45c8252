#pragma once
// What can be meshed: a tooth with a preparation and an increment layout, or a specimen. Lengths in mm,
// angles in degrees. All numbers here were read and unit-checked by cases/; what only the geometry can know
// (a box wider than its tooth, a floor through the pulp, a layout that misses the cavity) is refused by
// check() (mesh/build/build_mesh.hpp) with a GeometryError.

#include <Eigen/Core>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "mesh/geometry/layers.hpp"

namespace setstress {

/// Simplified tooth: a block with rounded vertical edges, crown above z = 0 and root stub below it.
struct Tooth {
  double length = 8.0;           ///< mesio-distal size of the crown
  double width = 9.0;            ///< bucco-lingual size of the crown
  double crown_height = 6.0;     ///< from the CEJ to the occlusal surface
  double root_depth = 5.0;       ///< from the CEJ to the base of the stub
  double edge_radius = 1.5;      ///< of the vertical edges
  double occlusal_enamel = 1.5;  ///< thickness of the cap; 0 for none
  double side_enamel = 1.0;  ///< thickness of the side shell at the occlusal surface; tapers to 0 at the CEJ
  struct Pulp {
    double length = 3.0, width = 3.0;  ///< mesio-distal and bucco-lingual size of the chamber
    double roof = 1.0;                 ///< z of its roof; it reaches down to the base
  };
  std::optional<Pulp> pulp;
};

enum class Side { mesial, distal };

/// Rectangular or cylindrical cavity. `depth` is measured from the occlusal surface; the floor lies at
/// z = crown_height - depth, so it is below the CEJ where depth exceeds the crown height.
struct Preparation {
  enum class Kind {
    occlusal_box,            ///< class I: four walls and a floor
    proximal_box,            ///< open at one proximal side: floor, axial, buccal, lingual
    proximal_box_with_step,  ///< class II: proximal box plus a shallower occlusal step behind it
    through_box,             ///< MOD: open at both proximal sides: floor, buccal, lingual
    cylinder                 ///< class I: round wall and floor
  };
  Kind kind = Kind::proximal_box;
  Side side = Side::mesial;  ///< the open side of the proximal boxes
  double depth = 4.0;        ///< of the (gingival) floor below the occlusal surface
  double length = 1.8;    ///< mesio-distal: box of the occlusal kind, or from the open side to the axial wall
  double width = 4.0;     ///< bucco-lingual at the floor
  double diameter = 4.0;  ///< cylinder only, at the floor
  double step_depth = 2.0;         ///< of the pulpal floor below the occlusal surface (with step only)
  double step_length = 3.0;        ///< from the axial wall to the far end of the step
  double step_width = 2.5;         ///< isthmus
  double taper = 3.0;              ///< divergence of each wall towards the occlusal surface, degrees
  double line_angle_radius = 0.4;  ///< of internal line angles; 0 for sharp
  double bevel = 0.0;     ///< horizontal width of a 45 degree bevel along the occlusal margin; 0 for none
  double offset_x = 0.0;  ///< of the centre, occlusal box and cylinder only
  double offset_y = 0.0;  ///< of the centre, any kind
};

/// Regions "enamel", "dentin", "pulp" and the increments. Surfaces "base", "root surface" and "crown surface"
/// (sides below and above the CEJ), "occlusal buccal" and "occlusal lingual" (of the preparation's centre
/// line), "filling surface". Each rounded edge of the tooth is three flat facets.
struct ToothCase {
  Tooth tooth;
  Preparation preparation;
  std::vector<CuttingPlane> layout;
};

// Specimens. Each has one filling, regions "increment 1" onwards, bonded to its fixtures. Flat outer faces
// across the axes of a box are the surfaces "x0", "x1", "y0", "y1" (smaller and larger coordinate), "bottom"
// and "top".

/// Two cuboids of substrate joined end to end by composite along z: regions "lower plate" and "upper plate",
/// walls "lower" and "upper". Centred on the z axis; the composite lies from z = 0 to `height`.
struct ButtJoint {
  double length = 1.0, width = 1.0;  ///< section, x and y
  double height = 1.0;               ///< of the composite
  double adherend_height = 1.0;      ///< of each cuboid; 0 for rigid plates: only the composite is meshed
  std::vector<CuttingPlane> layout{};
};
/// Composite disc between two plates, axis z, names and position as for ButtJoint. The round outer surface is
/// "side".
struct DiscBetweenPlates {
  double diameter = 5.0, height = 1.0;
  double plate_thickness = 0.0;  ///< 0: rigid plates, as for ButtJoint
};
/// Strip of composite on a strip of substrate, region "substrate", wall "bond". From x = 0 to `length`, y = 0
/// to `width`; the substrate below z = 0, the composite above.
struct BimaterialStrip {
  double length = 20.0, width = 1.0, substrate_thickness = 1.0, filling_thickness = 1.0;
};
/// Quarter of a cylinder of composite in a ring, region "ring", wall "wall"; axis z from 0 to `height`.
/// Symmetry planes are the surfaces "x0" and "y0"; the others "bottom", "top" and "outer".
struct PlugInRing {
  double plug_radius = 2.5, ring_radius = 5.0, height = 1.0;
};
/// Eighth of a ball of composite in a shell, region "shell", wall "wall". Symmetry planes are the surfaces
/// "x0", "y0" and "z0"; the other is "outer".
struct BallInShell {
  double ball_radius = 2.0, shell_radius = 4.0;
};
/// Slot (open at both x ends) between two flexing walls on a base: the aluminium mould of the cusp deflection
/// tests. Region "mould"; walls "floor", "buccal" (y > 0) and "lingual"; centred on the z axis, floor at z =
/// 0. The top is three surfaces: "occlusal buccal", "occlusal lingual" and "filling surface".
struct FlexingMould {
  double slot_width = 6.0;   ///< y, between the walls
  double slot_length = 8.0;  ///< x
  double slot_depth = 4.0;   ///< z
  double wall_thickness = 2.0;
  double base_thickness = 4.0;
  std::vector<CuttingPlane> layout{};
};
/// Cuboid of composite with no bond, from the origin: patch tests and benchmarks; its six surfaces are "x0",
/// "x1", "y0", "y1", "z0", "z1".
struct FreeBlock {
  double length = 1.0, width = 1.0, height = 1.0;
};
/// Single lap joint: an upper adherend (the filling) on a lower one, region "lower adherend", wall "bond",
/// along x. They overlap from x = 0 to `overlap`; the lower one reaches `free_length` further to negative x,
/// the upper one to positive x. Bond at z = 0, y from 0 to `width`. "lower end" and "upper end" are the end
/// faces that are pulled.
struct LapJoint {
  double overlap = 4.0, width = 1.0;
  double thickness = 2.0;    ///< of each adherend
  double free_length = 0.0;  ///< of each adherend beyond the overlap
};
/// Two arms along x, the upper one the filling, the lower one region "lower arm", with a crack from x = 0 to
/// `crack_length` and the bond, wall "bond", at z = 0 beyond it; y from 0 to `width`. The end faces at x = 0
/// are "upper load" and "lower load", the faces of the crack "upper crack" and "lower crack".
struct DoubleCantileverBeam {
  double length = 20.0, width = 1.0;
  double arm_height = 1.0;
  double crack_length = 10.0;
};
/// Layer of composite on a base, region "base", wall "bond" at z = 0; from x = 0 to `length`, y = 0 to
/// `width`.
struct LayerOnBase {
  double length = 4.0, width = 1.0, thickness = 1.0;
  double base_thickness = 0.5;
};
/// Quarter of the thick elliptic plate of NAFEMS test LE10 (TNSB rev. 3, 1990), one region "solid", no
/// filling; z from 0 to `thickness`, x and y along the semi-axes. Surfaces "x0", "y0" (symmetry), "inner",
/// "bottom", "top", and the outer face in two halves, "outer lower" and "outer upper", which meet in the
/// middle of the thickness. Semi-axes may be equal: a thick-walled cylinder.
struct EllipticPlate {
  double inner_x = 2000, inner_y = 1000;  ///< semi-axes of the hole
  double outer_x = 3250, outer_y = 2750;
  double thickness = 600;
};
/// Quarter of the solid of revolution about z of NAFEMS test LE11 (TNSB rev. 3, 1990), sphere, taper and
/// cylinder; one region "solid", no filling. Surfaces "x0", "y0" (symmetry), "bottom", "top", "inner",
/// "outer".
struct TaperedCylinder {
  double inner_radius = 1000;  ///< of the inner sphere; all else is in proportion to it
};

using Specimen =
    std::variant<ButtJoint, DiscBetweenPlates, BimaterialStrip, PlugInRing, BallInShell, FlexingMould,
                 FreeBlock, LapJoint, DoubleCantileverBeam, LayerOnBase, EllipticPlate, TaperedCylinder>;
using Geometry = std::variant<ToothCase, Specimen>;

}  // namespace setstress
