#pragma once
// Still pictures of results, drawn from their folders alone. They work with no display (see display.hpp).

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "viz/drawing/background.hpp"
#include "viz/drawing/bond_field.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/pictures/bond_state.hpp"

namespace setstress {

struct PictureOptions {
  int width = 1800;             ///< pixels, 400 to 8000
  std::optional<int> height{};  ///< pixels; from the layout when left out
  Background background = Background::white;
  std::optional<double> time{};  ///< [s] the one instant to show; left out: `moment`
  std::optional<double>
      scale_top{};  ///< upper end of the scale, > 1 for ratios; left out: 2 for ratios, else from the data
  Moment moment = Moment::worst_and_end;
  BondField field = BondField::ratio;
};

/// The bond coloured by a quantity, in space and as the opened box, as PNG at `path`. Throws
/// std::invalid_argument for options out of range, std::runtime_error when files are missing or the picture
/// cannot be written.
void draw_bond(const Result& result, const std::filesystem::path& path, const PictureOptions& options = {});

/// The same for several results side by side, one column each, with one scale and one camera; `names` go
/// above the columns (as many as results). One instant: the one asked for, else each result's own worst, and
/// below it the end.
void draw_comparison(const std::vector<Result>& results, const std::vector<std::string>& names,
                     const std::filesystem::path& path, const PictureOptions& options = {});

/// The opened boxes of one or more results alone, a column each, as `path` (.png, .svg, .pdf). Throws as
/// draw_comparison, and std::invalid_argument for another ending.
void draw_walls(const std::vector<Result>& results, const std::vector<std::string>& names,
                const std::filesystem::path& path, const PictureOptions& options = {});

struct CutOptions {
  int width = 1500;             ///< pixels, 400 to 8000
  std::optional<int> height{};  ///< pixels; from the layout when left out
  Background background = Background::white;
  std::optional<double> time{};  ///< [s]; left out: `moment`
  int axis = 1;  ///< normal to the cut: 0 x (mesio-distal), 1 y (bucco-lingual), 2 z (occlusal)
  std::optional<double>
      position{};  ///< of the cut along that axis [mm]; left out: through the middle of the filling
  std::optional<double>
      magnification{};  ///< of the deformation [-], 0 for none; left out: a round one that shows it
  std::optional<double> scale_top{};  ///< upper end of the scale [MPa]; left out: from the data
  Moment moment = Moment::end;        ///< worst_and_end: the end
};

/// Cut through tooth and filling, coloured by the largest principal stress (smoothed within each region,
/// never across materials), deformed by a factor that is written on it; several results side by side with one
/// scale. Throws as draw_bond, and std::invalid_argument for a plane that misses.
void draw_cut(const std::vector<Result>& results, const std::vector<std::string>& names,
              const std::filesystem::path& path, const CutOptions& options = {});

struct DeformedOptions {
  int width = 1500;             ///< pixels, 400 to 8000
  std::optional<int> height{};  ///< pixels; from the layout when left out
  Background background = Background::white;
  std::optional<double> time{};           ///< [s]; left out: `moment`
  Moment moment = Moment::end;            ///< worst_and_end: the end
  std::optional<double> magnification{};  ///< of the deformation [-], 0 for none; left out: as for a cut
  std::optional<double> scale_top{};      ///< upper end of the scale [um]; left out: from the data
};

/// Tooth and filling as a whole, deformed by a factor that is written on it and coloured by how far each
/// point has moved; the shape before as thin lines. Several results side by side with one factor and one
/// scale. Throws as draw_bond.
void draw_deformed(const std::vector<Result>& results, const std::vector<std::string>& names,
                   const std::filesystem::path& path, const DeformedOptions& options = {});

}  // namespace setstress
