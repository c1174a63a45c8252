#include "viz/files/write_file.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <stdexcept>

namespace setstress {
namespace {

[[noreturn]] void cannot_write(const std::filesystem::path& path, const std::string& reason) {
  throw std::runtime_error(fmt::format("cannot write {}: {}", path.string(), reason));
}

/// Open file that is closed on every way out.
class OutputFile {
 public:
  explicit OutputFile(const std::filesystem::path& path)
      : descriptor_(::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666)) {}
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;
  ~OutputFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  /// 0, or the errno of what failed. Some file systems report a full disk only when the file is closed.
  int write_and_close(std::string_view content) {
    if (descriptor_ < 0) return errno;
    while (!content.empty()) {
      const ssize_t written = ::write(descriptor_, content.data(), content.size());
      if (written < 0 && errno == EINTR) continue;
      if (written < 0) return errno;
      content.remove_prefix(static_cast<std::size_t>(written));
    }
    const int closed = ::close(descriptor_);
    descriptor_ = -1;
    return closed == 0 ? 0 : errno;
  }

 private:
  int descriptor_;
};

/// Devices and the like are not replaced by a file; nor can one be where the name leads nowhere.
void require_replaceable(const std::filesystem::path& path) {
  using Type = std::filesystem::file_type;
  std::error_code error;
  const Type type = std::filesystem::status(path, error).type();
  if (type == Type::none) cannot_write(path, error.message());
  if (type == Type::directory) cannot_write(path, "a folder has that name");
  if (type != Type::regular && type != Type::not_found)
    cannot_write(path, "what has that name is no ordinary file");
}

}  // namespace

void make_folders(const std::filesystem::path& folder) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error || !std::filesystem::is_directory(folder, error))
    throw std::runtime_error(fmt::format("the folder {} cannot be made: {}", folder.string(),
                                         error ? error.message() : "something else has that name"));
}

void write_file(const std::filesystem::path& path, std::string_view content) {
  std::error_code error;
  if (path.has_parent_path()) {
    std::filesystem::create_directories(path.parent_path(), error);
    if (error) cannot_write(path, fmt::format("its folder cannot be made ({})", error.message()));
  }
  require_replaceable(path);
  const std::filesystem::path beside = path.string() + ".part";
  const int failure = OutputFile(beside).write_and_close(content);
  if (failure != 0) {
    std::filesystem::remove(beside, error);
    cannot_write(path, std::strerror(failure));
  }
  std::filesystem::rename(beside, path, error);
  if (error) {
    const std::string reason = error.message();
    std::filesystem::remove(beside, error);
    cannot_write(path, reason);
  }
}

}  // namespace setstress
