#include "viz/animation.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <stdexcept>

#include "viz/bond_sheet.hpp"
#include "viz/ffmpeg.hpp"
#include "viz/write_file.hpp"

namespace setstress {
namespace {

/// One picture of the film.
struct Scene {
  double time;    ///< [s] of the case
  double jumped;  ///< [s] the clock has jumped to get here; 0 for not
  int frames;     ///< how many frames it stays
};

void require_sensible(const std::vector<Result>& results, const std::vector<std::string>& names,
                      const AnimationOptions& options) {
  if (results.empty() || results.size() != names.size())
    throw std::invalid_argument(
        fmt::format("an animation needs a name for each result; there are {} results and {} names",
                    results.size(), names.size()));
  if (options.width < 400 || options.width > 4000)
    throw std::invalid_argument(
        fmt::format("animation width is {} pixels; must be from 400 to 4000", options.width));
  if (options.frames_per_second < 1 || options.frames_per_second > 60)
    throw std::invalid_argument(
        fmt::format("an animation of {} frames per second; must be from 1 to 60", options.frames_per_second));
  if (!(options.jump_from > 0 && options.pause_at_jump > 0 && options.film_per_second > 0))
    throw std::invalid_argument(
        fmt::format("the times of an animation are {} s, {} s and {} s; each must be above 0",
                    options.jump_from, options.pause_at_jump, options.film_per_second));
  if (options.background == Background::transparent)
    throw std::invalid_argument("an animation has a white or a dark background; films know no transparency");
}

std::vector<Scene> plan_scenes(const std::vector<Result>& results, const AnimationOptions& options) {
  std::set<double> times;
  for (const Result& result : results)
    for (const ResultFrame& frame : result.frames)
      if (!frame.bond.empty()) times.insert(frame.time);
  std::vector<Scene> scenes;
  for (const double time : times) {
    const double since = scenes.empty() ? 0 : time - scenes.back().time;
    const bool jumps = since > options.jump_from;
    const double film = jumps || scenes.empty() ? options.pause_at_jump : options.film_per_second * since;
    scenes.push_back(
        {.time = time,
         .jumped = jumps ? since : 0,
         .frames = std::max(1, static_cast<int>(std::lround(film * options.frames_per_second)))});
  }
  if (scenes.empty()) throw std::runtime_error("the results hold no files of the bond to animate");
  scenes.back().frames += 2 * options.frames_per_second;  // let the end be read
  return scenes;
}

/// The last instant up to `time`; the first where all are later.
std::size_t frame_up_to(const Result& result, double time) {
  std::size_t last = 0;
  for (std::size_t f = 0; f < result.frames.size(); ++f)
    if (!result.frames[f].bond.empty() && result.frames[f].time <= time) last = f;
  return last;
}

std::vector<viz::Panel> panels_at(const std::vector<Result>& results, double time) {
  std::vector<viz::Panel> panels;
  for (const Result& result : results)
    panels.push_back(viz::make_panel(result, frame_up_to(result, time), "Bond at"));
  return panels;
}

/// One scale for the whole film: the highest that any scene asks for.
viz::CommonView common_to(const std::vector<Result>& results, const std::vector<Scene>& scenes) {
  viz::CommonView common = viz::common_view(panels_at(results, scenes.back().time));
  for (const Scene& scene : scenes)
    common.scale_top = std::max(common.scale_top, viz::common_view(panels_at(results, scene.time)).scale_top);
  return common;
}

viz::Clock clock_of(const std::vector<Scene>& scenes, std::size_t now) {
  viz::Clock clock{.time = spoken_time(scenes[now].time), .jump = {}, .share = 0, .jumps_at = {}};
  if (scenes[now].jumped > 0) clock.jump = fmt::format("clock jumps {}", spoken_time(scenes[now].jumped));
  double total = 0;
  for (const Scene& scene : scenes) total += scene.frames;
  double passed = 0;
  for (std::size_t s = 0; s < scenes.size(); ++s) {
    if (s == now) clock.share = passed / total;
    if (scenes[s].jumped > 0) clock.jumps_at.push_back(passed / total);
    passed += scenes[s].frames;
  }
  return clock;
}

}  // namespace

void animate(const std::vector<Result>& results, const std::vector<std::string>& names,
             const std::filesystem::path& path, const AnimationOptions& options) {
  require_sensible(results, names, options);
  const Display display;  // one for all scenes
  const std::vector<Scene> scenes = plan_scenes(results, options);
  const viz::CommonView common = common_to(results, scenes);
  PictureOptions picture{.width = options.width / 2 * 2,
                         .height = {},
                         .background = options.background,
                         .time = {},
                         .scale_top = options.scale_top};
  std::optional<viz::VideoWriter> film;
  for (std::size_t s = 0; s < scenes.size(); ++s) {
    viz::Sheet sheet{.title = {},
                     .column_names = {},
                     .panels = panels_at(results, scenes[s].time),
                     .columns = results.size(),
                     .clock = clock_of(scenes, s)};
    sheet.title = results.size() == 1 ? sheet.panels[0].bond.title : "Load on the bond compared";
    if (results.size() > 1) sheet.column_names = names;
    if (!picture.height) picture.height = viz::natural_height(sheet, picture.width) / 2 * 2;
    const auto canvas = viz::compose(sheet, common, picture);
    if (!film) film.emplace(path, canvas->width(), canvas->height(), options.frames_per_second);
    film->add(canvas->pixels(), scenes[s].frames);
  }
  film->finish();
}

}  // namespace setstress
