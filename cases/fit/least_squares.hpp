#pragma once
// Weighted least squares within bounds, with what the data say about each constant. Knows no physics.

#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>

namespace setstress {

/// Differences of model and data at given constants, one a datum, all in units of their scatter once that is
/// known.
using Residuals = std::function<Eigen::VectorXd(const Eigen::VectorXd&)>;

struct Bounded {
  Eigen::VectorXd start, low, high;  ///< low < start < high
};

/// At the optimum.
struct Estimate {
  Eigen::VectorXd value;
  Eigen::VectorXd standard_error;  ///< infinite for what the data leave open
  Eigen::MatrixXd correlation;     ///< NaN in rows and columns of what the data leave open
  Eigen::VectorXd residuals;
  int iterations = 0;
};

enum class Loss { squares, huber };
/// What one unit of the residuals is: found from what is left, or the standard error of the datum itself.
enum class Scatter { found, known };

/// Squares, or Huber's loss with its bend at 1.345 (Huber 1981, Robust Statistics: 95 % efficiency for normal
/// scatter). Errors: scatter^2 (J^T J)^-1, with Huber's correction for his loss where the scatter is found;
/// directions of J that are
/// smaller than 1e-7 of the largest, in units of the bounds, are left open. Throws std::runtime_error where
/// no optimum is found.
Estimate least_squares(const Residuals& residuals, const Bounded& bounded, Loss loss,
                       Scatter scatter = Scatter::found);

/// Half-width of the 95 % interval over the standard error (Student), for so many free data; infinity: known
/// scatter.
double half_width_95(double degrees_of_freedom);

}  // namespace setstress
