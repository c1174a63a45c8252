#pragma once
// Anderson acceleration of a fixed-point iteration: the softening bond's stiffness enters the tangent only
// where it is positive, and this recovers most of what that leaves out. Source: Walker and Ni, SIAM J Numer
// Anal 49 (2011) 1715, algorithm AA.

#include <Eigen/Core>
#include <deque>

namespace setstress {

class Anderson {
 public:
  explicit Anderson(std::size_t depth) : depth_(depth) {}

  /// From an iterate x and the correction the plain iteration would make there, the step to take from x.
  Eigen::VectorXd step(const Eigen::VectorXd& x, const Eigen::VectorXd& correction);

 private:
  std::size_t depth_;
  std::deque<Eigen::VectorXd> iterate_changes_, correction_changes_;
  Eigen::VectorXd last_iterate_, last_correction_;
};

}  // namespace setstress
