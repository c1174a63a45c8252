#include "solver/group/shared_equations.hpp"

#include <Eigen/LU>
#include <algorithm>

#include "solver/element/bond_element.hpp"
#include "solver/lanes/coloring.hpp"

namespace setstress {

namespace {

/// Row-major, in single precision.
void append(const Block& block, std::vector<float>& values) {
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) values.push_back(static_cast<float>(block(i, j)));
}

/// What is left of the tissues' matrix where these act by themselves.
std::shared_ptr<const TissueMatrix> springs_alone(Model model, const SharedMesh& shared) {
  for (RegionMaterial& material : model.materials) {
    if (auto* elastic = std::get_if<Elastic>(&material)) elastic->youngs_modulus = 0;
    if (auto* dentin = std::get_if<BandedDentin>(&material))
      for (Elastic& band : dentin->by_band) band.youngs_modulus = 0;
  }
  return tissue_matrix(ElasticBody(model), shared);
}

std::array<float, 36> mass_of_facet() {
  Eigen::Matrix<double, 6, 6> mass = Eigen::Matrix<double, 6, 6>::Zero();
  for (const FacetPoint& point : facet_points()) {
    const auto shapes = triangle_shapes(point.barycentric);
    mass += point.weight * shapes * shapes.transpose();
  }
  std::array<float, 36> flat;
  for (int i = 0; i < 36; ++i) flat[static_cast<std::size_t>(i)] = static_cast<float>(mass(i / 6, i % 6));
  return flat;
}

}  // namespace

std::vector<float> lane_moduli(const Run& run, const Trial& trial) {
  std::vector<float> values;
  values.reserve(numbers_of_element * trial.cure.mean_modulus.size());
  for (std::size_t i = 0; i < trial.cure.mean_modulus.size(); ++i) {
    const ElementModuli moduli = run.filling().moduli(i, trial.cure);
    for (const double shear : moduli.shear) values.push_back(static_cast<float>(shear));
    for (std::size_t p = 0; p < 4; ++p)
      values.push_back(static_cast<float>(moduli.bulk[p] - 2.0 / 3.0 * moduli.shear[p]));
    values.push_back(static_cast<float>(moduli.bulk_of_mean));
  }
  return values;
}

std::vector<float> lane_bond(const Trial& trial) {
  std::vector<float> values;
  values.reserve(2 * trial.bond.tangents.size());
  for (const auto& tangents : trial.bond.tangents) {
    values.push_back(static_cast<float>(tangents[0](0, 0)));
    values.push_back(static_cast<float>(tangents[0](1, 1)));
  }
  return values;
}

SharedEquations::SharedEquations(const Model& model, const SharedMesh& shared, Tissues tissues,
                                 LaneOrder order)
    : structure_(shared.two_level()),
      coarse_(structure_->coarse),
      node_at_(structure_->order.node_at),
      place_of_(structure_->order.place_of) {
  if (!coarse_.is_exact()) coarse_.solve_exactly();
  LaneMesh mesh;
  mesh.nodes = shared.graph().nodes;
  mesh.run_start = {0, mesh.nodes};
  if (order == LaneOrder::colors) order_by_color(shared.graph(), mesh);
  if (tissues == Tissues::each_its_own) ground_ = springs_alone(model, shared);
  add_rows(mesh, shared);
  add_corners(mesh);
  add_elements(mesh, model, filling_tetrahedra(model.mesh));
  filling_ = mesh.element.size();
  if (tissues == Tissues::each_its_own) add_elements(mesh, model, tissue_tetrahedra(model.mesh));
  add_facets(mesh, model);
  mesh_ = std::make_shared<const LaneMesh>(std::move(mesh));
}

void SharedEquations::order_by_color(const NodeGraph& graph, LaneMesh& mesh) {
  std::vector<std::int32_t> start{0}, column;
  for (const int node : node_at_) {
    const auto i = static_cast<std::size_t>(node);
    for (std::size_t k = graph.row_start[i]; k < graph.row_start[i + 1]; ++k)
      if (graph.column[k] != node) column.push_back(place(graph.column[k]));
    start.push_back(static_cast<std::int32_t>(column.size()));
  }
  Coloring coloring = color_rows(start, column);
  std::transform(coloring.order.begin(), coloring.order.end(), coloring.order.begin(),
                 [&](std::int32_t place) { return node_at(place); });
  node_at_.assign(coloring.order.begin(), coloring.order.end());
  for (std::size_t at = 0; at < node_at_.size(); ++at)
    place_of_[static_cast<std::size_t>(node_at_[at])] = static_cast<int>(at);
  mesh.run_start = std::move(coloring.run_start);
}

void SharedEquations::add_rows(LaneMesh& mesh, const SharedMesh& shared) {
  const NodeGraph& graph = shared.graph();
  std::vector<char> lasts(static_cast<std::size_t>(graph.nodes), 0);
  for (const int node : shared.lasting_nodes()) lasts[static_cast<std::size_t>(node)] = 1;
  mesh.rows.start.push_back(0);
  mesh.tissue.start.push_back(0);
  std::vector<std::pair<int, std::size_t>> row;
  for (int at = 0; at < graph.nodes; ++at) {
    const auto node = static_cast<std::size_t>(node_at(at));
    row.clear();
    for (std::size_t k = graph.row_start[node]; k < graph.row_start[node + 1]; ++k)
      row.emplace_back(place(graph.column[k]), k);
    std::sort(row.begin(), row.end());
    for (const auto& [column, source] : row) {
      if (column == at) {
        diagonal_.push_back(source);
        mesh.rows.later.push_back(static_cast<std::int32_t>(mesh.rows.column.size()));
      } else {
        mesh.rows.column.push_back(column);
        row_source_.push_back(source);
      }
      if (!lasts[node] || !lasts[static_cast<std::size_t>(graph.column[source])]) continue;
      if (ground_ && ground_->matrix.values[source].isZero(0)) continue;
      mesh.tissue.column.push_back(column);
      tissue_source_.push_back(source);
    }
    mesh.rows.start.push_back(static_cast<std::int32_t>(mesh.rows.column.size()));
    mesh.tissue.later.push_back(mesh.tissue.start.back());
    mesh.tissue.start.push_back(static_cast<std::int32_t>(mesh.tissue.column.size()));
  }
}

void SharedEquations::add_corners(LaneMesh& mesh) const {
  LaneCorners& corners = mesh.corners;
  corners.node.resize(static_cast<std::size_t>(coarse_.corners()));
  std::vector<std::vector<std::pair<int, float>>> children(corners.node.size());
  corners.parent_start.push_back(0);
  for (int at = 0; at < mesh.nodes; ++at) {
    const auto [a, b] = coarse_.parents()[static_cast<std::size_t>(node_at(at))];
    const float weight = a == b ? 1.0f : 0.5f;
    if (a == b) corners.node[static_cast<std::size_t>(a)] = at;
    for (const int corner : {a, b}) {
      corners.parent.push_back(corner);
      corners.parent_weight.push_back(weight);
      children[static_cast<std::size_t>(corner)].emplace_back(at, weight);
      if (a == b) break;
    }
    corners.parent_start.push_back(static_cast<std::int32_t>(corners.parent.size()));
  }
  corners.child_start.push_back(0);
  for (const auto& of_corner : children) {
    for (const auto& [node, weight] : of_corner) {
      corners.child.push_back(node);
      corners.weight.push_back(weight);
    }
    corners.child_start.push_back(static_cast<std::int32_t>(corners.child.size()));
  }
}

void SharedEquations::add_elements(LaneMesh& mesh, const Model& model,
                                   const std::vector<int>& tetrahedra) const {
  for (const int index : tetrahedra) {
    const Tetrahedron& tetrahedron = model.mesh.tetrahedra[static_cast<std::size_t>(index)];
    const TetrahedronGeometry geometry = geometry_of(model.mesh, tetrahedron);
    std::array<float, 13> shape;
    for (std::size_t i = 0; i < 12; ++i)
      shape[i] = static_cast<float>(
          geometry.barycentric_gradients(static_cast<Eigen::Index>(i % 3), static_cast<Eigen::Index>(i / 3)));
    shape[12] = static_cast<float>(0.25 * geometry.volume);
    mesh.element_shape.push_back(shape);
    auto& nodes = mesh.element.emplace_back();
    std::transform(tetrahedron.nodes.begin(), tetrahedron.nodes.end(), nodes.begin(),
                   [&](int node) { return place(node); });
  }
}

void SharedEquations::add_facets(LaneMesh& mesh, const Model& model) const {
  mesh.facet_mass = mass_of_facet();
  for (const BondFacet& facet : model.mesh.bond) {
    if (facet.tooth == facet.filling) continue;
    const FacetGeometry geometry = geometry_of(model.mesh, facet.tooth);
    std::array<float, 4> shape{};
    for (int i = 0; i < 3; ++i)
      shape[static_cast<std::size_t>(i)] = static_cast<float>(geometry.to_local(0, i));
    shape[3] = static_cast<float>(geometry.area);
    mesh.facet_shape.push_back(shape);
    auto& nodes = mesh.facet.emplace_back();
    for (std::size_t i = 0; i < 6; ++i) {
      nodes[i] = place(facet.tooth[i]);
      nodes[6 + i] = place(facet.filling[i]);
    }
  }
}

LaneEquations SharedEquations::equations(const Run& run) const {
  LaneEquations equations;
  equations.tissue_value.reserve(9 * tissue_source_.size());
  const BlockMatrix& matrix = (ground_ ? *ground_ : *run.balance().tissues()).matrix;
  for (const std::size_t source : tissue_source_) append(matrix.values[source], equations.tissue_value);
  const std::vector<char>& decoupled = run.balance().decoupled();
  for (int at = 0; at < mesh_->nodes; ++at)
    for (int i = 0; i < 3; ++i)
      equations.free.push_back(decoupled[static_cast<std::size_t>(3 * node_at(at) + i)] ? 0.0f : 1.0f);
  for (std::size_t i = 0; i < mesh_->element.size(); ++i)
    if (i >= filling_ || run.filling().is_placed(i))
      equations.elements.push_back(static_cast<std::int32_t>(i));
  for (std::size_t i = 0; i < mesh_->facet.size(); ++i)
    if (run.bond().is_active(i)) equations.facets.push_back(static_cast<std::int32_t>(i));
  return equations;
}

LaneSweeps SharedEquations::sweeps(const BlockMatrix& matrix) const {
  LaneSweeps sweeps;
  sweeps.value.reserve(9 * row_source_.size());
  sweeps.inverse.reserve(9 * diagonal_.size());
  for (const std::size_t source : row_source_) append(matrix.values[source], sweeps.value);
  for (const std::size_t source : diagonal_) append(matrix.values[source].inverse(), sweeps.inverse);
  return sweeps;
}

LaneFactor SharedEquations::factor(const BlockMatrix& matrix) {
  coarse_.renew(matrix);
  const SupernodalFactor& found = coarse_.factor();
  const SupernodalPattern& pattern = found.pattern();
  LaneFactor factor{
      pattern.first_column, pattern.row_start, pattern.value_start, pattern.row, pattern.permutation, {}, {}};
  factor.scale.assign(found.scale().data(), found.scale().data() + found.scale().size());
  factor.value.reserve(pattern.entries());
  for (std::int64_t s = 0; s < pattern.supernodes(); ++s) {
    const Eigen::MatrixXf panel = found.panel(s);
    factor.value.insert(factor.value.end(), panel.data(), panel.data() + panel.size());
  }
  return factor;
}

void SharedEquations::to_lanes(const Eigen::VectorXd& by_node, std::vector<double>& by_place) const {
  by_place.resize(static_cast<std::size_t>(by_node.size()));
  for (int at = 0; at < mesh_->nodes; ++at)
    for (int i = 0; i < 3; ++i) by_place[static_cast<std::size_t>(3 * at + i)] = by_node(3 * node_at(at) + i);
}

void SharedEquations::add_to_nodes(const std::vector<double>& by_place, Eigen::VectorXd& by_node) const {
  for (int at = 0; at < mesh_->nodes; ++at)
    for (int i = 0; i < 3; ++i)
      by_node(3 * node_at(at) + i) += by_place[static_cast<std::size_t>(3 * at + i)];
}

}  // namespace setstress
