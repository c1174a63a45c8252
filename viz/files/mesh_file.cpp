#include <fmt/core.h>

#include <stdexcept>

#include "viz/files/vtk_arrays.hpp"
#include "viz/files/vtk_files.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {
namespace {

/// One physical group of the file: a region, one side of a wall, or an outer surface. Tags count from 1.
struct Group {
  int dimension;
  std::string name;
};

std::vector<Group> groups_of(const Mesh& mesh) {
  std::vector<Group> groups;
  for (const Region& region : mesh.regions) groups.push_back({3, region.name});
  for (const std::string& wall : mesh.walls) groups.push_back({2, wall + " (tooth side)"});
  for (const std::string& wall : mesh.walls) groups.push_back({2, wall + " (filling side)"});
  for (const Surface& surface : mesh.surfaces) groups.push_back({2, surface.name});
  return groups;
}

/// Collects elements of the $Elements section; Gmsh counts nodes and elements from 1.
class ElementLines {
 public:
  template <std::size_t Count>
  void add(int type, std::size_t group, const std::array<int, Count>& nodes) {
    text_ += fmt::format("{} {} 2 {} {}", ++count_, type, group + 1, group + 1);
    for (const int node : nodes) text_ += fmt::format(" {}", node + 1);
    text_ += '\n';
  }
  [[nodiscard]] std::string section() const {
    return fmt::format("$Elements\n{}\n{}$EndElements\n", count_, text_);
  }

 private:
  int count_ = 0;
  std::string text_;
};

constexpr int six_node_triangle = 9, ten_node_tetrahedron = 11;  // Gmsh's element types

/// Gmsh lists the middles of edges 23 and 13 the other way round.
std::array<int, 10> in_gmsh_order(std::array<int, 10> nodes) {
  std::swap(nodes[8], nodes[9]);
  return nodes;
}

std::string elements_section(const Mesh& mesh) {
  ElementLines elements;
  const std::size_t regions = mesh.regions.size(), walls = mesh.walls.size();
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    elements.add(ten_node_tetrahedron, static_cast<std::size_t>(tetrahedron.region),
                 in_gmsh_order(tetrahedron.nodes));
  for (const BondFacet& facet : mesh.bond) {
    elements.add(six_node_triangle, regions + static_cast<std::size_t>(facet.wall), facet.tooth);
    elements.add(six_node_triangle, regions + walls + static_cast<std::size_t>(facet.wall), facet.filling);
  }
  for (std::size_t s = 0; s < mesh.surfaces.size(); ++s)
    for (const SixNodes& facet : mesh.surfaces[s].facets)
      elements.add(six_node_triangle, regions + 2 * walls + s, facet);
  return elements.section();
}

std::string msh(const Mesh& mesh) {
  std::string text = "$MeshFormat\n2.2 0 8\n$EndMeshFormat\n";
  const std::vector<Group> groups = groups_of(mesh);
  text += fmt::format("$PhysicalNames\n{}\n", groups.size());
  for (std::size_t g = 0; g < groups.size(); ++g)
    text += fmt::format("{} {} \"{}\"\n", groups[g].dimension, g + 1, groups[g].name);
  text += fmt::format("$EndPhysicalNames\n$Nodes\n{}\n", mesh.nodes.size());
  for (std::size_t n = 0; n < mesh.nodes.size(); ++n)
    text += fmt::format("{} {} {} {}\n", n + 1, mesh.nodes[n].x(), mesh.nodes[n].y(), mesh.nodes[n].z());
  return text + "$EndNodes\n" + elements_section(mesh);
}

}  // namespace

void write_mesh(const Mesh& mesh, const std::filesystem::path& path) {
  if (path.extension() == ".vtu") return viz::write_dataset(viz::whole_grid(mesh), path);
  if (path.extension() == ".msh") return write_file(path, msh(mesh));
  throw std::invalid_argument(
      fmt::format("a mesh is written as .vtu or .msh; \"{}\" ends in neither", path.filename().string()));
}

}  // namespace setstress
