#pragma once
// A folder of results that appears under its name only when it is whole.

#include <filesystem>

namespace setstress {

/// Collects files in NAME.part and renames that to NAME when all is written. A folder that setstress wrote
/// (its manifest.json says so), or an empty one, is replaced; any other is refused. The name is claimed by an
/// empty folder from the beginning, so that what was solved has a place to go.
class ResultFolder {
 public:
  /// Throws CaseError where something foreign stands at `path`, std::runtime_error where it cannot be made.
  explicit ResultFolder(std::filesystem::path path);
  ResultFolder(const ResultFolder&) = delete;
  ResultFolder& operator=(const ResultFolder&) = delete;
  ~ResultFolder();  ///< takes what was not published away

  /// Where to write [NAME.part].
  [[nodiscard]] const std::filesystem::path& working() const { return working_; }
  /// Throws std::runtime_error, leaving an older result as it was; what was written then stays in NAME.part.
  void publish();

 private:
  std::filesystem::path path_, working_;
  bool claimed_ = false;    ///< an empty folder was made at path_
  bool published_ = false;  ///< or left in working_ for the user
};

/// Whether `folder` holds a manifest.json written by setstress.
bool is_result_folder(const std::filesystem::path& folder);

}  // namespace setstress
