#include "cases/study/file/conflicts.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cases/reader/case_layers.hpp"
#include "cases/study/file/case_overlay.hpp"

namespace setstress {

namespace {

void refuse(const Factor& factor, const std::string& sentence) {
  throw CaseError(fmt::format("{}: factor {}: {}", factor.place, factor.name, sentence));
}

void require_own_keys(const std::vector<Factor>& factors) {
  std::map<std::string, const Factor*> owners;
  for (const Factor& factor : factors)
    for (const std::string& key : factor.keys) {
      const auto [known, is_new] = owners.emplace(key, &factor);
      if (!is_new && known->second == &factor) refuse(factor, fmt::format("sets {} twice", key));
      if (!is_new)
        refuse(factor, fmt::format("sets {}, as does factor {}; the values of one of them would be lost", key,
                                   known->second->name));
    }
}

/// All that the alternatives of a factor write out.
std::map<std::string, std::string> written_by(const Factor& factor) {
  std::map<std::string, std::string> leaves;
  for (const Alternative& alternative : factor.alternatives)
    if (alternative.set) leaves.merge(leaves_of(*alternative.set));
  leaves.erase(taken_back_key);
  return leaves;
}

void require_own_alternatives(const Study& study) {
  const std::map<std::string, std::string> for_all = leaves_of(study.set);
  for (std::size_t f = 0; f < study.factors.size(); ++f) {
    const Factor& factor = study.factors[f];
    for (const auto& [key, value] : written_by(factor)) {
      if (for_all.contains(key) && key != taken_back_key)
        refuse(factor,
               fmt::format(
                   "an alternative sets {}, which [set] gives for all runs; give it in one of the two", key));
      for (std::size_t other = 0; other < f; ++other)
        if (written_by(study.factors[other]).contains(key))
          refuse(factor,
                 fmt::format("its alternatives set {}, as do those of factor {}; the values of one of them "
                             "would be lost",
                             key, study.factors[other].name));
    }
  }
}

/// What [set] or an alternative of another factor gives would be lost under the key of a factor.
void require_keys_given_once(const Study& study) {
  const std::map<std::string, std::string> for_all = leaves_of(study.set);
  for (const Factor& factor : study.factors)
    for (const std::string& key : factor.keys) {
      if (for_all.contains(key))
        refuse(factor,
               fmt::format("sets {}, which [set] gives for all runs; give it in one of the two", key));
      for (const Factor& other : study.factors)
        if (written_by(other).contains(key))
          refuse(factor, fmt::format("sets {}, as do alternatives of factor {}; their values would be lost",
                                     key, other.name));
    }
}

std::vector<std::string> taken_back_by(const toml::table& table) {
  std::vector<std::string> keys;
  if (const toml::array* listed = table.get_as<toml::array>(taken_back_key))
    for (const toml::node& key : *listed) keys.push_back(key.value_or(std::string()));
  return keys;
}

/// What a study makes itself, or has laid out flat before it is read.
bool is_of_the_study(const std::string& key) {
  return key == "base" || key == "case" || key.starts_with("case.");
}

constexpr const char* why_not_varied =
    "which no run would follow: base is given in [study], title and notes of a run are made by the study";

void require_keys_of_runs(const Section& root, const Study& study) {
  for (const auto& [key, value] : leaves_of(study.set))
    if (is_of_the_study(key)) root.fail("set", fmt::format("gives {}, {}", key, why_not_varied));
  for (const Factor& factor : study.factors) {
    for (const std::string& key : factor.keys)
      if (is_of_the_study(key) || key == taken_back_key)
        refuse(factor, fmt::format("sets {}, {}", key,
                                   key == taken_back_key ? "which alternatives can (set.without = [...])"
                                                         : why_not_varied));
    for (const auto& [key, value] : written_by(factor))
      if (is_of_the_study(key))
        refuse(factor, fmt::format("an alternative sets {}, {}", key, why_not_varied));
  }
}

void require_there(const Section& root, const Study& study, const std::set<std::string>& given) {
  for (const std::string& key : taken_back_by(study.set))
    if (!given.contains(key))
      root.fail("set",
                fmt::format("takes back \"{}\" (without), which the base does not give", shortened(key)));
  for (const Factor& factor : study.factors)
    for (const Alternative& alternative : factor.alternatives) {
      if (!alternative.set) continue;
      std::set<std::string> there = given;
      if (alternative.file) there.merge(keys_and_sections(*alternative.file));
      for (const std::string& key : taken_back_by(*alternative.set))
        if (!there.contains(key))
          refuse(factor,
                 fmt::format("alternative {} takes back \"{}\" (without), which the base does not give",
                             alternative.name, shortened(key)));
    }
}

}  // namespace

std::set<std::string> keys_and_sections(const toml::table& table) {
  std::set<std::string> all;
  for (const auto& [key, value] : leaves_of(table))
    for (std::size_t dot = key.size(); dot != std::string::npos;
         dot = dot == 0 ? dot : key.rfind('.', dot - 1)) {
      all.insert(key.substr(0, dot));
      if (dot == 0) break;
    }
  return all;
}

void require_conflict_free(const Section& root, const Study& study, const std::set<std::string>& given) {
  require_keys_of_runs(root, study);
  require_own_keys(study.factors);
  require_own_alternatives(study);
  require_keys_given_once(study);
  require_there(root, study, given);
}

std::vector<std::string> notes_on_alternatives(const Study& study) {
  std::vector<std::string> notes;
  const std::map<std::string, std::string> base = leaves_of(study.base), for_all = leaves_of(study.set);
  for (const Factor& factor : study.factors)
    for (const Alternative& alternative : factor.alternatives) {
      if (!alternative.file) continue;
      std::vector<std::string> others;
      for (const auto& [key, value] : leaves_of(*alternative.file)) {
        const bool is_meant = key.starts_with("plan.") || key.starts_with("case.") || for_all.contains(key);
        const auto there = base.find(key);
        if (!is_meant && (there == base.end() || there->second != value)) others.push_back(key);
      }
      if (!others.empty())
        notes.push_back(
            fmt::format("{}: alternative {} of factor {} differs from the base in more than its plan, as its "
                        "file says: {}",
                        factor.place, alternative.name, factor.name, fmt::join(others, ", ")));
    }
  return notes;
}

}  // namespace setstress
