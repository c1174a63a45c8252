#include "cases/fit/measurements.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <span>

#include "cases/fit/measured_table.hpp"
#include "cases/fit/sought_constants.hpp"
#include "cases/library/composite_check.hpp"
#include "cases/library/energy_check.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"

namespace setstress {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double slender = 2;           // height over width from which a bar is taken as uniform
constexpr std::size_t fewest_data = 3;  // of a curve whose scatter is not known

const std::vector<std::string> bases{"published", "derived", "from memory", "assumption", "given"};

constexpr std::string_view name_letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_";

const std::vector<ColumnUnit> share_units{{"%", 0.01}, {"-", 1}}, rate_units{{"%/s", 0.01}, {"1/s", 1}},
    stress_units{{"MPa", 1}, {"GPa", 1000}}, time_units{{"s", 1}, {"min", 60}, {"h", 3600}, {"d", 86400}},
    length_units{{"mm", 1}, {"um", 1e-3}}, area_units{{"mm2", 1}};

CurveKind kind_of(const Section& section, bool bond) {
  constexpr std::array of_composites{CurveKind::conversion, CurveKind::shrinkage, CurveKind::shrinkage_rate,
                                     CurveKind::modulus,    CurveKind::stress,    CurveKind::transmission};
  constexpr std::array of_bonds{CurveKind::bond_strength};
  const std::span<const CurveKind> kinds = bond ? std::span<const CurveKind>(of_bonds) : of_composites;
  std::vector<std::string> names;
  for (const CurveKind kind : kinds) names.push_back(name_of(kind));
  const std::string name = section.choice("kind", names);
  return kinds[static_cast<std::size_t>(std::ranges::find(names, name) - names.begin())];
}

const std::vector<ColumnUnit>& units_of(CurveKind kind) {
  if (kind == CurveKind::modulus || kind == CurveKind::stress || kind == CurveKind::bond_strength)
    return stress_units;
  return kind == CurveKind::shrinkage_rate ? rate_units : share_units;
}

/// Where a table has what, and whether it may.
constexpr std::size_t error_column = 2, depth_column = 3, area_column = 3;

std::vector<ColumnWanted> columns_of(CurveKind kind) {
  const ColumnWanted value{name_of(kind), units_of(kind)}, error{"error", units_of(kind), true};
  if (kind == CurveKind::transmission) return {{"thickness", length_units}, value, error};
  if (kind == CurveKind::bond_strength)
    return {{"age", time_units}, value, error, {"area", area_units, true}};
  return {{"time", time_units}, value, error, {"depth", length_units, true}};
}

/// Of a bond: pieces of one area are told youngest first.
void require_piece(const MeasuredTable& table, std::size_t i) {
  const bool areas = table.has(area_column);
  if (table.at(i, 1) < 0) table.fail(i, 1, "must be 0 or more");
  if (areas && !(table.at(i, area_column) > 0)) table.fail(i, area_column, "must be above 0");
  const bool same_area = i > 0 && (!areas || table.at(i, area_column) == table.at(i - 1, area_column));
  if (same_area && table.at(i, 0) < table.at(i - 1, 0))
    table.fail(i, 0, fmt::format("is less than in row {}; ages of one area must not fall", table.row(i - 1)));
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
    if (kind == CurveKind::bond_strength) {
      require_piece(table, i);
      continue;
    }
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

/// What was lit, held or pulled.
void read_test(const Section& section, MeasuredCurve& curve) {
  if (curve.kind == CurveKind::bond_strength) {
    curve.sheared = section.choice("test", {"tensile", "shear"}, "tensile") == "shear";
  } else if (curve.kind != CurveKind::transmission) {
    curve.irradiance = section.number("irradiance", {"mW/cm2", 0, 10000, true});
    curve.lit = section.time("duration", {"s", 0, 3600, true});
  }
  read_frame(section, curve);
}

MeasuredTable read_table(const Section& section, const MeasuredCurve& curve) {
  const std::filesystem::path file = section.folder("file") / curve.name;
  if (const std::string why = why_no_file(file); !why.empty())
    section.fail("file",
                 fmt::format("names \"{}\"; {}: {}", shortened(curve.name), shortened(file.string()), why));
  MeasuredTable table(file, columns_of(curve.kind));
  const bool known_error = table.has(error_column);
  if (table.size() < (known_error ? 1 : fewest_data))
    throw CaseError(fmt::format("{}: holds {} value{}; must be {}", file.string(), table.size(),
                                table.size() == 1 ? "" : "s",
                                known_error ? "1 or more"
                                            : fmt::format("{} or more to fit anything, or have a column "
                                                          "\"error [{}]\"",
                                                          fewest_data, units_of(curve.kind).front().unit)));
  require_possible(table, curve.kind);
  return table;
}

/// How deep each datum lies, or how much bond it is of: of a column, or of the [[curve]].
void place_data(const Section& section, const MeasuredTable& table, MeasuredCurve& curve) {
  if (curve.kind == CurveKind::transmission) return;
  const bool bond = curve.kind == CurveKind::bond_strength,
             column = table.has(bond ? area_column : depth_column);
  if (column && curve.kind == CurveKind::stress)
    table.fail(0, depth_column, "a specimen has one stress; give depth in the [[curve]], no column");
  const double depth = bond ? 0 : section.number("depth", {"mm", 0, 20}, 0),
               area = bond && !column ? section.number("area", {"mm2", 0, infinity, true}) : 0;
  for (std::size_t i = 0; i < table.size(); ++i) {
    curve.data[i].depth = column && !bond ? table.at(i, depth_column) : depth;
    curve.data[i].area = column && bond ? table.at(i, area_column) : area;
  }
}

MeasuredCurve read_curve(const Section& section, bool bond) {
  MeasuredCurve curve{.kind = kind_of(section, bond),
                      .name = section.text("file"),
                      .data = {},
                      .basis = section.choice("basis", bases, ""),
                      .source = section.text("source", "")};
  read_test(section, curve);
  const MeasuredTable table = read_table(section, curve);
  for (std::size_t i = 0; i < table.size(); ++i)
    curve.data.push_back(
        {table.at(i, 0), 0, table.at(i, 1), table.has(error_column) ? table.at(i, error_column) : 0.0});
  place_data(section, table, curve);
  return curve;
}

/// Values of the new class that are known and stay as they are.
void read_given(const Section& section, const MaterialLibrary& library, Measurements& read) {
  if (read.start.bond) return;
  Sourced<Composite> material{.values = read.start.composite, .about = ""};
  library.override_values(material, section);
  for (const SoughtConstant& sought : read.constants)
    if (material.provenance.contains(sought.key))
      section.fail(sought.key, "is also a [[constant]] that is to be found; must be one or the other");
  read.start.composite = material.values;
  read.given = material.provenance;
}

/// The class's own law of maturity unless another one is given, which then begins as the library has it.
void read_law(const Section& root, const MaturityLaw& own, AgedBond& bond) {
  const std::vector<std::string> laws{chairside_law, ten_minute_law, mature_law};
  std::string name = own.name();
  std::ranges::replace(name, ' ', '-');
  const bool known = std::ranges::count(laws, name) > 0;
  bond.law = known ? root.choice("law", laws, name) : root.choice("law", laws);
  if (bond.law != name || name == mature_law) return;
  bond.at_once = own.points()[0].maturity;
  if (name == ten_minute_law) bond.ratio = own.points()[1].maturity;
}

/// A class of adhesive on the substrate that `root` names.
AgedBond read_bond(const Section& root, const Adhesive& adhesive) {
  std::vector<std::string> substrates;
  for (const Substrate one : all_substrates) substrates.push_back(substrate_key(one));
  const std::string name = root.choice("substrate", substrates);
  AgedBond bond{.adhesive = adhesive};
  bond.substrate =
      all_substrates[static_cast<std::size_t>(std::ranges::find(substrates, name) - substrates.begin())];
  read_law(root, adhesive.strength_maturity.at(bond.substrate), bond);
  bond.values().stick_area = root.number("stick_area", {"mm2", 0, infinity, true}, bond.values().stick_area);
  if (!(bond.values().weibull_modulus > 0))
    root.fail("from", fmt::format("is \"{}\", of whose bond to {} no weibull_modulus is known; strengths of "
                                  "other areas cannot rest on it",
                                  adhesive.name, name_of(bond.substrate)));
  return bond;
}

FittedMaterial read_start(const Section& root, const MaterialLibrary& library, const std::string& base) {
  if (const auto adhesive = library.adhesives().find(base); adhesive != library.adhesives().end())
    return {.bond = read_bond(root, adhesive->second.values)};
  if (root.has("substrate")) try {
      static_cast<void>(library.adhesive(base));
    } catch (const CaseError& error) {
      root.fail("from", error.what());
    }
  try {
    return {.composite = library.composite(base).values};
  } catch (const CaseError& error) {
    root.fail("from", error.what());
  }
}

}  // namespace

void check_material(const FittedMaterial& material, const Section& section) {
  if (material.bond)
    check_fracture_energies(material.bond->maturing(), section, {material.bond->substrate});
  else
    check_composite(material.composite, section);
}

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
    case CurveKind::bond_strength:
      return "bond-strength";
  }
  throw std::logic_error("a curve without a kind");
}

std::string unit_of(CurveKind kind) {
  if (kind == CurveKind::shrinkage_rate) return "1/s";
  return units_of(kind).front().unit == "MPa" ? "MPa" : "-";
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
  read.start = read_start(root, library, read.base);
  for (const Section& curve : root.sections("curve"))
    read.curves.push_back(read_curve(curve, read.start.bond.has_value()));
  read.constants = read_constants(root, read.start);
  read_given(root.section("values"), library, read);
  root.refuse_unknown_keys();
  if (read.curves.empty()) root.fail("curve", "is missing; give one [[curve]] or more");
  if (read.constants.empty()) root.fail("constant", "is missing; give one [[constant]] or more to be found");
  check_material(read.start, root);
  read.file = root;
  return read;
}

}  // namespace setstress
