#pragma once
// A material found from measurements.

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
  Composite composite;
  std::vector<FoundConstant> constants;
  Eigen::MatrixXd correlation;  ///< NaN where the data leave a constant open
  std::vector<FittedCurve> curves;
  int data = 0;
};

/// Weighs each curve by its own scatter, which is found on the way. Throws CaseError for a constant that no
/// datum depends on and where there are not more data than constants, std::runtime_error where no optimum is
/// found.
Fit fit(const Measurements& measurements);

}  // namespace setstress
