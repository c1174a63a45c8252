// Pictures, films and the lesson, made and refused as a user meets them.

#include <signal.h>

#include <catch2/catch.hpp>
#include <map>

#include "program.hpp"
#include "tests/scratch_folder.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

/// One small run for all tests of a process.
std::filesystem::path small_result() {
  static const ScratchFolder scratch;
  static const std::filesystem::path folder = [] {
    const Ended run = run_program("run butt-joint --fineness 1.5 --quiet --out result", scratch.path());
    if (run.code != 0) throw std::runtime_error(run.output);
    return scratch / "result";
  }();
  return folder;
}

/// Runs the program and expects it to refuse in one sentence.
std::string refusal(const std::string& arguments, const std::filesystem::path& folder) {
  const Ended ended = run_program(arguments, folder);
  CAPTURE(ended.output);
  CHECK(ended.code == 2);
  CHECK(std::count(ended.output.begin(), ended.output.end(), '\n') == 1);
  return ended.output;
}

std::filesystem::path copy_of_result(const ScratchFolder& scratch, const char* name) {
  std::filesystem::copy(small_result(), scratch / name, std::filesystem::copy_options::recursive);
  return scratch / name;
}

}  // namespace

TEST_CASE("every picture of a run is drawn, and a film", "[end to end]") {
  const ScratchFolder scratch;
  const auto result = copy_of_result(scratch, "result");
  REQUIRE(
      run_program("run butt-joint --fineness 1.5 --mode debonding --quiet --out letting-go", scratch.path())
          .code == 0);
  for (const char* arguments : {"picture result --at worst --size 800x500 --background dark --out a.png",
                                "picture letting-go --field gap --out b.png",
                                "picture result result --show walls --at end --out c.svg",
                                "picture result --show walls --at \"1 min\" --out d.pdf",
                                "picture result --show cut --axis x --magnify 50 --out e.png",
                                "picture result --show deformed --background transparent --out f.png",
                                "picture letting-go --show radiograph --tilt 2 --out r.png",
                                "film result --size 600 --fps 4 --out g.webm"}) {
    CAPTURE(arguments);
    const Ended ended = run_program(arguments, scratch.path());
    CAPTURE(ended.output);
    CHECK(ended.code == 0);
    CHECK_THAT(ended.output, Contains("not a medical device"));
  }
  for (const char* file : {"a.png", "b.png", "c.svg", "d.pdf", "e.png", "f.png", "r.png", "g.webm"})
    CHECK(std::filesystem::file_size(scratch / file) > 3000);
  CHECK(std::filesystem::file_size(scratch / "c.svg") < 500'000);  // slides hold it
}

TEST_CASE("what cannot be drawn is refused in a sentence that names folder and file", "[end to end]") {
  const ScratchFolder scratch;
  const auto other = copy_of_result(scratch, "other"), broken = copy_of_result(scratch, "broken");
  nlohmann::json manifest = json_of(other / ResultLayout::manifest);
  manifest["version"] = "0.0.1";
  write_file(other / ResultLayout::manifest, manifest.dump());
  std::filesystem::remove(broken / ResultLayout::bond_file(2));
  const std::string good = small_result().string();
  for (const std::string command : {"picture ", "film "}) {
    CAPTURE(command);
    CHECK_THAT(refusal(command + "nowhere", scratch.path()), Contains("nowhere: there is no such folder"));
    CHECK_THAT(refusal(command + good + " other", scratch.path()),
               Contains("other by setstress 0.0.1") && Contains("with one version"));
    CHECK_THAT(refusal(command + "broken", scratch.path()),
               Contains("broken/frames.pvd lists broken/frames/bond_0002.vtp, which is not there"));
  }
  write_file(broken / ResultLayout::bond_file(2), "<VTKFile type=\"PolyData\"");
  CHECK_THAT(refusal("picture broken --at 29.6", scratch.path()), Contains("broken/frames/bond_0002.vtp"));
  nlohmann::json summary = json_of(broken / ResultLayout::summary);
  summary["title"] = 3;
  write_file(broken / ResultLayout::summary, summary.dump());
  for (const std::string command : {"picture broken", "page broken", "compare broken broken"})
    CHECK_THAT(refusal(command, scratch.path()), Contains("broken holds no readable summary.json"));
  std::filesystem::remove(broken / ResultLayout::summary);
  CHECK_THAT(refusal("picture broken", scratch.path()),
             Contains("broken is not a whole result") && Contains("summary.json"));
}

TEST_CASE("a time between the instants of a result is drawn at the nearest, and that is said",
          "[end to end]") {
  const ScratchFolder scratch;
  const Result result = read_result(small_result());
  const double one = result.frames[1].time, next = result.frames[2].time;
  REQUIRE(next - one > 2);
  const std::string command = "picture " + small_result().string() + " --out a.png --at ";
  const Ended between = run_program(command + std::to_string(one + 0.25 * (next - one)), scratch.path());
  CHECK(between.code == 0);
  CHECK_THAT(between.output, Contains("the nearest, is drawn"));
  CHECK_THAT(run_program(command + std::to_string(one), scratch.path()).output, !Contains("nearest"));
}

TEST_CASE("options of pictures that cannot be are refused", "[end to end]") {
  const ScratchFolder scratch;
  const std::string good = "picture " + small_result().string();
  CHECK_THAT(refusal(good + " --at \"2 h\"", scratch.path()), Contains("holds nothing at 2 h"));
  CHECK_THAT(refusal(good + " --field gap", scratch.path()),
             Contains("the bond was assumed to hold") && Contains("--mode debonding"));
  CHECK_THAT(refusal(good + " --at soon", scratch.path()),
             Contains("is the text \"soon\"") && Contains("5 min"));
  CHECK_THAT(refusal(good + " --size big", scratch.path()), Contains("--size is \"big\""));
  CHECK_THAT(refusal(good + " --show cut --out cut.svg", scratch.path()), Contains("must end in .png"));
  CHECK_THAT(refusal(good + " --show cut --position 90", scratch.path()), Contains("misses the tooth"));
  CHECK_THAT(refusal(good + " --show radiograph", scratch.path()), Contains("the bond was assumed to hold"));
  CHECK_THAT(refusal(good + " --show radiograph --tilt 60", scratch.path()), Contains("between -45 and 45"));
  CHECK_THAT(refusal(good + " --show cut --beam occlusal", scratch.path()),
             Contains("--beam changes nothing"));
  CHECK_THAT(refusal("film " + small_result().string() + " --out film.avi", scratch.path()),
             Contains("\"film.avi\" ends in none"));
}

TEST_CASE("a missing Xvfb or ffmpeg is named with its package", "[end to end]") {
  const ScratchFolder scratch;
  const Ended no_display = run_program("picture " + small_result().string(), scratch.path(),
                                       "DISPLAY= PATH=" + scratch.path().string());
  CHECK(no_display.code == 2);
  CHECK_THAT(no_display.output, Contains("install the package xvfb"));
  // A folder of programs with all that a film needs but ffmpeg.
  for (const char* name : {"Xvfb", "sh", "xkbcomp"})
    if (std::filesystem::exists(std::filesystem::path("/usr/bin") / name))
      std::filesystem::create_symlink(std::filesystem::path("/usr/bin") / name, scratch / name);
  const Ended no_film = run_program("film " + small_result().string(), scratch.path(),
                                    "DISPLAY= PATH=" + scratch.path().string());
  CHECK(no_film.code == 2);
  CHECK_THAT(no_film.output, Contains("install the package ffmpeg"));
}

TEST_CASE("a run without a display keeps its numbers and says why there is no picture", "[end to end]") {
  const ScratchFolder scratch;
  const Ended run = run_program("run butt-joint --fineness 1.5 --out result", scratch.path(),
                                "DISPLAY= PATH=" + scratch.path().string());
  CAPTURE(run.output);
  CHECK(run.code == 0);
  CHECK_THAT(run.output, Contains("no bond.png was made") && Contains("install the package xvfb"));
  CHECK_FALSE(std::filesystem::exists(scratch / "result" / ResultLayout::bond_picture));
  CHECK(json_of(scratch / "result" / ResultLayout::manifest).at("finished") == true);
}

TEST_CASE("a comparison without a display keeps its numbers and says why there is no picture",
          "[end to end]") {
  const ScratchFolder scratch;
  const auto one = copy_of_result(scratch, "one"), two = copy_of_result(scratch, "two");
  const Ended compared = run_program("compare one two --out compared", scratch.path(),
                                     "DISPLAY= PATH=" + scratch.path().string());
  CAPTURE(compared.output);
  CHECK(compared.code == 0);
  CHECK_THAT(compared.output, Contains("no comparison.png was made") && Contains("install the package xvfb"));
  CHECK_FALSE(std::filesystem::exists(scratch / "compared" / "comparison.png"));
  CHECK(json_of(scratch / "compared" / "comparison.json").at("results").size() == 2);
  CHECK(json_of(scratch / "compared" / ResultLayout::manifest).at("finished") == true);
}

// The lesson at the coarsest mesh that holds its boxes; a chapter costs seconds.
TEST_CASE("the lesson computes its chapters, tells their numbers and goes on where it was",
          "[end to end][lesson]") {
  const ScratchFolder scratch;
  const Ended first = run_program("lesson --fineness 2 --draws 2 --quiet --out lesson", scratch.path());
  CAPTURE(first.output);
  REQUIRE(first.code == 0);
  const std::string page = content(scratch / "lesson" / "index.html");
  CHECK_THAT(page, Contains("invented") && Contains("not a medical device") && !Contains("src=\"http") &&
                       !Contains("href=\"http") && !Contains("not computed yet"));
  for (const char* file : {"pull-cut.png", "pull-chart.svg", "when-chart.svg", "when-bond.png",
                           "wait-chart.svg", "layers-bond.png", "layers-walls.svg", "letting-go-bond.png"})
    CHECK(std::filesystem::file_size(scratch / "lesson" / file) > 1000);
  CHECK_THAT(page, Contains("A sketch, not to be judged by") && Contains("too coarse for percentiles") &&
                       Contains("axial wall</text>"));
  // A number of the text, taken from the run itself.
  const nlohmann::json summary = json_of(scratch / "lesson" / "runs" / "letting-go" / ResultLayout::summary);
  const double gone = summary.at("bond").back().at("end").at("debonded_fraction").get<double>();
  char words[40];
  std::snprintf(words, sizeof words, "%.0f %% of the bond has let go", 100 * gone);
  CHECK_THAT(page,
             Contains(words) && Contains("Pressed by bite 1 of 100 N") && Contains("no verdict on a person"));
  const auto before =
      std::filesystem::last_write_time(scratch / "lesson" / "runs" / "deep-box" / "summary.json");
  const Ended again = run_program("lesson --fineness 2 --draws 2 --out lesson", scratch.path());
  CHECK(again.code == 0);
  CHECK_THAT(again.output, Contains("0 runs made"));
  CHECK(std::filesystem::last_write_time(scratch / "lesson" / "runs" / "deep-box" / "summary.json") ==
        before);
  CHECK(content(scratch / "lesson" / "index.html") == page);
}

TEST_CASE("Ctrl-C ends a lesson whatever it is at, finished chapters stay, and it goes on from there",
          "[end to end][lesson]") {
  const ScratchFolder scratch;
  const std::vector<std::string> command{"lesson", "--fineness", "2", "--quiet", "--out", "lesson"};
  const auto stopped_when_there = [&](const char* file) {
    const pid_t lesson = start_program(command, scratch.path());
    wait_for(scratch / "lesson" / file);
    REQUIRE(kill(lesson, SIGINT) == 0);
    CHECK(exit_code(lesson) == 1);
    return content(scratch / "log");
  };
  CHECK_THAT(stopped_when_there("runs/pull-free.part"),  // while meshing
             Contains("stopped as asked; no chapter is finished yet"));
  CHECK_FALSE(std::filesystem::exists(scratch / "lesson" / "index.html"));
  CHECK_THAT(stopped_when_there("index.html"),
             Contains("stopped as asked; 1 of 8 chapters are in lesson/index.html"));
  CHECK_THAT(content(scratch / "lesson" / "index.html"),
             Contains("pull-cut.png") && Contains("not computed yet"));
  CHECK(std::filesystem::file_size(scratch / "lesson" / "pull-cut.png") > 1000);
}

TEST_CASE("a lesson is not written over what is none", "[end to end]") {
  const ScratchFolder scratch;
  write_file(scratch / "mine" / "notes.txt", "keep");
  CHECK_THAT(refusal("lesson --out mine", scratch.path()), Contains("mine is there already"));
  CHECK_THAT(refusal("lesson --fineness huge --out new", scratch.path()), Contains("huge"));
  CHECK_FALSE(std::filesystem::exists(scratch / "new"));
}
