#include "cases/study/table/sqlite.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>

namespace setstress {

namespace {

/// SQLite takes a disk too full for the index of its log for a broken one.
bool no_room_beside(const std::string& file) {
  constexpr std::uintmax_t index_of_log = 64 * 1024;
  std::error_code failure;
  const auto room = std::filesystem::space(std::filesystem::absolute(file).parent_path(), failure);
  return !failure && room.available < index_of_log;
}

[[noreturn]] void refuse(sqlite3* database, const std::string& file, int code) {
  const int kind = code & 0xff;  // what SQLite calls the primary result code
  if (kind == SQLITE_FULL || (kind == SQLITE_IOERR && no_room_beside(file)))
    throw DatabaseError(fmt::format("{}: the disk is full; what was there before is whole", file));
  if (kind == SQLITE_NOTADB || kind == SQLITE_CORRUPT)
    throw DatabaseError(
        fmt::format("{}: this is not a database, or it is damaged ({})", file, sqlite3_errstr(code)));
  throw DatabaseError(fmt::format("{}: the database cannot be used: {}", file,
                                  database != nullptr ? sqlite3_errmsg(database) : sqlite3_errstr(code)));
}

}  // namespace

Statement::Statement(sqlite3* database, std::string file, const std::string& sql)
    : database_(database), file_(std::move(file)) {
  sqlite3_stmt* statement = nullptr;
  require(sqlite3_prepare_v2(database_, sql.c_str(), -1, &statement, nullptr));
  statement_.reset(statement);
}

void Statement::require(int code) const {
  if (code != SQLITE_OK && code != SQLITE_ROW && code != SQLITE_DONE) refuse(database_, file_, code);
}

Statement& Statement::bind(int position, double value) {
  require(std::isnan(value) ? sqlite3_bind_null(statement_.get(), position)
                            : sqlite3_bind_double(statement_.get(), position, value));
  return *this;
}

Statement& Statement::bind(int position, int value) {
  require(sqlite3_bind_int(statement_.get(), position, value));
  return *this;
}

Statement& Statement::bind(int position, const std::string& value) {
  require(sqlite3_bind_text(statement_.get(), position, value.data(), static_cast<int>(value.size()),
                            SQLITE_TRANSIENT));
  return *this;
}

Statement& Statement::bind_bytes(int position, const std::string& bytes) {
  require(bytes.empty() ? sqlite3_bind_null(statement_.get(), position)
                        : sqlite3_bind_blob(statement_.get(), position, bytes.data(),
                                            static_cast<int>(bytes.size()), SQLITE_TRANSIENT));
  return *this;
}

Statement& Statement::bind(int position, const Value& value) {
  if (const auto* number = std::get_if<double>(&value)) return bind(position, *number);
  return bind(position, std::get<std::string>(value));
}

bool Statement::step() {
  const int code = sqlite3_step(statement_.get());
  require(code);
  return code == SQLITE_ROW;
}

void Statement::run() {
  while (step()) {
  }
  require(sqlite3_reset(statement_.get()));
}

bool Statement::is_null(int column) const {
  return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
}

double Statement::number(int column) const {
  return is_null(column) ? std::numeric_limits<double>::quiet_NaN()
                         : sqlite3_column_double(statement_.get(), column);
}

int Statement::whole_number(int column) const {
  return sqlite3_column_int(statement_.get(), column);
}

std::string Statement::text(int column) const {
  const unsigned char* text = sqlite3_column_text(statement_.get(), column);
  const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column));
  return text != nullptr ? std::string(reinterpret_cast<const char*>(text), size) : std::string();
}

std::string Statement::bytes(int column) const {
  const void* bytes = sqlite3_column_blob(statement_.get(), column);
  const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column));
  return bytes != nullptr ? std::string(static_cast<const char*>(bytes), size) : std::string();
}

Value Statement::value(int column) const {
  if (sqlite3_column_type(statement_.get(), column) == SQLITE_TEXT) return text(column);
  return number(column);
}

Database::Database(const std::filesystem::path& file, Access access) : file_(file.string()) {
  constexpr int patience = 10'000;  // [ms] that another program may hold it
  const int flags =
      access == Access::read ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
  sqlite3* database = nullptr;
  const int code = sqlite3_open_v2(file_.c_str(), &database, flags, nullptr);
  database_.reset(database);
  if (code != SQLITE_OK) refuse(database, file_, code);
  sqlite3_busy_timeout(database, patience);
}

Database::Database() : Database(":memory:", Access::write) {}

void Database::run(const std::string& sql) {
  const int code = sqlite3_exec(database_.get(), sql.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) refuse(database_.get(), file_, code);
}

Statement Database::prepare(const std::string& sql) const {
  return {database_.get(), file_, sql};
}

Transaction::Transaction(Database& database) : database_(database) {
  database_.run("BEGIN IMMEDIATE");
}

Transaction::~Transaction() {
  try {
    if (open_) database_.run("ROLLBACK");
  } catch (const DatabaseError&) {  // SQLite has undone it already
  }
}

void Transaction::commit() {
  database_.run("COMMIT");
  open_ = false;
}

std::string quoted(const std::string& name) {
  std::string text = "\"";
  for (const char c : name) text += c == '"' ? std::string("\"\"") : std::string(1, c);
  return text + "\"";
}

}  // namespace setstress
