#pragma once
// Where a study keeps what: the database beside it, and a folder for meshes, parts and jobs.

#include <filesystem>
#include <string>
#include <vector>

namespace setstress {

/// Part `number` of `count`, both from 1: rows number, number + count, number + 2 count, ...
struct Shard {
  int number, count;
  [[nodiscard]] bool has(int row) const { return (row - 1) % count == number - 1; }
};

/// Reads "3/16". Throws CaseError.
Shard shard_from(const std::string& text);

struct StudyFiles {
  std::filesystem::path database;  ///< STUDY.sqlite
  std::filesystem::path work;      ///< STUDY-work
  [[nodiscard]] std::filesystem::path meshes() const { return work / "meshes"; }
  [[nodiscard]] std::filesystem::path shards() const { return work / "shards"; }
  [[nodiscard]] std::filesystem::path jobs() const { return work / "jobs"; }
  [[nodiscard]] std::filesystem::path shard(const Shard& part) const;
  /// Databases of parts that are there, sorted by name.
  [[nodiscard]] std::vector<std::filesystem::path> shards_there() const;
};

/// `folder` as given by --out, or empty.
StudyFiles files_of(const std::filesystem::path& study_file, const std::filesystem::path& folder);

/// Held by the one program that works on a study's database on this machine; let go when it ends, however it
/// ends.
class StudyLock {
 public:
  /// Throws std::runtime_error when another program holds it, naming its process.
  explicit StudyLock(const std::filesystem::path& work);
  StudyLock(const StudyLock&) = delete;
  StudyLock& operator=(const StudyLock&) = delete;
  ~StudyLock();

 private:
  int file_;
};

}  // namespace setstress
