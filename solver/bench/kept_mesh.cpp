#include "solver/bench/kept_mesh.hpp"

#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace setstress::bench {

namespace {

nlohmann::json to_json(const Mesh& mesh) {
  nlohmann::json json{{"walls", mesh.walls}};
  for (const Eigen::Vector3d& node : mesh.nodes) json["nodes"].push_back({node.x(), node.y(), node.z()});
  for (const Tetrahedron& one : mesh.tetrahedra) json["tetrahedra"].push_back({one.nodes, one.region});
  for (const Region& region : mesh.regions) json["regions"].push_back({region.name, region.increment});
  for (const BondFacet& one : mesh.bond)
    json["bond"].push_back(
        {one.tooth, one.filling, one.wall, one.tooth_tetrahedron, one.filling_tetrahedron});
  for (const Surface& surface : mesh.surfaces) json["surfaces"].push_back({surface.name, surface.facets});
  return json;
}

Mesh from_json(const nlohmann::json& json) {
  Mesh mesh;
  json.at("walls").get_to(mesh.walls);
  for (const auto& node : json.at("nodes")) mesh.nodes.emplace_back(node.at(0), node.at(1), node.at(2));
  for (const auto& one : json.at("tetrahedra")) mesh.tetrahedra.push_back({one.at(0), one.at(1)});
  for (const auto& region : json.at("regions")) mesh.regions.push_back({region.at(0), region.at(1)});
  for (const auto& one : json.at("bond"))
    mesh.bond.push_back({one.at(0), one.at(1), one.at(2), one.at(3), one.at(4)});
  for (const auto& surface : json.at("surfaces")) mesh.surfaces.push_back({surface.at(0), surface.at(1)});
  require_valid(mesh);
  return mesh;
}

}  // namespace

void keep_mesh(const Mesh& mesh, const std::filesystem::path& file) {
  const std::filesystem::path beside = file.string() + ".part";
  std::ofstream out(beside, std::ios::binary);
  nlohmann::json::to_cbor(to_json(mesh), out);
  out.close();
  if (!out) throw std::runtime_error("mesh file " + file.string() + ": it cannot be written");
  std::filesystem::rename(beside, file);
}

Mesh kept_mesh(const std::filesystem::path& file) try {
  std::ifstream in(file, std::ios::binary);
  if (!in) throw std::runtime_error("it cannot be read");
  return from_json(nlohmann::json::from_cbor(in));
} catch (const std::exception& error) {
  throw std::runtime_error("mesh file " + file.string() + ": " + error.what());
}

}  // namespace setstress::bench
