#pragma once
// What can make two plans differ, besides how they are placed. One table: a further cause is one more entry.
//
// A cause acts, or is taken away from both plans. An effect (light lost on its way, a bond that has yet to
// mature) is taken away by switching it off in both. Something that the two have otherwise (composite,
// adhesive, tooth) is taken away by giving one plan what the other has; as there is no saying which, both are
// done and the mean is taken.

#include <string>
#include <vector>

#include "cases/file/case.hpp"

namespace setstress {

/// One of the two plans.
struct WhySide {
  Case input;
  std::string main_composite;  ///< class that fills most of it
};

struct Cause {
  std::string key;    ///< "light-depth"
  std::string words;  ///< "light lost with depth"
  std::string tag;    ///< "light, depth": where there is little room
  bool is_effect;     ///< is switched off, rather than made equal
  bool (*acts)(const Case& first, const Case& second);
  void (*take_away)(Case& from, const WhySide& equal);  ///< effects do without `equal`
};

/// All that are known, in the order in which they are taken away and told.
const std::vector<Cause>& all_causes();

/// Those that can act in this pair.
std::vector<Cause> causes_of(const Case& first, const Case& second);

/// The class of composite that fills most of the cavity, by volume; of equals the first placed.
std::string main_composite_of(const Case& input, const Mesh& mesh);

}  // namespace setstress
