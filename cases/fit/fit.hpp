#pragma once
// A material found from measurements.

#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include "cases/fit/measurements.hpp"

namespace setstress {

struct FoundConstant {
  SoughtConstant sought;
  double value, standard_error, half_width;  ///< the error infinite where the data leave it open; of 95 %
  std::string warning;                       ///< why it should not be used; empty where it may
};

struct FittedCurve {
  std::vector<double> values;  ///< by datum, of the fitted laws
  double scatter;              ///< of the data about them, in the curve's unit: root mean square
};

struct Fit {
  FittedMaterial material;
  std::vector<FoundConstant> constants;
  Eigen::MatrixXd correlation;  ///< NaN where the data leave a constant open
  std::vector<FittedCurve> curves;
  int data = 0;
};

/// The one who asked does not want to go on.
struct FitStopped : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// Is told, before all curves are computed once more, the share of the searches that is done [-] and how many
/// sets of constants were tried; false ends the fit.
using FitProgress = std::function<bool(double share, int tried)>;

/// Weighs data by their errors where they have any, else each curve by its own scatter, which is found on the
/// way; a constant known from elsewhere counts as a datum. Throws CaseError for a constant that no
/// datum depends on, where there are not more data than constants, and where the constants found do not go
/// together in one class; std::runtime_error where no optimum is found; FitStopped.
Fit fit(const Measurements& measurements, const FitProgress& progress = {});

}  // namespace setstress
