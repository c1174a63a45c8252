#!/bin/sh
# Case, study and material files with random faults for MINUTES (1 unless given), other ones each time unless SETSTRESS_SEED
# is set:
#   sh tests/fuzz.sh [MINUTES] [FOLDER OF THE BUILD]
# Half of the time small faults in sound files; the other half, where clang++ is installed (Debian: clang), what libFuzzer
# finds with sanitizers, from the ready-made files, tests/fuzz/offenders and its findings of before (FOLDER/fuzz/corpus).
# MINUTES count what is tried, not the building. Ends with 1 at the first file that is not read, or refused in a sentence;
# what it says names seed and text, or the file, to repeat it.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
minutes=${1:-1}
build=$(cd "${2:-build}" && pwd)
seconds=$((60 * minutes))
seed=${SETSTRESS_SEED:-$(date +%s)}
log=$build/fuzz.log

clang=${SETSTRESS_CLANG-clang++}  # empty: without libFuzzer
if command -v "$clang" >/dev/null; then seconds=$((seconds / 2)); fi
end=$(($(date +%s) + seconds))
rounds=0
while [ "$(date +%s)" -lt "$end" ]; do
  SETSTRESS_SEED=$((seed + rounds)) SETSTRESS_MUTATIONS=20 "$build/test_cases" "[fuzz]" >"$log" 2>&1 || {
    cat "$log"
    exit 1
  }
  rounds=$((rounds + 1))
done
echo "$rounds rounds of random faults without a failure"

command -v "$clang" >/dev/null || {
  echo "Left out: libFuzzer, for which there is no clang++ (Debian: clang)"
  exit 0
}
fuzz=$build/fuzz
mkdir -p "$fuzz/corpus"
version=$(sed -n 's/^project(setstress VERSION \([0-9.]*\).*/\1/p' "$root/CMakeLists.txt")
{ cmake -S "$root/tests/fuzz" -B "$fuzz" -G Ninja -DCMAKE_CXX_COMPILER="$clang" \
    -DMESHER="$build/mesh/libsetstress-mesher.so" -DMESHER_OF="$version" && cmake --build "$fuzz"; } >"$log" 2>&1 || {
  tail -n 30 "$log"
  exit 1
}
cd "$fuzz"
# The words of the files, for what is put into them.
cat "$root"/cases/ready/*.toml "$root"/cases/ready/studies/*.toml "$root/materials/library.toml" |
  sed 's/#.*//; s/"[^"]* [^"]*"//g' | grep -o '[a-z_][a-z_.-]\{2,40\}' | sort -u | sed 's/.*/"&"/' >words.dict
# Without the history of allocations: half as fast again.
export ASAN_OPTIONS=malloc_context_size=1:quarantine_size_mb=16
./fuzz_files -dict=words.dict -max_total_time="$seconds" -timeout=20 -rss_limit_mb=3000 -max_len=6000 -seed="$seed" corpus \
  "$root/tests/fuzz/offenders" "$root/cases/ready" "$root/materials" >"$log" 2>&1 || {
  tail -n 60 "$log"
  exit 1
}
sed -n 's/^Done \([0-9]*\) runs.*/\1 files by libFuzzer without a failure/p' "$log"
