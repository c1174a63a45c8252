#include "cases/study/file/read_factor.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <toml++/toml.h>
#include <algorithm>
#include <cmath>
#include <limits>

#include "cases/reader/case_layers.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/study/file/case_overlay.hpp"

namespace setstress {

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();
constexpr Quantity any{"-", -inf, inf};
constexpr Quantity positive{"-", 0, inf, true};

/// A number, or a time as text.
double number(const Section& s, std::string_view key, const Quantity& allowed) {
  return s.is_text(key) ? s.time(key, allowed) : s.number(key, allowed);
}

double number(const Section& s, std::string_view key, const Quantity& allowed, double fallback) {
  return s.has(key) ? number(s, key, allowed) : fallback;
}

/// `key` must lie above `low`.
double number_above(const Section& s, std::string_view key, double low) {
  return number(s, key, {"-", low, inf, true});
}

/// To 12 digits: 1.25 where the sums made 1.2499999999999998.
double rounded(double value) {
  return std::stod(fmt::format("{:.12g}", value));
}

std::vector<Value> read_range(const Section& s) {
  const int steps = s.whole_number("steps", 2, 100'000, 2);
  const bool is_log = s.choice("scale", {"linear", "log"}, "linear") == "log";
  const double from = number(s, "from", is_log ? positive : any);
  const double to = number(s, "to", is_log ? positive : any);
  if (from == to) s.fail("to", fmt::format("is {}, as is from; a range has two different ends", to));
  std::vector<Value> values;
  for (int i = 0; i < steps; ++i) {
    const double share = static_cast<double>(i) / (steps - 1);
    const double between = is_log ? from * std::pow(to / from, share) : from + share * (to - from);
    values.emplace_back(i == 0 ? from : i + 1 == steps ? to : rounded(between));  // the ends as written
  }
  return values;
}

Normal read_normal(const Section& s) {
  Normal normal{number(s, "mean", any), number(s, "deviation", positive), number(s, "low", any, -inf), inf};
  if (s.has("high")) normal.high = number_above(s, "high", normal.low);
  return normal;
}

RandomInput read_distribution(const Section& s) {
  const std::string kind =
      s.choice("distribution", {"uniform", "normal", "lognormal", "triangular", "weibull"});
  if (kind == "uniform") {
    const double low = number(s, "low", any);
    return Uniform{low, number_above(s, "high", low)};
  }
  if (kind == "normal") return read_normal(s);
  if (kind == "lognormal") return Lognormal{number(s, "median", positive), number(s, "spread", positive)};
  if (kind == "triangular") {
    const double low = number(s, "low", any), high = number_above(s, "high", low);
    return Triangular{low, number(s, "mode", {"-", low, high}), high};
  }
  return Weibull{number(s, "shape", positive), number(s, "scale", positive), number(s, "start", any, 0)};
}

/// Numbers must come of it: the farthest that a design can ask for must be finite, and something must lie
/// between the ends of one that is cut off.
void require_drawable(const Section& s, const RandomInput& distribution) {
  const auto refuse = [&](const std::string& why) {
    s.fail("distribution", fmt::format("{} cannot be drawn from: {}", text_of(distribution), why));
  };
  if (const auto* normal = std::get_if<Normal>(&distribution)) {
    constexpr double least_share = 1e-6;
    if (share_between(*normal) < least_share)
      refuse(fmt::format("less than a millionth of it lies between {} and {}", normal->low, normal->high));
  }
  for (const double share : {0x1p-53, 0.05, 0.5, 0.95, 1 - 0x1p-53}) {
    double value = std::numeric_limits<double>::quiet_NaN();
    try {
      value = quantile(distribution, share);
    } catch (const std::exception&) {  // out of the range of numbers
    }
    if (!(std::abs(value) < 1e100))
      refuse(fmt::format("its quantile at {:.3g} is no number to work with", share));
  }
}

std::vector<Value> quantiles_at_levels(const Section& s, const RandomInput& distribution) {
  std::vector<double> levels{0.05, 0.5, 0.95};
  if (s.has("levels")) levels = s.numbers("levels", {"-", 0, 1, true, true});
  if (levels.empty()) s.fail("levels", "is an empty list; must hold shares between 0 and 1");
  std::vector<Value> values;
  for (const double level : levels) values.emplace_back(quantile(distribution, level));
  return values;
}

Alternative read_alternative(const Section& s) {
  Alternative alternative{s.text("name"), {}, {}};
  if (s.has("file")) {
    const std::filesystem::path beside = s.folder("file") / s.text("file");
    try {
      alternative.file = std::make_shared<toml::table>(
          flattened(case_layers(is_file(beside) ? beside : find_case(s.text("file")))));
    } catch (const CaseError& error) {
      s.fail("file", fmt::format("cannot be read: {}", error.what()));
    }
  }
  if (s.has("set")) alternative.set = std::make_shared<toml::table>(s.table("set"));
  return alternative;
}

void read_alternatives(const Section& s, Factor& factor) {
  for (const Section& entry : s.sections("alternative")) {
    const std::string name = entry.text("name");
    const Value value = name;
    if (std::find(factor.values.begin(), factor.values.end(), value) != factor.values.end())
      entry.fail("name", fmt::format("is \"{}\" twice; alternatives need names of their own", name));
    factor.alternatives.push_back(read_alternative(entry));
    factor.values.push_back(value);
  }
  if (s.has("key") || s.has("keys"))
    s.fail("key", "is given together with [[factor.alternative]]; a factor has a key or alternatives");
}

void read_values(const Section& s, Factor& factor) {
  const bool is_list = s.has("values"), is_range = s.has("from"), is_random = s.has("distribution");
  const bool is_choice = s.has("alternative");
  if (is_list + is_range + is_random + is_choice != 1)
    s.fail("name", fmt::format("\"{}\" has {} of these; a factor needs one: values = [...], from and to and "
                               "steps, distribution, or [[factor.alternative]]",
                               factor.name, is_list + is_range + is_random + is_choice));
  if (is_list) {
    factor.values = s.values("values");
    for (const Value& value : factor.values)
      if (const auto* number = std::get_if<double>(&value); number != nullptr && !std::isfinite(*number))
        s.fail("values", fmt::format("hold {}; must be finite numbers, or words", *number));
    for (auto value = factor.values.begin(); value != factor.values.end(); ++value)
      if (std::find(factor.values.begin(), value, *value) != value)
        s.fail("values",
               fmt::format("hold {} twice; its runs would be made twice", shortened(text_of(*value))));
  }
  if (is_range) factor.values = read_range(s);
  if (is_choice) read_alternatives(s, factor);
  if (!is_random) return;
  factor.distribution = read_distribution(s);
  require_drawable(s, *factor.distribution);
  factor.values = quantiles_at_levels(s, *factor.distribution);
}

void read_nominal(const Section& s, Factor& factor) {
  factor.nominal = factor.distribution ? Value(quantile(*factor.distribution, 0.5)) : factor.values.front();
  if (!s.has("nominal")) return;
  factor.nominal = s.value("nominal");
  if (factor.alternatives.empty()) return;
  if (std::find(factor.values.begin(), factor.values.end(), factor.nominal) == factor.values.end()) {
    std::vector<std::string> names;
    for (const Alternative& alternative : factor.alternatives) names.push_back(alternative.name);
    s.fail("nominal", fmt::format("is \"{}\"; must be one of the alternatives: {}", text_of(factor.nominal),
                                  fmt::join(names, ", ")));
  }
}

/// A column holds numbers or words.
void require_one_kind(const Section& s, const Factor& factor) {
  for (const Value& value : factor.values)
    if (value.index() != factor.values.front().index() || value.index() != factor.nominal.index())
      s.fail("values", fmt::format("of \"{}\" mix numbers and words; a factor has one kind", factor.name));
}

}  // namespace

Factor read_factor(const Section& s) {
  Factor factor;
  factor.name = s.text("name");
  factor.place = s.place("name");
  factor.label = s.text("label", factor.name);
  read_values(s, factor);
  if (factor.alternatives.empty())
    factor.keys = s.has("keys") ? s.texts("keys") : std::vector<std::string>{s.text("key")};
  for (const std::string& key : factor.keys) {
    try {
      check_key(key);
    } catch (const std::invalid_argument& error) {
      s.fail(s.has("keys") ? "keys" : "key", fmt::format("\"{}\" {}", key, error.what()));
    }
  }
  read_nominal(s, factor);
  require_one_kind(s, factor);
  return factor;
}

}  // namespace setstress
