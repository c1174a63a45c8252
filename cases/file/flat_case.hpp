#pragma once
// A case as one table, and as one file: layers laid over each other, nothing left to look up elsewhere.

#include <toml++/impl/forward_declarations.h>

#include <filesystem>
#include <string>

#include "cases/file/case.hpp"
#include "cases/reader/case_layers.hpp"

namespace setstress {

/// Lays `above` over `below`: tables key by key, lists and values as a whole, as a case file over its `base`;
/// what `above` lists under `without` is taken back of `below` before.
void lay_over(toml::table& below, const toml::table& above);

/// The layers as one table without `base`; the paths of materials.include become absolute.
toml::table flattened(const CaseLayers& layers);

/// Paths of materials.include that are relative become absolute, as from `folder`.
void make_includes_absolute(toml::table& layer, const std::filesystem::path& folder);

/// The case as the text of one file that gives the same numbers anywhere: flattened, the material files that
/// it includes written into it (materials.own). Throws CaseError where one cannot be read.
std::string standing_alone(const CaseLayers& layers, const std::string& title);

/// The files that `layers` and their materials come from, the library that comes with the program among them.
std::vector<SourceFile> files_of(const CaseLayers& layers);

/// As a case file, always the same for the same table.
std::string text_of(const toml::table& table);

}  // namespace setstress
