#include "cases/desk/drafts.hpp"

#include <fmt/format.h>

#include <fstream>

#include "cases/desk/child.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

/// Lines of the checked file are not those of the user's: neither it nor they are named.
std::string without_place(std::string text, const std::string& place) {
  for (std::size_t at = text.find(place); at != std::string::npos; at = text.find(place)) {
    const std::size_t end = text.find_first_not_of(":0123456789", at + place.size());
    text.erase(at, end == std::string::npos ? end : end - at + (text[end] == ' ' ? 1 : 0));
  }
  return text;
}

}  // namespace

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
  const std::string place = (scratch / name).string();
  nlohmann::ordered_json told{
      {"ok", false}, {"superseded", !newest}, {"message", without_place(end.words, place)}, {"key", nullptr}};
  if (newest && end.exit == 0) {
    std::ifstream stream(scratch / "check.json");
    told = nlohmann::ordered_json::parse(stream);
    told["ok"] = true;
    for (const char* said : {"warnings", "notes"})
      for (nlohmann::ordered_json& words : told[said]) words = without_place(words.get<std::string>(), place);
  } else if (newest && end.signal != 0) {
    told["message"] = "the check of this case crashed; the desk goes on";
  }
  std::error_code ignored;
  fs::remove_all(scratch, ignored);
  return told;
}

}  // namespace setstress
