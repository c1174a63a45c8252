#pragma once
// From a case file (and the files it builds on) to a Case: the one place where input is read, checked and put
// into mm, N, s, MPa.

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/reader/case_layers.hpp"

namespace setstress {

/// Reads, resolves and checks everything that can be known without meshing. Throws CaseError.
Case read_case(const std::filesystem::path& file);

/// The same for tables read before, the most specific first.
Case read_case(const CaseLayers& layers, const std::string& name);

/// The same, but that no solid is built: what only that can refuse is not refused. Fast, a matter of
/// milliseconds.
Case read_case_numbers(const CaseLayers& layers, const std::string& name);

/// Size from "coarse", "standard", "fine" or a number of mm, as in --fineness. Throws CaseError.
MeshSize read_fineness(const std::string& text);

}  // namespace setstress
