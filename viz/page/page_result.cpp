#include "viz/page/page_result.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <stdexcept>

#include "viz/page/page_body.hpp"
#include "viz/page/page_bond.hpp"

namespace setstress::viz {
namespace {

/// How much of a result goes into the page.
struct Choice {
  bool interior = true;
  bool bond_corners_only = false;
  std::vector<ResultFrame> frames;
};

constexpr std::size_t values_a_body_point = 5, values_a_bond_point = 8;

std::size_t count_values(const PageResult& page, std::size_t frames) {
  return frames * (values_a_body_point * page.points.size() + values_a_bond_point * page.bond_points.size());
}

/// Every other one of the frames without an event goes; first and last stay.
std::vector<ResultFrame> thinned(const std::vector<ResultFrame>& frames) {
  std::vector<ResultFrame> kept;
  bool keep = true;
  for (std::size_t f = 0; f < frames.size(); ++f) {
    const bool plain = f > 0 && f + 1 < frames.size() && !frames[f].bond.empty() &&
                       read_bond(frames[f].bond, {}).event.empty();
    if (plain) keep = !keep;
    if (!plain || keep) kept.push_back(frames[f]);
  }
  return kept;
}

/// What fits, judged by the shape alone.
Choice choose(const Result& result, const PageBody& body, std::size_t most_values, PageResult& page) {
  Choice choice{.interior = true, .bond_corners_only = false, .frames = result.frames};
  const auto shape = [&] {
    PageResult draft;
    body.describe(draft);
    if (!choice.interior) leave_out_interior(draft);
    if (!result.frames.back().bond.empty())
      describe_bond(read_bond(result.frames.back().bond), choice.bond_corners_only, draft);
    return count_values(draft, choice.frames.size());
  };
  if (shape() <= most_values) return choice;
  choice.interior = false;
  page.left_out.push_back(
      "The inside of tooth and filling was left out to keep this page light: a cut shows them hollow.");
  if (shape() <= most_values) return choice;
  choice.bond_corners_only = true;
  page.left_out.push_back(
      "The bond is drawn with a quarter of its triangles to keep this page light; the numbers are those of "
      "the full run.");
  if (shape() <= most_values) return choice;
  choice.frames = thinned(result.frames);
  page.left_out.push_back("Every other instant between events was left out to keep this page light.");
  return choice;
}

VolumeCells fullest_volume(const Result& result) {
  for (const ResultFrame& frame : result.frames)
    if (frame.volume.empty())
      throw std::runtime_error(fmt::format("{}: the instant {} s has no volume file",
                                           (result.folder / ResultLayout::collection).string(), frame.time));
  return read_volume(result.frames.back().volume);  // nothing that was placed is ever taken away
}

void add_instant(const ResultFrame& frame, const PageBody& body, const Choice& choice, PageResult& page) {
  const VolumeCells volume = read_volume(frame.volume);
  PageInstant& instant = page.instants.emplace_back(
      PageInstant{.time = volume.time, .event = {}, .placed = body.placed(volume), .looks = {}});
  for (Series& series : page.series) {
    if (series.name == "body.displacement")
      series.by_frame.push_back(body.displacement(volume, instant.placed));
    if (series.name == "body.principal_stress")
      series.by_frame.push_back(body.average(volume, instant.placed, "principal_stress"));
    if (series.name == "body.conversion")
      series.by_frame.push_back(body.average(volume, instant.placed, "conversion"));
  }
  if (page.bond_points.empty()) return;
  if (frame.bond.empty())
    throw std::runtime_error(
        fmt::format("{}: the instant {} s has no bond file, others have", frame.volume.string(), frame.time));
  const BondSurface bond = read_bond(frame.bond);
  instant.event = bond.event;
  instant.looks = add_bond_values(bond, choice.bond_corners_only, page);
}

}  // namespace

PageResult gather(const Result& result, std::size_t most_values) {
  PageResult page;
  VolumeCells whole = fullest_volume(result);
  page.title = whole.title;
  const PageBody body(std::move(whole));
  const Choice choice = choose(result, body, most_values, page);
  body.describe(page);
  if (!result.frames.back().bond.empty())
    describe_bond(read_bond(result.frames.back().bond), choice.bond_corners_only, page);
  page.series.push_back(
      {.name = "body.displacement", .unit = "mm", .components = 3, .levels = 4095, .by_frame = {}});
  page.series.push_back(
      {.name = "body.principal_stress", .unit = "MPa", .components = 1, .levels = 4095, .by_frame = {}});
  page.series.push_back(
      {.name = "body.conversion", .unit = "-", .components = 1, .levels = 255, .by_frame = {}});
  for (const ResultFrame& frame : choice.frames) add_instant(frame, body, choice, page);
  if (!choice.interior) leave_out_interior(page);
  return page;
}

}  // namespace setstress::viz
