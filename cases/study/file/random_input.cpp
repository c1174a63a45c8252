#include "cases/study/file/random_input.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/lognormal.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/triangular.hpp>
#include <boost/math/distributions/weibull.hpp>
#include <cmath>
#include <stdexcept>

namespace setstress {

namespace {

struct QuantileAt {
  double share;
  double operator()(const Uniform& u) const { return u.low + share * (u.high - u.low); }
  double operator()(const Normal& n) const {
    const boost::math::normal normal(n.mean, n.deviation);
    const double below = std::isfinite(n.low) ? cdf(normal, n.low) : 0.0;
    const double above = std::isfinite(n.high) ? cdf(complement(normal, n.high)) : 0.0;
    const double whole = below + share * (1.0 - above - below);
    return std::clamp(quantile(normal, whole), n.low, n.high);
  }
  double operator()(const Lognormal& l) const {
    return quantile(boost::math::lognormal(std::log(l.median), l.spread), share);
  }
  double operator()(const Triangular& t) const {
    return quantile(boost::math::triangular(t.low, t.mode, t.high), share);
  }
  double operator()(const Weibull& w) const {
    return w.start + quantile(boost::math::weibull(w.shape, w.scale), share);
  }
};

struct TextOf {
  std::string operator()(const Uniform& u) const { return fmt::format("uniform ({} to {})", u.low, u.high); }
  std::string operator()(const Normal& n) const {
    std::string text = fmt::format("normal (mean {}, deviation {}", n.mean, n.deviation);
    if (std::isfinite(n.low)) text += fmt::format(", from {}", n.low);
    if (std::isfinite(n.high)) text += fmt::format(", up to {}", n.high);
    return text + ")";
  }
  std::string operator()(const Lognormal& l) const {
    return fmt::format("lognormal (median {}, spread {})", l.median, l.spread);
  }
  std::string operator()(const Triangular& t) const {
    return fmt::format("triangular ({}, {}, {})", t.low, t.mode, t.high);
  }
  std::string operator()(const Weibull& w) const {
    return fmt::format("Weibull (shape {}, scale {}, from {})", w.shape, w.scale, w.start);
  }
};

}  // namespace

double quantile(const RandomInput& input, double share) {
  if (!(share > 0 && share < 1))
    throw std::invalid_argument(fmt::format("quantile: the share is {}; must lie between 0 and 1", share));
  return std::visit(QuantileAt{share}, input);
}

double share_between(const Normal& n) {
  const boost::math::normal normal(n.mean, n.deviation);
  return (std::isfinite(n.high) ? cdf(normal, n.high) : 1.0) -
         (std::isfinite(n.low) ? cdf(normal, n.low) : 0.0);
}

std::string text_of(const RandomInput& input) {
  return std::visit(TextOf{}, input);
}

}  // namespace setstress
