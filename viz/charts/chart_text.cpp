#include "viz/charts/chart_text.hpp"

#include "viz/charts/chart.hpp"

namespace setstress {

std::vector<std::string> wrapped(const std::string& text, std::size_t most) {
  std::vector<std::string> lines(1);
  std::string word;
  const auto put = [&](char after) {
    if (!lines.back().empty() && lines.back().size() + word.size() > most) lines.emplace_back();
    lines.back() += word;
    if (after == ' ') lines.back() += ' ';
    word.clear();
  };
  for (const char each : text) {
    if (each != ' ') word += each;
    if (each == ' ' || each == '-' || each == '.' || each == '_') put(each);
  }
  put('\0');
  return lines;
}

std::string shortened(const std::string& text, std::size_t most) {
  return text.size() <= most ? text : text.substr(0, most - 1) + "…";
}

std::string markup_safe(const std::string& text) {
  std::string safe;
  for (const char each : text) {
    if (each == '&')
      safe += "&amp;";
    else if (each == '<')
      safe += "&lt;";
    else if (each == '>')
      safe += "&gt;";
    else if (each == '"')
      safe += "&quot;";
    else
      safe += each;
  }
  return safe;
}

}  // namespace setstress
