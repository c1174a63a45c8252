#pragma once
// Whether folders can be drawn, before anything is drawn.

#include <filesystem>
#include <string>
#include <vector>

#include "viz/files/result_reader.hpp"

namespace setstress {

/// The results in `folders`. Throws CaseError, naming folder and file, where one is no whole result of
/// setstress, lists files that are not there, or was made by another version than the first.
std::vector<Result> drawable_results(const std::vector<std::string>& folders);

/// What results are called side by side: their cases, told apart by their folders where those are the same.
std::vector<std::string> names_of(const std::vector<Result>& results);

/// Time [s], from `low` to `high`, from a number of seconds or text such as "5 min". Throws CaseError that
/// begins with `option`.
double time_of_option(const std::string& option, const std::string& text, double low = 0, double high = 1e9);

}  // namespace setstress
