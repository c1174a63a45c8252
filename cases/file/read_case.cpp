#include "cases/file/read_case.hpp"

#include <fmt/format.h>

#include <charconv>

#include "cases/file/flat_case.hpp"
#include "cases/file/meshing_fault.hpp"
#include "cases/file/read_bites.hpp"
#include "cases/file/read_gap_fluid.hpp"
#include "cases/file/read_geometry.hpp"
#include "cases/file/read_materials.hpp"
#include "cases/file/read_plan.hpp"
#include "cases/file/read_supports.hpp"
#include "cases/reader/case_layers.hpp"

namespace setstress {

namespace {

DentinBands read_bands(const Section& s) {
  constexpr Quantity level{"mm", -20, 12};
  DentinBands bands;
  bands.coronal_from = s.number("coronal_from", level, bands.coronal_from);
  bands.middle_from = s.number("middle_from", level, bands.middle_from);
  bands.cervical_from = s.number("cervical_from", level, bands.cervical_from);
  if (!(bands.coronal_from > bands.middle_from && bands.middle_from > bands.cervical_from))
    s.fail("coronal_from",
           fmt::format("is {} [mm] above middle_from {} and cervical_from {}; the three levels must "
                       "fall in this order",
                       bands.coronal_from, bands.middle_from, bands.cervical_from));
  return bands;
}

MeshSize read_mesh_size(const Section& s) {
  constexpr Quantity size{"mm", 0.02, 500};
  MeshSize mesh;
  if (s.is_text("fineness"))
    mesh = fineness(s.choice("fineness", {"coarse", "standard", "fine"}));
  else
    mesh = s.has("fineness") ? fineness(s.number("fineness", size)) : fineness("standard");
  mesh.filling = s.number("filling", size, mesh.filling);
  mesh.far = s.number("far", size, mesh.far);
  mesh.tied_bond = s.flag("tied_bond", false);
  return mesh;
}

SolveOptions read_solver(const Section& s) {
  constexpr Quantity small{"-", 1e-5, 0.5};
  constexpr Quantity tolerance{"-", 1e-14, 1e-2};
  SolveOptions o;
  o.mode = s.choice("mode", {"intact", "debonding"}, "intact") == "intact" ? Mode::intact : Mode::debonding;
  o.linear_solver = s.choice("linear_solver", {"two-level", "direct"}, "two-level") == "direct"
                        ? LinearSolver::direct
                        : LinearSolver::two_level;
  o.largest_conversion_step = s.number("largest_conversion_step", small, o.largest_conversion_step);
  o.largest_time_step = s.time("largest_time_step", {"s", 1e-3, 1e6}, o.largest_time_step);
  o.viscous_time = s.time("viscous_time", {"s", 0, 1e3, true}, o.viscous_time);
  o.largest_softening_step = s.number("largest_softening_step", {"-", 1e-4, 1}, o.largest_softening_step);
  o.equilibrium_tolerance = s.number("equilibrium_tolerance", tolerance, o.equilibrium_tolerance);
  o.linear_tolerance = s.number("linear_tolerance", tolerance, o.linear_tolerance);
  o.most_linear_iterations = s.whole_number("most_linear_iterations", 1, 10000, o.most_linear_iterations);
  return o;
}

std::string read_title(const Section& about, const std::string& name) {
  std::string title = about.text("title", name);
  if (title.find_first_not_of(" \t\n") == std::string::npos)
    about.fail("title", "is empty; must be words, or be left out for the name of the file");
  return title;
}

/// [mm]
double read_gap_threshold(const Section& s) {
  return 1e-3 * s.number("gap_threshold", {"um", 0.001, 1000}, 1e3 * default_way_opening);
}

}  // namespace

Case read_case(const std::filesystem::path& file) {
  return read_case(case_layers(file), file.stem().string());
}

Case read_case(const CaseLayers& layers, const std::string& name) {
  Case read = read_case_numbers(layers, name);
  blaming_case(read, [&] { check(read.geometry); });
  return read;
}

Case read_case_numbers(const CaseLayers& layers, const std::string& name) {
  const Section root({layers.begin(), layers.end()});
  for (const char* of_layers : {"base", taken_back_key}) (void)root.has(of_layers);
  const Section about = root.section("case");
  Geometry geometry = read_geometry(root);
  const FillingExtent extent = extent_of_filling(geometry);
  const DentinBands bands = read_bands(root.section("dentin_bands"));
  Supports supports = read_supports(root, geometry);
  const std::string filling = root.section("materials").text("filling", "conventional-paste");
  Plan plan;
  try {
    plan = read_plan(root.section("plan"), extent, filling);
  } catch (const GeometryError& error) {
    throw CaseError(fmt::format("{}: {}", place_of(root, "plan.increment"), error.what()));
  }
  read_bites(root, plan);
  read_gap_fluid(root, plan);
  set_layout(geometry, plan.layout);
  CaseMaterials materials = read_materials(root, plan.materials);
  Case read{root,
            name,
            read_title(about, name),
            about.text("notes", ""),
            about.flag("invented", false),
            std::move(geometry),
            bands,
            std::move(materials),
            std::move(supports),
            std::move(plan),
            read_mesh_size(root.section("mesh")),
            root.section("mesh").flag("beyond_memory", false),
            read_solver(root.section("solver")),
            {},
            files_of(layers),
            read_gap_threshold(root.section("output"))};
  root.refuse_unknown_keys();
  blaming_case(read, [&] { check_dimensions(read.geometry); });
  read.alone = standing_alone(layers, read.title);
  return read;
}

MeshSize read_fineness(const std::string& text) {
  for (const char* name : {"coarse", "standard", "fine"})
    if (text == name) return fineness(text);
  double size = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), size);
  if (error != std::errc() || end != text.data() + text.size() || !(size >= 0.02 && size <= 500))
    throw CaseError(
        fmt::format("--fineness is \"{}\"; must be coarse, standard, fine or an element size along the bond "
                    "between 0.02 and 500 [mm]",
                    shortened(text)));
  return fineness(size);
}

std::string place_of(const Section& root, const std::string& dotted_key) {
  const std::size_t dot = dotted_key.find('.');
  if (dot == std::string::npos) return root.place(dotted_key);
  const std::string head = dotted_key.substr(0, dot);
  return root.is_table(head) ? place_of(root.section(head), dotted_key.substr(dot + 1)) : root.place(head);
}

}  // namespace setstress
