// What libFuzzer makes of case, study and material files (tests/fuzz.sh): each is read as all three, up to
// where meshing would begin.

#include <cstdio>
#include <cstdlib>
#include <fstream>

#include "cases/file/read_case.hpp"
#include "cases/library/material_library.hpp"
#include "cases/study/design/study_plan.hpp"
#include "tests/fuzz/fault_of.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;

namespace {

void read_as_study(const std::filesystem::path& file) {
  const Study study = read_study(file);
  constexpr long as_many_as_take_no_time = 50;
  double rows = static_cast<double>(study.points);
  for (const Factor& factor : study.factors) rows *= static_cast<double>(factor.values.size());
  if (study.points > as_many_as_take_no_time || rows > 1000) return;
  const StudyPlan plan = plan_of(study);
  if (!plan.rows.empty())
    (void)read_case_numbers({parse_toml(case_text(study, plan.rows.front()), "row.toml")}, "row");
}

void require_none(const char* what, const std::string& fault) {
  if (fault.empty()) return;
  std::fprintf(stderr, "read as %s: %s\n", what, fault.c_str());
  std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* bytes, std::size_t count) {
  static const ScratchFolder folder;
  const std::string text(reinterpret_cast<const char*>(bytes), count);
  const std::filesystem::path file = folder.write("fuzzed.toml", text);
  const auto require_readable = [&](const char* what, const auto& read) {
    require_none(what, testing::fault_of(read, text));
  };
  require_readable("case", [&] { (void)read_case_numbers(case_layers(file), "fuzzed"); });
  require_readable("study", [&] { read_as_study(file); });
  require_readable("materials", [&] { (void)MaterialLibrary::load(file); });
  return 0;
}
