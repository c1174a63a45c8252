#include "cases/desk/child.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <pty.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <stdexcept>

namespace setstress {

namespace {

constexpr int polite = 5;  ///< the desk, and what it works out while one waits, goes before

/// Between fork and exec, where only what is safe in a copy of one thread may be called.
[[noreturn]] void become(char* const* words, int messages) {
  setpgid(0, 0);
  prctl(PR_SET_PDEATHSIG, SIGTERM);
  setpriority(PRIO_PROCESS, 0, polite);
  sigset_t none;
  sigemptyset(&none);
  sigprocmask(SIG_SETMASK, &none, nullptr);
  const int nothing = open("/dev/null", O_RDWR);
  dup2(nothing, STDIN_FILENO);
  dup2(nothing, STDOUT_FILENO);
  dup2(messages, STDERR_FILENO);
  close_range(STDERR_FILENO + 1, ~0U, 0);
  execv("/proc/self/exe", words);
  _exit(127);
}

constexpr const char* rewrites = "\r\033[K";

/// A line without what a terminal makes of it; progress is what was to be rewritten.
struct Line {
  std::string text;
  bool is_progress = false;
};
Line plain(std::string line) {
  Line plain;
  for (std::size_t at = line.find(rewrites); at != std::string::npos; at = line.find(rewrites)) {
    plain.is_progress = true;
    line.erase(0, at + std::strlen(rewrites));
  }
  while (!line.empty() && (line.back() == '\r' || line.back() == '\n')) line.pop_back();
  plain.text = line;
  return plain;
}

constexpr const char* speaker = "setstress: ";

/// Takes whole lines out of `heard`: one ends where the next begins, or where it is to be rewritten.
void take_lines(std::string& heard, std::string& last,
                const std::function<void(const std::string&)>& progress) {
  for (std::size_t end = heard.find('\n'); end != std::string::npos; end = heard.find('\n')) {
    const Line line = plain(heard.substr(0, end));
    heard.erase(0, end + 1);
    if (line.text.starts_with(speaker)) last = line.text.substr(std::strlen(speaker));
  }
  if (const Line line = plain(heard); line.is_progress && !line.text.empty()) progress(line.text);
}

}  // namespace

Child::Child(const std::vector<std::string>& words) {
  std::vector<std::string> all{"setstress"};
  all.insert(all.end(), words.begin(), words.end());
  std::vector<char*> pointers;
  for (std::string& word : all) pointers.push_back(word.data());
  pointers.push_back(nullptr);
  int theirs = -1;
  if (openpty(&messages_, &theirs, nullptr, nullptr, nullptr) != 0)
    throw std::runtime_error(fmt::format("no process can be started: {}", std::strerror(errno)));
  fcntl(messages_, F_SETFD, FD_CLOEXEC);
  pid_ = fork();
  if (pid_ == 0) become(pointers.data(), theirs);
  close(theirs);
  if (pid_ < 0) {
    close(messages_);
    throw std::runtime_error(fmt::format("no process can be started: {}", std::strerror(errno)));
  }
  setpgid(pid_, pid_);  // whoever comes first
}

Child::~Child() {
  if (!ended_) {
    end_child(pid_, true);
    waitpid(pid_, nullptr, 0);
  }
  close(messages_);
}

ChildEnd Child::wait(const std::function<void(const std::string&)>& progress) {
  std::string heard, last;
  std::array<char, 4096> buffer{};
  while (true) {
    const ssize_t size = read(messages_, buffer.data(), buffer.size());
    if (size < 0 && errno == EINTR) continue;
    if (size <= 0) break;  // EIO: nobody holds the other end any more
    heard.append(buffer.data(), static_cast<std::size_t>(size));
    take_lines(heard, last, progress);
  }
  int status = 0;
  while (waitpid(pid_, &status, 0) < 0 && errno == EINTR) {
  }
  ended_ = true;
  if (WIFSIGNALED(status)) return {-1, WTERMSIG(status), last};
  return {WEXITSTATUS(status), 0, last};
}

void end_child(pid_t pid, bool at_once) {
  if (pid > 0) kill(-pid, at_once ? SIGKILL : SIGTERM);
}

}  // namespace setstress
