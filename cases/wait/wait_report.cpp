#include "cases/wait/wait_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "cases/check/case_check.hpp"
#include "cases/words/bond_words.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

double chair_time(const PlanWaits& plan, double wait) {
  return plan.chair_time + plan.chair_time_per_wait * wait;
}

const char* unit_of(WallQuantity quantity) {
  return quantity == WallQuantity::largest_gap ? "um" : "-";
}

ordered_json or_null(const std::optional<double>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json law_json(const PlanWaits& plan, const LawWaits& law) {
  const WaitCurve& curve = law.curve;
  ordered_json json{
      {"law", law.law}, {"stopped", curve.stopped}, {"shortest_wait_s", or_null(curve.shortest)}};
  json["too_short_s"] = or_null(curve.too_short);
  json["chair_time_s"] =
      curve.shortest ? ordered_json(chair_time(plan, *curve.shortest)) : ordered_json(nullptr);
  json["value_at_shortest"] =
      curve.shortest ? ordered_json(curve.value_at(*curve.shortest)) : ordered_json(nullptr);
  if (!curve.points.empty()) json["lowest"] = {{"wait_s", curve.best().wait}, {"value", curve.best().value}};
  json["longer_waits_that_lose_it_again_s"] = curve.lost_again;
  if (curve.rise)
    json["largest_rise"] = {{"from_wait_s", curve.rise->from.wait},
                            {"from_value", curve.rise->from.value},
                            {"to_wait_s", curve.rise->to.wait},
                            {"to_value", curve.rise->to.value}};
  if (law.higher_part)
    json["higher_while_part_filled"] = {{"stress_to_strength_p95", law.higher_part->ratio},
                                        {"placed_area_mm2", law.higher_part->placed},
                                        {"area_mm2", law.higher_part->area}};
  if (law.energy_bound) json["stored_over_needed_energy"] = *law.energy_bound;
  json["failed_waits_s"] = curve.failed;
  json["curve"] = ordered_json::array();
  for (const WaitPoint& point : curve.points)
    json["curve"].push_back(
        {{"wait_s", point.wait}, {"chair_time_s", chair_time(plan, point.wait)}, {"value", point.value}});
  return json;
}

/// How many waits were tried, and how many runs that took.
std::string effort_text(const PlanWaits& plan) {
  std::set<double> waits;
  for (const LawWaits& law : plan.laws) {
    for (const WaitPoint& point : law.curve.points) waits.insert(point.wait);
    waits.insert(law.curve.failed.begin(), law.curve.failed.end());
  }
  return fmt::format("{} wait{} tried in {} run{}", waits.size(), waits.size() == 1 ? "" : "s", plan.runs,
                     plan.runs == 1 ? "" : "s");
}

/// The plan that is done first under one law.
struct Quickest {
  const PlanWaits* plan = nullptr;
  double wait = 0, chair_time = 0;
};

/// Names of laws in the order of the plans.
std::vector<std::string> law_names(const std::vector<PlanWaits>& plans) {
  std::vector<std::string> names;
  for (const PlanWaits& plan : plans)
    for (const LawWaits& law : plan.laws)
      if (std::find(names.begin(), names.end(), law.law) == names.end()) names.push_back(law.law);
  return names;
}

/// Of the plans whose paste sets through.
Quickest quickest(const std::vector<PlanWaits>& plans, const std::string& name) {
  Quickest best;
  for (const PlanWaits& plan : plans)
    for (const LawWaits& law : plan.laws) {
      if (plan.under_cured || law.law != name || !law.curve.shortest) continue;
      const double time = chair_time(plan, *law.curve.shortest);
      if (best.plan == nullptr || time < best.chair_time) best = {&plan, *law.curve.shortest, time};
    }
  return best;
}

std::string answer_text(const PlanWaits& plan, const LawWaits& law, const WallLimit& limit,
                        const WaitRange& range) {
  const WaitCurve& curve = law.curve;
  if (curve.points.empty() && curve.stopped) return "stopped before a wait was solved";
  const auto said = [&](double value) { return text_of(limit.quantity, value); };
  if (curve.points.empty()) return "no wait could be solved";
  if (!curve.shortest)
    return fmt::format("no wait tried up to {} meets it; nearest {}, after {}",
                       duration_text(curve.stopped ? curve.points.back().wait : range.longest),
                       said(curve.best().value), duration_text(curve.best().wait));
  const double value = curve.value_at(*curve.shortest);
  const std::string chair = duration_text(chair_time(plan, *curve.shortest));
  if (!curve.too_short && *curve.shortest == 0)
    return fmt::format("no wait needed: {}; chair time {}", said(value), chair);
  if (!curve.too_short)
    return fmt::format("wait {}: {}; chair time {}; shorter waits could not be solved",
                       duration_text(*curve.shortest), said(value), chair);
  return fmt::format("wait {}: {} ({} is too short: {}); chair time {}", duration_text(*curve.shortest),
                     said(value), duration_text(*curve.too_short), said(curve.value_at(*curve.too_short)),
                     chair);
}

/// Where the bond may let go, curves jump: that all longer waits meet the limit is worth saying too.
std::string longer_waits_text(const WaitCurve& curve, const WallLimit& limit) {
  if (!needs_debonding(limit.quantity) || !curve.shortest || !curve.lost_again.empty()) return "";
  const auto longer = std::ranges::count_if(
      curve.points, [&](const WaitPoint& point) { return point.wait > *curve.shortest; });
  if (longer == 0) return "";
  return longer == 1 ? "      the longer wait tried meets it as well\n"
                     : fmt::format("      the {} longer waits tried meet it as well\n", longer);
}

bool in_per_cent(WallQuantity quantity) {
  return quantity == WallQuantity::area_over_strength || quantity == WallQuantity::debonded_area;
}

/// Areas are counted by the six points of each facet, so they cannot move by less than one of them [-].
double area_step(const PlanWaits& plan) {
  return 1 / (6.0 * static_cast<double>(plan.facets));
}

/// What else must be known of a curve. Rises by a point or two of the mesh are chance.
std::string warnings_text(const PlanWaits& plan, const LawWaits& law, const WallLimit& limit) {
  const WaitCurve& curve = law.curve;
  std::string text;
  const auto said = [&](double value) { return text_of(limit.quantity, value); };
  if (curve.stopped && !curve.points.empty())
    text += fmt::format(
        "      stopped as asked after {} waits: longer ones, or ones closer to the limit, were not tried\n",
        curve.points.size());
  const double chance = in_per_cent(limit.quantity) ? 2.5 * area_step(plan) : 0;
  if (curve.rise && curve.rise->to.value - curve.rise->from.value > chance)
    text += fmt::format("      waiting longer does not always help: {} after {}, but {} after {}\n",
                        said(curve.rise->from.value), duration_text(curve.rise->from.wait),
                        said(curve.rise->to.value), duration_text(curve.rise->to.wait));
  if (law.higher_part)
    text += fmt::format(
        "      while the wall was filled in part it was {:.2f}, on the {:.2g} mm2 of {:.2g} mm2 filled "
        "then\n",
        law.higher_part->ratio, law.higher_part->placed, law.higher_part->area);
  if (law.energy_bound)
    text += fmt::format("      by energy: stored is then {} what parting the {} takes: {}\n",
                        energy_share_text(*law.energy_bound), wall_in_words({.wall = limit.wall}),
                        *law.energy_bound < 1 ? "it cannot come off whole at one go"
                                              : "--mode debonding tells whether it comes off");
  text += longer_waits_text(curve, limit);
  std::vector<std::string> lost;
  for (const double wait : curve.lost_again) lost.push_back(duration_text(wait));
  if (!lost.empty()) text += fmt::format("      the limit is missed again after {}\n", fmt::join(lost, ", "));
  if (!curve.failed.empty())
    text += fmt::format("      {} of {} waits could not be solved\n", curve.failed.size(),
                        curve.failed.size() + curve.points.size());
  return text;
}

std::string steps_text(const PlanWaits& plan) {
  return fmt::format("  the wall has {} facets on this mesh, so its areas move in steps of about {:.2g} %\n",
                     plan.facets, 100 * area_step(plan));
}

std::string plan_text(const PlanWaits& plan, const WallLimit& limit, const WaitRange& range) {
  std::string text = fmt::format("\n{}{}: {}\n", plan.name,
                                 plan.invented ? " (invented for demonstration)" : "", plan.title);
  text += fmt::format("  as written it waits {}; chair time {}; {}\n", duration_text(plan.written_wait),
                      duration_text(chair_time(plan, plan.written_wait)), effort_text(plan));
  if (in_per_cent(limit.quantity)) text += steps_text(plan);
  if (!plan.mirror.empty()) text += fmt::format("  Note: {}\n", plan.mirror);
  for (const std::string& warning : plan.cure_warnings) text += fmt::format("  Note: {}\n", warning);
  if (plan.under_cured)
    text +=
        "  UNDER-CURED: what follows is the load of paste that has not set through; never named shortest\n";
  std::size_t widest = 0;
  for (const LawWaits& law : plan.laws) widest = std::max(widest, law.law.size());
  for (const LawWaits& law : plan.laws)
    text += fmt::format("    {:<{}}  {}\n{}", law.law, widest, answer_text(plan, law, limit, range),
                        warnings_text(plan, law, limit));
  return text;
}

bool is_coarse(const std::vector<PlanWaits>& plans) {
  return std::ranges::any_of(plans, [](const PlanWaits& plan) { return !plan.coarse_mesh.empty(); });
}

/// What the answers are worth on these meshes, for the first lines.
std::string coarse_text(const std::vector<PlanWaits>& plans) {
  std::string text;
  for (const PlanWaits& plan : plans)
    if (!plan.coarse_mesh.empty()) text += fmt::format("{}: {}\n", plan.name, plan.coarse_mesh);
  if (!text.empty())
    text +=
        "So the waits below are a trial, not an answer, and no shortest plan is named; run without "
        "--fineness coarse for one\n\n";
  return text;
}

std::string quickest_text(const std::vector<PlanWaits>& plans) {
  std::string text = "\nShortest chair time of these plans\n";
  std::vector<std::string> left_out;
  for (const PlanWaits& plan : plans)
    if (plan.under_cured) left_out.push_back(plan.name);
  if (!left_out.empty()) text += fmt::format("  left out, under-cured: {}\n", fmt::join(left_out, ", "));
  if (left_out.size() == plans.size()) return text;
  for (const std::string& law : law_names(plans)) {
    const Quickest best = quickest(plans, law);
    text += best.plan == nullptr ? fmt::format("  {}: no {}plan meets the limit with any wait tried\n", law,
                                               left_out.empty() ? "" : "other ")
                                 : fmt::format("  {}: {}, {}, with a wait of {}\n", law, best.plan->name,
                                               duration_text(best.chair_time), duration_text(best.wait));
  }
  return text;
}

}  // namespace

ordered_json waits_json(const std::vector<PlanWaits>& plans, const WallLimit& limit, int before,
                        const WaitRange& range) {
  ordered_json json;
  json["limit"] = {{"wall", limit.wall},
                   {"substrate", limit.substrate},
                   {"quantity", name_of(limit.quantity)},
                   {"unit", unit_of(limit.quantity)},
                   {"below", limit.limit}};
  json["waits"] = {{"before_increment", before},
                   {"longest_s", range.longest},
                   {"within_s", range.within},
                   {"coarse_points", range.points}};
  json["plans"] = ordered_json::array();
  for (const PlanWaits& plan : plans) {
    ordered_json one{
        {"case", plan.name},
        {"title", plan.title},
        {"invented", plan.invented},
        {"mode", plan.mode},
        {"wait_as_written_s", plan.written_wait},
        {"chair_time_as_written_s", chair_time(plan, plan.written_wait)},
        {"laws", ordered_json::array()},
        {"facets", plan.facets},
        {"runs", plan.runs},
        {"failures", plan.failures},
        {"under_cured", plan.under_cured},
        {"cure_warnings", plan.cure_warnings},
        {"too_coarse", plan.coarse_mesh.empty() ? ordered_json(nullptr) : ordered_json(plan.coarse_mesh)}};
    for (const LawWaits& law : plan.laws) one["laws"].push_back(law_json(plan, law));
    json["plans"].push_back(one);
  }
  json["shortest_chair_time"] = ordered_json::array();
  for (const std::string& law : law_names(plans)) {
    const Quickest best = is_coarse(plans) ? Quickest{} : quickest(plans, law);
    ordered_json one{{"law", law}, {"case", nullptr}, {"wait_s", nullptr}, {"chair_time_s", nullptr}};
    if (best.plan != nullptr)
      one = {
          {"law", law}, {"case", best.plan->name}, {"wait_s", best.wait}, {"chair_time_s", best.chair_time}};
    json["shortest_chair_time"].push_back(one);
  }
  json["caution"] = caution_line;
  return json;
}

std::string waits_text(const std::vector<PlanWaits>& plans, const WallLimit& limit, int before,
                       const WaitRange& range) {
  std::string text = coarse_text(plans);
  text += fmt::format("How long to wait before increment {}\n{}, largest of the run, to stay below {}\n",
                      before, description(limit), text_of(limit.quantity, limit.limit));
  for (const PlanWaits& plan : plans) text += plan_text(plan, limit, range);
  std::set<std::string> composites, flowing;
  for (const PlanWaits& plan : plans) {
    composites.insert(plan.composites.begin(), plan.composites.end());
    flowing.insert(plan.flowing.begin(), plan.flowing.end());
  }
  if (plans.size() > 1 && !is_coarse(plans)) text += quickest_text(plans);
  return text +
         fmt::format(
             "\nLaws are those of strength; stiffness matures as the case has it. Waits were tried from 0 "
             "to {} and closer where the\nlimit is first met, to within {}: what happens between two "
             "waits that were tried is not known.\n",
             duration_text(range.longest), duration_text(range.within)) +
         limits_of_mode(plans.front().mode, composites, flowing);
}

std::string waits_csv(const std::vector<PlanWaits>& plans, const WallLimit& limit) {
  std::string name = name_of(limit.quantity);
  std::replace(name.begin(), name.end(), '-', '_');
  std::string table = fmt::format("case,law,wait_s,chair_time_s,{}{}\n", name,
                                  limit.quantity == WallQuantity::largest_gap ? "_um" : "");
  for (const PlanWaits& plan : plans)
    for (const LawWaits& law : plan.laws)
      for (const WaitPoint& point : law.curve.points)
        table += fmt::format("{},\"{}\",{:.9g},{:.9g},{:.9g}\n", plan.name, law.law, point.wait,
                             chair_time(plan, point.wait), point.value);
  return table;
}

Chart waits_chart(const PlanWaits& plan, const WallLimit& limit, int before) {
  const double scale = in_per_cent(limit.quantity) ? 100 : 1;
  const char* unit = in_per_cent(limit.quantity) ? "%" : unit_of(limit.quantity);
  Chart chart{
      plan.title,
      {fmt::format("{}, {} failed; {}. Strength matures by the law named, stiffness as the case has it; all "
                   "else as in {}.",
                   effort_text(plan), plan.failures.size(), plan.mode, plan.name)},
      {fmt::format("wait before increment {} [min]", before)},
      {fmt::format("{} [{}]", description(limit), unit)}};
  if (in_per_cent(limit.quantity))
    chart.notes.push_back(fmt::format("Areas move in steps of about {:.2g} %: {} facets.",
                                      100.0 / (6.0 * plan.facets), plan.facets));
  if (!plan.coarse_mesh.empty()) chart.notes.push_back(plan.coarse_mesh + ".");
  if (plan.invented) chart.notes.emplace_back("Invented for demonstration.");
  int colour = 0;
  for (const LawWaits& law : plan.laws) {
    ChartSeries series{law.law, colour++, ChartSeries::Shape::line_and_dots, {}};
    for (const WaitPoint& point : law.curve.points)
      series.points.push_back({point.wait / 60, scale * point.value,
                               fmt::format("{}, wait {}: {}", law.law, duration_text(point.wait),
                                           text_of(limit.quantity, point.value))});
    if (!series.points.empty()) chart.series.push_back(std::move(series));
  }
  if (chart.series.empty()) throw std::invalid_argument("no wait could be solved, so there is no curve");
  chart.rules.push_back({scale * limit.limit, false, "limit"});
  chart.y.low = 0;
  return chart;
}

}  // namespace setstress
