#include "cases/study/table/study_files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstring>

#include "cases/reader/toml_reader.hpp"
#include "cases/study/table/result_table.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;

Shard shard_from(const std::string& text) {
  Shard shard{0, 0};
  const char *const begin = text.data(), *const end = begin + text.size();
  const auto number = std::from_chars(begin, end, shard.number);
  bool understood = number.ec == std::errc() && number.ptr != end && *number.ptr == '/';
  if (understood) {
    const auto count = std::from_chars(number.ptr + 1, end, shard.count);
    understood = count.ec == std::errc() && count.ptr == end;
  }
  if (!understood || shard.number < 1 || shard.number > shard.count)
    throw CaseError(fmt::format("--shard is \"{}\"; must be K/N such as 3/16, with K from 1 to N", text));
  return shard;
}

fs::path StudyFiles::shard(const Shard& part) const {
  return shards() / fmt::format("{}-{}-of-{}.sqlite", database.stem().string(), part.number, part.count);
}

std::vector<fs::path> StudyFiles::shards_there() const {
  std::vector<fs::path> files;
  if (fs::is_directory(shards()))
    for (const auto& entry : fs::directory_iterator(shards()))
      if (entry.path().extension() == ".sqlite") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

StudyFiles files_of(const fs::path& study_file, const fs::path& folder) {
  if (!folder.empty()) make_folders(folder);
  const fs::path database = database_of(study_file, folder);
  return {database, database.parent_path() / (database.stem().string() + "-work")};
}

StudyLock::StudyLock(const fs::path& work) {
  make_folders(work);
  const fs::path path = work / "lock";
  file_ = open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  if (file_ < 0)
    throw std::runtime_error(fmt::format("{} cannot be made: {}", path.string(), std::strerror(errno)));
  struct flock lock {};
  lock.l_type = F_WRLCK;
  lock.l_whence = SEEK_SET;
  if (fcntl(file_, F_SETLK, &lock) == 0) return;
  const bool held = (errno == EACCES || errno == EAGAIN) && fcntl(file_, F_GETLK, &lock) == 0;
  const std::string why = held ? fmt::format("process {} is at work on this study already", lock.l_pid)
                               : fmt::format("{} cannot be locked: {}", path.string(), std::strerror(errno));
  close(file_);
  throw std::runtime_error(why);
}

StudyLock::~StudyLock() {
  close(file_);
}

}  // namespace setstress
