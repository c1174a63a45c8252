#pragma once
// A database file of SQLite: statements that clean up after themselves and errors that are sentences.

#include <sqlite3.h>

#include <filesystem>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>

#include "cases/study/file/value.hpp"

namespace setstress {

/// Reading or writing failed: a full disk, a damaged file. what() names the file.
struct DatabaseError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// A prepared statement. Positions count from 1 when binding and from 0 when reading, as in SQLite. All
/// throw DatabaseError.
class Statement {
 public:
  Statement& bind(int position, const Value& value);
  Statement& bind(int position, double value);  ///< NaN becomes NULL
  Statement& bind(int position, int value);
  Statement& bind(int position, const std::string& value);
  Statement& bind_bytes(int position, const std::string& bytes);  ///< empty becomes NULL
  /// Whether there is a further row.
  bool step();
  /// Runs it to the end and makes it ready for other values.
  void run();

  [[nodiscard]] bool is_null(int column) const;
  [[nodiscard]] double number(int column) const;  ///< NaN for NULL
  [[nodiscard]] int whole_number(int column) const;
  [[nodiscard]] std::string text(int column) const;
  [[nodiscard]] std::string bytes(int column) const;  ///< empty for NULL
  [[nodiscard]] Value value(int column) const;

 private:
  friend class Database;
  Statement(sqlite3* database, std::string file, const std::string& sql);
  void require(int code) const;

  struct Finalize {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  sqlite3* database_;
  std::string file_;
  std::unique_ptr<sqlite3_stmt, Finalize> statement_;
};

class Database {
 public:
  enum class Access { read, write };
  /// Opens `file`, making it when it is to be written and not there. Throws DatabaseError.
  Database(const std::filesystem::path& file, Access access);
  /// One that lives in memory only.
  Database();

  void run(const std::string& sql);
  [[nodiscard]] Statement prepare(const std::string& sql) const;
  [[nodiscard]] const std::string& file() const { return file_; }

 private:
  struct Close {
    void operator()(sqlite3* database) const { sqlite3_close(database); }
  };
  std::string file_;
  std::unique_ptr<sqlite3, Close> database_;
};

/// All that is done while this lives is kept together or not at all: kept by commit(), undone otherwise.
class Transaction {
 public:
  explicit Transaction(Database& database);
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction();
  void commit();

 private:
  Database& database_;
  bool open_ = true;
};

/// `name` as SQL writes a column's name.
std::string quoted(const std::string& name);

}  // namespace setstress
