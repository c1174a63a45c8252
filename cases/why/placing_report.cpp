#include "cases/why/placing_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double told_ratio = 0.05, told_share = 0.005;
constexpr const char* placing_definition =
    "The plan run again with the shrinkage of one increment only, at its own history of stiffness; the bond "
    "holds, so these runs add up to the plan. pull: mean normal traction [MPa] on what of the wall has been "
    "placed, tension positive. ratio: share of the mean ratio of stress to strength r(t), r'(t).t_k with t_k "
    "the traction of the share; these add up to r.";

/// A share and what it brings.
struct Brought {
  std::size_t share;
  double ratio;
};

std::vector<Brought> largest_first(const PlacedWall& wall, std::size_t instant) {
  std::vector<Brought> all;
  for (std::size_t s = 0; s < wall.ratio.size(); ++s) all.push_back({s, wall.ratio[s].at(instant)});
  std::ranges::stable_sort(all, std::ranges::greater{}, [](const Brought& b) { return std::abs(b.ratio); });
  return all;
}

std::string setting_of(const Placing& plan, std::size_t share) {
  return share < plan.increments.size() ? "the setting of " + plan.shares[share] : plan.shares[share];
}

/// Where most of what a wall bears comes from paste that does not touch it; "" elsewhere.
std::string from_afar(const Placing& plan, const PlacedWall& wall, const std::vector<Brought>& brought,
                      double whole) {
  const Brought& most = brought.front();
  if (most.share >= plan.increments.size() || most.ratio < 0.5 * whole) return "";
  if (wall.wall == "all" || wall.bonded.at(most.share) > 0) return "";
  return fmt::format(" Most of it comes from {}, which does not lie on it.", plan.shares[most.share]);
}

std::string placed_wall_sentence(const Placing& plan, const PlacedWall& wall, std::size_t instant) {
  const std::vector<Brought> brought = largest_first(wall, instant);
  std::vector<std::string> shares;
  for (const Brought& each : brought)
    if (std::abs(each.ratio) >= told_share)
      shares.push_back(fmt::format("{:+.2f} is {}", each.ratio, setting_of(plan, each.share)));
  return fmt::format("\"{}\", {}: mean ratio of stress to strength highest, {:.2f}, at {}; of that {}.{}",
                     plan.plan, wall.words, wall.whole_ratio(instant), duration_text(plan.times[instant]),
                     fmt::join(shares, ", "), from_afar(plan, wall, brought, wall.whole_ratio(instant)));
}

constexpr int name_width = 24, cell_width = 13;

std::string cells(const std::string& name, const std::vector<std::string>& texts) {
  std::string text = fmt::format("  {:<{}}", name, name_width - 2);
  for (const std::string& each : texts) text += fmt::format("{:>{}}", each, cell_width);
  return text + "\n";
}

std::string increments_text(const Placing& plan) {
  std::string text = cells("", {"volume mm3", "C-factor", "placed", "light on"});
  for (std::size_t i = 0; i < plan.increments.size(); ++i) {
    const Placing::Increment& one = plan.increments[i];
    text += cells(plan.shares[i], {fmt::format("{:.1f}", one.volume),
                                   one.c_factor ? fmt::format("{:.2f}", *one.c_factor) : "all",
                                   duration_text(one.placed), one.lit ? duration_text(*one.lit) : "-"});
  }
  return text;
}

/// A heading, then a row a wall: what it is at its highest mean ratio, and of that each share.
template <class Whole, class Share>
std::string walls_text(const Placing& plan, const char* heading, Whole whole, Share share) {
  std::vector<std::string> heads{"at", "all"};
  heads.insert(heads.end(), plan.shares.begin(), plan.shares.end());
  std::string text = cells(heading, heads);
  for (const PlacedWall& wall : plan.walls) {
    const auto instant = wall.highest();
    if (!instant) continue;
    std::vector<std::string> row{duration_text(plan.times[*instant]),
                                 fmt::format("{:.2f}", whole(wall, *instant))};
    for (std::size_t s = 0; s < plan.shares.size(); ++s)
      row.push_back(fmt::format("{:+.2f}", share(wall, s, *instant)));
    text += cells(wall.wall == "all" ? "whole bond" : wall.wall, row);
  }
  return text;
}

std::string half_text(const Placing& plan) {
  std::vector<std::string> heads{"", ""};
  heads.insert(heads.end(), plan.shares.begin(), plan.shares.end());
  std::string text = cells("half of its pull by", heads);
  for (const PlacedWall& wall : plan.walls) {
    std::vector<std::string> row{"", ""};
    for (std::size_t s = 0; s < plan.shares.size(); ++s) {
      const auto half = wall.half_there(s);
      row.push_back(half ? duration_text(plan.times[*half]) : "-");
    }
    text += cells(wall.wall == "all" ? "whole bond" : wall.wall, row);
  }
  return text;
}

ordered_json placed_wall_json(const Placing& plan, const PlacedWall& wall) {
  ordered_json by_share = ordered_json::array();
  for (std::size_t s = 0; s < plan.shares.size(); ++s) {
    const auto half = wall.half_there(s);
    by_share.push_back({{"share", plan.shares[s]},
                        {"half_of_pull_by_s", half ? ordered_json(plan.times[*half]) : ordered_json(nullptr)},
                        {"pull_MPa", wall.pull[s]},
                        {"ratio", wall.ratio[s]}});
  }
  ordered_json highest = nullptr;
  if (const auto instant = wall.highest()) {
    ordered_json ratios = ordered_json::object(), pulls = ordered_json::object();
    for (std::size_t s = 0; s < plan.shares.size(); ++s) {
      ratios[plan.shares[s]] = wall.ratio[s][*instant];
      pulls[plan.shares[s]] = wall.pull[s][*instant];
    }
    highest = {{"time_s", plan.times[*instant]},
               {"ratio", wall.whole_ratio(*instant)},
               {"ratio_of", ratios},
               {"pull_MPa", wall.whole_pull(*instant)},
               {"pull_of_MPa", pulls}};
  }
  std::vector<bool> whole(wall.is_whole.begin(), wall.is_whole.end());
  return {{"wall", wall.wall},
          {"bonded_mm2_by_increment", wall.bonded},
          {"highest_mean_ratio", highest},
          {"all_of_it_placed", whole},
          {"shares", by_share}};
}

ordered_json plan_json(const Placing& plan) {
  ordered_json increments = ordered_json::array(), walls = ordered_json::array();
  for (const Placing::Increment& one : plan.increments)
    increments.push_back({{"composite", one.material},
                          {"volume_mm3", one.volume},
                          {"c_factor", one.c_factor ? ordered_json(*one.c_factor) : ordered_json(nullptr)},
                          {"placed_s", one.placed},
                          {"light_on_s", one.lit ? ordered_json(*one.lit) : ordered_json(nullptr)}});
  for (const PlacedWall& wall : plan.walls) walls.push_back(placed_wall_json(plan, wall));
  return {{"plan", plan.plan},
          {"increments", increments},
          {"adds_up_within_MPa", plan.rest},
          {"times_s", plan.times},
          {"walls", walls}};
}

/// "floor", "buccal, lingual": where there is little room.
std::string short_name(const PlacedWall& wall) {
  const std::size_t both = wall.wall.find(" and ");
  if (both == std::string::npos) return wall.wall == "all" ? "whole bond" : wall.wall;
  return wall.wall.substr(0, both) + ", " + wall.wall.substr(both + 5);
}

/// Of the highest mean ratio of each wall.
Chart shares_chart(const std::vector<Placing>& plans) {
  Chart chart{
      "Placing: which increment loads which wall",
      {"Of the highest mean ratio of stress to strength while all of the wall is placed; parts to the "
       "left of 0 unload it."},
      {"mean ratio of stress to strength"},
      {"", {}}};
  for (std::size_t p = 0; p < plans.size(); ++p)
    chart.notes.push_back(fmt::format("{}: {}", p + 1, plans[p].plan));
  const auto add = [&](const Placing& plan, const PlacedWall& wall, std::size_t number) {
    const auto instant = wall.highest();
    if (!instant) return;
    const auto row = static_cast<double>(chart.y.words.size());
    chart.y.words.push_back(fmt::format("{} {}", number, short_name(wall)));
    double up = 0, down = 0;
    for (std::size_t s = 0; s < plan.shares.size(); ++s) {
      const double part = wall.ratio[s][*instant];
      double& end = part > 0 ? up : down;
      chart.bars.push_back({row, end, end + part, static_cast<int>(s),
                            fmt::format("{}: {:+.2f}", plan.shares[s], part), plan.shares[s]});
      end += part;
    }
  };
  for (const PlacedWall& wall : plans.front().walls)
    for (std::size_t p = 0; p < plans.size(); ++p)
      if (const auto same = std::ranges::find(plans[p].walls, wall.wall, &PlacedWall::wall);
          same != plans[p].walls.end())
        add(plans[p], *same, p + 1);
  chart.rules.push_back({0, true, ""});
  return chart;
}

/// On the wall whose mean ratio comes highest; empty where no wall is ever whole.
std::optional<Chart> over_time(const Placing& plan) {
  const PlacedWall* most = nullptr;
  for (const PlacedWall& wall : plan.walls)
    if (wall.wall != "all" && wall.highest() &&
        (most == nullptr || wall.whole_ratio(*wall.highest()) > most->whole_ratio(*most->highest())))
      most = &wall;
  if (most == nullptr) return std::nullopt;
  Chart chart{
      fmt::format("{}: what pulls on the {}", plan.plan, most->words),
      {"Mean normal traction on what of it has been placed, tension positive; the increments add up to "
       "all."},
      {"time since the bond was cured [s]"},
      {"mean pull [MPa]"}};
  const auto curve = [&](const std::string& name, int colour, const auto& at) {
    ChartSeries series{name, colour, ChartSeries::Shape::line, {}};
    for (std::size_t i = 0; i < plan.times.size(); ++i) series.points.push_back({plan.times[i], at(i)});
    chart.series.push_back(std::move(series));
  };
  for (std::size_t s = 0; s < plan.shares.size(); ++s)
    curve(plan.shares[s], static_cast<int>(s), [&](std::size_t i) { return most->pull[s][i]; });
  if (plan.shares.size() > 1)
    curve("all", static_cast<int>(plan.shares.size()), [&](std::size_t i) { return most->whole_pull(i); });
  return chart;
}

}  // namespace

std::vector<std::string> placing_sentences(const std::vector<Placing>& plans) {
  std::vector<std::string> sentences;
  for (const Placing& plan : plans) {
    if (plan.shares.size() == 1) {
      sentences.push_back(fmt::format(
          "\"{}\" is one increment: whatever loads its walls is the setting of that.", plan.plan));
      continue;
    }
    for (const PlacedWall& wall : plan.walls)
      if (const auto instant = wall.highest(); instant && wall.whole_ratio(*instant) >= told_ratio)
        sentences.push_back(placed_wall_sentence(plan, wall, *instant));
  }
  return sentences;
}

std::string placing_text(const std::vector<Placing>& plans) {
  std::string text;
  for (const Placing& plan : plans) {
    text += fmt::format(
        "Placing in \"{}\": what the setting of each increment does (adds up to the plan within {:.1g} "
        "MPa)\n{}",
        plan.plan, std::max(plan.rest, 1e-12), increments_text(plan));
    text += walls_text(
        plan, "mean ratio, at its highest",
        [](const PlacedWall& w, std::size_t i) { return w.whole_ratio(i); },
        [](const PlacedWall& w, std::size_t s, std::size_t i) { return w.ratio[s][i]; });
    text += walls_text(
        plan, "mean pull then [MPa]", [](const PlacedWall& w, std::size_t i) { return w.whole_pull(i); },
        [](const PlacedWall& w, std::size_t s, std::size_t i) { return w.pull[s][i]; });
    text += half_text(plan);
  }
  return text;
}

ordered_json placing_json(const std::vector<Placing>& plans) {
  ordered_json all = ordered_json::array();
  for (const Placing& plan : plans) all.push_back(plan_json(plan));
  return {{"definition", placing_definition},
          {"sentences", placing_sentences(plans)},
          {"plans", all},
          {"caution", caution_line}};
}

std::vector<Chart> placing_charts(const std::vector<Placing>& plans) {
  std::vector<Chart> charts{shares_chart(plans)};
  if (charts.front().bars.empty()) return {};
  for (const Placing& plan : plans)
    if (auto chart = over_time(plan)) charts.push_back(std::move(*chart));
  return charts;
}

void write_placing(const std::vector<Placing>& plans, const std::filesystem::path& folder) {
  write_file(folder / "placing.json", placing_json(plans).dump(2) + "\n");
  const std::vector<Chart> charts = placing_charts(plans);
  for (std::size_t c = 0; c < charts.size(); ++c)
    write_file(folder / (c == 0 ? "placing.svg" : fmt::format("placing-{}.svg", c)), chart_file(charts[c]));
}

}  // namespace setstress
