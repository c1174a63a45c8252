#include "tests/properties/solved_model.hpp"

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "tests/scratch_folder.hpp"

namespace setstress::testing {

Posed posed(const RandomCase& c) {
  const ScratchFolder scratch;
  const Case input = read_case(scratch.write("case.toml", c.text()));
  return {.model = pose(input), .options = input.solver};
}

Solved solved(const Model& model, const SolveOptions& options, const EachFrame& each) {
  Solved result;
  result.outcome = simulate(model, options, [&](const Frame& frame, const Progress&) {
    if (each) each(frame);
    result.end = frame;
    return true;
  });
  return result;
}

double bond_area(const Model& model) {
  double area = 0;
  for (const BondFacet& facet : model.mesh.bond) area += area_and_normal(model.mesh, facet.tooth).area;
  return area;
}

double debonded_area(const Model& model, const Frame& frame) {
  double area = 0;
  for (std::size_t f = 0; f < frame.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p)
      if (frame.bond[f][p].debonded())
        area += facet_points()[p].weight * area_and_normal(model.mesh, model.mesh.bond[f].tooth).area;
  return area;
}

double traction_scale(const Frame& frame) {
  double largest = 0.1;
  for (const auto& facet : frame.bond)
    for (const BondPoint& point : facet) largest = std::max(largest, point.traction.norm());
  return largest;
}

double largest_difference(const Frame& one, const Frame& other) {
  double largest = 0;
  for (std::size_t f = 0; f < one.bond.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p)
      largest = std::max(largest, (one.bond[f][p].traction - other.bond.at(f)[p].traction).norm());
  return largest;
}

}  // namespace setstress::testing
