#include "solver/fluid/gap_pockets.hpp"

#include <algorithm>

#include "solver/element/bond_element.hpp"
#include "solver/gaps/closed_surfaces.hpp"

namespace setstress {
namespace {

/// Nodal forces of 1 MPa on both faces at some points of one facet [N/MPa].
void add_push(const Mesh& mesh, std::size_t facet, const std::array<bool, 6>& wetted, Eigen::VectorXd& push) {
  const BondFacet& nodes = mesh.bond[facet];
  const FacetGeometry geometry = geometry_of(mesh, nodes.tooth);
  std::array<Eigen::Vector3d, 6> traction;
  for (std::size_t p = 0; p < 6; ++p) traction[p] = Eigen::Vector3d(wetted[p] ? 1.0 : 0.0, 0.0, 0.0);
  const Eigen::Matrix<double, 3, 6> forces = nodal_forces(geometry, traction);
  for (std::size_t i = 0; i < 6; ++i) {
    const Eigen::Vector3d on_filling = forces.col(static_cast<Eigen::Index>(i));
    push.segment<3>(3 * nodes.filling[i]) += on_filling;
    push.segment<3>(3 * nodes.tooth[i]) -= on_filling;
  }
}

}  // namespace

GapPockets::GapPockets(const Model& model)
    : model_(model),
      finder_(model.mesh, model.substrates, closed_surfaces(model), model.gap_fluid->way_opening) {}

Pocket GapPockets::pocket_of(const Gap& gap, const Frame& frame) const {
  Pocket pocket{
      .points = gap.points, .area = gap.area, .push = Eigen::VectorXd::Zero(model_.mesh.unknowns())};
  for (const GapShare& share : gap.shares) {
    const double conductance = model_.gap_fluid->conductance[static_cast<std::size_t>(share.substrate)];
    pocket.conductance += share.area * conductance;
    if (conductance > 0) pocket.drained += share.area;
  }
  for (std::size_t i = 0; i < gap.points.size();) {
    const auto facet = static_cast<std::size_t>(gap.points[i] / 6);
    std::array<bool, 6> wetted{};
    for (; i < gap.points.size() && static_cast<std::size_t>(gap.points[i] / 6) == facet; ++i) {
      const auto point = static_cast<std::size_t>(gap.points[i] % 6);
      wetted[point] = true;
      pocket.gap_volume +=
          finder_.areas()[static_cast<std::size_t>(gap.points[i])] * frame.bond[facet][point].opening;
    }
    add_push(model_.mesh, facet, wetted, pocket.push);
  }
  return pocket;
}

/// What was in gaps that now lie within this one; a new one is filled as the law says. A gap that grew starts
/// the next step as full as it was: the step finds out whether its fluid is enough.
void GapPockets::take_over(const std::vector<Pocket>& before, Pocket& pocket) const {
  const GapFluid& law = *model_.gap_fluid;
  double held = 0;
  pocket.full = true;
  for (const Pocket& old : before) {
    if (!std::ranges::binary_search(pocket.points, old.points.front())) continue;
    pocket.fluid += old.fluid;
    pocket.outflow += old.outflow;
    pocket.pressure = (held * pocket.pressure + old.area * old.pressure) / (held + old.area);
    pocket.full = pocket.full && old.full;
    pocket.air = pocket.air || old.air;
    held += old.area;
  }
  if (held > 0) return;
  pocket.fluid = law.filled * std::max(0.0, pocket.gap_volume);
  pocket.air = law.filled < 1;
  pocket.full = !pocket.air;
}

void GapPockets::renew(const Frame& frame) {
  const std::vector<Pocket> before = std::move(pockets_);
  pockets_.clear();
  const std::vector<Gap> gaps = finder_.of(frame);
  double debonded = 0;
  for (const Gap& gap : gaps) debonded += gap.area;
  for (const Gap& gap : gaps) {
    if (gap.open_to_margin || gap.area < smallest_pocket * debonded) continue;
    Pocket pocket = pocket_of(gap, frame);
    take_over(before, pocket);
    if (pocket.full && frame.time <= model_.gap_fluid->air_leaves_until) pocket.air = false;
    if (!pocket.full) pocket.pressure = pocket.lowest(*model_.gap_fluid);
    pockets_.push_back(std::move(pocket));
  }
}

std::vector<GapPocket> GapPockets::told() const {
  std::vector<GapPocket> told;
  for (const Pocket& p : pockets_)
    told.push_back(
        {p.points.front(), p.area, p.drained, p.conductance, p.pressure, p.gap_volume, p.fluid, p.outflow});
  return told;
}

}  // namespace setstress
