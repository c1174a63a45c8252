// Words of a command that would change nothing are refused, with what to do.

#include <catch2/catch.hpp>

#include "tests/end_to_end/program.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

void check_refused(const ScratchFolder& folder, const std::string& command, const std::string& sentence) {
  CAPTURE(command);
  const Ended ended = run_program(command, folder.path());
  CHECK(ended.code == 2);
  CHECK_THAT(ended.output, Contains(sentence));
}

}  // namespace

TEST_CASE("a word that is no command, and an empty one, are named", "[end to end]") {
  const ScratchFolder folder;
  check_refused(folder, "frob", "\"frob\" is no command; commands are: run");
  check_refused(folder, "studi list", "did you mean \"study\"?");
  check_refused(folder, "run butt-joint --out \"\"", "word 4 of the command is empty (after \"--out\")");
  check_refused(folder, "run butt-joint --out=", "word 3 of the command is empty");
}

TEST_CASE("options that the picture has no use for are refused", "[end to end]") {
  const ScratchFolder folder;
  check_refused(folder, "picture r --position 1", "--position changes nothing in a picture of --show bond");
  check_refused(folder, "picture r --show bond --magnify 3", "--magnify changes nothing");
  check_refused(folder, "picture r --show walls --axis x", "--axis changes nothing");
  check_refused(folder, "picture r --show cut --field gap", "--field changes nothing");
  check_refused(folder, "picture r --show cut --magnify inf", "--magnify is inf; must be between");
  check_refused(folder, "picture r --show cut --magnify -3", "--magnify is -3; must be between");
}

TEST_CASE("options for a cluster are refused where the study runs here", "[end to end]") {
  const ScratchFolder folder;
  for (const char* option : {"--shards 3", "--account x", "--partition x", "--sbatch=--qos=x", "--no-submit"})
    check_refused(folder, std::string("study wall-composite --out . ") + option,
                  "changes nothing without --on slurm");
  CHECK(std::filesystem::is_empty(folder.path()));
}
