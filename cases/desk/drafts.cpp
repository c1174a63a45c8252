#include "cases/desk/drafts.hpp"

#include <fmt/format.h>

#include <fstream>

#include "cases/desk/child.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;

Drafts::Drafts(fs::path folder) : folder_(std::move(folder)) {}

nlohmann::ordered_json Drafts::check(const std::string& plan, const std::string& name,
                                     const std::string& text, const std::string& fineness) {
  fs::path scratch;
  std::unique_lock lock(mutex_);
  scratch = folder_ / fmt::format("check-{}", next_++);
  write_file(scratch / name, text);
  if (const auto old = running_.find(plan); old != running_.end()) end_child(old->second, true);
  Child child({"check", (scratch / name).string(), "--fineness", fineness, "--quiet", "--out",
               (scratch / "check.json").string()});
  running_[plan] = child.pid();
  lock.unlock();
  const ChildEnd end = child.wait([](const std::string&) {});
  lock.lock();
  const bool newest = running_[plan] == child.pid();
  if (newest) running_.erase(plan);
  lock.unlock();
  nlohmann::ordered_json told{
      {"ok", false}, {"superseded", !newest}, {"message", end.words}, {"key", nullptr}};
  if (newest && end.exit == 0) {
    std::ifstream stream(scratch / "check.json");
    told = nlohmann::ordered_json::parse(stream);
    told["ok"] = true;
  } else if (newest && end.signal != 0) {
    told["message"] = "the check of this case crashed; the desk goes on";
  }
  std::error_code ignored;
  fs::remove_all(scratch, ignored);
  return told;
}

}  // namespace setstress
