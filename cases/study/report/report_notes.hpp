#pragma once
// Private to cases/study/report: the sentences below a plot.

#include <string>
#include <vector>

#include "cases/study/table/result_table.hpp"

namespace setstress {

/// What an output is called: its label, or its name where it has none.
std::string label_of(const OutputColumnInfo& output);

/// With its unit: "C-factor [-]".
std::string axis_of(const OutputColumnInfo& output);

/// "n = 22 of 24 runs; 1 failed, 1 refused."
std::string count_note(const ResultTable& table, int used);

/// What a plot leaves free, other than the factors that it shows, and what was held fixed: `at_nominal` where
/// all others are at their nominal values while one varies.
std::string fixed_note(const ResultTable& table, const std::vector<std::size_t>& shown, bool at_nominal);

}  // namespace setstress
