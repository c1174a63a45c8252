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

#endif
