#pragma once
// What is thrown where a geometry cannot be.

#include <cstddef>
#include <stdexcept>
#include <string>
#include <utility>

namespace setstress {

/// A geometry that cannot be. `key` is the dotted name of the case-file entry at fault (for example
/// "preparation.width"), so that the reader can add file and line; what() is the whole sentence with value
/// and limits.
struct GeometryError : std::runtime_error {
  GeometryError(std::string key_, const std::string& sentence, std::size_t plane_ = 0)
      : std::runtime_error(sentence), key(std::move(key_)), plane(plane_) {}
  std::string key;
  std::size_t plane;  ///< of the layout, from 1; 0 where none is at fault
};

/// Dimensions that look possible, of which no solids or no mesh could be made; what() is for developers.
struct MeshingError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

}  // namespace setstress
