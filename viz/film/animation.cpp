#include "viz/film/animation.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <stdexcept>

#include "viz/files/write_file.hpp"
#include "viz/film/ffmpeg.hpp"
#include "viz/pictures/bond_sheet.hpp"
#include "viz/scenes/cut_scene.hpp"
#include "viz/words/spoken_time.hpp"

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
  viz::require_names(results, names, "an animation");
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

struct Happening {
  double time;        ///< [s]
  std::string event;  ///< "light on", ...
};
std::vector<Happening> happenings_of(const Result& result) {
  std::vector<Happening> all;
  for (const ResultFrame& frame : result.frames)
    if (!frame.bond.empty())
      if (const std::string event = read_bond(frame.bond, {}).event; !event.empty())
        all.push_back({frame.time, event});
  return all;
}

/// A bite is over in a second: its instants stay long enough to be looked at.
std::set<double> bitten_at(const std::vector<Result>& results) {
  std::set<double> times;
  for (const Result& result : results)
    for (const Happening& each : happenings_of(result))
      if (each.event.find("bite ") != std::string::npos) times.insert(each.time);
  return times;
}

std::vector<Scene> plan_scenes(const std::vector<Result>& results, const AnimationOptions& options) {
  const std::set<double> bitten = bitten_at(results);
  std::set<double> times;
  for (const Result& result : results)
    for (const ResultFrame& frame : result.frames)
      if (!frame.bond.empty()) times.insert(frame.time);
  std::vector<Scene> scenes;
  for (const double time : times) {
    const double since = scenes.empty() ? 0 : time - scenes.back().time;
    const bool jumps = since > options.jump_from;
    const double film = jumps || scenes.empty() ? options.pause_at_jump
                        : bitten.contains(time) ? options.pause_at_jump / 2
                                                : options.film_per_second * since;
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

/// Whether the lamp is on after what has happened up to `time`.
bool lamp_on(const std::vector<Happening>& happenings, double time) {
  bool on = false;
  for (const Happening& each : happenings)
    if (each.time <= time && each.event.find("light o") != std::string::npos)
      on = each.event.rfind("light o") == each.event.rfind("light on");
  return on;
}

/// Share of the film that has passed when a scene begins; 1 beyond the last.
std::vector<double> starts_of(const std::vector<Scene>& scenes) {
  double total = 0;
  std::vector<double> starts{0};
  for (const Scene& scene : scenes) starts.push_back(total += scene.frames);
  for (double& start : starts) start /= total;
  return starts;
}

viz::ClockRow clock_row(const std::string& name, const std::vector<Happening>& happenings,
                        const std::vector<Scene>& scenes) {
  const std::vector<double> starts = starts_of(scenes);
  viz::ClockRow row{.name = name, .lit = {}, .events = {}};
  for (std::size_t s = 0; s < scenes.size(); ++s) {
    if (lamp_on(happenings, scenes[s].time)) row.lit.push_back({starts[s], starts[s + 1]});
    for (const Happening& each : happenings) {
      constexpr std::string_view placed = "increment ";
      if (each.time != scenes[s].time) continue;
      row.events.emplace_back(starts[s],
                              each.event.starts_with(placed) ? each.event.substr(placed.size()) : each.event);
    }
  }
  return row;
}

viz::Clock clock_of(const std::vector<Scene>& scenes, std::size_t now) {
  viz::Clock clock{.time = duration_text(scenes[now].time),
                   .jump = {},
                   .share = starts_of(scenes)[now],
                   .jumps_at = {},
                   .rows = {}};
  if (scenes[now].jumped > 0) clock.jump = fmt::format("clock jumps {}", duration_text(scenes[now].jumped));
  for (std::size_t s = 0; s < scenes.size(); ++s)
    if (scenes[s].jumped > 0) clock.jumps_at.push_back(starts_of(scenes)[s]);
  return clock;
}

/// Draws the scenes with one scale, one place of the cut and one factor of deformation for the whole film.
class Filming {
 public:
  Filming(const std::vector<Result>& results, const std::vector<std::string>& names,
          const std::vector<Scene>& scenes, const AnimationOptions& options)
      : results_(results), names_(names), scenes_(scenes), options_(options) {
    for (const Result& result : results)
      cut_at_.push_back(middle_of_filling(read_volume(result.frames.back().volume), cut_axis));
    for (std::size_t r = 0; r < results.size(); ++r) {
      happenings_.push_back(happenings_of(results[r]));
      rows_.push_back(clock_row(results.size() > 1 ? names[r] : std::string(), happenings_[r], scenes));
    }
    panels_.resize(results.size());
    const std::vector<viz::Panel> last = panels_at(scenes.back().time);
    common_ = viz::common_view(last, BondField::ratio);
    common_.cut = cut_look(last);
  }

  std::unique_ptr<viz::Canvas> draw(std::size_t scene) {
    viz::Sheet sheet{.title = "Placing and curing compared",
                     .column_names = names_,
                     .panels = panels_at(scenes_[scene].time),
                     .columns = results_.size(),
                     .clock = clock_of(scenes_, scene),
                     .beside = viz::Beside::cut};
    sheet.clock->rows = rows_;
    if (results_.size() == 1) {
      sheet.title = sheet.panels[0].bond.title;
      sheet.column_names.clear();
    }
    const PictureOptions picture{.width = options_.width / 2 * 2,
                                 .height = viz::natural_height(sheet, options_.width / 2 * 2) / 2 * 2,
                                 .background = options_.background,
                                 .time = {},
                                 .scale_top = options_.scale_top};
    return viz::compose(sheet, common_, picture);
  }

 private:
  static constexpr int cut_axis = 1;  ///< along the tooth: floor, axial wall and layers are seen

  /// A result whose instant is the one drawn before is not read again.
  std::vector<viz::Panel> panels_at(double time) {
    std::vector<viz::Panel> panels;
    for (std::size_t r = 0; r < results_.size(); ++r) {
      auto& [known_frame, panel] = panels_[r];
      const std::size_t frame = frame_up_to(results_[r], time);
      if (known_frame != frame) {
        panel = viz::make_panel(results_[r], frame, "At");
        panel.cut = viz::make_cut_scene(results_[r], frame, viz::CutField::conversion, cut_axis, cut_at_[r]);
        panel.lit = lamp_on(happenings_[r], results_[r].frames[frame].time);
        known_frame = frame;
      }
      panels.push_back(panel);
    }
    return panels;
  }
  [[nodiscard]] static viz::CutLook cut_look(const std::vector<viz::Panel>& panels) {
    std::vector<const viz::CutScene*> cuts;
    std::vector<const VolumeCells*> volumes;
    for (const viz::Panel& panel : panels) {
      cuts.push_back(&*panel.cut);
      volumes.push_back(&panel.cut->volume);
    }
    const double factor = viz::magnification_for(volumes);
    return {.extent = viz::extent_of(cuts, factor),
            .magnification = factor,
            .scale = viz::conversion_scale(),
            .pixel = 1};
  }

  const std::vector<Result>& results_;
  const std::vector<std::string>& names_;
  const std::vector<Scene>& scenes_;
  const AnimationOptions& options_;
  std::vector<std::vector<Happening>> happenings_;                         ///< by result
  std::vector<viz::ClockRow> rows_;                                        ///< by result
  std::vector<double> cut_at_;                                             ///< [mm] by result
  std::vector<std::pair<std::optional<std::size_t>, viz::Panel>> panels_;  ///< by result, with its frame
  viz::CommonView common_{};
};

}  // namespace

void animate(const std::vector<Result>& results, const std::vector<std::string>& names,
             const std::filesystem::path& path, const AnimationOptions& options) {
  require_sensible(results, names, options);
  const Display display;  // one for all scenes
  const std::vector<Scene> scenes = plan_scenes(results, options);
  Filming filming(results, names, scenes, options);
  std::optional<viz::VideoWriter> film;
  for (std::size_t s = 0; s < scenes.size(); ++s) {
    if (options.progress) options.progress(static_cast<double>(s) / static_cast<double>(scenes.size()));
    const auto canvas = filming.draw(s);
    if (!film) film.emplace(path, canvas->width(), canvas->height(), options.frames_per_second);
    film->add(canvas->pixels(), scenes[s].frames);
  }
  film->finish();
}

}  // namespace setstress
