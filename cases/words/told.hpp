#pragma once
// Private to cases/words: numbers of summaries.

#include <nlohmann/json.hpp>

namespace setstress {

/// Throws where `of` has no such number.
inline double told(const nlohmann::ordered_json& of, const char* key) {
  return of.at(key).get<double>();
}

}  // namespace setstress
