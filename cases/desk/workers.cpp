#include "cases/desk/workers.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <stdexcept>

namespace setstress {

namespace {

/// The two ends of a line between processes.
std::array<int, 2> line_of_two() {
  std::array<int, 2> ends{};
  if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends.data()) != 0)
    throw std::runtime_error(fmt::format("no process can be spoken with: {}", std::strerror(errno)));
  return ends;
}

/// False where nobody is at the other end any more.
bool write_all(int line, const char* bytes, std::size_t size) {
  while (size > 0) {
    const ssize_t part = send(line, bytes, size, MSG_NOSIGNAL);
    if (part < 0 && errno == EINTR) continue;
    if (part <= 0) return false;
    bytes += part;
    size -= static_cast<std::size_t>(part);
  }
  return true;
}

bool read_all(int line, char* bytes, std::size_t size) {
  while (size > 0) {
    const ssize_t part = recv(line, bytes, size, 0);
    if (part < 0 && errno == EINTR) continue;
    if (part <= 0) return false;
    bytes += part;
    size -= static_cast<std::size_t>(part);
  }
  return true;
}

/// A text with its length before it.
bool write_text(int line, const std::string& text) {
  const std::uint64_t size = text.size();
  return write_all(line, reinterpret_cast<const char*>(&size), sizeof size) &&
         write_all(line, text.data(), text.size());
}

bool read_text(int line, std::string& text) {
  std::uint64_t size = 0;
  if (!read_all(line, reinterpret_cast<char*>(&size), sizeof size)) return false;
  text.resize(size);
  return read_all(line, text.data(), text.size());
}

/// A message of one byte that carries one end of a line along; both sides need the same room for it.
class Carrier {
 public:
  explicit Carrier(int end) {
    message_.msg_iov = &bytes_;
    message_.msg_iovlen = 1;
    message_.msg_control = room_.data();
    message_.msg_controllen = room_.size();
    cmsghdr* header = CMSG_FIRSTHDR(&message_);
    header->cmsg_level = SOL_SOCKET;
    header->cmsg_type = SCM_RIGHTS;
    header->cmsg_len = CMSG_LEN(sizeof end);
    std::memcpy(CMSG_DATA(header), &end, sizeof end);
  }
  Carrier(const Carrier&) = delete;
  Carrier& operator=(const Carrier&) = delete;

  [[nodiscard]] msghdr* message() { return &message_; }
  /// -1 where none came along.
  [[nodiscard]] int end() const {
    const cmsghdr* header = CMSG_FIRSTHDR(&message_);
    if (header == nullptr || header->cmsg_type != SCM_RIGHTS) return -1;
    int end = -1;
    std::memcpy(&end, CMSG_DATA(header), sizeof end);
    return end;
  }

 private:
  char nothing_ = 0;
  iovec bytes_{&nothing_, 1};
  alignas(cmsghdr) std::array<char, CMSG_SPACE(sizeof(int))> room_{};
  msghdr message_{};
};

/// Hands one end of a line to the process at `counter`.
bool hand_over(int counter, int end) {
  Carrier carrier(end);
  return sendmsg(counter, carrier.message(), MSG_NOSIGNAL) == 1;
}

/// -1 where nobody will hand anything over any more.
int taken_over(int counter) {
  Carrier carrier(-1);
  ssize_t size = 0;
  while ((size = recvmsg(counter, carrier.message(), MSG_CMSG_CLOEXEC)) < 0 && errno == EINTR) {
  }
  return size == 1 ? carrier.end() : -1;
}

[[noreturn]] void answer_one(int line, const Workers::Work& work, unsigned longest) {
  signal(SIGCHLD, SIG_DFL);
  const rlimit limit{longest, longest + 1};
  setrlimit(RLIMIT_CPU, &limit);
  std::string question;
  if (!read_text(line, question)) _exit(1);
  // From here on the line closing ends this process: nobody wants the answer any more.
  fcntl(line, F_SETOWN, getpid());
  fcntl(line, F_SETFL, fcntl(line, F_GETFL) | O_ASYNC);
  const std::string answer = work(question);
  signal(SIGIO, SIG_IGN);
  _exit(write_text(line, answer) ? 0 : 1);
}

/// The copy of this program that never does anything but copy itself.
[[noreturn]] void wait_for_questions(int counter, const Workers::Work& work, unsigned longest) {
  signal(SIGCHLD, SIG_IGN);  // nobody waits for those that end
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  for (int line = taken_over(counter); line >= 0; line = taken_over(counter)) {
    if (fork() == 0) {
      close(counter);
      answer_one(line, work, longest);
    }
    close(line);
  }
  _exit(0);
}

}  // namespace

Workers::Workers(Work work, unsigned longest) {
  const auto [ours, theirs] = line_of_two();
  const pid_t copy = fork();
  if (copy == 0) {
    close(ours);
    wait_for_questions(theirs, work, longest);
  }
  close(theirs);
  counter_ = ours;
  if (copy < 0) {
    close(counter_);
    throw std::runtime_error(fmt::format("no process can be started: {}", std::strerror(errno)));
  }
}

Workers::~Workers() {
  close(counter_);
}

/// Under the lock.
void Workers::end_line_of(const std::string& asker) {
  const auto line = open_.find(asker);
  if (line == open_.end()) return;
  shutdown(line->second, SHUT_RDWR);
  open_.erase(line);
}

void Workers::drop(const std::string& asker) {
  const std::lock_guard lock(mutex_);
  end_line_of(asker);
}

void Workers::drop_all() {
  const std::lock_guard lock(mutex_);
  while (!open_.empty()) end_line_of(open_.begin()->first);
}

Workers::Answer Workers::ask(const std::string& asker, const std::string& question) {
  std::unique_lock lock(mutex_);
  const auto [ours, theirs] = line_of_two();
  const bool taken = hand_over(counter_, theirs);
  close(theirs);
  end_line_of(asker);
  open_[asker] = ours;
  lock.unlock();
  Answer answer{End::crashed, {}};
  if (taken && write_text(ours, question) && read_text(ours, answer.text)) answer.end = End::answered;
  lock.lock();
  if (const auto now = open_.find(asker); now != open_.end() && now->second == ours)
    open_.erase(now);
  else
    answer.end = End::superseded;
  close(ours);
  return answer;
}

}  // namespace setstress
