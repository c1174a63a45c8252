#pragma once
// The installed or built program, run as a user would.

#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>
#include <string>

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
