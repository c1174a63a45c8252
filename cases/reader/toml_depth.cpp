#include "cases/reader/toml_depth.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "cases/reader/case_error.hpp"

namespace setstress {

namespace {

/// Position after the text in quotes or the comment that begins at `at`; `at` where neither does.
std::size_t after_quotes(const std::string& text, std::size_t at) {
  const char first = text[at];
  if (first == '#') return std::min(text.find('\n', at), text.size());
  if (first != '"' && first != '\'') return at;
  const std::string triple(3, first);
  const bool is_long = text.compare(at, 3, triple) == 0;
  std::size_t here = at + (is_long ? 3 : 1);
  while (here < text.size()) {
    if (first == '"' && text[here] == '\\') {
      here += 2;
      continue;
    }
    if (!is_long && (text[here] == first || text[here] == '\n')) return here + 1;
    if (is_long && text.compare(here, 3, triple) == 0) return here + 3;
    ++here;
  }
  return text.size();
}

}  // namespace

void refuse_deep_keys(const std::string& text, const std::string& name) {
  constexpr int most_parts = 32;
  constexpr std::string_view ends = "=,{}[]\n";
  int dots = 0;
  for (std::size_t at = 0; at < text.size();) {
    if (const std::size_t after = after_quotes(text, at); after != at) {
      at = after;
      continue;
    }
    if (ends.find(text[at]) != std::string_view::npos) dots = 0;
    if (text[at] == '.' && ++dots >= most_parts)
      throw CaseError(fmt::format(
          "{}:{}: holds a key of more than {} parts joined by dots", name,
          1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'), most_parts));
    ++at;
  }
}

}  // namespace setstress
