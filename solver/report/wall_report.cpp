#include "solver/report/wall_report.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "solver/machine/parallel.hpp"
#include "solver/report/weighted_sample.hpp"

namespace setstress {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

double gap_of(const BondPoint& point) {
  return point.debonded() ? std::max(0.0, point.opening) : 0.0;
}

/// Share of what is placed of a part [-].
double share_of(double area, const BondStatistics& part) {
  return part.placed_area > 0 ? area / part.placed_area : none;
}

struct ValueAt {
  double value;
  std::size_t point;
};

/// What is placed, values of points (six a facet) in rising order.
std::vector<ValueAt> rising(const Frame& frame, const std::vector<double>& values) {
  std::vector<ValueAt> sorted;
  sorted.reserve(values.size());
  for (std::size_t p = 0; p < values.size(); ++p)
    if (frame.bond[p / 6][p % 6].active) sorted.push_back({values[p], p});
  std::ranges::stable_sort(sorted, {}, &ValueAt::value);
  return sorted;
}

}  // namespace

WallReport::WallReport(const Mesh& mesh, const std::vector<Substrate>& substrates)
    : average_(mesh), parts_of_(mesh.bond.size()) {
  if (substrates.size() != mesh.bond.size())
    throw std::invalid_argument("wall report: mesh and substrates have different numbers of bond facets");
  const auto add = [&](std::string wall, std::optional<Substrate> substrate, auto belongs) {
    Part part{std::move(wall), substrate, {}};
    for (std::size_t f = 0; f < mesh.bond.size(); ++f)
      if (belongs(f)) part.facets.push_back(f);
    if (part.facets.empty()) return;
    for (const std::size_t facet : part.facets) parts_of_[facet].push_back(parts_.size());
    describe(part);
    parts_.push_back(std::move(part));
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

/// What is so of a part whatever is placed.
void WallReport::describe(Part& part) const {
  double points = 0;
  for (const std::size_t facet : part.facets)
    for (std::size_t p = 6 * facet; p < 6 * facet + 6; ++p) {
      part.area += average_.areas()[p];
      points += average_.areas()[p] * static_cast<double>(average_.points_near(p));
    }
  part.averaging_points = points / part.area;
}

/// Calls see(point, number of the point, area) for what is placed of a part.
template <typename See>
void WallReport::for_placed(const Frame& frame, const Part& part, const See& see) const {
  for (const std::size_t facet : part.facets)
    for (std::size_t i = 0; i < 6; ++i)
      if (const BondPoint& point = frame.bond[facet][i]; point.active)
        see(point, 6 * facet + i, average_.areas()[6 * facet + i]);
}

/// By part, of values of points (six a facet): the smallest that `share` of the placed area does not exceed.
/// All parts are served by sorting once.
std::vector<double> WallReport::percentiles(const Frame& frame, const std::vector<double>& values,
                                            double share) const {
  constexpr double round_off = 1e-12;
  const std::vector<ValueAt> sorted = rising(frame, values);
  struct Way {
    double total = 0, reached = 0;
    bool is_there = false;
  };
  std::vector<Way> ways(parts_.size());
  std::vector<double> found(parts_.size(), none);
  for (const ValueAt& at : sorted)
    for (const std::size_t part : parts_of_[at.point / 6]) {
      ways[part].total += average_.areas()[at.point];
      found[part] = at.value;  // where round-off keeps the rest from being reached
    }
  for (const ValueAt& at : sorted)
    for (const std::size_t part : parts_of_[at.point / 6]) {
      Way& way = ways[part];
      if (way.is_there) continue;
      way.reached += average_.areas()[at.point];
      way.is_there = way.reached >= (share - round_off) * way.total;
      if (way.is_there) found[part] = at.value;
    }
  return found;
}

WallReport::Rows WallReport::laid_out(const Frame& frame) const {
  if (frame.bond.size() != parts_of_.size())
    throw std::invalid_argument("wall report: mesh and frame have different numbers of bond facets");
  Rows rows;
  rows.reserve(parts_.size());
  for (const Part& part : parts_) {
    BondStatistics s;
    s.area = part.area;
    s.averaging_points = part.averaging_points;
    for_placed(frame, part, [&](const BondPoint&, std::size_t, double area) { s.placed_area += area; });
    rows.push_back({part.wall, part.substrate, s});
  }
  return rows;
}

/// Of what is placed of a part; `value_of` takes a point.
template <typename ValueOf>
double WallReport::mean(const Frame& frame, const Part& part, const ValueOf& value_of) const {
  std::vector<WeightedValue> values;
  values.reserve(6 * part.facets.size());
  for_placed(frame, part, [&](const BondPoint& at, std::size_t, double area) {
    values.push_back({value_of(at), area});
  });
  return weighted_mean(values);
}

void WallReport::tell_tractions(const Frame& frame, Rows& rows) const {
  const AveragedTractions averages = average_.tractions(frame);
  const std::vector<double> high_normal = percentiles(frame, averages.normal, 0.95),
                            high_shear = percentiles(frame, averages.shear, 0.95);
  for (std::size_t p = 0; p < rows.size(); ++p) {
    BondStatistics& s = rows[p].statistics;
    s.normal_traction = {mean(frame, parts_[p], [](const BondPoint& at) { return at.normal; }),
                         high_normal[p]};
    s.shear_traction = {mean(frame, parts_[p], [](const BondPoint& at) { return at.shear; }), high_shear[p]};
  }
}

/// All that strengths decide of a bond that holds.
void WallReport::tell_ratios(const Frame& frame, WeakestLinks* links, Rows& rows) const {
  const std::vector<double> ratios = average_.ratios(frame);
  const std::vector<double> high = percentiles(frame, ratios, 0.95);
  if (links != nullptr) links->see(ratios, average_.areas());
  for (std::size_t p = 0; p < rows.size(); ++p) {
    double above = 0;
    for_placed(frame, parts_[p], [&](const BondPoint&, std::size_t point, double area) {
      if (ratios[point] >= 1.0) above += area;
    });
    BondStatistics& s = rows[p].statistics;
    s.ratio = {mean(frame, parts_[p], [](const BondPoint& at) { return at.ratio; }), high[p]};
    s.share_above_one = share_of(above, s);
    s.chance_started = links != nullptr && s.placed_area > 0 ? links->chance_started(parts_[p].facets) : none;
  }
}

void WallReport::tell_losses(const Frame& frame, Rows& rows) const {
  for (std::size_t p = 0; p < rows.size(); ++p) {
    double debonded = 0, softened = 0, largest = 0;
    for_placed(frame, parts_[p], [&](const BondPoint& at, std::size_t, double area) {
      if (at.debonded()) debonded += area;
      if (at.strength_lost > 0) softened += area;
      largest = std::max(largest, gap_of(at));
    });
    BondStatistics& s = rows[p].statistics;
    s.share_debonded = share_of(debonded, s);
    s.share_softened = share_of(softened, s);
    s.mean_strength_lost = mean(frame, parts_[p], [](const BondPoint& at) { return at.strength_lost; });
    s.mean_gap = mean(frame, parts_[p], gap_of);
    s.largest_gap = s.placed_area > 0 ? largest : none;
    s.gap_volume = s.mean_gap * s.placed_area;
  }
}

void WallReport::tell_conversion(const Frame& frame, Rows& rows) const {
  std::vector<double> conversion;
  conversion.reserve(average_.areas().size());
  for (const auto& facet : frame.bond)
    for (const BondPoint& point : facet) conversion.push_back(point.conversion);
  const std::vector<double> low = percentiles(frame, conversion, 0.05);
  for (std::size_t p = 0; p < rows.size(); ++p) {
    rows[p].statistics.conversion_mean =
        mean(frame, parts_[p], [](const BondPoint& at) { return at.conversion; });
    rows[p].statistics.conversion_p05 = low[p];
  }
}

std::vector<WallRow> WallReport::of(const Frame& frame, WeakestLinks* links) const {
  Rows rows = laid_out(frame);
  const auto tell = [&](std::size_t what) {
    if (what == 0) tell_tractions(frame, rows);
    if (what == 1) tell_ratios(frame, links, rows);
    if (what == 2) tell_losses(frame, rows);
    if (what == 3) tell_conversion(frame, rows);
  };
  parallel_for(4, tell, 1);
  return rows;
}

std::vector<WallRow> WallReport::judged(const Frame& frame, std::vector<WallRow> rows,
                                        WeakestLinks* links) const {
  if (rows.size() != parts_.size() || frame.bond.size() != parts_of_.size())
    throw std::invalid_argument("wall report: rows or frame are those of another mesh");
  tell_ratios(frame, links, rows);
  return rows;
}

double WallReport::fewest_averaging_points() const {
  double fewest = std::numeric_limits<double>::infinity();
  for (const Part& part : parts_)
    if (!part.wall.empty() && !part.substrate) fewest = std::min(fewest, part.averaging_points);
  return fewest;
}

std::vector<WallRow> wall_report(const Mesh& mesh, const std::vector<Substrate>& substrates,
                                 const Frame& frame) {
  return WallReport(mesh, substrates).of(frame);
}

}  // namespace setstress
