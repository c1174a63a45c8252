#include <gmsh.h>

#include <algorithm>

#include "mesh/cavity_solid.hpp"
#include "mesh/tooth.hpp"

namespace setstress {
namespace {

namespace occ = gmsh::model::occ;

/// Horizontal section of the tooth at height z, moved inward by `inset` [mm].
int add_section(const Tooth& tooth, double z, double inset) {
  const double length = tooth.length - 2 * inset, width = tooth.width - 2 * inset;
  const double radius =
      tooth.edge_radius > 0 ? std::max(tooth.edge_radius - inset, 0.5 * tooth.edge_radius) : 0;
  return occ::addRectangle(-0.5 * length, -0.5 * width, z, length, width, -1, radius);
}

/// Part of the tooth block between two heights.
int add_block(const Tooth& tooth, double bottom, double top) {
  gmsh::vectorpair swept;
  occ::extrude({{2, add_section(tooth, bottom, 0)}}, 0, 0, top - bottom, swept);
  for (const auto& [dimension, tag] : swept)
    if (dimension == 3) return tag;
  throw std::runtime_error("the tooth block came out without volume");
}

/// Closed outline of a face.
int add_outline(int face) {
  occ::synchronize();
  gmsh::vectorpair edges;
  gmsh::model::getBoundary({{2, face}}, edges, /*combined=*/false, /*oriented=*/false);
  std::vector<int> curves;
  for (const auto& [dimension, tag] : edges) curves.push_back(tag);
  return occ::addCurveLoop(curves);
}

/// Dentin of the crown: full section at the CEJ, drawn in under the side enamel and cut off under the cap.
int add_coronal_dentin(const Tooth& tooth) {
  const double top = tooth.crown_height - tooth.occlusal_enamel;
  if (tooth.side_enamel == 0) return add_block(tooth, 0, top);
  const int lower = add_section(tooth, 0, 0);
  const int upper = add_section(tooth, top, tooth.side_enamel * top / tooth.crown_height);
  gmsh::vectorpair loft;
  occ::addThruSections({add_outline(lower), add_outline(upper)}, loft, -1, /*makeSolid=*/true,
                       /*makeRuled=*/true);
  occ::remove({{2, lower}, {2, upper}}, /*recursive=*/true);
  return loft.front().second;
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
