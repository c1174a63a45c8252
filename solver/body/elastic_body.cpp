#include "solver/body/elastic_body.hpp"

#include "solver/body/supports.hpp"
#include "solver/element/tetrahedron.hpp"

namespace setstress {

const Elastic& elastic_at(const Model& model, const Tetrahedron& tetrahedron) {
  const RegionMaterial& material = model.materials[static_cast<std::size_t>(tetrahedron.region)];
  if (const auto* elastic = std::get_if<Elastic>(&material)) return *elastic;
  const auto& dentin = std::get<BandedDentin>(material);
  const double level = position(model.mesh, tetrahedron, Eigen::Vector4d::Constant(0.25)).z();
  return dentin.by_band[static_cast<std::size_t>(dentin.bands.at(level)) -
                        static_cast<std::size_t>(Substrate::coronal_dentin)];
}

std::vector<int> tissue_tetrahedra(const Mesh& mesh) {
  std::vector<int> found;
  for (std::size_t i = 0; i < mesh.tetrahedra.size(); ++i)
    if (!mesh.regions[static_cast<std::size_t>(mesh.tetrahedra[i].region)].is_filling())
      found.push_back(static_cast<int>(i));
  return found;
}

ElasticBody::ElasticBody(const Model& model) : model_(model), members_(tissue_tetrahedra(model.mesh)) {
  for (const int index : members_) {
    const Tetrahedron& tetrahedron = model.mesh.tetrahedra[static_cast<std::size_t>(index)];
    geometry_.push_back(geometry_of(model.mesh, tetrahedron));
    tetrahedra_.add(tetrahedron.nodes);
  }
  for (const ElasticFoundation& foundation : model.foundations)
    for (const SixNodes& facet : surface_named(model.mesh, foundation.surface).facets) {
      foundation_facets_.add(facet);
      foundation_stiffness_.push_back(setstress::foundation_stiffness(model.mesh, facet, foundation));
    }
}

void ElasticBody::add_stiffness(BlockMatrix& matrix, const AssemblyMap& body,
                                const AssemblyMap& ground) const {
  body.for_each([&](int group) {
    const Tetrahedron& tetrahedron =
        model_.mesh.tetrahedra[static_cast<std::size_t>(members_[static_cast<std::size_t>(group)])];
    const Elastic& elastic = elastic_at(model_, tetrahedron);
    std::array<double, 4> modulus;
    modulus.fill(elastic.youngs_modulus);
    body.add(matrix, group, stiffness(geometry_of(model_.mesh, tetrahedron), modulus, elastic.poisson_ratio));
  });
  ground.for_each(
      [&](int group) { ground.add(matrix, group, foundation_stiffness_[static_cast<std::size_t>(group)]); });
}

std::array<double, 4> ElasticBody::free_strain(const Tetrahedron& tetrahedron, double time) const {
  std::array<double, 4> strains{};
  for (const FreeStrain& entry : model_.free_strains) {
    if (entry.region != model_.mesh.regions[static_cast<std::size_t>(tetrahedron.region)].name) continue;
    for (int p = 0; p < 4; ++p)
      strains[static_cast<std::size_t>(p)] +=
          ramp_share(time, entry.ramp) * entry.at(position(model_.mesh, tetrahedron, stress_point(p)));
  }
  return strains;
}

FreeStrainLoad ElasticBody::free_strain_load(double time) const {
  FreeStrainLoad load{.forces = Eigen::VectorXd::Zero(model_.mesh.unknowns())};
  if (model_.free_strains.empty()) return load;
  for (const int index : members_) {
    const Tetrahedron& tetrahedron = model_.mesh.tetrahedra[static_cast<std::size_t>(index)];
    const Elastic& elastic = elastic_at(model_, tetrahedron);
    const TetrahedronGeometry geometry = geometry_of(model_.mesh, tetrahedron);
    const std::array<double, 4> strains = free_strain(tetrahedron, time);
    std::array<Vector6d, 4> stress;
    for (std::size_t p = 0; p < 4; ++p) {
      const Vector6d strain = strains[p] * Vector6d{{1, 1, 1, 0, 0, 0}};
      stress[p] = elastic_stress(elastic.youngs_modulus, elastic.poisson_ratio, strain);
      load.energy += 0.5 * 0.25 * geometry.volume * strain.dot(stress[p]);
    }
    const Eigen::Matrix<double, 3, 10> forces = nodal_forces(geometry, stress);
    for (std::size_t i = 0; i < 10; ++i)
      load.forces.segment<3>(3 * tetrahedron.nodes[i]) += forces.col(static_cast<Eigen::Index>(i));
  }
  return load;
}

void ElasticBody::add_stress(const Eigen::VectorXd& displacement, double time,
                             std::vector<std::array<Vector6d, 4>>& stress) const {
#pragma omp parallel for schedule(static)
  for (std::size_t i = 0; i < members_.size(); ++i) {
    const auto index = static_cast<std::size_t>(members_[i]);
    const Tetrahedron& tetrahedron = model_.mesh.tetrahedra[index];
    const Elastic& elastic = elastic_at(model_, tetrahedron);
    const TetrahedronGeometry& geometry = geometry_[i];
    const auto moved = gather(tetrahedron, displacement);
    const std::array<double, 4> free = free_strain(tetrahedron, time);
    for (std::size_t p = 0; p < 4; ++p) {
      Vector6d elastic_part = strain(shape_gradients(geometry, stress_point(static_cast<int>(p))), moved);
      elastic_part.head<3>().array() -= free[p];
      stress[index][p] = elastic_stress(elastic.youngs_modulus, elastic.poisson_ratio, elastic_part);
    }
  }
}

double ElasticBody::support_energy(const Eigen::VectorXd& displacement) const {
  double energy = 0.0;
  for (int f = 0; f < foundation_facets_.size(); ++f) {
    Eigen::Matrix<double, 18, 1> moved;
    for (int i = 0; i < 6; ++i)
      moved.segment<3>(3 * i) =
          displacement.segment<3>(3 * foundation_facets_[f][static_cast<std::size_t>(i)]);
    energy += 0.5 * moved.dot(foundation_stiffness_[static_cast<std::size_t>(f)] * moved);
  }
  return energy;
}

}  // namespace setstress
