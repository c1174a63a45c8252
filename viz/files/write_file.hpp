#pragma once
// Whole files, written so that an interrupted or failed run never leaves half a file under its final name.

#include <filesystem>
#include <string_view>

namespace setstress {

/// Writes `content` beside `path`, then renames it into place; makes missing folders. Throws
/// std::runtime_error, in a sentence with the path and the system's reason (disk full, no permission, ...),
/// and leaves an older file, and whatever is no ordinary file, untouched.
void write_file(const std::filesystem::path& path, std::string_view content);

/// Makes `folder` and those around it where they are missing. Throws std::runtime_error, in such a sentence.
void make_folders(const std::filesystem::path& folder);

}  // namespace setstress
