#include "cases/odds/odds_database.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/reader/case_error.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace {

constexpr int columns_of_row = 4;  // draw, status, message, seconds

/// The sum of the odds that a database is of; "" for a blank one. Throws CaseError for any other.
std::string sum_in(const Database& database) {
  Statement tables = database.prepare("SELECT count(*), sum(name IN ('about', 'draws')) FROM sqlite_master");
  if (!tables.step() || tables.whole_number(0) == 0) return "";
  if (tables.whole_number(1) == 2) {
    Statement sum = database.prepare("SELECT value FROM about WHERE key = 'sum'");
    if (sum.step()) return sum.text(0);
  }
  throw CaseError(
      fmt::format("{} is there already and holds no draws of setstress; move it away", database.file()));
}

}  // namespace

std::vector<std::string> input_headings(const Odds& odds) {
  std::vector<std::string> headings;
  for (const UncertainInput& input : odds.inputs)
    headings.push_back(input.words + (input.unit.empty() ? "" : " [" + input.unit + "]"));
  return headings;
}

std::vector<std::string> number_headings(const Odds& odds) {
  std::vector<std::string> headings;
  for (const std::string& plan : {odds.first, odds.second}) {
    for (const WhyMeasure& measure : odds.measures)
      for (const WallNumbers& wall : odds.walls)
        headings.push_back(fmt::format("{}: {}, {} [-]", plan, measure.key, wall.wall));
    headings.push_back(plan + ": under-cured");
  }
  return headings;
}

OddsDatabase::OddsDatabase(const std::filesystem::path& file, const Odds& odds)
    : database_(file, Database::Access::write),
      sum_(odds.sum),
      values_(odds.values),
      numbers_(2 * odds.numbers_of_plan()) {
  for (const UncertainInput& input : odds.inputs) laws_.push_back(input.spread.laws);
  if (sum_in(database_) != sum_) make_tables(odds);
}

void OddsDatabase::make_tables(const Odds& odds) {
  Transaction transaction(database_);
  database_.run("DROP TABLE IF EXISTS about; DROP TABLE IF EXISTS draws;");
  database_.run("CREATE TABLE about (key TEXT PRIMARY KEY, value TEXT)");
  Statement about = database_.prepare("INSERT INTO about VALUES (?, ?)");
  for (const auto& [key, value] : std::initializer_list<std::pair<std::string, std::string>>{
           {"program", fmt::format("setstress {}", SETSTRESS_VERSION)},
           {"first", odds.first},
           {"second", odds.second},
           {"mode", odds.mode},
           {"seed", std::to_string(odds.seed)},
           {"made", how_made(odds)},
           {"sum", odds.sum},
           {"caution", std::string(caution_line)}})
    about.bind(1, key).bind(2, value).run();
  std::vector<std::string> columns{"draw INTEGER PRIMARY KEY", "status TEXT NOT NULL", "message TEXT",
                                   "seconds REAL"};
  const std::vector<std::string> inputs = input_headings(odds);
  for (std::size_t i = 0; i < inputs.size(); ++i)
    columns.push_back(quoted(inputs[i]) + (laws_[i].empty() ? " REAL" : " TEXT"));
  for (const std::string& heading : number_headings(odds)) columns.push_back(quoted(heading) + " REAL");
  database_.run(fmt::format("CREATE TABLE draws ({})", fmt::join(columns, ", ")));
  transaction.commit();
}

void OddsDatabase::take_over(const std::filesystem::path& other) {
  if (!std::filesystem::exists(other) || sum_in(Database(other, Database::Access::read)) != sum_) return;
  database_.prepare("ATTACH ? AS other").bind(1, other.string()).run();
  database_.run("INSERT OR IGNORE INTO draws SELECT * FROM other.draws");
  database_.run("DETACH other");
}

std::vector<OddsRow> OddsDatabase::rows() const {
  std::vector<OddsRow> rows;
  Statement select = database_.prepare("SELECT * FROM draws ORDER BY draw");
  while (select.step()) {
    OddsRow row{.draw = select.whole_number(0), .message = select.text(2), .numbers = {}};
    const std::string status = select.text(1);
    if (status != name_of(RunStatus::done) && status != name_of(RunStatus::refused)) continue;
    row.status = status == name_of(RunStatus::done) ? RunStatus::done : RunStatus::refused;
    row.seconds = select.number(3);
    const int first = columns_of_row + static_cast<int>(laws_.size());
    if (row.status == RunStatus::done)
      for (int n = 0; n < static_cast<int>(numbers_); ++n) row.numbers.push_back(select.number(first + n));
    rows.push_back(std::move(row));
  }
  return rows;
}

void OddsDatabase::record(const OddsRow& row) {
  const std::size_t inputs = laws_.size();
  std::vector<std::string> places(columns_of_row + inputs + numbers_, "?");
  Statement insert =
      database_.prepare(fmt::format("INSERT OR REPLACE INTO draws VALUES ({})", fmt::join(places, ", ")));
  insert.bind(1, row.draw).bind(2, name_of(row.status)).bind(3, row.message).bind(4, row.seconds);
  int at = columns_of_row;
  const std::vector<double>& drawn = values_.at(static_cast<std::size_t>(row.draw - 1));
  for (std::size_t i = 0; i < inputs; ++i)
    if (laws_[i].empty())
      insert.bind(++at, drawn[i]);
    else
      insert.bind(++at, laws_[i].at(static_cast<std::size_t>(drawn[i])));
  for (std::size_t n = 0; n < numbers_; ++n)
    insert.bind(++at, n < row.numbers.size() ? row.numbers[n] : std::nan(""));
  insert.run();
}

}  // namespace setstress
