#pragma once
// The installed or built program, run as a user would.

#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

namespace setstress::testing {

struct Ended {
  int code;            ///< exit code
  std::string output;  ///< standard output and standard error together
};

/// Runs `setstress ARGUMENTS` in `folder`, with `environment` ("NAME=value ...") set, and waits.
inline Ended run_program(const std::string& arguments, const std::filesystem::path& folder,
                         const std::string& environment = "") {
  const std::string command =
      "cd '" + folder.string() + "' && " + environment + " '" SETSTRESS_PROGRAM "' " + arguments + " 2>&1";
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
  Ended ended{0, ""};
  std::array<char, 4096> buffer{};
  while (const std::size_t got = fread(buffer.data(), 1, buffer.size(), pipe))
    ended.output.append(buffer.data(), got);
  const int status = pclose(pipe);
  ended.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
  return ended;
}

/// Starts `setstress ARGUMENTS` in `folder` without waiting, standard error going to the file `log` there;
/// its process number.
inline pid_t start_program(std::vector<std::string> arguments, const std::filesystem::path& folder) {
  std::vector<char*> words{const_cast<char*>("setstress")};
  for (std::string& argument : arguments) words.push_back(argument.data());
  words.push_back(nullptr);
  const pid_t child = fork();
  if (child != 0) return child;
  const std::string log = (folder / "log").string();
  if (chdir(folder.c_str()) != 0 || freopen(log.c_str(), "w", stderr) == nullptr) _exit(99);
  execv(SETSTRESS_PROGRAM, words.data());
  _exit(99);
}

/// Exit code of a program that was started.
inline int exit_code(pid_t program) {
  int status = 0;
  if (waitpid(program, &status, 0) != program) throw std::runtime_error("there is no such program");
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128;
}

/// Waits until `file` is there, for a minute at most.
inline void wait_for(const std::filesystem::path& file) {
  for (int i = 0; i < 6000 && !std::filesystem::exists(file); ++i)
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  if (!std::filesystem::exists(file)) throw std::runtime_error("still missing: " + file.string());
}

inline std::string content(const std::filesystem::path& file);

/// Waits until `file` says so, for a minute at most.
inline void wait_for_words(const std::filesystem::path& file, const std::string& words) {
  wait_for(file);
  for (int i = 0; i < 6000; ++i, std::this_thread::sleep_for(std::chrono::milliseconds(10)))
    if (content(file).find(words) != std::string::npos) return;
  throw std::runtime_error("never said: " + words);
}

inline std::string content(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  if (!stream) throw std::runtime_error("cannot read " + file.string());
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

inline nlohmann::json json_of(const std::filesystem::path& file) {
  return nlohmann::json::parse(content(file));
}

}  // namespace setstress::testing
