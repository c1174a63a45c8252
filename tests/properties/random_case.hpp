#pragma once
// Case files drawn at random from a seed: small teeth and joints on coarse meshes, with sizes, taper, layers,
// waits, light and materials anywhere in the ranges that a case file may give. Everything about them is
// invented.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace setstress::testing {

struct RandomPreparation {
  std::string kind, side;  ///< as in a case file; the side of the proximal boxes only
  double depth, length, width, taper, offset_x,
      offset_y;  ///< [mm], [degrees]; the width of a cylinder is its diameter
};

struct RandomLayer {
  enum class Kind { rest, horizontal, plane, oblique };
  Kind kind = Kind::rest;
  double thickness = 0, angle = 0;  ///< [mm], [degrees]
  double tilt_x = 0, tilt_y = 0;    ///< of the normal of the plane, z = 1
  double wait = 0;                  ///< [s] before it and each further one of its kind
  std::string material;
};

struct RandomCase {
  std::uint64_t seed;
  double length, width, crown, root, enamel;       ///< of the tooth [mm]
  std::optional<RandomPreparation> preparation;    ///< none: a joint of two cuboids
  double joint_length, joint_width, joint_height;  ///< [mm]
  std::vector<RandomLayer> layers;
  std::string materials, bond, light, support;  ///< sections that no variant changes
  std::string lamp_from;                        ///< side the lamp is on
  bool debonding;
  double fineness;  ///< along the bond [mm]

  [[nodiscard]] std::string text() const;
};

/// What the draws are for: a shape is not mirrored by every layer, nor a joint by every lamp.
enum class Draws { any, teeth_that_mirror };

RandomCase random_case(std::uint64_t seed, Draws draws = Draws::any);

/// The seed in the environment variable SETSTRESS_SEED, or else `usual`.
std::vector<std::uint64_t> seeds(std::vector<std::uint64_t> usual);

/// "1, 2, 3".
std::string listed(const std::vector<std::uint64_t>& seeds);

}  // namespace setstress::testing
