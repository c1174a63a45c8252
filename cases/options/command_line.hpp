#pragma once
// What the user asked for on the command line.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/options/picture_settings.hpp"
#include "cases/options/study_line.hpp"
#include "cases/run/run_settings.hpp"

namespace setstress {

/// What `setstress wait` is asked, as given on the command line; times are text such as "5 min" or a number
/// of seconds.
struct WaitSettings {
  std::string wall = "floor", substrate = "all";
  std::string quantity;         ///< empty: the usual one of the mode
  std::optional<double> below;  ///< in the unit of the quantity; areas in per cent
  int before = 1;               ///< [[plan.increment]] that waits, from 1
  std::string longest = "30 min", within = "5 s";
  int points = 9;
  std::vector<std::string> laws;  ///< empty: all
};

struct CommandLine {
  enum class Command { list, check, mesh, run, compare, page, wait, study, picture, film, lesson, fit, desk };
  Command command = Command::list;
  std::vector<std::string> inputs;  ///< case files, ready-made names or, for compare, result folders
  std::filesystem::path out;        ///< empty: a name from the input
  RunSettings settings;
  PictureSettings picture;
  WaitSettings wait;
  StudyLine study;
  bool quiet = false;                                          ///< no progress, no report; errors only
  bool json = false;                                           ///< report as JSON on standard output
  bool why = false;                                            ///< compare: take the difference apart
  bool why_placing = false;                                    ///< and placing by increment
  bool brief = false;                                          ///< compare: a few lines only
  std::optional<int> odds;                                     ///< compare: how sure, under so many draws
  std::optional<std::string> odds_fineness;                    ///< of their meshes; coarse unless given
  std::string lanes, device;                                   ///< compare: as of StudyLine
  std::optional<int> seed;                                     ///< of the draws; 1 unless given
  int lesson_draws = 16;                                       ///< lesson: of its last chapter
  std::filesystem::path desk_folder = "setstress-desk", show;  ///< desk: its folder; one to be shown only
  int port = 0;                                                ///< desk: 0 for any
  bool profile = false;                                        ///< say where the seconds went
};

/// Prints help or version and leaves the program (exit 0) where asked to; leaves with exit 2 and a sentence
/// when the command line cannot be understood.
CommandLine parse_command_line(int argc, const char* const* argv);

}  // namespace setstress
