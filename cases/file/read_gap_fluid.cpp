#include "cases/file/read_gap_fluid.hpp"

namespace setstress {

namespace {

/// 1 uL/(min cm2 cmH2O) in mm/(s MPa).
constexpr double per_microlitre = 1.0 / (60.0 * 100.0 * 98.0665e-6);

/// With diluted serum, occlusal 0.036 and cervical 0.012 uL/(min cm2 cmH2O) (acemap.info/paper/29541479);
/// that middle dentin has their mean and root dentin what cervical has is an assumption. Nothing passes
/// enamel or a fixture.
std::array<double, all_substrates.size()> read_conductance(const Section& s) {
  std::array<double, all_substrates.size()> conductance{};
  const bool open = s.choice("dentin", {"open", "sealed"}, "open") == "open";
  const Section values = s.section("conductance");
  const std::tuple<Substrate, const char*, double> usual[] = {
      {Substrate::coronal_dentin, "coronal-dentin", 0.036},
      {Substrate::middle_dentin, "middle-dentin", 0.024},
      {Substrate::cervical_dentin, "cervical-dentin", 0.012},
      {Substrate::radicular_dentin, "radicular-dentin", 0.012}};
  for (const auto& [substrate, key, value] : usual) {
    const double given = values.number(key, {"uL/(min cm2 cmH2O)", 0, 100}, value);
    if (open) conductance[static_cast<std::size_t>(substrate)] = per_microlitre * given;
  }
  return conductance;
}

/// When gaps are filled and how far; false where they are to stay empty. `plan_end`: last light off [s].
bool read_filling(const Section& s, double plan_end, double first_bite, GapFluid& fluid) {
  fluid.from = fluid.air_leaves_until = first_bite;
  if (s.has("filled") && !s.is_text("filled")) {
    fluid.filled = s.number("filled", {"-", 0, 1, true});
    return true;
  }
  const std::string filled = s.choice("filled", {"full", "from-pulp", "empty"}, "full");
  if (filled == "from-pulp") {
    fluid.from = plan_end;
    fluid.filled = 0;
  }
  return filled != "empty";
}

}  // namespace

void read_gap_fluid(const Section& root, Plan& plan) {
  if (!root.has("gap_fluid")) return;
  const std::vector<Bite>& bites = plan.timeline.bites;
  if (bites.empty())
    root.fail(
        "gap_fluid",
        "is given without a [[bite]]; must go with one: what gaps hold is asked for as they are pressed");
  const Section s = root.section("gap_fluid");
  // A column of fluid holds together down to about minus one atmosphere (from memory).
  GapFluid fluid{.conductance = read_conductance(s), .lowest_pressure = -0.1};
  fluid.pulp_pressure = 1e-3 * s.number("pulp_pressure", {"kPa", 0, 20}, 1.5);
  if (read_filling(s, plan.chair_time, bites.front().start, fluid)) plan.gap_fluid = fluid;
}

}  // namespace setstress
