#pragma once
// Small questions answered in processes of their own. They are copies of this program as it was at its start,
// so that none has to be started anew, and whatever happens to one of them, the desk lives on.

#include <functional>
#include <map>
#include <mutex>
#include <string>

namespace setstress {

class Workers {
 public:
  using Work = std::function<std::string(const std::string& question)>;
  enum class End { answered, superseded, crashed };
  struct Answer {
    End end;
    std::string text;  ///< where it was answered
  };

  /// To be made before this program has a second thread. A question may take `longest` seconds of a
  /// processor. Throws std::runtime_error where no process can be made.
  Workers(Work work, unsigned longest);
  Workers(const Workers&) = delete;
  Workers& operator=(const Workers&) = delete;
  ~Workers();

  /// Answers from a copy of the program. A newer question of the same `asker` ends the older one.
  [[nodiscard]] Answer ask(const std::string& asker, const std::string& question);
  /// Ends what the asker waits for, as a newer question would.
  void drop(const std::string& asker);
  void drop_all();

 private:
  void end_line_of(const std::string& asker);

  int counter_ = -1;  ///< where the copy that makes the others waits for questions
  std::mutex mutex_;
  std::map<std::string, int> open_;  ///< by asker, the line to the process at work
};

}  // namespace setstress
