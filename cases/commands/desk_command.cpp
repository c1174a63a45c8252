#include <fmt/format.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <thread>

#include "cases/commands/commands.hpp"
#include "cases/commands/list_report.hpp"
#include "cases/desk/desk.hpp"
#include "cases/desk/drafts.hpp"
#include "cases/reader/data_folder.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace {

/// In the browser of the desktop, where there is one. Two forks: nobody has to wait for it.
void open_in_browser(const std::string& address) {
  if (std::getenv("DISPLAY") == nullptr && std::getenv("WAYLAND_DISPLAY") == nullptr) return;
  const pid_t between = fork();
  if (between == 0) {
    if (fork() == 0) {
      setsid();
      execlp("xdg-open", "xdg-open", address.c_str(), nullptr);
    }
    _exit(0);
  }
  if (between > 0) waitpid(between, nullptr, 0);
}

/// Waits for Ctrl-C or a polite request to end; blocked in all threads that are started after it.
class EndOfDesk {
 public:
  EndOfDesk() {
    sigemptyset(&asked_);
    sigaddset(&asked_, SIGINT);
    sigaddset(&asked_, SIGTERM);
    pthread_sigmask(SIG_BLOCK, &asked_, nullptr);
  }
  void wait() const {
    int which = 0;
    sigwait(&asked_, &which);
  }

 private:
  sigset_t asked_{};
};

DeskSettings settings_from(const CommandLine& line) {
  DeskSettings settings{
      .folder = line.desk_folder, .page = desk_page(), .ready = list_report().at("cases").dump()};
  settings.show = !line.show.empty();
  if (settings.show) {
    if (!std::filesystem::is_directory(line.show))
      throw CaseError(fmt::format("--show is \"{}\"; there is no such folder", line.show.string()));
    settings.folder = line.show;
  }
  if (settings.page.empty())
    throw CaseError(
        "this setstress was built without its pages: install Node.js and npm (Debian: nodejs, npm), then "
        "build "
        "setstress again");
  const int cores = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
  settings.at_once = std::min(2, cores);
  settings.threads = cores / settings.at_once;
  return settings;
}

}  // namespace

int desk_command(const CommandLine& line) {
  const EndOfDesk end;
  DeskSettings settings = settings_from(line);
  if (!settings.show) prepare_drafts();
  Desk desk(std::move(settings));
  HttpServer server(line.port);
  const Gate gate(random_token(), server.port());
  const std::string address = fmt::format("http://127.0.0.1:{}/{}/", server.port(), gate.token());
  fmt::print(
      "The desk is open at\n  {}\nin this browser and on this machine alone; its files are in {}. Ctrl-C "
      "ends "
      "it.\n{}\n",
      address, line.show.empty() ? line.desk_folder.string() : line.show.string(), caution_line);
  std::fflush(stdout);
  std::thread serving([&] {
    server.serve(
        gate, [&](const HttpRequest& request) { return desk.answer(request); },
        [&](std::uint64_t& version) { return desk.news(version); });
  });
  if (!line.quiet) open_in_browser(address);
  end.wait();
  desk.end_waiting();
  server.stop();
  serving.join();
  return 0;
}

}  // namespace setstress
