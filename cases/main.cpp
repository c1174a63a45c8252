// setstress: the setting stress of light-cured composite in a cavity. Exit 0 done, 2 the input is at fault, 1
// the run failed.

#include <fmt/format.h>

#include <cstdio>
#include <exception>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cases/commands/commands.hpp"
#include "solver/machine/library_settings.hpp"

namespace {

int dispatch(const setstress::CommandLine& line) {
  using Command = setstress::CommandLine::Command;
  switch (line.command) {
    case Command::list:
      return list_command(line);
    case Command::check:
      return check_command(line);
    case Command::mesh:
      return mesh_command(line);
    case Command::run:
      return run_command(line);
    case Command::compare:
      return compare_command(line);
    case Command::page:
      return page_command(line);
    case Command::picture:
      return picture_command(line);
    case Command::film:
      return film_command(line);
    case Command::lesson:
      return lesson_command(line);
    case Command::wait:
      return wait_command(line);
    case Command::study:
      return study_command(line);
    case Command::fit:
      return fit_command(line);
    case Command::desk:
      return desk_command(line);
  }
  throw std::logic_error("a command without a function");
}

bool solves(setstress::CommandLine::Command command) {
  using Command = setstress::CommandLine::Command;
  return command == Command::run || command == Command::compare || command == Command::wait ||
         command == Command::lesson || command == Command::study;
}

}  // namespace

int main(int argc, char** argv) {
  const setstress::CommandLine line = setstress::parse_command_line(argc, argv);
  if (solves(line.command)) setstress::start_again_with_library_settings(argv);
  try {
    return dispatch(line);
  } catch (const setstress::CaseError& error) {
    fmt::print(stderr, "setstress: {}\n", error.what());
    return 2;
  } catch (const std::filesystem::filesystem_error& error) {
    fmt::print(stderr, "setstress: {} cannot be used: {}\n", error.path1().string(), error.code().message());
    return 1;
  } catch (const nlohmann::json::exception&) {
    fmt::print(stderr,
               "setstress: a file of a result holds something else than setstress wrote there; run "
               "its case again\n");
    return 1;
  } catch (const std::exception& error) {
    fmt::print(stderr, "setstress: {}\n", error.what());
    return 1;
  }
}
