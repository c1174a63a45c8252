#pragma once
// What filling and bond do to a displacement, element by element, each lane with values of its own: nothing
// is assembled, so little has to be read.

#include <cstdint>

#include "solver/lanes/lane.hpp"
#include "solver/lanes/lane_data.hpp"

namespace setstress {

// Barycentric coordinates of the four stress points of a tetrahedron, of which each is near one corner.
inline constexpr double lane_point_far = 0.13819660112501051, lane_point_near = 0.58541019662496852;

/// product -= K p for one ten-node tetrahedron of the filling (edge nodes 4 to 9 on edges 01 12 20 03 13 23).
/// With v(k, k) the value at corner k and v(k, l) that on the edge between k and l, the derivative by
/// barycentric coordinate k at the stress point near corner p is (4 far - 1) v(k, k) + 4 far (sum of v(k, l),
/// l not k) + 4 (near - far) v(k, p).
struct FillingProduct {
  static constexpr int widest = 16, parts = 1;  // more would not stay in registers
  const std::int32_t* used;                     ///< elements that are placed
  const std::int32_t* node;                     ///< 10 an element
  const float* shape;                           ///< 13 an element
  const float* modulus;                         ///< by lane, numbers_of_element an element
  const float* p;
  float* product;

  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int i, At at) const {
    using Lane = typename At::Lane;
    constexpr int between[4][4] = {{0, 4, 6, 7}, {4, 1, 5, 8}, {6, 5, 2, 9}, {7, 8, 9, 3}};
    constexpr auto corner = static_cast<float>(4 * lane_point_far - 1),
                   edge = static_cast<float>(4 * lane_point_far),
                   nearness = static_cast<float>(4 * (lane_point_near - lane_point_far));
    const auto element = static_cast<std::size_t>(used[i]);
    const std::int32_t* const nodes = node + 10 * element;
    const float* const g = shape + 13 * element;
    Three<Lane> v[10];
    for (int a = 0; a < 10; ++a) v[a] = load_three(at, p, nodes[a]);
    Three<Lane> base[3];  // rows: derivative of the displacement by x, y, z; what all points have in common
    for (int c = 0; c < 3; ++c) base[c] = {at.zero(), at.zero(), at.zero()};
    Lane grown = at.zero();  // what stress points add to the change of volume that they have in common
    for (int k = 0; k < 4; ++k) {
      const Three<Lane> beside =
          v[between[k][(k + 1) % 4]] + v[between[k][(k + 2) % 4]] + v[between[k][(k + 3) % 4]];
      const Three<Lane> d = corner * v[k] + edge * beside, all = v[k] + beside;
      grown = grown + (g[3 * k] * all.x + g[3 * k + 1] * all.y + g[3 * k + 2] * all.z);
      for (int c = 0; c < 3; ++c) base[c] += g[3 * k + c] * d;
    }
    Three<Lane> force[10], common[3];
    for (auto& f : force) f = {at.zero(), at.zero(), at.zero()};
    for (int c = 0; c < 3; ++c) common[c] = {at.zero(), at.zero(), at.zero()};
    const std::size_t first = numbers_of_element * element;
    const Lane pressed_alike = (0.25f * g[12]) * at.load(modulus, first + 8) *
                               (4.0f * (base[0].x + base[1].y + base[2].z) + nearness * grown);
    for (int point = 0; point < 4; ++point) {
      Three<Lane> h[3];
      for (int c = 0; c < 3; ++c) {
        h[c] = {at.zero(), at.zero(), at.zero()};
        for (int k = 0; k < 4; ++k) h[c] += g[3 * k + c] * v[between[k][point]];
        h[c] = base[c] + nearness * h[c];
      }
      const Lane shear = g[12] * at.load(modulus, first + static_cast<std::size_t>(point));
      const Lane pressed =
          g[12] * at.load(modulus, first + 4 + static_cast<std::size_t>(point)) * (h[0].x + h[1].y + h[2].z) +
          pressed_alike;
      const Lane xy = shear * (h[0].y + h[1].x), xz = shear * (h[0].z + h[2].x),
                 yz = shear * (h[1].z + h[2].y);
      const Three<Lane> stress[3] = {{2.0f * (shear * h[0].x) + pressed, xy, xz},
                                     {xy, 2.0f * (shear * h[1].y) + pressed, yz},
                                     {xz, yz, 2.0f * (shear * h[2].z) + pressed}};
      for (int c = 0; c < 3; ++c) common[c] += stress[c];
      for (int k = 0; k < 4; ++k)
        for (int c = 0; c < 3; ++c) force[between[k][point]] += (nearness * g[3 * k + c]) * stress[c];
    }
    for (int k = 0; k < 4; ++k) {
      Three<Lane> t{at.zero(), at.zero(), at.zero()};
      for (int c = 0; c < 3; ++c) t += g[3 * k + c] * common[c];
      force[k] += corner * t;
      for (int l = 0; l < 4; ++l)
        if (l != k) force[between[k][l]] += edge * t;
    }
    for (int a = 0; a < 10; ++a)
      store_three(at, load_three(at, product, nodes[a]) - force[a], product, nodes[a]);
  }
};

/// product -= K p for one facet of the bond.
struct BondProduct {
  static constexpr int widest = 16, parts = 1;
  const std::int32_t* used;  ///< facets under filling that is placed
  const std::int32_t* node;  ///< 12 a facet: tooth, filling
  const float* shape;        ///< 4 a facet: normal, area
  const float* mass;         ///< 6 x 6
  const float* stiffness;    ///< by lane, 2 a facet: normal, shear [MPa/mm]
  const float* p;
  float* product;

  template <typename At>
  SETSTRESS_LANE_CODE void operator()(int i, At at) const {
    using Lane = typename At::Lane;
    const auto facet = static_cast<std::size_t>(used[i]);
    const std::int32_t* const nodes = node + 12 * facet;
    const float* const normal = shape + 4 * facet;
    const Lane along = at.load(stiffness, 2 * facet), across = at.load(stiffness, 2 * facet + 1);
    Three<Lane> pull[6];
    for (int a = 0; a < 6; ++a) {
      const Three<Lane> jump = load_three(at, p, nodes[6 + a]) - load_three(at, p, nodes[a]);
      const Lane opened = (along - across) * (normal[0] * jump.x + normal[1] * jump.y + normal[2] * jump.z);
      pull[a] = {across * jump.x + normal[0] * opened, across * jump.y + normal[1] * opened,
                 across * jump.z + normal[2] * opened};
    }
    for (int a = 0; a < 6; ++a) {
      Three<Lane> force{at.zero(), at.zero(), at.zero()};
      for (int b = 0; b < 6; ++b) force += (normal[3] * mass[6 * a + b]) * pull[b];
      add_three(at, force, product, nodes[a]);
      store_three(at, load_three(at, product, nodes[6 + a]) - force, product, nodes[6 + a]);
    }
  }
};

}  // namespace setstress
