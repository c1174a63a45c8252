#pragma once
// Values of material classes that are read and kept, though no result depends on them.

#include <string>
#include <string_view>
#include <vector>

namespace setstress {

struct UnusedField {
  std::string kind;  ///< "composite", or "tissue and fixture"
  std::string key;   ///< as below a class: "tensile_strength"
  std::string why;
};

std::vector<UnusedField> unused_fields();

}  // namespace setstress
