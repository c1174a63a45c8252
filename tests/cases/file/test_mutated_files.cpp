// A net for what nobody thought of: case, study and material files with random faults. Each is read, or
// refused in a sentence: nothing else may leave the reader, no word of a library, no endless message.
// SETSTRESS_SEED and SETSTRESS_MUTATIONS ask for others and for more (tests/fuzz.sh).

#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <random>
#include <sstream>

#include "cases/file/read_case.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/study/design/study_plan.hpp"
#include "tests/fuzz/fault_of.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;

namespace {

int from_environment(const char* name, int otherwise) {
  const char* text = std::getenv(name);
  return text != nullptr ? std::atoi(text) : otherwise;
}

std::string content_of(const std::filesystem::path& file) {
  std::ifstream stream(file);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

/// What has gone wrong in files before, and what looks as if it might.
const std::vector<std::string> words{"=",
                                     "[",
                                     "]]",
                                     "\"",
                                     "\"\"\"",
                                     "inf",
                                     "nan",
                                     "-1",
                                     "0",
                                     "1e300",
                                     "1e-300",
                                     "0x10",
                                     "\"0x10 s\"",
                                     "true",
                                     "{",
                                     "}",
                                     ",",
                                     "\n",
                                     "#",
                                     "[[plan.increment]]\n",
                                     "without = [\"plan\"]\n",
                                     "base = \"loop\"\n",
                                     "1979-05-27",
                                     "\xff",
                                     "\\u0000",
                                     "values = []\n",
                                     "light = []\n",
                                     "a.a.a.a.a.a",
                                     "''",
                                     "9223372036854775807"};

/// One to four faults: letters lost, doubled or changed, words put in, lines lost, moved or swapped.
std::string mutated(std::string text, std::mt19937& generator) {
  const auto up_to = [&](std::size_t most) {
    return std::uniform_int_distribution<std::size_t>(0, most)(generator);
  };
  for (std::size_t faults = 1 + up_to(3); faults > 0 && !text.empty(); --faults) {
    const std::size_t at = up_to(text.size() - 1), line = text.rfind('\n', at) + 1;
    const std::size_t end = std::min(text.find('\n', at), text.size() - 1) + 1;
    switch (up_to(5)) {
      case 0:
        text.erase(at, 1 + up_to(3));
        break;
      case 1:
        text[at] = static_cast<char>(up_to(255));
        break;
      case 2:
        text.insert(at, words[up_to(words.size() - 1)]);
        break;
      case 3:
        text.erase(line, end - line);
        break;
      case 4:
        text.insert(up_to(text.size()), text.substr(line, end - line));
        break;
      default: {  // another value in place of the one there
        const std::size_t equals = text.find('=', line);
        if (equals < end)
          text.replace(equals + 1, end - equals - 1, " " + words[up_to(words.size() - 1)] + "\n");
      }
    }
  }
  return text;
}

template <class Read>
void mutate_all(const std::vector<std::filesystem::path>& files, int each, const Read& read) {
  const auto seed = static_cast<unsigned>(from_environment("SETSTRESS_SEED", 1));
  const ScratchFolder folder;
  for (const auto& file : files) {
    const std::string sound = content_of(file);
    std::mt19937 generator(seed);
    for (int number = 0; number < each; ++number) {
      const std::string text = mutated(sound, generator);
      const auto written = folder.write(file.filename().string(), text);
      const std::string fault = testing::fault_of([&] { read(written); });
      CAPTURE(file, seed, number, text);
      CHECK(fault == "");
    }
  }
}

}  // namespace

TEST_CASE("files that slipped through once are read or refused in a sentence", "[cases]") {
  int offenders = 0;
  for (const auto& entry : std::filesystem::directory_iterator(SETSTRESS_OFFENDERS)) {
    CAPTURE(entry.path());
    CHECK(testing::fault_of([&] { (void)read_case(entry.path()); }) == "");
    CHECK(testing::fault_of([&] { (void)read_study(entry.path()); }) == "");
    CHECK(testing::fault_of([&] { (void)MaterialLibrary::load(entry.path()); }) == "");
    ++offenders;
  }
  CHECK(offenders >= 19);
}

TEST_CASE("case files with random faults are read or refused in a sentence", "[cases][fuzz]") {
  mutate_all(ready_made_cases(), from_environment("SETSTRESS_MUTATIONS", 20),
             [](const std::filesystem::path& file) { (void)read_case(file); });
}

TEST_CASE("material files with random faults are read or refused in a sentence", "[cases][fuzz]") {
  mutate_all({material_library_file()}, 5 * from_environment("SETSTRESS_MUTATIONS", 20),
             [](const std::filesystem::path& file) { (void)MaterialLibrary::load(file); });
}

TEST_CASE("study files with random faults are read or refused in a sentence", "[cases][fuzz]") {
  mutate_all(ready_made_studies(), from_environment("SETSTRESS_MUTATIONS", 20),
             [](const std::filesystem::path& file) {
               const Study study = read_study(file);
               if (study.points > 2000) return;  // reading it was the question
               const StudyPlan plan = plan_of(study);
               if (!plan.rows.empty()) (void)case_of(study, plan.rows.front());
             });
}
