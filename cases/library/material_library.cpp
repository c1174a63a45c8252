#include "cases/library/material_library.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>
#include <type_traits>

#include "cases/library/composite_check.hpp"
#include "cases/library/energy_check.hpp"
#include "cases/library/material_fields.hpp"
#include "cases/library/material_values.hpp"

namespace setstress {
namespace {

std::string join_key(std::string_view group, std::string_view key) {
  return group.empty() ? std::string(key) : fmt::format("{}.{}", group, key);
}

/// "coronal-dentin": the name of a substrate as a key.
std::string key_of(Substrate substrate) {
  std::string key = name_of(substrate);
  std::replace(key.begin(), key.end(), ' ', '-');
  return key;
}

/// Puts in place what `section` gives; `prefix` leads the keys of the provenance.
template <typename Material, typename Fields>
void read_fields(const Section& section, const Fields& fields, std::string_view prefix,
                 const Citations& citations, Material& values, Provenance& provenance) {
  for (const Field<Material>& field : fields) {
    const Section holder = field.group.empty() ? section : section.section(field.group);
    if (!holder.has(field.key)) continue;
    SourcedNumber read = read_sourced(holder, field.key, field.allowed, citations);
    field.in(values) = read.value;
    provenance[join_key(prefix, join_key(field.group, field.key))] = std::move(read.provenance);
  }
}

/// Refuses a class that leaves a value open.
template <typename Material, typename Fields>
void require_fields(const Section& section, const Fields& fields, std::string_view prefix,
                    const Provenance& provenance) {
  for (const Field<Material>& field : fields) {
    const std::string key = join_key(prefix, join_key(field.group, field.key));
    if (!field.optional && !provenance.contains(key)) {
      section.fail(key, fmt::format("[{}] is missing; give it, or start from a class with from = \"...\"",
                                    field.allowed.unit));
    }
  }
}

/// Values for all substrates, for one, or both: those for a single substrate have the last word.
void read_strengths(const Section& section, const Citations& citations, Sourced<Adhesive>& material) {
  const Section strengths = section.section("strength");
  const bool for_all = std::any_of(strength_fields.begin(), strength_fields.end(),
                                   [&](const auto& field) { return strengths.has(field.key); });
  for (const Substrate substrate : all_substrates) {
    const std::string key = key_of(substrate);
    if (!for_all && !strengths.has(key)) continue;
    const std::string prefix = "strength." + key;
    BondStrength& values = material.values.strength[substrate];
    read_fields(strengths, strength_fields, prefix, citations, values, material.provenance);
    read_fields(strengths.section(key), strength_fields, prefix, citations, values, material.provenance);
    require_fields<BondStrength>(section, strength_fields, prefix, material.provenance);
  }
}

/// A film whose two stiffnesses are given has no use for what they would follow from.
void refuse_idle_film(const Section& section, const Adhesive& adhesive) {
  if (!(adhesive.normal_stiffness_override > 0 && adhesive.shear_stiffness_override > 0)) return;
  for (const char* key : {"youngs_modulus", "poisson_ratio", "film_thickness"})
    if (section.has(key))
      section.fail(key, "changes nothing here: normal_stiffness and shear_stiffness of the film are given");
}

/// A law for all substrates, a law for one, or both: the one for a single substrate has the last word.
void read_maturities(const Section& section, const std::string& which, const Citations& citations,
                     std::map<Substrate, MaturityLaw>& laws, Provenance& provenance) {
  if (!section.has(which)) return;
  const Section here = section.section(which);
  for (const Substrate substrate : all_substrates) {
    const std::string key = key_of(substrate);
    if (!here.has(key) && !here.has("law")) continue;
    SourcedMaturity read = read_maturity(here.has(key) ? here.section(key) : here, citations);
    laws.insert_or_assign(substrate, std::move(read.law));
    provenance[which + "." + key] = std::move(read.provenance);
  }
}

void require_complete(const Section& section, const Sourced<Composite>& material) {
  require_fields<Composite>(section, composite_fields, "", material.provenance);
}

void require_complete(const Section& section, const Sourced<Elastic>& material) {
  require_fields<Elastic>(section, elastic_fields, "", material.provenance);
}

void require_complete(const Section& section, const Sourced<Adhesive>& material) {
  for (const Substrate substrate : all_substrates) {
    const std::string key = key_of(substrate);
    require_fields<BondStrength>(section, strength_fields, "strength." + key, material.provenance);
    for (const char* which : {"strength_maturity", "stiffness_maturity"}) {
      const std::string law = fmt::format("{}.{}", which, key);
      if (!material.provenance.contains(law)) section.fail(law, "is missing; give law = \"...\"");
    }
  }
}

template <typename Material>
const Sourced<Material>& look_up(const std::map<std::string, Sourced<Material>>& classes,
                                 const std::string& kind, const std::string& name) {
  if (const auto found = classes.find(name); found != classes.end()) return found->second;
  std::vector<std::string> names;
  for (const auto& [known, material] : classes) names.push_back(known);
  const auto guess = did_you_mean(name, names);
  throw CaseError(fmt::format("\"{}\" is not a class of {}; {}known are: {}", name, kind,
                              guess ? fmt::format("did you mean \"{}\"? ", *guess) : "",
                              fmt::join(names, ", ")));
}

/// Reads the classes of one kind, [kind.name], each on its own or `from` another: one that was there before,
/// or, where there is none of that name, one of the same file.
template <typename Material>
class ClassesOfFile {
 public:
  using Classes = std::map<std::string, Sourced<Material>>;
  ClassesOfFile(const MaterialLibrary& library, const Section& root, const std::string& kind,
                const Classes& before)
      : library_(library), all_(root.section(kind)), kind_(kind), before_(before) {
    for (const std::string& name : all_.keys()) {
      if (name.empty()) all_.fail("\"\"", "is an empty name; a class is chosen by its name");
      read(name);
    }
  }
  [[nodiscard]] const Classes& classes() const { return read_; }

 private:
  void read(const std::string& name) {
    if (read_.count(name) > 0) return;
    const Section here = all_.section(name);
    Sourced<Material> material;
    if (here.has("from")) material = base(here, name);
    material.values.name = name;
    material.about = here.text("about", material.about);
    if constexpr (std::is_same_v<Material, Adhesive>)
      library_.override_values(material, here, {all_substrates.begin(), all_substrates.end()});
    else
      library_.override_values(material, here);
    require_complete(here, material);
    read_[name] = std::move(material);
  }

  Sourced<Material> base(const Section& here, const std::string& name) {
    const std::string from = here.text("from");
    if (before_.count(from) == 0 && all_.has(from)) {
      if (!building_.insert(name).second)
        here.fail("from", fmt::format("is \"{}\", which builds on this class itself", from));
      read(from);
      return read_.at(from);
    }
    try {
      return look_up(before_, kind_, from);
    } catch (const CaseError& error) {
      here.fail("from", fmt::format("names no class that was read before: {}", error.what()));
    }
  }

  const MaterialLibrary& library_;
  Section all_;
  std::string kind_;
  const Classes& before_;
  Classes read_;
  std::set<std::string> building_;  ///< classes whose own base is being read
};

template <typename Material>
void read_classes(const MaterialLibrary& library, const Section& root, const std::string& kind,
                  std::map<std::string, Sourced<Material>>& classes) {
  const ClassesOfFile<Material> read(library, root, kind, classes);
  for (const auto& [name, material] : read.classes()) classes[name] = material;
}

}  // namespace

MaterialLibrary MaterialLibrary::load(const std::filesystem::path& file) {
  MaterialLibrary library;
  library.add(file);
  return library;
}

void MaterialLibrary::add(const std::filesystem::path& file) {
  add(Section({parse_toml(file)}));
}

void MaterialLibrary::add(const Section& root) {
  MaterialLibrary grown = *this;  // so that a file that is refused leaves nothing behind
  const Section sources = root.section("sources");
  for (const std::string& name : sources.keys()) grown.sources_[name] = sources.text(name);
  read_classes(grown, root, "composite", grown.composites_);
  read_classes(grown, root, "tissue", grown.tissues_);
  read_classes(grown, root, "fixture", grown.fixtures_);
  read_classes(grown, root, "adhesive", grown.adhesives_);
  read_spreads(root.section("spread"), grown.sources_, grown.spreads_);
  root.refuse_unknown_keys();
  *this = std::move(grown);
}

std::vector<Spread> MaterialLibrary::spreads_with(const Section& section) const {
  std::vector<Spread> spreads = spreads_;
  read_spreads(section, sources_, spreads);
  return spreads;
}

const Sourced<Composite>& MaterialLibrary::composite(const std::string& name) const {
  return look_up(composites_, "composite", name);
}

const Sourced<Elastic>& MaterialLibrary::tissue(const std::string& name) const {
  return look_up(tissues_, "tissue", name);
}

const Sourced<Elastic>& MaterialLibrary::fixture(const std::string& name) const {
  return look_up(fixtures_, "fixture", name);
}

const Sourced<Adhesive>& MaterialLibrary::adhesive(const std::string& name) const {
  return look_up(adhesives_, "adhesive", name);
}

void MaterialLibrary::override_values(Sourced<Composite>& material, const Section& section) const {
  read_fields(section, composite_fields, "", sources_, material.values, material.provenance);
  check_composite(material.values, section);
}

void MaterialLibrary::override_values(Sourced<Elastic>& material, const Section& section) const {
  read_fields(section, elastic_fields, "", sources_, material.values, material.provenance);
}

void MaterialLibrary::override_values(Sourced<Adhesive>& material, const Section& section,
                                      const std::vector<Substrate>& touched) const {
  Adhesive& adhesive = material.values;
  read_fields(section, film_fields, "", sources_, adhesive, material.provenance);
  require_fields<Adhesive>(section, film_fields, "", material.provenance);
  read_strengths(section, sources_, material);
  read_maturities(section, "strength_maturity", sources_, adhesive.strength_maturity, material.provenance);
  read_maturities(section, "stiffness_maturity", sources_, adhesive.stiffness_maturity, material.provenance);
  check_fracture_energies(adhesive, section, touched);
}

void MaterialLibrary::override_unaged(Sourced<Adhesive>& material, const Section& section,
                                      const std::vector<Substrate>& touched) const {
  read_fields(section, film_fields, "", sources_, material.values, material.provenance);
  refuse_idle_film(section, material.values);
  read_strengths(section, sources_, material);
  check_fracture_energies(material.values, section, touched);
}

}  // namespace setstress
