#include "cases/file/read_materials.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <limits>
#include <type_traits>

#include "cases/library/material_library.hpp"
#include "cases/library/plausible.hpp"
#include "cases/reader/data_folder.hpp"

namespace setstress {

namespace {

/// The library that comes with the program, with the user's own files and what the case gives itself on top.
MaterialLibrary open_library(const Section& materials) {
  MaterialLibrary library = MaterialLibrary::load(material_library_file());
  std::vector<std::string> files;
  if (materials.has("include"))
    files =
        materials.is_text("include") ? std::vector{materials.text("include")} : materials.texts("include");
  for (const std::string& file : files) {
    if (file.empty()) materials.fail("include", "names \"\"; must be a material file, or be left out");
    const std::filesystem::path path = materials.folder("include") / file;
    if (const std::string why = why_no_file(path); !why.empty())
      materials.fail("include",
                     fmt::format("names \"{}\"; {}: {}", shortened(file), shortened(path.string()), why));
    library.add(path);
  }
  for (const Section& own : materials.sections("own")) library.add(own);
  return library;
}

/// Classes of a case with the values that [materials.override.CLASS] puts in their place.
class ClassReader {
 public:
  ClassReader(const MaterialLibrary& library, const Section& materials, const std::vector<Substrate>& touched,
              CaseMaterials& out)
      : library_(library), overrides_(materials.section("override")), touched_(touched), out_(out) {}

  /// `material` as the library has it, overridden, its provenance filed under `kind`.
  template <class Material>
  Material resolve(Sourced<Material> material, const char* kind) {
    const std::string name = material.values.name;
    used_.push_back(name);
    if (overrides_.has(name)) {
      if constexpr (std::is_same_v<Material, Adhesive>)
        library_.override_values(material, overrides_.section(name), touched_);
      else
        library_.override_values(material, overrides_.section(name));
    }
    out_.provenance[kind][name] = {{"about", material.about}, {"values", material.provenance}};
    return material.values;
  }

  /// Overrides of classes that the case does not use are slips.
  void refuse_unused() const {
    for (const std::string& name : overrides_.keys()) {
      if (std::find(used_.begin(), used_.end(), name) != used_.end()) continue;
      const auto guess = did_you_mean(name, used_);
      overrides_.fail(name, fmt::format("overrides a class that this case does not use; {}used are: {}",
                                        guess ? fmt::format("did you mean \"{}\"? ", *guess) : "",
                                        fmt::join(used_, ", ")));
    }
  }

 private:
  const MaterialLibrary& library_;
  Section overrides_;
  const std::vector<Substrate>& touched_;  ///< by the bond
  CaseMaterials& out_;
  std::vector<std::string> used_;
};

/// Calls `look_up`; a name that the library does not have is reported at `key` of `section`.
template <class LookUp>
auto at_place(const Section& section, const char* key, LookUp look_up) {
  try {
    return look_up();
  } catch (const CaseError& error) {
    throw CaseError(fmt::format("{}: {}: {}", section.place(key), section.dotted(key), error.what()));
  }
}

/// The entry of the plan that names this class, or [materials].
std::pair<Section, const char*> where_named(const Section& root, const std::string& composite) {
  for (const Section& entry : root.section("plan").sections("increment"))
    if (entry.has("material") && entry.text("material") == composite) return {entry, "material"};
  return {root.section("materials"), "filling"};
}

/// Substrates that the bond of the case can touch.
std::vector<Substrate> touched_by(const Section& root) {
  std::vector<Substrate> touched{all_substrates.begin(), all_substrates.end()};
  const bool is_specimen = root.has("specimen");
  std::erase_if(touched,
                [&](Substrate substrate) { return (substrate == Substrate::fixture) != is_specimen; });
  return touched;
}

/// [bond.wall.NAME]: what the bond to a wall has in place of the adhesive's values. Which walls there are
/// only the mesh knows.
void read_wall_bonds(const Section& walls, const MaterialLibrary& library,
                     const std::vector<Substrate>& touched, CaseMaterials& out) {
  const nlohmann::ordered_json& usual = out.provenance["adhesive"][out.adhesive.name];
  for (const std::string& name : walls.keys()) {
    Sourced<Adhesive> there{out.adhesive, usual["about"], usual["values"]};
    library.override_unaged(there, walls.section(name), touched);
    out.wall_bonds[name] = wall_bond(there.values);
    out.provenance["bond to a wall"][name] = {{"about", there.about}, {"values", there.provenance}};
  }
}

/// [bond.strength_field]. Without a modulus of its own it takes that of the sticks, which must be known.
StrengthField read_strength_field(const Section& section, const CaseMaterials& materials,
                                  const std::vector<Substrate>& touched) {
  StrengthField field{.length = section.number("length", {"mm", 0.01, 100})};
  field.weibull_modulus =
      section.has("weibull_modulus") ? section.number("weibull_modulus", {"-", 1, 100}) : 0;
  field.seed =
      static_cast<std::uint64_t>(section.whole_number("seed", 0, std::numeric_limits<int>::max(), 1));
  if (field.weibull_modulus > 0) return field;
  for (const Substrate substrate : touched)
    if (!(materials.adhesive.strength.at(substrate).weibull_modulus > 0))
      section.fail("weibull_modulus",
                   fmt::format("[-] is missing, and the adhesive {} has none for {}; give it here, or as "
                               "bond.strength.weibull_modulus",
                               materials.adhesive.name, name_of(substrate)));
  return field;
}

/// Strengths only of what the bond can touch: a specimen has no enamel, a tooth no fixture.
nlohmann::ordered_json values_in_use(const nlohmann::ordered_json& values, bool is_specimen) {
  nlohmann::ordered_json used = nlohmann::ordered_json::object();
  for (const auto& [key, entry] : values.items()) {
    const bool of_fixture = key.find(".fixture") != std::string::npos;
    const bool of_tissue = !of_fixture && key.starts_with("strength.");
    if (is_specimen ? !of_tissue : !of_fixture) used[key] = entry;
  }
  return used;
}

void check_all_plausible(const Section& materials, bool is_specimen, CaseMaterials& out) {
  const bool beyond = materials.flag("beyond_published", false);
  for (const auto& [kind, classes] : out.provenance.items())
    for (const auto& [name, about] : classes.items()) {
      const nlohmann::ordered_json used = values_in_use(about.at("values"), is_specimen);
      check_plausible(kind, name, used, beyond, out.notes);
      note_broken_pairs(used, out.notes);
    }
}

}  // namespace

CaseMaterials read_materials(const Section& root, const std::vector<std::string>& composites) {
  const Section materials = root.section("materials");
  const MaterialLibrary library = open_library(materials);
  CaseMaterials out;
  const std::vector<Substrate> touched = touched_by(root);
  ClassReader reader(library, materials, touched, out);
  for (const std::string& name : composites) {
    if (out.composites.contains(name)) continue;
    const auto [section, key] = where_named(root, name);
    const auto found = at_place(section, key, [&] { return library.composite(name); });
    out.composites[name] = reader.resolve(found, "composite");
  }
  if (root.has("specimen")) {
    const std::string name = materials.text("fixture", "aluminium");
    out.fixture =
        reader.resolve(at_place(materials, "fixture", [&] { return library.fixture(name); }), "fixture");
  } else {
    out.enamel = reader.resolve(library.tissue("enamel"), "tissue");
    out.pulp = reader.resolve(library.tissue("pulp"), "tissue");
    out.dentin = {reader.resolve(library.tissue("coronal-dentin"), "tissue"),
                  reader.resolve(library.tissue("middle-dentin"), "tissue"),
                  reader.resolve(library.tissue("cervical-dentin"), "tissue"),
                  reader.resolve(library.tissue("radicular-dentin"), "tissue")};
  }
  const std::string adhesive = materials.text("adhesive", "two-step-self-etch");
  Sourced<Adhesive> film = at_place(materials, "adhesive", [&] { return library.adhesive(adhesive); });
  library.override_values(film, root.section("bond"), touched);
  out.adhesive = reader.resolve(film, "adhesive");
  read_wall_bonds(root.section("bond").section("wall"), library, touched, out);
  if (root.section("bond").has("strength_field"))
    out.strength_field = read_strength_field(root.section("bond").section("strength_field"), out, touched);
  out.tissue_attenuation = materials.number("tissue_attenuation", {"1/mm", 0, 100}, 1.0);
  out.spreads = library.spreads_with(root.section("spread"));
  reader.refuse_unused();
  check_all_plausible(materials, root.has("specimen"), out);
  return out;
}

}  // namespace setstress
