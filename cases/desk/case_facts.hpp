#pragma once
// What the page is told of a case as soon as it is typed: read, not meshed.

#include <nlohmann/json.hpp>
#include <string>

#include "cases/desk/desk_folder.hpp"

namespace setstress {

/// `ok` true: `values` (every value in force, with unit and where it was written), `allowed` (ranges and
/// choices), `timeline`, `increments` with their instants, exposures and cutting planes, levels, classes that
/// can be chosen, notes. `ok` false: `message`, and `key` where the message blames one.
nlohmann::ordered_json case_facts(const DeskFolder& folder, const std::string& name, const std::string& text);

/// Every class of composite and adhesive that the case can use, its values with their sources. Throws
/// CaseError.
nlohmann::ordered_json case_classes(const DeskFolder& folder, const std::string& name,
                                    const std::string& text);

/// A message of the program as the page shows it: without the folder, and the key that it blames.
nlohmann::ordered_json told_fault(const DeskFolder& folder, const std::string& message);

}  // namespace setstress
