#include "cases/study/design/study_plan.hpp"

#include <fmt/format.h>

#include <toml++/toml.h>
#include <algorithm>
#include <cmath>
#include <set>
#include <sstream>

#include "cases/file/meshing_fault.hpp"
#include "cases/file/read_case.hpp"
#include "cases/reader/toml_words.hpp"
#include "cases/study/design/mesh_key.hpp"
#include "cases/study/design/sampling.hpp"
#include "cases/study/file/case_overlay.hpp"
#include "mesh/build/build_mesh.hpp"

namespace setstress {

namespace {

using Values = std::vector<Value>;

/// The last factor changes fastest.
std::vector<StudyRow> grid(const Study& study) {
  std::vector<StudyRow> rows{{0, {}}};
  for (const Factor& factor : study.factors) {
    std::vector<StudyRow> longer;
    for (const StudyRow& row : rows)
      for (const Value& value : factor.values) {
        longer.push_back(row);
        longer.back().values.push_back(value);
      }
    rows = std::move(longer);
  }
  return rows;
}

std::vector<StudyRow> one_at_a_time(const Study& study) {
  StudyRow base{0, {}};
  for (const Factor& factor : study.factors) base.values.push_back(factor.nominal);
  std::vector<StudyRow> rows{base};
  for (std::size_t f = 0; f < study.factors.size(); ++f)
    for (const Value& value : study.factors[f].values) {
      if (value == base.values[f]) continue;
      rows.push_back(base);
      rows.back().values[f] = value;
    }
  return rows;
}

/// The value of a factor at a coordinate of the unit cube; all values of a list are alike likely.
Value value_at(const Factor& factor, double coordinate) {
  if (factor.distribution) return quantile(*factor.distribution, coordinate);
  const double slice = std::floor(coordinate * static_cast<double>(factor.values.size()));
  return factor.values[std::min(static_cast<std::size_t>(slice), factor.values.size() - 1)];
}

/// A row for each draw; where a factor is crossed with the draws, one for each of its values. The draws are
/// those of the study without that factor.
std::vector<StudyRow> sampled(const Study& study, const UnitPoints& points) {
  std::vector<StudyRow> rows;
  for (std::size_t p = 0; p < points.size(); ++p) {
    StudyRow row{0, {}, 0, static_cast<int>(p)};
    std::size_t coordinate = 0;
    for (std::size_t f = 0; f < study.factors.size(); ++f)
      row.values.push_back(f == study.crossed ? study.factors[f].values.front()
                                              : value_at(study.factors[f], points[p][coordinate++]));
    rows.push_back(row);
    if (!study.crossed) continue;
    const std::vector<Value>& crossed = study.factors[*study.crossed].values;
    for (std::size_t v = 1; v < crossed.size(); ++v) {
      row.values[*study.crossed] = crossed[v];
      row.block = static_cast<int>(v);
      rows.push_back(row);
    }
  }
  return rows;
}

/// A and B are the two halves of the coordinates of one Sobol sequence, as Saltelli et al. 2010, Comput Phys
/// Commun 181:259-270.
std::vector<StudyRow> sobol_indices(const Study& study) {
  const std::size_t count = study.factors.size();
  std::vector<StudyRow> rows;
  for (const auto& point : sobol_points(study.points, 2 * static_cast<int>(count)))
    for (std::size_t block = 0; block < count + 2; ++block) {
      rows.push_back({0, {}, static_cast<int>(block), static_cast<int>(rows.size() / (count + 2))});
      for (std::size_t f = 0; f < count; ++f) {
        const bool from_b = block == 1 || block == f + 2;
        rows.back().values.push_back(value_at(study.factors[f], point[from_b ? count + f : f]));
      }
    }
  return rows;
}

std::vector<StudyRow> all_rows(const Study& study) {
  const auto factors = static_cast<int>(study.factors.size()) - (study.crossed ? 1 : 0);  // that are drawn
  switch (study.design) {
    case Design::grid:
      return grid(study);
    case Design::one_at_a_time:
      return one_at_a_time(study);
    case Design::latin_hypercube:
      return sampled(study, latin_hypercube(study.points, factors, study.seed));
    case Design::sobol:
      return sampled(study, sobol_points(study.points, factors));
    case Design::random:
      return sampled(study, random_points(study.points, factors, study.seed));
    case Design::sobol_indices:
      return sobol_indices(study);
  }
  throw std::logic_error("a design without rows");
}

/// The alternatives that a row has chosen.
std::vector<const Alternative*> chosen_in(const Study& study, const StudyRow& row) {
  std::vector<const Alternative*> chosen;
  for (std::size_t f = 0; f < study.factors.size(); ++f)
    for (const Alternative& alternative : study.factors[f].alternatives)
      if (Value(alternative.name) == row.values[f]) chosen.push_back(&alternative);
  return chosen;
}

/// From the bottom: the base, files of alternatives, [set], which holds for all runs, what alternatives write
/// out, keys of factors.
toml::table case_table(const Study& study, const StudyRow& row) {
  toml::table table = study.base;
  const std::vector<const Alternative*> chosen = chosen_in(study, row);
  for (const Alternative* alternative : chosen)
    if (alternative->file) lay_over(table, *alternative->file);
  if (std::ranges::any_of(chosen,
                          [](const Alternative* alternative) { return alternative->file != nullptr; }))
    lay_over(table, study.set);
  for (const Alternative* alternative : chosen)
    if (alternative->set) lay_over(table, *alternative->set);
  for (std::size_t f = 0; f < study.factors.size(); ++f)
    for (const std::string& key : study.factors[f].keys) {
      try {
        set_value(table, key, row.values[f]);
      } catch (const std::invalid_argument& error) {
        throw CaseError(fmt::format("{}: factor {}, key \"{}\": {}", study.factors[f].place,
                                    study.factors[f].name, key, error.what()));
      }
    }
  make_includes_absolute(table, study.file.parent_path());
  std::string notes;
  for (std::size_t f = 0; f < study.factors.size(); ++f)
    notes += fmt::format("{}{} = {}", f == 0 ? "" : ", ", study.factors[f].name, text_of(row.values[f]));
  toml::table about{{"title", fmt::format("{}, row {}", study.title, row.number)}, {"notes", notes}};
  if (study.invented) about.insert("invented", true);
  lay_over(table, toml::table{{"case", std::move(about)}});
  return table;
}

/// Where [set] or an alternative of the row gives the key that a message begins with, in the study file as it
/// is now; empty where none does.
std::string place_in_study(const Study& study, const StudyRow& row, std::string_view message) {
  const std::string key(message.substr(0, message.find(' ')));
  std::vector<std::string> places;
  for (std::size_t f = 0; f < study.factors.size(); ++f)
    for (std::size_t a = 0; a < study.factors[f].alternatives.size(); ++a)
      if (Value(study.factors[f].alternatives[a].name) == row.values[f])
        places.push_back(fmt::format("factor[{}].alternative[{}].set.{}", f, a, key));
  places.push_back("set." + key);
  try {
    const auto file = parse_toml(study.file);
    for (const std::string& place : places)
      if (const auto found = file->at_path(place)) return place_of(*found.node());
  } catch (const CaseError&) {  // it cannot be read any more
  }
  return "";
}

/// A refusal of a row, whose case `name` is in no file, at the place of the study that it comes from.
std::string with_place(const Study& study, const StudyRow& row, const std::string& name,
                       std::string message) {
  if (message.starts_with(name)) {  // NAME.toml:12: key ...
    const std::size_t end = message.find(": ");
    message = end == std::string::npos ? message : message.substr(end + 2);
  }
  for (std::size_t f = 0; f < study.factors.size(); ++f)
    for (const std::string& key : study.factors[f].keys)
      if (message.find(key) != std::string::npos)
        return fmt::format("{}: factor {} = {}: {}", study.factors[f].place, study.factors[f].name,
                           text_of(row.values[f]), message);
  const std::string place = place_in_study(study, row, message);
  return fmt::format(
      "{}: {}", place.empty() ? fmt::format("{}, row {}", study.file.string(), row.number) : place, message);
}

bool is_intact(const toml::table& table) {
  return table["solver"]["mode"].value_or(std::string("intact")) == "intact";
}

}  // namespace

StudyPlan plan_of(const Study& study) {
  StudyPlan plan;
  plan.dropped.assign(study.drops.size(), 0);
  plan.held = plan.dropped;
  int position = 0;
  for (StudyRow& row : all_rows(study)) {
    if (study.design != Design::sobol_indices && !study.crossed) row.point = position++;
    for (std::size_t d = 0; d < study.drops.size(); ++d) plan.held[d] += holds(study.drops[d], row.values);
    const auto rule = std::find_if(study.drops.begin(), study.drops.end(),
                                   [&](const Constraint& drop) { return holds(drop, row.values); });
    if (rule != study.drops.end()) {
      ++plan.dropped[static_cast<std::size_t>(rule - study.drops.begin())];
      continue;
    }
    row.number = static_cast<int>(plan.rows.size()) + 1;
    plan.rows.push_back(std::move(row));
  }
  return plan;
}

std::string case_text(const Study& study, const StudyRow& row) {
  return text_of(case_table(study, row));
}

std::string mesh_hint(const Study& study, const StudyRow& row) {
  toml::table table = case_table(study, row);
  if (toml::array* increments = table["plan"]["increment"].as_array())
    for (toml::node& increment : *increments)
      if (toml::table* entry = increment.as_table())
        for (const char* later : {"wait", "placing_time", "placed_at", "material", "light"})
          entry->erase(later);
  std::ostringstream hint;
  for (const char* part : {"tooth", "preparation", "specimen", "mesh"}) hint << table[part] << '\n';
  hint << table["plan"]["increment"];
  return hint.str();
}

bool holds_throughout(const Study& study, const StudyRow& row) {
  const toml::table table = case_table(study, row);
  return is_intact(table) && !table.contains("bite");
}

std::string solution_hint(const Study& study, const StudyRow& row) {
  toml::table table = case_table(study, row);
  if (!is_intact(table)) return fmt::format("row {}", row.number);
  table.erase("case");
  toml::table* bond = table["bond"].as_table();
  if (bond != nullptr)
    for (const char* of_strength : {"strength", "strength_maturity"}) bond->erase(of_strength);
  toml::table* first = table["plan"]["increment"][0].as_table();
  const bool is_one = first != nullptr && (*first)["layer"].value_or(std::string()) != "oblique" &&
                      !(*first)["repeat"].value_or(false);  // else it waits before each of several
  if (bond == nullptr || !bond->contains("stiffness_maturity")) {
    if (is_one) first->erase("wait");
    if (toml::table* plan = table["plan"].as_table()) plan->erase("wait");
  }
  return text_of(table);
}

namespace {

/// Refuses what cannot be built. Rows differ in values more often than in shape, and trying one takes longer
/// than all else that is read: shapes that passed are remembered.
void require_possible_shape(const Case& input) {
  thread_local std::set<std::string> possible;
  const std::string key = mesh_key(input);
  if (possible.contains(key)) return;
  blaming_case(input, [&] { check(input.geometry); });
  possible.insert(key);
}

}  // namespace

Case case_of(const Study& study, const StudyRow& row) {
  const std::string text = case_text(study, row);
  const std::string name = fmt::format("{}-row-{}", study.name, row.number);
  try {
    Case input = read_case_numbers({parse_toml(text, name + ".toml")}, name);
    require_possible_shape(input);
    return input;
  } catch (const CaseError& error) {
    throw CaseError(with_place(study, row, name, error.what()));
  }
}

}  // namespace setstress
