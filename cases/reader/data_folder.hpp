#pragma once
// Where the ready-made cases and the material library lie: beside an installed program or in the source tree.

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace setstress {

/// Folder that holds cases/ready/ and materials/library.toml: PREFIX/share/setstress for an installed
/// program, the source tree otherwise. Throws std::runtime_error when neither is there.
std::filesystem::path data_folder();

/// The library of material classes that comes with the program.
std::filesystem::path material_library_file();

/// The ready-made cases, sorted by name.
std::vector<std::filesystem::path> ready_made_cases();

/// The ready-made studies, sorted by name.
std::vector<std::filesystem::path> ready_made_studies();

/// The ready-made files of measurements, sorted by name.
std::vector<std::filesystem::path> ready_made_measurements();

/// The page as bundled when the program was built, from PREFIX/share/setstress or the build tree; empty where
/// it was built without Node.js and npm.
std::filesystem::path page_template();
/// The page of the desk, from the same places.
std::filesystem::path desk_page();

/// The one of `files` that is called `name`. Throws CaseError, listing them as ready-made `what`.
std::filesystem::path find_ready_made(const std::string& name,
                                      const std::vector<std::filesystem::path>& files, std::string_view what);

/// `name_or_path` is a file, or the name of a ready-made case such as "deep-box-bulk". Throws CaseError.
std::filesystem::path find_case(const std::string& name_or_path);

}  // namespace setstress
