#pragma once
// A limit on one number of one wall: what a plan must stay below.

#include <optional>
#include <string>
#include <vector>

#include "solver/report/wall_report.hpp"

namespace setstress {

/// The numbers of a wall that can be limited, each the largest of the whole run.
enum class WallQuantity {
  area_over_strength,  ///< share of the wall's whole area that is loaded to its strength or beyond [-]
  stress_to_strength,  ///< 95th percentile of the stress-to-strength ratio while all of the wall is filled
                       ///< [-]
  debonded_area,       ///< share of the wall's whole area that has let go [-]
  largest_gap          ///< [um]
};

/// "area-over-strength", ... as on the command line.
std::string name_of(WallQuantity quantity);
std::vector<std::string> wall_quantity_names();
/// Throws std::out_of_range for a name that is none.
WallQuantity wall_quantity(const std::string& name);
/// Whether it needs the bond to be able to let go.
bool needs_debonding(WallQuantity quantity);
/// What is limited where nothing is said: where the bond may let go, how much of it does.
WallQuantity usual_quantity(bool debonding);
/// Limit where none is given: 5 % of the area, a ratio of 1; there is none for the gap.
std::optional<double> usual_limit(WallQuantity quantity);

struct WallLimit {
  WallQuantity quantity = WallQuantity::area_over_strength;
  std::string wall = "floor";     ///< "all": the whole bond
  std::string substrate = "all";  ///< of the wall; "all": whatever it sits on
  double limit = 0.05;            ///< in the unit of the quantity; a value below it is wanted
  [[nodiscard]] bool met_by(double value) const { return value < limit; }
};

/// The number at one instant; 0 where nothing of that wall has been placed yet, of the ratio where not all
/// has.
double value_of(const WallRow& row, WallQuantity quantity);

/// The ratio of a wall that was filled in part.
struct PartFilled {
  double ratio;         ///< 95th percentile of what was filled [-]
  double placed, area;  ///< filled then, and of the whole wall [mm2]
};

/// The largest value of a run, seen instant by instant.
struct LargestValue {
  double value = 0;
  std::optional<PartFilled> part = {};  ///< of a limited ratio: the highest while the wall was filled in part
  /// Of a bond assumed to hold: the highest of what is stored over what parting all of the wall that is
  /// placed takes [-] (cases/result/energy_bound.hpp).
  std::optional<double> energy_bound = {};
  void see(const WallRow& row, WallQuantity quantity);
  void see_energy(double stored, double needed);  ///< at one instant [mJ]
  /// `part` where it is higher than `value`.
  [[nodiscard]] std::optional<PartFilled> higher_part() const;
};

/// "5.2 %", "1.31", "2.4 um".
std::string text_of(WallQuantity quantity, double value);

/// "floor, area over strength" for people.
std::string description(const WallLimit& limit);

}  // namespace setstress
