#pragma once
// What `setstress check` says of a plan while it is being changed: only the newest question is answered.

#include <sys/types.h>

#include <filesystem>
#include <map>
#include <mutex>
#include <nlohmann/json.hpp>
#include <string>

namespace setstress {

class Drafts {
 public:
  /// Files of the checks go into `folder`.
  explicit Drafts(std::filesystem::path folder);
  /// The report of a check of the case file `text`, called `name`, on a mesh of `fineness`; {"ok": false,
  /// "superseded": true} where a newer question about `plan` came meanwhile, or "message" where it was
  /// refused.
  [[nodiscard]] nlohmann::ordered_json check(const std::string& plan, const std::string& name,
                                             const std::string& text, const std::string& fineness);

 private:
  std::filesystem::path folder_;
  std::mutex mutex_;
  int next_ = 0;
  std::map<std::string, pid_t> running_;  ///< by plan
};

}  // namespace setstress
