#include "viz/radiograph/radiopacity.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace setstress::viz {

namespace {

using nlohmann::json;

json read_materials(const std::filesystem::path& file) {
  std::ifstream stream(file);
  const json manifest = json::parse(stream, nullptr, false);
  if (!manifest.is_object() || !manifest.contains("materials"))
    throw std::runtime_error(fmt::format("{}: missing, damaged, or without \"materials\"", file.string()));
  return manifest.at("materials");
}

double value_of(const json& classes, const std::string& name, const std::filesystem::path& file) {
  const auto values = classes.find(name);
  const json none = json::object();
  const json& own = values == classes.end() ? none : values->value("values", none);
  if (!own.contains("radiopacity"))
    throw std::runtime_error(
        fmt::format("{}: {} has no radiopacity; give its class one (mm of aluminium per mm) and run the case "
                    "again",
                    file.string(), name));
  return own.at("radiopacity").at("value").get<double>();
}

/// Of all dentins, which have to be one: a body of dentin holds several.
double of_dentin(const json& tissues, const std::filesystem::path& file) {
  const double one = value_of(tissues, "middle-dentin", file);
  for (const char* other : {"coronal-dentin", "cervical-dentin", "radicular-dentin"})
    if (value_of(tissues, other, file) != one)
      throw std::runtime_error(
          fmt::format("{}: middle-dentin and {} have different radiopacities; a radiograph is drawn of one "
                      "dentin",
                      file.string(), other));
  return one;
}

}  // namespace

std::vector<double> radiopacities(const Result& result, const VolumeCells& volume) {
  const std::filesystem::path file = result.folder / ResultLayout::manifest;
  const json materials = read_materials(file), none = json::object();
  std::vector<double> all;
  for (const std::string& material : volume.materials) {
    if (material == "dentin by level") {
      all.push_back(of_dentin(materials.value("tissue", none), file));
      continue;
    }
    const char* kinds[] = {"composite", "tissue", "fixture"};
    const auto* const kind = std::find_if(std::begin(kinds), std::end(kinds), [&](const char* each) {
      return materials.value(each, none).contains(material);
    });
    all.push_back(value_of(kind == std::end(kinds) ? none : materials.at(*kind), material, file));
  }
  return all;
}

}  // namespace setstress::viz
