#pragma once
// The options of the commands picture, film and lesson.

namespace CLI {
class App;
}

namespace setstress {

struct CommandLine;

void add_picture_options(CLI::App* command, CommandLine& line);
void add_film_options(CLI::App* command, CommandLine& line);
void add_lesson_options(CLI::App* command, CommandLine& line);

}  // namespace setstress
