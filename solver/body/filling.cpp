#include "solver/body/filling.hpp"

namespace setstress {
namespace {

double modulus_now(const StiffnessLaw& law, const CureState& state) {
  return law.risen(state.age, state.age).end * law.modulus(state.conversion);
}

std::array<Moduli, 4> tangents(const std::array<ChainSteps, 4>& chains) {
  return {tangent(chains[0]), tangent(chains[1]), tangent(chains[2]), tangent(chains[3])};
}

}  // namespace

Filling::Filling(const Model& model, const CureField& cure) : model_(model), cure_(cure) {
  const std::size_t count = cure.filling().size();
  for (const int index : cure.filling()) {
    const Tetrahedron& tetrahedron = model.mesh.tetrahedra[static_cast<std::size_t>(index)];
    geometry_.push_back(geometry_of(model.mesh, tetrahedron));
    tetrahedra_.add(tetrahedron.nodes);
  }
  placed_.assign(count, 0);
  std::array<Vector6d, 4> unstressed;
  unstressed.fill(Vector6d::Zero());
  stress_.assign(count, unstressed);
  for (std::size_t i = 0; i < count && chains_.empty(); ++i)
    if (!is_plain(i)) chains_.assign(count, {no_stress(), no_stress(), no_stress(), no_stress()});
  modulus_.resize(count);
  for (std::size_t i = 0; i < count; ++i)
    for (std::size_t p = 0; p < 4; ++p)
      modulus_[i][p] = modulus_now(cure.composite(i).stiffness, cure.states()[i][p]);
}

void Filling::place(const std::vector<char>& placed) {
  for (std::size_t i = 0; i < placed_.size(); ++i) {
    const Tetrahedron& tetrahedron = model_.mesh.tetrahedra[static_cast<std::size_t>(cure_.filling()[i])];
    placed_[i] = placed[static_cast<std::size_t>(tetrahedron.region)];
  }
}

CureStep Filling::cure_step(const std::vector<CurePoints>& after, double duration) const {
  const std::size_t count = placed_.size();
  CureStep step;
  step.mean_modulus.resize(count);
  step.end_modulus.resize(count);
  step.free_strain.resize(count);
  step.chains.resize(chains_.size());
#pragma omp parallel for schedule(static)
  for (std::size_t i = 0; i < count; ++i) {
    const Composite& composite = cure_.composite(i);
    for (std::size_t p = 0; p < 4; ++p) {
      const double a0 = cure_.states()[i][p].conversion, a1 = after[i][p].conversion;
      const Risen risen = composite.stiffness.risen(cure_.states()[i][p].age, after[i][p].age);
      step.mean_modulus[i][p] = risen.mean * composite.stiffness.mean_modulus(a0, a1);
      step.end_modulus[i][p] = risen.end * composite.stiffness.modulus(a1);
      step.free_strain[i][p] = composite.free_strain(a1) - composite.free_strain(a0);
      if (!composite.is_plain()) step.chains[i][p] = chain_steps(composite, a0, a1, duration, risen);
    }
  }
  return step;
}

ElementModuli Filling::moduli(std::size_t i, const CureStep& step) const {
  const double poisson = cure_.composite(i).stiffness.poisson_ratio;
  if (!is_plain(i)) return element_moduli(tangents(step.chains[i]), poisson);
  ElementModuli moduli;
  for (std::size_t p = 0; p < 4; ++p) {
    moduli.shear[p] = step.mean_modulus[i][p] / (2.0 * (1.0 + poisson));
    moduli.bulk[p] = step.mean_modulus[i][p] / (3.0 * (1.0 - 2.0 * poisson));
  }
  return moduli;
}

void Filling::add_stiffness(BlockMatrix& matrix, const AssemblyMap& map, const CureStep& step) const {
  map.for_each([&](int group) {
    const auto i = static_cast<std::size_t>(group);
    if (!is_placed(i)) return;
    if (is_plain(i)) {
      map.add(matrix, group,
              stiffness(geometry_[i], step.mean_modulus[i], cure_.composite(i).stiffness.poisson_ratio));
      return;
    }
    const ElementModuli of_element = moduli(i, step);
    map.add(matrix, group,
            stiffness(geometry_[i], of_element.shear, of_element.bulk, of_element.bulk_of_mean));
  });
}

Vector6d Filling::elastic_strain_step(std::size_t i, std::size_t point,
                                      const Eigen::Matrix<double, 3, 10>& moved, const CureStep& step) const {
  Vector6d elastic = strain(shape_gradients(geometry_[i], stress_point(static_cast<int>(point))), moved);
  elastic.head<3>().array() -= step.free_strain[i][point];
  return elastic;
}

FillingTrial Filling::respond(const Eigen::VectorXd& displacement_step, const CureStep& step) const {
  FillingTrial trial;
  trial.stress = stress_;
  trial.chains = chains_;
  trial.not_borne.resize(chains_.size());
  trial.nodal_forces.assign(placed_.size(), Eigen::Matrix<double, 3, 10>::Zero());
#pragma omp parallel for schedule(static)
  for (std::size_t i = 0; i < placed_.size(); ++i) {
    if (!is_placed(i)) continue;
    const Tetrahedron& tetrahedron = model_.mesh.tetrahedra[static_cast<std::size_t>(cure_.filling()[i])];
    const auto moved = gather(tetrahedron, displacement_step);
    const double poisson = cure_.composite(i).stiffness.poisson_ratio;
    std::array<Vector6d, 4> elastic;
    for (std::size_t p = 0; p < 4; ++p) elastic[p] = elastic_strain_step(i, p, moved, step);
    if (is_plain(i))
      for (std::size_t p = 0; p < 4; ++p)
        trial.stress[i][p] += elastic_stress(step.mean_modulus[i][p], poisson, elastic[p]);
    else
      respond_by_chains(i, elastic, step, trial);
    trial.nodal_forces[i] = nodal_forces(geometry_[i], trial.stress[i]);
  }
  return trial;
}

void Filling::respond_by_chains(std::size_t i, std::array<Vector6d, 4> elastic, const CureStep& step,
                                FillingTrial& trial) const {
  const std::array<Moduli, 4> whole = tangents(step.chains[i]);
  std::array<double, 4> change;
  for (std::size_t p = 0; p < 4; ++p) change[p] = elastic[p].head<3>().sum();
  const std::array<double, 4> met =
      borne(whole, element_moduli(whole, cure_.composite(i).stiffness.poisson_ratio), change);
  for (std::size_t p = 0; p < 4; ++p) {
    trial.not_borne[i][p] = change[p] - met[p];
    elastic[p].head<3>().array() -= trial.not_borne[i][p] / 3.0;
    trial.chains[i][p] = after(step.chains[i][p], chains_[i][p], elastic[p]);
    trial.stress[i][p] = sum(trial.chains[i][p]);
  }
}

/// Energies of a point that is one elastic spring and comes to the stress `now`.
void Filling::add_plain(std::size_t i, std::size_t point, const Vector6d& now, const CureStep& step,
                        FillingEnergies& sum) const {
  const double poisson = cure_.composite(i).stiffness.poisson_ratio, weight = 0.25 * geometry_[i].volume;
  const Vector6d& before = stress_[i][point];
  // sigma : C^-1 : sigma scales with 1/E, so one evaluation at E = 1 serves all three moduli.
  const double old_square = before.dot(elastic_strain(1.0, poisson, before));
  const double new_square = now.dot(elastic_strain(1.0, poisson, now));
  const double mean = step.mean_modulus[i][point], old_modulus = modulus_[i][point],
               new_modulus = step.end_modulus[i][point];
  sum.elastic += weight * 0.5 * new_square / new_modulus;
  sum.set_in +=
      weight * 0.5 *
      (new_square * (1.0 / mean - 1.0 / new_modulus) + old_square * (1.0 / old_modulus - 1.0 / mean));
}

/// The same of a point that is chains. What its pressure does on volume that it does not bear itself goes to
/// the rest of its element, and is lost there but for a little.
void Filling::add_chains(std::size_t i, std::size_t point, const FillingTrial& trial, const CureStep& step,
                         FillingEnergies& sum) const {
  const double weight = 0.25 * geometry_[i].volume;
  const ChainEnergies at_point = energies(step.chains[i][point], chains_[i][point], trial.chains[i][point]);
  const double pressure = (stress_[i][point].head<3>().sum() + trial.stress[i][point].head<3>().sum()) / 6.0;
  sum.elastic += weight * at_point.elastic;
  sum.set_in += weight * at_point.set_in;
  sum.flow += weight * (at_point.flow + pressure * trial.not_borne[i][point]);
}

FillingEnergies Filling::commit(FillingTrial trial, const CureStep& step) {
  FillingEnergies total;
  for (std::size_t i = 0; i < placed_.size(); ++i) {
    if (!is_placed(i)) continue;
    const double weight = 0.25 * geometry_[i].volume;
    for (std::size_t p = 0; p < 4; ++p) {
      if (is_plain(i))
        add_plain(i, p, trial.stress[i][p], step, total);
      else
        add_chains(i, p, trial, step, total);
      const double pressure = 0.5 * (stress_[i][p].head<3>().sum() + trial.stress[i][p].head<3>().sum());
      total.shrinkage_work -= weight * pressure * step.free_strain[i][p];
    }
  }
  stress_ = std::move(trial.stress);
  chains_ = std::move(trial.chains);
  modulus_ = step.end_modulus;
  return total;
}

void Filling::add_stress(std::vector<std::array<Vector6d, 4>>& stress) const {
  for (std::size_t i = 0; i < placed_.size(); ++i)
    stress[static_cast<std::size_t>(cure_.filling()[i])] = stress_[i];
}

}  // namespace setstress
