#include <fmt/core.h>

#include <algorithm>

#include "viz/pictures/body_sheet.hpp"
#include "viz/pictures/bond_state.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/scenes/cut_scene.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {
namespace {

using viz::Box;
using viz::Canvas;
using viz::CutScene;

/// Above the highest fiftieth of the cuts, which belongs to re-entrant edges; a round number [MPa].
double stress_top_for(const std::vector<CutScene>& scenes) {
  std::vector<std::array<double, 2>> values;
  for (const CutScene& scene : scenes)
    for (const CutTriangle& triangle : scene.cut.triangles)
      values.push_back(
          {scene.volume.of_cells.at("principal_stress")(static_cast<Eigen::Index>(triangle.tetrahedron), 0),
           1});
  return viz::round_up(std::max(weighted_percentile(std::move(values), 0.98), 1.0));
}

viz::CutLook look_for(const std::vector<CutScene>& scenes, const CutOptions& options) {
  std::vector<const CutScene*> all;
  std::vector<const VolumeCells*> volumes;
  for (const CutScene& scene : scenes) {
    all.push_back(&scene);
    volumes.push_back(&scene.volume);
  }
  viz::CutLook look{.extent = {},
                    .magnification = options.magnification.value_or(viz::magnification_for(volumes)),
                    .scale = viz::stress_scale(options.scale_top.value_or(stress_top_for(scenes))),
                    .pixel = 1};
  look.extent = viz::extent_of(all, look.magnification);
  return look;
}

std::vector<CutScene> scenes_of(const std::vector<Result>& results, const CutOptions& options) {
  std::vector<CutScene> scenes;
  for (const Result& result : results)
    scenes.push_back(viz::make_cut_scene(result, frame_for(result, options.time, options.moment),
                                         viz::CutField::principal_stress, options.axis, options.position));
  return scenes;
}

}  // namespace

void draw_cut(const std::vector<Result>& results, const std::vector<std::string>& names,
              const std::filesystem::path& path, const CutOptions& options) {
  viz::require_sensible(options.width, options.height);
  viz::require_names(results, names, "a cut");
  const std::vector<CutScene> scenes = scenes_of(results, options);
  const viz::CutLook look = look_for(scenes, options);
  viz::BodySheet sheet{
      .title = results.size() == 1 ? scenes[0].volume.title : "Stress in tooth and filling compared",
      .headings = {},
      .scale = look.scale,
      .beside_scale = {viz::name_of_factor(look.magnification), viz::name_of_thin_lines(look.magnification)},
      .width = options.width,
      .height = options.height,
      .background = options.background,
      .draw = [&](Canvas& canvas, const Box& box, std::size_t panel, double pixel) {
        viz::CutLook own = look;
        own.pixel = pixel;
        viz::draw_cut_scene(canvas, box, scenes[panel], own);
      }};
  for (std::size_t p = 0; p < scenes.size(); ++p) {
    const char* words = viz::words_for(results[p], frame_for(results[p], options.time, options.moment),
                                       options.time, options.moment);
    const std::string instant = fmt::format("{} {}", words, duration_text(scenes[p].volume.time));
    sheet.headings.push_back(
        viz::body_heading(names[p], instant, viz::name_of_cut(scenes[p].cut), results.size()));
  }
  viz::compose(sheet)->save(path);
}

}  // namespace setstress
