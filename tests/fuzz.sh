#!/bin/sh
# Case, study and material files with random faults for MINUTES (1 unless given), other ones each time unless SETSTRESS_SEED
# is set:
#   sh tests/fuzz.sh [MINUTES] [FOLDER OF THE BUILD]
# Ends with 1 at the first that is not read, or refused in a sentence; what it says names seed and text to repeat it.
set -eu
minutes=${1:-1}
build=${2:-build}
end=$(($(date +%s) + 60 * minutes))
seed=${SETSTRESS_SEED:-$(date +%s)}
log=$build/fuzz.log
rounds=0
while [ "$(date +%s)" -lt "$end" ]; do
  SETSTRESS_SEED=$seed SETSTRESS_MUTATIONS=20 "$build/test_cases" "[fuzz]" >"$log" 2>&1 || {
    cat "$log"
    exit 1
  }
  seed=$((seed + 1))
  rounds=$((rounds + 1))
done
echo "$rounds rounds without a fault"
