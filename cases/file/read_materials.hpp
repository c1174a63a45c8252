#pragma once
// [materials] and [bond] of a case file, on top of the library and the user's own files.

#include "cases/file/case_materials.hpp"
#include "cases/reader/toml_reader.hpp"

namespace setstress {

/// `composites` are the classes that the plan places. Throws CaseError.
CaseMaterials read_materials(const Section& root, const std::vector<std::string>& composites);

}  // namespace setstress
