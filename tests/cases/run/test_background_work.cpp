// Work in the background: done in order, never too much at a time, and its failures are heard.

#include "cases/run/background_work.hpp"

#include <atomic>
#include <catch2/catch.hpp>
#include <future>
#include <stdexcept>
#include <string>

using namespace setstress;

TEST_CASE("pieces of background work are done in the order they are given, all of them", "[cases]") {
  std::string done;
  BackgroundWork work(1);
  for (char letter = 'a'; letter <= 'z'; ++letter) work.add([&done, letter] { done += letter; });
  work.finish();
  CHECK(done == "abcdefghijklmnopqrstuvwxyz");
  CHECK(work.seconds() > 0);
}

TEST_CASE("no more pieces wait than may", "[cases]") {
  std::promise<void> gate;
  std::atomic<int> given = 0;
  std::atomic<int> at_opening = -1;
  BackgroundWork work(2);
  work.add([&] { gate.get_future().wait(); });
  std::thread opener([&] {
    while (given < 2) std::this_thread::yield();
    std::this_thread::sleep_for(std::chrono::milliseconds(50));  // room for a third, were it let in
    at_opening = given.load();
    gate.set_value();
  });
  for (int piece = 0; piece < 5; ++piece) {
    work.add([] {});
    ++given;
  }
  opener.join();
  work.finish();
  CHECK(at_opening == 2);
}

TEST_CASE("what a piece throws reaches the next call, and nothing after it is begun", "[cases]") {
  std::atomic<bool> begun = false;
  BackgroundWork work(3);
  std::promise<void> gate;
  work.add([&] {
    gate.get_future().wait();
    throw std::runtime_error("cannot write frame: No space left on device");
  });
  work.add([&] { begun = true; });
  gate.set_value();
  CHECK_THROWS_WITH(work.finish(), "cannot write frame: No space left on device");
  CHECK_THROWS_WITH(work.add([&] { begun = true; }), "cannot write frame: No space left on device");
  CHECK(!begun);
}

TEST_CASE("work that waits is left out when nobody wants it any more", "[cases]") {
  std::promise<void> gate;
  std::atomic<bool> begun = false;
  std::thread opener;
  {
    BackgroundWork work(1);
    work.add([&] { gate.get_future().wait(); });
    work.add([&] { begun = true; });
    opener = std::thread([&] {
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
      gate.set_value();
    });
  }
  opener.join();
  CHECK(!begun);
}
