#include <catch2/catch.hpp>
#include <fstream>

#include "cases/desk/desk_folder.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

TEST_CASE("the desk reads and writes nothing outside its folder") {
  const ScratchFolder scratch;
  const fs::path outside = scratch.path() / "outside.toml", inside = scratch.path() / "desk";
  std::ofstream(outside) << "secret = 1\n";
  const DeskFolder folder(inside);
  folder.write_case_file("my plan.toml", "x = 1\n");
  CHECK(folder.read_case_file("my plan.toml") == "x = 1\n");
  CHECK(folder.case_files().cases == std::vector<std::string>{"my plan.toml"});

  for (const std::string& name :
       {std::string("../outside.toml"), outside.string(), std::string(".toml"), std::string(".hidden.toml"),
        std::string("a/b.toml"), std::string("a\\b.toml"), std::string("a\nb.toml"),
        std::string("a\0b.toml", 8), std::string("-o.toml"), std::string("plan.json"), std::string(),
        std::string(200, 'a') + ".toml"}) {
    CHECK_THROWS_AS(folder.write_case_file(name, "x = 1\n"), CaseError);
    CHECK_THROWS_AS(folder.read_case_file(name), CaseError);
  }

  fs::create_symlink(outside, inside / "link.toml");
  CHECK_THROWS_AS(folder.read_case_file("link.toml"), CaseError);
  CHECK_THROWS_AS(folder.write_case_file("link.toml", "x = 1\n"), CaseError);
  CHECK(folder.case_files().cases.size() == 1);
  fs::create_directory_symlink(scratch.path(), inside / "up");
  CHECK(folder.shown_file("my plan.toml"));
  for (const char* path : {"link.toml", "up/outside.toml", "../outside.toml", "./my plan.toml", "/etc/passwd",
                           "", ".", "my plan.toml/..", "nothing.toml"})
    CHECK_FALSE(folder.shown_file(path));
  std::ofstream(inside / "program.sh") << "true\n";
  CHECK_FALSE(folder.shown_file("program.sh"));
}

TEST_CASE("files of materials are told from cases") {
  const ScratchFolder scratch;
  const DeskFolder folder(scratch.path() / "desk");
  folder.write_case_file("mine.toml", "[composite.my-paste]\nabout = \"mine\"\n");
  folder.write_case_file("broken.toml", "[a\n");
  folder.write_case_file("plan.toml", "base = \"deep-box-bulk\"\n[composite-notes]\n");
  CHECK(folder.case_files().materials == std::vector<std::string>{"mine.toml"});
  CHECK(folder.case_files().cases == std::vector<std::string>{"broken.toml", "plan.toml"});
}

TEST_CASE("a case of the desk builds on nothing outside its folder") {
  const ScratchFolder scratch;
  std::ofstream(scratch.path() / "outside.toml") << "secret = 1\n";
  const DeskFolder folder(scratch.path() / "desk");
  const auto layers = [&](const std::string& text) { return folder.layers_of("plan.toml", text).size(); };
  CHECK(layers("[plan]\nwait = 1\n") == 1);
  CHECK(layers("base = \"deep-box-bulk\"\n") == 2);  // ready-made
  folder.write_case_file("below.toml", "base = \"deep-box-bulk\"\n");
  CHECK(layers("base = \"below.toml\"\n") == 3);
  CHECK_THROWS_WITH(layers("base = \"../outside.toml\"\n"), Contains("lies outside the folder of this desk"));
  CHECK_THROWS_WITH(layers("[materials]\ninclude = \"../outside.toml\"\n"),
                    Contains("materials.include names"));
  CHECK_THROWS_WITH(layers("[materials]\ninclude = [\"/etc/passwd\"]\n"), Contains("lies outside"));
  folder.write_case_file("below.toml", "base = \"../outside.toml\"\n");
  CHECK_THROWS_WITH(layers("base = \"below.toml\"\n"), Contains("lies outside"));
  fs::create_symlink(scratch.path() / "outside.toml", scratch.path() / "desk" / "link.toml");
  CHECK_THROWS_WITH(layers("base = \"link.toml\"\n"), Contains("lies outside"));
}
