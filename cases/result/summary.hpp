#pragma once
// summary.json: all numbers of a run, units in the key names. The same case gives the same summary byte for
// byte.

#include <filesystem>
#include <nlohmann/json.hpp>

#include "cases/file/case.hpp"
#include "cases/result/history.hpp"

namespace setstress {

/// `largest_energy_error` [-] as simulate() reports it; `finished`: the run reached its end.
nlohmann::ordered_json summarise(const Case& input, const Model& model, const History& history,
                                 double largest_energy_error, bool finished);

/// The summary in a result folder. Throws CaseError where there is none or it cannot be read.
nlohmann::ordered_json read_summary(const std::filesystem::path& folder);

/// The entry of `summary` for a wall and substrate ("all" for all of them). Throws
/// std::out_of_range when there is none.
const nlohmann::ordered_json& bond_row(const nlohmann::ordered_json& summary, const std::string& wall,
                                       const std::string& substrate);

}  // namespace setstress
