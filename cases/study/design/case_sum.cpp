#include "cases/study/design/case_sum.hpp"

#include <algorithm>
#include <array>
#include <map>

#include "cases/reader/checksum.hpp"

namespace setstress {

namespace {

using nlohmann::ordered_json;

/// All that `json` says under dotted names, but where it is from.
void collect(const ordered_json& json, const std::string& name, std::map<std::string, std::string>& values) {
  if (!json.is_object()) {
    values[name] = json.dump();
    return;
  }
  for (const auto& [key, inner] : json.items()) {
    const auto is_key = [&key = key](const char* other) { return key == other; };
    if (std::ranges::none_of(std::array{"about", "basis", "place", "source", "unit"}, is_key))
      collect(inner, name + "." + key, values);
  }
}

}  // namespace

std::string case_sum(const Case& input) {
  std::map<std::string, std::string> values;  // sorted: the order of reading depends on what is written
  collect(input.materials.provenance, "", values);
  for (const auto& [key, entry] : input.source.resolved().items()) {
    const bool is_of_materials = key.starts_with("materials.override.") || key.starts_with("bond.");
    if (!is_of_materials && !key.starts_with("case.")) values[key] = entry.at("value").dump();
  }
  Checksum sum;
  for (const auto& [key, value] : values) sum.add(key).add(value);
  return sum.text();
}

}  // namespace setstress
