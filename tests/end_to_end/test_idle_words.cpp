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

TEST_CASE("what the command line does not understand is said in a sentence, with the command to ask for help",
          "[end to end]") {
  const ScratchFolder folder;
  const auto [command, sentence] = GENERATE(table<std::string, std::string>({
      {"run", "setstress: CASE is missing\nsetstress run --help says more"},
      {"run a b", "setstress: 2 of CASE are given; at most 1 can be"},
      {"compare a", "setstress: 1 of CASE is given; at least 2 must be"},
      {"run a --out", "setstress: --out is given without what should follow it"},
      {"run a --thread 3", "\"--thread\" is no option here; did you mean \"--threads\"?"},
      {"run a --threads 0", "--threads is \"0\"; must be a whole number between 1 and 1024"},
      {"run a --quiet=3", "--quiet takes no value"},
      {"picture r --show x", "--show is \"x\"; must be one of: bond, walls"},
      {"film r --top -1", "--top is \"-1\"; must be a number above 0"},
      {"study case s x", "ROW is \"x\"; must be a whole number"},
      {"study work s", "--shard is missing\nsetstress study work --help"},
      {"study list a b", "\"b\" is one word too many"},
      {"wait butt-joint --below x", "--below is \"x\"; must be a number"},
      {"--fro", "\"--fro\" is no option here"},
      {"desk --show a --folder b", "cannot stand beside"},
      {"compare a b --seed 3", "--seed changes nothing without --odds"},
      {"compare a b --lanes 8", "--lanes changes nothing without --odds"},
      {"compare a b --device gpu", "--device changes nothing without --odds"},
      {"compare a b --odds --odds-fineness x", "--odds-fineness is \"x\"; must be coarse"},
      {"wait butt-joint --within \"2 h\"", "--within is 2 h; must be at most the longest wait tried, 30 min"},
  }));
  check_refused(folder, command, sentence);
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
