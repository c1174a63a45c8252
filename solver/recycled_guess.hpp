#pragma once
// A better start for the next solve from the last few solutions.

#include <Eigen/Core>
#include <functional>
#include <vector>

namespace setstress {

/// Keeps the last solutions v_k of similar systems. Given a new system and a start x, finds the combination c
/// that makes x + sum c_k v_k minimise the energy error (Galerkin projection; Fischer 1998, Comput Methods
/// Appl Mech Eng 163:193). A combination can only lower that error, so old solutions can do no harm even
/// after strong changes.
class RecycledGuess {
 public:
  using Product = std::function<void(const Eigen::VectorXd&, Eigen::VectorXd&)>;
  using Dot = std::function<double(const Eigen::VectorXd&, const Eigen::VectorXd&)>;

  explicit RecycledGuess(std::size_t most = 6) : most_(most) {}
  /// Improves x and its residual = b - A x.
  void improve(const Product& product, const Dot& dot, Eigen::VectorXd& x, Eigen::VectorXd& residual);
  void remember(const Eigen::VectorXd& solution);
  [[nodiscard]] std::size_t bytes() const;

 private:
  std::size_t most_;
  std::size_t next_ = 0;
  std::vector<Eigen::VectorXd> solutions_, products_;
};

}  // namespace setstress
