#include "cases/fluid/gap_fluid.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "solver/fluid/gap_pockets.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// Mean speed through the open dentin of a gap [um/s], positive towards the pulp.
double speed_of(const GapPocket& pocket) {
  return pocket.drained > 0 ? 1e3 * pocket.outflow / pocket.drained : 0.0;
}

/// One gap over one bite.
struct Course {
  double from;                                      ///< when the bite began, or the gap first held fluid [s]
  GapPocket first;                                  ///< then
  double highest = 0, lowest = 0;                   ///< pressure [MPa]
  double to_pulp = 0, outward = 0;                  ///< through dentin, each way [mm3]
  double fastest_to_pulp = 0, fastest_outward = 0;  ///< [um/s]
  std::optional<double> opened = {};                ///< to the margin, after it held fluid [s]
};

/// Time between a bite's start and the next one's, or the end of the run.
struct Span {
  double start, end;
};
Span span_of(const Timeline& timeline, std::size_t bite) {
  return {timeline.bites[bite].start,
          bite + 1 < timeline.bites.size() ? timeline.bites[bite + 1].start : timeline.end};
}

void add(const GapPocket& pocket, double duration, Course& course) {
  course.highest = std::max(course.highest, pocket.pressure);
  course.lowest = std::min(course.lowest, pocket.pressure);
  if (!(duration > 0)) return;
  const double speed = speed_of(pocket);
  (pocket.outflow > 0 ? course.to_pulp : course.outward) += duration * std::abs(pocket.outflow);
  course.fastest_to_pulp = std::max(course.fastest_to_pulp, speed);
  course.fastest_outward = std::max(course.fastest_outward, -speed);
}

std::map<int, Course> courses_in(const Span& span, const std::vector<GapInstant>& instants) {
  std::map<int, Course> courses;
  for (std::size_t i = 0; i < instants.size(); ++i) {
    const GapInstant& now = instants[i];
    if (now.time < span.start || now.time > span.end) continue;
    // The instant at which the bite begins ends a step before it.
    const double duration = now.time > span.start && i > 0 ? now.time - instants[i - 1].time : 0.0;
    for (const auto& [number, pocket] : now.pockets) {
      const auto [course, is_new] = courses.try_emplace(number, Course{.from = now.time, .first = pocket});
      if (is_new) course->second.highest = course->second.lowest = pocket.pressure;
      add(pocket, duration, course->second);
    }
    for (const auto& [number, gap] : now.gaps)
      if (const auto found = courses.find(number); found != courses.end() && gap.open_to_margin)
        if (!found->second.opened) found->second.opened = now.time;
  }
  return courses;
}

ordered_json course_json(int number, const Course& course, double pulp_pressure) {
  const GapPocket& first = course.first;
  const double filling = first.conductance * pulp_pressure;  // [mm3/s]
  ordered_json json{{"gap", number},
                    {"from_s", course.from},
                    {"area_mm2", first.area},
                    {"open_dentin_mm2", first.drained},
                    {"room_before_nL", 1e3 * first.gap_volume},
                    {"fluid_before_nL", 1e3 * first.fluid}};
  json["share_filled_before"] = first.gap_volume > 0
                                    ? ordered_json(std::min(1.0, first.fluid / first.gap_volume))
                                    : ordered_json(nullptr);
  json["fills_from_pulp_in_s"] =
      filling > 0 ? ordered_json(std::max(0.0, first.gap_volume) / filling) : ordered_json(nullptr);
  json["highest_pressure_kPa"] = 1e3 * course.highest;
  json["lowest_pressure_kPa"] = 1e3 * course.lowest;
  json["to_pulp_nL"] = 1e3 * course.to_pulp;
  json["outward_nL"] = 1e3 * course.outward;
  json["fastest_to_pulp_um_s"] = course.fastest_to_pulp;
  json["fastest_outward_um_s"] = course.fastest_outward;
  json["opened_to_margin_s"] = course.opened ? ordered_json(*course.opened) : ordered_json(nullptr);
  return json;
}

/// Empty where the run stopped before the end of the bite.
ordered_json bite_json(const Model& model, std::size_t bite, const std::vector<GapInstant>& instants) {
  const Span span = span_of(model.timeline, bite);
  const auto began =
      std::ranges::find_if(instants, [&](const GapInstant& i) { return i.time >= span.start; });
  constexpr double same_instant = 1e-9;  // [s]
  if (began == instants.end() || instants.back().time < model.timeline.bites[bite].end() - same_instant)
    return nullptr;
  const auto open =
      std::ranges::count_if(began->gaps, [](const NumberedGap& g) { return g.gap.open_to_margin; });
  ordered_json gaps = ordered_json::array();
  for (const auto& [number, course] : courses_in(span, instants))
    gaps.push_back(course_json(number, course, model.gap_fluid->pulp_pressure));
  return {
      {"bite", bite + 1},
      {"force_N", model.timeline.bites[bite].force},
      {"gaps_open_before", open},
      {"gaps_too_small_before", began->gaps.size() - began->pockets.size() - static_cast<std::size_t>(open)},
      {"gaps", gaps}};
}

std::string left_out() {
  return fmt::format(
      "flow inside a gap, which has one pressure all over; how air gives way; uptake of water; bacteria; "
      "fatigue. Gaps of less than {:g} % of the bond that has let go, and those open to the margin, hold no "
      "pressure",
      100 * smallest_pocket);
}

}  // namespace

std::string fluid_table(const std::vector<GapInstant>& instants) {
  std::string table =
      "time_s,event,gap,gap_area_mm2,open_dentin_mm2,pressure_kPa,room_nL,fluid_nL,flow_to_pulp_nL_s,"
      "flow_to_pulp_um_s\n";
  for (const GapInstant& instant : instants)
    for (const auto& [number, p] : instant.pockets) {
      table += fmt::format("{:.9g},\"{}\",{}", instant.time, instant.event, number);
      for (const double value : {p.area, p.drained, 1e3 * p.pressure, 1e3 * p.gap_volume, 1e3 * p.fluid,
                                 1e3 * p.outflow, speed_of(p)})
        table += fmt::format(",{:.9g}", value);
      table += '\n';
    }
  return table;
}

ordered_json fluid_json(const Model& model, const std::vector<GapInstant>& instants) {
  const GapFluid& law = *model.gap_fluid;
  ordered_json bites = ordered_json::array();
  for (std::size_t b = 0; b < model.timeline.bites.size(); ++b)
    if (ordered_json bite = bite_json(model, b, instants); !bite.is_null()) bites.push_back(std::move(bite));
  return {{"filled_from_s", law.from},
          {"filled_share", law.filled},
          {"pulp_pressure_kPa", 1e3 * law.pulp_pressure},
          {"pain_outward_um_s", pain_outward},
          {"pain_to_pulp_um_s", pain_to_pulp},
          {"pain_source",
           "thresholds of pain in a published test, mean flow in open etched dentin of 16 premolars "
           "(Charoenlarp 2007, Arch Oral Biol): to hold numbers beside, no verdict on a person"},
          {"left_out", left_out()},
          {"bites", bites}};
}

}  // namespace setstress
