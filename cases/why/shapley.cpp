#include "cases/why/shapley.hpp"

#include <bit>
#include <stdexcept>

namespace setstress {

namespace {

/// Share of all orders of `causes` in which exactly a given set of `before` comes before a given cause:
/// before! (causes - before - 1)! / causes!
double share_of_orders(int causes, int before) {
  double share = 1.0 / causes;  // and 1 / (causes - 1 over before)
  for (int k = 1; k <= before; ++k) share *= static_cast<double>(k) / (causes - k);
  return share;
}

}  // namespace

std::vector<double> shapley_values(int causes, const Game& game) {
  constexpr int most = 16;
  if (causes < 0 || causes > most) throw std::invalid_argument("causes: must be between 0 and 16");
  std::vector<double> out;
  for (CauseSet set = 0; set < (CauseSet{1} << causes); ++set) out.push_back(game(set));
  std::vector<double> parts(static_cast<std::size_t>(causes), 0.0);
  for (int cause = 0; cause < causes; ++cause)
    for (CauseSet set = 0; set < out.size(); ++set) {
      const CauseSet own = CauseSet{1} << cause;
      if ((set & own) != 0) continue;
      parts[static_cast<std::size_t>(cause)] +=
          share_of_orders(causes, std::popcount(set)) * (out[set | own] - out[set]);
    }
  return parts;
}

}  // namespace setstress
