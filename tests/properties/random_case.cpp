#include "tests/properties/random_case.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cstdlib>
#include <random>

namespace setstress::testing {

namespace {

class Draw {
 public:
  explicit Draw(std::uint64_t seed) : random_(seed) {}
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(random_() >> 11) * 0x1p-53;
  }
  bool with_chance(double share) { return between(0, 1) < share; }
  template <typename Value>
  Value one_of(const std::vector<Value>& values) {
    return values[static_cast<std::size_t>(random_() % values.size())];
  }
  std::string composite() {
    return one_of<std::string>({"conventional-paste", "flowable", "bulk-fill-paste", "bulk-fill-flowable"});
  }

 private:
  std::mt19937_64 random_;
};

RandomPreparation draw_preparation(Draw& draw, const RandomCase& tooth) {
  RandomPreparation p;
  p.kind = draw.one_of<std::string>({"occlusal-box", "proximal-box", "through-box", "cylinder"});
  p.side = draw.one_of<std::string>({"mesial", "distal"});
  p.depth = draw.between(0.9, 1.5);
  p.length = draw.between(1.0, 1.6);
  p.width = draw.between(1.2, 1.8);
  p.taper = draw.between(0, 12);
  const bool inside = p.kind == "occlusal-box" || p.kind == "cylinder";
  p.offset_x = inside ? draw.between(-0.3, 0.3) : 0.0;
  p.offset_y = draw.between(-0.15, 0.15) * (tooth.width - 2.5);
  return p;
}

/// Two increments at most, so that runs stay short; oblique ones may become a few more.
std::vector<RandomLayer> draw_layers(Draw& draw, double height, bool mirrors, bool is_tooth) {
  using Kind = RandomLayer::Kind;
  std::vector<Kind> kinds{Kind::rest, Kind::horizontal};
  if (is_tooth) kinds.push_back(Kind::plane);
  if (is_tooth && !mirrors) kinds.push_back(Kind::oblique);
  RandomLayer first{.kind = draw.one_of(kinds), .material = draw.composite()};
  first.thickness = draw.between(0.4, 0.6) * height;
  if (first.kind == Kind::oblique) first.thickness = draw.between(0.8, 1.0) * height;
  first.angle = draw.between(15, 40);
  first.tilt_x = draw.between(-0.25, 0.25);
  first.tilt_y = draw.between(-0.25, 0.25);
  first.wait = draw.with_chance(0.3) ? 0.0 : draw.between(0, 600);
  std::vector<RandomLayer> layers{first};
  if (first.kind == Kind::horizontal || first.kind == Kind::plane)
    layers.push_back({.wait = draw.between(0, 300), .material = draw.composite()});
  return layers;
}

/// One class after another, each once, with values of its own.
std::string draw_materials(Draw& draw, const std::vector<RandomLayer>& layers) {
  std::string text = fmt::format("[materials]\nfilling = \"{}\"\ntissue_attenuation = {:.6g}\n",
                                 layers.front().material, draw.between(0, 2));
  std::vector<std::string> done;
  for (const RandomLayer& layer : layers) {
    if (std::find(done.begin(), done.end(), layer.material) != done.end()) continue;
    done.push_back(layer.material);
    text += fmt::format(
        "[materials.override.{0}]\nvolumetric_shrinkage = {1:.6g}\n"
        "[materials.override.{0}.light]\nattenuation = {2:.6g}\n"
        "[materials.override.{0}.cure]\nrate = {3:.6g}\norder_growth = {4:.6g}\norder_depletion = {5:.6g}\n"
        "[materials.override.{0}.stiffness]\nyoungs_modulus = {6:.6g}\npoisson_ratio = {7:.6g}\n"
        "gel_point = {8:.6g}\nexponent = {9:.6g}\n",
        layer.material, draw.between(0.01, 0.06), draw.between(0.2, 1.5), draw.between(0.1, 0.6),
        draw.between(0.2, 0.8), draw.between(1, 2), draw.between(3000, 20000), draw.between(0.2, 0.42),
        draw.between(0, 0.4), draw.between(0.5, 3));
  }
  return text;
}

std::string draw_maturity(Draw& draw) {
  const double at_once = draw.between(0.3, 0.6);
  return draw.one_of<std::string>(
      {"law = \"mature-at-once\"\n", fmt::format("law = \"chairside-rule\"\nat_once = {:.6g}\n", at_once),
       fmt::format("law = \"ten-minute-pair\"\nratio = {:.6g}\nat_once = {:.6g}\n", draw.between(0.61, 0.96),
                   at_once)});
}

/// Weak enough that some of the bonds let go, tough enough that a film of twice the strength can soften too.
std::string draw_bond(Draw& draw, bool is_tooth) {
  std::string text = fmt::format("[bond]\nfilm_thickness = {:.6g}\n", draw.between(0.01, 0.05));
  text += "[bond.strength_maturity]\n" + draw_maturity(draw);
  text += "[bond.stiffness_maturity]\n";
  text += draw.with_chance(0.5) ? "law = \"mature-at-once\"\n"
                                : "law = \"table\"\npoints = [[0, 0.5], [60, 0.7], [300, 1.0]]\n";
  std::vector<std::string> substrates{"fixture"};
  if (is_tooth)
    substrates = {"enamel", "coronal-dentin", "middle-dentin", "cervical-dentin", "radicular-dentin"};
  for (const std::string& substrate : substrates)
    text += fmt::format(
        "[bond.strength.{}]\ntensile = {:.6g}\nshear = {:.6g}\nfracture_energy_opening = {:.6g}\n"
        "fracture_energy_sliding = {:.6g}\n",
        substrate, draw.between(5, 16), draw.between(5, 16), draw.between(0.015, 0.06),
        draw.between(0.015, 0.06));
  return text;
}

std::string draw_support(Draw& draw, bool is_tooth) {
  if (!is_tooth)
    return fmt::format(
        "[[hold]]\nsurface = \"bottom\"\n"
        "[[hold]]\nsurface = \"top\"\nvalue = [{:.6g}, 0.0, {:.6g}]\nramp = {:.6g}\n",
        draw.between(-1e-3, 1e-3), draw.between(-1e-3, 1e-3), draw.between(0, 60));
  std::string text = "[support]\nkind = \"fixed\"\n";
  if (draw.with_chance(0.5))
    text += fmt::format("[[pressure]]\nsurface = \"crown surface\"\nvalue = {:.6g}\nramp = {:.6g}\n",
                        draw.between(-3, 3), draw.between(0, 60));
  if (draw.with_chance(0.5))
    text += fmt::format("[[free_strain]]\nregion = \"dentin\"\nuniform = {:.6g}\nramp = {:.6g}\n",
                        draw.between(-3e-4, 3e-4), draw.between(0, 60));
  return text;
}

std::string layer_text(const RandomLayer& layer, const RandomCase& c) {
  using Kind = RandomLayer::Kind;
  std::string text = "[[plan.increment]]\n";
  if (layer.kind == Kind::horizontal)
    text += fmt::format("layer = \"horizontal\"\nthickness = {:.6g}\n", layer.thickness);
  if (layer.kind == Kind::oblique)
    text += fmt::format("layer = \"oblique\"\nthickness = {:.6g}\nangle = {:.6g}\n", layer.thickness,
                        layer.angle);
  if (layer.kind == Kind::plane) {
    const RandomPreparation& p = c.preparation.value();
    double x = p.offset_x;
    if (p.kind == "proximal-box") x = (p.side == "mesial" ? -0.5 : 0.5) * (c.length - p.length);
    text +=
        fmt::format("layer = \"plane\"\npoint = [{:.6g}, {:.6g}, {:.6g}]\nnormal = [{:.6g}, {:.6g}, 1.0]\n",
                    x, p.offset_y, c.crown - 0.5 * p.depth, layer.tilt_x, layer.tilt_y);
  }
  return text +
         fmt::format("material = \"{}\"\nwait = {:.6g}\nplacing_time = 15.0\n", layer.material, layer.wait);
}

std::string tooth_text(const RandomCase& c) {
  const RandomPreparation& p = c.preparation.value();
  std::string text = fmt::format(
      "[tooth]\nlength = {:.6g}\nwidth = {:.6g}\ncrown_height = {:.6g}\nroot_depth = {:.6g}\nedge_radius = "
      "0.0\n"
      "occlusal_enamel = {:.6g}\nside_enamel = {:.6g}\n[dentin_bands]\ncoronal_from = 1.2\nmiddle_from = "
      "0.6\n"
      "cervical_from = -0.5\n[preparation]\nkind = \"{}\"\ndepth = {:.6g}\ntaper = {:.6g}\nline_angle_radius "
      "= 0.0\n",
      c.length, c.width, c.crown, c.root, c.enamel, c.enamel, p.kind, p.depth, p.taper);
  if (p.kind == "cylinder")
    text += fmt::format("diameter = {:.6g}\n", p.width);
  else
    text += fmt::format("width = {:.6g}\n", p.width);
  if (p.kind == "occlusal-box" || p.kind == "proximal-box")
    text += fmt::format("length = {:.6g}\n", p.length);
  if (p.kind == "proximal-box") text += fmt::format("side = \"{}\"\n", p.side);
  if (p.offset_x != 0) text += fmt::format("offset_x = {:.6g}\n", p.offset_x);
  return text + fmt::format("offset_y = {:.6g}\n", p.offset_y);
}

}  // namespace

RandomCase random_case(std::uint64_t seed, Draws draws) {
  Draw draw(seed);
  RandomCase c;
  c.seed = seed;
  c.length = draw.between(3.6, 4.4);
  c.width = draw.between(3.6, 4.4);
  c.crown = draw.between(2.1, 2.6);
  c.root = draw.between(1.0, 1.3);
  c.enamel = draw.between(0.4, 0.6);
  c.joint_length = draw.between(1, 2);
  c.joint_width = draw.between(1, 2);
  c.joint_height = draw.between(0.4, 1.0);
  const bool is_tooth = draws == Draws::teeth_that_mirror || draw.with_chance(0.6);
  if (is_tooth) c.preparation = draw_preparation(draw, c);
  c.layers = draw_layers(draw, is_tooth ? c.preparation->depth : c.joint_height,
                         draws == Draws::teeth_that_mirror, is_tooth);
  c.materials = draw_materials(draw, c.layers);
  c.bond = draw_bond(draw, is_tooth);
  c.light = fmt::format("irradiance = {:.6g}\nduration = {:.6g}\ndelay = {:.6g}\n", draw.between(400, 2000),
                        draw.between(5, 40), draw.between(0, 10));
  c.lamp_from = draw.one_of<std::string>({"occlusal", "occlusal", "mesial", "buccal"});
  c.support = draw_support(draw, is_tooth);
  c.debonding = draw.with_chance(0.5);
  c.fineness = is_tooth ? 0.9 : 0.6;
  return c;
}

std::string RandomCase::text() const {
  std::string text = fmt::format("# seed {}\n", seed);
  text += preparation ? tooth_text(*this)
                      : fmt::format(
                            "[specimen]\nkind = \"butt-joint\"\nlength = {:.6g}\nwidth = {:.6g}\n"
                            "height = {:.6g}\nadherend_height = 0.6\n",
                            joint_length, joint_width, joint_height);
  text += support + materials + bond;
  text += "[plan]\nend = 60.0\n[[plan.light]]\n" + light + fmt::format("from = \"{}\"\n", lamp_from);
  for (const RandomLayer& layer : layers) text += layer_text(layer, *this);
  text += fmt::format("[mesh]\nfineness = {:.6g}\n", fineness);
  return text + fmt::format("[solver]\nmode = \"{}\"\n", debonding ? "debonding" : "intact");
}

std::vector<std::uint64_t> seeds(std::vector<std::uint64_t> usual) {
  const char* wanted = std::getenv("SETSTRESS_SEED");
  if (wanted == nullptr) return usual;
  return {std::stoull(wanted)};
}

std::string listed(const std::vector<std::uint64_t>& seeds) {
  return fmt::format("{}", fmt::join(seeds, ", "));
}

}  // namespace setstress::testing
