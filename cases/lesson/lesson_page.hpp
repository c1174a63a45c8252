#pragma once
// index.html of a lesson.

#include <string>
#include <vector>

#include "cases/lesson/chapter.hpp"

namespace setstress {

/// One page with the chapters there are; `to_come` are the titles of those that are not.
std::string lesson_page(const std::vector<LessonChapter>& chapters, const std::vector<std::string>& to_come,
                        const std::string& fineness);

}  // namespace setstress
