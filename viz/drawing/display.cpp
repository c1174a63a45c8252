#include "viz/drawing/display.hpp"

#include <X11/Xlib.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <stdexcept>

namespace setstress {
namespace {

constexpr int seconds_to_start = 20;

bool answers(const char* name) {
  if (name == nullptr || *name == '\0') return false;
  ::Display* connection = XOpenDisplay(name);
  if (connection == nullptr) return false;
  XCloseDisplay(connection);
  return true;
}

/// Becomes Xvfb, which writes its display number to `number_pipe`. In its own process group, so that Ctrl-C
/// reaches us first; the kernel ends it when we end. Calls only what is safe after fork.
[[noreturn]] void become_xvfb(int number_pipe, pid_t parent) {
  prctl(PR_SET_PDEATHSIG, SIGTERM);
  setpgid(0, 0);
  if (getppid() != parent) _exit(126);
  const int silence = open("/dev/null", O_RDWR);
  dup2(silence, STDIN_FILENO);
  dup2(silence, STDOUT_FILENO);
  dup2(silence, STDERR_FILENO);
  if (number_pipe == 3)
    fcntl(3, F_SETFD, 0);  // dup2 onto itself would leave it to be closed
  else
    dup2(number_pipe, 3);
  execlp("Xvfb", "Xvfb", "-displayfd", "3", "-screen", "0", "1280x1024x24", "-nolisten", "tcp", "-noreset",
         static_cast<char*>(nullptr));
  _exit(127);
}

/// The display number, or empty when the other end closes or time runs out.
std::string read_number(int pipe) {
  std::string text;
  pollfd waiting{.fd = pipe, .events = POLLIN, .revents = 0};
  while (poll(&waiting, 1, 1000 * seconds_to_start) > 0) {
    std::array<char, 16> buffer;
    const ssize_t count = read(pipe, buffer.data(), buffer.size());
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return {};
    text.append(buffer.data(), static_cast<std::size_t>(count));
    if (text.back() == '\n') return text.substr(0, text.size() - 1);
  }
  return {};
}

}  // namespace

Display::Display(Ready ready) {
  const char* name = getenv("DISPLAY");
  if (answers(name)) return;
  if (name != nullptr) display_before_ = name;
  start_private_display();
  if (ready == Ready::now) await();
}

Display::~Display() {
  stop_private_display();
}

void Display::start_private_display() {
  std::array<int, 2> ends;
  if (pipe2(ends.data(), O_CLOEXEC) != 0)
    throw std::runtime_error("cannot start a display: no more pipes can be made");
  number_pipe_ = ends[0];
  const pid_t self = getpid();
  process_ = fork();
  if (process_ == 0) become_xvfb(ends[1], self);
  close(ends[1]);
}

void Display::await() {
  if (number_pipe_ < 0) return;
  const std::string number = process_ > 0 ? read_number(number_pipe_) : std::string();
  if (number.empty()) {
    stop_private_display();
    throw std::runtime_error(
        "cannot draw: there is no display (DISPLAY is unset or does not answer) and the virtual one, Xvfb, "
        "is not "
        "installed or does not start; install the package xvfb, or run where a display is");
  }
  close(number_pipe_);
  number_pipe_ = -1;
  setenv("DISPLAY", (":" + number).c_str(), 1);
}

void Display::stop_private_display() {
  if (number_pipe_ >= 0) close(number_pipe_);
  number_pipe_ = -1;
  if (process_ <= 0) return;
  kill(process_, SIGTERM);
  waitpid(process_, nullptr, 0);
  process_ = 0;
  if (display_before_)
    setenv("DISPLAY", display_before_->c_str(), 1);
  else
    unsetenv("DISPLAY");
}

}  // namespace setstress
