#include "cases/desk/jobs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <regex>
#include <stdexcept>

#include "cases/desk/child.hpp"
#include "cases/reader/case_error.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

namespace {

constexpr std::ptrdiff_t most_waiting = 8;
constexpr std::size_t most_told = 40;  ///< jobs that are over
constexpr std::array state_names{"waiting", "running", "done", "failed", "stopped"};

std::string end_in_words(const ChildEnd& end) {
  if (end.signal != 0)
    return fmt::format("it crashed (signal {}); the desk and everything else goes on. {}", end.signal,
                       end.words);
  return end.words.empty() ? fmt::format("it ended with code {} and said nothing", end.exit) : end.words;
}

}  // namespace

Jobs::Jobs(fs::path runs, int at_once) : runs_(std::move(runs)), at_once_(at_once) {}

Jobs::~Jobs() {
  {
    const std::lock_guard lock(mutex_);
    ending_ = true;
    for (const Job& job : jobs_)
      if (job.state == State::running) end_child(job.pid, false);
  }
  constexpr std::chrono::seconds patience{3};
  const auto until = Clock::now() + patience;
  const auto runs_still = [&] {
    return std::ranges::any_of(jobs_, [](const Job& job) { return job.state == State::running; });
  };
  {
    std::unique_lock lock(mutex_);
    change_.wait_until(lock, until, [&] { return !runs_still(); });
    for (const Job& job : jobs_)
      if (job.state == State::running) end_child(job.pid, true);
  }
  for (Job& job : jobs_)
    if (job.thread.joinable()) job.thread.join();
}

bool Jobs::is_kept(const std::string& key) const {
  std::error_code ignored;
  return fs::is_regular_file(folder_of(key) / "done", ignored);
}

int Jobs::submit(const JobOrder& order) {
  const std::lock_guard lock(mutex_);
  for (const Job& job : jobs_)
    if (job.order.key == order.key && (job.state == State::waiting || job.state == State::running))
      return job.id;
  const auto waiting =
      std::ranges::count_if(jobs_, [](const Job& job) { return job.state == State::waiting; });
  if (waiting >= most_waiting)
    throw CaseError(fmt::format("{} commands wait already; stop one, or let them finish first", waiting));
  static int next = 1;
  Job& job = jobs_.emplace_back();
  job.order = order;
  const int id = job.id = next++;
  start_waiting();
  changed();
  return id;
}

/// Forgets what is over and told, and starts what waits. Under the lock.
void Jobs::start_waiting() {
  while (jobs_.size() > most_told && jobs_.front().state > State::running) {
    jobs_.front().thread.join();
    jobs_.pop_front();
  }
  auto running = std::ranges::count_if(jobs_, [](const Job& job) { return job.state == State::running; });
  const auto is_at_work = [&](const std::string& plans) {
    return std::ranges::any_of(
        jobs_, [&](const Job& job) { return job.state == State::running && job.order.plans == plans; });
  };
  for (Job& job : jobs_)
    if (job.state == State::waiting && running < at_once_ && !ending_ && !is_at_work(job.order.plans)) {
      job.state = State::running;
      job.begun = Clock::now();
      ++running;
      job.thread = std::thread([this, &job] { work_on(job); });
    }
}

void Jobs::work_on(Job& job) {
  try {
    follow(job);
  } catch (const std::exception& error) {
    const std::lock_guard lock(mutex_);
    job.state = State::failed;
    job.message = error.what();
  }
  const std::lock_guard lock(mutex_);
  job.ended = Clock::now();
  job.pid = 0;
  if (!ending_) start_waiting();
  changed();
}

void Jobs::follow(Job& job) {
  Child child(job.order.words);
  {
    const std::lock_guard lock(mutex_);
    job.pid = child.pid();
    if (ending_ || job.asked_to_stop) end_child(job.pid, false);
  }
  const ChildEnd end = child.wait([&](const std::string& line) { told(job, line); });
  if (end.exit == 0) write_file(folder_of(job.order.key) / "done", "whole\n");
  const std::lock_guard lock(mutex_);
  job.message = end.exit == 0 ? end.words : end_in_words(end);
  job.fraction = end.exit == 0 ? 1 : job.fraction;
  job.left.clear();
  job.state = end.exit == 0 ? State::done : (job.asked_to_stop ? State::stopped : State::failed);
  if (job.state == State::stopped) job.message = "stopped as asked";
}

/// "deep-box-bulk:  45 %, about 12 s left; ..." as ProgressLine tells it.
void Jobs::told(Job& job, const std::string& line) {
  static const std::regex form(R"(^.*: +(\d+) %, ([^;]*);(.*)$)");
  std::smatch found;
  if (!std::regex_match(line, found, form)) return;
  const std::lock_guard lock(mutex_);
  job.fraction = std::stod(found[1].str()) / 100;
  job.left = found[2].str();
  changed();
}

void Jobs::stop(int id) {
  const std::lock_guard lock(mutex_);
  for (Job& job : jobs_) {
    if (job.id != id) continue;
    if (job.state == State::waiting) {
      job.state = State::stopped;
      job.message = "taken back before it began";
    } else if (job.state == State::running) {
      end_child(job.pid, job.asked_to_stop);
      job.asked_to_stop = true;
      job.message = "stopping after the step that it is at; press again to end it at once";
    }
    changed();
    return;
  }
  throw CaseError("there is no such job");
}

nlohmann::ordered_json Jobs::list() const {
  const std::lock_guard lock(mutex_);
  nlohmann::ordered_json all = nlohmann::ordered_json::array();
  for (const Job& job : jobs_) {
    const auto until = job.state == State::running ? Clock::now() : job.ended;
    const double seconds = std::chrono::duration<double>(until - job.begun).count();
    all.push_back({{"id", job.id},
                   {"doing", job.order.doing},
                   {"plans", job.order.plans},
                   {"key", job.order.key},
                   {"state", state_names.at(static_cast<std::size_t>(job.state))},
                   {"fraction", job.fraction},
                   {"left", job.left},
                   {"message", job.message},
                   {"seconds", std::max(0.0, seconds)}});
  }
  return {{"version", version_}, {"jobs", all}};
}

/// Under the lock.
void Jobs::changed() {
  ++version_;
  change_.notify_all();
}

std::uint64_t Jobs::wait_for_change(std::uint64_t version, std::chrono::milliseconds longest) const {
  std::unique_lock lock(mutex_);
  change_.wait_for(lock, longest, [&] { return version_ != version || ending_; });
  return version_;
}

void Jobs::end_waiting() {
  const std::lock_guard lock(mutex_);
  ending_ = true;
  change_.notify_all();
}

}  // namespace setstress
