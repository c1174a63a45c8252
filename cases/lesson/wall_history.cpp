#include "cases/lesson/wall_history.hpp"

#include "viz/files/wall_table.hpp"

namespace setstress {

std::vector<WallInstant> whole_wall_history(const std::filesystem::path& result, const std::string& wall) {
  const WallTable table(result);
  for (const char* column :
       {"time_s", "wall", "substrate", "area_mm2", "placed_area_mm2", "stress_to_strength_mean"})
    table.require(column);
  std::vector<WallInstant> history;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    if (table.text(row, "wall") != wall || table.text(row, "substrate") != "all") continue;
    const auto number = [&](const char* column) { return table.number(row, column).value(); };
    constexpr double all_of_it = 0.999;
    if (number("placed_area_mm2") < all_of_it * number("area_mm2")) continue;
    history.push_back({number("time_s"), number("stress_to_strength_mean")});
  }
  return history;
}

}  // namespace setstress
