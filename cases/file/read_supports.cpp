#include "cases/file/read_supports.hpp"

#include <fmt/format.h>

#include <limits>

namespace setstress {

namespace {

constexpr Quantity displacement{"mm", -100, 100};
constexpr Quantity ramp_time{"s", 0, 30 * 86400.0};

/// "xz" -> {true, false, true}
std::array<bool, 3> read_components(const Section& hold) {
  const std::string text = hold.text("components", "xyz");
  std::array<bool, 3> held{};
  for (const char letter : text) {
    const std::size_t axis = std::string("xyz").find(letter);
    if (axis == std::string::npos || held[axis])
      hold.fail("components", fmt::format("is \"{}\"; must be some of the letters x, y, z, each once", text));
    held[axis] = true;
  }
  if (text.empty()) hold.fail("components", "is empty; must be some of the letters x, y, z");
  return held;
}

FixedSurface read_hold(const Section& hold) {
  FixedSurface fixed;
  fixed.surface = hold.text("surface");
  fixed.meeting = hold.text("meeting", "");
  if (fixed.meeting == fixed.surface)
    hold.fail("meeting", fmt::format("is \"{}\", the surface itself; must be another one, or be left out",
                                     fixed.meeting));
  fixed.held = read_components(hold);
  if (hold.is_array("value"))
    fixed.value = hold.vector("value", displacement);
  else
    fixed.value.setConstant(hold.number("value", displacement, 0.0));
  fixed.ramp = hold.time("ramp", ramp_time, 0.0);
  return fixed;
}

FreeStrain read_free_strain(const Section& s) {
  FreeStrain entry;
  entry.region = s.text("region");
  entry.uniform = s.number("uniform", {"-", -0.2, 0.2}, 0.0);
  if (s.has("gradient")) entry.gradient = s.vector("gradient", {"1/mm", -0.2, 0.2});
  entry.radial = s.number("radial", {"1/mm", -0.2, 0.2}, 0.0);
  entry.ramp = s.time("ramp", ramp_time, 0.0);
  return entry;
}

/// Specimens between two plates that have a thickness: springs on the back of the upper one stand for the
/// frame.
bool has_plates(const Geometry& geometry) {
  const auto* specimen = std::get_if<Specimen>(&geometry);
  if (specimen == nullptr) return false;
  if (const auto* disc = std::get_if<DiscBetweenPlates>(specimen)) return disc->plate_thickness > 0;
  const auto* joint = std::get_if<ButtJoint>(specimen);
  return joint != nullptr && joint->adherend_height > 0;
}

/// [frame]; adds the hold that guides the plate.
void read_frame(const Section& root, const Geometry& geometry, Supports& supports) {
  if (!root.has("frame")) return;
  const Section frame = root.section("frame");
  constexpr double no_limit = std::numeric_limits<double>::infinity();
  const double stiffness = frame.number("stiffness", {"N/um", -no_limit, no_limit});
  if (!(stiffness > 0))
    frame.fail("stiffness",
               fmt::format("is {:g} [N/um]; must be above 0: a frame that does not resist is a free "
                           "end (leave [frame] out), one that does not yield a [[hold]] of surface \"top\"",
                           stiffness));
  if (!has_plates(geometry))
    frame.fail(
        "stiffness",
        "is given, but there is nothing for the frame to hold; must go with specimen.kind \"butt-joint\" "
        "with adherend_height above 0, or \"disc-between-plates\" with plate_thickness above 0");
  for (const FixedSurface& hold : supports.fixed)
    if (hold.surface == "top")
      frame.fail("stiffness",
                 "is given, but a [[hold]] holds \"top\" as well; must be one of the two: the frame guides "
                 "\"top\" across the axis and lets it yield along it");
  supports.fixed.push_back({.surface = "top", .held = {true, true, false}});
  supports.frame = YieldingFrame{1e3 * stiffness};
}

void read_tooth_support(const Section& support, Supports& supports) {
  if (support.choice("kind", {"fixed", "elastic"}, "fixed") == "fixed") {
    supports.fixed.push_back({.surface = "base"});
    return;
  }
  // Ligament 0.25 mm thick with E 66.7 MPa, nu 0.49 (E: Int J Environ Res Public Health 2023;20:1889, table
  // 1; the thickness is an assumption): E/t and G/t.
  const double normal = support.number("ligament_normal", {"MPa/mm", 0, 1e6, true}, 266.8);
  const double tangential = support.number("ligament_tangential", {"MPa/mm", 0, 1e6, true}, 89.5);
  for (const char* surface : {"base", "root surface"})
    supports.foundations.push_back({surface, normal, tangential});
}

}  // namespace

Supports read_supports(const Section& root, const Geometry& geometry) {
  Supports supports;
  if (std::holds_alternative<ToothCase>(geometry)) read_tooth_support(root.section("support"), supports);
  for (const Section& hold : root.sections("hold")) supports.fixed.push_back(read_hold(hold));
  read_frame(root, geometry, supports);
  for (const Section& load : root.sections("pressure"))
    supports.pressures.push_back(
        {load.text("surface"), load.number("value", {"MPa", -1e6, 1e6}), load.time("ramp", ramp_time, 0.0)});
  for (const Section& entry : root.sections("free_strain"))
    supports.free_strains.push_back(read_free_strain(entry));
  if (supports.fixed.empty() && supports.foundations.empty())
    root.fail("hold", "is missing; a specimen needs [[hold]] entries that keep it from moving away");
  return supports;
}

}  // namespace setstress
