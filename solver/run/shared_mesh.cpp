#include "solver/run/shared_mesh.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>

#include "solver/body/supports.hpp"
#include "solver/run/coarse_parents.hpp"

namespace setstress {

struct SharedMesh::Groups {
  NodeGroups body, ground, filling, bond;
  explicit Groups(const Model& model) : bond(bond_groups(model.mesh)) {
    for (const Tetrahedron& tetrahedron : model.mesh.tetrahedra) {
      const bool is_filling = model.mesh.regions[static_cast<std::size_t>(tetrahedron.region)].is_filling();
      (is_filling ? filling : body).add(tetrahedron.nodes);
    }
    for (const ElasticFoundation& foundation : model.foundations)
      for (const SixNodes& facet : surface_named(model.mesh, foundation.surface).facets) ground.add(facet);
  }
  [[nodiscard]] NodeGraph graph(const Mesh& mesh) const {
    return make_node_graph(mesh.nodes, std::array{body, filling, bond, ground}, coarse_parents(mesh));
  }
};

namespace {

std::vector<std::string> founded_surfaces(const Model& model) {
  std::vector<std::string> names;
  for (const ElasticFoundation& foundation : model.foundations) names.push_back(foundation.surface);
  return names;
}

bool same_mesh(const Mesh& a, const Mesh& b) {
  const auto same_region = [](const Region& r, const Region& s) { return r.increment == s.increment; };
  const auto same_tetrahedron = [](const Tetrahedron& t, const Tetrahedron& u) {
    return t.nodes == u.nodes && t.region == u.region;
  };
  const auto same_facet = [](const BondFacet& f, const BondFacet& g) {
    return f.tooth == g.tooth && f.filling == g.filling;
  };
  const auto same_surface = [](const Surface& s, const Surface& t) {
    return s.name == t.name && s.facets == t.facets;
  };
  return a.nodes == b.nodes && std::ranges::equal(a.regions, b.regions, same_region) &&
         std::ranges::equal(a.tetrahedra, b.tetrahedra, same_tetrahedron) &&
         std::ranges::equal(a.bond, b.bond, same_facet) &&
         std::ranges::equal(a.surfaces, b.surfaces, same_surface);
}

}  // namespace

NodeGroups bond_groups(const Mesh& mesh) {
  NodeGroups groups;
  for (const BondFacet& facet : mesh.bond) {
    if (facet.tooth == facet.filling) continue;
    std::array<int, 12> nodes;
    std::copy(facet.tooth.begin(), facet.tooth.end(), nodes.begin());
    std::copy(facet.filling.begin(), facet.filling.end(), nodes.begin() + 6);
    groups.add(nodes);
  }
  return groups;
}

SharedMesh::SharedMesh(const Model& model) : SharedMesh(model, Groups(model)) {}

SharedMesh::SharedMesh(const Model& model, const Groups& groups)
    : mesh_(model.mesh),
      founded_(founded_surfaces(model)),
      graph_(groups.graph(mesh_)),
      body_(graph_, groups.body),
      ground_(graph_, groups.ground),
      filling_(graph_, groups.filling),
      bond_(graph_, groups.bond),
      lasting_nodes_(nodes_in(std::array{groups.body, groups.ground})),
      changing_nodes_(nodes_in(std::array{groups.filling, groups.bond})),
      light_(mesh_) {}

void SharedMesh::require_fits(const Model& model) const {
  if (!same_mesh(mesh_, model.mesh))
    throw std::invalid_argument("the model has another mesh than the one that was shared; must be the same");
  if (founded_ != founded_surfaces(model))
    throw std::invalid_argument(
        "the model stands on springs elsewhere than the one whose mesh was shared; must be the same "
        "surfaces");
}

std::shared_ptr<const TwoLevelStructure> SharedMesh::two_level() const {
  const std::lock_guard lock(mutex_);
  if (!two_level_) two_level_ = std::make_shared<const TwoLevelStructure>(graph_);
  return two_level_;
}

}  // namespace setstress
