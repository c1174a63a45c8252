#include "viz/page/page_pack.hpp"

#include <fmt/core.h>
#include <vtkBase64Utilities.h>
#include <zlib.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace setstress::viz {
namespace {

std::string base64(std::span<const std::uint8_t> bytes) {
  std::string text(4 * ((bytes.size() + 2) / 3), '=');
  vtkBase64Utilities::Encode(bytes.data(), bytes.size(), reinterpret_cast<unsigned char*>(text.data()));
  return text;
}

std::string compressed(std::span<const std::uint8_t> bytes) {
  uLongf size = compressBound(static_cast<uLong>(bytes.size()));
  std::vector<std::uint8_t> out(size);
  const int status =
      compress2(out.data(), &size, bytes.data(), static_cast<uLong>(bytes.size()), Z_BEST_COMPRESSION);
  if (status != Z_OK) throw std::runtime_error(fmt::format("zlib could not compress {} bytes", bytes.size()));
  return base64({out.data(), size});
}

}  // namespace

std::vector<std::uint16_t> quantised(std::span<const float> values, double low, double high, int levels) {
  const double step = high > low ? (high - low) / levels : 1;
  std::vector<std::uint16_t> numbers;
  numbers.reserve(values.size());
  for (const float value : values) {
    if (!std::isfinite(value))
      throw std::runtime_error("a result file holds a value that is not a finite number");
    numbers.push_back(
        static_cast<std::uint16_t>(std::clamp(std::round((value - low) / step), 0.0, 1.0 * levels)));
  }
  return numbers;
}

void Bytes::add(std::span<const std::uint8_t> values) {
  bytes_.insert(bytes_.end(), values.begin(), values.end());
}

void Bytes::add_changes(std::span<const std::uint16_t> values, std::span<const std::uint16_t> before) {
  for (const int shift : {0, 8})
    for (std::size_t i = 0; i < values.size(); ++i) {
      const unsigned change = static_cast<unsigned>(values[i]) - (before.empty() ? 0u : before[i]);
      bytes_.push_back(static_cast<std::uint8_t>(change >> shift & 255));
    }
}

void Bytes::add_indices(std::span<const int> values) {
  for (const int shift : {0, 8, 16, 24}) {
    std::uint32_t before = 0;
    for (const int value : values) {
      const std::uint32_t change = static_cast<std::uint32_t>(value) - before;
      bytes_.push_back(static_cast<std::uint8_t>(change >> shift & 255));
      before = static_cast<std::uint32_t>(value);
    }
  }
}

std::string Bytes::packed() const {
  return compressed(bytes_);
}

std::string packed_text(std::string_view text) {
  return compressed({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
}

}  // namespace setstress::viz
