// Each command from start to finish on coarse cases; files are read back with VTK's own readers.

#include <vtkCellData.h>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkPNGReader.h>
#include <vtkPointData.h>
#include <vtkPolyData.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLPolyDataReader.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <catch2/catch.hpp>

#include "tests/cases/scratch_case.hpp"
#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"
#include "viz/files/result_reader.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

vtkNew<vtkXMLUnstructuredGridReader> volume_of(const std::filesystem::path& file) {
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  return reader;
}

void check_picture(const std::filesystem::path& file) {
  vtkNew<vtkPNGReader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  double range[2] = {0, 0};
  reader->GetOutput()->GetScalarRange(range);
  CHECK(reader->GetOutput()->GetDimensions()[0] >= 400);
  CHECK(range[1] > range[0]);  // not one flat colour
}

/// A small joint that runs in a second.
const std::string small_joint = R"([case]
title = "Small joint"
[specimen]
kind = "butt-joint"
[materials]
filling = "flowable"
[[hold]]
surface = "bottom"
[[hold]]
surface = "top"
[mesh]
fineness = 0.5
[plan]
end = "1 min"
[[plan.light]]
irradiance = 1000.0
duration = "20 s"
from = "buccal"
[[plan.increment]]
placing_time = "5 s"
)";

}  // namespace

TEST_CASE("the libraries of the mesher are not loaded where nothing is meshed", "[end to end]") {
  const ScratchFolder folder;
  folder.write("wrong.toml", "base = \"deep-box-bulk\"\n[preparation]\ndepht = 4\n");
  for (const char* arguments : {"--version", "--help", "list", "check wrong.toml"}) {
    CAPTURE(arguments);
    const std::string told = run_program(arguments, folder.path(), "LD_DEBUG=files").output;
    CHECK_THAT(told, Contains("libvtkCommonCore"));
    CHECK(told.find("libgmsh") == std::string::npos);
  }
  CHECK_THAT(run_program("check butt-joint", folder.path(), "LD_DEBUG=files").output, Contains("libgmsh"));
}

TEST_CASE("results with a name longer than the system allows are no folder, whatever is asked of them",
          "[end to end]") {
  const ScratchFolder folder;
  const std::string name(300, 'x');
  for (const char* command : {"picture ", "film ", "page "}) {
    const Ended ended = run_program(command + name, folder.path());
    CHECK(ended.code == 2);
    CHECK_THAT(ended.output, Contains("there is no such folder") || Contains("is not a whole result"));
    CHECK(ended.output.size() < 500);
  }
}

TEST_CASE("a run beyond the memory of any machine is refused before it is meshed", "[end to end]") {
  const ScratchFolder folder;
  folder.write("vast.toml", "base = \"butt-joint\"\n[specimen]\nlength = 400\nwidth = 400\n");
  for (const char* command : {"run vast.toml --fineness 0.02 --out r", "check vast.toml --fineness 0.02"}) {
    const Ended ended = run_program(command, folder.path());
    CHECK(ended.code == 2);
    CHECK_THAT(ended.output,
               Contains("command line:2: mesh.fineness: about") && Contains("GB are free here"));
  }
  CHECK(!std::filesystem::exists(folder / "r"));
}

TEST_CASE("list names cases, classes and laws, and gives every value with its basis as JSON",
          "[end to end]") {
  const ScratchFolder folder;
  CHECK_THAT(run_program("list", folder.path()).output,
             Contains("deep-box-bulk") && Contains("bulk-fill-flowable") && Contains("chairside-rule") &&
                 Contains("not a medical device"));
  const auto report = nlohmann::json::parse(run_program("list --json", folder.path()).output);
  for (const auto& composite : report["composites"])
    for (const auto& [key, value] : composite["values"].items()) CHECK(value.contains("basis"));
}

TEST_CASE("help teaches every command with an example", "[end to end]") {
  const ScratchFolder folder;
  for (const std::string command : {"run", "compare", "check", "mesh", "list"}) {
    const Ended ended = run_program(command + " --help", folder.path());
    CHECK(ended.code == 0);
    CHECK_THAT(ended.output, Contains("Example:\n  setstress " + command));
  }
  CHECK(run_program("rnu", folder.path()).code == 2);
  CHECK(run_program("run deep-box-bulk --mode broken", folder.path()).code == 2);
}

TEST_CASE("a run whose iterative solver gives up says so and ends as with the direct one", "[end to end]") {
  const std::string mode = GENERATE("intact", "debonding");
  const ScratchFolder folder;
  folder.write("joint.toml", small_joint);
  folder.write("forced.toml", small_joint + "[solver]\nmost_linear_iterations = 2\n");
  const auto ran = [&](const std::string& what) {
    const Ended ended = run_program("run " + what + " --mode " + mode, folder.path());
    INFO(ended.output);
    REQUIRE(ended.code == 0);
    return ended.output;
  };
  CHECK_THAT(ran("forced.toml --out forced"),
             Contains("iterative linear solver did not converge in") && Contains("the direct one took over"));
  CHECK_THAT(ran("joint.toml --out usual"), !Contains("did not converge"));
  ran("joint.toml --solver direct --out direct");
  const auto manifest = json_of(folder / "forced/manifest.json");
  CHECK(manifest["timings"]["direct_fallbacks"].get<int>() > 0);
  CHECK_THAT(manifest["warnings"].at(0).get<std::string>(), Contains("the direct one took over"));
  CHECK(json_of(folder / "usual/manifest.json")["warnings"].empty());
  const auto shrinkage_work = [&](const std::string& run) {
    return json_of(folder / run / "summary.json")["energies_at_end"]["shrinkage_work_mJ"].get<double>();
  };
  // Balance is to 1e-6 in each.
  CHECK(shrinkage_work("forced") == Approx(shrinkage_work("direct")).epsilon(1e-5));
}

TEST_CASE("check reports volumes, areas, C-factors and timeline without solving", "[end to end]") {
  const ScratchFolder folder;
  const Ended ended = run_program("check shallow-occlusal-box --fineness coarse --json", folder.path());
  REQUIRE(ended.code == 0);
  const auto report = nlohmann::json::parse(ended.output);
  double walls = 0;
  for (const auto& wall : report["walls"]) {
    double by_substrate = 0;
    for (const auto& [substrate, area] : wall["area_by_substrate_mm2"].items())
      by_substrate += area.get<double>();
    CHECK(by_substrate == Approx(wall["area_mm2"].get<double>()));
    walls += by_substrate;
  }
  CHECK(report["c_factors"]["whole"]["bonded_mm2"].get<double>() == Approx(walls));
  CHECK(report["timeline"].back()["event"] == "end of the run");
  CHECK(std::filesystem::is_empty(folder.path()));
}

TEST_CASE("mesh writes a file that VTK reads and one for Gmsh", "[end to end]") {
  const ScratchFolder folder;
  const Ended ended =
      run_program("mesh deep-box-floor-layer --fineness coarse --out m.vtu --json", folder.path());
  REQUIRE(ended.code == 0);
  const auto report = nlohmann::json::parse(ended.output);
  const auto reader = volume_of(folder.path() / "m.vtu");
  CHECK(reader->GetOutput()->GetNumberOfCells() == report["tetrahedra"].get<int>());
  CHECK(run_program("mesh deep-box-floor-layer --fineness coarse --out m.msh", folder.path()).code == 0);
  CHECK_THAT(content(folder.path() / "m.msh"), Catch::StartsWith("$MeshFormat"));
  CHECK(run_program("mesh deep-box-bulk --out m.stl", folder.path()).code == 2);
}

TEST_CASE("run writes the whole history of the bond", "[end to end]") {
  const std::string mode = GENERATE("intact", "debonding");
  const ScratchFolder folder;
  const Ended ended = run_program("run deep-box-bulk --fineness 1.2 --out r --mode " + mode, folder.path());
  INFO(ended.output);
  REQUIRE(ended.code == 0);
  CHECK_THAT(ended.output, Contains("floor") && Contains("not a medical device"));

  const auto summary = json_of(folder.path() / "r/summary.json");
  CHECK(summary["mode"] == mode);
  CHECK(summary["energies_at_end"]["largest_relative_error"].get<double>() < 0.02);
  const auto manifest = json_of(folder.path() / "r/manifest.json");
  CHECK(manifest["interrupted"] == false);
  CHECK_THAT(manifest["inputs"]["preparation.depth"]["from"].get<std::string>(),
             Contains("deep-box-bulk.toml:"));
  CHECK(manifest["materials"]["composite"]["bulk-fill-paste"]["values"].size() > 10);
  CHECK_THAT(content(folder.path() / "r/walls.csv"), Contains(",floor,radicular dentin,"));
  check_picture(folder.path() / "r/bond.png");

  const Result result = read_result(folder.path() / "r");
  REQUIRE(result.frames.size() >= 10);
  CHECK(result.frames.back().time == Approx(summary["end_time_s"].get<double>()));
  const auto volume = volume_of(result.frames.back().volume);
  for (const char* name : {"stress_MPa", "principal_stress_MPa", "conversion", "increment", "region"})
    CHECK(volume->GetOutput()->GetCellData()->HasArray(name));
  CHECK(volume->GetOutput()->GetPointData()->HasArray("displacement_mm"));
  vtkNew<vtkXMLPolyDataReader> bond;
  bond->SetFileName(result.frames.back().bond.c_str());
  bond->Update();
  for (const char* name :
       {"traction_MPa", "stress_to_strength_ratio", "strength_lost", "gap_mm", "wall", "substrate"})
    CHECK(bond->GetOutput()->GetCellData()->HasArray(name));
}

TEST_CASE("the same case gives the same summary byte for byte, on any number of threads", "[end to end]") {
  const ScratchFolder folder;
  const auto file = folder.write("joint.toml", small_joint);
  REQUIRE(run_program("run joint.toml --quiet --out a --threads 1", folder.path()).code == 0);
  REQUIRE(run_program("run joint.toml --quiet --out b --threads 2", folder.path()).code == 0);
  CHECK(content(folder.path() / "a/summary.json") == content(folder.path() / "b/summary.json"));
  CHECK(content(folder.path() / "a/walls.csv") == content(folder.path() / "b/walls.csv"));
}

TEST_CASE("both linear solvers give the same result", "[end to end]") {
  const ScratchFolder folder;
  folder.write("joint.toml", small_joint);
  REQUIRE(run_program("run joint.toml --quiet --out a --solver two-level", folder.path()).code == 0);
  REQUIRE(run_program("run joint.toml --quiet --out b --solver direct", folder.path()).code == 0);
  const auto end = [&](const char* run) {
    return json_of(folder.path() / run / "summary.json")["bond"]
        .back()["end"]["normal_traction_mean_MPa"]
        .get<double>();
  };
  CHECK(end("a") == Approx(end("b")).epsilon(1e-4));  // both stop at an out-of-balance force of 1e-6
}

TEST_CASE("compare runs cases, takes folders, and says what differs", "[end to end]") {
  const ScratchFolder folder;
  folder.write("joint.toml", small_joint);
  folder.write("waiting.toml",
               "base = \"joint.toml\"\n[case]\ntitle = \"Later\"\n[[plan.increment]]\nwait = \"5 min\"\n");
  REQUIRE(run_program("run joint.toml --quiet --out before", folder.path()).code == 0);
  const Ended ended = run_program("compare before waiting.toml --out both", folder.path());
  INFO(ended.output);
  REQUIRE(ended.code == 0);
  CHECK_THAT(ended.output, Contains("chair time"));
  const auto comparison = json_of(folder.path() / "both/comparison.json");
  CHECK(comparison["results"].size() == 2);
  CHECK(comparison["pairs"][0]["sentences"].back() == "They differ in nothing but the plan.");
  check_picture(folder.path() / "both/comparison.png");
  CHECK(std::filesystem::exists(folder.path() / "both/waiting/summary.json"));
}

TEST_CASE("bad input ends with 2, a sentence, and nothing written", "[end to end]") {
  const ScratchFolder folder;
  folder.write("slip.toml", changed("depth = 2.0", "depth = 4000.0"));
  const Ended ended = run_program("run slip.toml --out r", folder.path());
  CHECK(ended.code == 2);
  CHECK_THAT(ended.output, Contains("slip.toml:7: preparation.depth is 4000 [mm]"));
  CHECK(!std::filesystem::exists(folder.path() / "r"));
  CHECK(!std::filesystem::exists(folder.path() / "r.part"));
}
