#include "cases/desk/workers.hpp"

#include <signal.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <future>
#include <thread>

using namespace setstress;
using End = Workers::End;

namespace {

std::string work(const std::string& question) {
  if (question == "crash") raise(SIGKILL);
  while (question == "never") pause();
  return "answer to " + question;
}

}  // namespace

TEST_CASE("what is worked out may crash, and the next question is answered") {
  Workers workers(work, 10);
  CHECK(workers.ask("A", "one").text == "answer to one");
  CHECK(workers.ask("A", "crash").end == End::crashed);
  const std::string large(3'000'000, 'x');
  CHECK(workers.ask("A", large).text == "answer to " + large);
}

TEST_CASE("a newer question ends the older one of the same asker alone") {
  Workers workers(work, 10);
  std::promise<End> older, other;
  std::thread waiting([&] { older.set_value(workers.ask("A", "never").end); });
  std::thread beside([&] { other.set_value(workers.ask("B", "never").end); });
  auto end = older.get_future(), its_end = other.get_future();
  constexpr std::chrono::milliseconds moment{5};
  while (end.wait_for(moment) != std::future_status::ready) (void)workers.ask("A", "now");
  CHECK(end.get() == End::superseded);
  CHECK(its_end.wait_for(moment) != std::future_status::ready);
  while (its_end.wait_for(moment) != std::future_status::ready) (void)workers.ask("B", "now");
  CHECK(its_end.get() == End::superseded);
  waiting.join();
  beside.join();
}

TEST_CASE("a question that takes too much of a processor ends") {
  Workers workers(
      [](const std::string&) -> std::string {
        while (true) std::this_thread::yield();
      },
      1);
  CHECK(workers.ask("A", "spin").end == End::crashed);
}

TEST_CASE("whoever waits for an answer can be sent away") {
  Workers workers(work, 10);
  std::promise<End> end;
  std::thread waiting([&] { end.set_value(workers.ask("A", "never").end); });
  auto ended = end.get_future();
  while (ended.wait_for(std::chrono::milliseconds(5)) != std::future_status::ready) workers.drop_all();
  CHECK(ended.get() == End::superseded);
  waiting.join();
}
