#pragma once
// Everything a run needs, resolved and ready: mesh, laws by region, bond, supports, timeline. Built by cases/
// from a case file; read, never changed, by the solver. Units: mm, N, s, MPa, mW/cm2.

#include <Eigen/Core>
#include <array>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "materials/bond.hpp"
#include "materials/composite.hpp"
#include "materials/tissue.hpp"
#include "mesh/tetrahedra/mesh.hpp"
#include "solver/model/bite.hpp"
#include "solver/model/gap_fluid.hpp"
#include "solver/model/lamp.hpp"

namespace setstress {

/// Dentin whose elasticity is looked up by level.
struct BandedDentin {
  DentinBands bands;
  std::array<Elastic, 4> by_band;  ///< coronal, middle, cervical, radicular
  bool operator==(const BandedDentin&) const = default;
};
using RegionMaterial = std::variant<Elastic, BandedDentin, Composite>;

/// Displacement components of a named surface held at a prescribed value [mm] (0: fixed), reached linearly
/// after `ramp` [s] (0: at once at t = 0).
struct FixedSurface {
  std::string surface;
  std::string meeting = {};  ///< only the line along which it meets this surface; empty: all of it
  std::array<bool, 3> held{true, true, true};
  Eigen::Vector3d value = Eigen::Vector3d::Zero();
  double ramp = 0;
  bool operator==(const FixedSurface&) const = default;
};
/// Springs to the ground over a named surface [MPa/mm]: the periodontal ligament.
struct ElasticFoundation {
  std::string surface;
  double normal;
  double tangential;
  bool operator==(const ElasticFoundation&) const = default;
};
/// Pressure [MPa], positive pushing into the body, on a named surface, reached linearly after `ramp` [s].
struct Pressure {
  std::string surface;
  double pressure;
  double ramp = 0;
  bool operator==(const Pressure&) const = default;
};

/// Strain [-] that tissue or fixture would take if nothing held it, the same in all directions, as by heat:
/// uniform + gradient . x + radial sqrt(x^2 + y^2), reached linearly after `ramp` [s].
struct FreeStrain {
  std::string region;
  double uniform = 0;                                  ///< [-]
  Eigen::Vector3d gradient = Eigen::Vector3d::Zero();  ///< [1/mm]
  double radial = 0;                                   ///< [1/mm]
  double ramp = 0;
  [[nodiscard]] double at(const Eigen::Vector3d& point) const {
    return uniform + gradient.dot(point) + radial * point.head<2>().norm();
  }
  bool operator==(const FreeStrain&) const = default;
};

struct Placement {
  int increment;  ///< region increment number
  double time;    ///< [s] since the bond was cured
  bool operator==(const Placement&) const = default;
};
/// The lamp: parallel light travelling along `direction` (unit vector; (0, 0, -1) is from occlusal).
struct Exposure {
  double start, duration;  ///< [s]
  double irradiance;       ///< at the surface; with a tip, at the tip [mW/cm2]
  Eigen::Vector3d direction;
  std::optional<LampTip> tip = {};  ///< empty: nothing is lost with distance
  bool operator==(const Exposure&) const = default;
};
/// When things happen; t = 0 is the moment the bond was cured. Sorted by time.
struct Timeline {
  std::vector<Placement> placements;
  std::vector<Exposure> exposures;
  std::vector<Bite> bites = {};      ///< one after the other, after the last exposure
  double end;                        ///< [s]
  std::vector<double> extra_frames;  ///< further instants to hit exactly [s]
  bool operator==(const Timeline&) const = default;
};

/// See Model::strength_factors.
using StrengthFactors = std::vector<std::array<double, 6>>;

struct Model {
  Mesh mesh;
  std::vector<RegionMaterial> materials;  ///< by region; Composite exactly where Region::is_filling()
  Adhesive adhesive;
  std::map<std::string, WallBond> wall_bonds;  ///< by wall; the others have the adhesive's own values
  std::vector<Substrate> substrates;           ///< by bond facet
  /// Times strengths and fracture energies, by bond facet and facet point [-], > 0; empty: 1 everywhere.
  StrengthFactors strength_factors;
  std::vector<FixedSurface> fixed;
  std::vector<ElasticFoundation> foundations;
  std::vector<Pressure> pressures;
  std::vector<FreeStrain> free_strains;
  Timeline timeline;
  std::optional<GapFluid> gap_fluid = {};  ///< empty: gaps hold none
  double tissue_attenuation = 1.0;         ///< of light in tooth or fixture [1/mm]
  bool operator==(const Model&) const = default;
};

/// Values of the matured bond at a facet, without its strength factors. Throws std::out_of_range where it has
/// none.
inline const BondStrength& strength_at(const Model& model, std::size_t facet) {
  const std::string& wall = model.mesh.walls[static_cast<std::size_t>(model.mesh.bond[facet].wall)];
  const auto own = model.wall_bonds.find(wall);
  const auto& strengths = own == model.wall_bonds.end() ? model.adhesive.strength : own->second.strength;
  return strengths.at(model.substrates[facet]);
}

}  // namespace setstress
