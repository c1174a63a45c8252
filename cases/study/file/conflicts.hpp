#pragma once
// Two places of a study that would give one key two values, of which one would be lost in silence.

#include <set>
#include <string>
#include <vector>

#include "cases/study/file/study.hpp"

namespace setstress {

/// Dotted keys and sections that `table` gives.
std::set<std::string> keys_and_sections(const toml::table& table);

/// Refuses, with CaseError at its place: one key in two factors, in alternatives of two factors, or in a
/// factor and the alternatives of another; a key of [set] in a factor or the `set` of an alternative; a key
/// taken back (`without`) that neither the base nor the file of an alternative gives. `given`: what the base
/// gives without [set]. `root` of the study file.
void require_conflict_free(const Section& root, const Study& study, const std::set<std::string>& given);

/// One sentence for each alternative whose file gives other values than the base outside its plan and header:
/// those are compared as well.
std::vector<std::string> notes_on_alternatives(const Study& study);

}  // namespace setstress
