#pragma once
// What is thrown where a geometry cannot be.

#include <stdexcept>
#include <string>
#include <utility>

namespace setstress {

/// A geometry that cannot be. `key` is the dotted name of the case-file entry at fault (for example
/// "preparation.width"), so that the reader can add file and line; what() is the whole sentence with value
/// and limits.
struct GeometryError : std::runtime_error {
  GeometryError(std::string key_, const std::string& sentence)
      : std::runtime_error(sentence), key(std::move(key_)) {}
  std::string key;
};

}  // namespace setstress
