// A study in one process after another against a program for each of its runs, as a user would start them.

#include <fmt/format.h>
#include <sys/resource.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>

#include "solver/bench/measure.hpp"

namespace setstress::bench {

namespace {

constexpr const char* study = "uncertain-bond";  // ready-made: coarse deep boxes on one mesh
constexpr int separate_runs = 3;

/// A folder that goes when this does.
class ScratchFolder {
 public:
  ScratchFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "setstress-bench-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("cannot make a folder " + name);
    path_ = name;
  }
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

double processor_seconds_of_programs() {
  rusage used{};
  getrusage(RUSAGE_CHILDREN, &used);
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
  };
  return seconds(used.ru_utime) + seconds(used.ru_stime);
}

/// Runs the program beside this one and returns its processor time over all threads [s].
double cost_of_program(const std::string& arguments, const std::filesystem::path& folder) {
  const auto program = std::filesystem::read_symlink("/proc/self/exe").parent_path() / "setstress";
  if (!std::filesystem::exists(program))
    throw std::runtime_error(program.string() + " is not there: build all of setstress");
  const double before = processor_seconds_of_programs();
  const std::string command =
      fmt::format("cd '{}' && '{}' {} >output.txt 2>&1", folder.string(), program.string(), arguments);
  if (std::system(command.c_str()) != 0) throw std::runtime_error("this failed: " + command);
  return processor_seconds_of_programs() - before;
}

int lines_in(const std::filesystem::path& file) {
  std::ifstream in(file);
  int count = 0;
  for (std::string line; std::getline(in, line);) ++count;
  return count;
}

Reading many_runs_ratio(const Options& options) {
  const ScratchFolder scratch;
  const auto& folder = scratch.path();
  const double whole = cost_of_program(fmt::format("study {} --out . --jobs 1 --quiet", study), folder);
  cost_of_program(fmt::format("study csv {} --out .", study), folder);
  const int runs = lines_in(folder / "output.txt") - 1;
  double alone = 0;
  for (int row = 1; row <= separate_runs; ++row) {
    cost_of_program(fmt::format("study case {} {}", study, row), folder);
    std::filesystem::rename(folder / "output.txt", folder / fmt::format("{}.toml", row));
    alone += cost_of_program(
                 fmt::format("run {0}.toml --out result-{0} --threads {1} --quiet", row, options.threads),
                 folder) /
             separate_runs;
  }
  return {
      alone * runs / whole,
      fmt::format("{}, {} runs: {:.2f} s each in the study, {:.2f} s as programs of their own (mean of {}), "
                  "processor time over all",
                  study, runs, whole / runs, alone, separate_runs)};
}

}  // namespace

std::vector<Measure> many_measures() {
  return {{"many_runs.ratio", "x",
           "a run of a coarse study of about 100 against a program of its own for each run", 3, true,
           many_runs_ratio}};
}

}  // namespace setstress::bench
