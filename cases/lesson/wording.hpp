#pragma once
// Numbers and lists in sentences.

#include <string>
#include <vector>

namespace setstress {

/// "1.2 MPa": two figures that count.
std::string in_mpa(double stress);
/// "12 %"
std::string in_percent(double share);
/// "floor", "axial wall", "side walls"
std::string spoken_wall(const std::string& wall);
/// "a, b and c"
std::string listed(const std::vector<std::string>& words);

/// How `second` compares to `first`: "about the same" within a twentieth of the larger.
enum class Change { less, same, more };
Change change(double first, double second);

}  // namespace setstress
