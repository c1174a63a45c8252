#pragma once
// A short name for a long text.

#include <fmt/format.h>

#include <cstdint>
#include <string>
#include <string_view>

namespace setstress {

/// 64-bit sum of everything added, FNV-1a (Fowler, Noll and Vo; draft-eastlake-fnv). Pieces are kept apart:
/// "ab", "c" is not "a", "bc".
class Checksum {
 public:
  Checksum& add(std::string_view piece) {
    for (const char c : piece) mix(static_cast<unsigned char>(c));
    for (std::size_t size = piece.size(), byte = 0; byte < sizeof size; ++byte, size >>= 8U)
      mix(size & 0xffU);
    return *this;
  }
  [[nodiscard]] std::uint64_t value() const { return sum_; }
  [[nodiscard]] std::string text() const { return fmt::format("{:016x}", sum_); }

 private:
  void mix(std::uint64_t byte) { sum_ = (sum_ ^ byte) * 0x100000001b3U; }
  std::uint64_t sum_ = 0xcbf29ce484222325U;
};

}  // namespace setstress
