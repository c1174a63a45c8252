#include "viz/radiograph/detector.hpp"

#include <cmath>
#include <random>

namespace setstress::viz {

namespace {

using Eigen::Index;

/// Gaussian weights of the pixels around one, to four deviations; their sum is 1.
Eigen::ArrayXd weights(double deviation) {
  const auto reach = static_cast<Index>(std::ceil(4 * deviation));
  Eigen::ArrayXd w(2 * reach + 1);
  for (Index i = -reach; i <= reach; ++i)
    w(i + reach) = deviation > 0 ? std::exp(-0.5 * std::pow(static_cast<double>(i) / deviation, 2)) : 1;
  return w / w.sum();
}

/// Along columns; the rim goes on as it ends.
Image blurred_down(const Image& image, const Eigen::ArrayXd& w) {
  Image out = Image::Zero(image.rows(), image.cols());
  const Index reach = w.size() / 2;
  for (Index i = -reach; i <= reach; ++i)
    for (Index row = 0; row < image.rows(); ++row)
      out.row(row) += w(i + reach) * image.row(std::clamp<Index>(row + i, 0, image.rows() - 1));
  return out;
}

}  // namespace

Image signal_behind(const Image& aluminium, const Detector& detector) {
  const Eigen::ArrayXd w = weights(detector.blur / detector.pixel);
  const Image sharp = (-detector.aluminium * aluminium).exp();
  return blurred_down(blurred_down(sharp, w).transpose(), w).transpose();
}

Image noise_of(const Image& signal, const Detector& detector) {
  return detector.noise * signal.sqrt();
}

Image with_noise(const Image& signal, const Detector& detector, unsigned seed) {
  std::mt19937_64 bits(seed);
  std::normal_distribution<double> normal;
  const Image noise = noise_of(signal, detector);
  Image noisy = signal;
  for (Index i = 0; i < noisy.size(); ++i) noisy(i) += noise(i) * normal(bits);
  return noisy;
}

double stands_out(const Image& change, const Image& noise) {
  return std::sqrt((change / noise).square().sum());
}

}  // namespace setstress::viz
