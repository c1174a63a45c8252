#pragma once
// Linear elastic tissues and fixtures, and the substrates a bond can sit on.

#include <array>
#include <string>

namespace setstress {

/// E [MPa] > 0, nu [-] in (-1, 0.5); tensile strength [MPa], for reports only (0: not given); mm of aluminium
/// that take as much of an X-ray beam as 1 mm of it [-], for radiographs only (0: not given).
struct Elastic {
  std::string name;
  double youngs_modulus;
  double poisson_ratio;
  double tensile_strength = 0;
  double radiopacity = 0;
  bool operator==(const Elastic&) const = default;
};

/// What a bond sits on. `fixture` is the plate, ring or mould of a specimen.
enum class Substrate { enamel, coronal_dentin, middle_dentin, cervical_dentin, radicular_dentin, fixture };
inline constexpr std::array all_substrates{Substrate::enamel,           Substrate::coronal_dentin,
                                           Substrate::middle_dentin,    Substrate::cervical_dentin,
                                           Substrate::radicular_dentin, Substrate::fixture};
/// "enamel", "coronal dentin", ..., "fixture".
[[nodiscard]] std::string name_of(Substrate substrate);

/// Dentin by level: coronal above `coronal_from`, middle above `middle_from`, cervical above `cervical_from`,
/// radicular below that. z in mm, 0 at the cemento-enamel junction.
struct DentinBands {
  double coronal_from = 3.0;
  double middle_from = 1.0;
  double cervical_from = -1.0;
  [[nodiscard]] Substrate at(double z) const;
  bool operator==(const DentinBands&) const = default;
};

}  // namespace setstress
