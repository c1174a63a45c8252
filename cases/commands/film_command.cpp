// setstress film: placing and curing as a moving picture.

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/commands/commands.hpp"
#include "cases/result/result_check.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/progress.hpp"
#include "viz/film/animation.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

struct Stopped : std::runtime_error {
  using std::runtime_error::runtime_error;
};

AnimationOptions film_options(const PictureSettings& settings) {
  AnimationOptions options;
  options.background = settings.background == "dark" ? Background::dark : Background::white;
  options.frames_per_second = settings.frames_per_second;
  options.scale_top = settings.scale_top;
  if (settings.size.empty()) return options;
  if (settings.size.find_first_not_of("0123456789") != std::string::npos || settings.size.size() > 5)
    throw CaseError(
        fmt::format("--size is \"{}\"; must be the width in pixels, such as 1600", settings.size));
  options.width = std::stoi(settings.size);
  return options;
}

}  // namespace

int film_command(const CommandLine& line) {
  const fs::path out = line.out.empty() ? fs::path("film.mp4") : line.out;
  ProgressLine progress("film", line.quiet);
  const InterruptGuard interrupt;
  try {
    AnimationOptions options = film_options(line.picture);
    options.progress = [&](double share) {
      if (interrupt.asked_to_stop()) throw Stopped("stopped as asked; no film was written");
      progress.show(share, "drawing");
    };
    const std::vector<Result> results = drawable_results(line.inputs);
    animate(results, names_of(results), out, options);
  } catch (const Stopped&) {
    throw;
  } catch (const nlohmann::json::exception&) {
    throw;                                 // told where all of them are
  } catch (const std::exception& error) {  // whatever is wrong lies in the folders, the options or the tools
    throw CaseError(error.what());
  }
  if (!line.quiet)
    fmt::print("{} ({:.1f} MB)\n{}\n", out.string(), 1e-6 * static_cast<double>(fs::file_size(out)),
               caution_line);
  return 0;
}

}  // namespace setstress
