#pragma once
// The one folder that a desk reads and writes.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/reader/case_layers.hpp"

namespace setstress {

/// Nothing outside the folder is read or written through it: names are single words without a leading dot,
/// links are not followed. All functions throw CaseError.
class DeskFolder {
 public:
  /// Makes the folder where it is not there.
  explicit DeskFolder(const std::filesystem::path& folder);

  [[nodiscard]] const std::filesystem::path& path() const { return folder_; }
  struct Files {
    std::vector<std::string> cases;      ///< names, sorted
    std::vector<std::string> materials;  ///< those that hold classes of material instead
  };
  [[nodiscard]] Files case_files() const;
  [[nodiscard]] std::string read_case_file(const std::string& name) const;
  void write_case_file(const std::string& name, const std::string& text) const;

  /// What stands at `relative`, "runs/compare-1/page.html": a file of a kind that the desk shows; empty where
  /// there is none.
  [[nodiscard]] std::optional<std::filesystem::path> shown_file(const std::string& relative) const;

  /// The layers of a case of this folder that is called `name` and reads `text`. Refuses a base or a material
  /// file outside the folder (ready-made cases apart).
  [[nodiscard]] CaseLayers layers_of(const std::string& name, const std::string& text) const;

 private:
  std::filesystem::path folder_;  ///< canonical
};

/// Throws CaseError unless `name` can be a case file of a desk: letters, digits, " ._-", ending in .toml.
void require_case_name(const std::string& name);

}  // namespace setstress
