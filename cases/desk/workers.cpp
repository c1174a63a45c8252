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

/// Hands one end of a line to the process at `counter`.
bool hand_over(int counter, int end) {
  char nothing = 0;
  iovec bytes{&nothing, 1};
  alignas(cmsghdr) std::array<char, CMSG_SPACE(sizeof(int))> room{};
  msghdr message{};
  message.msg_iov = &bytes;
  message.msg_iovlen = 1;
  message.msg_control = room.data();
  message.msg_controllen = room.size();
  cmsghdr* header = CMSG_FIRSTHDR(&message);
  header->cmsg_level = SOL_SOCKET;
  header->cmsg_type = SCM_RIGHTS;
  header->cmsg_len = CMSG_LEN(sizeof(int));
  std::memcpy(CMSG_DATA(header), &end, sizeof end);
  return sendmsg(counter, &message, MSG_NOSIGNAL) == 1;
}

/// -1 where nobody will hand anything over any more.
int taken_over(int counter) {
  char nothing = 0;
  iovec bytes{&nothing, 1};
  alignas(cmsghdr) std::array<char, CMSG_SPACE(sizeof(int))> room{};
  msghdr message{};
  message.msg_iov = &bytes;
  message.msg_iovlen = 1;
  message.msg_control = room.data();
  message.msg_controllen = room.size();
  ssize_t size = 0;
  while ((size = recvmsg(counter, &message, MSG_CMSG_CLOEXEC)) < 0 && errno == EINTR) {
  }
  const cmsghdr* header = size == 1 ? CMSG_FIRSTHDR(&message) : nullptr;
  if (header == nullptr || header->cmsg_type != SCM_RIGHTS) return -1;
  int end = -1;
  std::memcpy(&end, CMSG_DATA(header), sizeof end);
  return end;
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
