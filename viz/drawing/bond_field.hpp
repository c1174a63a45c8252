#pragma once
// What pictures of the bond can show.

namespace setstress {

/// A quantity on the bond. "Strength lost" is the damage of a bond that lets go.
enum class BondField { ratio, strength_lost, gap };

}  // namespace setstress
