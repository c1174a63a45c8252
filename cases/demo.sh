#!/bin/sh
# From a fresh machine to a comparison: installs what is missing, builds, and places one filling two ways.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
. "$root/cases/setup.sh"

# shellcheck disable=SC2086  # a list of words
install_packages $build_packages $page_packages
echo "Building setstress (once; five to seven minutes on two cores) ..."
build_into "$root/build" -DCMAKE_BUILD_TYPE=Release -- setstress
echo "Bundling the page of results ..."
cmake --build "$root/build" --target page_template >"$root/build/page.log" 2>&1 ||
  echo "The page of results is left out (its packages could not be fetched, see build/page.log); all else works."

out="$root/results-demo"
echo "Running one deep proximal box in 2 mm layers, at once and after five minutes: what differs, why, and how sure that is"
echo "(a minute or two) ..."
echo
"$root/build/setstress" compare deep-box-layers deep-box-layers-after-5-min --why --odds 16 --brief --out "$out"
echo
echo "The same with all tables and four times the draws (it goes on from these):"
echo "  $root/build/setstress compare deep-box-layers deep-box-layers-after-5-min --why --odds 64 --out $out"
echo "Next: $root/build/setstress --help, and cases/README.md for cases of your own."
echo "Or without a text editor, on a page in your browser:  $root/build/setstress desk"
