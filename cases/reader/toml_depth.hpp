#pragma once
// Private to cases/reader: keys nested so deeply that the parser, which calls itself for each level, would
// run out of stack.

#include <string>

namespace setstress {

/// Throws CaseError, naming `name` and the line, where a key has more than 32 parts.
void refuse_deep_keys(const std::string& text, const std::string& name);

}  // namespace setstress
