#pragma once
// Private to viz/: numbers packed for a page. Values become whole numbers, bytes of equal weight go together,
// and zlib and base64 make text of them; the page unpacks in the reverse order.

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace setstress::viz {

/// Whole number of steps from `low`, 0 to `levels`, of each value in [low, high].
std::vector<std::uint16_t> quantised(std::span<const float> values, double low, double high, int levels);

/// Collects bytes.
class Bytes {
 public:
  void add(std::span<const std::uint8_t> values);
  /// The differences from `before` (modulo 65536; from zero where empty): low bytes, then high bytes.
  void add_changes(std::span<const std::uint16_t> values, std::span<const std::uint16_t> before);
  /// The differences of each number from the one before it, as bytes of equal weight, lowest first.
  void add_indices(std::span<const int> values);
  /// Compressed by zlib, as base64.
  [[nodiscard]] std::string packed() const;

 private:
  std::vector<std::uint8_t> bytes_;
};

/// Text compressed by zlib, as base64.
std::string packed_text(std::string_view text);

}  // namespace setstress::viz
