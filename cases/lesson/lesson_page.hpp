#pragma once
// index.html of a lesson.

#include <string>
#include <vector>

#include "cases/lesson/chapter.hpp"

namespace setstress {

/// What the page says before its chapters.
struct LessonFront {
  std::string fineness;     ///< of the mesh, as asked for
  std::string coarse_mesh;  ///< what coarse_mesh_sentence (bond_words.hpp) says of it
  std::string drawing;      ///< of the box, a figure
};

/// One page with the chapters there are; `to_come` are the titles of those that are not.
std::string lesson_page(const std::vector<LessonChapter>& chapters, const std::vector<std::string>& to_come,
                        const LessonFront& front);

}  // namespace setstress
