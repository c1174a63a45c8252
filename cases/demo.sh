#!/bin/sh
# From a fresh machine to a comparison: installs what is missing, builds, and places one filling two ways.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
. "$root/cases/setup.sh"

# shellcheck disable=SC2086  # a list of words
install_packages $build_packages $page_packages
echo "Building setstress (once; four to five minutes on two cores) ..."
build_into "$root/build" -DCMAKE_BUILD_TYPE=Release -- setstress
echo "Bundling the page of results ..."
cmake --build "$root/build" --target page_template >"$root/build/page.log" 2>&1 ||
  echo "The page of results is left out (its packages could not be fetched, see build/page.log); all else works."

out="$root/results-demo"
echo "Running one deep proximal box in 2 mm layers, at once and after five minutes: what differs, and why (a minute or"
echo "two) ..."
echo
"$root/build/setstress" compare deep-box-layers deep-box-layers-after-5-min --why --out "$out"
echo
echo "How sure that is, under 64 draws of what is uncertain (six minutes or so on two cores):"
echo "  $root/build/setstress compare deep-box-layers deep-box-layers-after-5-min --odds 64 --out results-odds"
echo "Next: $root/build/setstress --help, and cases/README.md for cases of your own."
echo "Or without a text editor, on a page in your browser:  $root/build/setstress desk"
