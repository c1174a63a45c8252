#include "cases/study/report/report_notes.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cases/study/report/report_data.hpp"

namespace setstress {

std::string label_of(const OutputColumnInfo& output) {
  if (!output.words.label.empty()) return output.words.label;
  std::string name = output.name;
  std::ranges::replace(name, '_', ' ');
  return name;
}

std::string axis_of(const OutputColumnInfo& output) {
  return output.words.unit.empty() ? label_of(output)
                                   : fmt::format("{} [{}]", label_of(output), output.words.unit);
}

std::string count_note(const ResultTable& table, int used) {
  const RunCounts counts = counts_of(table);
  std::string note = fmt::format("n = {} of {} runs; {} failed, {} refused", used, counts.all(),
                                 counts.failed, counts.refused);
  if (counts.planned > 0) note += fmt::format(", {} not made yet", counts.planned);
  if (table.dropped > 0) note += fmt::format("; {} combinations left out by rules", table.dropped);
  return note + ".";
}

std::string fixed_note(const ResultTable& table, const std::vector<std::size_t>& shown, bool at_nominal) {
  std::vector<std::string> free, fixed;
  for (std::size_t f = 0; f < table.factors.size(); ++f) {
    if (std::find(shown.begin(), shown.end(), f) != shown.end()) continue;
    const FactorColumnInfo& factor = table.factors[f];
    if (at_nominal || (factor.values.size() == 1 && factor.distribution.empty()))
      fixed.push_back(fmt::format("{} {}", factor.name, text_of(factor.nominal)));
    else
      free.push_back(factor.name);
  }
  std::string note = free.empty() ? "" : fmt::format("Over all values of {}. ", fmt::join(free, ", "));
  if (!fixed.empty())
    note += fmt::format("Held{}: {}. ", at_nominal ? " while others vary" : " fixed", fmt::join(fixed, ", "));
  return note + fmt::format("Fixed: all else as in {}.", table.base);
}

}  // namespace setstress
