#pragma once
// What a study found, as one HTML page that needs no network, and its plots as files.

#include <filesystem>
#include <string>

#include "cases/study/table/result_table.hpp"

namespace setstress {

/// The page: counts, plots of every output, runs with the lowest and highest values, and those that failed
/// with their messages. `study_argument` is how the user names the study on the command line.
std::string report_page(const ResultTable& table, const std::string& study_argument);

/// Writes report.html, figures/*.svg and runs.csv into `folder`, replacing an older report; anything else
/// that stands there is refused with CaseError. Throws std::runtime_error where a file cannot be written.
void write_report(const ResultTable& table, const std::string& study_argument,
                  const std::filesystem::path& folder);

/// Counts and, for each output, range, mean, what decides and which plan is better how often, for people.
std::string report_text(const ResultTable& table);

}  // namespace setstress
