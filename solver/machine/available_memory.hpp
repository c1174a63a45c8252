#pragma once
// How much memory this program may still take.

#include <filesystem>
#include <optional>

namespace setstress {

/// Free memory, or what the control groups (version 1 or 2) that this process is in leave of their limits,
/// whichever is least [bytes]; what the system would give up of files that it keeps in memory counts as free.
/// Empty where the system does not tell. `root` is "/" but in tests.
std::optional<double> available_memory(const std::filesystem::path& root = "/");

}  // namespace setstress
