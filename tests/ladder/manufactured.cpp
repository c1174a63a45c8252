#include "tests/ladder/manufactured.hpp"

#include <Eigen/Dense>
#include <array>
#include <cmath>

#include "mesh/tetrahedra/measures.hpp"
#include "solver/element/bond_element.hpp"
#include "solver/element/tetrahedron.hpp"
#include "solver/linear/matrix/assembly_map.hpp"
#include "solver/linear/solve/linear_solver.hpp"

namespace setstress::testing {

namespace {

/// Gauss points and weights on [0, 1], degree 7.
constexpr std::array<double, 4> gauss_at{0.06943184420297371, 0.33000947820757187, 0.66999052179242813,
                                         0.93056815579702629};
constexpr std::array<double, 4> gauss_weight{0.17392742256872693, 0.32607257743127307, 0.32607257743127307,
                                             0.17392742256872693};

/// Calls use(barycentric, share of the volume) for every point of a collapsed product rule.
template <class Use>
void over_tetrahedron(const Use& use) {
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j)
      for (std::size_t k = 0; k < 4; ++k) {
        const double a = gauss_at[i], b = gauss_at[j] * (1 - a),
                     c = gauss_at[k] * (1 - gauss_at[j]) * (1 - a);
        const double jacobian = (1 - a) * (1 - a) * (1 - gauss_at[j]);
        use(Eigen::Vector4d(a, b, c, 1 - a - b - c),
            6 * jacobian * gauss_weight[i] * gauss_weight[j] * gauss_weight[k]);
      }
}

/// The same over a triangle, shares of its area.
template <class Use>
void over_triangle(const Use& use) {
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j) {
      const double a = gauss_at[i], b = gauss_at[j] * (1 - a);
      use(std::array<double, 3>{a, b, 1 - a - b}, 2 * (1 - a) * gauss_weight[i] * gauss_weight[j]);
    }
}

Eigen::Matrix3d tensor(const Vector6d& strain) {
  Eigen::Matrix3d e;
  e << strain(0), strain(5) / 2, strain(4) / 2, strain(5) / 2, strain(1), strain(3) / 2, strain(4) / 2,
      strain(3) / 2, strain(2);
  return e;
}

/// The system of one mesh and its loads.
class System {
 public:
  System(const Mesh& mesh, const Manufactured& problem) : mesh_(mesh), problem_(problem) {
    for (const Tetrahedron& t : mesh.tetrahedra) bodies_.add(t.nodes);
    for (const BondFacet& f : mesh.bond) {
      std::array<int, 12> nodes;
      std::copy(f.tooth.begin(), f.tooth.end(), nodes.begin());
      std::copy(f.filling.begin(), f.filling.end(), nodes.begin() + 6);
      bonds_.add(nodes);
    }
    graph_ = make_node_graph(mesh.nodes, std::array{bodies_, bonds_}, edge_node_parents(mesh));
    load_ = Eigen::VectorXd::Zero(mesh.unknowns());
  }

  Eigen::VectorXd solve() {
    BlockMatrix matrix(graph_);
    add_bodies(matrix);
    add_bond(matrix);
    const std::vector<char> held = held_components();
    Eigen::VectorXd displacement = Eigen::VectorXd::Zero(load_.size()), force;
    for (std::size_t dof = 0; dof < held.size(); ++dof)
      if (held[dof]) displacement(static_cast<Eigen::Index>(dof)) = exact_[dof];
    multiply(matrix, displacement, force);
    Eigen::VectorXd residual = load_ - force, correction = Eigen::VectorXd::Zero(load_.size());
    for (std::size_t dof = 0; dof < held.size(); ++dof)
      if (held[dof]) residual(static_cast<Eigen::Index>(dof)) = 0;
    decouple(matrix, held, matrix.values.front().trace() / 3);
    make_two_level_solver(graph_)->solve(matrix, residual, correction, 1e-11);
    return displacement + correction;
  }

 private:
  [[nodiscard]] const ElasticWave& wave(int tetrahedron) const {
    const int region = mesh_.tetrahedra[static_cast<std::size_t>(tetrahedron)].region;
    return problem_.by_region.at(static_cast<std::size_t>(region));
  }
  /// Every node of an outer surface; sets the exact displacement of all nodes on the way.
  std::vector<char> held_components() {
    exact_.assign(static_cast<std::size_t>(load_.size()), 0.0);
    for (std::size_t t = 0; t < mesh_.tetrahedra.size(); ++t)
      for (const int node : mesh_.tetrahedra[t].nodes) {
        const Eigen::Vector3d u =
            wave(static_cast<int>(t)).displacement(mesh_.nodes[static_cast<std::size_t>(node)]);
        for (std::size_t c = 0; c < 3; ++c)
          exact_[3 * static_cast<std::size_t>(node) + c] = u(static_cast<Eigen::Index>(c));
      }
    std::vector<char> held(static_cast<std::size_t>(load_.size()), 0);
    for (const Surface& surface : mesh_.surfaces)
      for (const SixNodes& facet : surface.facets)
        for (const int node : facet)
          for (std::size_t c = 0; c < 3; ++c) held[3 * static_cast<std::size_t>(node) + c] = 1;
    return held;
  }
  void add_bodies(BlockMatrix& matrix) {
    const AssemblyMap map(graph_, bodies_);
    map.for_each([&](int t) {
      const Tetrahedron& tetrahedron = mesh_.tetrahedra[static_cast<std::size_t>(t)];
      const TetrahedronGeometry geometry = geometry_of(mesh_, tetrahedron);
      const ElasticWave& solid = wave(t);
      std::array<double, 4> modulus;
      modulus.fill(solid.youngs_modulus);
      map.add(matrix, t, stiffness(geometry, modulus, solid.poisson_ratio));
      over_tetrahedron([&](const Eigen::Vector4d& at, double share) {
        const Eigen::Vector3d force =
            solid.body_force(position(mesh_, tetrahedron, at)) * (share * geometry.volume);
        const auto shapes = shape_values(at);
        for (int n = 0; n < 10; ++n)
          load_.segment<3>(3 * tetrahedron.nodes[static_cast<std::size_t>(n)]) += shapes(n) * force;
      });
    });
  }
  /// Springs, and the tractions that the two sides carry beyond what the springs pass on.
  void add_bond(BlockMatrix& matrix) {
    const AssemblyMap map(graph_, bonds_);
    const Eigen::Vector3d springs(problem_.normal_stiffness, problem_.shear_stiffness,
                                  problem_.shear_stiffness);
    map.for_each([&](int f) {
      const BondFacet& facet = mesh_.bond[static_cast<std::size_t>(f)];
      const FacetGeometry geometry = geometry_of(mesh_, facet.tooth);
      std::array<Eigen::Matrix3d, 6> tangents;
      tangents.fill(springs.asDiagonal());
      map.add(matrix, f, stiffness(geometry, tangents));
      const Eigen::Matrix3d global = geometry.to_local.transpose() * springs.asDiagonal() * geometry.to_local;
      const Eigen::Vector3d normal = geometry.to_local.row(0).transpose();
      const ElasticWave &below = wave(facet.tooth_tetrahedron), &above = wave(facet.filling_tetrahedron);
      over_triangle([&](const std::array<double, 3>& at, double share) {
        Eigen::Vector3d x = Eigen::Vector3d::Zero();
        for (std::size_t c = 0; c < 3; ++c)
          x += at[c] * mesh_.nodes[static_cast<std::size_t>(facet.tooth[c])];
        const Eigen::Vector3d spring = global * (above.displacement(x) - below.displacement(x));
        const Eigen::Vector3d on_tooth = below.stress_of(below.strain(x)) * normal - spring;
        const Eigen::Vector3d on_filling = spring - above.stress_of(above.strain(x)) * normal;
        const auto shapes = triangle_shapes(at);
        for (std::size_t n = 0; n < 6; ++n) {
          const double weight = shapes(static_cast<Eigen::Index>(n)) * share * geometry.area;
          load_.segment<3>(3 * facet.tooth[n]) += weight * on_tooth;
          load_.segment<3>(3 * facet.filling[n]) += weight * on_filling;
        }
      });
    });
  }

  const Mesh& mesh_;
  const Manufactured& problem_;
  NodeGroups bodies_, bonds_;
  NodeGraph graph_;
  Eigen::VectorXd load_;
  std::vector<double> exact_;
};

/// Squares of the norms of error and solution.
struct Norms {
  double displacement_error = 0, displacement = 0, energy_error = 0, energy = 0, volume = 0;
};

void add_bodies(const Mesh& mesh, const Manufactured& problem, const Eigen::VectorXd& found, Norms& norms) {
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra) {
    const ElasticWave& solid = problem.by_region.at(static_cast<std::size_t>(tetrahedron.region));
    const TetrahedronGeometry geometry = geometry_of(mesh, tetrahedron);
    const Eigen::Matrix<double, 3, 10> moved = gather(tetrahedron, found);
    norms.volume += geometry.volume;
    over_tetrahedron([&](const Eigen::Vector4d& at, double share) {
      const Eigen::Vector3d x = position(mesh, tetrahedron, at);
      const double weight = share * geometry.volume;
      const Eigen::Vector3d exact = solid.displacement(x);
      norms.displacement += weight * exact.squaredNorm();
      norms.displacement_error += weight * (moved * shape_values(at) - exact).squaredNorm();
      const Eigen::Matrix3d strain_exact = solid.strain(x);
      const Eigen::Matrix3d off = tensor(strain(shape_gradients(geometry, at), moved)) - strain_exact;
      norms.energy += weight * solid.stress_of(strain_exact).cwiseProduct(strain_exact).sum();
      norms.energy_error += weight * solid.stress_of(off).cwiseProduct(off).sum();
    });
  }
}

void add_bond(const Mesh& mesh, const Manufactured& problem, const Eigen::VectorXd& found, Norms& norms) {
  const Eigen::Vector3d springs(problem.normal_stiffness, problem.shear_stiffness, problem.shear_stiffness);
  const auto solid_of = [&](int t) {
    return problem.by_region.at(
        static_cast<std::size_t>(mesh.tetrahedra[static_cast<std::size_t>(t)].region));
  };
  for (const BondFacet& facet : mesh.bond) {
    const FacetGeometry geometry = geometry_of(mesh, facet.tooth);
    const ElasticWave below = solid_of(facet.tooth_tetrahedron), above = solid_of(facet.filling_tetrahedron);
    over_triangle([&](const std::array<double, 3>& at, double share) {
      const auto shapes = triangle_shapes(at);
      Eigen::Vector3d x = Eigen::Vector3d::Zero(), jump = Eigen::Vector3d::Zero();
      for (std::size_t c = 0; c < 3; ++c) x += at[c] * mesh.nodes[static_cast<std::size_t>(facet.tooth[c])];
      for (std::size_t n = 0; n < 6; ++n)
        jump += shapes(static_cast<Eigen::Index>(n)) *
                (found.segment<3>(3 * facet.filling[n]) - found.segment<3>(3 * facet.tooth[n]));
      const Eigen::Vector3d exact = geometry.to_local * (above.displacement(x) - below.displacement(x));
      const Eigen::Vector3d off = geometry.to_local * jump - exact;
      norms.energy += share * geometry.area * springs.dot(exact.cwiseAbs2());
      norms.energy_error += share * geometry.area * springs.dot(off.cwiseAbs2());
    });
  }
}

}  // namespace

Eigen::Vector3d ElasticWave::displacement(const Eigen::Vector3d& x) const {
  return amplitude * std::sin(wave.dot(x) + phase);
}

Eigen::Matrix3d ElasticWave::strain(const Eigen::Vector3d& x) const {
  const Eigen::Matrix3d gradient = amplitude * wave.transpose() * std::cos(wave.dot(x) + phase);
  return 0.5 * (gradient + gradient.transpose());
}

Eigen::Matrix3d ElasticWave::stress_of(const Eigen::Matrix3d& strain) const {
  return 2 * shear_modulus() * strain + lame() * strain.trace() * Eigen::Matrix3d::Identity();
}

Eigen::Vector3d ElasticWave::body_force(const Eigen::Vector3d& x) const {
  return ((lame() + shear_modulus()) * wave.dot(amplitude) * wave +
          shear_modulus() * wave.squaredNorm() * amplitude) *
         std::sin(wave.dot(x) + phase);
}

ManufacturedError solve_manufactured(const Mesh& mesh, const Manufactured& problem) {
  const Eigen::VectorXd found = System(mesh, problem).solve();
  Norms norms;
  add_bodies(mesh, problem, found, norms);
  add_bond(mesh, problem, found, norms);
  return {std::cbrt(norms.volume / static_cast<double>(mesh.tetrahedra.size())),
          std::sqrt(norms.displacement_error / norms.displacement),
          std::sqrt(norms.energy_error / norms.energy), mesh.unknowns()};
}

double observed_order(const std::vector<double>& size, const std::vector<double>& error) {
  double sum_x = 0, sum_y = 0, sum_xx = 0, sum_xy = 0;
  const auto n = static_cast<double>(size.size());
  for (std::size_t i = 0; i < size.size(); ++i) {
    const double x = std::log(size[i]), y = std::log(error[i]);
    sum_x += x;
    sum_y += y;
    sum_xx += x * x;
    sum_xy += x * y;
  }
  return (n * sum_xy - sum_x * sum_y) / (n * sum_xx - sum_x * sum_x);
}

}  // namespace setstress::testing
