#include "viz/film/ffmpeg.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <map>
#include <stdexcept>

namespace setstress::viz {
namespace {

constexpr int not_found = 127;

/// What ffmpeg is told for each ending: how to encode, and the name of the container.
const std::map<std::string, std::vector<std::string>>& formats() {
  static const std::map<std::string, std::vector<std::string>> all{
      {".mp4",
       {"-c:v", "libx264", "-crf", "20", "-pix_fmt", "yuv420p", "-movflags", "+faststart", "-f", "mp4"}},
      {".webm", {"-c:v", "libvpx-vp9", "-crf", "30", "-b:v", "0", "-pix_fmt", "yuv420p", "-f", "webm"}},
      {".gif",
       {"-vf", "vflip,split[a][b];[a]palettegen=stats_mode=diff[p];[b][p]paletteuse=dither=none", "-loop",
        "0", "-f", "gif"}},
      {".apng", {"-plays", "0", "-f", "apng"}}};
  return all;
}

std::vector<std::string> arguments(const std::filesystem::path& beside, const std::string& ending, int width,
                                   int height, int frames_per_second) {
  std::vector<std::string> all{"ffmpeg",
                               "-nostdin",
                               "-y",
                               "-loglevel",
                               "error",
                               "-f",
                               "rawvideo",
                               "-pix_fmt",
                               "rgb24",
                               "-s",
                               fmt::format("{}x{}", width, height),
                               "-r",
                               std::to_string(frames_per_second),
                               "-i",
                               "pipe:0",
                               "-threads",
                               "1",
                               "-fflags",
                               "+bitexact",
                               "-flags",
                               "+bitexact"};
  if (ending != ".gif") all.insert(all.end(), {"-vf", "vflip"});
  all.insert(all.end(), formats().at(ending).begin(), formats().at(ending).end());
  all.push_back(beside.string());
  return all;
}

}  // namespace

VideoWriter::VideoWriter(const std::filesystem::path& path, int width, int height, int frames_per_second)
    : path_(path), beside_(path.string() + ".part"), width_(width), height_(height) {
  const std::string ending = path.extension().string();
  if (!formats().contains(ending))
    throw std::invalid_argument(
        fmt::format("an animation is written as .mp4, .webm, .gif or .apng; \"{}\" ends in none",
                    path.filename().string()));
  std::vector<std::string> words = arguments(beside_, ending, width, height, frames_per_second);
  std::vector<char*> pointers;
  for (std::string& word : words) pointers.push_back(word.data());
  pointers.push_back(nullptr);
  std::array<int, 2> ends;
  messages_ = std::tmpfile();
  if (messages_ == nullptr || socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends.data()) != 0)
    throw std::runtime_error(
        fmt::format("cannot write {}: no connection to ffmpeg can be made", path.string()));
  process_ = fork();
  if (process_ == 0) {
    prctl(PR_SET_PDEATHSIG, SIGTERM);
    dup2(ends[1], STDIN_FILENO);
    dup2(fileno(messages_), STDOUT_FILENO);
    dup2(fileno(messages_), STDERR_FILENO);
    execvp("ffmpeg", pointers.data());
    _exit(not_found);
  }
  close(ends[1]);
  input_ = ends[0];
}

VideoWriter::~VideoWriter() {
  if (process_ > 0) {
    kill(process_, SIGTERM);
    stop();
    std::error_code ignored;
    std::filesystem::remove(beside_, ignored);
  }
  if (messages_ != nullptr) std::fclose(messages_);
}

int VideoWriter::stop() {
  close(input_);
  int status = 0;
  waitpid(process_, &status, 0);
  process_ = 0;
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

void VideoWriter::fail(int status) {
  std::error_code ignored;
  std::filesystem::remove(beside_, ignored);
  if (status == not_found)
    throw std::runtime_error(
        fmt::format("cannot write {}: the program ffmpeg, which makes moving pictures, is not installed; "
                    "install the package ffmpeg",
                    path_.string()));
  std::rewind(messages_);
  std::array<char, 2000> words{};
  const std::size_t count = std::fread(words.data(), 1, words.size(), messages_);
  std::string said(words.data(), count);
  while (!said.empty() && said.back() == '\n') said.pop_back();
  throw std::runtime_error(
      fmt::format("cannot write {}: ffmpeg says: {}", path_.string(), said.empty() ? "nothing" : said));
}

void VideoWriter::add(const std::vector<unsigned char>& pixels, int times) {
  if (pixels.size() != 3 * static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_))
    throw std::invalid_argument(fmt::format("a frame of {} bytes does not fit a film of {} x {} pixels",
                                            pixels.size(), width_, height_));
  for (int time = 0; time < times; ++time)
    for (std::size_t sent = 0; sent < pixels.size();) {
      const ssize_t count = send(input_, pixels.data() + sent, pixels.size() - sent, MSG_NOSIGNAL);
      if (count < 0 && errno == EINTR) continue;
      if (count < 0) fail(stop());
      sent += static_cast<std::size_t>(count);
    }
}

void VideoWriter::finish() {
  shutdown(input_, SHUT_WR);
  int status = 0;
  waitpid(process_, &status, 0);
  process_ = 0;
  close(input_);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) fail(WIFEXITED(status) ? WEXITSTATUS(status) : -1);
  std::error_code error;
  std::filesystem::rename(beside_, path_, error);
  if (error) throw std::runtime_error(fmt::format("cannot write {}: {}", path_.string(), error.message()));
}

}  // namespace setstress::viz
