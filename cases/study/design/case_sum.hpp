#pragma once
// A short name for what a case says.

#include <string>

#include "cases/file/case.hpp"

namespace setstress {

/// Equal for two cases that give the same numbers: every value as resolved, written or by default, without
/// titles, places and sources.
std::string case_sum(const Case& input);

}  // namespace setstress
