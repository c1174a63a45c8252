#pragma once
// The maturity laws of strength under which a plan is judged.

#include <map>
#include <string>
#include <vector>

#include "cases/file/case.hpp"

namespace setstress {

/// One way for the strength to mature; stiffness stays as the case has it.
struct MaturityChoice {
  std::string name;  ///< "of the case", "chairside-rule", ...
  std::map<Substrate, MaturityLaw> strength;
};

/// Names that can be asked for.
std::vector<std::string> maturity_choice_names();

/// The laws of these names, with their usual parameters; "of-the-case" is the one that the case file gives.
/// A law that is the same as the case's own on every substrate is left out beside it. Throws CaseError for a
/// name that is none.
std::vector<MaturityChoice> maturity_choices(const Case& input, const std::vector<std::string>& names);

}  // namespace setstress
