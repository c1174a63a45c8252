#pragma once
// What geometry and mesher refuse, told as a fault of the case: file, line, key.

#include <functional>

#include "cases/file/case.hpp"

namespace setstress {

/// Does `work` on the geometry of `input`. Its refusals become CaseErrors at the key, or the increment, at
/// fault; where no mesh could be made of sizes that look possible, at the smallest of them.
void blaming_case(const Case& input, const std::function<void()>& work);

}  // namespace setstress
