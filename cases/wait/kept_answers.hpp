#pragma once
// Answers of single waits, kept on disk as soon as they are known: neither Ctrl-C nor a kill loses one.

#include <filesystem>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/wait/wall_limit.hpp"

namespace setstress {

struct WaitAnswer {
  std::string law;
  double wait;  ///< [s]
  LargestValue largest;
};

/// Equal for questions whose answers can be put together: same program, case, wall, quantity and increment
/// that waits; the limit itself does not matter.
std::string sum_of_question(const Case& input, const WallLimit& limit, int entry);

class KeptAnswers {
 public:
  static constexpr const char* name_in_folder = "answers.json";

  /// Of the search that writes its results into the folder `out`: those kept beside it by one that was ended,
  /// and those in it. Throws CaseError where either file is none of setstress.
  explicit KeptAnswers(const std::filesystem::path& out);

  [[nodiscard]] std::vector<WaitAnswer> of(const std::string& sum) const;
  /// Writes it down beside the folder. Throws as write_file().
  void keep(const std::string& sum, WaitAnswer answer);
  /// Writes all into `folder`, which is about to be published.
  void write_into(const std::filesystem::path& folder) const;
  /// What was kept beside the folder stands in it now.
  void published() const;

 private:
  struct Kept {
    std::string sum;
    WaitAnswer answer;
  };
  void read(const std::filesystem::path& file);
  [[nodiscard]] std::string text() const;

  std::filesystem::path beside_;
  std::vector<Kept> all_;
};

}  // namespace setstress
