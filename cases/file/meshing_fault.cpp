#include "cases/file/meshing_fault.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "mesh/geometry/geometry_error.hpp"

namespace setstress {

namespace {

struct GivenSize {
  double value;  ///< [mm]
  std::string key;
};

/// Sizes of the geometry as read, defaults among them, the smallest first.
std::vector<GivenSize> sizes_given(const Case& input) {
  std::vector<GivenSize> sizes;
  for (const auto& [key, entry] : input.source.resolved().items()) {
    const bool is_size = key.starts_with("tooth.") || key.starts_with("preparation.") ||
                         key.starts_with("specimen.") || key.ends_with(".thickness");
    if (is_size && entry.value("unit", "") == "mm" && entry.at("value").is_number() && entry.at("value") > 0)
      sizes.push_back({entry.at("value"), key});
  }
  std::ranges::sort(sizes, {}, &GivenSize::value);
  return sizes;
}

std::string unmeshable(const Case& input) {
  const std::vector<GivenSize> sizes = sizes_given(input);
  if (sizes.empty()) return input.name + ": no mesh can be made of this shape";
  std::string others;
  for (std::size_t i = 1; i < std::min<std::size_t>(3, sizes.size()); ++i)
    others += fmt::format("{}{} = {:g}", i == 1 ? "" : ", ", sizes[i].key, sizes[i].value);
  return fmt::format(
      "{}: {} is {:g} [mm], the smallest size of a shape of which no mesh can be made; leave it out (0) or "
      "make it "
      "larger{}{}; a finer mesh (mesh.fineness) may help where two of them are nearly the same",
      place_of(input.source, sizes.front().key), sizes.front().key, sizes.front().value,
      others.empty() ? "" : ". The next ones are ", others);
}

}  // namespace

void blaming_case(const Case& input, const std::function<void()>& work) {
  try {
    work();
  } catch (const GeometryError& error) {
    if (error.plane > 0 && error.plane <= input.plan.layout_entries.size())
      throw CaseError(fmt::format("{} {}", input.plan.layout_entries[error.plane - 1], error.what()));
    throw CaseError(fmt::format("{}: {}",
                                place_of(input.source, error.key == "layout" ? "plan.increment" : error.key),
                                error.what()));
  } catch (const MeshingError&) {
    throw CaseError(unmeshable(input));
  }
}

}  // namespace setstress
