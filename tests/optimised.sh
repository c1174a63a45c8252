#!/bin/sh
# sh optimised.sh PROGRAM LIBRARY...
# Functions that templates of Eigen make in one of the libraries (optimised, where it is hot) and elsewhere too (not
# optimised) are in PROGRAM as one of the libraries has them, told by their sizes. Exit 1 names those that are not.
set -eu
program=$1
shift
{
  nm --size-sort --print-size --defined-only "$@" 2>/dev/null | sed 's/^/library /'
  nm --size-sort --print-size --defined-only "$program" | sed 's/^/program /'
} | awk '
  NF != 5 || $5 !~ /Eigen/ || $5 ~ /\.(cold|constprop|part|isra)/ { next }
  $1 == "library" && $4 ~ /[Ww]/ { made[$5] = 1; size[$5, $3] = 1 }
  $1 == "program" && ($5 in made) { ++seen; if (!(($5, $3) in size)) { print "not as in the libraries: " $5; ++wrong } }
  END { if (!seen) print "no function is in both"; exit wrong || !seen }'
