#pragma once
// What may leave a reader: nothing, or a refusal in a sentence of ours.

#include <exception>
#include <string>
#include <string_view>

#include "cases/reader/case_error.hpp"

namespace setstress::testing {

/// Reads; what was wrong with that, empty for nothing. Words of libraries that the text `given` holds itself
/// are echoed.
template <class Read>
std::string fault_of(const Read& read, std::string_view given = "") {
  try {
    read();
  } catch (const CaseError& error) {
    const std::string said = error.what();
    if (said.size() > 6000) return "a message of " + std::to_string(said.size()) + " letters";
    for (const char* raw : {"json.exception", "boost::", "basic_string", "Gmsh", "std::", "stod",
                            "vector::", "filesystem error"})
      if (said.find(raw) != std::string::npos && given.find(raw) == std::string_view::npos)
        return "raw text: " + said;
    return "";
  } catch (const std::exception& error) {
    return std::string("no refusal in a sentence of ours: ") + error.what();
  }
  return "";
}

}  // namespace setstress::testing
