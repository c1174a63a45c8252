#pragma once
// Typed reading of TOML: every value is checked for type, range and unit, and every message names file, line,
// key, value and what is allowed. Keys that nobody asked for are refused at the end, with "did you mean".

#include <toml++/impl/forward_declarations.h>

#include <Eigen/Core>
#include <filesystem>
#include <initializer_list>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "cases/reader/case_error.hpp"

namespace setstress {

/// What a number may be. The unit is named in messages; the limits belong to the range unless excluded.
struct Quantity {
  std::string_view unit;  ///< "mm", "MPa", "s", "mW/cm2", "deg", "-", ...
  double low;
  double high;
  bool above_low = false;   ///< `low` itself is refused
  bool below_high = false;  ///< `high` itself is refused
};

/// Parses one file. Throws CaseError when it cannot be read or is not TOML.
std::shared_ptr<toml::table> parse_toml(const std::filesystem::path& file);
/// Parses `text`, which messages call `name`.
std::shared_ptr<toml::table> parse_toml(const std::string& text, const std::string& name);

/// Whether there is a file to read at `path`; false too where the system cannot say.
bool is_file(const std::filesystem::path& path);
/// Why there is none, as the end of a sentence; empty where there is.
std::string why_no_file(const std::filesystem::path& path);

/// One table of a file, or of several files laid over each other: a key is looked up in the first layer that
/// has it. Copies are cheap and refer to the same record of what was asked for. All readers throw CaseError.
class Section {
 public:
  /// The root of `layers`, the most specific first.
  explicit Section(std::vector<std::shared_ptr<const toml::table>> layers);

  [[nodiscard]] bool has(std::string_view key) const;
  /// Table `key`; where it is absent an empty section, so that every value takes its default.
  [[nodiscard]] Section section(std::string_view key) const;
  /// Table `key` of the first layer that has it, not mixed with those of the layers below.
  [[nodiscard]] Section top_section(std::string_view key) const;
  /// Array of tables `key` of the first layer that has it; empty when absent.
  [[nodiscard]] std::vector<Section> sections(std::string_view key) const;
  /// Keys present here, all layers, sorted: for tables whose keys are names that users choose.
  [[nodiscard]] std::vector<std::string> keys() const;

  [[nodiscard]] double number(std::string_view key, const Quantity& allowed) const;
  [[nodiscard]] double number(std::string_view key, const Quantity& allowed, double fallback) const;
  /// Time [s]: a number of seconds, or text such as "90 s", "5 min", "24 h".
  [[nodiscard]] double time(std::string_view key, const Quantity& allowed) const;
  [[nodiscard]] double time(std::string_view key, const Quantity& allowed, double fallback) const;
  [[nodiscard]] std::vector<double> numbers(std::string_view key, const Quantity& allowed) const;
  /// List of pairs: [[0, 0.4], [60, 0.7]].
  [[nodiscard]] std::vector<std::pair<double, double>> pairs(std::string_view key, const Quantity& first,
                                                             const Quantity& second) const;
  [[nodiscard]] Eigen::Vector3d vector(std::string_view key, const Quantity& allowed) const;
  [[nodiscard]] int whole_number(std::string_view key, int low, int high, int fallback) const;
  [[nodiscard]] std::string text(std::string_view key) const;
  [[nodiscard]] std::string text(std::string_view key, std::string_view fallback) const;
  [[nodiscard]] std::vector<std::string> texts(std::string_view key) const;
  [[nodiscard]] bool flag(std::string_view key, bool fallback) const;
  /// Text that must be one of `choices`.
  [[nodiscard]] std::string choice(std::string_view key, const std::vector<std::string>& choices) const;
  [[nodiscard]] std::string choice(std::string_view key, const std::vector<std::string>& choices,
                                   std::string_view fallback) const;
  /// A number, or text of any kind; text that is a time, "5 min", becomes its seconds.
  [[nodiscard]] std::variant<double, std::string> value(std::string_view key) const;
  /// List of these, not empty.
  [[nodiscard]] std::vector<std::variant<double, std::string>> values(std::string_view key) const;
  /// Table `key` as it stands; what it holds is the taker's to check.
  [[nodiscard]] const toml::table& table(std::string_view key) const;
  [[nodiscard]] bool is_text(std::string_view key) const;
  [[nodiscard]] bool is_array(std::string_view key) const;
  [[nodiscard]] bool is_table(std::string_view key) const;

  /// "file.toml:31" of the value, or of this section where the key is absent.
  [[nodiscard]] std::string place(std::string_view key) const;
  /// Folder of the file that holds `key`: relative paths are relative to it.
  [[nodiscard]] std::filesystem::path folder(std::string_view key) const;
  /// Dotted name: "preparation.depth".
  [[nodiscard]] std::string dotted(std::string_view key) const;
  /// Throws CaseError "file:line: section.key `sentence`".
  [[noreturn]] void fail(std::string_view key, std::string_view sentence) const;

  /// Every value read so far from these files, under its dotted name: the value, its unit, and where it was
  /// written, or "default".
  [[nodiscard]] const nlohmann::ordered_json& resolved() const;

  /// By dotted name, of the numbers, times and choices asked for so far, there or not: "unit", "low" and
  /// "high" (with "above_low", "below_high" where the limit itself is refused), or "choices".
  [[nodiscard]] const nlohmann::ordered_json& allowed() const;

  /// Refuses the first key, anywhere below, that no reader has asked for. Call on the root when all is read.
  void refuse_unknown_keys() const;

 private:
  struct Record;
  Section(std::shared_ptr<Record> record, std::vector<const toml::table*> layers, std::string name);
  [[nodiscard]] const toml::node* find(std::string_view key) const;
  [[nodiscard]] const toml::node& need(std::string_view key) const;
  [[nodiscard]] double checked(std::string_view key, double value, const Quantity& allowed) const;
  [[nodiscard]] double checked_number(std::string_view key, const toml::node& node,
                                      const Quantity& allowed) const;
  [[nodiscard]] std::variant<double, std::string> value_in(std::string_view key,
                                                           const toml::node& node) const;
  void refuse_unknown_inside(const toml::node& node, const std::string& name) const;
  template <class Value>
  Value noted(std::string_view key, Value value, std::string_view unit = "") const;
  void note(std::string_view key, nlohmann::ordered_json entry) const;
  void allow(std::string_view key, nlohmann::ordered_json what) const;

  std::shared_ptr<Record> record_;
  std::vector<const toml::table*> layers_;
  std::string name_;
};

}  // namespace setstress
