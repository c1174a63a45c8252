#pragma once
// What the desk answers to its page. No state of its own but the folder: plans, kept results, what runs.

#include <nlohmann/json.hpp>

#include "cases/desk/desk_folder.hpp"
#include "cases/desk/http_server.hpp"
#include "cases/desk/jobs.hpp"
#include "cases/desk/workers.hpp"

namespace setstress {

struct DeskSettings {
  std::filesystem::path folder;  ///< read and written, and nothing else
  std::filesystem::path page;    ///< as bundled
  std::string ready;             ///< JSON: `cases` of `setstress list --json`
  bool show = false;             ///< reading mode: results are shown, nothing is changed or computed
  int at_once = 1;               ///< commands side by side
  int threads = 1;               ///< of each
};

/// A plan as the page sends it, read, and the key of all that its run depends on.
struct PlanOrder {
  std::string letter, stem, alone, key;
};

/// What is asked of several plans, and the key of all that the answer depends on.
struct ComparisonOrder {
  std::string what;  ///< "compare", "why", "odds"
  std::string key;
  std::vector<PlanOrder> plans;
  int draws = 0;  ///< of "odds"
  [[nodiscard]] bool is_single() const { return plans.size() == 1; }
  [[nodiscard]] std::string letters() const;
};

class Desk {
 public:
  /// To be made before this program has a second thread. What the process holds by then its workers hold
  /// as well.
  explicit Desk(DeskSettings settings);
  /// Paths without the token. Whatever is refused comes as {"ok": false, "message", "key"}.
  [[nodiscard]] HttpReply answer(const HttpRequest& request);
  [[nodiscard]] std::string news(std::uint64_t& version) const;
  /// Whoever waits for an answer or for news is sent away.
  void end_waiting();

 private:
  using Json = nlohmann::ordered_json;
  [[nodiscard]] Json told(const std::string& route, const Json& asked);
  [[nodiscard]] Json hello() const;
  [[nodiscard]] Json opened(const Json& asked) const;
  [[nodiscard]] Json files() const;
  void drop_checks();
  [[nodiscard]] Json worked_out(const std::string& what, const Json& asked);
  [[nodiscard]] Json run(const Json& asked);
  [[nodiscard]] Json compare(const Json& asked);
  [[nodiscard]] Json kept(const Json& asked) const;
  [[nodiscard]] Json told_of(const ComparisonOrder& order) const;
  [[nodiscard]] HttpReply file(const std::string& relative) const;

  DeskSettings settings_;
  DeskFolder folder_;
  Workers workers_;
  Jobs jobs_;
};

}  // namespace setstress
