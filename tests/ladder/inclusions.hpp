#pragma once
// A shrinking plug in a ring and a shrinking ball in a shell: closed solutions and case files.

#include <string>

#include "tests/ladder/case_parts.hpp"

namespace setstress::testing {

/// Inner radius a, where the bond is, and outer radius b [mm]. Tensions q at the bond [MPa] when it sits on
/// springs of compliance `spring` = 1/(Kn a) [1/MPa].
struct Inclusion {
  double inner, outer;
  Solids solids;

  [[nodiscard]] double plane_stress(double spring) const {
    const double a2 = inner * inner, b2 = outer * outer;
    return solids.shrinkage /
           ((1 - solids.composite_poisson) / solids.composite_modulus +
            ((b2 + a2) / (b2 - a2) + solids.fixture_poisson) / solids.fixture_modulus + spring);
  }
  [[nodiscard]] double plane_strain(double spring) const {
    const double a2 = inner * inner, b2 = outer * outer;
    const double nu_i = solids.composite_poisson, nu_m = solids.fixture_poisson;
    return (1 + nu_i) * solids.shrinkage /
           ((1 + nu_i) * (1 - 2 * nu_i) / solids.composite_modulus +
            (1 + nu_m) * ((1 - 2 * nu_m) * a2 + b2) / (solids.fixture_modulus * (b2 - a2)) + spring);
  }
  [[nodiscard]] double spherical(double spring) const {
    const double a3 = inner * inner * inner, b3 = outer * outer * outer;
    const double nu_m = solids.fixture_poisson;
    return solids.shrinkage /
           ((1 - 2 * solids.composite_poisson) / solids.composite_modulus +
            ((1 - nu_m) * (2 * a3 + b3) / (2 * (b3 - a3)) + nu_m) / solids.fixture_modulus + spring);
  }
};

/// Plane strain holds both ends against moving along the axis, plane stress one.
inline std::string plug_case(const Inclusion& plug, const std::string& bond, bool plane_strain,
                             const std::string& mesh_sizes, double height = 0.7) {
  return fmt::format("[specimen]\nkind = \"plug-in-ring\"\nplug_radius = {}\nring_radius = {}\nheight = {}\n",
                     plug.inner, plug.outer, height) +
         materials(plug.solids) + bond + lit_at_once + mesh_sizes + linear_solver + hold("x0", "x") +
         hold("y0", "y") + hold("bottom", "z") + (plane_strain ? hold("top", "z") : "");
}

inline std::string ball_case(const Inclusion& ball, const std::string& bond, const std::string& mesh_sizes) {
  return fmt::format("[specimen]\nkind = \"ball-in-shell\"\nball_radius = {}\nshell_radius = {}\n",
                     ball.inner, ball.outer) +
         materials(ball.solids) + bond + lit_at_once + mesh_sizes + linear_solver + hold("x0", "x") +
         hold("y0", "y") + hold("z0", "z");
}

}  // namespace setstress::testing
