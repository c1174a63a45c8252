#include "cases/options/picture_options.hpp"

#include <CLI/CLI.hpp>

#include "cases/options/command_line.hpp"
#include "cases/options/refusals.hpp"

namespace setstress {

namespace {

void add_results(CLI::App* command, CommandLine& line, int most) {
  command->add_option("results", line.inputs, "Folders written by setstress run")
      ->required()
      ->expected(1, most)
      ->type_name("RESULT");
}

void add_common(CLI::App* command, CommandLine& line) {
  command
      ->add_option("--top", line.picture.scale_top,
                   "Upper end of the scale; unless given 2 for ratios, else from the data")
      ->check(number_above_zero())
      ->type_name("VALUE");
  command->add_flag("--quiet", line.quiet, "Say nothing but errors");
}

}  // namespace

void add_picture_options(CLI::App* command, CommandLine& line) {
  PictureSettings& picture = line.picture;
  add_results(command, line, 4);
  command
      ->add_option(
          "--show", picture.show,
          "bond (unless given): in space and unfolded; walls: unfolded alone; cut: through tooth and "
          "filling, by largest principal stress; deformed: the whole, deformation magnified; radiograph: "
          "what X-rays show of one result's gaps")
      ->check(one_of({"bond", "walls", "cut", "deformed", "radiograph"}))
      ->type_name("WHAT");
  command
      ->add_option("--field", picture.field,
                   "Of bond and walls: ratio (unless given), stress over strength; strength-lost; gap")
      ->check(one_of({"ratio", "strength-lost", "gap"}))
      ->type_name("FIELD");
  command
      ->add_option("--at", picture.at,
                   "worst, end, or a time such as \"45 s\" or \"5 min\"; unless given, the worst instant "
                   "beside the end for bond and walls, the end for the others")
      ->type_name("TIME");
  command->add_option("--axis", picture.axis, "Normal of the cut: x, y (unless given) or z")
      ->check(one_of({"x", "y", "z"}))
      ->type_name("AXIS");
  command
      ->add_option("--position", picture.position,
                   "Of the cut along its axis, mm; through the middle of the filling unless given")
      ->type_name("MM");
  command
      ->add_option("--magnify", picture.magnification,
                   "Factor of the deformation of cut and deformed, 0 for none; a round one that shows it "
                   "unless given")
      ->type_name("FACTOR");
  command
      ->add_option(
          "--beam", picture.beam,
          "Of a radiograph: bitewing (unless given), level across the arch; mesio-distal, level along it; "
          "occlusal, down along the tooth")
      ->check(one_of({"bitewing", "mesio-distal", "occlusal"}))
      ->type_name("BEAM");
  command
      ->add_option("--tilt", picture.tilt,
                   "Of a radiograph's beam, degrees, -45 to 45, above 0 downwards; 0 unless given")
      ->type_name("DEGREES");
  command->add_option("--size", picture.size, "Pixels: WIDTH or WIDTHxHEIGHT")->type_name("SIZE");
  command->add_option("--background", picture.background, "white (unless given), dark or transparent")
      ->check(one_of({"white", "dark", "transparent"}))
      ->type_name("COLOUR");
  command
      ->add_option("--out", line.out,
                   "File to write: .png, for walls also .svg and .pdf; WHAT.png unless given")
      ->type_name("FILE");
  add_common(command, line);
}

void add_film_options(CLI::App* command, CommandLine& line) {
  PictureSettings& picture = line.picture;
  add_results(command, line, 2);
  command
      ->add_option("--out", line.out,
                   "File to write, ending in .mp4, .webm, .gif or .apng; film.mp4 unless given")
      ->type_name("FILE");
  command->add_option("--size", picture.size, "Width in pixels; 1600 unless given")->type_name("WIDTH");
  command->add_option("--background", picture.background, "white (unless given) or dark")
      ->check(one_of({"white", "dark"}))
      ->type_name("COLOUR");
  command->add_option("--fps", picture.frames_per_second, "Frames per second, 1 to 60; 20 unless given")
      ->check(whole_number(1, 60))
      ->type_name("N");
  add_common(command, line);
}

void add_lesson_options(CLI::App* command, CommandLine& line) {
  command->add_option("--out", line.out, "Folder for index.html and its pictures; lesson unless given")
      ->type_name("FOLDER");
  command
      ->add_option("--fineness", line.settings.fineness,
                   "Mesh: coarse, standard (unless given), fine, or an element size along the bond in mm")
      ->type_name("SIZE");
  command
      ->add_option("--draws", line.lesson_draws,
                   "Draws of everything uncertain in the last chapter, on a coarse mesh; 16 unless given")
      ->check(whole_number(2, 100'000))
      ->type_name("N");
  command->add_option("--threads", line.settings.threads, "Threads; all cores unless given")
      ->check(whole_number(1, 1024))
      ->type_name("N");
  command->add_flag("--quiet", line.quiet, "Say nothing but errors");
}

}  // namespace setstress
