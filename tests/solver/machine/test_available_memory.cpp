#include "solver/machine/available_memory.hpp"

#include <catch2/catch.hpp>

#include "tests/scratch_folder.hpp"

using namespace setstress;

namespace {

/// A machine with 8000 kB free.
class Machine {
 public:
  explicit Machine(const char* groups) {
    write("proc/meminfo", "MemTotal:       16000 kB\nMemFree:  1000 kB\nMemAvailable:    8000 kB\n");
    write("proc/self/cgroup", groups);
  }
  void write(const std::string& file, const std::string& text) const {
    std::filesystem::create_directories((root_ / file).parent_path());
    root_.write(file, text);
  }
  [[nodiscard]] std::filesystem::path path() const { return root_.path(); }

 private:
  ScratchFolder root_;
};

}  // namespace

TEST_CASE("without limits the free memory of the machine is available", "[machine]") {
  CHECK(available_memory(Machine("0::/\n").path()) == 8000 * 1024.0);
  CHECK(!available_memory(ScratchFolder().path()));
  CHECK(available_memory().value_or(1) > 0);  // of this one
}

TEST_CASE("the least that any control group around a process leaves is available", "[machine]") {
  const Machine second("0::/jobs/mine\n");
  second.write("sys/fs/cgroup/jobs/mine/memory.max", "max\n");
  second.write("sys/fs/cgroup/jobs/mine/memory.current", "1000\n");
  CHECK(available_memory(second.path()) == 8000 * 1024.0);
  second.write("sys/fs/cgroup/jobs/memory.max", "5000\n");
  second.write("sys/fs/cgroup/jobs/memory.current", "2000\n");
  second.write("sys/fs/cgroup/jobs/memory.stat", "anon 1500\ninactive_file 400\n");
  CHECK(available_memory(second.path()) == 5000 - 2000 + 400);

  const Machine first("5:cpu:/jobs\n4:memory:/jobs/mine\n0::/\n");
  first.write("sys/fs/cgroup/memory/jobs/mine/memory.limit_in_bytes", "9223372036854771712\n");
  first.write("sys/fs/cgroup/memory/jobs/mine/memory.usage_in_bytes", "1000\n");
  CHECK(available_memory(first.path()) == 8000 * 1024.0);
  first.write("sys/fs/cgroup/memory/jobs/mine/memory.limit_in_bytes", "3000\n");
  first.write("sys/fs/cgroup/memory/jobs/mine/memory.usage_in_bytes", "3500\n");
  first.write("sys/fs/cgroup/memory/jobs/mine/memory.stat", "inactive_file 900\ntotal_inactive_file 600\n");
  CHECK(available_memory(first.path()) == 100);
  first.write("sys/fs/cgroup/memory/jobs/mine/memory.usage_in_bytes", "4500\n");
  CHECK(available_memory(first.path()) == 0);
}
