#include "cases/options/refusals.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <functional>
#include <optional>

#include "cases/reader/case_error.hpp"

namespace setstress {

namespace {

/// All of `text` as a number; empty where it is none.
template <class Number>
std::optional<Number> number_in(const std::string& text) {
  Number number{};
  const char* const end = text.data() + text.size();
  const auto [stop, failure] = std::from_chars(text.data(), end, number);
  return failure == std::errc() && stop == end ? std::optional(number) : std::nullopt;
}

CLI::Validator refusing(std::function<bool(const std::string&)> is_allowed, std::string rule) {
  return {[is_allowed = std::move(is_allowed), rule = std::move(rule)](const std::string& text) {
            return is_allowed(text) ? "" : fmt::format("is \"{}\"; must be {}", shortened(text), rule);
          },
          ""};
}

/// The command that was meant, as far as it was understood: "setstress study run".
std::pair<const CLI::App*, std::string> command_in(const CLI::App& app) {
  const CLI::App* here = &app;
  std::string name = "setstress";
  while (!here->get_subcommands().empty()) {
    here = here->get_subcommands().front();
    name += " " + here->get_name();
  }
  return {here, name};
}

/// Positionals are known to people by what stands for them in the help: CASE.
std::string shown_name(const CLI::App& command, const std::string& name) {
  for (const CLI::Option* option : command.get_options())
    if (option->get_name() == name && option->get_positional())
      return option->get_type_name().substr(0, option->get_type_name().find(' '));
  return name;
}

std::string of_words_left(const CLI::App& command, const std::string& words) {
  const std::string word = words.substr(0, words.find(' '));
  std::vector<std::string> known;
  for (const CLI::Option* option : command.get_options())
    if (!option->get_lnames().empty() && !option->get_group().empty())
      known.push_back("--" + option->get_lnames().front());
  const bool is_option = word.starts_with("-");
  const auto guess = is_option ? did_you_mean(word, known) : std::nullopt;
  return fmt::format("\"{}\" is {}{}", shortened(word), is_option ? "no option here" : "one word too many",
                     guess && *guess != word ? fmt::format("; did you mean \"{}\"?", *guess) : "");
}

/// "CASE: At Most 1 required but received 2", "--out: 1 required FOLDER missing" and the like.
std::string of_wrong_count(const CLI::App& command, const std::string& said) {
  const std::string option = said.substr(0, said.find_first_of(": "));
  const std::string name = shown_name(command, option);
  if (said.find("flag override") != std::string::npos)
    return fmt::format("{}{} takes no value", name.starts_with('-') ? "" : "--", name);
  const std::string received = said.substr(said.rfind(' ') + 1);
  const auto number = [&](const char* before) {
    const std::size_t at = said.find(before) + std::string_view(before).size();
    return said.substr(at, said.find(' ', at) - at);
  };
  if (said.find("At Most ") != std::string::npos)
    return fmt::format("{} of {} are given; at most {} can be", received, name, number("At Most "));
  if (said.find("At least ") != std::string::npos)
    return fmt::format("{} of {} is given; at least {} must be", received, name, number("At least "));
  return fmt::format("{} is given without what should follow it", name);
}

std::string sentence_of(const CLI::App& command, const CLI::ParseError& error) {
  for (const std::string& word : command.remaining())
    if (word.starts_with('-')) return of_words_left(command, word);
  const std::string said = error.what();
  const auto after = [&](std::string_view words) { return said.substr(said.find(words) + words.size()); };
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr)
    return of_words_left(command, after("expected: "));
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr) return of_wrong_count(command, said);
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr) {
    const std::string name = said.substr(0, said.find(" is required"));
    return name == "A subcommand" ? "a command is missing"
                                  : fmt::format("{} is missing", shown_name(command, name));
  }
  if (dynamic_cast<const CLI::ConversionError*>(&error) != nullptr &&
      said.starts_with("Could not convert: ")) {
    const std::string pair = after("Could not convert: ");
    const std::size_t sign = pair.find(" = ");
    return fmt::format("{} is \"{}\"; must be a number", shown_name(command, pair.substr(0, sign)),
                       shortened(pair.substr(sign + 3)));
  }
  if (dynamic_cast<const CLI::ValidationError*>(&error) != nullptr) {
    const std::size_t colon = said.find(": ");
    return fmt::format("{} {}", shown_name(command, said.substr(0, colon)), said.substr(colon + 2));
  }
  if (dynamic_cast<const CLI::RequiresError*>(&error) != nullptr)
    return fmt::format("an option given here changes nothing without {}", after("requires "));
  if (dynamic_cast<const CLI::ExcludesError*>(&error) != nullptr)
    return fmt::format("{} cannot stand beside {}; give one of them", said.substr(0, said.find(' ')),
                       after("excludes "));
  return said;
}

}  // namespace

CLI::Validator whole_number(int low, int high) {
  return refusing(
      [low, high](const std::string& text) {
        const auto number = number_in<int>(text);
        return number && *number >= low && *number <= high;
      },
      fmt::format("a whole number between {} and {}", low, high));
}

CLI::Validator number_above_zero() {
  return refusing(
      [](const std::string& text) {
        const auto number = number_in<double>(text);
        return number && *number >= 1e-9 && *number <= 1e9;
      },
      "a number above 0, between 1e-9 and 1e9");
}

CLI::Validator one_of(std::vector<std::string> words) {
  std::string rule = fmt::format("{}{}", words.size() > 1 ? "one of: " : "", fmt::join(words, ", "));
  return refusing([words = std::move(words)](
                      const std::string& text) { return std::ranges::find(words, text) != words.end(); },
                  std::move(rule));
}

void refuse_values_of_flags(CLI::App& app) {
  for (CLI::Option* option : app.get_options())
    if (option->get_items_expected_max() == 0) option->disable_flag_override();
  for (CLI::App* command : app.get_subcommands({})) refuse_values_of_flags(*command);
}

std::string refusal_of(const CLI::App& app, const CLI::ParseError& error) {
  const auto [command, name] = command_in(app);
  return fmt::format("setstress: {}\n{} --help says more\n", sentence_of(*command, error), name);
}

}  // namespace setstress
