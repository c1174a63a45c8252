#include "viz/page/page.hpp"

#include <fmt/core.h>

#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>

#include "viz/drawing/scale.hpp"
#include "viz/files/write_file.hpp"
#include "viz/page/page_pack.hpp"
#include "viz/page/page_result.hpp"
#include "viz/words/caution.hpp"

namespace setstress {
namespace {

using nlohmann::ordered_json;
namespace fs = std::filesystem;

constexpr const char* data_mark = "@SETSTRESS_DATA@";
constexpr std::size_t most_results = 4;
/// Over all results and instants: 13 MB of text or less.
constexpr std::size_t most_values = 15'000'000;

std::string read_text(const fs::path& file) {
  std::ifstream stream(file, std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(stream), {}};
  if (!stream) throw std::runtime_error(fmt::format("cannot read {}", file.string()));
  return text;
}

ordered_json read_json(const fs::path& file) {
  ordered_json json = ordered_json::parse(read_text(file), nullptr, false);
  if (!json.is_object())
    throw std::runtime_error(fmt::format("cannot read {}: it is damaged", file.string()));
  return json;
}

void require_whole(const fs::path& folder) {
  for (const char* file :
       {ResultLayout::manifest, ResultLayout::summary, ResultLayout::walls, ResultLayout::collection})
    if (std::error_code ignored; !fs::is_regular_file(folder / file, ignored))
      throw std::runtime_error(
          fmt::format("{} is not a whole result: it has no {}; run the case again", folder.string(), file));
}

std::vector<int> flat(const auto& groups) {
  std::vector<int> all;
  for (const auto& group : groups) all.insert(all.end(), group.begin(), group.end());
  return all;
}

std::vector<float> coordinates(const std::vector<Eigen::Vector3d>& points) {
  std::vector<float> all;
  for (const Eigen::Vector3d& point : points)
    for (Eigen::Index c = 0; c < 3; ++c) all.push_back(static_cast<float>(point(c)));
  return all;
}

struct Range {
  double low = 0, high = 0;
};
Range range_of(const std::vector<std::vector<float>>& by_frame) {
  Range range;
  for (const auto& values : by_frame)
    for (const float value : values) {
      range.low = std::min(range.low, static_cast<double>(value));
      range.high = std::max(range.high, static_cast<double>(value));
    }
  return range;
}

/// Points, triangles and what belongs to them. The page unpacks in this order.
ordered_json shape_json(const viz::PageResult& result) {
  const std::vector<float> points = coordinates(result.points), bond_points = coordinates(result.bond_points);
  const Range range = range_of({points, bond_points});
  constexpr int levels = 65535;
  viz::Bytes bytes;
  bytes.add_changes(viz::quantised(points, range.low, range.high, levels), {});
  bytes.add(result.region_of_point);
  bytes.add_indices(flat(result.triangles));
  bytes.add_indices(flat(result.tetrahedra));
  bytes.add_changes(viz::quantised(bond_points, range.low, range.high, levels), {});
  bytes.add_indices(flat(result.bond_triangles));
  bytes.add(result.wall_of_triangle);
  bytes.add(result.increment_of_triangle);
  return {{"low", range.low},
          {"high", range.high},
          {"levels", levels},
          {"points", result.points.size()},
          {"triangles", result.triangles.size()},
          {"tetrahedra", result.tetrahedra.size()},
          {"bond_points", result.bond_points.size()},
          {"bond_triangles", result.bond_triangles.size()},
          {"triangles_a_facet", result.triangles_a_facet},
          {"packed", bytes.packed()}};
}

/// Series and instants; each instant packs the changes of all series since the one before, then the looks.
void add_history(const viz::PageResult& result, ordered_json& json) {
  std::vector<Range> ranges;
  for (const viz::Series& series : result.series) {
    const Range& range = ranges.emplace_back(range_of(series.by_frame));
    json["series"].push_back({{"name", series.name},
                              {"unit", series.unit},
                              {"components", series.components},
                              {"levels", series.levels},
                              {"low", range.low},
                              {"high", range.high}});
  }
  std::vector<std::vector<std::uint16_t>> before(result.series.size());
  for (std::size_t i = 0; i < result.instants.size(); ++i) {
    const viz::PageInstant& instant = result.instants[i];
    viz::Bytes bytes;
    for (std::size_t s = 0; s < result.series.size(); ++s) {
      auto values = viz::quantised(result.series[s].by_frame[i], ranges[s].low, ranges[s].high,
                                   result.series[s].levels);
      bytes.add_changes(values, before[s]);
      before[s] = std::move(values);
    }
    bytes.add(instant.looks);
    ordered_json placed = ordered_json::array();
    for (const char flag : instant.placed) placed.push_back(flag != 0);
    json["instants"].push_back(
        {{"time_s", instant.time}, {"event", instant.event}, {"placed", placed}, {"packed", bytes.packed()}});
  }
}

/// The part of summary.json that the page shows.
ordered_json short_summary(const ordered_json& summary) {
  ordered_json kept;
  for (const char* key : {"case", "title", "invented", "mode", "reached_the_end", "end_time_s",
                          "chair_time_s", "timeline", "c_factors", "gap_fluid"})
    if (summary.contains(key)) kept[key] = summary[key];
  for (ordered_json row : summary.value("bond", ordered_json::array())) {
    row.erase("at_events");
    kept["bond"].push_back(std::move(row));
  }
  if (summary.contains("gaps"))
    for (const char* key : {"threshold_um", "left_out", "end", "records"})
      kept["gaps"][key] = summary["gaps"].at(key);
  return kept;
}

ordered_json result_json(const fs::path& folder, std::size_t values) {
  const viz::PageResult result = viz::gather(read_result(folder), values);
  const ordered_json manifest = read_json(folder / ResultLayout::manifest);
  ordered_json json{{"version", manifest.value("version", "unknown")},
                    {"finished", manifest.value("finished", false)},
                    {"warnings", manifest.value("warnings", ordered_json::array())},
                    {"mesh", manifest.value("mesh", ordered_json::object())},
                    {"summary", short_summary(read_json(folder / ResultLayout::summary))},
                    {"left_out", result.left_out},
                    {"regions", result.regions},
                    {"materials", result.materials},
                    {"increment_of_region", result.increment_of_region},
                    {"walls", result.walls},
                    {"walls_csv", viz::packed_text(read_text(folder / ResultLayout::walls))},
                    {"shape", shape_json(result)}};
  add_history(result, json);
  return json;
}

void require_one_version(const ordered_json& results) {
  std::set<std::string> versions;
  std::string list;
  for (const ordered_json& result : results)
    if (versions.insert(result["version"].get<std::string>()).second)
      list += (list.empty() ? "" : ", ") + result["version"].get<std::string>();
  if (versions.size() > 1)
    throw std::invalid_argument(fmt::format(
        "the results were made by different versions of setstress ({}); run the cases again with one", list));
}

/// What the page is told of a scale: names, and its colours in equal steps from 0 to its top and from 0 to
/// the clear pressure. The page finds tops that hang on the data.
ordered_json scale_json(const viz::Scale& scale, bool top_is_fixed) {
  constexpr int steps = 256;
  ordered_json json{{"quantity", scale.quantity},   {"unit", scale.unit},
                    {"note", scale.note},           {"open_ended", scale.open_ended},
                    {"mark_text", scale.mark_text}, {"below_zero", scale.below_zero}};
  if (top_is_fixed)
    json["top"] = scale.top;
  else
    json["round_ends"] = viz::round_ends;
  if (scale.mark) json["mark"] = *scale.mark;
  for (int i = 0; i < steps; ++i) {
    const double share = (i + 0.5) / steps;
    json["colours"].push_back(hex(scale.colour(share * scale.top)));
    if (!scale.below_zero.empty()) json["pressed"].push_back(hex(scale.colour(-share * clear_pressure)));
  }
  if (!scale.below_zero.empty()) {
    json["clear_pressure"] = clear_pressure;
    json["pressed"].push_back(hex(scale.colour(-2 * clear_pressure)));
  }
  return json;
}

/// The scales of the pictures, by key.
ordered_json scales_json() {
  ordered_json scales;
  for (const viz::Scale& scale : {viz::ratio_scale(), viz::strength_lost_scale(), viz::conversion_scale()})
    scales[scale.key] = scale_json(scale, true);
  for (const viz::Scale& scale : {viz::pull_scale(1), viz::shear_scale(1), viz::gap_scale(1),
                                  viz::stress_scale(1), viz::displacement_scale(1)})
    scales[scale.key] = scale_json(scale, false);
  return scales;
}

/// JSON that may stand inside a script element.
std::string embeddable(const ordered_json& json) {
  std::string text;
  for (const char c : json.dump()) {
    if (c == '<')
      text += "\\u003c";
    else
      text += c;
  }
  return text;
}

}  // namespace

void require_whole_results(const std::vector<fs::path>& folders) {
  for (const fs::path& folder : folders) require_whole(folder);
}

void write_page(const PageOptions& options) {
  if (options.results.empty() || options.results.size() > most_results)
    throw std::invalid_argument(
        fmt::format("a page shows one to four results; {} were given", options.results.size()));
  require_whole_results(options.results);
  std::string page = read_text(options.page_template);
  const std::size_t mark = page.find(data_mark);
  if (mark == std::string::npos)
    throw std::runtime_error(fmt::format("{} is not a template of the page: it lacks {}",
                                         options.page_template.string(), data_mark));
  ordered_json data{{"caution", caution_line}, {"scales", scales_json()}};
  for (const fs::path& folder : options.results)
    data["results"].push_back(result_json(folder, most_values / options.results.size()));
  require_one_version(data["results"]);
  if (!options.comparison.empty()) data["comparison"] = ordered_json::parse(options.comparison);
  page.replace(mark, std::string_view(data_mark).size(), embeddable(data));
  write_file(options.out, page);
}

}  // namespace setstress
