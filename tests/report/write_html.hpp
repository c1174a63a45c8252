#pragma once
// The report as one HTML page that needs nothing else, and its short table for the README.

#include <string>
#include <vector>

#include "tests/report/read_checks.hpp"

namespace setstress::testing {

/// `left_out`: names of tests that were not run, told on top.
std::string report_html(const std::vector<Chapter>& chapters, const std::vector<std::string>& left_out);

/// One line a check, as a Markdown table: what, source, and the comparison that is furthest off.
std::string short_table(const std::vector<Chapter>& chapters);

}  // namespace setstress::testing
