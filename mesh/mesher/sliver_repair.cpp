#include "mesh/mesher/sliver_repair.hpp"

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <algorithm>

namespace setstress {
namespace {

constexpr int sweeps = 8;

double quality(const LinearMesh& mesh, int tetrahedron) {
  const auto& t = mesh.tetrahedra[static_cast<std::size_t>(tetrahedron)];
  const auto at = [&](std::size_t corner) { return mesh.nodes[static_cast<std::size_t>(t[corner])]; };
  return radius_ratio(at(0), at(1), at(2), at(3));
}

using TetrahedraOfNodes = std::vector<std::vector<int>>;

TetrahedraOfNodes tetrahedra_of_nodes(const LinearMesh& mesh) {
  TetrahedraOfNodes around(mesh.nodes.size());
  for (std::size_t t = 0; t < mesh.tetrahedra.size(); ++t)
    for (const int n : mesh.tetrahedra[t]) around[static_cast<std::size_t>(n)].push_back(static_cast<int>(t));
  return around;
}

double worst_quality(const LinearMesh& mesh, const std::vector<int>& tetrahedra) {
  double worst = 1;
  for (const int t : tetrahedra) worst = std::min(worst, quality(mesh, t));
  return worst;
}

/// Shortest distance to a corner of the tetrahedra around the node [mm].
double shortest_edge(const LinearMesh& mesh, std::size_t node, const std::vector<int>& tetrahedra) {
  double shortest = 1e300;
  for (const int t : tetrahedra)
    for (const int other : mesh.tetrahedra[static_cast<std::size_t>(t)])
      if (static_cast<std::size_t>(other) != node)
        shortest =
            std::min(shortest, (mesh.nodes[static_cast<std::size_t>(other)] - mesh.nodes[node]).norm());
  return shortest;
}

/// Tries the 26 directions of a cube's faces, edges and corners with shrinking steps, keeping every gain.
void improve_node(LinearMesh& mesh, std::size_t node, const std::vector<int>& tetrahedra) {
  const Eigen::Matrix3d& mobility = mesh.mobility[node];
  if (mobility.isZero()) return;
  double best = worst_quality(mesh, tetrahedra);
  double step = 0.3 * shortest_edge(mesh, node, tetrahedra);
  for (int refinement = 0; refinement < 5; ++refinement, step *= 0.5)
    for (int direction = 0; direction < 27; ++direction) {
      const Eigen::Vector3d along(direction % 3 - 1, direction / 3 % 3 - 1, direction / 9 - 1);
      const Eigen::Vector3d before = mesh.nodes[node];
      mesh.nodes[node] += step * (mobility * along);
      const double now = worst_quality(mesh, tetrahedra);
      if (now > best)
        best = now;
      else
        mesh.nodes[node] = before;
    }
}

}  // namespace

double radius_ratio(const Eigen::Vector3d& a, const Eigen::Vector3d& b, const Eigen::Vector3d& c,
                    const Eigen::Vector3d& d) {
  const Eigen::Vector3d u = b - a, v = c - a, w = d - a;
  const double six_volumes = u.cross(v).dot(w);
  const double twice_area =
      u.cross(v).norm() + v.cross(w).norm() + w.cross(u).norm() + (c - b).cross(d - b).norm();
  // inradius = six_volumes / twice_area; circumradius = |numerator| / (2 six_volumes)
  const Eigen::Vector3d numerator =
      u.squaredNorm() * v.cross(w) + v.squaredNorm() * w.cross(u) + w.squaredNorm() * u.cross(v);
  const double scale = twice_area * numerator.norm();
  return scale > 0 ? 6 * six_volumes * std::abs(six_volumes) / scale : 0;
}

void repair_slivers(LinearMesh& mesh, double wanted) {
  const TetrahedraOfNodes around = tetrahedra_of_nodes(mesh);
  for (int sweep = 0; sweep < sweeps; ++sweep) {
    bool is_done = true;
    for (int t = 0; t < static_cast<int>(mesh.tetrahedra.size()); ++t) {
      if (quality(mesh, t) >= wanted) continue;
      is_done = false;
      for (const int n : mesh.tetrahedra[static_cast<std::size_t>(t)])
        improve_node(mesh, static_cast<std::size_t>(n), around[static_cast<std::size_t>(n)]);
    }
    if (is_done) return;
  }
}

}  // namespace setstress
