#include "cases/study/table/result_table.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "cases/reader/data_folder.hpp"
#include "cases/study/table/sqlite.hpp"
#include "cases/study/table/study_database.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr std::array statuses{std::pair{RunStatus::planned, "planned"}, std::pair{RunStatus::done, "done"},
                              std::pair{RunStatus::failed, "failed"},
                              std::pair{RunStatus::refused, "refused"}};

RunStatus status_from(const std::string& name) {
  for (const auto& [status, known] : statuses)
    if (name == known) return status;
  throw CaseError(fmt::format("the table of results holds the status \"{}\", which is unknown", name));
}

Value value_from(const ordered_json& json) {
  if (json.is_string()) return json.get<std::string>();
  return json.get<double>();
}

FactorColumnInfo factor_from(const ordered_json& json) {
  FactorColumnInfo factor{
      json.at("name"),        json.at("label"), json.at("keys"), {}, value_from(json.at("nominal")),
      json.at("distribution")};
  for (const ordered_json& value : json.at("values")) factor.values.push_back(value_from(value));
  return factor;
}

/// Tables of before outputs had words have those of their places.
OutputColumnInfo output_from(const ordered_json& json) {
  OutputColumnInfo output{json.at("name"), json.at("path"), {}};
  if (!json.contains("label")) {
    output.words = words_of(output.path);
    return output;
  }
  output.words = {json.at("label"), json.at("unit"), better_from(json.at("better").get<std::string>())};
  return output;
}

Design design_from(const std::string& name) {
  for (const Design design : {Design::grid, Design::one_at_a_time, Design::latin_hypercube, Design::sobol,
                              Design::random, Design::sobol_indices})
    if (name_of(design) == name) return design;
  throw CaseError(fmt::format("the table of results names the design \"{}\", which is unknown", name));
}

ResultTable heading_of(const Database& database) {
  std::map<std::string, std::string> about;
  for (Statement rows = database.prepare("SELECT key, value FROM study"); rows.step();)
    about[rows.text(0)] = rows.text(1);
  ResultTable table;
  table.study = about.at("study");
  table.title = about.at("title");
  table.notes = about.at("notes");
  table.invented = about.at("invented") == "true";
  table.base = about.at("base");
  table.design = design_from(about.at("design"));
  table.dropped = std::stoi(about.at("dropped"));
  for (const ordered_json& factor : ordered_json::parse(about.at("factors")))
    table.factors.push_back(factor_from(factor));
  for (const ordered_json& output : ordered_json::parse(about.at("outputs")))
    table.outputs.push_back(output_from(output));
  if (const auto crossed = about.find("cross"); crossed != about.end()) table.crossed = crossed->second;
  return table;
}

void read_rows(const Database& database, int format, ResultTable& table) {
  std::string columns =
      "row, block, point, status, message, seconds, mesh_seconds, mesh_shared, solution_shared, "
      "saved_seconds, case_sum";
  columns += format < 3 ? ", NULL, 0" : ", outputs_missing, summary_zlib IS NOT NULL";
  columns += format < 4 ? ", 0" : ", coalesce(lanes, 0)";
  columns += format < 5 ? ", 0" : ", coalesce(machine, '') = 'gpu'";
  for (const auto& factor : table.factors) columns += ", " + quoted(factor.name);
  for (const auto& output : table.outputs) columns += ", " + quoted(output.name);
  Statement select = database.prepare(fmt::format("SELECT {} FROM runs ORDER BY row", columns));
  while (select.step()) {
    ResultRow row;
    row.number = select.whole_number(0);
    row.block = select.whole_number(1);
    row.point = select.whole_number(2);
    row.status = status_from(select.text(3));
    row.message = select.text(4);
    row.seconds = select.is_null(5) ? 0 : select.number(5);
    if (!select.is_null(6)) {
      row.mesh_seconds = select.number(6);
      row.mesh_shared = select.whole_number(7) != 0;
      row.solution_shared = select.whole_number(8) != 0;
      row.solution_saved = select.number(9);
    }
    row.case_sum = select.text(10);
    row.missing = select.text(11);
    row.has_summary = select.whole_number(12) != 0;
    if (row.status == RunStatus::failed && !row.missing.empty()) row.message = row.missing;
    row.lanes = select.whole_number(13);
    row.on_gpu = select.whole_number(14) != 0;
    int at = 15;
    for (std::size_t f = 0; f < table.factors.size(); ++f) row.inputs.push_back(select.value(at++));
    for (std::size_t o = 0; o < table.outputs.size(); ++o) row.outputs.push_back(select.number(at++));
    table.rows.push_back(std::move(row));
  }
}

std::string csv_cell(const std::string& text) {
  if (text.find_first_of(",\"\n") == std::string::npos) return text;
  std::string cell = "\"";
  for (const char c : text) cell += c == '"' ? std::string("\"\"") : std::string(1, c);
  return cell + "\"";
}

/// "cusps [µm]"; "cusps_um" says it already.
std::string column_of(const OutputColumnInfo& output) {
  std::string plain = output.words.unit;
  if (const std::size_t micro = plain.find("µ"); micro != std::string::npos) plain.replace(micro, 2, "u");
  const bool is_said = plain.empty() || plain == "-" || output.name.ends_with("_" + plain);
  return is_said ? output.name : fmt::format("{} [{}]", output.name, output.words.unit);
}

}  // namespace

std::string name_of(RunStatus status) {
  for (const auto& [known, name] : statuses)
    if (known == status) return name;
  throw std::logic_error("a status without a name");
}

ResultTable table_of(const Database& source, int format) {
  ResultTable table = heading_of(source);
  read_rows(source, format, table);
  return table;
}

ResultTable read_results(const std::filesystem::path& database) {
  if (!std::filesystem::is_regular_file(database))
    throw CaseError(fmt::format("{}: there is no such file; run the study first", database.string()));
  try {
    const Database source(database, Database::Access::read);
    return table_of(source, require_study_database(source, database));
  } catch (const DatabaseError& error) {
    throw CaseError(error.what());
  } catch (const std::out_of_range&) {
    throw CaseError(fmt::format("{} does not say what study it belongs to", database.string()));
  } catch (const nlohmann::json::exception&) {
    throw CaseError(fmt::format("{} does not say what study it belongs to", database.string()));
  }
}

std::filesystem::path database_of(const std::filesystem::path& study_file,
                                  const std::filesystem::path& folder) {
  const std::filesystem::path name = study_file.stem().string() + ".sqlite";
  if (!folder.empty()) return folder / name;
  const auto ready = ready_made_studies();
  const bool is_ready = std::find(ready.begin(), ready.end(), study_file) != ready.end();
  return is_ready ? name : study_file.parent_path() / name;
}

std::string as_csv(const ResultTable& table) {
  std::string csv = "row,block,point";
  for (const auto& factor : table.factors) csv += "," + factor.name;
  for (const auto& output : table.outputs) csv += "," + csv_cell(column_of(output));
  csv += ",status,message,seconds\n";
  for (const ResultRow& row : table.rows) {
    csv += fmt::format("{},{},{}", row.number, row.block, row.point);
    for (const Value& value : row.inputs) csv += "," + csv_cell(text_of(value));
    for (const double value : row.outputs) csv += std::isnan(value) ? "," : fmt::format(",{}", value);
    csv += fmt::format(",{},{},{}\n", name_of(row.status), csv_cell(row.message), row.seconds);
  }
  return csv;
}

std::string columns_csv(const ResultTable& table) {
  std::string csv = "column,label,unit,place\n";
  for (const FactorColumnInfo& factor : table.factors)
    csv += fmt::format("{},{},,{}\n", factor.name, csv_cell(factor.label),
                       csv_cell(fmt::format("{}", fmt::join(factor.keys, " "))));
  for (const OutputColumnInfo& output : table.outputs)
    csv += fmt::format("{},{},{},{}\n", csv_cell(column_of(output)), csv_cell(output.words.label),
                       csv_cell(output.words.unit), csv_cell(output.path));
  return csv;
}

}  // namespace setstress
