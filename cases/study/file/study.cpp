#include "cases/study/file/study.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "cases/reader/case_layers.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/study/file/case_overlay.hpp"
#include "cases/study/file/conflicts.hpp"
#include "cases/study/file/read_factor.hpp"

namespace setstress {

namespace {

const std::vector<std::pair<std::string, Design>> designs{{"grid", Design::grid},
                                                          {"one-at-a-time", Design::one_at_a_time},
                                                          {"latin-hypercube", Design::latin_hypercube},
                                                          {"sobol", Design::sobol},
                                                          {"random", Design::random},
                                                          {"sobol-indices", Design::sobol_indices}};

constexpr int most_runs = 1'000'000;

/// What is kept of every run unless the study says otherwise.
std::vector<Output> usual_outputs() {
  std::vector<Output> outputs;
  for (const auto& [name, path] :
       {std::pair{"highest_ratio_p95", "bond[wall=all].highest_p95.stress_to_strength_p95"},
        {"share_at_strength", "bond[wall=all].worst.share_of_whole_at_strength"},
        {"share_debonded", "bond[wall=all].end.share_of_whole_debonded"},
        {"chair_time_s", "chair_time_s"}})
    outputs.push_back({name, path, "", words_of(path)});
  return outputs;
}

/// Columns of the database that are neither factors nor outputs.
const std::set<std::string> own_columns{
    "row",          "block",        "point",       "status",          "message",
    "seconds",      "mesh_seconds", "mesh_shared", "solution_shared", "saved_seconds",
    "memory_mb",    "version",      "attempts",    "case_sum",        "outputs_missing",
    "summary_zlib", "lanes",        "led_by",      "machine"};

Design read_design(const Section& s) {
  std::vector<std::string> names;
  for (const auto& [name, design] : designs) names.push_back(name);
  const std::string chosen = s.choice("design", names, "grid");
  return std::find_if(designs.begin(), designs.end(), [&](const auto& d) { return d.first == chosen; })
      ->second;
}

void read_base(const Section& s, Study& study) {
  study.base_name = s.text("base");
  const std::filesystem::path beside = s.folder("base") / study.base_name;
  try {
    study.base = flattened(case_layers(is_file(beside) ? beside : find_case(study.base_name)));
  } catch (const CaseError& error) {
    s.fail("base", fmt::format("cannot be read: {}", error.what()));
  }
}

/// Names of columns must differ, whatever their case: SQL does not tell "Wait" from "wait".
void require_own_name(const Section& s, std::string_view key, const std::string& name,
                      std::set<std::string>& taken) {
  const bool plain = !name.empty() && std::all_of(name.begin(), name.end(), [](unsigned char c) {
    return std::isalnum(c) != 0 || c == '_';
  }) && std::isdigit(static_cast<unsigned char>(name.front())) == 0;
  if (!plain)
    s.fail(key, fmt::format("names a column \"{}\"; must be letters, digits and _, not starting with a digit",
                            name));
  std::string small = name;
  std::transform(small.begin(), small.end(), small.begin(), [](unsigned char c) { return std::tolower(c); });
  if (own_columns.contains(small))
    s.fail(key, fmt::format("names a column \"{}\", which the table of results has for itself; the words it "
                            "keeps are: {}",
                            name, fmt::join(own_columns, ", ")));
  if (!taken.insert(small).second)
    s.fail(key, fmt::format("names a column \"{}\", which is there already; names must differ by more than "
                            "capital letters",
                            name));
}

/// NAME = "PLACE", or NAME = { place = "PLACE", label = ..., unit = ..., better = ... }.
Output read_output(const Section& s, const std::string& name) {
  const bool is_table = s.is_table(name);
  const Section table = is_table ? s.section(name) : s;
  const std::string key = is_table ? "place" : name;
  Output output{name, table.text(key), table.place(key), {}};
  try {
    output.words = words_of(output.path);
  } catch (const std::invalid_argument& error) {
    table.fail(key, fmt::format("is \"{}\"; it {}", shortened(output.path), error.what()));
  }
  if (!is_table) return output;
  output.words.label = table.text("label", output.words.label);
  output.words.unit = table.text("unit", output.words.unit);
  if (table.has("better")) output.words.better = better_from(table.choice("better", {"lower", "higher"}));
  return output;
}

std::vector<Output> read_outputs(const Section& s, std::set<std::string>& taken) {
  std::vector<Output> outputs;
  for (const std::string& name : s.keys()) {
    require_own_name(s, name, name, taken);
    outputs.push_back(read_output(s, name));
  }
  return outputs.empty() ? usual_outputs() : outputs;
}

/// A comparison of a factor with a word is of use only where the factor is one of words, and takes that word.
void require_possible(const Constraint& drop, const std::vector<Factor>& factors) {
  for (const Constraint::Comparison& comparison : drop.all)
    for (const auto& [side, other] :
         {std::pair{&comparison.left, &comparison.right}, std::pair{&comparison.right, &comparison.left}}) {
      if (side->factor < 0 || other->factor >= 0) continue;
      const Factor& factor = factors[static_cast<std::size_t>(side->factor)];
      if (factor.nominal.index() != other->value.index())
        throw std::invalid_argument(fmt::format("compares factor {}, which takes {}, with {}", factor.name,
                                                factor.nominal.index() == 0 ? "numbers" : "words",
                                                shortened(text_of(other->value))));
      if (factor.nominal.index() == 0 ||
          std::ranges::find(factor.values, other->value) != factor.values.end())
        continue;
      std::vector<std::string> words;
      for (const Value& value : factor.values) words.push_back(text_of(value));
      const auto guess = did_you_mean(text_of(other->value), words);
      throw std::invalid_argument(fmt::format(
          "names '{}', which factor {} never is; {}it takes: {}", shortened(text_of(other->value)),
          factor.name, guess ? fmt::format("did you mean '{}'? ", *guess) : "", fmt::join(words, ", ")));
    }
}

std::vector<Constraint> read_drops(const Section& s, const std::vector<Factor>& factors) {
  std::vector<std::string> names;
  std::vector<Value> nominal;
  for (const Factor& factor : factors) {
    names.push_back(factor.name);
    nominal.push_back(factor.nominal);
  }
  std::vector<Constraint> drops;
  if (!s.has("drop")) return drops;
  for (const std::string& text : s.texts("drop")) {
    try {
      drops.push_back(parse_constraint(text, names));
      (void)holds(drops.back(), nominal);  // refuses words that are to be smaller or larger
      require_possible(drops.back(), factors);
    } catch (const std::invalid_argument& error) {
      s.fail("drop", fmt::format("\"{}\" {}", shortened(text), error.what()));
    }
  }
  return drops;
}

/// The factor that [study] cross names.
std::optional<std::size_t> read_crossed(const Section& s, const Study& study) {
  if (!s.has("cross")) return std::nullopt;
  const std::string name = s.text("cross");
  if (study.design != Design::latin_hypercube && study.design != Design::sobol &&
      study.design != Design::random)
    s.fail("cross", fmt::format("is \"{}\", but a design \"{}\" draws nothing that could be crossed with it; "
                                "must be given with \"latin-hypercube\", \"sobol\" or \"random\"",
                                shortened(name), name_of(study.design)));
  const auto factor = std::ranges::find(study.factors, name, &Factor::name);
  std::vector<std::string> names;
  for (const Factor& each : study.factors) names.push_back(each.name);
  if (factor == study.factors.end())
    s.fail("cross", fmt::format("is \"{}\", which is no factor; must be one of: {}", shortened(name),
                                fmt::join(names, ", ")));
  if (factor->distribution)
    s.fail("cross",
           fmt::format("is \"{}\", which is drawn from a distribution; must be a factor of values or "
                       "alternatives",
                       name));
  if (study.factors.size() == 1 || factor->values.size() == 1)
    s.fail("cross", fmt::format("is \"{}\", but {}", name,
                                study.factors.size() == 1 ? "no other factor is there to be drawn"
                                                          : "it has one value only"));
  return static_cast<std::size_t>(factor - study.factors.begin());
}

bool is_sampled(Design design) {
  return design != Design::grid && design != Design::one_at_a_time;
}

int read_points(const Section& s, Design design) {
  if (is_sampled(design)) {
    if (!s.has("points"))
      s.fail("points", fmt::format("is missing; a design \"{}\" needs to know how many", name_of(design)));
    return s.whole_number("points", 1, most_runs, 1);
  }
  if (s.has("points"))
    s.fail("points", fmt::format("is given, but a design \"{}\" takes the values of its factors; points are "
                                 "for the sampled designs",
                                 name_of(design)));
  return 0;
}

}  // namespace

std::string name_of(Design design) {
  for (const auto& [name, known] : designs)
    if (known == design) return name;
  throw std::logic_error("a design without a name");
}

Study read_study(const std::filesystem::path& file) {
  const Section root({parse_toml(file)});
  const Section about = root.section("study");
  Study study;
  study.name = file.stem().string();
  study.file = file;
  study.title = about.text("title", study.name);
  study.notes = about.text("notes", "");
  study.invented = about.flag("invented", false);
  study.design = read_design(about);
  study.points = read_points(about, study.design);
  study.seed = static_cast<std::uint64_t>(about.whole_number("seed", 0, 2'000'000'000, 1));
  read_base(about, study);
  if (root.has("set")) study.set = root.table("set");
  const std::set<std::string> given = keys_and_sections(study.base);
  lay_over(study.base, study.set);
  std::set<std::string> taken;
  for (const Section& entry : root.sections("factor")) {
    study.factors.push_back(read_factor(entry));
    require_own_name(entry, "name", study.factors.back().name, taken);
  }
  double combinations = 1;
  for (const Factor& factor : study.factors) combinations *= static_cast<double>(factor.values.size());
  if (study.design == Design::grid && combinations > most_runs)
    root.fail("factor", fmt::format("lists make a grid of {:.3g} runs; at most {} are allowed", combinations,
                                    most_runs));
  if (study.factors.empty()) root.fail("factor", "is missing; a study varies at least one [[factor]]");
  study.crossed = read_crossed(about, study);
  if (static_cast<double>(study.points) *
          static_cast<double>(study.crossed ? study.factors[*study.crossed].values.size() : 1) >
      most_runs)
    about.fail("points", fmt::format("make more than {} runs with all values of {}; at most {} are allowed",
                                     most_runs, study.factors[*study.crossed].name, most_runs));
  require_conflict_free(root, study, given);
  study.drops = read_drops(about, study.factors);
  study.outputs = read_outputs(root.section("outputs"), taken);
  root.refuse_unknown_keys();
  return study;
}

std::filesystem::path find_study(const std::string& name_or_path) {
  return is_file(name_or_path) ? std::filesystem::path(name_or_path)
                               : find_ready_made(name_or_path, ready_made_studies(), "study");
}

}  // namespace setstress
