#include "cases/study/table/study_database.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <unistd.h>

#include <cmath>
#include <limits>
#include <numeric>

#include "cases/reader/checksum.hpp"
#include "cases/study/table/kept_summary.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr int application_id = 0x53545354;  // "STST"
constexpr int format_version = 5, format_without_summaries = 2;

/// Columns about the run itself, in the order in which record() fills them.
constexpr const char* run_columns =
    "status TEXT NOT NULL, message TEXT, seconds REAL, mesh_seconds REAL, mesh_shared INTEGER, "
    "solution_shared INTEGER, saved_seconds REAL, memory_mb REAL, version TEXT, case_sum TEXT, "
    "outputs_missing TEXT, summary_zlib BLOB, lanes INTEGER, led_by TEXT, machine TEXT, attempts "
    "INTEGER NOT NULL DEFAULT 0";

/// Those of them that go with a run from one state of a study to the next.
constexpr const char* kept_columns =
    "status, message, seconds, mesh_seconds, mesh_shared, solution_shared, saved_seconds, memory_mb, "
    "version, case_sum, outputs_missing, summary_zlib, lanes, led_by, machine, attempts";

/// Columns that tables of earlier formats do not have, and the format that they came with.
const std::vector<std::pair<std::string, int>> later_columns{{"outputs_missing TEXT", 3},
                                                             {"summary_zlib BLOB", 3},
                                                             {"lanes INTEGER", 4},
                                                             {"led_by TEXT", 4},
                                                             {"machine TEXT", format_version}};

ordered_json json_of(const Value& value) {
  if (const auto* number = std::get_if<double>(&value)) return *number;
  return std::get<std::string>(value);
}

ordered_json json_of(const Factor& factor) {
  ordered_json values = ordered_json::array();
  for (const Value& value : factor.values) values.push_back(json_of(value));
  return {{"name", factor.name},
          {"label", factor.label},
          {"keys", factor.keys},
          {"values", values},
          {"nominal", json_of(factor.nominal)},
          {"distribution", factor.distribution ? text_of(*factor.distribution) : ""}};
}

/// What is known of the study as a whole, as the rows of table `study`.
std::vector<std::pair<std::string, std::string>> about(const Study& study, const StudyPlan& plan,
                                                       const std::string& fingerprint) {
  ordered_json factors = ordered_json::array(), outputs = ordered_json::array();
  for (const Factor& factor : study.factors) factors.push_back(json_of(factor));
  for (const Output& output : study.outputs)
    outputs.push_back({{"name", output.name},
                       {"path", output.path},
                       {"label", output.words.label},
                       {"unit", output.words.unit},
                       {"better", name_of(output.words.better)}});
  return {{"study", study.name},
          {"title", study.title},
          {"notes", study.notes},
          {"invented", study.invented ? "true" : "false"},
          {"base", study.base_name},
          {"design", name_of(study.design)},
          {"points", std::to_string(study.points)},
          {"seed", std::to_string(study.seed)},
          {"cross", study.crossed ? study.factors[*study.crossed].name : ""},
          {"dropped", std::to_string(std::accumulate(plan.dropped.begin(), plan.dropped.end(), 0))},
          {"fingerprint", fingerprint},
          {"factors", factors.dump()},
          {"outputs", outputs.dump()}};
}

std::string column_definitions(const Study& study) {
  std::string columns = "row INTEGER PRIMARY KEY, block INTEGER NOT NULL, point INTEGER NOT NULL";
  for (const Factor& factor : study.factors)
    columns += fmt::format(", {} {} NOT NULL", quoted(factor.name),
                           std::holds_alternative<double>(factor.nominal) ? "REAL" : "TEXT");
  for (const Output& output : study.outputs) columns += fmt::format(", {} REAL", quoted(output.name));
  return fmt::format("{}, {}", columns, run_columns);
}

/// The columns of a study as SQL lists them.
std::string column_names(const Study& study) {
  std::string columns = "row, block, point";
  for (const Factor& factor : study.factors) columns += ", " + quoted(factor.name);
  for (const Output& output : study.outputs) columns += ", " + quoted(output.name);
  return fmt::format("{}, {}", columns, kept_columns);
}

/// Empty text becomes NULL.
void bind_text(Statement& statement, int at, const std::string& text) {
  constexpr double null = std::numeric_limits<double>::quiet_NaN();
  if (text.empty())
    statement.bind(at, null);
  else
    statement.bind(at, text);
}

int pragma(const Database& database, const char* name) {
  Statement statement = database.prepare(fmt::format("PRAGMA {}", name));
  return statement.step() ? statement.whole_number(0) : 0;
}

/// Without a single table: new, or cut off before the first was whole (a full disk). Nothing in it can be
/// lost.
bool is_blank(const Database& database) {
  try {
    Statement tables = database.prepare("SELECT count(*) FROM sqlite_master");
    return tables.step() && tables.whole_number(0) == 0;
  } catch (const DatabaseError&) {  // said in full when it is looked at more closely
    return false;
  }
}

std::string kept_fingerprint(const Database& database) {
  Statement statement = database.prepare("SELECT value FROM study WHERE key = 'fingerprint'");
  return statement.step() ? statement.text(0) : "";
}

}  // namespace

std::string fingerprint_of(const Study& study, const StudyPlan& plan) {
  Checksum sum;
  for (const Output& output : study.outputs) sum.add(output.name).add(output.path);
  for (const Factor& factor : study.factors) sum.add(factor.name);
  for (const StudyRow& row : plan.rows) {
    sum.add(std::to_string(row.block)).add(std::to_string(row.point));
    for (const Value& value : row.values) sum.add(text_of(value));
    try {
      sum.add(case_text(study, row));
    } catch (const CaseError& error) {  // refused: there is no such case, whatever the values
      sum.add("refused");
    }
  }
  return sum.text();
}

int require_study_database(const Database& database, const std::filesystem::path& file) {
  try {
    if (is_blank(database))
      throw CaseError(fmt::format(
          "{} has no table yet: its study was stopped before there was one; start it again", file.string()));
    if (pragma(database, "application_id") != application_id)
      throw CaseError(
          fmt::format("{} is a database, but none that a study of setstress wrote; it is left as "
                      "it is. Move it away, or choose another folder with --out",
                      file.string()));
    const int version = pragma(database, "user_version");
    if (version > format_version || version < format_without_summaries)
      throw CaseError(fmt::format("{} was written in format {} of the tables; this setstress reads format {}",
                                  file.string(), version, format_version));
    Statement check = database.prepare("PRAGMA quick_check");
    if (!check.step() || check.text(0) != "ok")
      throw CaseError(
          fmt::format("{} is damaged ({}); move it away to start anew", file.string(), check.text(0)));
    return version;
  } catch (const DatabaseError& error) {
    throw CaseError(fmt::format("{}; move it away to start anew", error.what()));
  }
}

StudyDatabase::StudyDatabase(Database database, const Study& study)
    : database_(std::move(database)), outputs_(study.outputs), columns_(column_names(study)) {}

StudyDatabase StudyDatabase::open(const std::filesystem::path& file, const Study& study,
                                  const StudyPlan& plan) {
  const std::string fingerprint = fingerprint_of(study, plan);
  StudyDatabase opened(Database(file, Database::Access::write), study);
  const bool is_new = is_blank(opened.database_);
  opened.fingerprint_ = fingerprint;
  const int format = is_new ? format_version : require_study_database(opened.database_, file);
  const bool is_changed = !is_new && kept_fingerprint(opened.database_) != fingerprint;
  const Extension extension = is_changed ? extension_of(read_results(file), file, study, plan) : Extension();
  opened.database_.run("PRAGMA journal_mode = WAL");
  opened.database_.run("PRAGMA synchronous = FULL");
  Transaction together(opened.database_);
  if (format < format_version) opened.add_columns_since(format);
  if (is_changed) opened.set_aside();
  if (is_new || is_changed) opened.make_tables(study, plan, fingerprint);
  if (is_changed) opened.take_back(extension);
  if (!is_new && !is_changed) opened.describe(study, plan);
  together.commit();
  return opened;
}

void StudyDatabase::add_columns_since(int format) {
  for (const auto& [column, since] : later_columns)
    if (format < since) database_.run(fmt::format("ALTER TABLE runs ADD COLUMN {}", column));
  database_.run(fmt::format("PRAGMA user_version = {}", format_version));
}

/// Titles, labels and units are those of the study file as it is now.
void StudyDatabase::describe(const Study& study, const StudyPlan& plan) {
  Statement update = database_.prepare(
      "INSERT INTO study VALUES (?2, ?1) ON CONFLICT (key) DO UPDATE SET value = ?1 WHERE value <> ?1");
  for (const auto& [key, value] : about(study, plan, fingerprint_)) update.bind(1, value).bind(2, key).run();
}

/// The runs of an earlier state of the study, out of the way of those to come.
void StudyDatabase::set_aside() {
  database_.run("DROP TABLE study");
  database_.run("ALTER TABLE runs RENAME TO runs_before");
}

/// What was made of them, in the rows they have now.
void StudyDatabase::take_back(const Extension& extension) {
  std::string before_columns = kept_columns, columns = kept_columns;
  for (const auto& [before, now] : extension.kept) {
    before_columns += ", " + quoted(before);
    columns += ", " + quoted(now);
  }
  {
    Statement take = database_.prepare(
        fmt::format("UPDATE runs SET ({}) = (SELECT {} FROM runs_before WHERE row = ?) WHERE row = ?",
                    columns, before_columns));
    for (const auto& [before, now] : extension.rows) take.bind(1, before).bind(2, now).run();
  }
  database_.run("DROP TABLE runs_before");
  taken_over_ = TakenOver{static_cast<int>(extension.rows.size()), extension.from_summaries, 0};
  if (!extension.from_summaries.empty()) take_outputs(extension);
}

ordered_json StudyDatabase::parsed(const std::string& summary, int row) const {
  try {
    return ordered_json::parse(inflated(summary));
  } catch (const std::exception&) {
    throw DatabaseError(
        fmt::format("{}: the summary kept of run {} is damaged; move the file away to start anew",
                    database_.file(), row));
  }
}

/// All outputs anew from the summaries of the runs that were made.
void StudyDatabase::take_outputs(const Extension& extension) {
  std::string values;
  for (const Output& output : outputs_) values += fmt::format("{} = ?, ", quoted(output.name));
  Statement summary = database_.prepare("SELECT summary_zlib FROM runs WHERE row = ?");
  Statement update = database_.prepare(
      fmt::format("UPDATE runs SET {}status = ?, outputs_missing = ? WHERE row = ?", values));
  for (const auto& [before, now] : extension.rows) {
    const std::string bytes = summary.bind(1, now).step() ? summary.bytes(0) : "";
    summary.run();
    if (bytes.empty()) continue;
    const OutputValues found = values_of(outputs_, parsed(bytes, now));
    int at = 0;
    for (const double value : found.values) update.bind(++at, value);
    update.bind(++at, name_of(found.found > 0 ? RunStatus::done : RunStatus::failed));
    bind_text(update, ++at, found.missing);
    update.bind(++at, now).run();
    ++taken_over_->summaries;
  }
}

StudyDatabase StudyDatabase::in_memory(const Study& study, const StudyPlan& plan) {
  StudyDatabase made(Database(), study);
  made.fingerprint_ = fingerprint_of(study, plan);
  made.make_tables(study, plan, made.fingerprint_);
  return made;
}

void StudyDatabase::make_tables(const Study& study, const StudyPlan& plan, const std::string& fingerprint) {
  database_.run(fmt::format("PRAGMA application_id = {}", application_id));
  database_.run(fmt::format("PRAGMA user_version = {}", format_version));
  database_.run("CREATE TABLE study (key TEXT PRIMARY KEY, value TEXT NOT NULL)");
  Statement about_row = database_.prepare("INSERT INTO study VALUES (?, ?)");
  for (const auto& [key, value] : about(study, plan, fingerprint))
    about_row.bind(1, key).bind(2, value).run();
  database_.run(fmt::format("CREATE TABLE runs ({})", column_definitions(study)));
  std::string columns = "row, block, point", marks = "?, ?, ?";
  for (const Factor& factor : study.factors) {
    columns += ", " + quoted(factor.name);
    marks += ", ?";
  }
  Statement planned =
      database_.prepare(fmt::format("INSERT INTO runs ({}, status) VALUES ({}, 'planned')", columns, marks));
  for (const StudyRow& row : plan.rows) {
    planned.bind(1, row.number).bind(2, row.block).bind(3, row.point);
    for (std::size_t f = 0; f < row.values.size(); ++f) planned.bind(static_cast<int>(f) + 4, row.values[f]);
    planned.run();
  }
}

int StudyDatabase::merge(const std::filesystem::path& other) {
  const auto count = [&] {
    Statement changed = database_.prepare("SELECT total_changes()");
    changed.step();
    return changed.whole_number(0);
  };
  int format = 0;
  {
    const Database source(other, Database::Access::read);
    format = require_study_database(source, other);
    if (kept_fingerprint(source) != fingerprint_)
      throw CaseError(
          fmt::format("{} holds results of another study, or of this one before it was changed; collect "
                      "them with the study as it was, or delete that file",
                      other.string()));
  }
  // Done stands above refused, refused above failed, failed above planned, so that the order does not matter.
  constexpr const char* rank =
      "(CASE {0}.status WHEN 'done' THEN 3 WHEN 'refused' THEN 2 WHEN 'failed' THEN 1 ELSE 0 END)";
  const std::string here = fmt::format(fmt::runtime(rank), "here"),
                    there = fmt::format(fmt::runtime(rank), "there");
  std::string theirs = columns_;
  for (const auto& [column, since] : later_columns) {
    const std::string name = ", " + column.substr(0, column.find(' '));
    if (format < since) theirs.replace(theirs.rfind(name), name.size(), ", NULL");
  }
  database_.prepare("ATTACH ? AS other").bind(1, other.string()).run();
  const int before = count();
  try {
    database_.run(
        fmt::format("INSERT OR REPLACE INTO runs ({2}) SELECT {3} FROM other.runs WHERE row IN (SELECT row "
                    "FROM other.runs AS there JOIN main.runs AS here USING (row) "
                    "WHERE {1} > {0} OR ({1} = {0} AND {1} = 1 AND there.message < here.message))",
                    here, there, columns_, theirs));
  } catch (const DatabaseError&) {
    database_.run("DETACH other");
    throw;
  }
  const int after = count();
  database_.run("DETACH other");
  return after - before;
}

void StudyDatabase::publish(const std::filesystem::path& file) {
  std::string host(256, '\0');
  gethostname(host.data(), host.size() - 1);
  const std::filesystem::path part = fmt::format("{}.{}-{}.part", file.string(), host.c_str(), getpid());
  std::error_code ignored;
  std::filesystem::remove(part, ignored);
  database_.prepare("VACUUM INTO ?").bind(1, part.string()).run();
  std::error_code failure;
  std::filesystem::rename(part, file, failure);
  if (failure)
    throw DatabaseError(fmt::format("{}: cannot be written: {}", file.string(), failure.message()));
}

void StudyDatabase::fold_log() {
  try {
    database_.run("PRAGMA journal_mode = DELETE");
  } catch (const DatabaseError&) {  // somebody is reading: the log stays, and nothing is lost
  }
}

ResultTable StudyDatabase::table() const {
  return table_of(database_, format_version);
}

std::vector<int> StudyDatabase::rows_with(RunStatus status) const {
  Statement select = database_.prepare("SELECT row FROM runs WHERE status = ? ORDER BY row");
  select.bind(1, name_of(status));
  std::vector<int> rows;
  while (select.step()) rows.push_back(select.whole_number(0));
  return rows;
}

void StudyDatabase::record(int row, const RunRecord& record) {
  std::string values;
  for (const Output& output : outputs_) values += fmt::format("{} = ?, ", quoted(output.name));
  Statement update = database_.prepare(fmt::format(
      "UPDATE runs SET {}status = ?, message = ?, outputs_missing = ?, summary_zlib = ?, seconds = ?, "
      "mesh_seconds = ?, mesh_shared = ?, solution_shared = ?, saved_seconds = ?, memory_mb = ?, version = "
      "?, "
      "case_sum = ?, lanes = ?, led_by = ?, machine = ?, attempts = attempts + 1 WHERE row = ? AND status <> "
      "'done'",
      values));
  int at = 0;
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  for (std::size_t o = 0; o < outputs_.size(); ++o)
    update.bind(++at, record.status == RunStatus::done ? record.outputs.at(o) : none);
  update.bind(++at, name_of(record.status));
  bind_text(update, ++at, record.message);
  bind_text(update, ++at, record.missing);
  update.bind_bytes(++at, record.summary.empty() ? "" : deflated(record.summary));
  update.bind(at + 1, record.seconds).bind(at + 2, record.mesh_seconds);
  update.bind(at + 3, record.mesh_shared ? 1 : 0).bind(at + 4, record.solution_shared ? 1 : 0);
  update.bind(at + 5, record.saved_seconds).bind(at + 6, record.memory_mb);
  update.bind(at + 7, std::string(SETSTRESS_VERSION))
      .bind(at + 8, record.case_sum)
      .bind(at + 9, record.lanes);
  at += 9;
  bind_text(update, ++at, record.led_by);
  bind_text(update, ++at, record.machine);
  update.bind(++at, row).run();
}

double StudyDatabase::number_of(const std::string& expression) const {
  Statement select = database_.prepare(fmt::format(
      "SELECT coalesce({}, 0) FROM runs WHERE status IN ('done', 'failed') AND memory_mb > 0 AND NOT "
      "solution_shared",
      expression));
  select.step();
  return select.number(0);
}

double StudyDatabase::mean_seconds() const {
  return number_of("avg(seconds)");
}

double StudyDatabase::largest_memory_mb() const {
  return number_of("max(memory_mb)");
}

int StudyDatabase::retry_failed() {
  const auto failed = static_cast<int>(rows_with(RunStatus::failed).size());
  database_.run(
      "UPDATE runs SET status = 'planned', message = NULL, outputs_missing = NULL, summary_zlib = NULL WHERE "
      "status = 'failed'");
  return failed;
}

}  // namespace setstress
