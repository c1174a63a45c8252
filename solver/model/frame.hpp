#pragma once
// One instant of a run, as handed to whoever writes files or judges the bond. Units: mm, N, s, MPa.

#include <Eigen/Core>
#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace setstress {

using Vector6d =
    Eigen::Matrix<double, 6, 1>;  ///< Voigt: xx yy zz yz xz xy, engineering shears, tension positive

/// Barycentric coordinates of the four stress points of a tetrahedron: point i is nearest to corner i.
inline constexpr double stress_point_near = 0.58541019662496852, stress_point_far = 0.13819660112501051;

/// The six points at which a bond facet carries traction: barycentric coordinates in the facet and share of
/// its area.
struct FacetPoint {
  std::array<double, 3> barycentric;
  double weight;  ///< shares sum to 1
};
/// Six-point rule of degree 4 (Dunavant 1985, Int J Numer Methods Eng 21:1129, n = 6).
const std::array<FacetPoint, 6>& facet_points();

/// The bond at one point.
struct BondPoint {
  Eigen::Vector3d traction = Eigen::Vector3d::Zero();  ///< on the tooth side, global axes [MPa]
  double normal = 0;                                   ///< normal traction [MPa], tension positive
  double shear = 0;                                    ///< magnitude of the shear traction [MPa]
  double tensile_strength = 0, shear_strength = 0;     ///< at this instant [MPa]
  double ratio = 0;     ///< stress-to-strength ratio sqrt((<tn>/Sn)^2 + (|tt|/St)^2) [-]; 1: strength reached
  double maturity = 0;  ///< of the strength [-]
  double strength_lost = 0;  ///< share of the strength lost to softening [-]: 0 intact, 1 fully debonded
  double opening = 0;        ///< normal displacement jump since placement [mm], positive open
  double slip = 0;           ///< magnitude of the tangential jump since placement [mm]
  double conversion = 0;     ///< relative, of the filling beside the facet (mean_beside) [-]
  bool active = false;       ///< the increment on it has been placed
  [[nodiscard]] bool debonded() const { return strength_lost >= 0.99; }
};

/// Energies since the start [N mm = mJ]. shrinkage_work + load_work = the sum of all the others + error.
struct Energies {
  double shrinkage_work =
      0;                 ///< done by the setting shrinkage, and by free strain given to tissue or fixture
  double load_work = 0;  ///< done by pressures, moved supports, bites and fluid in gaps
  double elastic_tooth = 0, elastic_filling = 0, elastic_bond = 0, elastic_support = 0;
  double set_in = 0;    ///< made unrecoverable because filling or bond stiffened while stressed
  double flow = 0;      ///< lost as the filling flowed
  double fracture = 0;  ///< dissipated by debonding, at the rate-independent law
  double viscous = 0;   ///< spent on the viscous regularisation of debonding
  double bite_work = 0, fluid_work = 0;  ///< shares of load_work: of bites, and of the fluid in gaps
  [[nodiscard]] double sum_of_sinks() const {
    return elastic_tooth + elastic_filling + elastic_bond + elastic_support + set_in + flow + fracture +
           viscous;
  }
};

/// The fluid in one enclosed gap.
struct GapPocket {
  int first_point;           ///< of its facet points, 6 facet + point, the first
  double area, drained;      ///< of the gap, and of it through which fluid can pass [mm2]
  double conductance;        ///< of all of it [mm3/(s MPa)]
  double pressure;           ///< relative to outside [MPa]
  double gap_volume, fluid;  ///< volume of the gap and of the fluid in it [mm3]
  double outflow;            ///< through the wall, mean over the last step [mm3/s]
};

struct Frame {
  double time = 0;               ///< [s] since the bond was cured
  double since_event = 0;        ///< [s] of it; 0 for the frame at an event
  std::string event;             ///< "increment 1 placed", "light on", "light off", "", ...
  std::vector<char> placed;      ///< by region: filling placed by now; always 1 for tooth and fixtures
  Eigen::VectorXd displacement;  ///< 3 per node [mm]; nodes not placed yet are 0
  std::vector<std::array<Vector6d, 4>> stress;    ///< by tetrahedron and stress point [MPa]
  std::vector<std::array<double, 4>> conversion;  ///< relative conversion by tetrahedron and stress point [-]
  std::vector<std::array<BondPoint, 6>> bond;     ///< by bond facet and facet point
  std::vector<Eigen::Vector3d> reactions;         ///< on the body, by entry of Model::fixed [N]
  Energies energies;
  std::vector<GapPocket> pockets;  ///< from the instant on from which gaps hold fluid
  double bite_force = 0;           ///< now [N]
  bool light_on = false;
};

}  // namespace setstress
