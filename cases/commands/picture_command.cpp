// setstress picture: one picture of one or more results.

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/commands/commands.hpp"
#include "cases/result/result_check.hpp"
#include "cases/result/summary.hpp"
#include "viz/pictures/bond_state.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/radiograph/radiograph.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

/// What all kinds of pictures share.
struct Common {
  std::optional<int> width, height;
  Background background;
  std::optional<double> time;
  std::optional<Moment> moment;
};

std::optional<int> whole_number(const std::string& text) {
  int number = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure != std::errc() || end != text.data() + text.size()) return {};
  return number;
}

void read_size(const std::string& text, Common& common) {
  if (text.empty()) return;
  const std::size_t cross = text.find('x');
  common.width = whole_number(text.substr(0, cross));
  if (cross != std::string::npos) common.height = whole_number(text.substr(cross + 1));
  if (!common.width || (cross != std::string::npos && !common.height))
    throw CaseError(
        fmt::format("--size is \"{}\"; must be WIDTH or WIDTHxHEIGHT in pixels, such as 1600x900", text));
}

Common read_common(const PictureSettings& settings) {
  Common common{.width = {},
                .height = {},
                .background = settings.background == "dark"          ? Background::dark
                              : settings.background == "transparent" ? Background::transparent
                                                                     : Background::white,
                .time = {},
                .moment = {}};
  read_size(settings.size, common);
  if (settings.at == "worst")
    common.moment = Moment::worst;
  else if (settings.at == "end")
    common.moment = Moment::end;
  else if (!settings.at.empty())
    common.time = time_of_option("--at", settings.at);
  return common;
}

template <typename Options>
void set_common(Options& options, const Common& common) {
  options.width = common.width.value_or(options.width);
  options.height = common.height;
  options.background = common.background;
  options.time = common.time;
  options.moment = common.moment.value_or(options.moment);
}

PictureOptions bond_options(const PictureSettings& settings, const Common& common) {
  PictureOptions options;
  set_common(options, common);
  options.scale_top = settings.scale_top;
  const std::string field = settings.field.value_or("ratio");
  options.field = field == "gap"             ? BondField::gap
                  : field == "strength-lost" ? BondField::strength_lost
                                             : BondField::ratio;
  return options;
}

CutOptions cut_options(const PictureSettings& settings, const Common& common) {
  CutOptions options;
  set_common(options, common);
  const std::string axis = settings.axis.value_or("y");
  options.axis = axis == "x" ? 0 : axis == "y" ? 1 : 2;
  options.position = settings.position;
  options.magnification = settings.magnification;
  options.scale_top = settings.scale_top;
  return options;
}

DeformedOptions deformed_options(const PictureSettings& settings, const Common& common) {
  DeformedOptions options;
  set_common(options, common);
  options.magnification = settings.magnification;
  options.scale_top = settings.scale_top;
  return options;
}

RadiographOptions radiograph_options(const PictureSettings& settings, const Common& common) {
  RadiographOptions options;
  set_common(options, common);
  options.beam = settings.beam.value_or(options.beam);
  options.tilt = settings.tilt.value_or(options.tilt);
  return options;
}

fs::path file_to_write(const CommandLine& line) {
  const fs::path out = line.out.empty() ? fs::path(line.picture.show + ".png") : line.out;
  const bool shapes =
      line.picture.show == "walls" && (out.extension() == ".svg" || out.extension() == ".pdf");
  if (out.extension() != ".png" && !shapes)
    throw CaseError(fmt::format("--out is \"{}\"; this picture must end in {}", out.string(),
                                line.picture.show == "walls"
                                    ? ".png, .svg or .pdf"
                                    : ".png (only --show walls can be .svg or .pdf)"));
  return out;
}

/// Nothing opens and no strength is lost where the bond was assumed to hold: such a picture would read as a
/// finding.
void require_field(const PictureSettings& settings, const std::vector<Result>& results) {
  const std::string field = settings.field.value_or("ratio");
  const bool is_radiograph = settings.show == "radiograph";
  if (field != "gap" && field != "strength-lost" && !is_radiograph) return;
  for (const Result& result : results)
    if (read_summary(result.folder).at("mode") != "debonding")
      throw CaseError(fmt::format(
          "{} \"{}\", but in {} the bond was assumed to hold; run the case with --mode debonding, "
          "or draw --field ratio",
          is_radiograph ? "--show is" : "--field is", is_radiograph ? settings.show : field,
          result.folder.string()));
}

/// Says where a time that was asked for lies between the instants that a result holds.
void tell_nearest(const std::vector<Result>& results, const Common& common) {
  if (!common.time) return;
  for (const Result& result : results)
    if (const double shown = result.frames[frame_at(result, *common.time)].time;
        std::abs(shown - *common.time) >= 0.5)
      fmt::print("{} holds no instant at {}: {}, the nearest, is drawn\n", result.folder.string(),
                 duration_text(*common.time), duration_text(shown));
}

/// Options that the picture asked for has no use for, and factors that magnify nothing.
void refuse_idle_options(const PictureSettings& picture) {
  const bool is_cut = picture.show == "cut", moves = is_cut || picture.show == "deformed",
             is_radiograph = picture.show == "radiograph";
  struct Option {
    const char* name;
    bool is_given, is_used;
  };
  for (const Option& option : {Option{"--axis", picture.axis.has_value(), is_cut},
                               Option{"--position", picture.position.has_value(), is_cut},
                               Option{"--magnify", picture.magnification.has_value(), moves},
                               Option{"--field", picture.field.has_value(), !moves && !is_radiograph},
                               Option{"--top", picture.scale_top.has_value(), !is_radiograph},
                               Option{"--beam", picture.beam.has_value(), is_radiograph},
                               Option{"--tilt", picture.tilt.has_value(), is_radiograph}})
    if (option.is_given && !option.is_used)
      throw CaseError(fmt::format("{} changes nothing in a picture of --show {}; leave it out", option.name,
                                  picture.show));
  const double factor = picture.magnification.value_or(0);
  if (!(factor >= 0 && factor <= 1e6))
    throw CaseError(fmt::format("--magnify is {}; must be between 0 and 1000000", factor));
  if (picture.tilt && !(std::abs(*picture.tilt) <= 45))
    throw CaseError(fmt::format("--tilt is {}; must be between -45 and 45 [degrees]", *picture.tilt));
  if (picture.position && !(std::abs(*picture.position) <= 5000))
    throw CaseError(fmt::format("--position is {}; must be between -5000 and 5000 [mm]", *picture.position));
}

void draw(const CommandLine& line, const fs::path& out) {
  const Common common = read_common(line.picture);
  const std::vector<Result> results = drawable_results(line.inputs);
  require_field(line.picture, results);
  const std::vector<std::string> names = names_of(results);
  if (line.picture.show == "radiograph" && results.size() > 1)
    throw CaseError(fmt::format("--show radiograph draws one result, and {} are given", results.size()));
  if (line.picture.show == "bond")
    draw_comparison(results, names, out, bond_options(line.picture, common));
  else if (line.picture.show == "walls")
    draw_walls(results, names, out, bond_options(line.picture, common));
  else if (line.picture.show == "cut")
    draw_cut(results, names, out, cut_options(line.picture, common));
  else if (line.picture.show == "radiograph")
    draw_radiograph(results.front(), out, radiograph_options(line.picture, common));
  else
    draw_deformed(results, names, out, deformed_options(line.picture, common));
  if (!line.quiet) tell_nearest(results, common);
}

}  // namespace

int picture_command(const CommandLine& line) {
  refuse_idle_options(line.picture);
  const fs::path out = file_to_write(line);
  try {
    draw(line, out);
  } catch (const nlohmann::json::exception&) {
    throw;  // told where all of them are
  } catch (
      const std::exception& error) {  // whatever is wrong lies in the folders, the options or the display
    throw CaseError(error.what());
  }
  if (!line.quiet) fmt::print("{}\n{}\n", out.string(), caution_line);
  return 0;
}

}  // namespace setstress
