#pragma once
// A sum that several causes bring about together, shared out among them.

#include <cstdint>
#include <functional>
#include <vector>

namespace setstress {

/// Causes that act: bit i is set where cause i does.
using CauseSet = std::uint32_t;
/// What comes out when these and no others act.
using Game = std::function<double(CauseSet acting)>;

/// The part of each of `causes`: what it adds when it is switched on, averaged over all orders in which the
/// causes can be switched on (Shapley 1953, in Contributions to the Theory of Games II, 307-317). The parts
/// add up to game(all) - game(none) to round-off; one that never changes anything gets 0; the negative game
/// gives the negative parts. Asks for each set once. Throws std::invalid_argument for more than 16 causes.
std::vector<double> shapley_values(int causes, const Game& game);

}  // namespace setstress
