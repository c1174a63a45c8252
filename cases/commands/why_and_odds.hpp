#pragma once
// What is asked for beyond a comparison of two cases: why they differ (--why), and how sure that is (--odds).

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/odds/judged_odds.hpp"
#include "cases/options/command_line.hpp"
#include "cases/why/placing.hpp"
#include "cases/why/why.hpp"

namespace setstress {

struct WhyAndOdds {
  std::optional<Why> why;
  std::vector<Placing> placing;  ///< by plan; empty: not asked for
  std::optional<JudgedOdds> odds;
  std::filesystem::path draws;  ///< database in which draws are kept until they are published; may be empty
  std::string stopped;          ///< a sentence where Ctrl-C ended it
  /// For comparison.json: {"title": "Why", "sentences": [...]}, ... in the order in which they are told.
  [[nodiscard]] nlohmann::ordered_json answers() const;
  /// Their charts, for the page: {"title": "Why", "charts": [svg, ...]}, ...
  [[nodiscard]] nlohmann::ordered_json charts() const;
  [[nodiscard]] std::string tables() const;
  [[nodiscard]] std::string files() const;  ///< "why.json, why.svg, "
  /// What was written stands in its folder: nothing needs to be kept beside it any more.
  void published() const;
  /// Why and how sure, a few lines each.
  [[nodiscard]] std::string in_brief() const;
};

/// What it took to solve the plans as they are.
struct Effort {
  double seconds_each = 0;  ///< [s] that one took, mean
  double pace = 0;          ///< as in OddsSettings [-]
};

/// Of the meshes of draws. Throws CaseError naming the option.
MeshSize fineness_of_draws(const CommandLine& line);

/// Solves what `line` asks for and writes it into `working`; odds go on from those that an earlier comparison
/// left in `out` or beside it, where they are the same. What `made` serves is not solved again.
WhyAndOdds why_and_odds(const Case& first, const Case& second, const Effort& effort, const MadeRuns& made,
                        const CommandLine& line, const std::filesystem::path& out,
                        const std::filesystem::path& working);

}  // namespace setstress
