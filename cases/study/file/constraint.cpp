#include "cases/study/file/constraint.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <optional>
#include <stdexcept>

#include "cases/reader/toml_reader.hpp"

namespace setstress {

namespace {

using Sign = Constraint::Sign;
using Operand = Constraint::Side;

constexpr const char* form =
    "must be comparisons such as \"wall < 1.5 and plan == 'bulk'\", with < <= == != >= > between factors, "
    "numbers and 'words', joined by and";

/// Words, 'quoted words', numbers and signs.
std::vector<std::string> tokens_of(const std::string& text) {
  std::vector<std::string> tokens;
  const auto is_sign = [](char c) { return std::string_view("<>=!*").find(c) != std::string_view::npos; };
  for (std::size_t at = 0; at < text.size();) {
    std::size_t end = at + 1;
    if (text[at] == ' ') {
      at = end;
      continue;
    }
    if (text[at] == '\'') {
      end = text.find('\'', at + 1);
      if (end == std::string::npos) throw std::invalid_argument("has a quote that is not closed");
      ++end;
    } else if (is_sign(text[at])) {
      if (end < text.size() && text[end] == '=') ++end;
    } else {
      while (end < text.size() && text[end] != ' ' && text[end] != '\'' && !is_sign(text[end])) ++end;
    }
    tokens.push_back(text.substr(at, end - at));
    at = end;
  }
  return tokens;
}

std::optional<double> number_in(const std::string& token) {
  double value = 0;
  const char* const end = token.data() + token.size();
  const auto [stop, error] = std::from_chars(token.data(), end, value);
  return error == std::errc() && stop == end ? std::optional(value) : std::nullopt;
}

/// Walks along the tokens of one rule.
class Reader {
 public:
  Reader(std::vector<std::string> tokens, const std::vector<std::string>& factors)
      : tokens_(std::move(tokens)), factors_(factors) {}

  std::vector<Constraint::Comparison> comparisons() {
    std::vector<Constraint::Comparison> all;
    do {
      Operand left = side();
      const Sign between = sign();
      all.push_back({std::move(left), between, side()});
    } while (take("and"));
    if (at_ < tokens_.size())
      throw std::invalid_argument(
          fmt::format("has \"{}\" where \"and\" may follow; {}", shortened(tokens_[at_]), form));
    return all;
  }

 private:
  bool take(const std::string& word) {
    if (at_ >= tokens_.size() || tokens_[at_] != word) return false;
    ++at_;
    return true;
  }
  const std::string& next() {
    if (at_ >= tokens_.size()) throw std::invalid_argument(fmt::format("ends too early; {}", form));
    return tokens_[at_++];
  }
  Sign sign() {
    static const std::map<std::string, Sign> signs{{"<", Sign::less},      {"<=", Sign::at_most},
                                                   {"==", Sign::equal},    {"!=", Sign::not_equal},
                                                   {">=", Sign::at_least}, {">", Sign::greater}};
    const std::string& token = next();
    const auto found = signs.find(token);
    if (found == signs.end())
      throw std::invalid_argument(
          fmt::format("has \"{}\" in place of a comparison; {}", shortened(token), form));
    return found->second;
  }
  Operand side() {
    const std::string& token = next();
    if (token.front() == '\'') return {-1, token.substr(1, token.size() - 2), 1};
    if (const auto number = number_in(token)) {
      if (!take("*")) return {-1, *number, 1};
      Operand factor = named(next());
      factor.times = *number;
      return factor;
    }
    return named(token);
  }
  Operand named(const std::string& name) const {
    const auto found = std::find(factors_.begin(), factors_.end(), name);
    if (found != factors_.end()) return {static_cast<int>(found - factors_.begin()), {}, 1};
    const auto guess = did_you_mean(name, factors_);
    throw std::invalid_argument(fmt::format(
        "names \"{}\", which is no factor; {}factors are: {}; words stand in single quotes", shortened(name),
        guess ? fmt::format("did you mean \"{}\"? ", *guess) : "", fmt::join(factors_, ", ")));
  }

  std::vector<std::string> tokens_;
  const std::vector<std::string>& factors_;
  std::size_t at_ = 0;
};

Value value_of(const Operand& side, const std::vector<Value>& values) {
  Value value = side.factor < 0 ? side.value : values.at(static_cast<std::size_t>(side.factor));
  if (auto* number = std::get_if<double>(&value)) *number *= side.times;
  return value;
}

bool ordered(double left, Sign sign, double right) {
  switch (sign) {
    case Sign::less:
      return left < right;
    case Sign::at_most:
      return left <= right;
    case Sign::at_least:
      return left >= right;
    case Sign::greater:
      return left > right;
    case Sign::equal:
      return left == right;
    case Sign::not_equal:
      return left != right;
  }
  throw std::logic_error("a comparison without a meaning");
}

bool holds(const Constraint::Comparison& comparison, const std::vector<Value>& values) {
  const Value left = value_of(comparison.left, values), right = value_of(comparison.right, values);
  const auto *a = std::get_if<double>(&left), *b = std::get_if<double>(&right);
  if (a != nullptr && b != nullptr) return ordered(*a, comparison.sign, *b);
  if (comparison.sign == Sign::equal) return left == right;
  if (comparison.sign == Sign::not_equal) return left != right;
  throw std::invalid_argument(
      fmt::format("asks whether \"{}\" is smaller or larger than \"{}\"; words can only be equal (==) or not "
                  "(!=)",
                  text_of(left), text_of(right)));
}

}  // namespace

Constraint parse_constraint(const std::string& text, const std::vector<std::string>& factors) {
  return {text, Reader(tokens_of(text), factors).comparisons()};
}

bool holds(const Constraint& constraint, const std::vector<Value>& values) {
  return std::all_of(constraint.all.begin(), constraint.all.end(),
                     [&](const auto& comparison) { return holds(comparison, values); });
}

}  // namespace setstress
