#pragma once
// Private to viz/: moving pictures through the program ffmpeg.

#include <sys/types.h>

#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

namespace setstress::viz {

/// Encodes frames into one file: .mp4, .webm, .gif or .apng. The file appears under its name when it is
/// whole.
class VideoWriter {
 public:
  /// Frames are `width` x `height` pixels, both even. Throws std::invalid_argument for another ending,
  /// std::runtime_error when ffmpeg cannot be started.
  VideoWriter(const std::filesystem::path& path, int width, int height, int frames_per_second);
  VideoWriter(const VideoWriter&) = delete;
  VideoWriter& operator=(const VideoWriter&) = delete;
  ~VideoWriter();

  /// Adds a frame `times` over: three bytes a pixel, rows from the bottom.
  void add(const std::vector<unsigned char>& pixels, int times);
  /// Ends the file. Throws std::runtime_error with ffmpeg's own words when it could not be written.
  void finish();

 private:
  [[noreturn]] void fail(int exit_status);
  int stop();  ///< waits for ffmpeg to end; its exit status, -1 if it was ended from outside
  std::filesystem::path path_, beside_;
  int width_, height_;
  int input_ = -1;                 ///< socket to ffmpeg's standard input
  std::FILE* messages_ = nullptr;  ///< what ffmpeg says
  pid_t process_ = 0;
};

}  // namespace setstress::viz
