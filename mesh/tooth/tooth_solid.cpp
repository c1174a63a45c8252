#include <gmsh.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "mesh/tooth/cavity_solid.hpp"
#include "mesh/tooth/prismatoid.hpp"
#include "mesh/tooth/tooth.hpp"

namespace setstress {
namespace {

namespace occ = gmsh::model::occ;

/// Chords that stand for each rounded vertical edge. Flat facets keep the side enamel's thin end meshable:
/// chords of elements across a true round would cut through it.
constexpr int chords = 3;

/// Horizontal section of the tooth at height z, sides moved inward by `inset` [mm], edges as round as
/// outside.
Level section(const Tooth& tooth, double z, double inset) {
  const double radius = tooth.edge_radius;
  const Eigen::Vector2d centre(0.5 * tooth.length - inset - radius, 0.5 * tooth.width - inset - radius);
  const int points = tooth.edge_radius > 0 ? chords + 1 : 1;
  Level level{.corners = {}, .z = z};
  for (int quadrant = 0; quadrant < 4; ++quadrant) {
    const Eigen::Vector2d sign(quadrant == 0 || quadrant == 3 ? 1 : -1, quadrant < 2 ? 1 : -1);
    for (int point = 0; point < points; ++point) {
      const double angle = 0.5 * std::numbers::pi * (quadrant + static_cast<double>(point) / chords);
      level.corners.push_back(centre.cwiseProduct(sign) +
                              radius * Eigen::Vector2d(std::cos(angle), std::sin(angle)));
    }
  }
  return level;
}

/// Part of the tooth block between two heights.
int add_block(const Tooth& tooth, double bottom, double top) {
  return add_prismatoid({section(tooth, bottom, 0), section(tooth, top, 0)});
}

/// Dentin of the crown: full section at the CEJ, drawn in under the side enamel and cut off under the cap.
int add_coronal_dentin(const Tooth& tooth) {
  const double top = tooth.crown_height - tooth.occlusal_enamel;
  return add_prismatoid(
      {section(tooth, 0, 0), section(tooth, top, tooth.side_enamel * top / tooth.crown_height)});
}

int add_pulp(const Tooth& tooth) {
  const Tooth::Pulp& pulp = *tooth.pulp;
  return occ::addBox(-0.5 * pulp.length, -0.5 * pulp.width, -tooth.root_depth, pulp.length, pulp.width,
                     pulp.roof + tooth.root_depth);
}

/// The cavity without what reaches out of the tooth.
std::vector<int> add_filling(const Tooth& tooth, const CavityForm& form) {
  std::vector<int> cavity = add_cavity(form);
  if (!form.open_mesial && !form.open_distal) return cavity;
  gmsh::vectorpair solids, inside;
  for (const int tag : cavity) solids.emplace_back(3, tag);
  std::vector<gmsh::vectorpair> children;
  occ::intersect(solids, {{3, add_block(tooth, -tooth.root_depth, tooth.crown_height)}}, inside, children);
  std::vector<int> volumes;
  for (const auto& [dimension, tag] : inside) volumes.push_back(tag);
  return volumes;
}

}  // namespace

Blueprint tooth_blueprint(const ToothCase& tooth_case) {
  const Tooth& tooth = tooth_case.tooth;
  const CavityForm form = cavity_form(tooth, tooth_case.preparation);
  const bool has_enamel = tooth.occlusal_enamel > 0 || tooth.side_enamel > 0;
  Blueprint blueprint;
  blueprint.parts.push_back({.volumes = {add_block(tooth, -tooth.root_depth, 0)}, .region = "dentin"});
  blueprint.parts.push_back(
      {.volumes = {add_block(tooth, 0, tooth.crown_height)}, .region = has_enamel ? "enamel" : "dentin"});
  if (has_enamel) blueprint.parts.push_back({.volumes = {add_coronal_dentin(tooth)}, .region = "dentin"});
  if (tooth.pulp) blueprint.parts.push_back({.volumes = {add_pulp(tooth)}, .region = "pulp"});
  blueprint.parts.push_back({.volumes = add_filling(tooth, form), .region = "", .filling = true});
  blueprint.layout = tooth_case.layout;
  blueprint.wall = [form](const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal) {
    return wall_name(form, centroid, normal);
  };
  blueprint.surface = [tooth, form](const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal,
                                    const Region& region) {
    return tooth_surface_name(tooth, form, centroid, normal, region);
  };
  return blueprint;
}

}  // namespace setstress
