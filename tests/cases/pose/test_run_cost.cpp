#include "cases/pose/run_cost.hpp"

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/reader/data_folder.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

TEST_CASE("a run that will not fit the memory of this machine is refused with both figures, unless forced",
          "[memory]") {
  const ScratchFolder folder;
  const std::string mesh = "[mesh]\nfineness = 0.5\n";
  const Case held = read_case(folder.write("held.toml", good_case + mesh));
  const Case forced = read_case(folder.write("forced.toml", good_case + mesh + "beyond_memory = true\n"));
  constexpr double more_than_any_machine_has = 1e12;
  CHECK_THROWS_WITH(require_memory(held, more_than_any_machine_has, true),
                    Contains("held.toml:21: mesh.fineness: about 1000000000 thousand unknowns") &&
                        Contains("a run takes about 3808593.8 GB of memory") &&
                        Contains("GB are free here") && Contains("--force"));
  CHECK_NOTHROW(require_memory(held, 1000, true));
  CHECK_NOTHROW(require_memory(forced, more_than_any_machine_has, true));
}

TEST_CASE("unknowns are told before anything is meshed, from 40,000 on within a quarter", "[memory]") {
  for (const auto& [name, size] : {std::pair{"deep-box-layers", "0.44"}, {"flexing-mould", "0.44"}}) {
    CaseLayers layers = case_layers(find_case(name));
    layers.insert(layers.begin(), parse_toml(std::string("[mesh]\nfineness = ") + size + "\n", "test"));
    double told = 0;
    const Mesh mesh = mesh_of(read_case(layers, name), [&](double unknowns) { told = unknowns; });
    CAPTURE(name, mesh.unknowns());
    CHECK_THAT(told, WithinRel(static_cast<double>(mesh.unknowns()), 0.25));
  }
}

TEST_CASE("the memory that runs were seen to take is told within a tenth", "[memory]") {
  const ScratchFolder folder;
  const auto told_mb = [&](const char* solver, double unknowns) {
    const Case input = read_case(folder.write("case.toml", good_case + "[solver]\n" + solver));
    return estimated_memory(input, unknowns) / 1024 / 1024;
  };
  // Peaks of whole runs by the system's count [MB]: deep-box-bulk, through-box, of several sizes.
  for (const auto& [unknowns, seen] : {std::pair{48105, 337.},
                                       {87807, 385.},
                                       {128277, 525.},
                                       {203535, 774.},
                                       {425718, 1641.},
                                       {779511, 3234.}})
    CHECK_THAT(told_mb("mode = \"intact\"\n", unknowns), WithinRel(seen, 0.1));
  for (const auto& [unknowns, seen] : {std::pair{87807, 427.}, {193020, 856.}})
    CHECK_THAT(told_mb("mode = \"debonding\"\n", unknowns), WithinRel(seen, 0.1));
  for (const auto& [unknowns, seen] : {std::pair{48105, 606.}, {87807, 1161.}, {128277, 1778.}})
    CHECK_THAT(told_mb("linear_solver = \"direct\"\n", unknowns), WithinRel(seen, 0.1));
}
