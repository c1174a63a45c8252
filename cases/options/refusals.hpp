#pragma once
// What is said where a command line is not understood: in our words, not those of its parser.

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace setstress {

/// Refuses what is no whole number from `low` to `high`.
CLI::Validator whole_number(int low, int high);

/// Refuses what is no number above 0, or beyond all that is measured.
CLI::Validator number_above_zero();

/// Refuses what is none of `words`.
CLI::Validator one_of(std::vector<std::string> words);

/// Flags take no value: `--quiet=3` is refused. For `app` and all its commands.
void refuse_values_of_flags(CLI::App& app);

/// What is wrong with a command line, in a sentence, and where help is; with a line end.
std::string refusal_of(const CLI::App& app, const CLI::ParseError& error);

}  // namespace setstress
