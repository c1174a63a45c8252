#include "cases/study/file/value.hpp"

#include <fmt/format.h>

namespace setstress {

std::string text_of(const Value& value) {
  const auto* number = std::get_if<double>(&value);
  return number != nullptr ? fmt::format("{}", *number) : std::get<std::string>(value);
}

}  // namespace setstress
