#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/case_error.hpp"

namespace setstress {

namespace {

/// Letters to insert, drop, change or swap with their neighbour to get from `a` to `b`.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i)
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U);
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, change});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  return d[a.size()][b.size()];
}

/// Line ends and other letters that are not to be seen, written out as in TOML.
std::string in_one_line(std::string_view text) {
  std::string line;
  for (const char letter : text) {
    const auto code = static_cast<unsigned char>(letter);
    if (letter == '\n')
      line += "\\n";
    else if (code < 0x20 || code == 0x7f)
      line += fmt::format("\\u{:04X}", code);
    else
      line += letter;
  }
  return line;
}

}  // namespace

std::string shortened(std::string_view whole) {
  constexpr std::size_t most = 120;
  const std::string text = in_one_line(whole);
  if (text.size() <= most) return text;
  std::size_t kept = most;
  while (kept > 0 && (static_cast<unsigned char>(text[kept]) & 0xC0U) == 0x80U) --kept;  // whole letters
  return fmt::format("{}... and {} bytes more", std::string_view(text).substr(0, kept), text.size() - kept);
}

std::optional<std::string> did_you_mean(std::string_view word, const std::vector<std::string>& candidates) {
  constexpr std::size_t longest = 200;  // longer ones are no slip, and take long to compare
  if (word.size() > longest) return {};
  std::optional<std::string> best;
  std::size_t smallest = std::max<std::size_t>(1, std::min<std::size_t>(3, word.size() / 3)) + 1;
  for (const std::string& candidate : candidates)
    if (const std::size_t distance = edit_distance(word, candidate); distance < smallest) {
      smallest = distance;
      best = candidate;
    }
  return best;
}

}  // namespace setstress
