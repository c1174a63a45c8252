#include "cases/wait/kept_answers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cases/reader/checksum.hpp"
#include "cases/study/design/case_sum.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

std::filesystem::path kept_beside(const std::filesystem::path& out) {
  std::filesystem::path plain = out.lexically_normal();
  if (!plain.has_filename()) plain = plain.parent_path();
  return plain.string() + "." + KeptAnswers::name_in_folder;
}

ordered_json largest_json(const LargestValue& largest) {
  ordered_json json{{"value", largest.value}};
  if (largest.part)
    json["part_filled"] = {{"ratio", largest.part->ratio},
                           {"placed_area_mm2", largest.part->placed},
                           {"area_mm2", largest.part->area}};
  if (largest.energy_bound) json["stored_over_needed_energy"] = *largest.energy_bound;
  return json;
}

LargestValue largest_of(const ordered_json& json) {
  LargestValue largest{.value = json.at("value")};
  if (const auto part = json.find("part_filled"); part != json.end())
    largest.part = PartFilled{part->at("ratio"), part->at("placed_area_mm2"), part->at("area_mm2")};
  if (const auto energy = json.find("stored_over_needed_energy"); energy != json.end())
    largest.energy_bound = energy->get<double>();
  return largest;
}

}  // namespace

std::string sum_of_question(const Case& input, const WallLimit& limit, int entry) {
  return Checksum()
      .add(SETSTRESS_VERSION)
      .add(case_sum(input))
      .add(name_of(limit.quantity))
      .add(limit.wall)
      .add(limit.substrate)
      .add(fmt::format("{}", entry))
      .text();
}

KeptAnswers::KeptAnswers(const std::filesystem::path& out) : beside_(kept_beside(out)) {
  read(out / name_in_folder);
  read(beside_);
}

void KeptAnswers::read(const std::filesystem::path& file) {
  std::ifstream stream(file);
  if (!stream) return;
  try {
    const ordered_json kept = ordered_json::parse(stream);
    for (const ordered_json& each : kept.at("answers"))
      all_.push_back({each.at("question"), {each.at("law"), each.at("wait_s"), largest_of(each)}});
  } catch (const ordered_json::exception&) {
    throw CaseError(fmt::format("{} is there already and holds no answers of setstress wait; move it away",
                                file.string()));
  }
}

std::vector<WaitAnswer> KeptAnswers::of(const std::string& sum) const {
  std::vector<WaitAnswer> answers;
  for (const Kept& kept : all_)
    if (kept.sum == sum) answers.push_back(kept.answer);
  return answers;
}

std::string KeptAnswers::text() const {
  ordered_json answers = ordered_json::array();
  for (const Kept& kept : all_) {
    ordered_json one{{"question", kept.sum}, {"law", kept.answer.law}, {"wait_s", kept.answer.wait}};
    one.update(largest_json(kept.answer.largest));
    answers.push_back(one);
  }
  return ordered_json{{"program", fmt::format("setstress {}", SETSTRESS_VERSION)},
                      {"answers", answers},
                      {"caution", caution_line}}
             .dump(2) +
         "\n";
}

void KeptAnswers::keep(const std::string& sum, WaitAnswer answer) {
  all_.push_back({sum, std::move(answer)});
  write_file(beside_, text());
}

void KeptAnswers::write_into(const std::filesystem::path& folder) const {
  write_file(folder / name_in_folder, text());
}

void KeptAnswers::published() const {
  std::error_code ignored;  // what is left is taken over by the next search
  std::filesystem::remove(beside_, ignored);
}

}  // namespace setstress
