#pragma once
// One function a command. Each returns the exit code and throws CaseError where the input is at fault.

#include "cases/options/command_line.hpp"

namespace setstress {

int list_command(const CommandLine& line);
int check_command(const CommandLine& line);
int mesh_command(const CommandLine& line);
int run_command(const CommandLine& line);
int compare_command(const CommandLine& line);
int page_command(const CommandLine& line);
int picture_command(const CommandLine& line);
int film_command(const CommandLine& line);
int lesson_command(const CommandLine& line);
int wait_command(const CommandLine& line);
int study_command(const CommandLine& line);
int fit_command(const CommandLine& line);
int desk_command(const CommandLine& line);

}  // namespace setstress
