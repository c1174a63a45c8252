#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/reader/data_folder.hpp"

using namespace setstress;

TEST_CASE("every ready-made case is marked as invented, reads, and has a title of its own", "[cases]") {
  std::vector<std::string> titles;
  for (const auto& file : ready_made_cases()) {
    INFO(file.string());
    const Case input = read_case(file);
    CHECK(input.invented);
    CHECK(std::find(titles.begin(), titles.end(), input.title) == titles.end());
    titles.push_back(input.title);
  }
  CHECK(titles.size() >= 12);
}

TEST_CASE("a ready-made case is found by its name, a near miss is suggested", "[cases]") {
  CHECK(find_case("deep-box-bulk").filename() == "deep-box-bulk.toml");
  CHECK_THROWS_WITH(find_case("deep-box-bluk"), Catch::Matchers::Contains("did you mean \"deep-box-bulk\"?"));
}

TEST_CASE("the floor of the deep box lies on root dentin", "[cases]") {
  Case input = read_case(find_case("deep-box-bulk"));
  input.mesh_size = fineness("coarse");
  const Mesh mesh = mesh_of(input);
  const auto substrates = substrates_of(mesh, input.bands);
  double floor = 0, radicular = 0;
  for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
    if (mesh.walls[static_cast<std::size_t>(mesh.bond[f].wall)] != "floor") continue;
    const double area = area_and_normal(mesh, mesh.bond[f].tooth).area;
    floor += area;
    if (substrates[f] == Substrate::radicular_dentin) radicular += area;
  }
  REQUIRE(floor > 0);
  CHECK(radicular > 0.95 * floor);  // rounded line angles belong to the floor and reach up a little
}
