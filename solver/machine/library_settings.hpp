#pragma once
// What libraries that read the environment before main() should find there.

namespace setstress {

/// Starts the program again, once, with better settings for the libraries that take theirs from the
/// environment before main(); returns where there is nothing to better, or where the program cannot start
/// itself. What the user has set stays as it is.
///
/// * libgomp: threads spin for milliseconds where they meet, which on a shared machine takes the very core
/// that
///   the thread they wait for needs. GOMP_SPINCOUNT lets them spin for about 50 microseconds, then sleep.
/// * OpenBLAS: a processor younger than the library counts as one of 2004 ("Prescott"), a fifth as fast as it
/// is.
///   OPENBLAS_CORETYPE names the nearest kind that the library knows.
void start_again_with_library_settings(char** arguments);

}  // namespace setstress
