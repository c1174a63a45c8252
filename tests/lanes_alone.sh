#!/bin/sh
# Lanes build by themselves, as on a machine with a GPU and little else; with CUDA where its compiler is. They are not run
# here on a GPU: CI has none.
#   sh lanes_alone.sh SOURCE-TREE EMPTY-FOLDER
set -eu
cuda=OFF
nvcc=$(command -v nvcc || command -v /usr/local/cuda/bin/nvcc || true)
if [ -n "$nvcc" ]; then
  cuda=ON
else
  echo "CUDA is left out: its compiler, nvcc, is not on this machine"
fi
cmake -S "$1/solver/lanes/bench" -B "$2" -G Ninja -DCMAKE_BUILD_TYPE=Debug -DSETSTRESS_CUDA=$cuda \
  ${nvcc:+-DCMAKE_CUDA_COMPILER="$nvcc"} -DCMAKE_CUDA_ARCHITECTURES=90 >/dev/null
cmake --build "$2"
status=0
"$2/setstress_lane_bench" "$2/none" 2>"$2/said" || status=$?
cat "$2/said"
[ $status -eq 1 ] && grep -q "none: it cannot be read" "$2/said"
