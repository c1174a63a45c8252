#pragma once
// Whole files, written so that an interrupted or failed run never leaves half a file under its final name.

#include <filesystem>
#include <string_view>

namespace setstress {

/// Writes `content` beside `path`, then renames it into place; makes missing folders. Throws
/// std::runtime_error, in a sentence with the path and the system's reason (disk full, no permission, ...),
/// and leaves an older file untouched.
void write_file(const std::filesystem::path& path, std::string_view content);

}  // namespace setstress
