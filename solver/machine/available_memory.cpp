#include "solver/machine/available_memory.hpp"

#include <algorithm>
#include <fstream>
#include <sstream>
#include <string>

namespace setstress {
namespace {

namespace fs = std::filesystem;

/// The number after `key` in a file of lines "key number"; without a key, the number that the file is.
std::optional<double> number_in(const fs::path& file, const std::string& key = "") {
  std::ifstream stream(file);
  for (std::string line; std::getline(stream, line);) {
    std::istringstream words(line);
    std::string word;
    double value = 0;
    if (!key.empty() && !(words >> word && word == key)) continue;
    if (words >> value) return value;
    if (key.empty()) return std::nullopt;  // "max"
  }
  return std::nullopt;
}

/// How one version of control groups names its files.
struct Names {
  fs::path folder;
  const char *limit, *used, *files_kept;
};

/// What the group leaves of its limit [bytes].
std::optional<double> left_in(const fs::path& group, const Names& names) {
  const auto limit = number_in(group / names.limit), used = number_in(group / names.used);
  if (!limit || !used) return std::nullopt;
  return *limit - *used + number_in(group / "memory.stat", names.files_kept).value_or(0);
}

/// Of the group at `path` and all around it.
std::optional<double> least_left(fs::path path, const Names& names) {
  std::optional<double> least;
  for (;; path = path.parent_path()) {
    if (const auto left = left_in(names.folder / path.relative_path(), names))
      least = std::min(least.value_or(*left), *left);
    if (!path.has_relative_path()) return least;
  }
}

}  // namespace

std::optional<double> available_memory(const fs::path& root) {
  constexpr double kilobyte = 1024;
  std::optional<double> least = number_in(root / "proc/meminfo", "MemAvailable:");
  if (least) *least *= kilobyte;
  std::ifstream groups(root / "proc/self/cgroup");
  for (std::string line; std::getline(groups, line);) {  // "4:memory:/path", or "0::/path" in version 2
    const std::size_t first = line.find(':'), second = line.find(':', first + 1);
    if (second == std::string::npos) continue;
    const std::string controllers = line.substr(first + 1, second - first - 1);
    if (!controllers.empty() && controllers != "memory") continue;
    const Names names = controllers.empty()
                            ? Names{root / "sys/fs/cgroup", "memory.max", "memory.current", "inactive_file"}
                            : Names{root / "sys/fs/cgroup/memory", "memory.limit_in_bytes",
                                    "memory.usage_in_bytes", "total_inactive_file"};
    if (const auto left = least_left(line.substr(second + 1), names))
      least = std::min(least.value_or(*left), *left);
  }
  if (least) *least = std::max(*least, 0.0);
  return least;
}

}  // namespace setstress
