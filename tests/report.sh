#!/bin/sh
# Runs every test that compares the program with published or derived results, also those too long for every change, and
# writes what they found into one page, build/report/checks.html, and a short table, build/report/checks.md. Exit 0 when
# every number is within its tolerance.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
. "$root/cases/setup.sh"

# shellcheck disable=SC2086  # a list of words
install_packages $build_packages libgetfem-dev

build=$root/build
report=$build/report
groups='ladder trends peer properties'

echo "Building (Release) ..."
build_into "$build" -DCMAKE_BUILD_TYPE=Release -- setstress setstress_report
left_out=
programs=
for group in $groups; do
  if cmake --build "$build" --target help | grep -q "test_$group"; then
    programs="$programs test_$group"
  else
    left_out="$left_out $group"
    echo "Left out: the tests of \"$group\" are not part of this build" >&2
  fi
done
# shellcheck disable=SC2086
build_into "$build" -DCMAKE_BUILD_TYPE=Release -- $programs

echo "Running the checks; this takes some minutes ..."
rm -rf "$report/records"
mkdir -p "$report/records"
failed=0
(cd "$build" && SETSTRESS_CHECKS="$report/records" OMP_WAIT_POLICY=passive \
  ctest -C long --no-tests=error -L '^(ladder|trends|peer|properties)$' -j 2 >"$report/tests.log" 2>&1) || failed=1

# shellcheck disable=SC2086
"$build/setstress_report" "$report/records" "$report/checks.html" "$report/checks.md" $left_out || failed=1
tail -n 3 "$report/tests.log"
[ "$failed" = 0 ] || fail "some checks did not hold; see $report/checks.html and $report/tests.log"
echo "Report: $report/checks.html"
