#include "solver/wall_report.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "solver/averaged_bond.hpp"
#include "solver/weighted_sample.hpp"

namespace setstress {

namespace {

/// A point of the bond with the area it stands for.
struct Sample {
  const BondPoint* point;
  const AveragedPoint* average;
  double area;
};

/// Points by facet, in the order of the mesh.
std::vector<std::array<Sample, 6>> samples_of(const Mesh& mesh, const Frame& frame,
                                              const std::vector<std::array<AveragedPoint, 6>>& averages) {
  std::vector<std::array<Sample, 6>> samples(mesh.bond.size());
  for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
    const double area = area_and_normal(mesh, mesh.bond[f].tooth).area;
    for (std::size_t i = 0; i < 6; ++i)
      samples[f][i] = {&frame.bond[f][i], &averages[f][i], area * facet_points()[i].weight};
  }
  return samples;
}

double gap_of(const BondPoint& point) {
  return point.debonded() ? std::max(0.0, point.opening) : 0.0;
}

/// `value_of` takes a sample.
template <class Value>
std::vector<WeightedValue> weighted(const std::vector<Sample>& samples, Value value_of) {
  std::vector<WeightedValue> values;
  values.reserve(samples.size());
  for (const Sample& sample : samples) values.push_back({value_of(sample), sample.area});
  return values;
}

MeanAndP95 mean_and_p95(const std::vector<Sample>& samples, double BondPoint::*own,
                        double AveragedPoint::*averaged) {
  std::vector<WeightedValue> values =
      weighted(samples, [=](const Sample& s) { return s.average->*averaged; });
  sort_by_value(values);
  return {weighted_mean(weighted(samples, [=](const Sample& s) { return s.point->*own; })),
          weighted_percentile(values, 0.95)};
}

BondStatistics statistics_of(const std::vector<Sample>& placed, double area) {
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  const auto mean = [&placed](auto value_of) { return weighted_mean(weighted(placed, value_of)); };
  BondStatistics s;
  s.area = area;
  for (const Sample& sample : placed) s.placed_area += sample.area;
  s.normal_traction = mean_and_p95(placed, &BondPoint::normal, &AveragedPoint::normal);
  s.shear_traction = mean_and_p95(placed, &BondPoint::shear, &AveragedPoint::shear);
  s.ratio = mean_and_p95(placed, &BondPoint::ratio, &AveragedPoint::ratio);
  s.share_above_one = mean([](const Sample& at) { return at.average->ratio >= 1.0 ? 1.0 : 0.0; });
  s.share_debonded = mean([](const Sample& at) { return at.point->debonded() ? 1.0 : 0.0; });
  s.mean_gap = mean([](const Sample& at) { return gap_of(*at.point); });
  s.largest_gap = placed.empty() ? none : 0.0;
  for (const Sample& sample : placed) s.largest_gap = std::max(s.largest_gap, gap_of(*sample.point));
  s.gap_volume = s.mean_gap * s.placed_area;
  return s;
}

/// Statistics of the facets that `belongs` picks; empty where it picks none.
template <class Rule>
std::optional<BondStatistics> part(const std::vector<std::array<Sample, 6>>& samples, Rule belongs) {
  std::vector<Sample> placed;
  double area = 0;
  bool any = false;
  for (std::size_t f = 0; f < samples.size(); ++f) {
    if (!belongs(f)) continue;
    any = true;
    for (const Sample& sample : samples[f]) {
      area += sample.area;
      if (sample.point->active) placed.push_back(sample);
    }
  }
  if (!any) return std::nullopt;
  return statistics_of(placed, area);
}

}  // namespace

std::vector<WallRow> wall_report(const Mesh& mesh, const std::vector<Substrate>& substrates,
                                 const Frame& frame) {
  if (substrates.size() != mesh.bond.size() || frame.bond.size() != mesh.bond.size())
    throw std::invalid_argument(
        "wall report: mesh, substrates and frame have different numbers of bond facets");
  const auto averages = averaged_bond(mesh, frame);
  const auto samples = samples_of(mesh, frame, averages);
  std::vector<WallRow> rows;
  const auto add = [&](std::string wall, std::optional<Substrate> substrate, auto belongs) {
    if (auto statistics = part(samples, belongs)) rows.push_back({std::move(wall), substrate, *statistics});
  };
  for (std::size_t w = 0; w < mesh.walls.size(); ++w) {
    const auto on_wall = [&mesh, w](std::size_t f) { return mesh.bond[f].wall == static_cast<int>(w); };
    for (const Substrate s : all_substrates)
      add(mesh.walls[w], s, [&](std::size_t f) { return on_wall(f) && substrates[f] == s; });
    add(mesh.walls[w], std::nullopt, on_wall);
  }
  for (const Substrate s : all_substrates) add("", s, [&](std::size_t f) { return substrates[f] == s; });
  add("", std::nullopt, [](std::size_t) { return true; });
  return rows;
}

}  // namespace setstress
