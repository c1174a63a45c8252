#include "viz/pictures/bond_state.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "viz/pictures/told_numbers.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

double weighted_percentile(std::vector<std::array<double, 2>> value_and_weight, double share) {
  std::ranges::sort(value_and_weight);
  double total = 0, below = 0;
  for (const auto& [value, weight] : value_and_weight) total += weight;
  for (const auto& [value, weight] : value_and_weight) {
    below += weight;
    if (below >= share * total) return value;
  }
  return 0;
}

BondState judge(const BondSurface& bond) {
  const Eigen::MatrixXd& active = bond.cell_field("active");
  const Eigen::MatrixXd& ratio = bond.cell_field("stress_to_strength_ratio");
  const Eigen::MatrixXd& reached = bond.cell_field("share_reached");
  const Eigen::MatrixXd& debonded = bond.cell_field("share_debonded");
  BondState state;
  std::vector<std::array<double, 2>> holding;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    const auto row = static_cast<Eigen::Index>(t);
    if (active(row, 0) == 0) continue;
    const double area = bond.area(t);
    state.filled_area += area;
    state.reached += area * reached(row, 0);
    state.debonded += area * debonded(row, 0);
    if (debonded(row, 0) < 0.5) holding.push_back({ratio(row, 0), area});
  }
  if (state.filled_area > 0) {
    state.reached /= state.filled_area;
    state.debonded /= state.filled_area;
  }
  state.percentile95 = weighted_percentile(std::move(holding), 0.95);
  return state;
}

BondState judge(const std::filesystem::path& bond_file) {
  return judge(
      read_bond(bond_file, {"active", "stress_to_strength_ratio", "share_reached", "share_debonded"}));
}

namespace {

/// Of the instant that the summary tells; frames.size() for none.
std::size_t told_worst_frame(const Result& result) {
  const std::optional<double> time = told_worst_time(result.folder);
  if (!time) return result.frames.size();
  const std::size_t frame = frame_at(result, *time);
  const bool is_there = std::abs(result.frames[frame].time - *time) <= 1e-6 * std::max(1.0, *time);
  return is_there && !result.frames[frame].bond.empty() ? frame : result.frames.size();
}

}  // namespace

std::size_t worst_frame(const Result& result) {
  if (const std::size_t told = told_worst_frame(result); told < result.frames.size()) return told;
  std::size_t worst = result.frames.size();
  std::array<double, 2> most{-1, -1};
  for (std::size_t f = 0; f < result.frames.size(); ++f) {
    if (result.frames[f].bond.empty()) continue;
    const BondState state = judge(result.frames[f].bond);
    const std::array<double, 2> badness{state.reached * state.filled_area, state.percentile95};
    if (badness <= most) continue;
    most = badness;
    worst = f;
  }
  if (worst == result.frames.size())
    throw std::runtime_error(fmt::format("{} holds no file of the bond to draw", result.folder.string()));
  return worst;
}

std::size_t frame_at(const Result& result, double time) {
  std::size_t nearest = 0;
  for (std::size_t f = 1; f < result.frames.size(); ++f)
    if (std::abs(result.frames[f].time - time) <= std::abs(result.frames[nearest].time - time)) nearest = f;
  return nearest;
}

std::size_t frame_for(const Result& result, std::optional<double> time, Moment moment) {
  if (time) {
    const double first = result.frames.front().time, last = result.frames.back().time;
    if (*time < first - 1e-6 || *time > last + 1e-6)
      throw std::invalid_argument(fmt::format("{} holds nothing at {}; it reaches from {} to {}",
                                              result.folder.string(), duration_text(*time),
                                              duration_text(first), duration_text(last)));
    return frame_at(result, *time);
  }
  return moment == Moment::worst ? worst_frame(result) : result.frames.size() - 1;
}

bool stopped_early(const Result& result) {
  const std::filesystem::path& last = result.frames.back().bond;
  return !last.empty() && !read_bond(last, {}).event.ends_with("end");
}

}  // namespace setstress
