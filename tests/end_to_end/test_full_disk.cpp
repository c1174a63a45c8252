// A disk that fills up during a run: a small file system in memory stands for it. Built only where one can be
// mounted.

#ifdef SETSTRESS_CAN_MOUNT

#include <sys/mount.h>

#include <catch2/catch.hpp>

#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

TEST_CASE("a full disk ends in a clear sentence, exit 1, and no half files", "[end to end]") {
  const ScratchFolder folder;
  const auto disk = folder.path() / "disk";
  std::filesystem::create_directory(disk);
  REQUIRE(mount("none", disk.c_str(), "tmpfs", 0, "size=600k") == 0);
  const Ended ended = run_program("run deep-box-bulk --fineness coarse --quiet --out r", disk);
  const bool empty = std::filesystem::is_empty(disk);
  REQUIRE(umount(disk.c_str()) == 0);
  CHECK(ended.code == 1);
  CHECK_THAT(ended.output, Contains("No space left on device"));
  CHECK(empty);
}

TEST_CASE("whatever is written, a full disk and a read-only place end in a sentence and leave nothing",
          "[end to end]") {
  const ScratchFolder folder;
  const auto disk = folder.path() / "disk";
  std::filesystem::create_directory(disk);
  for (const bool is_full : {true, false}) {
    std::vector<const char*> commands{"fit invented-paste --quiet",
                                      "mesh butt-joint --fineness coarse --quiet"};
    if (!is_full)  // else it needs a run first, see above, or fits
      commands.insert(commands.end(),
                      {"run butt-joint --quiet", "study which-plan --quiet", "list --copy butt-joint",
                       "check butt-joint --fineness coarse --quiet --out report.json"});
    for (const char* command : commands) {
      REQUIRE(mount("none", disk.c_str(), "tmpfs", is_full ? 0 : MS_RDONLY, "size=4k") == 0);
      const Ended ended = run_program(command, disk);
      const bool nothing_whole = !std::filesystem::exists(disk / "butt-joint.vtu") &&
                                 !std::filesystem::exists(disk / "report.json") &&
                                 !std::filesystem::exists(disk / "fit-invented-paste") &&
                                 !std::filesystem::exists(disk / "results-butt-joint");
      REQUIRE(umount(disk.c_str()) == 0);
      CAPTURE(command, is_full, ended.output);
      CHECK(ended.code == 1);
      CHECK(ended.output.starts_with("setstress: "));
      CHECK_THAT(ended.output, !Contains("filesystem error"));
      if (!is_full)
        CHECK_THAT(ended.output, Contains("Read-only file system"));
      else
        CHECK_THAT(ended.output, Contains("No space left on device") || Contains("the disk is full"));
      CHECK(nothing_whole);
    }
  }
}

#endif
