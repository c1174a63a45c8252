#pragma once
// How an uncertain input is distributed.

#include <string>
#include <variant>

namespace setstress {

/// Between `low` and `high`, all alike.
struct Uniform {
  double low, high;
};
/// Cut off at `low` and `high` where these are finite.
struct Normal {
  double mean, deviation;
  double low, high;
};
/// Of which the logarithm is normal: `median` is exp of its mean, `spread` the deviation of the logarithm.
struct Lognormal {
  double median, spread;
};
struct Triangular {
  double low, mode, high;
};
/// P(x) = 1 - exp(-((x - start) / scale)^shape) above `start`.
struct Weibull {
  double shape, scale, start;
};
using RandomInput = std::variant<Uniform, Normal, Lognormal, Triangular, Weibull>;

/// The value below which a share `share`, in (0, 1), lies. Throws std::invalid_argument outside.
double quantile(const RandomInput& input, double share);

/// Share of the whole normal distribution that lies between its ends.
double share_between(const Normal& normal);

/// "normal (mean 0.7, deviation 0.1)".
std::string text_of(const RandomInput& input);

}  // namespace setstress
