#pragma once
// The line that every page, picture, file and summary carries.

namespace setstress {

inline constexpr const char* caution_line =
    "For education and research only; not a medical device. Follow the material's instructions for use, "
    "local rules "
    "and licensed judgement.";

}  // namespace setstress
