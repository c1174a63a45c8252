// What `setstress list` defines is what results hold, no less and no more.

#include <catch2/catch.hpp>

#include <set>
#include <sstream>

#include "cases/fluid/gap_fluid.hpp"
#include "cases/result/bites.hpp"
#include "cases/result/gap_report.hpp"
#include "cases/result/history.hpp"
#include "cases/words/result_numbers.hpp"

using namespace setstress;

namespace {

std::vector<std::string> columns_of(const std::string& table) {
  std::istringstream heading(table.substr(0, table.find('\n')));
  std::vector<std::string> columns;
  for (std::string column; std::getline(heading, column, ',');) columns.push_back(column);
  return columns;
}

std::set<std::string> defined_in(const std::string& file) {
  std::set<std::string> names;
  for (const ResultNumber& output : result_numbers())
    if (output.where == file) names.insert(output.name);
  return names;
}

}  // namespace

TEST_CASE("every column of a result's tables is defined, and none that is not there", "[cases]") {
  const std::vector<std::string> walls = columns_of(walls_table({}));
  CHECK(defined_in("walls.csv") == std::set<std::string>(walls.begin(), walls.end()));
  std::vector<std::string> columns = columns_of(energies_table({}));
  for (const std::string& table : {holds_table(Model{}, {}), readings_table({}, 1), bites_table({}),
                                   std::string(GapReport::heading), fluid_table({})})
    for (const std::string& column : columns_of(table)) columns.push_back(column);
  std::set<std::string> named(columns.begin(), columns.end()), defined = defined_in("energies.csv");
  defined.merge(defined_in("holds.csv"));
  defined.merge(defined_in("readings.csv"));
  defined.merge(defined_in("bites.csv"));
  defined.merge(defined_in(GapReport::table_name));
  defined.merge(defined_in(fluid_table_name));
  for (const char* as_in_walls : {"time_s", "event", "area_mm2"})
    named.erase(as_in_walls), defined.erase(as_in_walls);
  CHECK(defined == named);
}
