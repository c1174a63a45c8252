#include "solver/model/frame.hpp"

namespace setstress {

const std::array<FacetPoint, 6>& facet_points() {
  constexpr double a = 0.445948490915965, b = 0.091576213509771;
  constexpr double wa = 0.223381589678011, wb = 0.109951743655322;
  static const std::array<FacetPoint, 6> points{{{{1 - 2 * a, a, a}, wa},
                                                 {{a, 1 - 2 * a, a}, wa},
                                                 {{a, a, 1 - 2 * a}, wa},
                                                 {{1 - 2 * b, b, b}, wb},
                                                 {{b, 1 - 2 * b, b}, wb},
                                                 {{b, b, 1 - 2 * b}, wb}}};
  return points;
}

}  // namespace setstress
