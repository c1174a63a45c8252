// Results appear whole or not at all, and nothing of others is touched.

#include <signal.h>
#include <vtkNew.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <catch2/catch.hpp>
#include <cstdlib>

#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"
#include "viz/files/result_reader.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

const char* const quick_run = "run butt-joint --fineness 1.5 --quiet --out ";

}  // namespace

TEST_CASE("Ctrl-C ends a run after its step, the frames until then are kept and readable", "[end to end]") {
  const ScratchFolder folder;
  const pid_t child = start_program(
      {"run", "deep-box-oblique", "--fineness", "coarse", "--quiet", "--out", "r"}, folder.path());
  wait_for(folder.path() / "r.part/frames.pvd");
  REQUIRE(kill(child, SIGINT) == 0);
  CHECK(exit_code(child) == 1);
  CHECK_THAT(content(folder.path() / "log"), Contains("stopped at") && Contains("as asked"));
  CHECK(json_of(folder.path() / "r/manifest.json")["interrupted"] == true);
  CHECK(json_of(folder.path() / "r/summary.json")["reached_the_end"] == false);
  const Result result = read_result(folder.path() / "r");
  REQUIRE(!result.frames.empty());
  for (const ResultFrame& frame : result.frames) {
    vtkNew<vtkXMLUnstructuredGridReader> reader;
    reader->SetFileName(frame.volume.c_str());
    reader->Update();
    CHECK(reader->GetOutput()->GetNumberOfCells() > 0);
  }
}

TEST_CASE("a folder that setstress did not write is refused and left alone", "[end to end]") {
  const ScratchFolder folder;
  std::filesystem::create_directory(folder.path() / "mine");
  folder.write("mine/thesis.txt", "years of work");
  const Ended ended = run_program(quick_run + std::string("mine"), folder.path());
  CHECK(ended.code == 2);
  CHECK_THAT(ended.output, Contains("was not written by setstress"));
  CHECK(content(folder.path() / "mine/thesis.txt") == "years of work");
  CHECK(!std::filesystem::exists(folder.path() / "mine.part"));
}

TEST_CASE("an older result is replaced as a whole", "[end to end]") {
  const ScratchFolder folder;
  REQUIRE(run_program(quick_run + std::string("r"), folder.path()).code == 0);
  folder.write("r/left-over.txt", "of the older run");
  REQUIRE(run_program(quick_run + std::string("r/"), folder.path()).code == 0);
  CHECK(!std::filesystem::exists(folder.path() / "r/left-over.txt"));
  CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 1);  // no .part, no .old
}

TEST_CASE("places that no folder can be put at are refused before anything is solved", "[end to end]") {
  const ScratchFolder folder;
  std::filesystem::create_symlink("nowhere", folder / "link");
  for (const char* place : {".", "./", "..", "link"}) {
    const Ended ended = run_program(quick_run + std::string(place), folder.path());
    CHECK(ended.code == 2);
    CHECK_THAT(ended.output, Contains("--out is"));
  }
  CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 1);  // the link
}

TEST_CASE("results go where a link leads", "[end to end]") {
  const ScratchFolder folder;
  std::filesystem::create_directory(folder / "there");
  std::filesystem::create_symlink("there", folder / "link");
  REQUIRE(run_program(quick_run + std::string("link"), folder.path()).code == 0);
  CHECK(std::filesystem::is_symlink(folder / "link"));
  CHECK(std::filesystem::exists(folder / "there/summary.json"));
}

TEST_CASE("what was solved is kept beside a folder that others filled meanwhile", "[end to end]") {
  const ScratchFolder folder;
  const pid_t child = start_program(
      {"run", "deep-box-oblique", "--fineness", "coarse", "--quiet", "--out", "r"}, folder.path());
  wait_for(folder / "r.part/frames.pvd");
  CHECK(std::filesystem::is_empty(folder / "r"));  // the name is taken from the beginning
  folder.write("r/thesis.txt", "years of work");
  REQUIRE(kill(child, SIGINT) == 0);
  CHECK(exit_code(child) == 1);
  CHECK_THAT(content(folder / "log"), Contains("the results are whole, and lie in r.part"));
  CHECK(content(folder / "r/thesis.txt") == "years of work");
  CHECK(json_of(folder / "r.part/summary.json").contains("bond"));
}

TEST_CASE("the case in a result folder gives the same numbers elsewhere, and says what was used",
          "[end to end]") {
  const ScratchFolder folder, elsewhere;
  folder.write("lab.toml", "[composite.lab]\nfrom = \"conventional-paste\"\nvolumetric_shrinkage = 0.03\n");
  folder.write(
      "mine.toml",
      "base = \"butt-joint\"\n[materials]\ninclude = \"lab.toml\"\nfilling = \"lab\"\n[mesh]\nfar = 9\n");
  REQUIRE(
      run_program("run mine.toml --fineness 1.5 --mode debonding --quiet --threads 1 --out r", folder.path())
          .code == 0);
  const auto manifest = json_of(folder / "r/manifest.json");
  CHECK(manifest["inputs"]["mesh.fineness"]["value"] == 1.5);
  CHECK(manifest["inputs"]["mesh.fineness"]["from"] == "command line:2");
  CHECK(manifest["inputs"]["mesh.far"]["value"] == manifest["mesh"]["largest_elsewhere_mm"]);
  CHECK(manifest["inputs"]["solver.mode"]["value"] == "debonding");
  CHECK(manifest["made_of"].size() == 4);  // mine, the joint, lab, the library
  std::filesystem::copy_file(folder / "r/case.toml", elsewhere / "case.toml");
  std::filesystem::remove(folder / "lab.toml");
  REQUIRE(run_program("run case.toml --quiet --threads 1 --out r", elsewhere.path()).code == 0);
  CHECK(content(elsewhere / "r/walls.csv") == content(folder / "r/walls.csv"));
  CHECK(content(elsewhere / "r/energies.csv") == content(folder / "r/energies.csv"));
}

TEST_CASE("a ready-made case is copied out whole, and nothing is overwritten", "[end to end]") {
  const ScratchFolder folder;
  CHECK(run_program("list --copy deep-box-layers mine.toml", folder.path()).code == 0);
  CHECK(content(folder / "mine.toml").find("base =") == std::string::npos);
  CHECK(run_program("check mine.toml --fineness coarse --quiet", folder.path()).code == 0);
  const Ended again = run_program("list --copy deep-box-layers mine.toml", folder.path());
  CHECK(again.code == 2);
  CHECK_THAT(again.output, Contains("is there already"));
  CHECK_THAT(run_program("list --copy deep-box", folder.path()).output, Contains("ready-made are"));
}

#ifdef SETSTRESS_MESHIO_PYTHON
TEST_CASE("frames open in meshio", "[end to end]") {
  const ScratchFolder folder;
  REQUIRE(run_program(quick_run + std::string("r"), folder.path()).code == 0);
  folder.write("read.py",
               "import glob, meshio\n"
               "for file in glob.glob('r/frames/*.vtu'):\n"
               "    mesh = meshio.read(file)\n"
               "    assert mesh.cells[0].type == 'tetra10', mesh.cells\n"
               "    assert mesh.point_data['displacement_mm'].shape == mesh.points.shape\n"
               "    assert len(mesh.cell_data['stress_MPa'][0]) == len(mesh.cells[0].data)\n");
  const std::string command =
      "cd '" + folder.path().string() + "' && " SETSTRESS_MESHIO_PYTHON " read.py > log 2>&1";
  const int failed = std::system(command.c_str());
  CAPTURE(content(folder / "log"));
  CHECK(failed == 0);
}
#endif
