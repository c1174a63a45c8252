#include "tests/peer/peer_solution.hpp"

#include <getfem/getfem_models.h>
#include <gmm/gmm.h>

#include <stdexcept>

#include "tests/peer/peer_mesh.hpp"

namespace setstress::testing {

namespace {

using getfem::size_type;
using Vector = std::vector<double>;

/// E and nu of one tetrahedron; dentin by the level of its centroid.
std::pair<double, double> elasticity(const Model& model, const Tetrahedron& tetrahedron) {
  const RegionMaterial& material = model.materials.at(static_cast<std::size_t>(tetrahedron.region));
  if (const auto* composite = std::get_if<Composite>(&material))
    return {composite->stiffness.final_modulus, composite->stiffness.poisson_ratio};
  if (const auto* elastic = std::get_if<Elastic>(&material))
    return {elastic->youngs_modulus, elastic->poisson_ratio};
  const auto& dentin = std::get<BandedDentin>(material);
  const double level = position(model.mesh, tetrahedron, Eigen::Vector4d::Constant(0.25)).z();
  const Elastic& here = dentin.by_band.at(static_cast<std::size_t>(dentin.bands.at(level)) -
                                          static_cast<std::size_t>(Substrate::coronal_dentin));
  return {here.youngs_modulus, here.poisson_ratio};
}

/// Free strain of one tetrahedron: uniform + gradient . x [-].
struct LinearStrain {
  double uniform = 0;
  Eigen::Vector3d gradient = Eigen::Vector3d::Zero();
};
LinearStrain free_strain(const Model& model, const Tetrahedron& tetrahedron) {
  const auto region = static_cast<std::size_t>(tetrahedron.region);
  if (const auto* composite = std::get_if<Composite>(&model.materials.at(region)))
    return {.uniform = -composite->volumetric_shrinkage / 3};
  LinearStrain strain;
  for (const FreeStrain& entry : model.free_strains) {
    if (entry.region != model.mesh.regions.at(region).name) continue;
    if (entry.radial != 0) throw std::invalid_argument("free strain in the radius is not posed to the peer");
    strain.uniform += entry.uniform;
    strain.gradient += entry.gradient;
  }
  return strain;
}

/// A solved field inside one element.
class ElementField {
 public:
  ElementField(const getfem::mesh_fem& fem, size_type convex, const Vector& solution)
      : fem_(fem), convex_(convex) {
    getfem::slice_vector_on_basic_dof_of_element(fem, solution, convex, values_);
    fem.linked_mesh().points_of_convex(convex, corners_);
  }
  [[nodiscard]] Eigen::Vector3d value(const Eigen::Vector4d& barycentric) const {
    Vector at(3);
    fem_.fem_of_element(convex_)->interpolation(context(barycentric), values_, at, 3);
    return Eigen::Vector3d(at.data());
  }
  [[nodiscard]] Eigen::Matrix3d gradient(const Eigen::Vector4d& barycentric) const {
    bgeot::base_matrix at(3, 3);
    fem_.fem_of_element(convex_)->interpolation_grad(context(barycentric), values_, at, 3);
    Eigen::Matrix3d gradient;
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 3; ++j)
        gradient(i, j) = at(static_cast<std::size_t>(i), static_cast<std::size_t>(j));
    return gradient;
  }

 private:
  /// Corner i of ours is corner i of theirs, at the origin and the unit points of the reference element.
  [[nodiscard]] getfem::fem_interpolation_context context(const Eigen::Vector4d& barycentric) const {
    return {fem_.linked_mesh().trans_of_convex(convex_), fem_.fem_of_element(convex_),
            bgeot::base_node(barycentric(1), barycentric(2), barycentric(3)), corners_, convex_};
  }

  const getfem::mesh_fem& fem_;
  size_type convex_;
  Vector values_;
  bgeot::base_matrix corners_;
};

/// Barycentric coordinates in the tetrahedron of a point of its face.
Eigen::Vector4d in_tetrahedron(const Tetrahedron& tetrahedron, const SixNodes& facet,
                               const std::array<double, 3>& in_facet) {
  Eigen::Vector4d barycentric = Eigen::Vector4d::Zero();
  for (int corner = 0; corner < 4; ++corner)
    for (std::size_t i = 0; i < 3; ++i)
      if (tetrahedron.nodes.at(static_cast<std::size_t>(corner)) == facet.at(i))
        barycentric(corner) = in_facet[i];
  return barycentric;
}

class PeerProblem {
 public:
  explicit PeerProblem(const Model& model)
      : model_(model),
        mesh_(model.mesh),
        tooth_(mesh_.mesh, 3),
        filling_(mesh_.mesh, 3),
        constant_(mesh_.mesh, 1),
        constant_vector_(mesh_.mesh, 3),
        integration_(mesh_.mesh) {
    const auto quadratic = getfem::fem_descriptor("FEM_PK(3,2)");
    const auto by_element = getfem::fem_descriptor("FEM_PK(3,0)");
    tooth_.set_finite_element(mesh_.mesh.region(PeerMesh::tooth).index(), quadratic);
    filling_.set_finite_element(mesh_.mesh.region(PeerMesh::filling).index(), quadratic);
    constant_.set_finite_element(mesh_.mesh.convex_index(), by_element);
    constant_vector_.set_finite_element(mesh_.mesh.convex_index(), by_element);
    // Exact for what is integrated: degree 2 in the tetrahedra, 4 on facets.
    integration_.set_integration_method(mesh_.mesh.convex_index(),
                                        getfem::int_method_descriptor("IM_TETRAHEDRON(6)"));
    system_.add_fem_variable("tooth", tooth_);
    system_.add_fem_variable("filling", filling_);
    pose_bodies();
    pose_bond();
    pose_supports();
  }

  PeerSolution solve() {
    // The state it starts from is zero, so that the residual of the first step of Newton is the load.
    system_.assembly(getfem::model::BUILD_ALL);
    const auto& matrix = system_.real_tangent_matrix();
    Vector solution(system_.nb_dof());
    gmm::iteration iteration(1e-13);  // residual over load
    const gmm::ildlt_precond<getfem::model_real_sparse_matrix> preconditioner(matrix);
    gmm::cg(matrix, solution, system_.real_rhs(), preconditioner, iteration);
    if (!iteration.converged()) throw std::runtime_error("the peer's conjugate gradients did not converge");
    system_.to_variables(solution);
    return read_back();
  }

 private:
  void pose_bodies();
  void pose_bond();
  void pose_supports();
  [[nodiscard]] PeerSolution read_back() const;
  [[nodiscard]] ElementField field_in(int tetrahedron) const;
  [[nodiscard]] std::array<Eigen::Matrix3d, 4> stress_in(int tetrahedron) const;
  [[nodiscard]] std::array<Eigen::Vector3d, 6> traction_on(const BondFacet& facet) const;
  void add_term(const std::string& expression, size_type region) {
    getfem::add_linear_term(system_, integration_, expression, region, true);
  }
  void add_load(const std::string& expression, size_type region) {
    getfem::add_source_term(system_, integration_, expression, region);
  }
  void add_number(const std::string& name, double value) { system_.add_initialized_scalar_data(name, value); }

  const Model& model_;
  PeerMesh mesh_;
  getfem::mesh_fem tooth_, filling_, constant_, constant_vector_;
  getfem::mesh_im integration_;
  getfem::model system_;
};

void PeerProblem::pose_bodies() {
  Vector lame(constant_.nb_dof()), shear(constant_.nb_dof()), uniform(constant_.nb_dof()),
      gradient(constant_vector_.nb_dof());
  for (std::size_t t = 0; t < model_.mesh.tetrahedra.size(); ++t) {
    const Tetrahedron& tetrahedron = model_.mesh.tetrahedra[t];
    const auto [modulus, poisson] = elasticity(model_, tetrahedron);
    const LinearStrain strain = free_strain(model_, tetrahedron);
    const size_type dof = constant_.ind_basic_dof_of_element(mesh_.convex[t])[0];
    lame.at(dof) = modulus * poisson / ((1 + poisson) * (1 - 2 * poisson));
    shear.at(dof) = modulus / (2 * (1 + poisson));
    uniform.at(dof) = strain.uniform;
    const auto dofs = constant_vector_.ind_basic_dof_of_element(mesh_.convex[t]);
    for (int i = 0; i < 3; ++i) gradient.at(dofs[static_cast<std::size_t>(i)]) = strain.gradient(i);
  }
  system_.add_initialized_fem_data("lame", constant_, lame);
  system_.add_initialized_fem_data("shear", constant_, shear);
  system_.add_initialized_fem_data("uniform", constant_, uniform);
  system_.add_initialized_fem_data("gradient", constant_vector_, gradient);
  for (const auto& [body, region] :
       {std::pair<std::string, size_type>{"tooth", PeerMesh::tooth}, {"filling", PeerMesh::filling}}) {
    add_term("lame*Div_" + body + "*Div_Test_" + body + "+2*shear*Sym(Grad_" + body + "):Grad_Test_" + body,
             region);
    add_load("(3*lame+2*shear)*(uniform+gradient.X)*Div_Test_" + body, region);
  }
}

void PeerProblem::pose_bond() {
  add_number("normal_spring", model_.adhesive.normal_stiffness());
  add_number("shear_spring", model_.adhesive.shear_stiffness());
  const std::string jump = "(Interpolate(filling,neighbor_element)-tooth)";
  const std::string test = "(Interpolate(Test_filling,neighbor_element)-Test_tooth)";
  add_term("shear_spring*" + jump + "." + test + "+(normal_spring-shear_spring)*(" + jump + ".Normal)*(" +
               test + ".Normal)",
           PeerMesh::bond);
}

void PeerProblem::pose_supports() {
  int count = 0;
  for (const auto& [body, on_filling] : {std::pair<std::string, bool>{"tooth", false}, {"filling", true}}) {
    const auto faces_of = [&](const std::string& surface) { return mesh_.surface(surface, on_filling); };
    for (const FixedSurface& fixed : model_.fixed) {
      if (!fixed.meeting.empty() || fixed.held != std::array{true, true, true} || !fixed.value.isZero())
        throw std::invalid_argument("only surfaces that do not move at all are posed to the peer");
      if (mesh_.mesh.region(faces_of(fixed.surface)).size() != 0)
        getfem::add_Dirichlet_condition_with_simplification(system_, body, faces_of(fixed.surface));
    }
    for (const ElasticFoundation& ground : model_.foundations) {
      const std::string number = std::to_string(count++);
      add_number("ground_normal" + number, ground.normal);
      add_number("ground_shear" + number, ground.tangential);
      add_term("ground_shear" + number + "*" + body + ".Test_" + body + "+(ground_normal" + number +
                   "-ground_shear" + number + ")*(" + body + ".Normal)*(Test_" + body + ".Normal)",
               faces_of(ground.surface));
    }
    for (const Pressure& load : model_.pressures) {
      const std::string number = std::to_string(count++);
      add_number("pressure" + number, load.pressure);
      add_load("-pressure" + number + "*Normal.Test_" + body, faces_of(load.surface));
    }
  }
}

ElementField PeerProblem::field_in(int tetrahedron) const {
  const auto t = static_cast<std::size_t>(tetrahedron);
  const int region = model_.mesh.tetrahedra.at(t).region;
  const bool set = model_.mesh.regions.at(static_cast<std::size_t>(region)).is_filling();
  return {set ? filling_ : tooth_, mesh_.convex.at(t), system_.real_variable(set ? "filling" : "tooth")};
}

std::array<Eigen::Matrix3d, 4> PeerProblem::stress_in(int tetrahedron) const {
  const Tetrahedron& ours = model_.mesh.tetrahedra.at(static_cast<std::size_t>(tetrahedron));
  const auto [modulus, poisson] = elasticity(model_, ours);
  const LinearStrain free = free_strain(model_, ours);
  const ElementField field = field_in(tetrahedron);
  std::array<Eigen::Matrix3d, 4> stress;
  for (int p = 0; p < 4; ++p) {
    Eigen::Vector4d point = Eigen::Vector4d::Constant(stress_point_far);
    point(p) = stress_point_near;
    const Eigen::Matrix3d gradient = field.gradient(point);
    const double grown = free.uniform + free.gradient.dot(position(model_.mesh, ours, point));
    const Eigen::Matrix3d strain =
        0.5 * (gradient + gradient.transpose()) - grown * Eigen::Matrix3d::Identity();
    stress.at(static_cast<std::size_t>(p)) =
        modulus / (1 + poisson) *
        (strain + poisson / (1 - 2 * poisson) * strain.trace() * Eigen::Matrix3d::Identity());
  }
  return stress;
}

std::array<Eigen::Vector3d, 6> PeerProblem::traction_on(const BondFacet& facet) const {
  const auto tetrahedron = [&](int t) { return model_.mesh.tetrahedra.at(static_cast<std::size_t>(t)); };
  const ElementField below = field_in(facet.tooth_tetrahedron), above = field_in(facet.filling_tetrahedron);
  const Eigen::Vector3d normal = area_and_normal(model_.mesh, facet.tooth).normal;
  std::array<Eigen::Vector3d, 6> tractions;
  for (std::size_t p = 0; p < 6; ++p) {
    const auto& at = facet_points()[p].barycentric;
    const Eigen::Vector3d jump =
        above.value(in_tetrahedron(tetrahedron(facet.filling_tetrahedron), facet.filling, at)) -
        below.value(in_tetrahedron(tetrahedron(facet.tooth_tetrahedron), facet.tooth, at));
    const double opening = jump.dot(normal);
    tractions.at(p) = model_.adhesive.normal_stiffness() * opening * normal +
                      model_.adhesive.shear_stiffness() * (jump - opening * normal);
  }
  return tractions;
}

PeerSolution PeerProblem::read_back() const {
  const Mesh& mesh = model_.mesh;
  PeerSolution solution;
  solution.displacement.resize(mesh.unknowns());
  constexpr std::array<std::array<int, 2>, 10> between{
      {{0, 0}, {1, 1}, {2, 2}, {3, 3}, {0, 1}, {1, 2}, {2, 0}, {0, 3}, {1, 3}, {2, 3}}};
  for (int t = 0; t < static_cast<int>(mesh.tetrahedra.size()); ++t) {
    const ElementField field = field_in(t);
    for (std::size_t i = 0; i < 10; ++i) {
      Eigen::Vector4d node = Eigen::Vector4d::Zero();
      for (const int corner : between[i]) node(corner) += 0.5;
      solution.displacement.segment<3>(3 * mesh.tetrahedra[static_cast<std::size_t>(t)].nodes[i]) =
          field.value(node);
    }
    solution.stress.push_back(stress_in(t));
  }
  for (const BondFacet& facet : mesh.bond) solution.traction.push_back(traction_on(facet));
  return solution;
}

}  // namespace

PeerSolution solve_with_peer(const Model& model) {
  gmm::set_traces_level(0);  // it would report on every term
  return PeerProblem(model).solve();
}

}  // namespace setstress::testing
