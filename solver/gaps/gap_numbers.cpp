#include "solver/gaps/gap_numbers.hpp"

#include <algorithm>
#include <set>

namespace setstress {

int GapNumbers::number_of(double time, const Gap& gap) {
  const auto record = [&](int number) -> GapRecord& {
    return records_[static_cast<std::size_t>(number - 1)];
  };
  const auto area = [&](int number) { return last_area_[static_cast<std::size_t>(number - 1)]; };
  std::set<int> before;
  for (const int p : gap.points)
    if (const auto at = static_cast<std::size_t>(p); at < number_at_.size() && number_at_[at] > 0)
      before.insert(number_at_[at]);
  if (before.empty()) {
    GapRecord& fresh = records_.emplace_back();
    fresh.number = static_cast<int>(records_.size());
    fresh.appeared = time;
    last_area_.push_back(0);
    return fresh.number;
  }
  const int kept = *std::ranges::max_element(before, {}, area);  // the first, so the oldest, of several
  for (const int number : before) {
    if (number == kept) continue;
    record(number).merged_into = kept;
    record(number).merged_at = time;
    record(number).open_since.reset();
  }
  return kept;
}

std::vector<NumberedGap> GapNumbers::follow(double frame_time, std::vector<Gap> gaps) {
  std::vector<NumberedGap> numbered;
  for (Gap& gap : gaps) {
    const int number = number_of(frame_time, gap);
    numbered.push_back({number, std::move(gap)});
  }
  std::ranges::fill(number_at_, 0);
  for (const auto& [number, gap] : numbered) {
    GapRecord& record = records_[static_cast<std::size_t>(number - 1)];
    last_area_[static_cast<std::size_t>(number - 1)] = gap.area;
    if (!gap.open_to_margin)
      record.open_since.reset();
    else if (!record.open_since)
      record.open_since = frame_time;
    number_at_.resize(std::max(number_at_.size(), static_cast<std::size_t>(gap.points.back()) + 1), 0);
    for (const int p : gap.points) number_at_[static_cast<std::size_t>(p)] = number;
  }
  std::ranges::sort(numbered, {}, &NumberedGap::number);
  return numbered;
}

}  // namespace setstress
