#pragma once
// Classes of composite, tissue, fixture and adhesive by name, read from the material library and from users'
// own files in the same form, every value with where it comes from.

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/library/spreads.hpp"
#include "cases/reader/toml_reader.hpp"
#include "materials/bond.hpp"
#include "materials/composite.hpp"
#include "materials/tissue.hpp"

namespace setstress {

/// By dotted key ("light.attenuation"): value, unit, basis, source and place (file:line) of what is in force.
using Provenance = nlohmann::ordered_json;

/// A class of material and where its values come from.
template <typename Material>
struct Sourced {
  Material values{};
  std::string about;  ///< what the class stands for, one sentence
  Provenance provenance = Provenance::object();
};

/// Names are looked up exactly; a name that is not there is refused with the nearest and all that are. Files
/// are read completely or refused with CaseError: a wrong unit, a value out of range, a missing or unknown
/// key, a fracture energy too small for its strength.
class MaterialLibrary {
 public:
  [[nodiscard]] static MaterialLibrary load(const std::filesystem::path& file);
  /// Adds the classes of `file`; a class that is there already is replaced, and may build on itself with
  /// `from`.
  void add(const std::filesystem::path& file);
  /// The same for what a case gives itself.
  void add(const Section& root);

  [[nodiscard]] const Sourced<Composite>& composite(const std::string& name) const;
  [[nodiscard]] const Sourced<Elastic>& tissue(
      const std::string& name) const;  ///< "enamel", "coronal-dentin", ...
  [[nodiscard]] const Sourced<Elastic>& fixture(
      const std::string& name) const;  ///< "aluminium", "steel", ...
  [[nodiscard]] const Sourced<Adhesive>& adhesive(const std::string& name) const;

  [[nodiscard]] const std::map<std::string, Sourced<Composite>>& composites() const { return composites_; }
  [[nodiscard]] const std::map<std::string, Sourced<Elastic>>& tissues() const { return tissues_; }
  [[nodiscard]] const std::map<std::string, Sourced<Elastic>>& fixtures() const { return fixtures_; }
  [[nodiscard]] const std::map<std::string, Sourced<Adhesive>>& adhesives() const { return adhesives_; }

  /// How uncertain inputs are, for all classes.
  [[nodiscard]] const std::vector<Spread>& spreads() const { return spreads_; }
  /// Those with what `section` gives in their place.
  [[nodiscard]] std::vector<Spread> spreads_with(const Section& section) const;

  /// Puts the values that `section` gives in place of those of `material`, e.g. single values from a case.
  void override_values(Sourced<Composite>& material, const Section& section) const;
  void override_values(Sourced<Elastic>& material, const Section& section) const;
  /// Whether the bond can let go at all (see energy_check.hpp) is asked of the substrates `touched`.
  void override_values(Sourced<Adhesive>& material, const Section& section,
                       const std::vector<Substrate>& touched) const;
  /// Film, strengths and fracture energies alone: the bond to one wall, which matures as elsewhere.
  void override_unaged(Sourced<Adhesive>& material, const Section& section,
                       const std::vector<Substrate>& touched) const;

 private:
  std::map<std::string, std::string> sources_;  ///< short name to full citation
  std::map<std::string, Sourced<Composite>> composites_;
  std::map<std::string, Sourced<Elastic>> tissues_, fixtures_;
  std::map<std::string, Sourced<Adhesive>> adhesives_;
  std::vector<Spread> spreads_;
};

}  // namespace setstress
