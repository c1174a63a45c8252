#include "viz/radiograph/radiograph.hpp"

#include <fmt/core.h>
#include <vtkCamera.h>
#include <vtkImageActor.h>
#include <vtkImageData.h>
#include <vtkImageProperty.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "viz/drawing/canvas.hpp"
#include "viz/pictures/bond_sheet.hpp"
#include "viz/radiograph/detector.hpp"
#include "viz/radiograph/radiopacity.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

using Eigen::Index;
using viz::Box;
using viz::Canvas;
using viz::Image;

/// By how much a beam is turned to show how much hangs on its direction [degrees].
constexpr double turned_by = 5;

/// What the detector gets with the gaps and without, and how far apart the two are.
struct Exposed {
  Image with, without;        ///< signal over that of the open beam [-]
  double widest = 0;          ///< gap [mm], mean over a facet
  double longest_way = 0;     ///< of a ray in gaps, mean over a pixel [mm]
  double stands_out = 0;      ///< of the noise of all pixels, in deviations [-]
  double largest_change = 0;  ///< at a pixel, of the signal there [-]
  double noise_there = 0;     ///< deviation there, of the signal [-]
};

/// Radiopacity of the filling behind each triangle of the bond, where there is a gap.
Eigen::VectorXd radiopacity_behind(const BondSurface& bond, const VolumeCells& volume,
                                   const std::vector<double>& by_region) {
  const Eigen::MatrixXd &region = volume.of_cells.at("region"), &increment = volume.of_cells.at("increment");
  std::map<int, double> radiopacity;  // by increment
  for (Index t = 0; t < region.rows(); ++t)
    radiopacity[static_cast<int>(increment(t, 0))] = by_region.at(static_cast<std::size_t>(region(t, 0)));
  const Eigen::MatrixXd &gap = bond.cell_field("gap"), &behind = bond.cell_field("increment");
  Eigen::VectorXd found = Eigen::VectorXd::Zero(gap.rows());
  for (Index t = 0; t < gap.rows(); ++t)
    if (gap(t, 0) > 0) found(t) = radiopacity.at(static_cast<int>(behind(t, 0)));
  return found;
}

Exposed expose(const Result& result, std::size_t frame, const viz::Beam& beam,
               const viz::Detector& detector) {
  const VolumeCells volume = read_volume(result.frames[frame].volume);
  const BondSurface bond = read_bond(result.frames[frame].bond);
  const std::vector<double> radiopacity = viz::radiopacities(result, volume);
  const viz::PixelGrid grid = viz::grid_around(volume.points, beam, detector.pixel);
  Image aluminium = Image::Zero(grid.rows, grid.columns);
  for (std::size_t r = 0; r < volume.regions.size(); ++r)
    aluminium += radiopacity[r] * viz::lengths_in_region(volume, static_cast<int>(r), beam, grid);
  const Eigen::VectorXd gap = bond.cell_field("gap").col(0);
  const Image in_gaps = viz::sum_over_gaps(bond, gap, Eigen::VectorXd::Ones(gap.size()), beam, grid),
              missing =
                  viz::sum_over_gaps(bond, gap, radiopacity_behind(bond, volume, radiopacity), beam, grid);
  Exposed exposed;
  exposed.without = viz::signal_behind(aluminium, detector);
  exposed.with = viz::signal_behind(aluminium - missing, detector);
  exposed.widest = gap.maxCoeff();
  exposed.longest_way = in_gaps.maxCoeff();
  const Image noise = viz::noise_of(exposed.without, detector);
  exposed.stands_out = viz::stands_out(exposed.with - exposed.without, noise);
  Index row = 0, column = 0;
  exposed.largest_change = ((exposed.with - exposed.without).abs() / exposed.without).maxCoeff(&row, &column);
  exposed.noise_there = noise(row, column) / exposed.without(row, column);
  return exposed;
}

/// Greys from black at 0 to white at 1, as wide as the box allows.
void add_image(Canvas& canvas, const Box& box, const Image& grey) {
  vtkNew<vtkImageData> data;
  data->SetDimensions(static_cast<int>(grey.cols()), static_cast<int>(grey.rows()), 1);
  data->AllocateScalars(VTK_UNSIGNED_CHAR, 3);
  auto* pixel = static_cast<unsigned char*>(data->GetScalarPointer());
  for (Index row = 0; row < grey.rows(); ++row)
    for (Index column = 0; column < grey.cols(); ++column)
      for (int channel = 0; channel < 3; ++channel)
        *pixel++ = static_cast<unsigned char>(std::lround(255 * std::clamp(grey(row, column), 0.0, 1.0)));
  vtkNew<vtkImageActor> actor;
  actor->SetInputData(data);
  actor->GetProperty()->SetInterpolationTypeToNearest();
  vtkRenderer* view = canvas.add_view(box);
  view->AddActor(actor);
  vtkCamera* camera = view->GetActiveCamera();
  const double wide = static_cast<double>(grey.cols()), high = static_cast<double>(grey.rows());
  camera->ParallelProjectionOn();
  camera->SetFocalPoint((wide - 1) / 2, (high - 1) / 2, 0);
  camera->SetPosition((wide - 1) / 2, (high - 1) / 2, 100);
  camera->SetParallelScale(0.5 * std::max(high, wide * box.height / box.width));
}

/// As a film shows it: the more is taken away, the whiter.
Image film_grey(const Image& signal, double darkest) {
  return signal.max(1e-6).log() / std::log(darkest);
}

std::string in_percent(double share) {
  return share < 0.0005 ? "less than 0.1 %" : fmt::format("{:.1f} %", 100 * share);
}

std::string gap_words(const Exposed& exposed, const std::string& beam, double tilt) {
  if (exposed.widest <= 0) return "Nothing has let go at this instant: there is no gap to show.";
  return fmt::format(
      "Widest gap {:.0f} µm; a ray of this beam ({}, {:g} degrees) meets up to {:.2f} mm of gap, which "
      "changes a "
      "pixel by {} of its signal; the noise there is {}.",
      1000 * exposed.widest, beam, tilt, exposed.longest_way, in_percent(exposed.largest_change),
      in_percent(exposed.noise_there));
}

std::string seen_words(const Exposed& exposed) {
  if (exposed.widest <= 0) return "";
  return fmt::format(
      "Known beforehand, all of it stands {:.1f} deviations out of this noise; an eye needs about 5 (Rose "
      "1948, "
      "from memory), and more where real shadows lie over it.",
      exposed.stands_out);
}

/// What is left of it when the beam does not quite run along the gap.
std::string turned_words(const Exposed& turned) {
  if (turned.widest <= 0) return "";
  return fmt::format(
      "With the beam tilted {:g} degrees more, a pixel changes by at most {}, and all of it stands {:.1f} "
      "deviations "
      "out.",
      turned_by, in_percent(turned.largest_change), turned.stands_out);
}

std::vector<std::string> notes(const Exposed& exposed, const Exposed& turned,
                               const RadiographOptions& options, const viz::Detector& detector) {
  std::vector<std::string> lines{
      gap_words(exposed, options.beam, options.tilt),
      seen_words(exposed),
      turned_words(turned),
      "Lines of 0.1 to 0.2 mm are the thinnest that a bitewing shows, and only where the "
      "beam runs along them (from memory); gaps of some µm at a floor are not seen on "
      "ordinary radiographs (published).",
      "Where the numbers above promise more: floors here are flat to the last µm, so that a beam can run "
      "along "
      "them, and nothing lies over the gap.",
      fmt::format("Assumed: one energy (half lost in 2.5 mm of aluminium), pixels of "
                  "{:g} mm, blur {:g} mm, noise {:g} % in the open beam; no bone, "
                  "neighbour, pulp, scatter; gap empty; bodies undeformed.",
                  detector.pixel, detector.blur, 100 * detector.noise)};
  std::erase(lines, "");
  return lines;
}

}  // namespace

void draw_radiograph(const Result& result, const std::filesystem::path& path,
                     const RadiographOptions& options) {
  viz::require_sensible(options.width, options.height);
  const std::size_t frame = frame_for(result, options.time, options.moment);
  const viz::Detector detector;
  const Exposed exposed = expose(result, frame, viz::beam_from(options.beam, options.tilt), detector),
                turned =
                    expose(result, frame, viz::beam_from(options.beam, options.tilt + turned_by), detector);
  constexpr double wide = 1500, title = 100, foot = 232, margin = 20;
  const double column = (wide - 4 * margin) / 3, panel = column * static_cast<double>(exposed.with.rows()) /
                                                         static_cast<double>(exposed.with.cols());
  const double design = title + 60 + panel + foot;
  const int height = options.height.value_or(static_cast<int>(std::lround(options.width / wide * design)));
  const double unit = std::min(options.width / wide, height / design);
  Canvas canvas(options.width, height, options.background);
  const std::string name = read_bond(result.frames[frame].bond, {"wall"}).title;
  viz::add_heading(canvas, margin * unit, height - 44 * unit, options.width - 2 * margin * unit, unit, name,
                   fmt::format("{} {}", viz::words_for(result, frame, options.time, options.moment),
                               duration_text(result.frames[frame].time)));
  // One noise for both, as if it were one exposure.
  constexpr unsigned seed = 1;
  const Image with = viz::with_noise(exposed.with, detector, seed),
              without = viz::with_noise(exposed.without, detector, seed);
  const double darkest = exposed.without.minCoeff();
  const Image change = (exposed.with - exposed.without) / exposed.without;
  const double most = exposed.largest_change > 0 ? exposed.largest_change : 1;
  const std::array<Image, 3> greys{film_grey(with, darkest), film_grey(without, darkest),
                                   0.5 - 0.5 * change / most};
  const std::array<std::array<std::string, 2>, 3> headings{
      {{"With its gaps", "whiter: more is taken away"},
       {"With no gap", "the same noise"},
       {"Difference", exposed.largest_change > 0
                          ? fmt::format("without noise, darker: more light; black: {} more",
                                        in_percent(exposed.largest_change))
                          : std::string("none")}}};
  for (std::size_t p = 0; p < 3; ++p) {
    const double left = (margin + static_cast<double>(p) * (column + margin)) * unit;
    viz::add_heading(canvas, left, height - (title + 18) * unit, column * unit, unit, headings[p][0],
                     headings[p][1]);
    add_image(canvas, {left, height - (title + 60 + panel) * unit, column * unit, panel * unit}, greys[p]);
  }
  double y = height - (title + 60 + panel + 30) * unit;
  for (const std::string& line : notes(exposed, turned, options, detector)) {
    canvas.add_text(margin * unit, y, line,
                    viz::fitted(line, {.size = 15 * unit}, options.width - 2 * margin * unit));
    y -= 26 * unit;
  }
  canvas.add_text(margin * unit, 18 * unit, caution_line, {.size = 13 * unit, .faint = true});
  canvas.save(path);
}

}  // namespace setstress
