#pragma once
// What a folder of results has to show in a lecture hall, in order.

#include <nlohmann/json.hpp>

#include "cases/desk/desk_folder.hpp"

namespace setstress {

/// By folder: `words` of a comparison, then `page`s, then `picture`s; each with `title` and `file` (words:
/// with `sentences`).
nlohmann::ordered_json slides_of(const DeskFolder& folder);

}  // namespace setstress
