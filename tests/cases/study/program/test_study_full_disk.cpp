// A disk that fills up during a study: a small file system in memory stands for it. Built only where one can
// be mounted.

#ifdef SETSTRESS_CAN_MOUNT

#include <sys/mount.h>

#include <catch2/catch.hpp>

#include "cases/study/table/result_table.hpp"
#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

TEST_CASE("a full disk ends a study in a sentence, with room again it goes on", "[study]") {
  const std::string size = GENERATE("16k", "40k", "100k");  // while the table is made, and later
  CAPTURE(size);
  const ScratchFolder folder;
  const auto disk = folder.path() / "disk";
  std::filesystem::create_directory(disk);
  REQUIRE(mount("none", disk.c_str(), "tmpfs", 0, ("size=" + size).c_str()) == 0);
  const std::string command = "study '" SETSTRESS_STUDY_FILES "/small-joints.toml' --out . --quiet";
  const Ended full = run_program(command, disk);
  const bool grown = mount("none", disk.c_str(), nullptr, MS_REMOUNT, "size=10m") == 0;
  const Ended roomy = run_program(command, disk);
  const ResultTable table = read_results(disk / "small-joints.sqlite");
  REQUIRE(umount(disk.c_str()) == 0);
  CHECK(full.code == 1);
  CHECK_THAT(full.output, Contains("the disk is full") || Contains("No space left on device"));
  REQUIRE(grown);
  CHECK(roomy.code == 0);
  for (const ResultRow& row : table.rows) CHECK(row.status == RunStatus::done);
}

#endif
