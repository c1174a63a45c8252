#!/bin/sh
# Checks the formatting, runs the fast tests under the address and undefined-behaviour sanitizers, builds with warnings as
# errors, and runs all tests, a minute of files with random faults among them. The last lines are their summary.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
. "$root/cases/setup.sh"
browser_packages=
command -v chromium >/dev/null || browser_packages=chromium

# shellcheck disable=SC2086  # a list of words
install_packages $build_packages $page_packages $browser_packages ffmpeg libgetfem-dev slurm-wlm munge clang-format \
  clang libclang-rt-dev libomp-dev

echo "Checking the formatting ..."
formatting=$(find "$root/mesh" "$root/materials" "$root/solver" "$root/cases" "$root/viz" "$root/tests" \
  \( -name '*.?pp' -o -name '*.cu*' \) -print0 | xargs -0 clang-format --dry-run -Werror 2>&1) || {
  printf '%s\n' "$formatting" | head -n 20 >&2
  fail "the formatting differs; run: clang-format -i $(printf '%s\n' "$formatting" |
    sed -n 's/^\([^:]*\.[ch][up][p]*h*\):.*error:.*/\1/p' | sort -u | tr '\n' ' ')"
}

# By clang: a second compiler's eyes, and half of the time that g++ takes. Warnings are g++'s matter, below.
echo "Building for the sanitizers (Debug) ..."
build_into "$root/build-sanitize" -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_FLAGS_DEBUG=-O1 -DSETSTRESS_SANITIZE=ON \
  -DSETSTRESS_NATIVE=OFF -DCMAKE_CXX_COMPILER=clang++ -DSETSTRESS_WERROR=OFF -- test_materials test_solver test_cases
# Whole runs, minutes under the sanitizers; what they call is called by faster ones too.
slow_ones='on a shared mesh give|half the strength on one wall|first to let go|kept bond serves walls|no result depends'
slow_ones="$slow_ones|change no bit of a bond that lets go|own values changes no bit|moved the same way|order of shrinking"
slow_ones="$slow_ones|crushing is told|two cycles instead of|averaged as a vector|pressure of Lame|drains through the wall"
slow_ones="$slow_ones|same bits on one and two threads|one does at a plane of symmetry"
slow_ones="$slow_ones|as double precision does, on any threads|same bits on one thread and on four"
slow_ones="$slow_ones|fewer than 60 iterations|depend neither on who advances|take the steps and give the answers|tissues of their own give"
echo "Running the fast tests under the sanitizers ..."
export LSAN_OPTIONS="suppressions=$root/tests/leaks_of_libraries.txt:print_suppressions=0"
# Fewer files with random faults than without the sanitizers, where the fuzz minute reads more.
(cd "$root/build-sanitize" &&
  SETSTRESS_MUTATIONS=8 ctest --output-on-failure --no-tests=error -L '^(materials|solver|cases)$' -E "$slow_ones" -j 2 >sanitize.log 2>&1) || {
  grep -B 2 -A 40 -E 'FAILED:|ERROR:|runtime error' "$root/build-sanitize/sanitize.log" | head -n 120 >&2
  fail "a test failed under the sanitizers; the whole log is $root/build-sanitize/sanitize.log"
}

echo "Building (Release, warnings are errors) ..."
build_into "$root/build" -DCMAKE_BUILD_TYPE=Release --
cd "$root/build"
ctest --output-on-failure --no-tests=error -j 2
