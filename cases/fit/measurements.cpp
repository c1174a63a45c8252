#include "cases/fit/measurements.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "cases/fit/measured_table.hpp"
#include "cases/library/composite_check.hpp"
#include "cases/library/material_fields.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"

namespace setstress {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double widest = 20;           // bounds that nobody gave: a twentieth to twenty times the start
constexpr double slender = 2;           // height over width from which a bar is taken as uniform
constexpr std::size_t fewest_data = 3;  // of a curve whose scatter is not known

const std::vector<std::string> bases{"published", "derived", "from memory", "assumption", "given"};

constexpr std::string_view name_letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_";

const std::vector<ColumnUnit> share_units{{"%", 0.01}, {"-", 1}}, rate_units{{"%/s", 0.01}, {"1/s", 1}},
    stress_units{{"MPa", 1}, {"GPa", 1000}}, time_units{{"s", 1}, {"min", 60}, {"h", 3600}, {"d", 86400}},
    length_units{{"mm", 1}, {"um", 1e-3}};

CurveKind kind_of(const Section& section) {
  const std::vector<std::string> names{"conversion", "shrinkage", "shrinkage-rate",
                                       "modulus",    "stress",    "transmission"};
  const std::string name = section.choice("kind", names);
  for (std::size_t k = 0; k < names.size(); ++k)
    if (names[k] == name) return static_cast<CurveKind>(k);
  section.fail("kind", "is not known");
}

const std::vector<ColumnUnit>& units_of(CurveKind kind) {
  if (kind == CurveKind::modulus || kind == CurveKind::stress) return stress_units;
  return kind == CurveKind::shrinkage_rate ? rate_units : share_units;
}

/// Where a table has what, and whether it may.
constexpr std::size_t error_column = 2, depth_column = 3;

std::vector<ColumnWanted> columns_of(CurveKind kind) {
  const ColumnWanted value{name_of(kind), units_of(kind)}, error{"error", units_of(kind), true};
  if (kind == CurveKind::transmission) return {{"thickness", length_units}, value, error};
  return {{"time", time_units}, value, error, {"depth", length_units, true}};
}

void require_possible(const MeasuredTable& table, CurveKind kind) {
  const bool share = kind == CurveKind::conversion || kind == CurveKind::shrinkage;
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (table.at(i, 0) < 0) table.fail(i, 0, "must be 0 or more");
    if (share && table.at(i, 1) > 1)
      table.fail(i, 1, "is more than all of it; must be at most 100 %, or 1 [-]");
    if (table.has(error_column) && !(table.at(i, error_column) > 0))
      table.fail(i, error_column, "must be above 0, the standard error of the value beside it");
    if (kind == CurveKind::transmission) continue;
    const bool deep = table.has(depth_column);
    if (deep && table.at(i, depth_column) < 0) table.fail(i, depth_column, "must be 0 or more");
    const bool same_depth = i > 0 && (!deep || table.at(i, depth_column) == table.at(i - 1, depth_column));
    if (same_depth && table.at(i, 0) < table.at(i - 1, 0))
      table.fail(i, 0,
                 fmt::format("is less than in row {}; times at one depth must not fall", table.row(i - 1)));
  }
}

void read_frame(const Section& section, MeasuredCurve& curve) {
  if (curve.kind != CurveKind::stress) return;
  curve.disc = section.choice("specimen", {"bar", "disc"}, "bar") == "disc";
  curve.height = section.number("height", {"mm", 0, infinity, true});
  curve.area = section.number("area", {"mm2", 0, infinity, true});
  curve.frame = 1000 * section.number("frame_stiffness", {"N/um", 0, infinity, true});
  if (!curve.disc && curve.height < slender * std::sqrt(curve.area))
    section.fail("height",
                 fmt::format("is {} [mm]; must be at least {} times the root of the area, {:.3g} mm: in "
                             "shorter specimens stress is not uniform; specimen = \"disc\" holds for those",
                             curve.height, slender, slender * std::sqrt(curve.area)));
}

MeasuredCurve read_curve(const Section& section) {
  MeasuredCurve curve{.kind = kind_of(section),
                      .name = section.text("file"),
                      .data = {},
                      .basis = section.choice("basis", bases, ""),
                      .source = section.text("source", "")};
  const std::filesystem::path file = section.folder("file") / curve.name;
  double depth = 0;
  if (curve.kind != CurveKind::transmission) {
    curve.irradiance = section.number("irradiance", {"mW/cm2", 0, 10000, true});
    curve.lit = section.time("duration", {"s", 0, 3600, true});
    depth = section.number("depth", {"mm", 0, 20}, 0);
  }
  read_frame(section, curve);
  if (const std::string why = why_no_file(file); !why.empty())
    section.fail("file",
                 fmt::format("names \"{}\"; {}: {}", shortened(curve.name), shortened(file.string()), why));
  const MeasuredTable table(file, columns_of(curve.kind));
  const bool known_error = table.has(error_column);
  if (table.size() < (known_error ? 1 : fewest_data))
    throw CaseError(fmt::format("{}: holds {} value{}; must be {}", file.string(), table.size(),
                                table.size() == 1 ? "" : "s",
                                known_error ? "1 or more"
                                            : fmt::format("{} or more to fit anything, or have a column "
                                                          "\"error [{}]\"",
                                                          fewest_data, units_of(curve.kind).front().unit)));
  require_possible(table, curve.kind);
  const bool own_depth = curve.kind != CurveKind::transmission && table.has(depth_column);
  if (own_depth && curve.kind == CurveKind::stress)
    table.fail(0, depth_column, "a specimen has one stress; give depth in the [[curve]], no column");
  for (std::size_t i = 0; i < table.size(); ++i)
    curve.data.push_back({table.at(i, 0), own_depth ? table.at(i, depth_column) : depth, table.at(i, 1),
                          known_error ? table.at(i, error_column) : 0.0});
  return curve;
}

SoughtConstant read_constant(const Section& section, Composite& start) {
  const std::string key = section.text("key");
  std::vector<std::string> keys;
  for (const Field<Composite>& field : composite_fields) {
    if (!field.unused.empty()) continue;
    keys.push_back(field.group.empty() ? std::string(field.key)
                                       : fmt::format("{}.{}", field.group, field.key));
    if (keys.back() != key) continue;
    const Quantity& allowed = field.allowed;
    double& value = field.in(start);
    value = section.number("start", allowed, value);
    if (!(value > 0))
      section.fail("start", "is missing: the class does not have this value; give one above 0");
    const double low = section.number("low", allowed, std::max(allowed.low, value / widest));
    const double high = section.number("high", allowed, std::min(allowed.high, value * widest));
    if (!(low < high))
      section.fail("high", fmt::format("is {} [{}]; must be above low, {}", high, allowed.unit, low));
    if (!(low < value && value < high))
      section.fail("start", fmt::format("is {} [{}]; must be between low, {}, and high, {}", value,
                                        allowed.unit, low, high));
    return {key,
            std::string(allowed.unit),
            value,
            low,
            high,
            field.in,
            section.place("key"),
            section.number("error", {allowed.unit, 0, infinity, true}, 0.0)};
  }
  const auto guess = did_you_mean(key, keys);
  section.fail("key",
               fmt::format("is \"{}\"{}; must be a value of a composite that results depend on, such as "
                           "cure.rate (see setstress list --json and materials/README.md)",
                           key, guess ? fmt::format(", is \"{}\" meant?", *guess) : ""));
}

/// Values of the new class that are known and stay as they are.
void read_given(const Section& section, const MaterialLibrary& library, Measurements& read) {
  Sourced<Composite> material{.values = read.start, .about = ""};
  library.override_values(material, section);
  for (const SoughtConstant& sought : read.constants)
    if (material.provenance.contains(sought.key))
      section.fail(sought.key, "is also a [[constant]] that is to be found; must be one or the other");
  read.start = material.values;
  read.given = material.provenance;
}

}  // namespace

std::string name_of(CurveKind kind) {
  switch (kind) {
    case CurveKind::conversion:
      return "conversion";
    case CurveKind::shrinkage:
      return "shrinkage";
    case CurveKind::shrinkage_rate:
      return "shrinkage-rate";
    case CurveKind::modulus:
      return "modulus";
    case CurveKind::stress:
      return "stress";
    case CurveKind::transmission:
      return "transmission";
  }
  throw std::logic_error("a curve without a kind");
}

std::string unit_of(CurveKind kind) {
  if (kind == CurveKind::shrinkage_rate) return "1/s";
  return kind == CurveKind::modulus || kind == CurveKind::stress ? "MPa" : "-";
}

Measurements read_measurements(const std::filesystem::path& file) {
  const Section root({parse_toml(file)});
  Measurements read;
  read.name = root.text("name");
  if (read.name.empty() || read.name.find_first_not_of(name_letters) != std::string::npos)
    root.fail("name", fmt::format("is \"{}\"; must be of letters, digits, - and _: it names the class",
                                  shortened(read.name)));
  read.title = root.text("title", read.name);
  if (read.title.find('\n') != std::string::npos) root.fail("title", "has several lines; must be one");
  read.about = root.text("about", "");
  read.invented = root.flag("invented", false);
  read.base = root.text("from");
  read.loss = root.choice("loss", {"huber", "squares"}, "huber") == "huber" ? Loss::huber : Loss::squares;
  const MaterialLibrary library = MaterialLibrary::load(material_library_file());
  try {
    read.start = library.composite(read.base).values;
  } catch (const CaseError& error) {
    root.fail("from", error.what());
  }
  for (const Section& curve : root.sections("curve")) read.curves.push_back(read_curve(curve));
  for (const Section& constant : root.sections("constant")) {
    read.constants.push_back(read_constant(constant, read.start));
    const std::string& key = read.constants.back().key;
    if (std::ranges::count(read.constants, key, &SoughtConstant::key) > 1)
      constant.fail("key", fmt::format("is \"{}\" twice; a constant is found once", key));
  }
  read_given(root.section("values"), library, read);
  root.refuse_unknown_keys();
  if (read.curves.empty()) root.fail("curve", "is missing; give one [[curve]] or more");
  if (read.constants.empty()) root.fail("constant", "is missing; give one [[constant]] or more to be found");
  check_composite(read.start, root);
  read.file = root;
  return read;
}

}  // namespace setstress
