#include "solver/bond/bond_correction.hpp"

namespace setstress {

BondCorrection::BondCorrection(const BondLayer& bond, const AssemblyMap& order, const Mesh& mesh,
                               const BondTangents& assembled, const BondTangents& wanted,
                               const std::vector<char>& decoupled)
    : order_(order), facet_at_(wanted.size(), -1), decoupled_(decoupled) {
  int changed = 0;
  for (std::size_t f = 0; f < wanted.size(); ++f)
    if (bond.is_active(f) && assembled[f] != wanted[f]) facet_at_[f] = changed++;
  facets_.resize(static_cast<std::size_t>(changed));
  order_.for_each([&](int group) {
    const auto f = static_cast<std::size_t>(group);
    if (facet_at_[f] < 0) return;
    std::array<Eigen::Matrix3d, 6> difference;
    for (std::size_t p = 0; p < 6; ++p) difference[p] = wanted[f][p] - assembled[f][p];
    facets_[static_cast<std::size_t>(facet_at_[f])] = {
        &mesh.bond[static_cast<std::size_t>(bond.facets()[f])],
        stiffness(bond.geometry(f), difference).bottomRightCorner<18, 18>()};
  });
}

void BondCorrection::add(const Eigen::VectorXd& displacement, Eigen::VectorXd& forces) const {
  order_.for_each([&](int group) {
    const int at = facet_at_[static_cast<std::size_t>(group)];
    if (at < 0) return;
    const Facet& facet = facets_[static_cast<std::size_t>(at)];
    Eigen::Matrix<double, 18, 1> jump;
    for (int i = 0; i < 6; ++i) {
      const auto node = static_cast<std::size_t>(i);
      jump.segment<3>(3 * i) = displacement.segment<3>(3 * facet.nodes->filling[node]) -
                               displacement.segment<3>(3 * facet.nodes->tooth[node]);
    }
    const Eigen::Matrix<double, 18, 1> force = facet.on_jump * jump;
    for (int i = 0; i < 18; ++i) {
      const auto node = static_cast<std::size_t>(i / 3);
      const int on_filling = 3 * facet.nodes->filling[node] + i % 3;
      const int on_tooth = 3 * facet.nodes->tooth[node] + i % 3;
      if (!decoupled_[static_cast<std::size_t>(on_filling)]) forces(on_filling) += force(i);
      if (!decoupled_[static_cast<std::size_t>(on_tooth)]) forces(on_tooth) -= force(i);
    }
  });
}

}  // namespace setstress
