#pragma once
// What a group's runs have in common of their tissues.

namespace setstress {

/// one_for_all: stiffnesses are equal, and rows of their matrix are shared. each_its_own: tissues act element
/// by element, as filling does, which takes longer.
enum class Tissues { one_for_all, each_its_own };

}  // namespace setstress
