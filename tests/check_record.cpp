#include "tests/check_record.hpp"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <cctype>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace setstress::testing {

namespace {

using nlohmann::ordered_json;

const char* name_of(Comparison::Bound bound) {
  switch (bound) {
    case Comparison::Bound::relative:
      return "relative";
    case Comparison::Bound::absolute:
      return "absolute";
    case Comparison::Bound::at_least:
      return "at least";
    case Comparison::Bound::at_most:
      return "at most";
  }
  throw std::logic_error("a bound without a name");
}

ordered_json json_of(const Comparison& c) {
  return {{"what", c.what},         {"unit", c.unit},     {"bound", name_of(c.bound)}, {"target", c.target},
          {"computed", c.computed}, {"error", c.error()}, {"tolerance", c.tolerance},  {"holds", c.holds()}};
}

ordered_json json_of(const Curve& curve) {
  ordered_json series = ordered_json::array();
  for (const Series& s : curve.series) {
    if (s.x.size() != s.y.size())
      throw std::invalid_argument("the curve " + s.label + " of a check has x and y of different length");
    series.push_back(
        {{"label", s.label}, {"points", s.style == Series::Style::points}, {"x", s.x}, {"y", s.y}});
  }
  return {{"x_label", curve.x_label},
          {"y_label", curve.y_label},
          {"logarithmic_x", curve.logarithmic_x},
          {"logarithmic_y", curve.logarithmic_y},
          {"series", series}};
}

ordered_json json_of(const Check& check) {
  ordered_json comparisons = ordered_json::array(), curves = ordered_json::array();
  for (const Comparison& c : check.comparisons) comparisons.push_back(json_of(c));
  for (const Curve& curve : check.curves) curves.push_back(json_of(curve));
  return {
      {"chapter", check.chapter},   {"title", check.title}, {"source", check.source},
      {"formula", check.formula},   {"mesh", check.mesh},   {"tolerance_because", check.tolerance_because},
      {"comparisons", comparisons}, {"curves", curves},     {"verdict", check.verdict}};
}

/// Letters and digits; all else becomes a dash.
std::string file_name(const Check& check) {
  std::string name = check.chapter + " " + check.title;
  for (char& letter : name)
    letter = std::isalnum(static_cast<unsigned char>(letter)) != 0
                 ? static_cast<char>(std::tolower(static_cast<unsigned char>(letter)))
                 : '-';
  return name.substr(0, 200);
}

void require_complete(const Check& check) {
  if (check.chapter.empty() || check.title.empty() || check.source.empty() || check.comparisons.empty())
    throw std::invalid_argument("a check needs chapter, title, source and at least one comparison: \"" +
                                check.chapter + "\", \"" + check.title + "\"");
}

}  // namespace

double Comparison::error() const {
  return bound == Bound::relative ? (computed - target) / std::abs(target) : computed - target;
}

bool Comparison::holds() const {
  switch (bound) {
    case Bound::relative:
    case Bound::absolute:
      return std::abs(error()) <= tolerance;
    case Bound::at_least:
      return computed >= target;
    case Bound::at_most:
      return computed <= target;
  }
  throw std::logic_error("a bound without a rule");
}

Comparison within_share(std::string what, std::string unit, double target, double computed, double share) {
  return {std::move(what), std::move(unit), target, computed, share, Comparison::Bound::relative};
}

Comparison within(std::string what, std::string unit, double target, double computed, double difference) {
  return {std::move(what), std::move(unit), target, computed, difference, Comparison::Bound::absolute};
}

Comparison at_least(std::string what, std::string unit, double limit, double computed) {
  return {std::move(what), std::move(unit), limit, computed, 0, Comparison::Bound::at_least};
}

Comparison at_most(std::string what, std::string unit, double limit, double computed) {
  return {std::move(what), std::move(unit), limit, computed, 0, Comparison::Bound::at_most};
}

void record(const Check& check) {
  require_complete(check);
  const ordered_json json = json_of(check);
  const char* folder = std::getenv("SETSTRESS_CHECKS");
  if (folder == nullptr || *folder == '\0') return;
  const std::filesystem::path file = std::filesystem::path(folder) / (file_name(check) + ".json");
  const std::filesystem::path beside = file.string() + "." + std::to_string(getpid()) + ".part";
  std::filesystem::create_directories(folder);
  std::ofstream stream(beside);
  stream << json.dump(1) << '\n';
  stream.close();
  if (!stream) throw std::runtime_error("the check cannot be written to " + beside.string());
  std::filesystem::rename(beside, file);
}

void verify(const Check& check) {
  record(check);
  for (const Comparison& c : check.comparisons) {
    INFO(check.title << ": " << c.what << ": computed " << c.computed << " [" << c.unit << "], "
                     << name_of(c.bound) << " " << c.target << ", error " << c.error() << ", tolerance "
                     << c.tolerance);
    CHECK(c.holds());
  }
}

}  // namespace setstress::testing
