#pragma once
// What the desk answers to its page. No state of its own but the folder: plans, kept results, what runs.

#include <nlohmann/json.hpp>

#include "cases/desk/desk_folder.hpp"
#include "cases/desk/drafts.hpp"
#include "cases/desk/http_server.hpp"
#include "cases/desk/jobs.hpp"

namespace setstress {

struct DeskSettings {
  std::filesystem::path folder;  ///< read and written, and nothing else
  std::filesystem::path page;    ///< as bundled
  std::string ready;             ///< JSON of `setstress list --json`
  bool show = false;             ///< reading mode: results are shown, nothing is changed or computed
  int at_once = 1;               ///< commands side by side
  int threads = 1;               ///< of each
};

class Desk {
 public:
  explicit Desk(DeskSettings settings);
  /// Paths without the token. Whatever is refused comes as {"ok": false, "message", "key"}.
  [[nodiscard]] HttpReply answer(const HttpRequest& request);
  [[nodiscard]] std::string news(std::uint64_t& version) const;
  void end_waiting() { jobs_.end_waiting(); }

 private:
  using Json = nlohmann::ordered_json;
  [[nodiscard]] Json told(const std::string& route, const Json& asked);
  [[nodiscard]] Json hello() const;
  [[nodiscard]] Json opened(const Json& asked) const;
  [[nodiscard]] Json run(const Json& asked);
  [[nodiscard]] Json compare(const Json& asked);
  [[nodiscard]] HttpReply file(const std::string& relative) const;

  DeskSettings settings_;
  DeskFolder folder_;
  Drafts drafts_;
  Jobs jobs_;
};

}  // namespace setstress
