#include "solver/report/wall_report.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "solver/machine/parallel.hpp"
#include "solver/report/weighted_sample.hpp"

namespace setstress {

namespace {

/// A point of the bond with the area it stands for.
struct Sample {
  const BondPoint* point;
  const AveragedPoint* average;
  double area;
  std::size_t facet;
};
using Samples = std::vector<Sample>;

double gap_of(const BondPoint& point) {
  return point.debonded() ? std::max(0.0, point.opening) : 0.0;
}

/// `value_of` takes a sample.
template <class Value>
std::vector<WeightedValue> weighted(const Samples& samples, Value value_of) {
  std::vector<WeightedValue> values;
  values.reserve(samples.size());
  for (const Sample& sample : samples) values.push_back({value_of(sample), sample.area});
  return values;
}

/// Those on the facets of a part, in the order they come in.
Samples on_part(const Samples& samples, const std::vector<char>& holds) {
  Samples found;
  for (const Sample& sample : samples)
    if (holds[sample.facet]) found.push_back(sample);
  return found;
}

/// A quantity of the bond and its average.
struct Quantity {
  double BondPoint::*own;
  double AveragedPoint::*averaged;
  MeanAndP95 BondStatistics::*statistic;
};
constexpr std::array<Quantity, 3> quantities{
    {{&BondPoint::normal, &AveragedPoint::normal, &BondStatistics::normal_traction},
     {&BondPoint::shear, &AveragedPoint::shear, &BondStatistics::shear_traction},
     {&BondPoint::ratio, &AveragedPoint::ratio, &BondStatistics::ratio}}};

/// What is placed, as it comes and in rising order of each averaged quantity: sorted once, not for every
/// part.
struct PlacedSamples {
  Samples all;
  std::array<Samples, quantities.size()> rising;
};

PlacedSamples placed_samples(const Frame& frame, const std::vector<double>& areas,
                             const std::vector<std::array<AveragedPoint, 6>>& averages) {
  PlacedSamples placed;
  for (std::size_t f = 0; f < frame.bond.size(); ++f)
    for (std::size_t i = 0; i < 6; ++i)
      if (frame.bond[f][i].active)
        placed.all.push_back({&frame.bond[f][i], &averages[f][i], areas[6 * f + i], f});
  const auto sort = [&placed](std::size_t q) {
    placed.rising[q] = placed.all;
    std::ranges::stable_sort(placed.rising[q], {},
                             [q](const Sample& s) { return s.average->*quantities[q].averaged; });
  };
  parallel_for(quantities.size(), sort, 1);
  return placed;
}

BondStatistics statistics_of(const PlacedSamples& all, const std::vector<char>& holds) {
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  const Samples placed = on_part(all.all, holds);
  const auto mean = [&placed](auto value_of) { return weighted_mean(weighted(placed, value_of)); };
  BondStatistics s;
  for (const Sample& sample : placed) s.placed_area += sample.area;
  for (std::size_t q = 0; q < quantities.size(); ++q) {
    const auto [own, averaged, statistic] = quantities[q];
    s.*statistic = {mean([own = own](const Sample& at) { return at.point->*own; }),
                    weighted_percentile(
                        weighted(on_part(all.rising[q], holds),
                                 [averaged = averaged](const Sample& at) { return at.average->*averaged; }),
                        0.95)};
  }
  s.share_above_one = mean([](const Sample& at) { return at.average->ratio >= 1.0 ? 1.0 : 0.0; });
  s.share_debonded = mean([](const Sample& at) { return at.point->debonded() ? 1.0 : 0.0; });
  s.share_softened = mean([](const Sample& at) { return at.point->strength_lost > 0 ? 1.0 : 0.0; });
  s.mean_strength_lost = mean([](const Sample& at) { return at.point->strength_lost; });
  s.mean_gap = mean([](const Sample& at) { return gap_of(*at.point); });
  s.largest_gap = placed.empty() ? none : 0.0;
  for (const Sample& sample : placed) s.largest_gap = std::max(s.largest_gap, gap_of(*sample.point));
  s.gap_volume = s.mean_gap * s.placed_area;
  std::vector<WeightedValue> conversion =
      weighted(placed, [](const Sample& at) { return at.point->conversion; });
  s.conversion_mean = weighted_mean(conversion);
  sort_by_value(conversion);
  s.conversion_p05 = weighted_percentile(conversion, 0.05);
  return s;
}

/// What is so of a part whatever is placed: its area and how finely it is averaged.
void describe_part(const BondAverage& average, const std::vector<char>& holds, BondStatistics& s) {
  double points = 0;
  for (std::size_t p = 0; p < average.areas().size(); ++p) {
    if (!holds[p / 6]) continue;
    s.area += average.areas()[p];
    points += average.areas()[p] * static_cast<double>(average.points_near(p));
  }
  s.averaging_points = points / s.area;
}

}  // namespace

WallReport::WallReport(const Mesh& mesh, const std::vector<Substrate>& substrates) : average_(mesh) {
  if (substrates.size() != mesh.bond.size())
    throw std::invalid_argument("wall report: mesh and substrates have different numbers of bond facets");
  const auto add = [&](std::string wall, std::optional<Substrate> substrate, auto belongs) {
    std::vector<char> holds(mesh.bond.size());
    for (std::size_t f = 0; f < holds.size(); ++f) holds[f] = belongs(f) ? 1 : 0;
    if (std::ranges::find(holds, 1) != holds.end())
      parts_.push_back({std::move(wall), substrate, std::move(holds)});
  };
  for (std::size_t w = 0; w < mesh.walls.size(); ++w) {
    const auto on_wall = [&mesh, w](std::size_t f) { return mesh.bond[f].wall == static_cast<int>(w); };
    for (const Substrate s : all_substrates)
      add(mesh.walls[w], s, [&](std::size_t f) { return on_wall(f) && substrates[f] == s; });
    add(mesh.walls[w], std::nullopt, on_wall);
  }
  for (const Substrate s : all_substrates) add("", s, [&](std::size_t f) { return substrates[f] == s; });
  add("", std::nullopt, [](std::size_t) { return true; });
}

std::vector<WallRow> WallReport::of(const Frame& frame) const {
  return rows_of(frame, average_.of(frame));
}

std::vector<WallRow> WallReport::of(const Frame& frame, WeakestLinks& links) const {
  const Averages averages = average_.of(frame);
  links.see(averages, average_.areas());
  std::vector<WallRow> rows = rows_of(frame, averages);
  for (std::size_t p = 0; p < rows.size(); ++p)
    if (rows[p].statistics.placed_area > 0)
      rows[p].statistics.chance_started = links.chance_started(parts_[p].holds);
  return rows;
}

std::vector<WallRow> WallReport::rows_of(const Frame& frame, const Averages& averages) const {
  const PlacedSamples placed = placed_samples(frame, average_.areas(), averages);
  std::vector<WallRow> rows(parts_.size());
  const auto fill_row = [&](std::size_t p) {
    const Part& part = parts_[p];
    rows[p] = {part.wall, part.substrate, statistics_of(placed, part.holds)};
    describe_part(average_, part.holds, rows[p].statistics);
  };
  parallel_for(parts_.size(), fill_row, 1);
  return rows;
}

double WallReport::fewest_averaging_points() const {
  double fewest = std::numeric_limits<double>::infinity();
  for (const Part& part : parts_) {
    if (part.wall.empty() || part.substrate) continue;
    BondStatistics wall;
    describe_part(average_, part.holds, wall);
    fewest = std::min(fewest, wall.averaging_points);
  }
  return fewest;
}

std::vector<WallRow> wall_report(const Mesh& mesh, const std::vector<Substrate>& substrates,
                                 const Frame& frame) {
  return WallReport(mesh, substrates).of(frame);
}

}  // namespace setstress
